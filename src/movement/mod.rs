//! How wood moves: shrinkage, the section map, the slope operator.

mod section;
mod shrinkage;

pub use section::{Face, MovedSection, RingStrains, Rings, Section};
pub use shrinkage::{Direction, Shrinkage};
