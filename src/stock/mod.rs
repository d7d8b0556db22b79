//! Resawn stock: how far the leaves will bow and cup, how long they must rest,
//! and what thickness is left.
//!
//! The room answers before the cut (will this rough thickness yield the leaves
//! wanted, cross-cut first or not, which board for which part) and after it
//! (each leaf's bow and cup off the saw and rested, the rest day by day, the
//! thickness left after flattening). It needs the board as measured, the plan of
//! the cuts, the wood's shrinkage, and either what is locked in it or how it was
//! dried; a test strip or the first leaf makes the answer narrower.
//!
//! One formula carries it. A board at rest wants, across its thickness `H` with
//! `u = 2 z/H` from -1 to 1, the strain `e(u) = a P2(u) + c P3(u)` (Legendre
//! polynomials; the mean and the slope vanish, since the board is at rest in the
//! shape it has). A leaf freed from it bends by the slope operator of room
//! `movement`. `a > 0` is a shell in compression: casehardened stock. `c` is a
//! lop-sided strain, from reaction or juvenile wood toward one face. Along the
//! grain they give bow, across it cup: two separate pairs of numbers.
//!
//! Where the numbers come from: the formulas are elementary and derived where they stand;
//! the prior for `a` by drying history is judgement, with its published scale given in
//! [`drying`]. No published table of board size against measured resaw bow was found:
//! the checks of this room test the algebra, not nature, and the test strip is what
//! earns trust.
//!
//! Faces: the *bark* face of a board is its upper, bark-side face, and leaves are
//! numbered from it. The sawn face of a leaf is its fresh-sawn one; where it has
//! two, or none, the one toward the board's bark face. Bow and cup are positive when
//! the sawn face is hollow.

mod belief;
mod board;
mod cautions;
pub mod drying;
mod error;
mod forecast;
mod leaf;
mod locked_in;
mod milling;
mod plan;
mod recovery;
mod rest;
mod section_keys;
mod section_read;
mod serving;
mod strip;

pub use belief::{Belief, Marginal, Seen};
pub use board::{Board, EveningOut, Wood};
pub use cautions::{Caution, pinch};
pub use drying::{Bend, Drying, DryingPrior};
pub use forecast::{
    BoardForecast, BoardOrder, LockedInFinding, MeasuredLeaf, StrainBand, forecast_pack,
};
pub use leaf::{Band, HollowOn, LeafForecast, Shares, Warp};
pub use locked_in::{Known, LockedIn, contradiction};
pub use milling::{Allowance, MillingForecast, PartWanted, milling, part_allowance};
pub use plan::{Leaves, ResawPlan, Side, Slice};
pub use recovery::{FirstCut, Recovery, Wanted, recovery, recovery_of};
pub(crate) use rest::oven_dry_of;
pub use rest::{Lying, RestForecast, RestPlan, rest_of_leaf};
pub use section_keys::{BoardKeys, BoardPlan, LeafKeys, PartWantedKeys, StripKeys};
pub use serving::{Assignment, MOST_TRIALS, assign, assign_within};
pub use strip::{Contradiction, INSTRUCTIONS, READING_ERROR, TestStrip, WhenRead};
