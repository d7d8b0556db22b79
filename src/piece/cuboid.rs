//! Exact positions and boxes.

use super::space::{BoxFace, SpaceAxis};
use crate::units::Length;
use std::ops::{Add, Neg, Sub};

/// A position or a distance along an axis of the piece, in whole nanometres: sums and differences are exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Coordinate(i64);

impl Coordinate {
    /// The origin.
    pub const ZERO: Self = Self(0);

    /// So many nanometres.
    #[must_use]
    pub const fn from_nanometres(nanometres: i64) -> Self {
        Self(nanometres)
    }

    /// The position in whole nanometres.
    #[must_use]
    pub const fn nanometres(self) -> i64 {
        self.0
    }

    /// A length rounded to the nanometre.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        reason = "lengths are at most 100 m, which is 1e11 nm"
    )]
    pub fn of(length: Length) -> Self {
        Self((length.mm() * 1e6).round() as i64)
    }

    /// The same as a length.
    #[must_use]
    pub fn length(self) -> Length {
        Length::from_mm_unchecked(self.mm())
    }

    /// The same in millimetres.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "2^53 nm are nine thousand kilometres"
    )]
    pub fn mm(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// The distance without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// Half the distance, rounded down to the nanometre.
    #[must_use]
    pub const fn half(self) -> Self {
        Self(self.0.div_euclid(2))
    }
}

impl Add for Coordinate {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}
impl Sub for Coordinate {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}
impl Neg for Coordinate {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

/// A box along the axes of the piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Cuboid {
    low: [Coordinate; 3],
    high: [Coordinate; 3],
}

impl Cuboid {
    /// The box between two corners; on each axis the lower value becomes the low face.
    #[must_use]
    pub fn new(a: [Coordinate; 3], b: [Coordinate; 3]) -> Self {
        let pick = |choose: fn(Coordinate, Coordinate) -> Coordinate| {
            [choose(a[0], b[0]), choose(a[1], b[1]), choose(a[2], b[2])]
        };
        Self {
            low: pick(Ord::min),
            high: pick(Ord::max),
        }
    }

    /// The position of a face on its axis.
    #[must_use]
    pub const fn face(&self, face: BoxFace) -> Coordinate {
        if face.is_high() {
            self.high[face.axis() as usize]
        } else {
            self.low[face.axis() as usize]
        }
    }

    /// The low end on an axis.
    #[must_use]
    pub const fn low(&self, axis: SpaceAxis) -> Coordinate {
        self.low[axis as usize]
    }

    /// The high end on an axis.
    #[must_use]
    pub const fn high(&self, axis: SpaceAxis) -> Coordinate {
        self.high[axis as usize]
    }

    /// The size along an axis.
    #[must_use]
    pub fn size(&self, axis: SpaceAxis) -> Coordinate {
        self.high(axis) - self.low(axis)
    }

    /// The middle on an axis, rounded down to the nanometre.
    #[must_use]
    pub fn middle(&self, axis: SpaceAxis) -> Coordinate {
        (self.low(axis) + self.high(axis)).half()
    }

    /// The volume in cubic millimetres.
    #[must_use]
    pub fn volume_mm3(&self) -> f64 {
        SpaceAxis::ALL
            .iter()
            .map(|axis| self.size(*axis).mm())
            .product()
    }

    /// The box moved by a distance on each axis.
    #[must_use]
    pub fn moved(&self, by: [Coordinate; 3]) -> Self {
        let add =
            |corner: [Coordinate; 3]| [corner[0] + by[0], corner[1] + by[1], corner[2] + by[2]];
        Self {
            low: add(self.low),
            high: add(self.high),
        }
    }

    /// The same box with one face elsewhere; `None` where nothing would be left of it.
    #[must_use]
    pub fn with_face(&self, face: BoxFace, at: Coordinate) -> Option<Self> {
        let mut changed = *self;
        let axis = face.axis() as usize;
        if face.is_high() {
            changed.high[axis] = at;
        } else {
            changed.low[axis] = at;
        }
        (changed.low[axis] < changed.high[axis]).then_some(changed)
    }

    /// The smallest box around two.
    #[must_use]
    pub fn around(&self, other: &Self) -> Self {
        let mut both = *self;
        for at in 0..3 {
            both.low[at] = both.low[at].min(other.low[at]);
            both.high[at] = both.high[at].max(other.high[at]);
        }
        both
    }

    /// How far two boxes reach into one another on an axis: positive an overlap, zero a touch, negative a gap.
    #[must_use]
    pub fn overlap(&self, other: &Self, axis: SpaceAxis) -> Coordinate {
        self.high(axis).min(other.high(axis)) - self.low(axis).max(other.low(axis))
    }

    /// The gap between two boxes: the widest on any axis, zero when they touch or overlap.
    #[must_use]
    pub fn gap(&self, other: &Self) -> Coordinate {
        SpaceAxis::ALL
            .iter()
            .map(|axis| -self.overlap(other, *axis))
            .max()
            .unwrap_or_default()
            .max(Coordinate::ZERO)
    }

    /// What two boxes have in common: a box, flat where they touch. On an axis with a gap the gap itself is given.
    #[must_use]
    pub fn shared(&self, other: &Self) -> Self {
        let mut low = [Coordinate::ZERO; 3];
        let mut high = [Coordinate::ZERO; 3];
        for axis in SpaceAxis::ALL {
            low[axis as usize] = self.low(axis).max(other.low(axis));
            high[axis as usize] = self.high(axis).min(other.high(axis));
        }
        Self::new(low, high)
    }
}
