//! The terminal's summary: what to change, what to cut, what is dangerous, in some sixty lines. [`super::full_text`] gives the rest.

use super::bench_sheet::{BenchSheet, site_lines};
use super::shop_words::ShopWords;
use super::statements::Statements;
use super::text::{dates_in_words, day_words};
use crate::chance::in_hundred;
use crate::forecast::{Forecast, LogFinding, USUAL_CAUTIONS};

/// The summary of a forecast.
#[must_use]
pub fn summary(forecast: &Forecast) -> String {
    let job = &forecast.job;
    let statements = Statements::of(forecast);
    let sheet = BenchSheet::of(forecast);
    let mut lines = vec![format!(
        "{}: {}. Measured {}, glued up {}, delivered {}.",
        job.name,
        statements.counts(),
        day_words(job.measured_on),
        day_words(job.assembled_on),
        day_words(job.delivered_on)
    )];
    let mut section = |title: &str, body: Vec<String>| {
        if !body.is_empty() {
            lines.push(title.to_owned());
            lines.extend(body.into_iter().map(|line| format!("  {line}")));
        }
    };
    section("WHAT TO CHANGE", to_change(&statements));
    let table = sheet.table();
    let cuts = if sheet.cuts.is_empty() {
        Vec::new()
    } else {
        table.lines().map(str::to_owned).collect()
    };
    let mut cuts = cuts;
    cuts.extend(
        sheet
            .setting_lines()
            .into_iter()
            .map(|line| format!("Setting {line}.")),
    );
    section(
        &format!("WHAT TO CUT, {}", day_words(job.measured_on)),
        cuts,
    );
    section(
        "WHAT WAS MEASURED",
        forecast.log.iter().flat_map(LogFinding::words).collect(),
    );
    section("DANGERS AND THIN WOOD", {
        // What is true of every piece is one line.
        let (usual, own): (Vec<String>, Vec<String>) = sheet
            .dangers
            .iter()
            .cloned()
            .partition(|danger| USUAL_CAUTIONS.contains(&danger.as_str()));
        let mut dangers: Vec<String> = Vec::new();
        for danger in own {
            let about = |line: &String| line.split_once(": ").map(|(about, _)| about.to_owned());
            match dangers
                .iter_mut()
                .find(|line| about(line) == about(&danger))
            {
                Some(line) => {
                    let more = danger.split_once(": ").map_or("", |(_, more)| more);
                    line.push_str(&format!(" {more}"));
                }
                None => dangers.push(danger),
            }
        }
        dangers.extend(sheet.watch.iter().cloned());
        dangers.extend(own_warnings(forecast));
        if !usual.is_empty() {
            dangers.push(usual.join(" "));
        }
        dangers
    });
    section("REST, GLUE AND SITE", {
        let mut steps = sheet.rests.clone();
        steps.extend(
            sheet
                .floats
                .first()
                .map(|_| format!("Floats, do not glue: {}.", names(&sheet.floats).join(", "))),
        );
        steps.extend(sheet.glue.clone());
        steps.extend(site_lines(forecast));
        steps
    });
    let keep = forecast.client.keep_humidity_percent.map(|[low, high]| {
        format!(
            "Keep the room between {:.0} and {:.0} % relative humidity.",
            low.percent(),
            high.percent()
        )
    });
    let measure = forecast.measure_next.first().map(|first| {
        format!(
            "Measure next: {} ({}). That narrows the doubtful answers to {:.0} % of their present range.",
            first.input, first.measure, first.narrows_to.percent()
        )
    });
    let both: Vec<String> = keep.into_iter().chain(measure).collect();
    if !both.is_empty() {
        lines.push(both.join(" "));
    }
    lines.push(format!(
        "More: --full gives every answer and {} notes in words, `heartside sheet` the bench sheet alone.",
        forecast.warnings.len()
    ));
    let mut text = lines.join("\n");
    text.push('\n');
    ShopWords::of(forecast).text(&text).into_owned()
}

/// Warnings of the job itself, such as of an air that makes no sense: those of a joint are notes on how it is made, and the sizes
/// that a part lacks are given with the cuts.
fn own_warnings(forecast: &Forecast) -> impl Iterator<Item = String> + '_ {
    let of_joint = |warning: &str| {
        forecast
            .drawings
            .iter()
            .any(|joint| warning.starts_with(&joint.name))
    };
    forecast
        .warnings
        .iter()
        .filter(move |warning| !of_joint(warning))
        .map(|warning| dates_in_words(warning))
}

/// The names of what floats, without how it is held.
fn names(floats: &[String]) -> Vec<&str> {
    floats
        .iter()
        .map(|line| line.split(": ").next().unwrap_or(line))
        .collect()
}

/// What does not hold, why, and the first remedy.
fn to_change(statements: &Statements) -> Vec<String> {
    let mut lines = Vec::new();
    for card in statements.to_change() {
        let mut line = format!("{:8} {}", card.verdict.word(), card.joint);
        if let Some(chance) = card.holds_chance {
            line.push_str(&format!(" (chance {})", in_hundred(chance)));
        }
        let reason = dates_in_words(&card.reason);
        // The details of a danger are given below.
        let reason = match reason.strip_prefix("Caution: ") {
            Some(danger) => danger.split(": ").next().unwrap_or_default(),
            None => &reason,
        };
        let more = !reason.is_empty() && !reason.starts_with("It stays within its limits");
        if more {
            line.push_str(&format!(": {}", reason.trim_end_matches('.')));
        }
        let fix = match card.remedies.first() {
            Some(remedy) => Some(format!(
                "Best: {}; the chance is then {}.",
                lower_first(&remedy.what),
                in_hundred(remedy.holds_chance)
            )),
            None => card.holds_chance.map(|_| {
                "No single change that the job allows fixes it: combine two, or make the joint another way."
                    .to_owned()
            }),
        };
        match fix {
            Some(fix) if more => {
                lines.push(format!("{line}."));
                lines.push(format!("         {fix}"));
            }
            Some(fix) => lines.push(format!("{line}. {fix}")),
            None => lines.push(format!("{line}.")),
        }
    }
    lines
}

fn lower_first(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
