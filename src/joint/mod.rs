//! Joints: two primitives and the trade's recipes made of them.
//!
//! A **fit** is a host dimension minus a guest dimension through the year; a
//! **bond** glues or fixes two parts along a line. Every joint of the trade
//! is an expansion into those two and the wood it takes away. The room needs
//! the sizes of the parts and how they move ([`Motion`]); what fills the
//! motion is not its business. Formulas: sheet H as told beside each function;
//! usual limits: [`defaults`], judgement.

pub mod bond;
pub mod defaults;
pub mod fit;
pub mod part;
pub mod plan;
pub mod recipes;

pub use bond::{Advice, BondJudgement, BondLine, Ply, ShearLag, Slot};
pub use fit::{Aim, CutInterval, Days, Fit, GapAt, GapExtremes, Greatest, Size, Term, When};
pub use part::{Axis, Motion, PartFacts, PartId};
pub use plan::{BondPlan, CutFace, Design, Housing, JointPlan, Setting, Site};
pub use recipes::Joints;
