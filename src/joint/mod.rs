//! Joints: two primitives and the trade's recipes made of them.
//!
//! A **fit** is a opening dimension minus a part dimension through the year; a
//! **bond** glues or fixes two parts along a line. Every joint of the trade
//! is an expansion into those two and the wood it takes away. The room needs
//! the sizes of the parts and how they move ([`Motion`]); what fills the
//! motion is not its business.
//!
//! Where the numbers come from: a fit is arithmetic; a bond is shear-lag, held against failure strains
//! of *The Structural Conservation of Panel Paintings* (Getty, 1998), the size effect of ISO 13910 and EN 1995, and
//! the *Wood Handbook* ([`bond`] tells which is read, recalled or judged); the usual limits stand in [`defaults`], judgement.
//!
//! # A new recipe
//! One file in `recipes/`: a struct of the keys a job file may tell, and
//! [`recipes::Recipe::expand`], which reads them through a [`Site`] (every problem is
//! noted at its place) and gives a [`JointPlan`]: fits, bonds, the wood cut
//! away, what the trial in an off-cut should show, and which [`Scheme`] draws it. A line for its module and a
//! line in the table of `recipes/mod.rs` make it known to the job file, its
//! schema and the suggestions. Then a test that works it out by hand.
//!
//! # Where the trade's rules of thumb stand
//! Common practice, no source; what the computation says of each is held in
//! the tests.
//!
//! * *A few inches across the grain may be glued.* A batten 60 mm wide across flat-sawn 19 mm
//!   hard maple glued at 8 %: the computation allows 890 mm for a loss of 3 %, 450 for 4, 260 for
//!   5, 95 for 6; with as much gain in the wet season 330 for 3 % and 160 for 4. So it allows
//!   more than the rule while the loss stays under 5 % and less beyond: stress relaxes over the
//!   weeks in which wood dries, little wood is stressed by a narrow patch, and the rule is made
//!   for stock whose moisture nobody measured. Gluing also lets a wide board cup and crush its
//!   wet side; the float costs nothing.
//! * *Panels float.* The computation agrees for every wood and any panel wider than a hand.
//! * *Slots toward the free end.* It agrees: a slot grows with the distance from the fixed
//!   point; at the fixed point it is a round hole. It adds where the screw sits in the slot
//!   today, which the rule leaves out.

pub mod bond;
pub mod defaults;
pub mod depth;
pub mod drawing;
pub mod fit;
pub mod part;
pub mod plan;
pub mod recipe_reader;
pub mod recipes;

pub use bond::{Advice, BondJudgement, BondLine, Ply, ShearLag, Slot};
pub use depth::{Cut, WoodLeft};
pub use drawing::{Drawing, Hold, Scheme};
pub use fit::{Aim, CutInterval, Days, Fit, GapAt, GapExtremes, MaxGap, Size, Term, When};
pub use part::{Axis, Motion, PartFacts, PartId};
pub use plan::{
    Behind, BondPlan, BondSide, CutFace, Design, Housing, JointPlan, Loosened, Setting,
};
pub use recipe_reader::RecipeReader;
pub use recipes::Joints;
