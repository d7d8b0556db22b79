//! Glue-up in the fewest stages that the open time allows.
//!
//! A piece is its parts and the joints between them. A stage is one spreading:
//! all its joints are spread, closed and clamped before the glue skins over.
//! Three rules make some orders impossible:
//!
//! - a joint between two parts that are already one rigid body cannot be closed
//!   any more, so whatever joins up two bodies must close all joints between them at once;
//! - a part trapped between others goes in before, or in the stage in which, those others become one body;
//! - a stage has no more clamps than are at hand.
//!
//! The search is exact: see [`plan_stages`]. Open times are the glue maker's own where they are given, else from memory by
//! chemistry ([`GlueKind`]); times of a joint, of a clamp and the reserve are judgement.

mod answer;
mod chemistry;
mod explain;
mod lattice;
mod piece;
mod search;
mod symmetry;

pub use answer::{GlueStage, Shorten, Stages, plan_stages};
pub use chemistry::{GlueKind, REFERENCE_CELSIUS, TimeRange};
pub use piece::{GlueJoint, GlueTerms, Piece, Trap};

pub(in crate::carcass) use answer::TIGHT;
pub(in crate::carcass) use search::stages_for;
