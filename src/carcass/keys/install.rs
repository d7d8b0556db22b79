//! `[install]`: floor, walls, fastenings and overhang.

use super::words::{FixedWord, HeldSideWord, SiteWord, SlotWord};
use crate::carcass::install::screw_off_the_part;
use crate::carcass::{
    FixedLine, Fixing, FloorDrops, HeldSide, SLOT_MARGIN_MM, SiteKind, SlotIn, WALL_GAP_MM,
};
use crate::joint::{Axis, PartId, Parts, RecipeReader};
use crate::units::notation::{Flag, Lengths, millimetres};
use crate::units::spanned::{Name, Placed, Problems, Spanned};
use crate::units::{Bounds, Length};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// Where the piece will stand, and how it is fastened.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct InstallKeys {
    /// Height of the standing piece; with places as it follows.
    pub height: Option<Spanned<Length>>,
    /// Length of its base, left to right; with places that of the plinth, or of what is on the floor.
    pub length: Option<Spanned<Length>>,
    /// Depth of its base, front to back; with places as it follows.
    pub depth: Option<Spanned<Length>>,
    /// What is around it: "free", "one wall" (behind it), "two walls" (behind it and at one side) or "niche" (behind it and at both
    /// sides). A niche where `walls` are given, else one wall, unless given.
    pub site: Option<Spanned<SiteWord>>,
    /// The floor, where it is out of level.
    pub floor: Option<Placed<FloorKeys>>,
    /// The walls at its sides.
    pub walls: Option<Placed<WallKeys>>,
    /// Parts fastened along one line and free from it, where no joint says how: the screws of a cleat, a plinth or a slot follow from
    /// that joint.
    #[serde(default)]
    pub fastenings: Vec<Placed<FasteningKeys>>,
    /// A top that stands over its case.
    pub overhang: Option<Placed<OverhangKeys>>,
}

/// A floor out of level, by the drops a level shows from the front left corner.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FloorKeys {
    /// How much lower it lies to the right; negative where higher.
    pub drop_right: Spanned<Length>,
    /// How much lower it lies to the back.
    pub drop_back: Spanned<Length>,
    /// How far to the right that was measured; over the base unless given.
    pub right_over: Option<Spanned<Length>>,
    /// How far to the back; over the base unless given.
    pub back_over: Option<Spanned<Length>>,
    /// How much lower it lies at the back right corner, where that was measured.
    pub drop_far: Option<Spanned<Length>>,
}

/// Walls at both sides.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WallKeys {
    /// Widths from wall to wall at several heights.
    pub widths: Spanned<Lengths>,
    /// The part that reaches farthest toward the walls.
    pub part: Spanned<Name>,
    /// Whether that part's grain runs from wall to wall; true unless given.
    pub along_grain: Option<Spanned<Flag>>,
    /// The side the piece is fastened at; neither unless given.
    pub held: Option<Spanned<HeldSideWord>>,
    /// Minimum gap at a wall; 3 mm unless given.
    pub gap: Option<Spanned<Length>>,
}

/// A part fastened along one line and free from it.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FasteningKeys {
    /// The part.
    pub part: Spanned<Name>,
    /// The line it is fastened tight along: front, back, middle or a place from its front edge.
    pub fixed: Spanned<FixedWord>,
    /// Places of the screws from its front edge, across the grain.
    pub at: Spanned<Lengths>,
    /// How far from its middle along the grain the farthest screw sits; 0 unless given.
    pub along: Option<Spanned<Length>>,
    /// Diameter of the screws' shank.
    pub screw: Spanned<Length>,
    /// Which has the slot, the support or the part; the support unless given.
    pub slot_in: Option<Spanned<SlotWord>>,
    /// Room in a slot beyond travel and screw; 2 mm unless given.
    pub margin: Option<Spanned<Length>>,
}

/// A top that stands over its case.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OverhangKeys {
    /// The top.
    pub top: Spanned<Name>,
    /// The part of the case that runs front to back under it.
    pub case: Spanned<Name>,
    /// Where the top is fastened tight, from the front of the case.
    pub fixed: Spanned<FixedWord>,
    /// Minimum overhang wanted at the front.
    pub front: Spanned<Length>,
    /// Minimum overhang wanted at the back; 0 unless given.
    pub back: Option<Spanned<Length>>,
}

/// One part's fastenings, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct FastenPlan {
    /// Where the file has it.
    pub span: Range<usize>,
    /// The part.
    pub part: PartId,
    /// The line it is fastened tight along.
    pub fixed: FixedLine,
    /// The screws.
    pub fixings: Vec<Fixing>,
    /// Room in a slot beyond travel and screw.
    pub margin: Length,
}

/// The walls, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct WallPlan {
    /// Widths measured.
    pub widths: Vec<Length>,
    /// The part that reaches farthest.
    pub part: PartId,
    /// Its axis from wall to wall.
    pub axis: Axis,
    /// The side held.
    pub held: HeldSide,
    /// Minimum gap.
    pub gap: Length,
}

/// The overhang, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct OverhangPlan {
    /// The top.
    pub top: PartId,
    /// The part of the case under it.
    pub case: PartId,
    /// Where it is fastened, from the front of the case.
    pub fixed: Length,
    /// Minimum overhang at the front.
    pub front: Length,
    /// Minimum overhang at the back.
    pub back: Length,
}

/// The installation, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct InstallPlan {
    /// Where the file has it.
    pub span: Range<usize>,
    /// Height of the piece.
    pub height: Length,
    /// Length of its base.
    pub length: Length,
    /// Depth of its base.
    pub depth: Length,
    /// Height of the plinth that is its base, where it has one.
    pub plinth: Option<Length>,
    /// What is around it.
    pub site: SiteKind,
    /// The parts that reach to its back, each with the size that grows toward the wall.
    pub reach_back: Vec<(PartId, Axis)>,
    /// The outer box of the piece: from left to right and from front to back; none in a job without places.
    pub outer: Option<[Length; 2]>,
    /// The floor.
    pub floor: Option<FloorDrops>,
    /// The walls.
    pub walls: Option<WallPlan>,
    /// The fastenings.
    pub fastenings: Vec<FastenPlan>,
    /// The overhang.
    pub overhang: Option<OverhangPlan>,
}

/// What the places of a job say of how it sits on its floor.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedBase {
    /// Height of the piece over the floor.
    pub height: Length,
    /// From left to right and from front to back: what is on the floor.
    pub base: [Length; 2],
    /// Height of the plinth, where that is its base.
    pub plinth: Option<Length>,
    /// The outer box: from left to right and from front to back.
    pub outer: [Length; 2],
    /// The parts that reach to its back.
    pub reach_back: Vec<(PartId, Axis)>,
}

/// A size that is given may differ by this much from the one that follows from the places, mm.
const AGREES_MM: f64 = 3.0;

impl InstallKeys {
    /// The checked plan of a piece without places, or `None` after noting every problem.
    pub fn read(
        &self,
        span: Range<usize>,
        parts: &Parts<'_>,
        problems: &mut Problems,
    ) -> Option<InstallPlan> {
        self.read_placed(span, parts, None, problems)
    }

    /// A size: given, or as it follows; a note where neither is so or the two disagree.
    fn size(
        given: Option<&Spanned<Length>>,
        follows: Option<Length>,
        (key, what): (&str, &str),
        site: &mut RecipeReader<'_>,
    ) -> Option<Length> {
        let Some(given) = given else {
            if follows.is_none() {
                site.problem_here(
                    format!("`install` has no `{key}`"),
                    format!("add `{key} = ...`, {what}; with places it follows"),
                );
            }
            return follows;
        };
        let size = site.length(given, Bounds::BOARD_LENGTH)?;
        if let Some(follows) = follows
            && (size - follows).abs().mm() > AGREES_MM
        {
            site.problem(
                given.span(),
                format!(
                    "{what} is given as {} but is {} by the places: {} apart",
                    millimetres(size),
                    millimetres(follows),
                    millimetres((size - follows).abs())
                ),
                format!("leave `{key}` out, or correct the places"),
            );
            return None;
        }
        Some(size)
    }

    /// The checked plan, with what the places say, or `None` after noting every problem.
    pub fn read_placed(
        &self,
        span: Range<usize>,
        parts: &Parts<'_>,
        placed: Option<&PlacedBase>,
        problems: &mut Problems,
    ) -> Option<InstallPlan> {
        let mut site = RecipeReader::new(parts, problems, span.clone());
        let height = Self::size(
            self.height.as_ref(),
            placed.map(|placed| placed.height),
            ("height", "the height of the piece"),
            &mut site,
        );
        let length = Self::size(
            self.length.as_ref(),
            placed.map(|placed| placed.base[0]),
            ("length", "the length of its base"),
            &mut site,
        );
        let depth = Self::size(
            self.depth.as_ref(),
            placed.map(|placed| placed.base[1]),
            ("depth", "the depth of its base"),
            &mut site,
        );
        let around = site.take_optional(self.site.as_ref());
        let floor = optional(self.floor.as_ref(), |keys| {
            let mut site = RecipeReader::new(parts, problems, keys.span());
            keys.get().read(length.zip(depth), &mut site)
        });
        let walls = optional(self.walls.as_ref(), |keys| {
            keys.get()
                .read(&mut RecipeReader::new(parts, problems, keys.span()))
        });
        let over = optional(self.overhang.as_ref(), |keys| {
            keys.get()
                .read(&mut RecipeReader::new(parts, problems, keys.span()))
        });
        let fastenings: Vec<Option<FastenPlan>> = self
            .fastenings
            .iter()
            .map(|keys| {
                keys.get()
                    .read(&mut RecipeReader::new(parts, problems, keys.span()))
            })
            .collect();
        let usual = if self.walls.is_some() {
            SiteKind::Niche
        } else {
            SiteKind::OneWall
        };
        let around = around?.map_or(usual, |word| word.0);
        if let (Some(walls), false) = (&self.walls, around == SiteKind::Niche) {
            RecipeReader::new(parts, problems, walls.span()).problem_here(
                format!(
                    "walls at both sides are given, but the site is \"{}\"",
                    around.word()
                ),
                "write site = \"niche\", or leave `walls` out",
            );
            return None;
        }
        Some(InstallPlan {
            span,
            height: height?,
            length: length?,
            depth: depth?,
            plinth: placed.and_then(|placed| placed.plinth),
            site: around,
            reach_back: placed.map_or_else(Vec::new, |placed| placed.reach_back.clone()),
            outer: placed.map(|placed| placed.outer),
            floor: floor?,
            walls: walls?,
            fastenings: fastenings.into_iter().collect::<Option<_>>()?,
            overhang: over?,
        })
    }
}

fn optional<T, R>(
    keys: Option<&Placed<T>>,
    read: impl FnOnce(&Placed<T>) -> Option<R>,
) -> Option<Option<R>> {
    match keys {
        Some(keys) => read(keys).map(Some),
        None => Some(None),
    }
}

impl FloorKeys {
    fn read(
        &self,
        base: Option<(Length, Length)>,
        site: &mut RecipeReader<'_>,
    ) -> Option<FloorDrops> {
        let right = site.take(&self.drop_right);
        let back = site.take(&self.drop_back);
        let right_over = site.length_or_none(self.right_over.as_ref(), Bounds::BOARD_LENGTH);
        let back_over = site.length_or_none(self.back_over.as_ref(), Bounds::BOARD_LENGTH);
        let far = site.take_optional(self.drop_far.as_ref());
        let (length, depth) = base?;
        Some(FloorDrops {
            length,
            depth,
            right: right?,
            back: back?,
            right_over: right_over?,
            back_over: back_over?,
            far: far?,
        })
    }
}

impl WallKeys {
    fn read(&self, site: &mut RecipeReader<'_>) -> Option<WallPlan> {
        let widths = site.take(&self.widths);
        let part = site.part(&self.part);
        let along = site.take_optional(self.along_grain.as_ref());
        let held = site.take_optional(self.held.as_ref());
        let gap = site.length_or(self.gap.as_ref(), Bounds::LENGTH, WALL_GAP_MM);
        Some(WallPlan {
            widths: widths?.0,
            part: part?,
            axis: if along?.is_none_or(|flag| flag.0) {
                Axis::Length
            } else {
                Axis::Width
            },
            held: held?.map_or(HeldSide::Middle, |word| word.0),
            gap: gap?,
        })
    }
}

impl FasteningKeys {
    fn read(&self, site: &mut RecipeReader<'_>) -> Option<FastenPlan> {
        let part = site.part(&self.part);
        let fixed = site.take(&self.fixed);
        let at = site.take(&self.at);
        let along = site.length_or(self.along.as_ref(), Bounds::LENGTH, 0.0);
        let screw = site.length(&self.screw, Bounds::THICKNESS);
        let slot_in = site.take_optional(self.slot_in.as_ref());
        let margin = site.length_or(self.margin.as_ref(), Bounds::DEPTH, SLOT_MARGIN_MM);
        let (part, Lengths(at), along, screw) = (part?, at?, along?, screw?);
        let slot_in = slot_in?.map_or(SlotIn::Support, |word| word.0);
        let width = site.facts(part).width;
        if let Some(off) = at.iter().find(|at| at.mm() < 0.0 || **at > width) {
            let refused = screw_off_the_part(*off, width);
            site.problem(
                self.at.span(),
                refused.message(),
                refused.remedy().to_owned(),
            );
            return None;
        }
        Some(FastenPlan {
            span: self.part.span(),
            part,
            fixed: fixed?.0,
            fixings: at
                .into_iter()
                .map(|across| Fixing {
                    across,
                    along,
                    screw,
                    slot_in,
                })
                .collect(),
            margin: margin?,
        })
    }
}

impl OverhangKeys {
    fn read(&self, site: &mut RecipeReader<'_>) -> Option<OverhangPlan> {
        let top = site.part(&self.top);
        let case = site.part(&self.case);
        let fixed = site.take(&self.fixed);
        let front = site.length(&self.front, Bounds::LENGTH);
        let back = site.length_or(self.back.as_ref(), Bounds::LENGTH, 0.0);
        let (case, fixed) = (case?, fixed?);
        let depth = site.facts(case).width;
        Some(OverhangPlan {
            top: top?,
            case,
            fixed: fixed.0.place(depth),
            front: front?,
            back: back?,
        })
    }
}
