//! The depth budget: what the housings and mortises of both faces leave of a part.

use super::along::{Along, LEFT, NOTE, RIGHT, TEXT, WIDTH, strip};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::Frame;
use super::sheet::{Sheet, TextStyle};
use super::words::length;
use crate::units::{Length, UnitSystem};

/// One cut into a part's face.
#[derive(Debug, Clone, PartialEq)]
pub struct CutView {
    /// The joint it belongs to.
    pub name: String,
    /// Whether it is cut into the upper face of the picture.
    pub above: bool,
    /// Where it starts along the part.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// How deep it is.
    pub depth: Length,
    /// Wood left behind it, the cuts from the other face taken off where they overlap.
    pub left_behind: Length,
}

/// A part with the cuts into its two faces.
#[derive(Debug, Clone, PartialEq)]
pub struct DepthFigure {
    /// The part.
    pub part: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// The length shown.
    pub length: Length,
    /// The part's thickness.
    pub thickness: Length,
    /// Names of the upper and the lower face: `inside`, `outside`.
    pub faces: (String, String),
    /// The cuts.
    pub cuts: Vec<CutView>,
    /// Less wood than this is a warning.
    pub min: Length,
}

impl DepthFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Wood left in the {}", self.part)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let along = Along::of(self.length);
        let tall = 66.0;
        let (top, bottom) = (56.0, 56.0 + tall);
        let height = bottom + 84.0;
        let per_depth = tall / self.thickness.mm().max(1e-6);
        let sheet = Sheet::new(id, WIDTH, height);
        let middle = (top + bottom) / 2.0;
        strip(
            &sheet,
            self.tone,
            &[(LEFT, middle), (WIDTH / 2.0, middle), (RIGHT, middle)],
            tall,
        );
        sheet.text(NOTE, &self.faces.0, (LEFT, 14.0));
        sheet.text(NOTE, &self.faces.1, (LEFT, height - 52.0));
        let mut free_to = [f64::NEG_INFINITY; 2];
        for cut in &self.cuts {
            let (from, to) = (
                along.x(cut.from.mm()),
                along.x(cut.to.mm()).max(along.x(cut.from.mm()) + 3.0),
            );
            let deep = cut.depth.mm() * per_depth;
            let frame = if cut.above {
                Frame {
                    left: from,
                    top: top - 1.0,
                    right: to,
                    bottom: top + deep,
                }
            } else {
                Frame {
                    left: from,
                    top: bottom - deep,
                    right: to,
                    bottom: bottom + 1.0,
                }
            };
            sheet.open("hs-cut");
            sheet.block(Ink::Dado, frame);
            sheet.close();
            let thin = cut.left_behind < self.min;
            let hand =
                TextStyle::new(if thin { Ink::FaultLetter } else { Ink::Letter }, 12.0).centred();
            let text = format!("{} left", length(cut.left_behind, system));
            let x = (from + to) / 2.0;
            let side = usize::from(!cut.above);
            let half = hand.width(&text) / 2.0 + 4.0;
            if x - half > free_to[side] {
                let y = if cut.above { top - 8.0 } else { bottom + 18.0 };
                sheet.text(hand, &text, (x.clamp(LEFT + half, RIGHT - half), y));
                free_to[side] = x + half;
            }
        }
        along.ruler(&sheet, height - 44.0, self.length, system);
        sheet.text(
            NOTE.right(),
            &format!(
                "{} thick, thickness drawn larger",
                length(self.thickness, system)
            ),
            (RIGHT, 14.0),
        );
        if self.cuts.is_empty() {
            sheet.text(
                TEXT.centred(),
                "nothing is cut into it",
                (WIDTH / 2.0, 40.0),
            );
        }
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "The part seen from its edge with the housings and mortises of both faces; under {} left is a warning.",
                    length(self.min, system)
                ),
                description: self
                    .cuts
                    .iter()
                    .map(|cut| {
                        format!(
                            "{}: {} deep, {} left.",
                            cut.name,
                            length(cut.depth, system),
                            length(cut.left_behind, system)
                        )
                    })
                    .collect::<Vec<_>>()
                    .join(" "),
            },
            sheet,
            NumberTable {
                heads: ["Joint", "Face", "From", "To", "Depth", "Wood left"]
                    .map(str::to_owned)
                    .to_vec(),
                rows: self
                    .cuts
                    .iter()
                    .map(|cut| {
                        let face = if cut.above {
                            &self.faces.0
                        } else {
                            &self.faces.1
                        };
                        let mut row = vec![cut.name.clone(), face.clone()];
                        row.extend(
                            [cut.from, cut.to, cut.depth, cut.left_behind]
                                .map(|l| length(l, system)),
                        );
                        row
                    })
                    .collect(),
            },
        )
    }
}
