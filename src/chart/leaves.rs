//! Leaves off the saw, seen from the edge, with their bow.

use super::along::{
    Along, HEAD, LEFT, NOTE, RIGHT, TEXT, WIDTH, arc, fresh_face, strip, times_words, traced,
};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::lettering::fitted;
use super::sheet::{Point, Sheet, TextStyle};
use super::words::length;
use crate::units::notation::shown;
use crate::units::{Length, UnitSystem};

/// One leaf of a resawn board.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafView {
    /// Its name: `leaf 1`.
    pub name: String,
    /// Its thickness.
    pub thickness: Length,
    /// Its bow over its length, positive when the sawn face is hollow.
    pub bow: Length,
    /// The bow's low and high edge (90 in 100 draws), of the same sign rule.
    pub bow_band: Option<(Length, Length)>,
    /// Whether the sawn face is the upper one as the board lay at the saw.
    pub sawn_above: bool,
    /// Whether the lower face is fresh from the saw.
    pub fresh_below: bool,
    /// Whether the upper face is fresh from the saw.
    pub fresh_above: bool,
}

/// The leaves of one board as they come off the saw, lowest first.
#[derive(Debug, Clone, PartialEq)]
pub struct LeavesFigure {
    /// The board.
    pub board: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// Its length.
    pub length: Length,
    /// Its leaves, the lowest first.
    pub leaves: Vec<LeafView>,
}

impl LeafView {
    /// How far the middle stands over the ends.
    fn rise_mm(&self) -> f64 {
        if self.sawn_above {
            -self.bow.mm()
        } else {
            self.bow.mm()
        }
    }

    fn words(&self, system: UnitSystem) -> String {
        if self.bow.mm().abs() < 0.05 {
            return "straight".to_owned();
        }
        let fresh = if self.sawn_above {
            self.fresh_above
        } else {
            self.fresh_below
        };
        let face = if fresh { "fresh face" } else { "sawn face" };
        let shape = if self.bow.mm() > 0.0 {
            "hollow"
        } else {
            "round"
        };
        format!("{face} {shape} by {}", shown(self.bow.abs(), system))
    }
}

impl LeavesFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Leaves of {} off the saw", self.board)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let along = Along::of(self.length);
        let max = self
            .leaves
            .iter()
            .map(|leaf| leaf.bow.mm().abs())
            .fold(0.0, f64::max);
        let times = along.times(max, 34.0);
        let row = 92.0;
        let height = 34.0 + row * self.leaves.len() as f64 + 34.0;
        let sheet = Sheet::new(id, WIDTH, height);
        sheet.text(NOTE.right(), &times_words(times), (RIGHT, 18.0));
        // The uppermost leaf stands at the top, as it lay at the saw.
        for (i, leaf) in self.leaves.iter().rev().enumerate() {
            let top = 26.0 + row * i as f64;
            let words = leaf.words(system);
            let room = RIGHT - LEFT - TEXT.width(&words) - 20.0;
            sheet.text(
                HEAD,
                &fitted(&leaf.name, HEAD.size(), true, room),
                (LEFT, top + 12.0),
            );
            sheet.text(TEXT.right(), &words, (RIGHT, top + 12.0));
            let thick = along.thick(leaf.thickness);
            let rise = leaf.rise_mm() * times * along.per_mm;
            let middle = top + 54.0;
            let height_at = |share: f64| middle + rise / 2.0 - rise * arc(share);
            let line = traced(LEFT, RIGHT, height_at);
            sheet.open("hs-leaf");
            strip(&sheet, self.tone, &line, thick);
            sheet.path(Ink::Ghost, &[line[0], line[line.len() - 1]]);
            for (fresh, side) in [(leaf.fresh_above, -1.0), (leaf.fresh_below, 1.0)] {
                if fresh {
                    let face: Vec<Point> = line
                        .iter()
                        .map(|p| (p.0, p.1 + side * thick / 2.0))
                        .collect();
                    fresh_face(&sheet, &face, side);
                }
            }
            sheet.close();
        }
        along.ruler(&sheet, height - 30.0, self.length, system);
        if self
            .leaves
            .iter()
            .any(|leaf| leaf.fresh_above || leaf.fresh_below)
        {
            sheet.text(
                TextStyle::new(Ink::FaultLetter, 12.0),
                "toothed line: face fresh from the saw",
                (LEFT, 18.0),
            );
        }
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "Seen from the edge, stacked as they lay at the saw; the toothed face is fresh-sawn, the dashes are a straightedge; {}.",
                    times_words(times)
                ),
                description: self
                    .leaves
                    .iter()
                    .map(|leaf| format!("{}: {}.", leaf.name, leaf.words(system)))
                    .collect::<Vec<_>>()
                    .join(" "),
            },
            sheet,
            self.table(system),
        )
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        let bands = self.leaves.iter().any(|leaf| leaf.bow_band.is_some());
        let mut heads = vec![
            "Leaf".to_owned(),
            "Thickness".to_owned(),
            "Bow, sawn face hollow".to_owned(),
        ];
        if bands {
            heads.extend(["Low".to_owned(), "High".to_owned()]);
        }
        let rows = self
            .leaves
            .iter()
            .map(|leaf| {
                let mut row = vec![
                    leaf.name.clone(),
                    length(leaf.thickness, system),
                    length(leaf.bow, system),
                ];
                if bands {
                    row.extend(leaf.bow_band.map_or(
                        ["\u{2013}".to_owned(), "\u{2013}".to_owned()],
                        |(low, high)| [length(low, system), length(high, system)],
                    ));
                }
                row
            })
            .collect();
        NumberTable { heads, rows }
    }
}
