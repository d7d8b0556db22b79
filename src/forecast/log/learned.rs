//! What a log says of the wood, the meter and the rooms.

use crate::forecast::curve::section_for_sizes;
use crate::forecast::evaluate::drawn_shrinkage;
use crate::forecast::prepare::Prepared;
use crate::forecast::sampling::{Inputs, Kind};
use crate::job::Job;
use crate::movement::Shrinkage;
use crate::units::notation::the;
use serde::Serialize;

/// An input that moved less than this, in its own standard deviations, is not spoken of (judgement).
const WORTH_SAYING: f64 = 0.3;
/// Nor one of which more than this is left, percent.
const LEFT_PERCENT: f64 = 95.0;
/// A house that is off by less than this is as it was given, percent humidity (judgement).
const HOUSE_PERCENT: f64 = 1.0;

/// What the log says of one input.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Learned {
    /// The input in words.
    pub input: String,
    /// What is now thought of it.
    pub words: String,
    /// How far it moved, in standard deviations of what was thought before.
    pub moved_deviations: f64,
    /// Spread that is left, percent of what it was.
    pub left_percent: f64,
}

/// More or less in words.
fn more(percent: f64) -> String {
    let way = if percent >= 0.0 { "more" } else { "less" };
    format!("{:.0} % {way}", percent.abs())
}

/// What the log says, what moved most first.
pub(super) fn learned(job: &Job, prepared: &Prepared, inputs: &Inputs) -> Vec<Learned> {
    let Some(posterior) = inputs.posterior() else {
        return Vec::new();
    };
    let middle = inputs.middle();
    let mut list: Vec<Learned> = posterior
        .active()
        .iter()
        .filter_map(|&place| {
            let input = &inputs.list()[place];
            let (mean, deviation) = posterior.input(place);
            let left_percent = 100.0 * deviation;
            let worth = mean.abs() >= WORTH_SAYING || left_percent <= LEFT_PERCENT;
            let words = words(input.kind, mean, job, prepared, inputs, &middle)?;
            worth.then_some(Learned {
                input: input.words.clone(),
                words,
                moved_deviations: mean,
                left_percent,
            })
        })
        .collect();
    list.sort_by(|a, b| {
        let worth = |one: &Learned| one.moved_deviations.abs() + 1.0 - one.left_percent / 100.0;
        worth(b).total_cmp(&worth(a))
    });
    list
}

fn words(
    kind: Kind,
    mean: f64,
    job: &Job,
    prepared: &Prepared,
    inputs: &Inputs,
    middle: &crate::forecast::Draw,
) -> Option<String> {
    let spreads = inputs.spreads();
    Some(match kind {
        Kind::Shrinkage(board) => {
            let part = &prepared.parts[board];
            let section = section_for_sizes(part.section);
            let table = section.width_coefficient(&Shrinkage::of(&part.species));
            let now = section.width_coefficient(&drawn_shrinkage(part, &middle.parts[board]));
            if table.abs() < 1e-12 {
                return None;
            }
            format!(
                "{} shrinks {} across its width than the table says",
                the(&part.facts.name),
                more(100.0 * (now / table - 1.0))
            )
        }
        Kind::Humidity(place) => {
            let off = inputs.humidity_deviation(place) * mean;
            let way = if off >= 0.0 { "damper" } else { "drier" };
            format!(
                "{} is {:.0} % {way} than given",
                the(&job.places[place].name),
                off.abs()
            )
        }
        Kind::FirstYear(place) | Kind::LaterYear(place) => {
            let off = spreads.humidity_year_percent * mean;
            let way = if off >= 0.0 { "damper" } else { "drier" };
            let when = if matches!(kind, Kind::FirstYear(_)) {
                "this year"
            } else {
                "a later year"
            };
            format!(
                "{when} in {} is {:.0} % {way} than the usual one",
                the(&job.places[place].name),
                off.abs()
            )
        }
        Kind::Meter => {
            let [bias, _] = inputs.meter_deviations();
            let way = if mean >= 0.0 { "low" } else { "high" };
            format!(
                "the moisture meter reads {:.1} % {way}",
                (bias * mean).abs()
            )
        }
        Kind::Reading(part) => {
            let drawn = middle.parts[part].moisture_offset_percent;
            let model = &prepared.parts[part];
            format!(
                "{} was at {:.1} % moisture when it was measured",
                the(&model.facts.name),
                model.measured_percent + drawn
            )
        }
        Kind::Diffusivity(board) => format!(
            "moisture moves {:.1} times as fast in {} as in most boards",
            (spreads.diffusivity_log * mean).exp(),
            the(&prepared.parts[board].facts.name)
        ),
        Kind::Surface(place) => format!(
            "air and finish in {} let moisture through {:.1} times as fast as usual",
            the(&job.places[place].name),
            (spreads.surface_log * mean).exp()
        ),
        Kind::Sorption => format!(
            "the wood holds {} moisture in a given air than its table says",
            more(100.0 * spreads.equilibrium * mean)
        ),
        Kind::RadialApart(_)
        | Kind::Rings(_)
        | Kind::Stiffness(_)
        | Kind::Relaxation
        | Kind::First(_) => return None,
    })
}

/// What to ask before the next piece for the same house, where readings after delivery say that it is not as it was given.
pub(super) fn ask_next_time(job: &Job, prepared: &Prepared, inputs: &Inputs) -> Vec<String> {
    let Some(posterior) = inputs.posterior() else {
        return Vec::new();
    };
    if !job
        .log
        .iter()
        .any(|entry| entry.date > job.schedule.delivered)
    {
        return Vec::new();
    }
    let mut homes: Vec<usize> = prepared.parts.iter().map(|part| part.home.0).collect();
    homes.sort_unstable();
    homes.dedup();
    homes
        .into_iter()
        .filter_map(|home| {
            let (mean, deviation) = posterior.input(inputs.place_of(Kind::Humidity(home))?);
            let off = inputs.humidity_deviation(home) * mean;
            let within = inputs.humidity_deviation(home) * deviation * crate::chance::NINE_IN_TEN;
            let way = if off >= 0.0 { "damper" } else { "drier" };
            let name = the(&job.places[home].name);
            (off.abs() >= HOUSE_PERCENT).then(|| {
                format!(
                    "{name} is {:.0} % {way} than it was given, within {within:.0} %: before the next piece for it ask for a month of a logger there in winter, and whether it is humidified; until then take its humidity {:.0} % {} than given",
                    off.abs(),
                    off.abs(),
                    if off >= 0.0 { "higher" } else { "lower" },
                )
            })
        })
        .collect()
}
