//! The section map: one map gives width, thickness, cup and the out-of-square.
//!
//! The section is seen from the end that was measured, bark side up: `x`
//! across the width from the centre line, positive to the right, `z` up from
//! the heart-side face. With `e_R` and `e_T` the radial and tangential strains,
//! a board that does not contain the pith takes, free of stress, the shape
//! `r -> (1 + e_R) r`, `theta -> theta (1 + e_T)/(1 + e_R)` about the pith.
//! The metric `(1+e_R)^2 dr^2 + (1+e_T)^2 r^2 dtheta^2` is flat under this
//! map, so it is exact: there is no small-angle step.
//! Straight rings are the limit of a pith infinitely far away.

use super::{Direction, MovedSection, Shrinkage};
use crate::units::{Angle, Length, MoistureContent, Strain};

/// Where the rings of a section are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rings {
    /// Rings round a pith: `depth` from the heart-side face square down to the
    /// pith (negative when the pith lies above that face), `offset` to the right of
    /// the centre line.
    Pith {
        /// Heart-side face down to the pith.
        depth: Length,
        /// Centre line to the pith, positive to the right.
        offset: Length,
    },
    /// Straight rings at an angle to the face: 0 flat-sawn, 90 quartersawn.
    Straight {
        /// Ring to face.
        angle: Angle,
    },
}

/// A rectangular section with its rings, before it moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Width of the face.
    pub width: Length,
    /// Face to face.
    pub thickness: Length,
    /// Where the rings are.
    pub rings: Rings,
}

/// One of the two broad faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// The face toward the bark: up, `z` = thickness.
    Bark,
    /// The face toward the pith: down, `z` = 0.
    Heart,
}

/// The strains of one change of moisture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingStrains {
    /// Square to the rings.
    pub radial: Strain,
    /// Along the rings.
    pub tangential: Strain,
}

impl RingStrains {
    /// The strains of a piece that goes from one moisture content to another.
    #[must_use]
    pub fn of(shrinkage: &Shrinkage, from: MoistureContent, to: MoistureContent) -> Self {
        Self {
            radial: shrinkage.strain(Direction::Radial, from, to),
            tangential: shrinkage.strain(Direction::Tangential, from, to),
        }
    }
}

impl Rings {
    /// The rings' angle to the face at a place of the section, millimetres from the centre line
    /// and from the heart face; from -90 to 90 degrees, positive where the ring rises to the right.
    #[must_use]
    pub fn angle_at(&self, x_mm: f64, z_mm: f64) -> Angle {
        match self {
            Self::Straight { angle } => *angle,
            Self::Pith { depth, offset } => {
                let (dx, dz) = (x_mm - offset.mm(), z_mm + depth.mm());
                let degrees = libm::atan2(-dx, dz).to_degrees();
                Angle::computed_degrees(if degrees > 90.0 {
                    degrees - 180.0
                } else if degrees < -90.0 {
                    degrees + 180.0
                } else {
                    degrees
                })
            }
        }
    }
}

impl Section {
    /// Strain across the width per 1 % moisture, to first order: `C_T cos^2 b + C_R sin^2 b` with `b`
    /// the rings' angle at mid-thickness, averaged over the width (Simpson's rule, 16 strips). It is
    /// the coefficient that turns a moisture slope through the thickness into cup.
    #[must_use]
    pub fn width_coefficient(&self, shrinkage: &Shrinkage) -> f64 {
        const STRIPS: usize = 16;
        let (c_t, c_r) = (
            shrinkage.change_coefficient(Direction::Tangential),
            shrinkage.change_coefficient(Direction::Radial),
        );
        let (width, z) = (self.width.mm(), self.thickness.mm() / 2.0);
        let sum: f64 = (0..=STRIPS)
            .map(|i| {
                let x = width * (i as f64 / STRIPS as f64 - 0.5);
                let sin = libm::sin(self.rings.angle_at(x, z).radians());
                let weight = match i {
                    0 | STRIPS => 1.0,
                    i if i % 2 == 1 => 4.0,
                    _ => 2.0,
                };
                weight * (c_t + (c_r - c_t) * sin * sin)
            })
            .sum();
        sum / (3.0 * STRIPS as f64)
    }

    /// Whether the pith lies inside the section or on its outline: it will
    /// check, and no stress-free shape exists.
    #[must_use]
    pub fn contains_pith(&self) -> bool {
        match self.rings {
            Rings::Pith { depth, offset } => {
                let z = -depth.mm();
                z >= 0.0 && z <= self.thickness.mm() && offset.mm().abs() <= self.width.mm() / 2.0
            }
            Rings::Straight { .. } => false,
        }
    }

    /// The section after a change of moisture; `None` when it contains the pith.
    #[must_use]
    pub fn moved(&self, strains: RingStrains) -> Option<MovedSection> {
        if self.contains_pith() {
            return None;
        }
        Some(MovedSection::of(*self, strains))
    }
}
