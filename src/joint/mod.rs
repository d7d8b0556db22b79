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
//! [`recipes::Recipe::expand`], which reads them through a [`RecipeReader`] (every problem is
//! noted at its place) and gives a [`JointPlan`]: fits, bonds, the wood cut
//! away, what the trial in an off-cut should show, and which [`Scheme`] draws it. A line for its module and a
//! line in the table of `recipes/mod.rs` make it known to the job file, its
//! schema and the suggestions. Then a test that works it out by hand.
//!
//! # Where the trade's rules of thumb stand
//! Common practice, no source; what the computation says of each is held in
//! the tests.
//!
//! * *Up to about 75 to 100 mm across the grain is glued; breadboard ends and wide cleats at the middle few
//!   inches only.* A batten 60 mm wide across flat-sawn 19 mm hard maple glued at 8 %: the computation
//!   allows 150 mm for a loss of 2 % that is known, 78 for 3, 60 for 4; with as much gain in the wet
//!   season 67 for 3 %. Where the 8 % are a meter's reading (within 1.5 % as a whole, 1 % a reading) it is 90, 67, 55 and 63. So it
//!   agrees, and says for which moisture.
//! * *A tenon up to about 75 to 100 mm wide is glued whole.* Here the computation is stricter. A tenon is thin, and its tip is
//!   held nearly whole (plane-stress elements of one 44 mm wide and 32 mm deep: 0.95 of the strain; the strip says 0.92; derived), so that
//!   its chance is that of the criteria: 14 in 100 for quartersawn walnut that a meter read at 9.2 % and a house dries
//!   to 5 %. Neither criterion knows that little wood bears more than much.
//! * *Panels float.* The computation agrees for every wood and any panel wider than a hand.
//! * *Slots toward the free end.* It agrees: a slot grows with the distance from the fixed
//!   point; at the fixed point it is a round hole. It adds where the screw sits in the slot
//!   today, which the rule leaves out.

pub mod bond;
pub mod defaults;
pub mod depth;
pub mod drawing;
pub mod fit;
pub mod joined;
pub mod part;
pub mod plan;
pub mod recipe_reader;
pub mod recipes;
mod sense;
pub mod shear_lag;
pub mod split;

pub use bond::{Advice, BondJudgement, BondLine, FreePair, Slot};
pub use depth::{Cut, WoodLeft};
pub use drawing::{Drawing, Hold, Scheme};

pub use fit::{Aim, CutInterval, Days, Fit, GapAt, GapExtremes, MaxGap, Size, Term, When};
pub use joined::{Joined, Met, Pairing};
pub use part::{Axis, Motion, PartFacts, PartId, Parts};
pub use plan::{
    Behind, BondPlan, BondSide, CutFace, Design, Housing, JointPlan, Loosened, SCREWED_KINDS,
    Setting,
};
pub use recipe_reader::RecipeReader;
pub use recipes::Joints;
pub use shear_lag::{Ply, ShearLag};
pub use split::{Across, SplitChance, SplitSpread};
