//! In which order a piece goes together: which body can enter where, along which direction, and in which stage of glue.
//!
//! A plan is read backward. From the whole piece one body after another is taken off along one of six directions: that is possible where
//! every joint between the two bodies gives in that direction and no box that is swept meets another. Forward each such step is a
//! move. What has been taken apart can always be taken apart further, so that nothing is ever locked by an earlier step: a plan of moves
//! exists exactly when the whole can be split down to its parts.
//!
//! The moves are laid into stages, each within the glue's open time. Up to [`MOST_EXACT`] parts every split of every body is
//! looked at; beyond, each body is split only where one part with all that must go with it comes free, and a plan is then
//! called proven only where it meets the lower bound.

mod entry;
mod explain;
mod freedom;
mod plan;
mod splits;
mod stages;

pub use entry::Entry;
pub use explain::{Change, Freed, Lock, NoPlan};
pub use plan::{
    Assembly, AssemblyError, AssemblyJoint, AssemblyMove, AssemblyPart, AssemblyPiece,
    AssemblyStage, plan_assembly,
};

/// Most parts of which every split is looked at.
pub const MOST_EXACT: usize = 16;
/// Most parts of a plan.
pub const MOST_PARTS: usize = 128;
