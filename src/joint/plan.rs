//! What a recipe expands into: fits, bonds and the wood it takes away.

use super::bond::moves_with;
use super::drawing::Drawing;
use super::fit::{Days, Fit, Size};
use super::part::{Axis, Motion, PartFacts, PartId};
use crate::units::Length;
use crate::units::notation::millimetres;
use jiff::civil::Date;
use std::ops::Range;

/// Thickest wood square to a glue line on an edge or an end that the line is felt in: judgement, some ten thicknesses.
const MOST_ENGAGED_MM: f64 = 200.0;

/// Which surface of a part a cut is made in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CutFace {
    /// The broad face turned inward.
    Inside,
    /// The broad face turned outward.
    Outside,
    /// The narrow long side.
    Edge,
    /// The end grain.
    End,
}

impl CutFace {
    /// What a maker calls it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            CutFace::Inside => "inside face",
            CutFace::Outside => "outside face",
            CutFace::Edge => "edge",
            CutFace::End => "end",
        }
    }

    /// The axis that runs square into the surface.
    #[must_use]
    pub const fn square(self) -> Axis {
        match self {
            CutFace::Inside | CutFace::Outside => Axis::Thickness,
            CutFace::Edge => Axis::Width,
            CutFace::End => Axis::Length,
        }
    }

    /// The other of the two short axes of the surface: where the surface runs along the grain, the axis
    /// across the cut's length.
    #[must_use]
    pub const fn across(self) -> Axis {
        match self {
            CutFace::Inside | CutFace::Outside => Axis::Width,
            CutFace::Edge | CutFace::End => Axis::Thickness,
        }
    }
}

/// A size of a machine setting: given, or the cuts of the joint's fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Setting {
    /// A fixed size.
    Known(Length),
    /// The sum of the cuts of `count` fits of the plan from `first` on, and a constant.
    OfFits {
        /// Index of the first fit.
        first: usize,
        /// How many fits.
        count: usize,
        /// What is added, such as the screw's diameter.
        plus: Length,
    },
    /// A fixed place less the cut of one fit: where a slot begins.
    Before {
        /// The place.
        place: Length,
        /// Index of the fit.
        fit: usize,
    },
}

impl Setting {
    /// The cut of one fit.
    #[must_use]
    pub const fn of_fit(index: usize) -> Self {
        Self::OfFits {
            first: index,
            count: 1,
            plus: Length::ZERO,
        }
    }

    /// The clearance at both sides of a fastening of this size that travels, from the first of its two fits.
    #[must_use]
    pub const fn of_travel(first: usize, fastening: Length) -> Self {
        Self::OfFits {
            first,
            count: 2,
            plus: fastening,
        }
    }

    /// The size once the cuts are known.
    #[must_use]
    pub fn length(self, cuts_mm: &[f64]) -> Length {
        match self {
            Self::Known(length) => length,
            Self::OfFits { first, count, plus } => {
                plus + Length::from_mm_unchecked(cuts_mm.iter().skip(first).take(count).sum())
            }
            Self::Before { place, fit } => {
                place - Length::from_mm_unchecked(cuts_mm.get(fit).copied().unwrap_or(0.0))
            }
        }
    }
}

/// Joints whose screws let a board move over what it is screwed to: their slots are what is cut on site.
pub const SCREWED_KINDS: [&str; 3] = ["cleat", "plinth", "screw_slot"];

/// Where the wood stands that a cut leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Behind {
    /// Under the cut's bottom, cuts from the opposite face taken off where they overlap.
    Bottom,
    /// Beside it: the lip of a rabbet.
    Lip,
    /// The cut is meant to go through, or into an end.
    Nothing,
}

/// Wood taken out of a part: a dado, a groove, a mortise, a rabbet, a slot.
#[derive(Debug, Clone, PartialEq)]
pub struct Housing {
    /// The part it is cut into.
    pub part: PartId,
    /// What the trade calls it.
    pub what: &'static str,
    /// The surface it is cut in.
    pub face: CutFace,
    /// From the reference end (or edge) of the part to the near side of the cut.
    pub from_reference: Setting,
    /// Extent of the cut along that direction: the width of a dado, the width of a groove.
    pub width: Setting,
    /// Depth below the surface.
    pub depth: Setting,
    /// The axis of the part along which `from_reference` and `width` are measured.
    pub along: Axis,
    /// Where the wood stands that must stay.
    pub behind: Behind,
    /// The part that goes into it, where one does: settings for one piece in two openings are easily mixed up.
    pub takes: Option<PartId>,
    /// How many alike.
    pub count: u32,
}

/// A glued or fixed line between two parts.
#[derive(Debug, Clone, PartialEq)]
pub struct BondPlan {
    /// The joint's name, with the place where a joint has several bonds.
    pub name: String,
    /// The part that wants to move more along the line.
    pub moves: BondSide,
    /// The part that holds it.
    pub holds: BondSide,
    /// Whether the moving part is glued on both its faces, as a tenon in its mortise.
    pub both_faces: bool,
    /// Whether something else holds the pair flat, so that it cannot cup.
    pub held_flat: bool,
    /// Length of the line.
    pub width: Length,
    /// How far the glued patch reaches along the other direction.
    pub band: Length,
    /// What was given to be done.
    pub design: Design,
    /// Diameter of the screws where it floats.
    pub screw: Length,
    /// From the point that stays fixed to the farthest screw.
    pub from_fixed: Length,
    /// How it is loosened when glue cannot hold.
    pub loosened: Loosened,
}

/// One side of a glued line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BondSide {
    /// The part.
    pub part: PartId,
    /// Its axis along the line.
    pub axis: Axis,
    /// Its axis square to the glue.
    pub square: Axis,
    /// How much of it, square to the glue, the line is felt in.
    pub extent: Length,
}

impl BondSide {
    /// A part glued on its broad face.
    #[must_use]
    pub const fn on_face(part: PartId, axis: Axis, facts: &PartFacts) -> Self {
        Self {
            part,
            axis,
            square: Axis::Thickness,
            extent: facts.thickness,
        }
    }

    /// A part that takes another's end on its face: along its own grain on either side of the band some wood
    /// moves with it, given as an extent square to the band.
    #[must_use]
    pub fn around(part: PartId, axis: Axis, facts: &PartFacts, band: Length, run: Length) -> Self {
        Self {
            part,
            axis,
            square: Axis::Length,
            extent: facts.thickness * moves_with(band, facts.length, run),
        }
    }

    /// A part glued on its end or its edge, along a line of length `run`: the wood is engaged to a depth of half the
    /// line's length, which is where a stress that balances itself over the line has died away (judgement), and to
    /// 200 mm at most.
    #[must_use]
    pub fn on_rim(part: PartId, axis: Axis, square: Axis, facts: &PartFacts, run: Length) -> Self {
        Self {
            part,
            axis,
            square,
            extent: facts
                .size(square)
                .min(run / 2.0)
                .min(Length::from_mm_unchecked(MOST_ENGAGED_MM)),
        }
    }
}

/// How a joint is loosened when its wood must be free to move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loosened {
    /// One round hole, the other screws in slots.
    Slots,
    /// Left dry beyond the glued stretch: the rest slides in its channel.
    Dry,
    /// A narrower tenon, the rest of its width with room in the mortise.
    NarrowerTenon,
}

/// What a job says is done with a bond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Design {
    /// The program is asked; the line glued whole is judged.
    Asked,
    /// Glued over its whole length.
    Glued,
    /// Glued over this length at its middle or at its fixed end.
    GluedOver(Length),
    /// Not glued: slots or clearance carry the movement.
    Floating,
}

/// One joint, expanded.
#[derive(Debug, Clone, PartialEq)]
pub struct JointPlan {
    /// Its name in every answer.
    pub name: String,
    /// The key of its recipe: `dado`.
    pub kind: &'static str,
    /// How it is drawn.
    pub drawing: Drawing,
    /// Where the job file tells it.
    pub span: Range<usize>,
    /// The day it is cut; the job's first day when not given.
    pub cut_on: Option<Date>,
    /// What must keep room.
    pub fits: Vec<Fit>,
    /// What is glued or fixed.
    pub bonds: Vec<BondPlan>,
    /// What is cut away.
    pub housings: Vec<Housing>,
    /// What the trial in an off-cut should measure.
    pub trial: String,
    /// Things to tell the maker whatever the numbers say.
    pub notes: Vec<String>,
    /// Hardware that each of them needs: what, and how many.
    pub hardware: Vec<(String, u32)>,
    /// The bodies of the piece that it joins; empty in a job without places.
    pub bodies: Vec<[usize; 2]>,
}

impl JointPlan {
    /// The same for a piece that is so thick here, instead of its general thickness.
    #[must_use]
    pub(super) fn sized_for(
        mut self,
        piece: PartId,
        general: Length,
        here: Length,
        [body, into]: [&str; 2],
    ) -> Self {
        let mut sized = false;
        for term in self.fits.iter_mut().flat_map(|fit| &mut fit.part) {
            let whole = term.size == Size::Known(general);
            if whole && term.part == piece && term.axis == Axis::Thickness {
                term.size = Size::Known(here);
                sized = true;
            }
        }
        if sized {
            self.notes.push(format!(
                "`{body}` is {} thick where it goes into `{into}`: this housing is cut for that",
                millimetres(here)
            ));
        }
        self
    }

    /// The cuts if nothing moved, mm: given sizes, and for the others the size the limits ask today. Good enough
    /// to see whether cuts of two joints meet. `still` is the motion of all parts of the job over one day.
    #[must_use]
    pub fn still_cuts_mm(&self, still: &Motion) -> Vec<f64> {
        let days = Days {
            cut: 0,
            judged: 0..1,
        };
        self.fits
            .iter()
            .map(|fit| {
                fit.given.map_or_else(
                    || {
                        fit.cut_interval(still, &days)
                            .choose(fit.aim)
                            .unwrap_or(0.0)
                    },
                    Length::mm,
                )
            })
            .collect()
    }
}
