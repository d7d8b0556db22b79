//! What a log says of the wood, the meter and the rooms.

use crate::forecast::curve::section_for_sizes;
use crate::forecast::evaluate::drawn_shrinkage;
use crate::forecast::prepare::Prepared;
use crate::forecast::sampling::{Inputs, Kind};
use crate::forecast::study::Study;
use crate::job::Job;
use crate::joint::Fit;
use crate::movement::Shrinkage;
use crate::units::Share;
use crate::units::notation::the;
use serde::Serialize;

/// An input that moved less than this, in its own standard deviations, is not spoken of (judgement).
const WORTH_SAYING: f64 = 0.3;
/// Nor one of which more than this is left, percent.
const LEFT_PERCENT: f64 = 95.0;
/// An input that is as it was given is spoken of where no more than this is left of its doubt, percent (judgement).
const CONFIRMED_PERCENT: f64 = 70.0;
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
    /// Spread that is left, as a share of what it was.
    pub left: Share,
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
            let said = said(input.kind, mean, job, prepared, inputs, &middle)?;
            let words = match said {
                Said::Otherwise(words) if worth => words,
                Said::AsGiven(words) if left_percent <= CONFIRMED_PERCENT => {
                    format!("{words}; {left_percent:.0} % of that doubt is left")
                }
                Said::Otherwise(_) | Said::AsGiven(_) => return None,
            };
            Some(Learned {
                input: input.words.clone(),
                words,
                moved_deviations: mean,
                left: Share::computed_percent(left_percent),
            })
        })
        .collect();
    list.sort_by(|a, b| {
        let worth = |one: &Learned| one.moved_deviations.abs() + 1.0 - one.left.percent() / 100.0;
        worth(b).total_cmp(&worth(a))
    });
    list
}

/// What the last entry says of that input behind a fit which it moved most; `before` are the inputs without it.
pub(super) fn cause(study: &Study<'_>, job: &Job, before: &Inputs, fit: &Fit) -> Option<String> {
    let (prepared, inputs) = (study.prepared, study.inputs);
    let now = inputs.posterior()?;
    let parts: Vec<usize> = fit.parts().map(|part| part.0).collect();
    let middle = inputs.middle();
    inputs
        .behind(prepared, &parts)
        .into_iter()
        .filter(|place| now.active().contains(place))
        .filter_map(|place| {
            let was = before
                .posterior()
                .map_or(0.0, |posterior| posterior.input(place).0);
            let (mean, _) = now.input(place);
            let moved = (mean - was).abs();
            let kind = inputs.list()[place].kind;
            match said(kind, mean, job, prepared, inputs, &middle)? {
                Said::Otherwise(words) if moved >= WORTH_SAYING => Some((moved, words)),
                _ => None,
            }
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, words)| words)
}

/// What is now thought of an input.
enum Said {
    /// It is not as it was given.
    Otherwise(String),
    /// It is as it was given, to the digits that are shown.
    AsGiven(String),
}

impl Said {
    /// The one sentence where a number differs from nothing by at least so much, and the other where it does not.
    fn by(off: f64, from: f64, otherwise: String, as_given: String) -> Self {
        if off.abs() >= from {
            Self::Otherwise(otherwise)
        } else {
            Self::AsGiven(as_given)
        }
    }
}

fn said(
    kind: Kind,
    mean: f64,
    job: &Job,
    prepared: &Prepared,
    inputs: &Inputs,
    middle: &crate::forecast::Draw,
) -> Option<Said> {
    let spreads = inputs.spreads();
    let damper = |off: f64| if off >= 0.0 { "damper" } else { "drier" };
    Some(match kind {
        Kind::Shrinkage(board) => {
            let part = &prepared.parts[board];
            let section = section_for_sizes(part.section);
            let table = section.width_coefficient(&Shrinkage::of(&part.species));
            let now = section.width_coefficient(&drawn_shrinkage(part, &middle.parts[board]));
            if table.abs() < 1e-12 {
                return None;
            }
            let off = 100.0 * (now / table - 1.0);
            let name = the(&part.facts.name);
            Said::by(
                off,
                0.5,
                format!("{name} shrinks {} than the table says", more(off)),
                format!("{name} shrinks as the table says"),
            )
        }
        Kind::Humidity(place) => {
            let off = inputs.humidity_deviation(place) * mean;
            let name = the(&job.places[place].name);
            Said::by(
                off,
                0.5,
                format!("{name} is {:.0} % {} than given", off.abs(), damper(off)),
                format!("{name} is as damp as given"),
            )
        }
        Kind::FirstYear(place) | Kind::LaterYear(place) => {
            let off = spreads.humidity_year_percent * mean;
            let when = if matches!(kind, Kind::FirstYear(_)) {
                "this year"
            } else {
                "a later year"
            };
            let name = the(&job.places[place].name);
            Said::by(
                off,
                0.5,
                format!(
                    "{when} in {name} is {:.0} % {} than the usual one",
                    off.abs(),
                    damper(off)
                ),
                format!("{when} in {name} is a usual one"),
            )
        }
        Kind::Meter => {
            let [bias, _] = inputs.meter_deviations();
            let way = if mean >= 0.0 { "low" } else { "high" };
            let off = (bias * mean).abs();
            Said::by(
                off,
                0.05,
                format!("the moisture meter reads {off:.1} % {way}"),
                "the moisture meter reads right".to_owned(),
            )
        }
        Kind::Reading(part) => {
            let drawn = middle.parts[part].moisture_offset_percent;
            let model = &prepared.parts[part];
            let name = the(&model.facts.name);
            Said::by(
                drawn,
                0.05,
                format!(
                    "{name} was at {:.1} % moisture when it was measured, not {:.1} %",
                    model.measured_percent + drawn,
                    model.measured_percent
                ),
                format!("{name} was as moist as it was read when it was measured"),
            )
        }
        Kind::Diffusivity(board) => {
            let times = libm::exp(spreads.diffusivity_log * mean);
            let name = the(&prepared.parts[board].facts.name);
            Said::by(
                times - 1.0,
                0.05,
                format!("moisture moves {times:.1} times as fast in {name} as in most boards"),
                format!("moisture moves as fast in {name} as in most boards"),
            )
        }
        Kind::Surface(place) => {
            let times = libm::exp(spreads.surface_log * mean);
            let name = the(&job.places[place].name);
            Said::by(
                times - 1.0,
                0.05,
                format!(
                    "air and finish in {name} let moisture through {times:.1} times as fast as usual"
                ),
                format!("air and finish in {name} let moisture through as fast as usual"),
            )
        }
        Kind::Sorption => {
            let off = 100.0 * spreads.equilibrium * mean;
            Said::by(
                off,
                0.5,
                format!(
                    "the wood holds {} moisture in a given air than its table says",
                    more(off)
                ),
                "the wood holds as much moisture in a given air as its table says".to_owned(),
            )
        }
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
