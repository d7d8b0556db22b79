//! Setting a piece up where it will stand: level on a floor that is not,
//! fastened so that it can move, with room at the walls.
//!
//! Answers shims or a scribe line, round holes and slots with the screw's place in them, the top's overhang, the gaps at
//! the walls, and the day from which each part may be fitted. Needs what a level and a rule show on
//! site, and the strains of the driest, the present and the wettest day (rooms `movement` and `joint`). The geometry is
//! exact; gaps, margins and plays are judgement and say so where they stand.

mod acclimatise;
mod error;
mod fastening;
mod level;
mod overhang;
mod walls;

pub use acclimatise::{FitDay, Settling, fit_days};
pub(super) use error::screw_off_the_part;
pub use fastening::{
    FixedLine, Fixing, Hole, PartMoves, ROUND_PLAY_MM, SLOT_MARGIN_MM, ScrewPlaces, SeasonStrains,
    SlotIn, fasten,
};
pub use level::{Corner, CornerLevel, FloorDrops, Levelled, level};
pub use overhang::{Overhang, OverhangSide, OverhangThrough, overhang};
pub use walls::{HeldSide, Recess, SiteKind, WALL_GAP_MM, WallGaps, gap_behind, wall_gaps};
