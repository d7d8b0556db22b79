//! The frame of every figure that runs from January to December.

use super::ink::Ink;
use super::layout::{Frame, Layout};
use super::lettering::fitted;
use super::scale::Measure;
use super::sheet::{Plot, Point, Sheet, TextStyle};
use super::words::{MONTH_STARTS, month_name};
use std::ops::Range;

/// Size of every figure over the year, pixels.
pub(super) const SIZE: (f64, f64) = (340.0, 220.0);

const SMALL: f64 = 11.5;

/// A day with a value and its label.
pub(super) struct DayLabel {
    pub(super) day: f64,
    pub(super) value: f64,
    pub(super) mark: Ink,
    pub(super) letter: Ink,
    pub(super) text: String,
}

/// A sheet with a year on it.
pub(super) struct YearSheet {
    pub(super) sheet: Sheet,
    pub(super) plot: Plot,
    layout: Layout,
}

/// Daily values as points: a day's value stands in the middle of its day.
pub(super) fn daily(values: &[f64]) -> Vec<(f64, f64)> {
    values
        .iter()
        .take(365)
        .enumerate()
        .map(|(day, value)| (day as f64 + 0.5, *value))
        .collect()
}

impl YearSheet {
    /// Draws the frame; `name` says what the upright axis counts.
    pub(super) fn new(id: &str, name: &str, measure: Measure, range: Range<f64>) -> Self {
        let sheet = Sheet::new(id, SIZE.0, SIZE.1);
        let ticks = measure.ticks(&range, 5);
        let number = TextStyle::new(Ink::Note, SMALL);
        let widest = ticks
            .iter()
            .map(|t| number.width(&t.label))
            .fold(14.0, f64::max);
        let frame = Frame {
            left: widest + 14.0,
            top: 30.0,
            right: SIZE.0 - 8.0,
            bottom: SIZE.1 - 26.0,
        };
        let plot = sheet.plot(frame, 0.0..365.0, range);

        sheet.open("hs-scale");
        for tick in &ticks {
            let y = plot.px(0.0, tick.value).1;
            sheet.path(Ink::Grid, &[(frame.left, y), (frame.right, y)]);
            sheet.text(number.right().level(), &tick.label, (frame.left - 7.0, y));
        }
        sheet.close();
        sheet.open("hs-months");
        for (month, pair) in MONTH_STARTS.windows(2).enumerate() {
            let (start, end) = (
                plot.px(pair[0] as f64, 0.0).0,
                plot.px(pair[1] as f64, 0.0).0,
            );
            sheet.path(
                Ink::Axis,
                &[(start, frame.bottom), (start, frame.bottom + 4.0)],
            );
            sheet.text(
                number.centred().hanging(),
                &month_name(month)[..1],
                ((start + end) / 2.0, frame.bottom + 8.0),
            );
        }
        sheet.path(
            Ink::Axis,
            &[
                (frame.right, frame.bottom),
                (frame.right, frame.bottom + 4.0),
            ],
        );
        sheet.path(
            Ink::Axis,
            &[(frame.left, frame.bottom), (frame.right, frame.bottom)],
        );
        sheet.close();
        let unit = measure.unit();
        let name = if unit.is_empty() {
            name.to_owned()
        } else {
            format!("{name}, {unit}")
        };
        sheet.text(
            number.hanging(),
            &fitted(&name, SMALL, false, SIZE.0 - 16.0),
            (8.0, 8.0),
        );
        Self {
            layout: Layout::new(Frame {
                top: frame.top - 8.0,
                bottom: frame.bottom - 2.0,
                ..frame
            }),
            sheet,
            plot,
        }
    }

    fn pixels(&self, points: &[(f64, f64)]) -> Vec<Point> {
        points
            .iter()
            .filter(|p| p.1.is_finite())
            .map(|p| self.plot.px(p.0, p.1))
            .collect()
    }

    /// A curve that labels keep clear of.
    pub(super) fn curve(&mut self, ink: Ink, points: &[(f64, f64)]) {
        self.plot.curve(ink, points);
        let pixels = self.pixels(points);
        self.layout.take_curve(&pixels);
    }

    /// Marks days by a shape each: the driest points down, the wettest up, today is an open circle.
    pub(super) fn marks(&mut self, labels: &[DayLabel]) {
        for label in labels.iter().filter(|label| label.value.is_finite()) {
            let at = self.plot.px(label.day, label.value);
            match label.mark {
                Ink::DryMark => self.sheet.triangle(label.mark, at, false),
                Ink::WetMark => self.sheet.triangle(label.mark, at, true),
                ink => self.sheet.dot(ink, at, 4.5),
            }
            self.layout.take(Frame {
                left: at.0 - 6.0,
                top: at.1 - 6.0,
                right: at.0 + 6.0,
                bottom: at.1 + 6.0,
            });
        }
        for label in labels.iter().filter(|label| label.value.is_finite()) {
            self.label(label.letter, &label.text, (label.day, label.value));
        }
    }

    /// A label beside a data point, where there is room.
    pub(super) fn label(&mut self, ink: Ink, text: &str, at: (f64, f64)) {
        let hand = TextStyle::new(ink, SMALL);
        let text = fitted(text, SMALL, false, self.plot.frame.width() * 0.8);
        let at = self.plot.px(at.0, at.1);
        let place = self.layout.place(at, hand.width(&text), SMALL * 0.8);
        self.sheet.text(
            hand.level(),
            &text,
            (place.left, (place.top + place.bottom) / 2.0),
        );
    }
}

/// The day of the minimum and of the maximum value; the first of equals. `None` when
/// nothing is finite or the year is level to within `level`.
pub(super) fn extremes(values: &[f64], level: f64) -> Option<(usize, usize)> {
    let finite = || {
        values
            .iter()
            .take(365)
            .enumerate()
            .filter(|(_, v)| v.is_finite())
    };
    let min = finite().reduce(|a, b| if b.1 < a.1 { b } else { a })?;
    let max = finite().reduce(|a, b| if b.1 > a.1 { b } else { a })?;
    (max.1 - min.1 > level).then_some((min.0, max.0))
}
