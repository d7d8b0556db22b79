//! A board as measured, and what its moisture adds.

use super::{Bend, Slice};
use crate::moisture::meter::Reading;
use crate::movement::{Direction, Rings, Section, Shrinkage};
use crate::species::Species;
use crate::units::{Curvature, Length, MoistureContent};

/// What the room needs to know of the wood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wood {
    /// What it shrinks.
    pub shrinkage: Shrinkage,
    /// Oven-dry mass on green volume, over that of water.
    pub basic_gravity: f64,
}

/// A board as measured before the first cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Board {
    /// Along the grain.
    pub length: Length,
    /// Across the face.
    pub width: Length,
    /// Face to face, at the moment of the cut.
    pub thickness: Length,
    /// Present bow over the length, positive when the sawn face is hollow.
    pub bow: Length,
    /// Present crook over the length: the maximum deviation edgewise.
    pub crook: Length,
    /// Present cup over the width, positive when the sawn face is hollow.
    pub cup: Length,
    /// Present twist: lift of one corner when the other three lie flat.
    pub twist: Length,
    /// Moisture as read.
    pub moisture: Reading,
    /// Where the rings are, bark side up.
    pub rings: Option<Rings>,
    /// Whether the rings are no more than the way of sawing: they give the width, and the cup that they bring is not known.
    pub sawn_only: bool,
}

/// What evening out of the moisture adds to `a`: `m = (2/3) C (M_core - M_shell)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EveningOut {
    /// Middle, a strain.
    pub middle: f64,
    /// Spread.
    pub spread: f64,
}

/// Spread of core less shell where both were read: each reading is good to 1 % moisture and half of
/// that is common to both (judgement).
const READ_SPREAD_PERCENT: f64 = 0.7;
/// Spread of core less shell where one reading cannot tell (judgement).
const UNREAD_SPREAD_PERCENT: f64 = 1.0;
/// Spread of shrinkage across the grain between boards of one wood (Wood Handbook ch. 4, from memory).
const ACROSS_SPREAD: f64 = 0.15;
/// The same along the grain, whose usual range is 0.1 to 0.2 % (Wood Handbook ch. 4).
const ALONG_SPREAD: f64 = 0.3;

impl Wood {
    /// The figures of a wood of the tables.
    #[must_use]
    pub fn of(species: &Species) -> Self {
        Self {
            shrinkage: Shrinkage::of(species),
            basic_gravity: species.basic_gravity().value,
        }
    }
}

impl Board {
    /// A straight board of which nothing but its size and one moisture reading is known.
    #[must_use]
    pub const fn plain(
        length: Length,
        width: Length,
        thickness: Length,
        moisture: MoistureContent,
    ) -> Self {
        Self {
            length,
            width,
            thickness,
            bow: Length::ZERO,
            crook: Length::ZERO,
            cup: Length::ZERO,
            twist: Length::ZERO,
            moisture: Reading::Single(moisture),
            rings: None,
            sawn_only: false,
        }
    }

    /// Whether the cup that the rings bring as the moisture changes is known.
    #[must_use]
    pub const fn knows_ring_cup(&self) -> bool {
        self.rings.is_some() && !self.sawn_only
    }

    /// The board's present curvature, positive when the lower face is hollow; each leaf inherits it.
    #[must_use]
    pub fn curvature(&self, bend: Bend) -> Curvature {
        match bend {
            Bend::Along => Curvature::of_rise(-self.bow, self.length),
            Bend::Across => Curvature::of_rise(-self.cup, self.width),
        }
    }

    /// Strain per 1 % moisture in the direction that bends. Across the grain it comes from the rings;
    /// where they are not given, the board is taken for flat-sawn.
    #[must_use]
    pub fn coefficient(&self, wood: &Wood, bend: Bend) -> f64 {
        match (bend, self.rings) {
            (Bend::Along, _) => wood.shrinkage.change_coefficient(Direction::Longitudinal),
            (Bend::Across, None) => wood.shrinkage.change_coefficient(Direction::Tangential),
            (Bend::Across, Some(rings)) => Section {
                width: self.width,
                thickness: self.thickness,
                rings,
            }
            .width_coefficient(&wood.shrinkage),
        }
    }

    /// How much wetter the core is than the shell, zero where one reading cannot tell.
    #[must_use]
    pub fn core_minus_shell(&self) -> MoistureContent {
        self.moisture
            .core_minus_shell()
            .unwrap_or(MoistureContent::ZERO)
    }

    /// What evening out adds to `a`.
    #[must_use]
    pub fn evening_out(&self, wood: &Wood, bend: Bend) -> EveningOut {
        let coefficient = self.coefficient(wood, bend);
        let (difference, read) = match self.moisture.core_minus_shell() {
            Some(difference) => (difference.percent(), READ_SPREAD_PERCENT),
            None => (0.0, UNREAD_SPREAD_PERCENT),
        };
        let of_wood = match bend {
            Bend::Along => ALONG_SPREAD,
            Bend::Across => ACROSS_SPREAD,
        };
        EveningOut {
            middle: 2.0 / 3.0 * coefficient * difference,
            spread: 2.0 / 3.0 * coefficient * libm::hypot(read, of_wood * difference),
        }
    }

    /// The section of one leaf, with the rings where the leaf has them.
    #[must_use]
    pub fn leaf_section(&self, slice: &Slice) -> Option<Section> {
        let rings = match self.rings? {
            Rings::Pith { depth, offset } => Rings::Pith {
                depth: depth + slice.lower,
                offset,
            },
            straight @ Rings::Straight { .. } => straight,
        };
        Some(Section {
            width: self.width,
            thickness: slice.thickness(),
            rings,
        })
    }
}
