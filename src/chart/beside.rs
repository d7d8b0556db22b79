//! What was measured beside what a model makes of it: a finish's printed exclusion, a house's measured months.

use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::Frame;
use super::scale::Measure;
use super::sheet::{Sheet, TextStyle};
use super::words::decimals;
use super::year::SIZE;
use crate::air::indoor::Comparison;
use crate::moisture::ExclusionRow;

/// Measured values and a model's, at the same places.
#[derive(Debug, Clone, PartialEq)]
pub struct BesideFigure {
    /// Title.
    pub title: String,
    /// What is measured, with its unit.
    pub measure: String,
    /// What the places are.
    pub along: String,
    /// Name of each place.
    pub places: Vec<String>,
    /// Where each place stands.
    pub at: Vec<f64>,
    /// As measured.
    pub measured: Vec<f64>,
    /// As the model has it.
    pub model: Vec<f64>,
    /// How far the model is off, in words.
    pub off: String,
}

impl BesideFigure {
    /// A finish of the exclusion table: the printed share of bare wood's uptake that it keeps out, beside the
    /// simulation of the same test with the one permeance fitted to it.
    #[must_use]
    pub fn of_finish(row: &ExclusionRow) -> Self {
        let days = [("1 day", 1.0), ("7 days", 7.0), ("14 days", 14.0)];
        let read: Vec<(&str, f64, f64, f64)> = days
            .into_iter()
            .zip(row.measured_percent())
            .zip(row.simulated_percent())
            .filter_map(|(((place, at), measured), model)| Some((place, at, measured?, model)))
            .collect();
        let mut off = format!(
            "off by {} points, root mean square",
            decimals(row.residual_points(), 1)
        );
        if !row.is_reproduced() {
            off.push_str(": one permeance does not reproduce this finish");
        }
        Self {
            title: format!("{}: moisture kept out", row.named()),
            measure: "share of bare wood's uptake kept out, %".to_owned(),
            along: "days at 90 % humidity".to_owned(),
            places: read.iter().map(|(place, ..)| (*place).to_owned()).collect(),
            at: read.iter().map(|(_, at, ..)| *at).collect(),
            measured: read.iter().map(|(_, _, measured, _)| *measured).collect(),
            model: read.iter().map(|(.., model)| *model).collect(),
            off,
        }
    }

    /// A house: its measured monthly humidity beside what a model makes of the outdoor air and the measured temperature.
    #[must_use]
    pub fn of_house(name: &str, found: &Comparison) -> Self {
        let months = &found.months;
        Self {
            title: format!(
                "{name}: humidity indoors, measured and from the outdoor air ({})",
                found.model
            ),
            measure: "relative humidity, %".to_owned(),
            along: "months measured".to_owned(),
            places: months
                .iter()
                .map(|month| format!("{}-{:02}", month.year, month.month))
                .collect(),
            at: (0..months.len()).map(|index| index as f64).collect(),
            measured: months.iter().map(|month| month.measured_percent).collect(),
            model: months.iter().map(|month| month.predicted_percent).collect(),
            off: format!(
                "off by {} points, root mean square",
                decimals(found.humidity_rms, 1)
            ),
        }
    }

    /// Draws the figure under an id from [`super::FigureIds`].
    #[must_use]
    pub fn draw(&self, id: &str) -> Figure {
        let measure = Measure::Number;
        let heights = measure.range_of(self.measured.iter().chain(&self.model).copied());
        let last = self.at.iter().copied().fold(1.0, f64::max);
        let sheet = Sheet::new(id, SIZE.0, SIZE.1);
        let note = TextStyle::new(Ink::Note, 11.5);
        let ticks = measure.ticks(&heights, 5);
        let widest = ticks
            .iter()
            .map(|tick| note.width(&tick.label))
            .fold(14.0, f64::max);
        let frame = Frame {
            left: widest + 14.0,
            top: 48.0,
            right: SIZE.0 - 14.0,
            bottom: SIZE.1 - 30.0,
        };
        let plot = sheet.plot(frame, -0.03 * last..1.03 * last, heights);
        sheet.open("hs-scale");
        for tick in &ticks {
            let y = plot.px(0.0, tick.value).1;
            sheet.path(Ink::Grid, &[(frame.left, y), (frame.right, y)]);
            sheet.text(note.right().level(), &tick.label, (frame.left - 7.0, y));
        }
        sheet.close();
        let mut free = f64::NEG_INFINITY;
        for (at, place) in self.at.iter().zip(&self.places) {
            let x = plot.px(*at, 0.0).0;
            sheet.path(Ink::Axis, &[(x, frame.bottom), (x, frame.bottom + 4.0)]);
            let half = note.width(place) / 2.0;
            if x - half > free && x + half < SIZE.0 {
                sheet.text(note.centred().hanging(), place, (x, frame.bottom + 8.0));
                free = x + half + 10.0;
            }
        }
        sheet.path(
            Ink::Axis,
            &[(frame.left, frame.bottom), (frame.right, frame.bottom)],
        );
        sheet.text(note.hanging(), &self.measure, (8.0, 8.0));
        sheet.text(note.right().hanging(), &self.along, (SIZE.0 - 8.0, 8.0));
        sheet.text(
            note.hanging(),
            &format!("dots: measured; line: model, {}", self.off),
            (8.0, 25.0),
        );
        let points = |values: &[f64]| -> Vec<(f64, f64)> {
            self.at
                .iter()
                .copied()
                .zip(values.iter().copied())
                .collect()
        };
        plot.curve(Ink::Curve, &points(&self.model));
        for (at, value) in points(&self.measured)
            .into_iter()
            .filter(|point| point.1.is_finite())
        {
            sheet.dot(Ink::TodayMark, plot.px(at, value), 4.5);
        }
        let rows = self
            .places
            .iter()
            .zip(self.measured.iter().zip(&self.model))
            .map(|(place, (measured, model))| {
                vec![place.clone(), decimals(*measured, 1), decimals(*model, 1)]
            })
            .collect();
        Figure::new(
            id,
            SIZE,
            Caption {
                title: self.title.clone(),
                reading: "The dots were measured; the nearer the line runs to them, the better the model.".to_owned(),
                description: format!("Measured values and a model's over {}; the model is {}.", self.along, self.off),
            },
            sheet,
            NumberTable {
                heads: ["When", "Measured", "Model"].map(str::to_owned).to_vec(),
                rows,
            },
        )
    }
}
