//! The terminal summary: plain words first, the number second.

use crate::chance::Verdict;
use crate::forecast::{BondAtLength, BondFinding, FitFinding, Forecast};
use crate::joint::Advice;
use crate::units::notation::{millimetres, percent_shown, shown};
use crate::units::{Length, UnitSystem};
use comfy_table::{CellAlignment, Table, presets};
use std::fmt::Write as _;

/// How lengths are shown.
struct Words {
    system: UnitSystem,
}

impl Words {
    fn length(&self, mm: f64) -> String {
        shown(Length::computed_mm(mm), self.system)
    }
}

/// Which way a forecast shows lengths first.
#[must_use]
pub fn system(forecast: &Forecast) -> UnitSystem {
    if forecast.job.show == "inch" {
        UnitSystem::Inch
    } else {
        UnitSystem::Metric
    }
}

/// A month and day of an ISO date in words: `14 Feb 2027`.
#[must_use]
pub fn day_words(iso: &str) -> String {
    const MONTHS: [&str; 12] = [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ];
    let mut parts = iso.split('-');
    let (Some(year), Some(month), Some(day)) = (parts.next(), parts.next(), parts.next()) else {
        return iso.to_owned();
    };
    let name = month
        .parse::<usize>()
        .ok()
        .and_then(|month| MONTHS.get(month.wrapping_sub(1)));
    match name {
        Some(name) => format!("{} {name} {year}", day.trim_start_matches('0')),
        None => iso.to_owned(),
    }
}

/// What to cut today for a fit, in one sentence, and what it leads to.
#[must_use]
pub fn cut_sentence(fit: &FitFinding, system: UnitSystem) -> String {
    let words = Words { system };
    let cut = if fit.cut_told {
        format!(
            "The {} told is {} {}",
            fit.cut,
            words.length(fit.cut_mm),
            fit.dimension
        )
    } else {
        format!(
            "Cut the {} {} {}",
            fit.cut,
            words.length(fit.cut_mm),
            fit.dimension
        )
    };
    format!("{cut}; {}.", year_words(fit, system))
}

/// What a fit's cut leads to through the year, without its full stop.
#[must_use]
pub fn year_words(fit: &FitFinding, system: UnitSystem) -> String {
    let words = Words { system };
    match fit.held_least_mm {
        Some(held) if held > 0.0 => format!(
            "around {} {} are still held, and around {} the {} is down to {}",
            day_words(&fit.gap_greatest_on),
            words.length(held),
            day_words(&fit.gap_least_on),
            fit.gap,
            words.length(fit.gap_least_mm)
        ),
        _ if fit.survives_humidity_percent.is_none() && fit.gap_least_on == fit.gap_greatest_on => {
            format!(
                "at assembly the {} is {}",
                fit.gap,
                words.length(fit.gap_least_mm)
            )
        }
        _ => format!(
            "the {} goes from {} around {} to {} around {}",
            fit.gap,
            words.length(fit.gap_least_mm),
            day_words(&fit.gap_least_on),
            words.length(fit.gap_greatest_mm),
            day_words(&fit.gap_greatest_on)
        ),
    }
}

/// A text with the ISO dates in it put in words.
#[must_use]
pub fn dates_in_words(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, from) = rest.split_at(at);
        plain.push_str(before);
        let digits = from
            .find(|c: char| !(c.is_ascii_digit() || c == '-'))
            .unwrap_or(from.len());
        let (number, after) = from.split_at(digits);
        let shape: Vec<usize> = number.split('-').map(str::len).collect();
        if shape == [4, 2, 2] {
            plain.push_str(&day_words(number));
        } else {
            plain.push_str(number);
        }
        rest = after;
    }
    plain.push_str(rest);
    plain
}

/// What to do about a bond, in one sentence.
#[must_use]
pub fn bond_sentence(bond: &BondFinding, system: UnitSystem) -> String {
    let words = Words { system };
    match (bond.advice, bond.glue_middle_mm) {
        ("glue", _) => format!(
            "It may be glued over its whole {}.",
            words.length(bond.width_mm)
        ),
        ("glue_middle", Some(middle)) => format!(
            "Glue the middle {} and let the ends float; slots {} long at the ends.",
            words.length(middle),
            words.length(bond.slot_mm)
        ),
        _ => format!(
            "Let it float: slots {} long at the ends, the screw today {} from the slot's end toward the fixed point.",
            words.length(bond.slot_mm),
            words.length(bond.screw_in_slot_mm)
        ),
    }
}

/// What to do about a bond, without its slots.
#[must_use]
pub fn advice_sentence(advice: Advice, glue_middle: Option<Length>) -> String {
    match (advice, glue_middle) {
        (Advice::Glue, _) => "It may be glued over its whole length.".into(),
        (Advice::GlueMiddle, Some(middle)) => {
            format!(
                "Glue the middle {} and let the ends float.",
                millimetres(middle)
            )
        }
        _ => "Let it float.".into(),
    }
}

/// Bond length against chance, as a table.
#[must_use]
pub fn bond_table(rows: &[BondAtLength]) -> String {
    let mut table = Table::new();
    table.load_preset(presets::NOTHING).set_header([
        "glued over",
        "splits in 100",
        "end shear / strength",
    ]);
    for row in rows {
        table.add_row([
            millimetres(Length::computed_mm(row.glued_mm)),
            format!("{:.0}", row.split_chance_percent),
            format!("{:.2}", row.end_shear_share),
        ]);
    }
    for column in table.column_iter_mut() {
        column.set_cell_alignment(CellAlignment::Right);
    }
    table.to_string()
}

/// The summary.
#[must_use]
pub fn summary(forecast: &Forecast) -> String {
    let mut text = String::new();
    let _never_fails = write_summary(forecast, &mut text);
    text
}

fn write_summary(forecast: &Forecast, text: &mut String) -> std::fmt::Result {
    let system = system(forecast);
    let words = Words { system };
    let job = &forecast.job;
    writeln!(text, "{}", job.name)?;
    writeln!(
        text,
        "measured {}, glued up {}, delivered {}",
        day_words(&job.measured_on),
        day_words(&job.assembled_on),
        day_words(&job.delivered_on)
    )?;
    for place in &job.places {
        writeln!(text, "{}: {}", place.name, place.air)?;
    }
    listed(text, "CAUTION", &forecast.cautions)?;
    if !forecast.fits.is_empty() {
        writeln!(text, "\nWHAT TO CUT")?;
        for fit in &forecast.fits {
            writeln!(
                text,
                "\n{}  [{}, works in {:.0} of 100]",
                fit.joint,
                fit.verdict.word(),
                fit.holds_chance_percent
            )?;
            writeln!(text, "  {}", cut_sentence(fit, system))?;
            if fit.verdict != Verdict::Holds {
                writeln!(text, "  Why: {}.", dates_in_words(&fit.reason))?;
                for remedy in &fit.remedies {
                    writeln!(
                        text,
                        "  Better: {} (then it works in {:.0} of 100).",
                        remedy.what, remedy.holds_chance_percent
                    )?;
                }
                if fit.remedies.is_empty() {
                    writeln!(
                        text,
                        "  No single change tried here mends it enough: combine two, or make the joint another way."
                    )?;
                }
            }
            if let Some(time) = &fit.bound_by {
                writeln!(text, "  Binds: {}.", dates_in_words(time))?;
            }
            if let Some(winter) = &fit.first_winter {
                writeln!(text, "  First winter: {}.", dates_in_words(winter))?;
            }
        }
    }
    if !forecast.bonds.is_empty() {
        writeln!(text, "\nGLUE OR FLOAT")?;
        for bond in &forecast.bonds {
            writeln!(
                text,
                "\n{}  [{}, {}; splits in {:.0} of 100]",
                bond.joint,
                bond.verdict.word(),
                bond.design,
                bond.split_chance_percent
            )?;
            writeln!(text, "  {}", bond_sentence(bond, system))?;
            writeln!(text, "  Why: {}.", bond.reason)?;
        }
    }
    let parts = super::json::part_facts(forecast);
    let standing = super::StandingAnswer {
        standing: &forecast.standing,
        parts: &parts,
        system,
    };
    for board in &forecast.boards {
        writeln!(text, "\nRESAWING {}", board.name)?;
        let answer = super::BoardAnswer {
            tells_cup: true,
            order: &board.order,
            forecast: &board.forecast,
            outturn: None,
            notes: board.notes.clone(),
        };
        indent(text, &answer.words())?;
    }
    for panel in &forecast.panels {
        writeln!(text, "\nMATCHING {}", panel.name)?;
        let answer = super::PanelAnswer {
            panel: &panel.panel,
            best: &panel.best,
            flag: panel.flag.as_ref(),
            rules: &panel.rules,
            system,
        };
        indent(text, &answer.words())?;
    }
    for (title, words) in [
        ("PULLED STRAIGHT", standing.straighten_words()),
        ("SHELVES", standing.shelf_words()),
        ("GLUE-UP", standing.glueup_words()),
        ("ON SITE", standing.install_words()),
    ] {
        if !words.is_empty() {
            writeln!(text, "\n{title}")?;
            indent(text, &words)?;
        }
    }
    writeln!(text, "\nHOW WIDE")?;
    for part in &forecast.parts {
        writeln!(
            text,
            "  {}: {} now at {}; {} at its narrowest ({}, {}), {} at its widest ({}, {}){}; first winter {} on {}; later years driest in the week from {}, wettest in that from {}",
            part.name,
            words.length(part.width_mm),
            percent_shown(part.moisture_percent),
            words.length(part.width_driest_mm),
            day_words(&part.driest_on),
            percent_shown(part.moisture_driest_percent),
            words.length(part.width_wettest_mm),
            day_words(&part.wettest_on),
            percent_shown(part.moisture_wettest_percent),
            cup_words(part.cup_driest_mm, part.pith_inside, &words),
            percent_shown(part.first_year_driest_percent),
            day_words(&part.first_year_driest_on),
            day_words(&part.driest_week_from),
            day_words(&part.wettest_week_from)
        )?;
    }
    if let Some([low, high]) = forecast.client.keep_humidity_percent {
        writeln!(
            text,
            "\nKeep the room between {low:.0} and {high:.0} % relative humidity and every joint holds."
        )?;
    }
    if let Some(first) = forecast.measure_next.first() {
        writeln!(
            text,
            "\nWorth measuring next: {} ({}); the answers in doubt would then spread {:.0} % as wide.",
            first.input, first.measure, first.narrows_to_percent
        )?;
    }
    listed(text, "WATCH", &forecast.warnings)
}

/// A titled list; nothing when it is empty.
fn listed(text: &mut String, title: &str, list: &[String]) -> std::fmt::Result {
    if !list.is_empty() {
        writeln!(text, "\n{title}")?;
        for line in list {
            writeln!(text, "  {line}")?;
        }
    }
    Ok(())
}

/// Puts lines two steps in.
fn indent(text: &mut String, words: &str) -> std::fmt::Result {
    for line in words.trim_end().lines() {
        if line.is_empty() {
            writeln!(text)?;
        } else {
            writeln!(text, "  {line}")?;
        }
    }
    Ok(())
}

fn cup_words(cup_mm: Option<f64>, pith_inside: bool, words: &Words) -> String {
    match cup_mm {
        _ if pith_inside => "; the pith is inside: it will check".into(),
        Some(cup) if cup.abs() >= 0.05 => format!(
            "; cups {} hollow on its {} face at the driest",
            words.length(cup.abs()),
            if cup > 0.0 { "bark" } else { "heart" }
        ),
        _ => String::new(),
    }
}
