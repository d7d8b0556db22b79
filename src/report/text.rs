//! The terminal summary: plain words first, the number second.

use super::shop_words::ShopWords;
use crate::chance::{Verdict, in_hundred};
use crate::chart::month_name;
use crate::forecast::{BondAtLength, FitFinding, Forecast, PartFinding, Remedy};
use crate::movement::CUP_NOT_KNOWN;
use crate::units::notation::{millimetres, percent_shown, shown};
use crate::units::{Length, UnitSystem};
use comfy_table::{CellAlignment, Table, presets};
use jiff::civil::Date;
use std::fmt::Write as _;

/// How lengths are shown.
struct Words {
    system: UnitSystem,
}

impl Words {
    fn length(&self, length: Length) -> String {
        shown(length, self.system)
    }
}

/// Which way a forecast shows lengths first.
#[must_use]
pub fn system(forecast: &Forecast) -> UnitSystem {
    if forecast.job.units == "inch" {
        UnitSystem::Inch
    } else {
        UnitSystem::Metric
    }
}

/// A date in words: `14 Feb 2027`.
#[must_use]
pub fn day_words(date: Date) -> String {
    let month = &month_of(date)[..3];
    format!("{} {month} {}", date.day(), date.year())
}

/// The month of a date: `February`.
#[must_use]
pub(super) fn month_of(date: Date) -> &'static str {
    month_name(usize::from(date.month().unsigned_abs()).saturating_sub(1))
}

/// What stands before the size of a fit: `Cut the groove`, `Set the front`, or that the size was given.
#[must_use]
pub fn size_words(fit: &FitFinding) -> String {
    if fit.cut_given {
        return format!("The {}, as given, is", fit.cut);
    }
    if fit.size <= Length::ZERO && fit.verdict == Verdict::Fails {
        return format!("No {} of any size holds; the nearest is", fit.cut);
    }
    let verb = match (fit.dimension, fit.kind) {
        ("back" | "off the apron", _) => "Set",
        (_, "tongue_and_groove") => "Leave",
        _ => "Cut",
    };
    format!("{verb} the {}", fit.cut)
}

/// What to cut today for a fit, in one sentence, and what it leads to.
#[must_use]
pub fn cut_sentence(fit: &FitFinding, system: UnitSystem) -> String {
    let words = Words { system };
    format!(
        "{} {} {}; {}.",
        size_words(fit),
        words.length(fit.size),
        fit.dimension,
        year_words(fit, system)
    )
}

/// What a fit's cut leads to through the year, without its full stop.
#[must_use]
pub fn year_words(fit: &FitFinding, system: UnitSystem) -> String {
    let words = Words { system };
    match fit.held_min_mm {
        Some(held) if held > Length::ZERO => format!(
            "{} is still held around {}, and the {} is down to {} around {}",
            words.length(held),
            day_words(fit.gap_max_on),
            fit.gap,
            words.length(fit.gap_min.middle),
            day_words(fit.gap_min_on)
        ),
        _ if fit.survives_humidity_percent.is_none() && fit.gap_min_on == fit.gap_max_on => {
            format!(
                "at assembly the {} is {}",
                fit.gap,
                words.length(fit.gap_min.middle)
            )
        }
        _ => format!(
            "the {} goes from {} around {} to {} around {}",
            fit.gap,
            words.length(fit.gap_min.middle),
            day_words(fit.gap_min_on),
            words.length(fit.gap_max.middle),
            day_words(fit.gap_max_on)
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
        match number.parse() {
            Ok(date) if shape == [4, 2, 2] => plain.push_str(&day_words(date)),
            _ => plain.push_str(number),
        }
        rest = after;
    }
    plain.push_str(rest);
    plain
}

/// Bond length against chance, as a table.
#[must_use]
pub fn bond_table(rows: &[BondAtLength]) -> String {
    let mut table = Table::new();
    table.load_preset(presets::NOTHING).set_header([
        "glued over",
        "splits, in 100",
        "end shear / strength",
    ]);
    for row in rows {
        table.add_row([
            millimetres(row.glued),
            format!("{:.0}", row.split_chance.percent()),
            format!("{:.2}", row.end_shear_share),
        ]);
    }
    for column in table.column_iter_mut() {
        column.set_cell_alignment(CellAlignment::Right);
    }
    table.to_string()
}

/// Everything in words.
#[must_use]
pub fn full_text(forecast: &Forecast) -> String {
    let mut text = String::new();
    let _never_fails = write_full_text(forecast, &mut text);
    ShopWords::of(forecast).text(&text).into_owned()
}

fn write_full_text(forecast: &Forecast, text: &mut String) -> std::fmt::Result {
    let system = system(forecast);
    let words = Words { system };
    let job = &forecast.job;
    writeln!(text, "{}", job.name)?;
    writeln!(
        text,
        "measured {}, glued up {}, delivered {}",
        day_words(job.measured_on),
        day_words(job.assembled_on),
        day_words(job.delivered_on)
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
                "\n{}  [{}, chance {}]",
                fit.joint,
                fit.verdict.word(),
                in_hundred(fit.holds_chance)
            )?;
            writeln!(text, "  {}", cut_sentence(fit, system))?;
            if fit.verdict != Verdict::Holds {
                writeln!(text, "  Why: {}.", dates_in_words(&fit.reason))?;
                remedies(text, &fit.remedies)?;
                if fit.remedies.is_empty() {
                    writeln!(
                        text,
                        "  No single change tried here fixes it enough: combine two, or make the joint another way."
                    )?;
                }
            }
            if let Some(time) = &fit.bound_by {
                writeln!(text, "  Limiting season: {}.", dates_in_words(time))?;
            }
            if let Some(first) = &fit.first_winter {
                let words = first.trim_start_matches("in the first year ");
                writeln!(text, "  First year: {}.", dates_in_words(words))?;
            }
        }
    }
    if !forecast.bonds.is_empty() {
        writeln!(text, "\nGLUE OR FLOAT")?;
        for bond in &forecast.bonds {
            let splits = if bond.design == "floating" {
                String::new()
            } else {
                format!("; chance of splitting {}", in_hundred(bond.split_chance))
            };
            writeln!(
                text,
                "\n{}  [{}, {}{splits}]",
                bond.joint,
                bond.verdict.word(),
                bond.design
            )?;
            writeln!(text, "  {}", bond.to_do)?;
            writeln!(text, "  Why: {}.", bond.reason)?;
            remedies(text, &bond.remedies)?;
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
            recovery: None,
            notes: board.notes.clone(),
            system,
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
    let framed = forecast.frame.as_ref().map(|frame| frame.words(system));
    if let Some(words) = framed.filter(|words| !words.is_empty()) {
        writeln!(text, "\nTHE CASE AS ONE FRAME")?;
        indent(text, &words.join("\n"))?;
    }
    writeln!(text, "\nHOW WIDE")?;
    for part in &forecast.parts {
        writeln!(
            text,
            "  {}: {} now at {}; {} at its narrowest ({}, {}), {} at its widest ({}, {}){}; in the first year down to {} on {}; later years driest in the week from {}, wettest in that from {}",
            part.name,
            words.length(part.width),
            percent_shown(part.moisture.percent()),
            words.length(part.width_driest.middle),
            day_words(part.driest_on),
            percent_shown(part.moisture_driest.middle.percent()),
            words.length(part.width_wettest.middle),
            day_words(part.wettest_on),
            percent_shown(part.moisture_wettest.middle.percent()),
            cup_words(part, &words),
            percent_shown(part.first_year_driest.percent()),
            day_words(part.first_year_driest_on),
            day_words(part.driest_week_from),
            day_words(part.wettest_week_from)
        )?;
    }
    if let Some([low, high]) = forecast.client.keep_humidity_percent {
        writeln!(
            text,
            "\nKeep the room between {:.0} and {:.0} % relative humidity: in steady air within that, every joint holds as long as the wood moves as expected.",
            low.percent(),
            high.percent()
        )?;
    }
    if let Some(first) = forecast.measure_next.first() {
        writeln!(
            text,
            "\nWorth measuring next: {} ({}); the answers in doubt would then spread {:.0} % as wide.",
            first.input,
            first.measure,
            first.narrows_to.percent()
        )?;
    }
    listed(text, "WATCH", &forecast.warnings)?;
    listed(
        text,
        "NOT MODELED, AND HOW MUCH IT MAY BE",
        &forecast.not_modeled,
    )
}

/// What would fix a joint, one line each.
fn remedies(text: &mut String, remedies: &[Remedy]) -> std::fmt::Result {
    for remedy in remedies {
        writeln!(
            text,
            "  Better: {} (chance then {}).",
            remedy.what,
            in_hundred(remedy.holds_chance)
        )?;
    }
    Ok(())
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

fn cup_words(part: &PartFinding, words: &Words) -> String {
    match part.cup_driest_mm {
        _ if part.pith_inside => "; the pith is inside: it will check".into(),
        _ if !part.cup_known => format!("; {CUP_NOT_KNOWN}"),
        Some(cup) if cup.abs().mm() >= 0.05 => format!(
            "; its {1} face hollow by {0} at the driest",
            words.length(cup.abs()),
            if cup > Length::ZERO { "bark" } else { "heart" }
        ),
        _ => String::new(),
    }
}
