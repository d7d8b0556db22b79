//! The days of a job: from measuring to the final fit, in words and as an iCalendar file (RFC 5545).

use super::digest;
use super::text::day_words;
use crate::chance::Verdict;
use crate::chart::capital;
use crate::forecast::{FitFinding, Forecast, PartFinding};
use crate::units::notation::{percent_shown, the};
use icalendar::{Calendar, Class, Component, Event};
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde::Serialize;

/// A day on which something is done or happens.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct CalendarDay {
    /// The day.
    pub on: Date,
    /// What is done or happens: `Deliver`.
    pub what: String,
    /// More about it.
    pub about: String,
}

/// The days of a job in their order.
#[must_use]
pub fn calendar(forecast: &Forecast) -> Vec<CalendarDay> {
    let job = &forecast.job;
    let mut days = Vec::new();
    let mut add = |on: Date, what: &str, about: String| {
        days.push(CalendarDay {
            on,
            what: what.to_owned(),
            about,
        });
    };
    add(
        job.measured_on,
        "Measure",
        "Sizes and moisture of this day; cut what the bench sheet says.".to_owned(),
    );
    let boards = forecast.boards.iter().map(|board| board.name.as_str());
    let boards: Vec<&str> = boards.collect();
    if !boards.is_empty() {
        add(
            job.measured_on,
            "Resaw",
            format!("{}.", capital(&boards.join(", "))),
        );
    }
    for board in &forecast.boards {
        let rest = board.forecast.rests.iter().map(|rest| rest.day_90).max();
        if let Some(rest) = rest.flatten() {
            let rest = i64::try_from(rest).unwrap_or(0).days();
            add(
                job.measured_on.saturating_add(rest),
                "Rest until, then mill",
                format!("The leaves of {}: 90 % of the change is over.", board.name),
            );
        }
    }
    add(
        job.assembled_on,
        "Glue up",
        match &forecast.standing.glueup {
            Some((_, stages)) => format!("In {} stages.", stages.stages.len()),
            None => String::new(),
        },
    );
    if let Some(finished) = job.finished_on {
        add(
            finished,
            "Finish",
            "Both faces alike, and the ends.".to_owned(),
        );
    }
    add(job.delivered_on, "Deliver", String::new());
    if let Some((on, about)) = first_worst_day(forecast) {
        add(on, "First worst day", about);
    }
    for (part, on) in final_fits(forecast) {
        add(
            on,
            "Final fit",
            format!("{} has then reached the house's air.", capital(&part)),
        );
    }
    days.sort_by_key(|day| day.on);
    days
}

/// The part whose width changes most through the year.
pub(super) fn moves_most(forecast: &Forecast) -> Option<&PartFinding> {
    let parts = forecast.parts.iter();
    parts.max_by(|a, b| a.width_swing().total_cmp(&b.width_swing()))
}

/// The first day at home on which the fit least sure is at its worst; where all hold, the driest day of the part that moves most.
fn first_worst_day(forecast: &Forecast) -> Option<(Date, String)> {
    let at_home = |fit: &FitFinding| {
        let worst = if fit.too_tight_chance >= fit.too_loose_chance {
            fit.gap_min_on
        } else {
            fit.gap_max_on
        };
        (worst >= forecast.job.delivered_on).then_some(worst)
    };
    let worst = forecast
        .fits
        .iter()
        .filter(|fit| fit.verdict != Verdict::Holds)
        .filter_map(|fit| Some((fit, at_home(fit)?)))
        .min_by(|a, b| a.0.holds_chance.total_cmp(&b.0.holds_chance));
    let most = moves_most(forecast)?;
    Some(match worst {
        Some((fit, on)) if on <= most.first_year_driest_on => {
            (on, format!("{}: look at its gap.", capital(&fit.joint)))
        }
        _ => (
            most.first_year_driest_on,
            format!(
                "{} is then at {}, its driest of the first year.",
                capital(&the(&most.name)),
                percent_shown(most.first_year_driest.percent())
            ),
        ),
    })
}

/// The parts of doors and drawers that are fitted last, and the day of each.
fn final_fits(forecast: &Forecast) -> Vec<(String, Date)> {
    let Some(install) = &forecast.standing.install else {
        return Vec::new();
    };
    let fitted: Vec<&str> = forecast
        .drawings
        .iter()
        .filter(|joint| {
            forecast.fits[joint.fits.clone()]
                .iter()
                .any(|fit| matches!(fit.kind, "inset" | "drawer" | "overlay"))
        })
        .filter_map(|joint| forecast.parts.get(joint.drawing.piece.0))
        .map(|part| part.name.as_str())
        .collect();
    install
        .fit_days
        .iter()
        .filter(|day| fitted.contains(&day.part.as_str()))
        .map(|day| (day.part.clone(), day.on))
        .collect()
}

/// The days as an iCalendar file. The same job gives the same bytes: the stamp is the day of measuring and each id follows
/// from the day, the deed and the piece.
#[must_use]
pub fn ics(forecast: &Forecast) -> String {
    let name = &forecast.job.name;
    let stamp = ics_day(forecast.job.measured_on);
    let mut calendar_file = Calendar::empty();
    calendar_file
        .append_property(("VERSION", "2.0"))
        .append_property(("PRODID", "-//heartside//calendar//EN"))
        .append_property(("CALSCALE", "GREGORIAN"))
        .name(name);
    for day in calendar(forecast) {
        let next = day.on.saturating_add(1.day());
        let id = digest(format!("{name}\n{}\n{}\n{}", day.on, day.what, day.about).as_bytes());
        let words = format!("{} ({})", day.about, day_words(day.on));
        let event = Event::new()
            .uid(&format!("{id}@heartside"))
            .add_property("DTSTAMP", format!("{stamp}T000000Z"))
            .append_property(whole_day("DTSTART", day.on))
            .append_property(whole_day("DTEND", next))
            .summary(&format!("{name}: {}", day.what))
            .description(&words)
            .class(Class::Private)
            .add_property("TRANSP", "TRANSPARENT")
            .done();
        calendar_file.push(event);
    }
    calendar_file.to_string()
}

fn ics_day(day: Date) -> String {
    day.to_string().replace('-', "")
}

fn whole_day(key: &str, day: Date) -> icalendar::Property {
    let mut property = icalendar::Property::new(key, ics_day(day));
    property.add_parameter("VALUE", "DATE");
    property
}
