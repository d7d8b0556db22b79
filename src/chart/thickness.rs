//! The thickness a bowed leaf leaves, flattened whole or cross-cut first.

use super::along::{Along, HEAD, LEFT, NOTE, RIGHT, WIDTH, arc, times_words};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::lettering::fitted;
use super::sheet::{Point, Sheet, TextStyle};
use super::words::length;
use crate::units::{Length, UnitSystem};

/// A stretch of the leaf that is flattened as one piece.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceView {
    /// Where it starts along the leaf.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Thickness left once both faces are flat.
    pub left: Length,
}

/// One order of work.
#[derive(Debug, Clone, PartialEq)]
pub struct MillingOrder {
    /// Its name: `flatten whole`, `cross-cut first`.
    pub name: String,
    /// The pieces flattened.
    pub pieces: Vec<PieceView>,
}

/// A bowed leaf and what each order of work leaves of it.
#[derive(Debug, Clone, PartialEq)]
pub struct ThicknessFigure {
    /// The leaf.
    pub leaf: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// Its length.
    pub length: Length,
    /// Its thickness before flattening.
    pub thickness: Length,
    /// Its bow: how far its middle stands over its ends.
    pub rise: Length,
    /// The orders compared.
    pub orders: Vec<MillingOrder>,
}

impl ThicknessFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Thickness left of {}", self.leaf)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let along = Along::of(self.length);
        let times = along.times(self.thickness.mm() + self.rise.mm().abs(), 62.0);
        let per = times * along.per_mm;
        let tall = (self.thickness.mm() + self.rise.mm().abs()) * per;
        let row = tall + 64.0;
        let height = 24.0 + row * self.orders.len() as f64 + 34.0;
        let sheet = Sheet::new(id, WIDTH, height);
        for (i, order) in self.orders.iter().enumerate() {
            let top = 24.0 + row * i as f64;
            sheet.text(
                HEAD,
                &fitted(&order.name, HEAD.size(), true, RIGHT - LEFT),
                (LEFT, top),
            );
            sheet.open("hs-order");
            for piece in &order.pieces {
                self.draw_piece(&sheet, &along, piece, (top + 16.0 + tall, per), system);
            }
            sheet.close();
        }
        along.ruler(&sheet, height - 40.0, self.length, system);
        sheet.text(NOTE, &times_words(times), (LEFT, height - 4.0));
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "The hatched wood is planed away to make both faces flat; {}.",
                    times_words(times)
                ),
                description: self
                    .orders
                    .iter()
                    .map(|order| {
                        let min = order
                            .pieces
                            .iter()
                            .map(|p| p.left)
                            .fold(self.thickness, Length::min);
                        format!(
                            "{}: {} left.",
                            super::words::capital(&order.name),
                            length(min, system)
                        )
                    })
                    .collect::<Vec<_>>()
                    .join(" "),
            },
            sheet,
            NumberTable {
                heads: ["Order", "From", "To", "Thickness left"]
                    .map(str::to_owned)
                    .to_vec(),
                rows: self
                    .orders
                    .iter()
                    .flat_map(|order| {
                        order.pieces.iter().map(|piece| {
                            let mut row = vec![order.name.clone()];
                            row.extend(
                                [piece.from, piece.to, piece.left].map(|l| length(l, system)),
                            );
                            row
                        })
                    })
                    .collect(),
            },
        )
    }

    /// A piece takes its share of the bow, level on its own ends: `bow (l/L)^2`.
    fn draw_piece(
        &self,
        sheet: &Sheet,
        along: &Along,
        piece: &PieceView,
        (base, per): (f64, f64),
        system: UnitSystem,
    ) {
        let share = (piece.to.mm() - piece.from.mm()) / self.length.mm().max(1e-6);
        let rise = self.rise.mm() * share * share * per;
        let thick = self.thickness.mm() * per;
        let (left, right) = (along.x(piece.from.mm()) + 2.0, along.x(piece.to.mm()) - 2.0);
        let floor = base + rise.min(0.0);
        let face = |up: f64| -> Vec<Point> {
            super::along::traced(left, right, |s| floor - up - rise * arc(s))
        };
        let (lower, upper) = (face(0.0), face(thick));
        let mut outline = lower.clone();
        outline.extend(upper.iter().rev());
        sheet.shape(self.tone.wood(), &outline);
        // What stays lies between the hollow of the lower and the ends of the upper face, a clean-up off each.
        let spare = (thick - rise.abs() - piece.left.mm() * per).max(0.0) / 2.0;
        let (low, high) = if rise >= 0.0 {
            (floor - rise - spare, floor - thick + spare)
        } else {
            (floor - spare, floor - thick - rise + spare)
        };
        for (edge, plane) in [(&lower, low), (&upper, high)] {
            let mut waste = edge.clone();
            waste.extend([(right, plane), (left, plane)]);
            sheet.shape(Ink::Paper, &waste);
            sheet.shape(Ink::Beyond, &waste);
        }
        if piece.left.mm() > 0.0 {
            for plane in [low, high] {
                sheet.path(Ink::Limit, &[(left, plane), (right, plane)]);
            }
        }
        sheet.ring(Ink::Outline, &outline);
        let thin = piece.left.mm() <= 0.0;
        let text = if thin {
            "nothing left".to_owned()
        } else {
            format!("{} left", length(piece.left, system))
        };
        let ink = if thin { Ink::FaultLetter } else { Ink::Letter };
        sheet.text(
            TextStyle::new(ink, 12.5).centred(),
            &text,
            ((left + right) / 2.0, base + 18.0),
        );
    }
}
