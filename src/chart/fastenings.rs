//! The fastenings of a piece across its width: where it is fixed, where it must slide.

use super::along::{Along, LEFT, NOTE, RIGHT, TEXT, WIDTH, stacked, times_words};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::Frame;
use super::sheet::{Point, Sheet, TextStyle};
use super::words::length;
use crate::units::{Length, UnitSystem};

/// A slot with the screw in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlotView {
    /// Length of the slot, along the travel.
    pub long: Length,
    /// Diameter of the screw.
    pub screw: Length,
    /// From the slot's end nearer the fixed point to the screw's centre in the driest time.
    pub driest: Length,
    /// The same on the day of fastening.
    pub today: Length,
    /// The same in the wettest time.
    pub wettest: Length,
}

/// One fastening.
#[derive(Debug, Clone, PartialEq)]
pub struct FasteningView {
    /// Its name.
    pub name: String,
    /// Its place across the piece, from one edge.
    pub at: Length,
    /// Its slot; `None` where it is fixed and the piece moves away from it.
    pub slot: Option<SlotView>,
}

/// The fastenings of a piece, seen in plan.
#[derive(Debug, Clone, PartialEq)]
pub struct FasteningsFigure {
    /// The piece that moves: `top on its case`.
    pub piece: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// Its width, across the grain.
    pub width: Length,
    /// The fastenings from one edge on.
    pub fastenings: Vec<FasteningView>,
}

impl FasteningsFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Fastenings of the {}", self.piece)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let along = Along::of(self.width);
        let longest = self
            .fastenings
            .iter()
            .filter_map(|f| f.slot)
            .map(|s| s.long.mm())
            .fold(0.0, f64::max);
        // Slots are drawn larger than the piece, each about its own place, so that screw and ends are seen.
        let room = (RIGHT - LEFT) / (self.fastenings.len().max(1) as f64) * 0.55;
        let times = along.times(longest, room.min(90.0));
        let height = 190.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let (top, bottom) = (48.0, 122.0);
        sheet.block(
            self.tone.wood(),
            Frame {
                left: LEFT,
                top,
                right: RIGHT,
                bottom,
            },
        );
        for i in 1..8 {
            // The grain runs across the travel, up and down in this plan.
            let x = LEFT + (RIGHT - LEFT) * f64::from(i) / 8.0;
            let line: Vec<Point> = (0..=8)
                .map(|j| {
                    let y = top + (bottom - top) * f64::from(j) / 8.0;
                    (x + 2.0 * libm::sin(f64::from(i * 3 + j) * 0.8), y)
                })
                .collect();
            sheet.path(self.tone.ring(), &line);
        }
        sheet.ring(
            Ink::Outline,
            &[(LEFT, top), (RIGHT, top), (RIGHT, bottom), (LEFT, bottom)],
        );
        let fixed = self
            .fastenings
            .iter()
            .find(|f| f.slot.is_none())
            .map(|f| f.at.mm());
        let middle = (top + bottom) / 2.0;
        for (i, fastening) in self.fastenings.iter().enumerate() {
            let x = along.x(fastening.at.mm());
            let words = match fastening.slot {
                None => {
                    sheet.dot(Ink::Metal, (x, middle), 7.0);
                    sheet.path(
                        Ink::Outline,
                        &[(x - 4.0, middle - 4.0), (x + 4.0, middle + 4.0)],
                    );
                    sheet.path(
                        Ink::Outline,
                        &[(x - 4.0, middle + 4.0), (x + 4.0, middle - 4.0)],
                    );
                    "fixed".to_owned()
                }
                Some(slot) => {
                    // The slot's near end lies toward the fixed point.
                    let away = if fixed.is_some_and(|at| fastening.at.mm() < at) {
                        -1.0
                    } else {
                        1.0
                    };
                    let scale = times * along.per_mm;
                    let near = x - away * slot.today.mm() * scale;
                    let far = near + away * slot.long.mm() * scale;
                    let radius = (slot.screw.mm() * scale / 2.0).max(3.0);
                    sheet.open("hs-slot");
                    sheet.shape(
                        Ink::Dado,
                        &stadium(near.min(far), near.max(far), middle, radius + 2.5),
                    );
                    sheet.dot(Ink::Metal, (x, middle), radius);
                    for (place, ink, up) in [
                        (slot.driest, Ink::DryMark, false),
                        (slot.wettest, Ink::WetMark, true),
                    ] {
                        let at = near + away * place.mm() * scale;
                        let y = if up {
                            middle + radius + 12.0
                        } else {
                            middle - radius - 12.0
                        };
                        sheet.triangle(ink, (at, y), up);
                    }
                    sheet.close();
                    format!("slot {}", length(slot.long, system))
                }
            };
            let lines = [(NOTE, fastening.name.clone()), (TEXT, words)];
            let y = if i % 2 == 0 { bottom + 18.0 } else { 14.0 };
            stacked(&sheet, &lines, x, y);
        }
        sheet.text(
            NOTE,
            &format!("slots: {}", times_words(times).replace("heights ", "")),
            (LEFT, height - 8.0),
        );
        sheet.text(
            TextStyle::new(Ink::DryLetter, 12.0).right(),
            "\u{25bc} driest",
            (RIGHT - 90.0, height - 8.0),
        );
        sheet.text(
            TextStyle::new(Ink::WetLetter, 12.0).right(),
            "\u{25b2} wettest",
            (RIGHT, height - 8.0),
        );
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: "Seen in plan, the grain running up and down. The piece keeps its place at the fixed point; in each slot the screw stands where it belongs on the day of fastening, and the triangles show where it goes.".to_owned(),
                description: self
                    .fastenings
                    .iter()
                    .map(|f| match f.slot {
                        None => format!("{} at {} is fixed.", f.name, length(f.at, system)),
                        Some(slot) => format!(
                            "{} at {} needs a slot {} long, its screw today {} from the end toward the fixed point.",
                            f.name,
                            length(f.at, system),
                            length(slot.long, system),
                            length(slot.today, system)
                        ),
                    })
                    .collect::<Vec<_>>()
                    .join(" "),
            },
            sheet,
            self.table(system),
        )
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        NumberTable {
            heads: ["Fastening", "At", "Slot", "Driest", "Today", "Wettest"]
                .map(str::to_owned)
                .to_vec(),
            rows: self
                .fastenings
                .iter()
                .map(|f| {
                    let mut row = vec![f.name.clone(), length(f.at, system)];
                    match f.slot {
                        None => row.extend(
                            ["fixed", "\u{2013}", "\u{2013}", "\u{2013}"].map(str::to_owned),
                        ),
                        Some(slot) => row.extend(
                            [slot.long, slot.driest, slot.today, slot.wettest]
                                .map(|l| length(l, system)),
                        ),
                    }
                    row
                })
                .collect(),
        }
    }
}

/// The outline of a slot with round ends that reach to `left` and `right`.
fn stadium(left: f64, right: f64, y: f64, radius: f64) -> Vec<Point> {
    let radius_along = radius.min((right - left) / 2.0);
    let end = |centre: f64, side: f64| {
        (0..=12).map(move |i| {
            let angle = std::f64::consts::PI * (f64::from(i) / 12.0 - 0.5);
            (
                centre + side * radius_along * libm::cos(angle),
                y + side * radius * libm::sin(angle),
            )
        })
    };
    end(right - radius_along, 1.0)
        .chain(end(left + radius_along, -1.0))
        .collect()
}
