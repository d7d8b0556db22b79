//! The tolerances of the geometry. All are judgement.

use super::cuboid::Coordinate;

/// Faces this near to one another touch: far below a shaving, far above rounding.
pub const TOUCH: Coordinate = Coordinate::from_nanometres(10_000);

/// A size given beside both of its faces may differ by this much and still be the size as cut; beyond it, one of them is an error.
pub const CLOSES_WITHIN: Coordinate = Coordinate::from_nanometres(3_000_000);

/// Most bodies of one piece, copies and the parts of every group counted.
pub const MOST_BODIES: usize = 5_000;
