//! A forecast given as a report: what to cut and change first, what it rests on last.

use super::bench_sheet::BenchSheet;
use super::cards::cards;
use super::plates::{Plates, plates};
use super::tables::tables;
use super::text::{dates_in_words, day_words, system};
use super::view::{ClientView, PlateGroup, ReportView, StepLine, StepsView};
use crate::chart::{Figure, capital};
use crate::forecast::Forecast;
use crate::units::UnitSystem;
use jiff::civil::Date;

/// The view of a forecast for [`super::html_page`].
#[must_use]
pub fn report_view(forecast: &Forecast) -> ReportView {
    let Plates { groups, walk } = plates(forecast);
    view_with(forecast, groups, walk)
}

/// The same without any figure: what a page shows that draws only the figures looked at.
#[must_use]
pub fn view_without_figures(forecast: &Forecast) -> ReportView {
    view_with(forecast, Vec::new(), Vec::new())
}

fn view_with(forecast: &Forecast, groups: Vec<PlateGroup>, walk: Vec<Figure>) -> ReportView {
    let units = system(forecast);
    let job = &forecast.job;
    let mut title_block = vec![
        ("Measured".to_owned(), day_words(&job.measured_on)),
        ("Glued up".to_owned(), day_words(&job.assembled_on)),
        ("Delivered".to_owned(), day_words(&job.delivered_on)),
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
        cards: cards(forecast, units),
        bench: (!forecast.bench.cuts.is_empty()).then(|| BenchSheet::of(forecast)),
        steps: steps(forecast, units),
        walk,
        walk_month: job.measured_on.parse::<Date>().map_or(0, |date| {
            usize::from(date.month().unsigned_abs()).saturating_sub(1)
        }),
        groups,
        measure_next: forecast
            .measure_next
            .iter()
            .map(|share| {
                (
                    share.input.clone(),
                    share.measure.clone(),
                    share.share_percent,
                    share.narrows_to_percent,
                )
            })
            .collect(),
        tables: tables(forecast, units),
        warnings,
        assumptions: forecast.assumptions.clone(),
        colophon: vec![
            ("Seed".to_owned(), job.seed.to_string()),
            ("Draws".to_owned(), job.draws.to_string()),
            ("Made by heartside".to_owned(), job.version.to_owned()),
            ("Layout".to_owned(), forecast.format.to_string()),
        ],
        client: client(forecast),
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
        ("on-site", "On site", standing.install_words()),
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

fn client(forecast: &Forecast) -> ClientView {
    let client = &forecast.client;
    ClientView {
        keep_humidity_percent: client.keep_humidity_percent,
        goes_first: client.if_not_kept.clone(),
        expect: client
            .expect
            .iter()
            .map(|line| capital(&dates_in_words(line)))
            .collect(),
    }
}
