//! One leaf: its bow and cup off the saw and rested, and where they come from.

use super::belief::Marginal;
use super::board::{Board, Wood};
use super::drying::Bend;
use super::locked_in::LockedIn;
use super::plan::{Side, Slice};
use crate::movement::{Face, RingStrains, Section};
use crate::units::{Length, MoistureContent};

/// A length as low (5 %), middle and high (95 %).
pub type Band = crate::chance::Band<Length>;

/// Which face of a leaf is hollow.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HollowOn {
    /// The one fresh from the saw.
    FreshFace,
    /// The one that was the board's face.
    OuterFace,
    /// The marked one of a leaf with two fresh faces, or with none.
    SawnFace,
    /// The other one of such a leaf.
    OtherFace,
    /// Neither: straight within 0.05 mm.
    Neither,
}

/// Rise below which a leaf counts as straight, mm.
const STRAIGHT_MM: f64 = 0.05;

/// Where the middle forecast of a leaf's bow or cup comes from; the four add up to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// Strain locked in the board at the cut, the moisture gradient's own part of it included.
    pub locked_in: Length,
    /// Evening out of the moisture after the cut.
    pub moisture: Length,
    /// What the board already had.
    pub inherited: Length,
    /// Cup of the rings on the way to the moisture it settles at; nothing for bow.
    pub rings: Length,
}

/// A leaf's bow, or its cup. Positive when the sawn face is hollow.
#[derive(Debug, Clone, PartialEq)]
pub struct Warp {
    /// Length or width over which it is the rise.
    pub chord: Length,
    /// Straight off the saw.
    pub off_saw: Band,
    /// After the moisture evened out.
    pub rested: Band,
    /// Where the rested one comes from.
    pub shares: Shares,
    /// Which face is hollow once rested.
    pub hollow_on: HollowOn,
    pub(super) rested_belief: Marginal,
    pub(super) off_saw_belief: Marginal,
}

/// What becomes of one leaf.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafForecast {
    /// From 1 at the board's bark face.
    pub number: usize,
    /// Where it comes from.
    pub slice: Slice,
    /// Along the grain.
    pub bow: Warp,
    /// Across it.
    pub cup: Warp,
    /// Twist it takes over from the board: lift of one corner with the other three flat.
    pub twist: Length,
    /// Crook it takes over from the board.
    pub crook: Length,
}

/// The band of a rise that is believed in mm.
pub(super) fn rise_band(marginal: &Marginal) -> Band {
    marginal.band().map(Length::from_mm_unchecked)
}

impl HollowOn {
    /// What a maker calls it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FreshFace => "fresh face",
            Self::OuterFace => "outer face",
            Self::SawnFace => "sawn face",
            Self::OtherFace => "other face",
            Self::Neither => "neither",
        }
    }

    fn of(slice: &Slice, rise: Length) -> Self {
        let one_fresh = slice.lower_fresh != slice.upper_fresh;
        match rise.mm() {
            rise if rise.abs() < STRAIGHT_MM => Self::Neither,
            rise if rise > 0.0 && one_fresh => Self::FreshFace,
            _ if one_fresh => Self::OuterFace,
            rise if rise > 0.0 => Self::SawnFace,
            _ => Self::OtherFace,
        }
    }
}

/// The face of a section that is the leaf's marked one.
pub(super) const fn sawn_face(slice: &Slice) -> Face {
    match slice.sawn() {
        Side::Upper => Face::Bark,
        Side::Lower => Face::Heart,
    }
}

/// Cup of a leaf's sawn face from its rings; zero where the rings are not given or the pith lies in
/// the leaf.
pub(super) fn ring_cup(
    section: Option<Section>,
    wood: &Wood,
    slice: &Slice,
    from: MoistureContent,
    to: MoistureContent,
) -> Length {
    section
        .and_then(|section| section.moved(RingStrains::of(&wood.shrinkage, from, to)))
        .map_or(Length::ZERO, |moved| moved.cup(sawn_face(slice)))
}

fn warp(
    locked_in: &LockedIn,
    index: usize,
    board: &Board,
    slice: &Slice,
    bend: Bend,
    rings: Length,
) -> Warp {
    let chord = match bend {
        Bend::Along => board.length,
        Bend::Across => board.width,
    };
    let factor = slice.sawn_sign() * chord.mm() * chord.mm() / 8.0;
    let inherited = board.curvature(bend).per_mm();
    let in_mm = |evened: f64, rings: Length| {
        locked_in
            .curvature(index, slice, evened, inherited)
            .scaled(factor, rings.mm())
    };
    let off_saw_belief = in_mm(0.0, Length::ZERO);
    let rested_belief = in_mm(1.0, rings);
    let inherited = Length::from_mm_unchecked(factor * inherited);
    let rested = rise_band(&rested_belief);
    let moisture = Length::from_mm_unchecked(
        factor * slice.bend_of_locked_in() * locked_in.evening_out(index).mean(),
    );
    Warp {
        chord,
        off_saw: rise_band(&off_saw_belief),
        rested,
        shares: Shares {
            locked_in: rested.middle - moisture - inherited - rings,
            moisture,
            inherited,
            rings,
        },
        hollow_on: HollowOn::of(slice, rested.middle),
        rested_belief,
        off_saw_belief,
    }
}

/// One leaf of a board, resting to the moisture `settles_at` (where it is now, without one).
pub(super) fn leaf(
    number: usize,
    slice: &Slice,
    index: usize,
    board: &Board,
    wood: &Wood,
    (along, across): (&LockedIn, &LockedIn),
    settles_at: Option<MoistureContent>,
) -> LeafForecast {
    let now = slice.mean_moisture(board.moisture.mean(), board.core_minus_shell());
    let rings = ring_cup(
        board.leaf_section(slice),
        wood,
        slice,
        now,
        settles_at.unwrap_or(now),
    );
    LeafForecast {
        number,
        slice: *slice,
        bow: warp(along, index, board, slice, Bend::Along, Length::ZERO),
        cup: warp(across, index, board, slice, Bend::Across, rings),
        twist: board.twist,
        crook: board.crook,
    }
}
