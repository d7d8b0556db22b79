//! How wood moves: shrinkage, the section map, the slope operator.
//!
//! The room answers how wide, how thick, how cupped and how far out of square
//! a section is after a change of moisture, and how a piece bends whose layers
//! want different strains. It needs the wood's shrinkage, the two moisture
//! contents and the place of the rings. Shrinkage is the Wood Handbook's
//! (FPL-GTR-190, chapters 4 and 13); the section map and the slope operator are
//! exact geometry and elementary beam theory, derived where they stand; the bend of
//! two glued layers is Timoshenko's (1925).
//!
//! Everything that changes shape comes from these two: width, thickness, cup and
//! out-of-square are read off one map ([`Section::moved`]), bow and cup from moisture or locked-in
//! strain come from one operator ([`curvature_of_strain`]). What they leave out: stress that
//! the wood holds (a board with its pith inside checks instead of following the map), creep while drying, and growth rings that are
//! not round.
//!
//! ```
//! use heartside::movement::{Face, RingStrains, Rings, Section};
//! use heartside::units::{Length, Strain};
//!
//! // A drying flat-sawn board turns hollow on the bark side.
//! let section = Section {
//!     width: Length::from_mm(200.0)?,
//!     thickness: Length::from_mm(25.0)?,
//!     rings: Rings::Pith { depth: Length::from_mm(150.0)?, offset: Length::ZERO },
//! };
//! let strains = RingStrains {
//!     radial: Strain::from_ratio(-0.0072)?,
//!     tangential: Strain::from_ratio(-0.0146)?,
//! };
//! let moved = section.moved(strains).ok_or("the pith is inside")?;
//! assert!((moved.width(Face::Bark).mm() - 197.214).abs() < 0.001);
//! assert!((moved.cup(Face::Bark).mm() - 0.383).abs() < 0.001);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod error;
mod glued;
mod moved;
mod pith_spread;
mod ring_keys;
mod rings;
mod section;
mod shrinkage;
mod slope;

pub use crate::species::Sawn;
pub use glued::{GluedBoard, rings_that_move_alike, widths_apart};
pub use moved::{MovedSection, MovedSizes, SizesRead};
pub use pith_spread::PithSpread;
pub use ring_keys::{RingsInPhoto, RingsKeys};
pub use rings::{CUP_NOT_KNOWN, GivenRings, RINGS_NOT_GIVEN};
pub use section::{Face, RingStrains, Rings, Section};
pub use shrinkage::{Direction, Shrinkage};
pub use slope::{
    Layer, curvature_of_layers, curvature_of_moisture_slope, curvature_of_strain,
    parabola_slope_percent_per_mm, share_of_own_curvature, two_layer_curvature,
};
