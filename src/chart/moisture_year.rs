//! The moisture year of a part.

use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::scale::Measure;
use super::words::{day_name, mid_month, month_name, percent};
use super::year::{DayLabel, SIZE, YearSheet, daily, extremes};
use crate::units::MoistureContent;

/// A day of the year (0 is 1 January) with what was or will be read on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayMark<T> {
    /// Day of the year, 0 to 364.
    pub day: usize,
    /// The value.
    pub value: T,
}

/// The low and the high edge of a band, day by day (5 and 95 in 100 draws).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DailyBand {
    /// Low edge.
    pub low: Vec<f64>,
    /// High edge.
    pub high: Vec<f64>,
}

/// How moist a part is through the year at home, percent of its oven-dry mass.
#[derive(Debug, Clone, PartialEq)]
pub struct MoistureYearFigure {
    /// The part.
    pub part: String,
    /// Mean moisture through the thickness for the 365 days from 1 January, once years repeat.
    pub mean_percent: Vec<f64>,
    /// The band that holds 90 in 100 draws.
    pub band_percent: Option<DailyBand>,
    /// The first year, from the day of delivery on: that day, and the mean moisture
    /// on it and the days after it.
    pub first_year: Option<DayMark<Vec<f64>>>,
    /// The day and the moisture the part was measured at.
    pub measured: Option<DayMark<MoistureContent>>,
}

impl MoistureYearFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Moisture of the {} through the year", self.part)
    }

    /// Draws the figure under an id from [`super::FigureIds`].
    #[must_use]
    pub fn draw(&self, id: &str) -> Figure {
        let mean = daily(&self.mean_percent);
        let first = self.first_year_runs();
        let mut values: Vec<f64> = mean.iter().map(|p| p.1).collect();
        values.extend(first.iter().flatten().map(|p| p.1));
        values.extend(self.measured.iter().map(|m| m.value.percent()));
        if let Some(band) = &self.band_percent {
            values.extend(band.low.iter().chain(&band.high));
        }
        let range = Measure::Number.range_of(values);
        let mut year = YearSheet::new(id, "moisture content, %", Measure::Number, range);

        if let Some(band) = &self.band_percent {
            let (low, high) = (daily(&band.low), daily(&band.high));
            year.plot.band(Ink::Band, &low, &high);
            year.curve(Ink::BandEdge, &low);
            year.curve(Ink::BandEdge, &high);
        }
        for run in &first {
            year.curve(Ink::FirstYear, run);
        }
        year.curve(Ink::Curve, &mean);

        let mut labels = Vec::new();
        let turning = extremes(&self.mean_percent, 0.05);
        if let Some((driest, wettest)) = turning {
            for (day, mark, letter) in [
                (driest, Ink::DryMark, Ink::DryLetter),
                (wettest, Ink::WetMark, Ink::WetLetter),
            ] {
                let value = self.mean_percent[day];
                labels.push(DayLabel {
                    day: day as f64 + 0.5,
                    value,
                    mark,
                    letter,
                    text: format!("{}, {}", percent(value), day_name(day)),
                });
            }
        }
        if let Some(measured) = self.measured {
            labels.push(DayLabel {
                day: (measured.day % 365) as f64 + 0.5,
                value: measured.value.percent(),
                mark: Ink::TodayMark,
                letter: Ink::TodayLetter,
                text: format!(
                    "measured {}, {}",
                    percent(measured.value.percent()),
                    day_name(measured.day)
                ),
            });
        }
        year.marks(&labels);
        if let Some(run) = first.iter().max_by_key(|run| run.len()) {
            // Where it lies farthest from the later years, so that it is plain which line is meant.
            let apart = |p: &(f64, f64)| {
                let later = mean.get(p.0 as usize % 365).map_or(p.1, |later| later.1);
                (p.1 - later).abs()
            };
            let at = run.iter().max_by(|a, b| apart(a).total_cmp(&apart(b)));
            year.label(Ink::DryLetter, "first year", at.copied().unwrap_or(run[0]));
        }
        if let Some(band) = &self.band_percent
            && let (Some(day), Some(_)) = (turning.map(|t| t.1), band.high.first())
            && let Some(value) = band.high.get((day + 60) % 365)
        {
            year.label(
                Ink::Note,
                "90 in 100",
                (((day + 60) % 365) as f64 + 0.5, *value),
            );
        }

        let reading = match (turning.is_some(), self.first_year.is_some()) {
            (false, _) => {
                "The air given is constant, so the part has no year: it settles at the line."
            }
            (true, false) => {
                "The line is the part\u{2019}s mean moisture once the seasons repeat; the triangles are its driest and its wettest day."
            }
            (true, true) => {
                "The line is the part\u{2019}s mean moisture once the seasons repeat, the dashes its first year in the house; the triangles are its driest and its wettest day."
            }
        };
        Figure::new(
            id,
            SIZE,
            Caption {
                title: self.title(),
                reading: if self.band_percent.is_some() {
                    format!("{reading} The shaded band holds 90 in 100 draws.")
                } else {
                    reading.to_owned()
                },
                description: self.described(turning),
            },
            year.sheet,
            self.table(&first),
        )
    }

    fn first_year_runs(&self) -> Vec<Vec<(f64, f64)>> {
        let Some(first) = &self.first_year else {
            return Vec::new();
        };
        let mut runs = vec![Vec::new()];
        for (i, value) in first.value.iter().take(365).enumerate() {
            let day = (first.day + i) % 365;
            if day == 0 && i > 0 {
                runs.push(Vec::new());
            }
            if let Some(run) = runs.last_mut() {
                run.push((day as f64 + 0.5, *value));
            }
        }
        runs.retain(|run| run.len() > 1);
        runs
    }

    fn described(&self, turning: Option<(usize, usize)>) -> String {
        let mut text = match turning {
            Some((driest, wettest)) => format!(
                "The {} is driest on {} at {} and wettest on {} at {}.",
                self.part,
                day_name(driest),
                percent(self.mean_percent[driest]),
                day_name(wettest),
                percent(self.mean_percent[wettest]),
            ),
            None => format!(
                "The {} settles at {}.",
                self.part,
                percent(self.mean_percent.first().copied().unwrap_or(f64::NAN))
            ),
        };
        if let Some(measured) = self.measured {
            text.push_str(&format!(
                " It was measured at {} on {}.",
                percent(measured.value.percent()),
                day_name(measured.day)
            ));
        }
        text
    }

    fn table(&self, first: &[Vec<(f64, f64)>]) -> NumberTable {
        let mut heads = vec!["Month".to_owned(), "Mean, mid-month".to_owned()];
        if self.band_percent.is_some() {
            heads.extend(["Low".to_owned(), "High".to_owned()]);
        }
        if !first.is_empty() {
            heads.push("First year".to_owned());
        }
        let at = |values: &[f64], day: usize| {
            values
                .get(day)
                .map_or_else(|| "\u{2013}".to_owned(), |v| percent(*v))
        };
        let rows = (0..12)
            .map(|month| {
                let day = mid_month(month);
                let mut row = vec![month_name(month).to_owned(), at(&self.mean_percent, day)];
                if let Some(band) = &self.band_percent {
                    row.extend([at(&band.low, day), at(&band.high, day)]);
                }
                if let Some(start) = &self.first_year {
                    row.push(at(&start.value, (day + 365 - start.day % 365) % 365));
                }
                row
            })
            .collect();
        NumberTable { heads, rows }
    }
}
