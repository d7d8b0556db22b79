//! A forecast given as a report: what to cut and change first, what it rests on last.

use super::bench_sheet::BenchSheet;
use super::calendar::{calendar, moves_most};
use super::cards::cards;
use super::plates::{Plates, plates};
use super::statements::Statements;
use super::tables::tables;
use super::text::{dates_in_words, day_words, month_of, system};
use super::view::{ClientView, FigureSlot, PlateGroup, ReportView, StepLine, StepsView};
use crate::chance::{Verdict, in_hundred};
use crate::chart::{Elevation, Figure, FigureIds, capital};
use crate::forecast::Forecast;
use crate::numerics::{Deadline, Stopped};
use crate::units::UnitSystem;
use crate::units::notation::{shown, the};

/// The work on site, the days of the final fits in one line.
fn on_site(forecast: &Forecast, words: &str) -> String {
    let Some(install) = &forecast.standing.install else {
        return words.to_owned();
    };
    let fits = |line: &&str| line.contains(": fit it from ");
    let mut lines: Vec<String> = words
        .lines()
        .filter(|line| !fits(line))
        .map(str::to_owned)
        .collect();
    let days: Vec<String> = install
        .fit_days
        .iter()
        .map(|day| format!("{} {}", day.part, day_words(day.on)))
        .collect();
    if !days.is_empty() {
        lines.push(format!(
            "final fit, each part after its day: {}",
            days.join(", ")
        ));
    }
    lines.join("\n")
}

/// The view of a forecast for [`super::html_page`].
#[must_use]
pub fn report_view(forecast: &Forecast) -> ReportView {
    view_with(forecast, &|| plates(forecast, Deadline::NEVER))
}

/// The same before a deadline.
///
/// # Errors
/// [`Stopped`] when it came before the last figure was drawn.
pub fn report_view_before(
    forecast: &Forecast,
    deadline: Deadline<'_>,
) -> Result<ReportView, Stopped> {
    let view = view_with(forecast, &|| plates(forecast, deadline));
    // A deadline that is over stays so: all figures are there if it is not over now.
    deadline.check().map(|()| view)
}

/// The same without any figure: what a page shows that draws only the figures looked at.
#[must_use]
pub fn view_without_figures(forecast: &Forecast) -> ReportView {
    view_with(forecast, &Plates::default)
}

/// Takes the figures that pass a test out of their groups, each under its group's heading.
fn taken(groups: &mut Vec<PlateGroup>, wanted: impl Fn(&str) -> bool) -> Vec<PlateGroup> {
    let mut found = Vec::new();
    for group in &mut *groups {
        let (own, rest) = std::mem::take(&mut group.plates)
            .into_iter()
            .partition(|slot: &FigureSlot| wanted(slot.figure.id()));
        group.plates = rest;
        found.push(PlateGroup {
            heading: group.heading.clone(),
            plates: own,
        });
    }
    groups.retain(|group| !group.plates.is_empty());
    found.retain(|group: &PlateGroup| !group.plates.is_empty());
    found
}

/// Whether a figure carries a decision: the gap of a fit that does not hold, the moisture of the parts, the leaves as laid.
fn decides(forecast: &Forecast, id: &str) -> bool {
    let doubtful = || {
        forecast
            .fits
            .iter()
            .filter(|fit| fit.verdict != Verdict::Holds)
    };
    let mut ids = FigureIds::new();
    id.starts_with("moisture-")
        || id.starts_with("strip-")
        || (id.starts_with("panel-") && id.contains("-best-"))
        || doubtful().any(|fit| ids.next("gap", &fit.joint) == id)
}

fn view_with(forecast: &Forecast, plates: &(dyn Fn() -> Plates + Sync)) -> ReportView {
    let units = system(forecast);
    let words = || (cards(forecast, units), tables(forecast, units));
    let (Plates { mut groups, walk }, (cards, tables)) = rayon::join(plates, words);
    let drawn = !groups.is_empty();
    let picture = taken(&mut groups, |id| id == "piece-front")
        .pop()
        .and_then(|mut group| group.plates.pop())
        .map(|slot| slot.figure);
    let client_picture = drawn
        .then(|| super::piece_plates::piece_for_client(forecast))
        .flatten()
        .map(|figure| figure.draw(Elevation::Exploded, "client-piece"));
    let decisions = taken(&mut groups, |id| decides(forecast, id));
    let job = &forecast.job;
    let mut title_block = vec![
        ("Measured".to_owned(), day_words(job.measured_on)),
        ("Glued up".to_owned(), day_words(job.assembled_on)),
        ("Delivered".to_owned(), day_words(job.delivered_on)),
    ];
    title_block.extend(job.places.iter().map(|p| (capital(&p.name), p.air.clone())));
    let mut warnings: Vec<String> = forecast
        .warnings
        .iter()
        .map(|w| dates_in_words(w))
        .collect();
    for part in &forecast.parts {
        warnings.extend(
            part.notes
                .iter()
                .map(|note| format!("{}: {note}", part.name)),
        );
    }
    ReportView {
        piece: job.name.clone(),
        units,
        title_block,
        cautions: forecast.cautions.clone(),
        picture,
        cards,
        bench: (!forecast.bench.cuts.is_empty()).then(|| BenchSheet::of(forecast)),
        steps: steps(forecast, units),
        calendar: calendar(forecast),
        decisions,
        walk,
        walk_month: usize::from(job.measured_on.month().unsigned_abs()).saturating_sub(1),
        groups,
        measure_next: forecast.measure_next.clone(),
        tables,
        warnings,
        assumptions: forecast
            .assumptions
            .iter()
            .chain(&forecast.not_modeled)
            .cloned()
            .collect(),
        colophon: vec![
            ("Seed".to_owned(), job.seed.to_string()),
            ("Draws".to_owned(), job.draws.to_string()),
            ("Made by heartside".to_owned(), job.version.to_owned()),
            ("Layout".to_owned(), forecast.format.to_string()),
        ],
        client: client(forecast, client_picture),
    }
}

/// What was measured, the glue-up and the work on site, in the words of the terminal.
fn steps(forecast: &Forecast, units: UnitSystem) -> Vec<StepsView> {
    let parts = super::json::part_facts(forecast);
    let standing = super::StandingAnswer {
        standing: &forecast.standing,
        parts: &parts,
        system: units,
    };
    let logged = forecast.log.as_ref().map(|log| log.words().join("\n"));
    [
        ("log", "What was measured", logged.unwrap_or_default()),
        ("glue-up", "Glue-up", standing.glueup_words()),
        (
            "on-site",
            "On site",
            on_site(forecast, &standing.install_words()),
        ),
    ]
    .into_iter()
    .filter(|(_, _, words)| !words.is_empty())
    .map(|(id, heading, words)| StepsView {
        id,
        heading,
        lines: words
            .lines()
            .map(|line| StepLine {
                words: capital(&dates_in_words(line.trim())),
                below: line.starts_with(' '),
            })
            .collect(),
    })
    .collect()
}

/// What a client is to keep, what does not hold even so, and what to expect: no more than a note beside the piece.
fn client(forecast: &Forecast, picture: Option<Figure>) -> ClientView {
    let units = system(forecast);
    let doubtful = Statements::of(forecast);
    let doubtful = doubtful.to_change();
    let of_joints = doubtful.iter().filter(|card| card.holds_chance.is_some());
    let names: Vec<String> = of_joints
        .map(|card| {
            let joint = card.joint.trim_end_matches(": glue or float");
            let chance = card.holds_chance.unwrap_or_default();
            format!("{joint} (stays right in {})", in_hundred(chance))
        })
        .take(3)
        .collect();
    let honest = if names.is_empty() {
        "Within that every joint stays right in at least nine pieces of ten.".to_owned()
    } else {
        format!(
            "As it is designed now, some joints may not stay right even so: {}; tell the maker if one sticks, rattles or opens.",
            names.join(", ")
        )
    };
    let moves = moves_most(forecast).map(|part| {
        format!(
            "Wood lives: {} is {} narrower in {} than in {}, and gaps open and close with it, which is no fault.",
            the(&part.name),
            shown(part.width_swing(), units),
            month_of(part.driest_on),
            month_of(part.wettest_on)
        )
    });
    let mut sentences = vec![honest];
    sentences.extend(moves);
    sentences.push(
        "Keep it away from radiators, stoves and direct sun, and put a hygrometer in the room."
            .to_owned(),
    );
    ClientView {
        keep_humidity: forecast.client.keep_humidity_percent,
        sentences,
        picture,
    }
}
