//! One joint in several ways on one axis: as it is and as remedies would make it.

use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::Frame;
use super::lettering::fitted;
use super::scale::Measure;
use super::sheet::{Sheet, TextStyle};
use super::words::{capital, length};
use crate::chance::{Band, in_hundred};
use crate::units::{Chance, Length, UnitSystem};

/// One way of making a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// What is done.
    pub words: String,
    /// The smallest gap of all days over the draws.
    pub min: Band<Length>,
    /// The widest.
    pub max: Band<Length>,
    /// The maximum gap allowed; `None` where any is.
    pub allowed_max: Option<Length>,
    /// Chance that it holds.
    pub holds: Chance,
}

/// The gap of one joint in several ways.
#[derive(Debug, Clone, PartialEq)]
pub struct WaysFigure {
    /// The joint, as the job names it.
    pub joint: String,
    /// What the gap is: `clearance in the groove`.
    pub measure: String,
    /// The minimum gap allowed.
    pub allowed_min: Length,
    /// What happens below it.
    pub too_tight: String,
    /// What happens above the maximum.
    pub too_loose: String,
    /// The ways, that of the job first.
    pub ways: Vec<Way>,
}

const WIDTH: f64 = 680.0;
const SIDE: f64 = 12.0;
const TOP: f64 = 48.0;
/// Height of a way: its words and its bar.
const ROW: f64 = 50.0;
const BAR: f64 = 12.0;
const SMALL: f64 = 11.5;
const WORDS: TextStyle = TextStyle::new(Ink::Letter, 12.5);
const NOTE: TextStyle = TextStyle::new(Ink::Note, SMALL);

impl WaysFigure {
    /// The title over the figure: what was found.
    #[must_use]
    pub fn title(&self) -> String {
        let count = match self.ways.len() {
            2 => "two ways".to_owned(),
            3 => "three ways".to_owned(),
            more => format!("{more} ways"),
        };
        let chances: Vec<String> = self.ways.iter().map(|way| in_hundred(way.holds)).collect();
        let (last, first) = match chances.split_last() {
            Some((last, first)) if !first.is_empty() => (last.as_str(), first.join(", ")),
            _ => ("", chances.join("")),
        };
        capital(&format!(
            "{} in {count}: holds in {first} and {last}",
            self.joint
        ))
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let measure = Measure::Length(system);
        let shown = |gap| length(gap, system);
        let values = self.ways.iter().flat_map(|way| {
            let limit = way.allowed_max.unwrap_or(way.max.high);
            [way.min.low, way.max.high, limit]
        });
        let range = measure.range_of(values.chain([self.allowed_min]).map(Length::mm));
        let rows = self.ways.len() as f64;
        let height = TOP + ROW * rows + 34.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let frame = Frame {
            left: SIDE,
            top: TOP,
            right: WIDTH - SIDE,
            bottom: TOP + ROW * rows,
        };
        let plot = sheet.plot(frame, range.clone(), 0.0..1.0);
        let x = |gap: Length| plot.px(gap.mm().clamp(range.start, range.end), 0.0).0;
        sheet.open("hs-scale");
        for tick in measure.ticks(&range, 8) {
            let at = x(Length::from_mm_unchecked(tick.value));
            sheet.path(Ink::Grid, &[(at, frame.top), (at, frame.bottom)]);
            let half = NOTE.width(&tick.label) / 2.0;
            let middle = at.clamp(SIDE + half, WIDTH - SIDE - half);
            sheet.text(
                NOTE.centred().hanging(),
                &tick.label,
                (middle, frame.bottom + 6.0),
            );
        }
        sheet.close();
        let name = format!("{}, {}", self.measure, measure.unit());
        let name = fitted(&name, SMALL, false, WIDTH - 2.0 * SIDE);
        sheet.text(NOTE.hanging(), &name, (SIDE, 6.0));
        self.limits(&sheet, &x, &shown);
        for (row, way) in self.ways.iter().enumerate() {
            let top = frame.top + ROW * row as f64;
            way.draw(&sheet, &x, top, self.allowed_min);
        }
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: self.reading(),
                description: self.described(&shown),
            },
            sheet,
            self.table(&shown),
        )
    }

    /// The limits, named once above the rows; a maximum that moves with the cut is drawn in each row alone.
    fn limits(&self, sheet: &Sheet, x: &dyn Fn(Length) -> f64, shown: &dyn Fn(Length) -> String) {
        let fault = TextStyle::new(Ink::FaultLetter, SMALL);
        let min = format!("minimum {}", shown(self.allowed_min));
        let max = self.ways.first().and_then(|way| way.allowed_max);
        let max = max.map(|max| (max, format!("maximum {}", shown(max))));
        let base = TOP - 6.0;
        // Each word is on its own side of its line, within the figure.
        let wide = fault.width(&min);
        let left = (x(self.allowed_min) - wide / 2.0).clamp(SIDE, WIDTH - SIDE - wide);
        sheet.text(fault, &min, (left, base));
        if let Some((max, words)) = max {
            let room = fault.width(&words);
            let place = (x(max) - room / 2.0)
                .max(left + wide + 10.0)
                .min(WIDTH - SIDE - room);
            if place >= left + wide + 6.0 {
                sheet.text(fault, &words, (place, base));
            }
        }
    }

    fn reading(&self) -> String {
        let mut text = format!(
            "Each bar goes from the smallest to the widest gap of all days, the thin line holds 90 in 100 draws. Left of the minimum {}",
            self.too_tight
        );
        if self.ways.iter().any(|way| way.allowed_max.is_some()) && !self.too_loose.is_empty() {
            text.push_str(&format!("; right of the maximum {}", self.too_loose));
        }
        text.push('.');
        text
    }

    fn described(&self, shown: &dyn Fn(Length) -> String) -> String {
        self.ways
            .iter()
            .map(|way| {
                format!(
                    "{}: from {} to {}, holds in {}.",
                    capital(&way.words),
                    shown(way.min.middle),
                    shown(way.max.middle),
                    in_hundred(way.holds)
                )
            })
            .collect::<Vec<_>>()
            .join(" ")
    }

    fn table(&self, shown: &dyn Fn(Length) -> String) -> NumberTable {
        let heads = ["Way", "Smallest gap", "Widest gap", "Maximum", "Holds in"];
        let rows = self.ways.iter().map(|way| {
            vec![
                way.words.clone(),
                shown(way.min.middle),
                shown(way.max.middle),
                way.allowed_max.map_or_else(|| "\u{2013}".to_owned(), shown),
                in_hundred(way.holds),
            ]
        });
        NumberTable {
            heads: heads.map(str::to_owned).to_vec(),
            rows: rows.collect(),
        }
    }
}

impl Way {
    fn draw(&self, sheet: &Sheet, x: &dyn Fn(Length) -> f64, top: f64, allowed_min: Length) {
        let chance = in_hundred(self.holds);
        let bold = WORDS.bold();
        let room = WIDTH - 2.0 * SIDE - bold.width(&chance) - 16.0;
        let words = fitted(&capital(&self.words), 12.5, false, room);
        sheet.text(WORDS, &words, (SIDE, top + 17.0));
        sheet.text(bold.right(), &chance, (WIDTH - SIDE, top + 17.0));
        let middle = top + 33.0;
        let bar = |from: Length, to: Length, high: f64, ink: Ink| {
            if to > from {
                sheet.block(
                    ink,
                    Frame {
                        left: x(from),
                        right: x(to).max(x(from) + 1.0),
                        top: middle - high / 2.0,
                        bottom: middle + high / 2.0,
                    },
                );
            }
        };
        sheet.path(
            Ink::Axis,
            &[(x(self.min.low), middle), (x(self.max.high), middle)],
        );
        bar(self.min.middle, self.max.middle, BAR, Ink::TanWood);
        // What is beyond a limit has the color of its season.
        bar(
            self.min.low,
            self.max.high.min(allowed_min),
            BAR / 2.0,
            Ink::WetMark,
        );
        if let Some(limit) = self.allowed_max {
            bar(
                self.min.low.max(limit),
                self.max.high,
                BAR / 2.0,
                Ink::DryMark,
            );
        }
        for limit in [Some(allowed_min), self.allowed_max].into_iter().flatten() {
            let at = x(limit);
            sheet.path(Ink::Limit, &[(at, middle - BAR), (at, middle + BAR)]);
        }
    }
}
