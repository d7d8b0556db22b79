//! The gap of a fit through the year, between its limits.

use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::moisture_year::{DailyBand, DayMark};
use super::scale::Measure;
use super::words::{day_name, length, mid_month, month_name};
use super::year::{DayLabel, SIZE, YearSheet, daily, extremes};
use crate::units::{Length, UnitSystem};

/// A limit of a gap.
#[derive(Debug, Clone, PartialEq)]
pub enum Limit {
    /// The same on every day.
    Level(Length),
    /// Moving with the wood: the limit on the 365 days from 1 January, millimetres.
    Daily(Vec<f64>),
}

impl Limit {
    fn points(&self) -> Vec<(f64, f64)> {
        match self {
            Limit::Level(length) => vec![(0.0, length.mm()), (365.0, length.mm())],
            Limit::Daily(values) => daily(values),
        }
    }

    /// The limit on 1 January, where its label stands.
    fn start(&self) -> (f64, f64) {
        match self {
            Limit::Level(length) => (0.0, length.mm()),
            Limit::Daily(values) => (0.0, values.first().copied().unwrap_or(f64::NAN)),
        }
    }
}

/// How a fit's gap goes through the year at home.
#[derive(Debug, Clone, PartialEq)]
pub struct GapFigure {
    /// The joint, as the job names it.
    pub joint: String,
    /// What the gap is: `clearance in the groove`, `gap a side`.
    pub measure: String,
    /// The gap on the 365 days from 1 January, millimetres.
    pub gap_mm: Vec<f64>,
    /// The band that holds 90 in 100 draws, millimetres.
    pub band_mm: Option<DailyBand>,
    /// The minimum gap allowed.
    pub min: Option<Limit>,
    /// The maximum gap allowed.
    pub max: Option<Limit>,
    /// What happens below the minimum: `the panel pushes the frame apart`.
    pub too_tight: String,
    /// What happens above the maximum.
    pub too_loose: String,
    /// The gap on the day the joint is cut.
    pub cut: Option<DayMark<Length>>,
    /// What to cut on that day, in words.
    pub cut_words: Option<String>,
}

impl GapFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("{} through the year", super::words::capital(&self.joint))
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let measure = Measure::Length(system);
        let gap = daily(&self.gap_mm);
        let mut values = self.gap_mm.clone();
        let limits = [&self.min, &self.max];
        for limit in limits.into_iter().flatten() {
            values.extend(limit.points().iter().map(|p| p.1));
        }
        values.extend(self.cut.iter().map(|cut| cut.value.mm()));
        if let Some(band) = &self.band_mm {
            values.extend(band.low.iter().chain(&band.high));
        }
        // Room for a line of type in the hatching.
        let finite = || values.iter().copied().filter(|v| v.is_finite());
        let spread = finite().fold(f64::MIN, f64::max) - finite().fold(f64::MAX, f64::min);
        let line = 0.09 * spread.max(0.0);
        let rooms: Vec<f64> = limits
            .into_iter()
            .zip([-line, line])
            .filter_map(|(limit, way)| limit.as_ref().map(|limit| limit.start().1 + way))
            .collect();
        values.extend(rooms);
        let range = measure.range_of(values);
        let mut year = YearSheet::new(id, &self.measure, measure, range.clone());

        for (limit, end) in limits.into_iter().zip([range.start, range.end]) {
            if let Some(limit) = limit {
                let edge = limit.points();
                let far: Vec<_> = edge.iter().map(|p| (p.0, end)).collect();
                year.plot.band(Ink::Beyond, &edge, &far);
            }
        }
        if let Some(band) = &self.band_mm {
            let (low, high) = (daily(&band.low), daily(&band.high));
            year.plot.band(Ink::Band, &low, &high);
            year.curve(Ink::BandEdge, &low);
            year.curve(Ink::BandEdge, &high);
        }
        for limit in limits.into_iter().flatten() {
            year.rule(Ink::Limit, &limit.points());
        }
        year.curve(Ink::Curve, &gap);

        for (limit, word) in limits
            .into_iter()
            .zip(["minimum allowed", "maximum allowed"])
        {
            if let Some(limit) = limit {
                let at = limit.start();
                let text = format!("{word} {}", length(Length::from_mm_unchecked(at.1), system));
                year.label_beyond(&text, at, word.starts_with('g'));
            }
        }

        let turning = extremes(&self.gap_mm, 0.005);
        let mut labels = Vec::new();
        if let Some((narrowest, widest)) = turning {
            for (day, word) in [(narrowest, "narrowest"), (widest, "widest")] {
                labels.push(DayLabel {
                    day: day as f64 + 0.5,
                    value: self.gap_mm[day],
                    mark: Ink::Arrow,
                    letter: Ink::Letter,
                    text: format!(
                        "{word} {}, {}",
                        length(Length::from_mm_unchecked(self.gap_mm[day]), system),
                        day_name(day)
                    ),
                });
            }
        }
        if let Some(cut) = self.cut {
            labels.push(DayLabel {
                day: (cut.day % 365) as f64 + 0.5,
                value: cut.value.mm(),
                mark: Ink::TodayMark,
                letter: Ink::TodayLetter,
                text: format!("cut {}: {}", day_name(cut.day), length(cut.value, system)),
            });
        }
        year.marks(&labels);
        Figure::new(
            id,
            SIZE,
            Caption {
                title: self.title(),
                reading: self.reading(),
                description: self.described(turning, system),
            },
            year.sheet,
            self.table(system),
        )
    }

    fn reading(&self) -> String {
        let mut text = "The line is the gap at home".to_owned();
        match (self.min.is_some(), self.max.is_some()) {
            (true, true) => text.push_str(&format!(
                "; in the hatching below, {}; in the hatching above, {}",
                self.too_tight, self.too_loose
            )),
            (true, false) => text.push_str(&format!("; in the hatching, {}", self.too_tight)),
            (false, true) => text.push_str(&format!("; in the hatching, {}", self.too_loose)),
            (false, false) => {}
        }
        if self.cut.is_some() {
            text.push_str("; the open circle is the gap on the day you cut");
        }
        text.push('.');
        if self.band_mm.is_some() {
            text.push_str(" The shaded band holds 90 in 100 draws.");
        }
        text
    }

    fn described(&self, turning: Option<(usize, usize)>, system: UnitSystem) -> String {
        let at = |day: usize| length(Length::from_mm_unchecked(self.gap_mm[day]), system);
        let mut text = match turning {
            Some((min, most)) => format!(
                "The {} is minimum on {} at {} and most on {} at {}.",
                self.measure,
                day_name(min),
                at(min),
                day_name(most),
                at(most)
            ),
            None => match self.gap_mm.first() {
                Some(_) => format!("The {} stays at {}.", self.measure, at(0)),
                None => format!("The {} is not known.", self.measure),
            },
        };
        for (limit, words) in [(&self.min, "fall below"), (&self.max, "exceed")] {
            if let Some(limit) = limit {
                let at = Length::from_mm_unchecked(limit.start().1);
                text.push_str(&format!(" It must not {words} {}.", length(at, system)));
            }
        }
        if let Some(words) = &self.cut_words {
            text.push(' ');
            text.push_str(words);
        }
        text
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        let mut heads = vec!["Month".to_owned(), "Gap, mid-month".to_owned()];
        if self.band_mm.is_some() {
            heads.extend(["Low".to_owned(), "High".to_owned()]);
        }
        let at = |values: &[f64], month| {
            values.get(mid_month(month)).map_or_else(
                || "\u{2013}".to_owned(),
                |mm| length(Length::from_mm_unchecked(*mm), system),
            )
        };
        let rows = (0..12)
            .map(|month| {
                let mut row = vec![month_name(month).to_owned(), at(&self.gap_mm, month)];
                if let Some(band) = &self.band_mm {
                    row.extend([at(&band.low, month), at(&band.high, month)]);
                }
                row
            })
            .collect();
        NumberTable { heads, rows }
    }
}
