//! How wood moves: shrinkage, the section map, the slope operator.
//!
//! The room answers how wide, how thick, how cupped and how far out of square
//! a section is after a change of moisture, and how a piece bends whose layers
//! want different strains. It needs the wood's shrinkage, the two moisture
//! contents and the place of the rings. Shrinkage is the Wood Handbook's
//! (FPL-GTR-190, chapters 4 and 13); the section map and the slope operator are
//! exact geometry and elementary beam theory, derived where they stand.

mod error;
mod moved;
mod ring_keys;
mod rings;
mod section;
mod shrinkage;
mod slope;

pub use error::RingsError;
pub use moved::{MovedSection, MovedSizes};
pub use ring_keys::RingsKeys;
pub use rings::{RingsTold, Sawn};
pub use section::{Face, RingStrains, Rings, Section};
pub use shrinkage::{Direction, Shrinkage};
pub use slope::{
    Layer, curvature_of_layers, curvature_of_moisture_slope, curvature_of_strain,
    parabola_slope_percent_per_mm, two_layer_curvature,
};
