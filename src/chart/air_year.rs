//! The air of a place through its year, beside what was known of it before.

use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::scale::Measure;
use super::words::{day_name, decimals, mid_month, month_name};
use super::year::{DayLabel, SIZE, YearSheet, daily, extremes};

/// The relative humidity of a place, day by day.
#[derive(Debug, Clone, PartialEq)]
pub struct AirYearFigure {
    /// The place.
    pub place: String,
    /// Relative humidity of the 365 days from 1 January, percent.
    pub now_percent: Vec<f64>,
    /// The same as it was taken before; none where nothing changed.
    pub before_percent: Option<Vec<f64>>,
}

fn humidity(value: f64) -> String {
    format!("{} %", decimals(value, 0))
}

impl AirYearFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Air of the place {} through the year", self.place)
    }

    /// Draws the figure under an id from [`super::FigureIds`].
    #[must_use]
    pub fn draw(&self, id: &str) -> Figure {
        let now = daily(&self.now_percent);
        let before = self.before_percent.as_deref().map(daily);
        let values = self
            .now_percent
            .iter()
            .chain(self.before_percent.iter().flatten());
        let range = Measure::Number.range_of(values.copied());
        let mut year = YearSheet::new(id, "relative humidity, %", Measure::Number, range);
        if let Some(before) = &before {
            year.curve(Ink::FirstYear, before);
        }
        year.curve(Ink::Curve, &now);
        let turning = extremes(&self.now_percent, 0.5);
        let mut labels = Vec::new();
        if let Some((driest, dampest)) = turning {
            for (day, mark, letter) in [
                (driest, Ink::DryMark, Ink::DryLetter),
                (dampest, Ink::WetMark, Ink::WetLetter),
            ] {
                let value = self.now_percent[day];
                labels.push(DayLabel {
                    day: day as f64 + 0.5,
                    value,
                    mark,
                    letter,
                    text: format!("{}, {}", humidity(value), day_name(day)),
                });
            }
        }
        year.marks(&labels);
        if let Some(before) = &before {
            // Where it is farthest from the new one, so that it is plain which line is meant.
            let apart = |p: &(f64, f64)| {
                let new = now.get(p.0 as usize % 365).map_or(p.1, |new| new.1);
                (p.1 - new).abs()
            };
            if let Some(at) = before.iter().max_by(|a, b| apart(a).total_cmp(&apart(b))) {
                year.label(Ink::DryLetter, "before", *at);
            }
        }
        let reading = if before.is_some() {
            "The line is the air as it is given now, the dashes as it was given before."
        } else {
            "The line is the relative humidity of the place, day by day; the year repeats."
        };
        let description = turning.map_or_else(
            || "The air is the same all year.".to_owned(),
            |(driest, dampest)| {
                format!(
                    "Driest on {} at {}, dampest on {} at {}.",
                    day_name(driest),
                    humidity(self.now_percent[driest]),
                    day_name(dampest),
                    humidity(self.now_percent[dampest])
                )
            },
        );
        Figure::new(
            id,
            SIZE,
            Caption {
                title: self.title(),
                reading: reading.to_owned(),
                description,
            },
            year.sheet,
            self.table(),
        )
    }

    fn table(&self) -> NumberTable {
        let mut heads = vec!["Month".to_owned(), "Mid-month".to_owned()];
        if self.before_percent.is_some() {
            heads.push("Before".to_owned());
        }
        let rows = (0..12)
            .map(|month| {
                let day = mid_month(month);
                let at =
                    |values: &[f64]| values.get(day).map_or_else(String::new, |v| humidity(*v));
                let mut row = vec![month_name(month).to_owned(), at(&self.now_percent)];
                row.extend(self.before_percent.as_deref().map(at));
                row
            })
            .collect();
        NumberTable { heads, rows }
    }
}
