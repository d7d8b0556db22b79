//! One draw: what a maker cannot know, as it might truly be. The middle draw
//! is every input at its middle.

use crate::movement::Rings;
use crate::panel::{KEPT_MIN, KEPT_MOST};

/// What one draw says of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartDraw {
    /// The standard normal numbers behind its board's tangential and radial shrinkage.
    pub shrinkage: [f64; 2],
    /// Added to the moisture read, percent.
    pub moisture_offset_percent: f64,
    /// Natural logarithm of what multiplies the diffusivity.
    pub diffusivity_log: f64,
    /// Multiplies the depth of the pith.
    pub pith_depth: f64,
    /// The rings themselves, where a photo gives their spread.
    pub rings: Option<Rings>,
    /// Multiplies every stiffness.
    pub stiffness: f64,
}

/// What one draw says of a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceDraw {
    /// Multiplies the equilibrium moisture up to the end of the first year at home.
    pub equilibrium: f64,
    /// Multiplies the equilibrium moisture of a later year.
    pub later_equilibrium: f64,
    /// Natural logarithm of what multiplies the exchange at the faces.
    pub surface_log: f64,
}

/// One draw of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    /// By part.
    pub parts: Vec<PartDraw>,
    /// By place.
    pub places: Vec<PlaceDraw>,
    /// What remains of a stress along the grain after months, as a share of it.
    pub remains: f64,
}

impl PartDraw {
    /// Everything at its middle.
    pub const MIDDLE: Self = Self {
        shrinkage: [0.0; 2],
        moisture_offset_percent: 0.0,
        diffusivity_log: 0.0,
        pith_depth: 1.0,
        rings: None,
        stiffness: 1.0,
    };
}

impl PlaceDraw {
    /// Everything at its middle.
    pub const MIDDLE: Self = Self {
        equilibrium: 1.0,
        later_equilibrium: 1.0,
        surface_log: 0.0,
    };
}

impl Draw {
    /// The middle draw.
    #[must_use]
    pub fn middle(parts: usize, places: usize) -> Self {
        Self {
            parts: vec![PartDraw::MIDDLE; parts],
            places: vec![PlaceDraw::MIDDLE; places],
            remains: f64::midpoint(KEPT_MIN, KEPT_MOST),
        }
    }
}
