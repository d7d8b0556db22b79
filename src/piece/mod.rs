//! The piece as a body: where each part sits, what it touches, which openings it leaves, and which sizes must close.
//!
//! The room answers where every part of a piece is when each part says where its faces are in the words of the trade
//! (`"3/8in into left side"`, `"flush with top"`): [`resolve`] turns those places into boxes, the boxes into
//! [contacts](Contact), [openings](Opening) and [chains](Chain). It knows no wood and no joint: a part is a box with a grain
//! direction, and what is cut where two boxes meet is the business of the rooms that follow.
//!
//! Seen from the front, x runs from left to right, y from front to back and z from the floor up. The origin is the left end,
//! the front and the floor of the piece.
//!
//! Positions are whole nanometres ([`Coordinate`]), so that sums of shop fractions down to 1/64 in and of tenths of a
//! millimetre are exact and two ways round a piece agree. Everything here is geometry; the few tolerances are judgement and stand in
//! [`limits`].

mod body;
mod chain;
mod contact;
mod cuboid;
mod keys;
pub mod limits;
mod opening;
mod orientation;
mod place;
mod plan;
mod resolve;
mod sizes_and_openings;
mod solve;
mod space;

pub use body::{Body, GroupBody, Piece};
pub use chain::{Chain, ChainTerm, Network};
pub use contact::{Contact, Meeting, contacts};
pub use cuboid::{Coordinate, Cuboid};
pub(crate) use keys::with_places;
pub use keys::{CopyKeys, GroupKeys, OpeningKeys, at, read_copies, read_opening, read_orientation};
pub use opening::{Bound, FrontPlace, HingeSide, Occupant, Opening};
pub use orientation::{FaceName, Grain, Lies, Orientation};
pub use place::{CentrePlace, Place};
pub use plan::{At, CopyPlan, GroupPlan, OpeningPlan, PartPlan, Places, Size};
pub use resolve::resolve;
pub use space::{BoxFace, SpaceAxis};
