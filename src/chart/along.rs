//! A piece seen from its edge: the length runs to the right, what it does to straightness is
//! drawn larger and said so.

use super::end_grain::WoodTone;
use super::ink::Ink;
use super::scale::Measure;
use super::sheet::{Point, Sheet, TextStyle};
use super::words::decimals;
use crate::units::{Length, UnitSystem};

/// Width of the figures of this family.
pub(super) const WIDTH: f64 = 600.0;
pub(super) const LEFT: f64 = 36.0;
pub(super) const RIGHT: f64 = WIDTH - 36.0;

pub(super) const HEAD: TextStyle = TextStyle::new(Ink::Letter, 13.5).bold();
pub(super) const TEXT: TextStyle = TextStyle::new(Ink::Letter, 12.5);
pub(super) const NOTE: TextStyle = TextStyle::new(Ink::Note, 12.0);

/// Places along a piece to pixels.
#[derive(Clone, Copy)]
pub(super) struct Along {
    pub(super) per_mm: f64,
}

impl Along {
    pub(super) fn of(length: Length) -> Self {
        Self {
            per_mm: (RIGHT - LEFT) / length.mm().max(1e-6),
        }
    }

    pub(super) fn x(&self, at_mm: f64) -> f64 {
        LEFT + at_mm * self.per_mm
    }

    /// A thickness in pixels: true to the length's scale, but never too thin to see.
    pub(super) fn thick(&self, thickness: Length) -> f64 {
        (thickness.mm() * self.per_mm).clamp(9.0, 26.0)
    }

    /// How many times larger heights are drawn than lengths, so that the maximum takes about `room` pixels:
    /// a round figure, at least 1.
    pub(super) fn times(&self, max_mm: f64, room: f64) -> f64 {
        let wanted = room / (max_mm.abs() * self.per_mm).max(1e-9);
        [
            200.0, 100.0, 80.0, 50.0, 40.0, 30.0, 20.0, 15.0, 10.0, 8.0, 5.0, 4.0, 3.0, 2.0,
        ]
        .into_iter()
        .find(|times| *times <= wanted)
        .unwrap_or(1.0)
    }

    /// A ruler along the piece.
    pub(super) fn ruler(&self, sheet: &Sheet, y: f64, length: Length, system: UnitSystem) {
        let measure = Measure::Length(system);
        sheet.open("hs-ruler");
        sheet.path(Ink::Axis, &[(LEFT, y), (RIGHT, y)]);
        let mut free = f64::NEG_INFINITY;
        let unit = RIGHT - NOTE.width(measure.unit()) - 6.0;
        for tick in measure.ticks(&(0.0..length.mm()), 8) {
            let x = self.x(tick.value);
            sheet.path(Ink::Axis, &[(x, y), (x, y + 5.0)]);
            let half = NOTE.width(&tick.label) / 2.0;
            if x - half > free && x + half < unit {
                sheet.text(NOTE.centred().hanging(), &tick.label, (x, y + 9.0));
                free = x + half + 6.0;
            }
        }
        sheet.text(NOTE.right().hanging(), measure.unit(), (RIGHT, y + 9.0));
        sheet.close();
    }
}

/// Long grain: a strip of wood about a centre line, its thickness upright.
pub(super) fn strip(sheet: &Sheet, tone: WoodTone, line: &[Point], thick: f64) {
    let upright = match (line.first(), line.last()) {
        (Some(first), Some(last)) => (last.1 - first.1).abs() > (last.0 - first.0).abs(),
        _ => false,
    };
    let aside = |p: &Point, by: f64| -> Point {
        if upright {
            (p.0 + by, p.1)
        } else {
            (p.0, p.1 + by)
        }
    };
    let shifted = |by: f64| -> Vec<Point> { line.iter().map(|p| aside(p, by)).collect() };
    let mut outline = shifted(-thick / 2.0);
    outline.extend(shifted(thick / 2.0).into_iter().rev());
    sheet.shape(tone.wood(), &outline);
    if thick > 8.0 {
        for (share, from, to) in [(-0.26, 0.0, 0.62), (0.02, 0.18, 1.0), (0.27, 0.0, 0.85)] {
            let last = line.len().saturating_sub(1) as f64;
            let part = &line[(from * last) as usize..=(to * last) as usize];
            let grain: Vec<Point> = part.iter().map(|p| aside(p, share * thick)).collect();
            sheet.path(tone.ring(), &grain);
        }
    }
    sheet.ring(Ink::Outline, &outline);
}

/// A line through evenly spaced places, heights given by a function in pixels.
pub(super) fn traced(from: f64, to: f64, height: impl Fn(f64) -> f64) -> Vec<Point> {
    const STEPS: usize = 48;
    (0..=STEPS)
        .map(|i| {
            let share = i as f64 / STEPS as f64;
            (from + share * (to - from), height(share))
        })
        .collect()
}

/// The rise of an arc over its chord at a share of its length, 1 in the middle.
pub(super) fn arc(share: f64) -> f64 {
    4.0 * share * (1.0 - share)
}

/// The words that tell how much larger movement is drawn.
pub(super) fn enlarged_words(times: f64) -> String {
    if times > 1.0 {
        format!("movement drawn {} times larger", decimals(times, 0))
    } else {
        "movement drawn true to size".to_owned()
    }
}

/// The words that tell how much larger heights are drawn.
pub(super) fn times_words(times: f64) -> String {
    if times > 1.0 {
        format!("heights drawn {} times larger", decimals(times, 0))
    } else {
        "drawn true to scale".to_owned()
    }
}

/// A fresh-sawn face: the line along it and the teeth of the saw.
pub(super) fn fresh_face(sheet: &Sheet, line: &[Point], outward: f64) {
    let teeth: Vec<Point> = line
        .iter()
        .enumerate()
        .map(|(i, p)| (p.0, p.1 + f64::from(u8::from(i % 2 == 1)) * 3.0 * outward))
        .collect();
    sheet.path(Ink::FreshFace, &teeth);
}

/// A support: a small wedge whose point is at `at`; `from_above` turns it over.
pub(super) fn wedge(sheet: &Sheet, at: Point, from_above: bool) {
    let way = if from_above { -1.0 } else { 1.0 };
    sheet.shape(
        Ink::Metal,
        &[
            at,
            (at.0 - 6.0, at.1 + 10.0 * way),
            (at.0 + 6.0, at.1 + 10.0 * way),
        ],
    );
}

/// Lines of a label centred at `x`, kept on the sheet; the first base line at `y`.
pub(super) fn stacked(sheet: &Sheet, lines: &[(TextStyle, String)], x: f64, y: f64) {
    let half = lines
        .iter()
        .map(|(hand, text)| hand.width(text))
        .fold(0.0, f64::max)
        / 2.0;
    let x = x.clamp(half + 4.0, (WIDTH - half - 4.0).max(half + 4.0));
    for (i, (hand, text)) in lines.iter().enumerate() {
        sheet.text(hand.centred(), text, (x, y + 15.0 * i as f64));
    }
}
