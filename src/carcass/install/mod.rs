//! Setting a piece up where it will stand: level on a floor that is not,
//! fastened so that it can move, with room at the walls.

mod acclimatise;
mod error;
mod fastening;
mod level;
mod overhang;
mod walls;

pub use acclimatise::{FitDay, Settling, fit_days};
pub use error::InstallError;
pub use fastening::{
    FixedLine, Fixing, Hole, PartMoves, ROUND_PLAY_MM, SLOT_MARGIN_MM, ScrewPlaces, SeasonStrains,
    SlotIn, fasten,
};
pub use level::{Corner, CornerLevel, FloorDrops, Levelled, level};
pub use overhang::{Overhang, OverhangSide, OverhangThrough, overhang};
pub use walls::{HeldSide, Recess, WALL_GAP_MM, WallGaps, wall_gaps};
