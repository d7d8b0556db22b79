//! A piece on its site: in elevation on its sloping floor, and in plan against its walls.

use super::along::{HEAD, NOTE};
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::Frame;
use super::sheet::{Point, Sheet, TextStyle};
use crate::units::notation::shown;
use crate::units::{Length, UnitSystem};

/// Room for the elevation and for the plan, pixels.
const VIEW: [f64; 2] = [250.0, 190.0];
/// Pixels of the largest shim or gap, when enlarged.
const LARGEST: f64 = 26.0;
/// Pixels around a view for its walls and words.
const MARGIN: f64 = 74.0;

/// A piece on its site.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteFigure {
    /// The name of the piece.
    pub piece: String,
    /// What is around it: `free`, `one wall`, `two walls`, `niche`.
    pub site: &'static str,
    /// From left to right, front to back, and bottom to top.
    pub outer: [Length; 3],
    /// What sits on the floor, from left to right and from front to back.
    pub base: [Length; 2],
    /// Height of the plinth, where that is its base.
    pub plinth: Option<Length>,
    /// Shims under front left, front right, back left and back right.
    pub shims: Option<[Length; 4]>,
    /// Gap to the wall behind it.
    pub behind: Option<Length>,
    /// Gaps to the walls at its left and right.
    pub beside: [Option<Length>; 2],
}

impl SiteFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("{} on its site", self.piece)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let [wide, deep, tall] = self.outer.map(|size| size.mm().max(1.0));
        let scale = (VIEW[0] / wide).min(VIEW[1] / tall.max(deep));
        let small = self
            .shims
            .iter()
            .flatten()
            .chain(&self.behind)
            .chain(self.beside.iter().flatten())
            .map(|size| size.mm())
            .fold(0.0, f64::max);
        let times = if small > 0.0 {
            (LARGEST / (small * scale)).clamp(1.0, 200.0).floor()
        } else {
            1.0
        };
        let (w, h, d) = (wide * scale, tall * scale, deep * scale);
        let width = 2.0 * (w + 2.0 * MARGIN);
        let rows = h.max(d);
        let height = 64.0 + rows + 2.0 * LARGEST + 56.0;
        let sheet = Sheet::new(id, width, height);
        sheet.text(HEAD, &self.title(), (12.0, 20.0));
        let floor = 64.0 + rows;
        self.elevation(&sheet, system, [MARGIN, floor, w, h], [scale, times]);
        let left = w + 3.0 * MARGIN;
        self.plan(&sheet, system, [left, floor, w, d], [scale, times]);
        let words = format!(
            "shims and gaps are drawn {times:.0} times as large as the piece; {}",
            self.site
        );
        sheet.text(NOTE, &words, (14.0, height - 10.0));
        Figure::new(
            id,
            (width, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "Left the piece from the front on its floor, each shim under its corner; right from above, with the gap to leave at each wall. {words}."
                ),
                description: self
                    .rows(system)
                    .into_iter()
                    .map(|row| row.join(": "))
                    .collect::<Vec<_>>()
                    .join("; "),
            },
            sheet,
            NumberTable {
                heads: ["Where", "Size"].map(str::to_owned).to_vec(),
                rows: self.rows(system),
            },
        )
    }

    /// From the front: the case, its plinth, its shims, and the floor under them.
    fn elevation(
        &self,
        sheet: &Sheet,
        system: UnitSystem,
        [left, base, w, h]: [f64; 4],
        [scale, times]: [f64; 2],
    ) {
        sheet.text(NOTE, "from the front", (left, base - h - 10.0));
        let plinth = self.plinth.map_or(0.0, |height| height.mm() * scale);
        let case = [
            (left, base - h),
            (left + w, base - h),
            (left + w, base - plinth),
            (left, base - plinth),
        ];
        sheet.shape(Ink::TanWood, &case);
        sheet.ring(Ink::Outline, &case);
        let foot = self.base[0].mm() * scale;
        let from = left + (w - foot) / 2.0;
        if self.plinth.is_some() {
            let frame = [
                (from, base - plinth),
                (from + foot, base - plinth),
                (from + foot, base),
                (from, base),
            ];
            sheet.shape(Ink::BrownWood, &frame);
            sheet.ring(Ink::Outline, &frame);
        }
        let shims = self.shims.unwrap_or([Length::ZERO; 4]);
        let drop = |shim: Length| base + shim.mm() * scale * times;
        // Floor under the front edge, drawn on beyond the piece; that behind as dashes.
        for (at, ink) in [([0, 1], Ink::Curve), ([2, 3], Ink::Ghost)] {
            let [a, b] = at.map(|corner: usize| drop(shims[corner]));
            let slope = (b - a) / foot.max(1.0);
            sheet.path(
                ink,
                &[
                    (from - 40.0, a - 40.0 * slope),
                    (from + foot + 40.0, b + 40.0 * slope),
                ],
            );
        }
        for (corner, x) in [(0, from), (1, from + foot - 12.0)] {
            if shims[corner].mm() < 0.05 {
                continue;
            }
            sheet.block(
                Ink::PaleWood,
                Frame {
                    left: x,
                    top: base,
                    right: x + 12.0,
                    bottom: drop(shims[corner]),
                },
            );
        }
        let ink = TextStyle::new(Ink::Letter, 11.0).centred();
        for (corner, x) in [(0, from), (1, from + foot)] {
            let words = if shims[corner].mm() < 0.05 {
                "no shim".to_owned()
            } else {
                format!("shim {}", shown(shims[corner], system))
            };
            // Below the lower of the two lines of the floor.
            let lower = drop(shims[corner]).max(drop(shims[corner + 2]));
            sheet.text(ink, &words, (x, lower + 17.0));
        }
        if self.plinth.is_some() {
            let words = "plinth".to_owned();
            sheet.text(ink, &words, (from + foot / 2.0, base - plinth / 2.0 + 4.0));
        }
    }

    /// From above: the piece, the walls around it, the gaps and the shims at the back.
    fn plan(
        &self,
        sheet: &Sheet,
        system: UnitSystem,
        [left, front, w, d]: [f64; 4],
        [scale, times]: [f64; 2],
    ) {
        let top = front - d;
        let corners: [Point; 4] = [
            (left, top),
            (left + w, top),
            (left + w, front),
            (left, front),
        ];
        sheet.shape(Ink::TanWood, &corners);
        sheet.ring(Ink::Outline, &corners);
        let foot = self.base.map(|size| size.mm() * scale);
        let inset = (w - foot[0]) / 2.0;
        let base = [
            (left + inset, top),
            (left + inset + foot[0], top),
            (left + inset + foot[0], top + foot[1]),
            (left + inset, top + foot[1]),
        ];
        sheet.ring(Ink::Ghost, &base);
        let gap = |size: Length| size.mm() * scale * times;
        let ink = TextStyle::new(Ink::Letter, 11.0).centred();
        if let Some(behind) = self.behind {
            let y = top - gap(behind);
            wall(sheet, [(left - 50.0, y), (left + w + 50.0, y)], (0.0, -1.0));
            let words = format!("leave {}", shown(behind, system));
            sheet.text(ink, &words, (left + w / 2.0, top + 16.0));
        }
        for (side, x, outward) in [(0, left, -1.0), (1, left + w, 1.0)] {
            let Some(size) = self.beside[side] else {
                continue;
            };
            let at = x + outward * gap(size);
            wall(
                sheet,
                [(at, top - 40.0), (at, front + 10.0)],
                (outward, 0.0),
            );
            let words = shown(size, system);
            sheet.text(
                ink,
                &words,
                (
                    x - outward * (inset + 12.0 + ink.width(&words) / 2.0),
                    top + d / 2.0,
                ),
            );
        }
        sheet.text(NOTE, "from above, front edge below", (left, front + 18.0));
        if let Some(shims) = self.shims {
            for (corner, x) in [(2, left + inset), (3, left + inset + foot[0])] {
                if shims[corner].mm() >= 0.05 {
                    sheet.dot(Ink::TodayMark, (x, top + 4.0), 3.0);
                }
            }
            let words = format!(
                "shims behind: {} left, {} right",
                none_or(shims[2], system),
                none_or(shims[3], system)
            );
            sheet.text(NOTE, &words, (left, front + 36.0));
        }
    }

    fn rows(&self, system: UnitSystem) -> Vec<Vec<String>> {
        let mut rows = Vec::new();
        let mut row = |words: &str, size: Option<Length>| {
            if let Some(size) = size {
                rows.push(vec![words.to_owned(), none_or(size, system)]);
            }
        };
        let shims = self.shims.map(|shims| shims.map(Some)).unwrap_or_default();
        for (corner, words) in ["front left", "front right", "back left", "back right"]
            .into_iter()
            .enumerate()
        {
            row(&format!("shim {words}"), shims[corner]);
        }
        row("gap to the wall behind", self.behind);
        row("gap to the wall at the left", self.beside[0]);
        row("gap to the wall at the right", self.beside[1]);
        row("plinth, high", self.plinth);
        rows
    }
}

fn none_or(size: Length, system: UnitSystem) -> String {
    if size.mm() < 0.05 {
        "none".to_owned()
    } else {
        shown(size, system)
    }
}

/// A wall as a line, hatched on its far side.
fn wall(sheet: &Sheet, [from, to]: [Point; 2], outward: Point) {
    sheet.path(Ink::Curve, &[from, to]);
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let steps = (libm::hypot(dx, dy) / 12.0).floor().max(1.0);
    let mut step = 0.0;
    while step <= steps {
        let at = (from.0 + dx * step / steps, from.1 + dy * step / steps);
        let away = (
            at.0 + outward.0 * 8.0 + 5.0 * outward.1.abs(),
            at.1 + outward.1 * 8.0 + 5.0 * outward.0.abs(),
        );
        sheet.path(Ink::Dimension, &[at, away]);
        step += 1.0;
    }
}
