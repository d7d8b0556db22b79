//! What a leaf or a board does day by day after the cut.

use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::{Frame, Layout};
use super::moisture_year::DailyBand;
use super::scale::Measure;
use super::sheet::{Sheet, TextStyle};
use super::words::{capital, decimals, length};
use super::year::SIZE;
use crate::units::{Length, UnitSystem};

/// How a length, such as a leaf's bow, goes on day by day.
#[derive(Debug, Clone, PartialEq)]
pub struct RestFigure {
    /// The piece: `leaf 2 of the walnut board`.
    pub piece: String,
    /// What is followed: `bow`, `cup`.
    pub what: String,
    /// Its value at the start of each day from the cut on, millimetres.
    pub mm: Vec<f64>,
    /// The band that holds 90 in 100 draws, millimetres.
    pub band_mm: Option<DailyBand>,
    /// The day on which 90 % of the coming change is done.
    pub settled_day: Option<usize>,
    /// Where it ends.
    pub ends_at: Option<Length>,
}

impl RestFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("{} of {} at rest", capital(&self.what), self.piece)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let measure = Measure::Length(system);
        let points = |values: &[f64]| -> Vec<(f64, f64)> {
            values
                .iter()
                .enumerate()
                .map(|(day, v)| (day as f64, *v))
                .collect()
        };
        let curve = points(&self.mm);
        let mut values = self.mm.clone();
        values.extend(self.ends_at.map(Length::mm));
        if let Some(band) = &self.band_mm {
            values.extend(band.low.iter().chain(&band.high));
        }
        let heights = measure.range_of(values);
        let last = (self.mm.len().max(2) - 1) as f64;
        let sheet = Sheet::new(id, SIZE.0, SIZE.1);
        let note = TextStyle::new(Ink::Note, 11.5);
        let ticks = measure.ticks(&heights, 5);
        let widest = ticks
            .iter()
            .map(|t| note.width(&t.label))
            .fold(14.0, f64::max);
        let frame = Frame {
            left: widest + 14.0,
            top: 30.0,
            right: SIZE.0 - 14.0,
            bottom: SIZE.1 - 30.0,
        };
        let plot = sheet.plot(frame, 0.0..last, heights);
        sheet.open("hs-scale");
        for tick in &ticks {
            let y = plot.px(0.0, tick.value).1;
            sheet.path(Ink::Grid, &[(frame.left, y), (frame.right, y)]);
            sheet.text(note.right().level(), &tick.label, (frame.left - 7.0, y));
        }
        sheet.close();
        sheet.open("hs-days");
        for tick in Measure::Number.ticks(&(0.0..last), 7) {
            let x = plot.px(tick.value, 0.0).0;
            sheet.path(Ink::Axis, &[(x, frame.bottom), (x, frame.bottom + 4.0)]);
            sheet.text(
                note.centred().hanging(),
                &tick.label,
                (x, frame.bottom + 8.0),
            );
        }
        sheet.close();
        sheet.path(
            Ink::Axis,
            &[(frame.left, frame.bottom), (frame.right, frame.bottom)],
        );
        sheet.text(
            note.hanging(),
            &format!("{}, {}", self.what, measure.unit()),
            (8.0, 8.0),
        );
        sheet.text(
            note.right().hanging(),
            "days after the cut",
            (SIZE.0 - 8.0, 8.0),
        );

        let mut layout = Layout::new(frame);
        if let Some(band) = &self.band_mm {
            let (low, high) = (points(&band.low), points(&band.high));
            plot.band(Ink::Band, &low, &high);
            plot.curve(Ink::BandEdge, &low);
            plot.curve(Ink::BandEdge, &high);
        }
        if let Some(end) = self.ends_at {
            plot.curve(Ink::Ghost, &[(0.0, end.mm()), (last, end.mm())]);
        }
        plot.curve(Ink::Curve, &curve);
        let pixels: Vec<_> = curve
            .iter()
            .filter(|p| p.1.is_finite())
            .map(|p| plot.px(p.0, p.1))
            .collect();
        layout.take_curve(&pixels);
        let hand = TextStyle::new(Ink::TodayLetter, 11.5);
        if let Some(day) = self.settled_day
            && let Some(value) = self.mm.get(day)
        {
            let at = plot.px(day as f64, *value);
            sheet.path(Ink::MonthLine, &[at, (at.0, frame.bottom)]);
            sheet.dot(Ink::TodayMark, at, 4.5);
            let text = format!("day {day}: 90 % of the change is over");
            let place = layout.place(at, hand.width(&text), 9.0);
            sheet.text(
                hand.level(),
                &text,
                (place.left, (place.top + place.bottom) / 2.0),
            );
        }
        if let Some(end) = self.ends_at {
            let text = format!("ends at {}", length(end, system));
            let at = plot.px(last * 0.85, end.mm());
            let place = layout.place(at, note.width(&text), 9.0);
            sheet.text(
                note.level(),
                &text,
                (place.left, (place.top + place.bottom) / 2.0),
            );
        }
        Figure::new(
            id,
            SIZE,
            Caption {
                title: self.title(),
                reading: "The line starts at the cut; the dashes are where it ends if the air stays as given.".to_owned(),
                description: self.described(system),
            },
            sheet,
            self.table(system),
        )
    }

    fn described(&self, system: UnitSystem) -> String {
        let mut text = match (self.mm.first(), self.mm.last()) {
            (Some(first), Some(last)) => format!(
                "The {} starts at {} and after {} days is {}.",
                self.what,
                length(Length::from_mm_unchecked(*first), system),
                self.mm.len() - 1,
                length(Length::from_mm_unchecked(*last), system)
            ),
            _ => format!("The {} is not known.", self.what),
        };
        if let Some(day) = self.settled_day {
            text.push_str(&format!(" 90 % of the change are done on day {day}."));
        }
        text
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        let mut heads = vec!["Day".to_owned(), capital(&self.what)];
        if self.band_mm.is_some() {
            heads.extend(["Low".to_owned(), "High".to_owned()]);
        }
        let at = |values: &[f64], day: usize| {
            values.get(day).map_or_else(
                || "\u{2013}".to_owned(),
                |mm| length(Length::from_mm_unchecked(*mm), system),
            )
        };
        let step = self.mm.len().div_ceil(12).max(1);
        let rows = (0..self.mm.len())
            .step_by(step)
            .map(|day| {
                let mut row = vec![decimals(day as f64, 0), at(&self.mm, day)];
                if let Some(band) = &self.band_mm {
                    row.extend([at(&band.low, day), at(&band.high, day)]);
                }
                row
            })
            .collect();
        NumberTable { heads, rows }
    }
}
