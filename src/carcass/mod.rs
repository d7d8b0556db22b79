//! From panels to a standing piece: bowed panels held straight, shelves that
//! must not sag, glue-up in stages that the open time allows, and fastening the
//! piece so that it can move.
//!
//! What it needs: sizes, stiffness and strength of the parts, the bows that
//! the room `panel` finds, strains of the driest, the present and the wettest
//! day that `movement` finds, and settling days that `moisture` finds. It
//! takes them as plain values.
//!
//! Where its numbers come from: slender beams (least energy), checked against
//! closed forms and a frame finite-element package; creep of 2 under a permanent load,
//! relaxation and screw withdrawal from the Wood Handbook, from
//! memory; open times by chemistry from memory, the maker's own number first;
//! judgements are named as such where they stand.

pub mod assembly;
mod beam;
mod best_places;
mod caution;
mod error;
mod figure;
pub mod frame;
mod glueup;
mod hold;
mod install;
pub mod keys;
mod lipping;
mod panel;
mod placing;
mod shelf;
mod shelf_limits;
mod straighten;
mod three_moments;

pub use best_places::{BestPlaces, best_places};
pub use caution::{ANCHOR_FROM_MM, ANCHOR_FROM_RATIO, Caution, standing_cautions};
pub use figure::{BeforeAfter, ForceArrow, PlanMark, ShelfLine, StagePicture, stage_pictures};
pub use glueup::{
    GlueJoint, GlueKind, GlueStage, GlueTerms, Piece, REFERENCE_CELSIUS, Shorten, Stages,
    TimeRange, Trap, plan_stages,
};
pub use hold::{FAILS_ABOVE, HOLDS_UP_TO, JointHold, JointLoad};
pub use install::{
    Corner, CornerLevel, FitDay, FixedLine, Fixing, FloorDrops, HeldSide, Hole, Levelled, Overhang,
    OverhangSide, OverhangThrough, PartMoves, ROUND_PLAY_MM, Recess, SLOT_MARGIN_MM, ScrewPlaces,
    SeasonStrains, Settling, SiteKind, SlotIn, WALL_GAP_MM, WallGaps, fasten, fit_days, gap_behind,
    level, overhang, wall_gaps,
};
pub use lipping::{Lipping, ShelfBoard};
pub use panel::BowedPanel;
pub use placing::{Change, Closing, Variation, closing_forces, variations};
pub use shelf::{
    AllowedSag, Bearing, CREEP_COMES_AND_GOES, CREEP_YEARS, HOUSED_SHARE, LASTING_STRENGTH,
    LoadLasts, LoadedShelf, LoadedStack, Shelf, ShelfDividerForce, ShelfLoad, ShelfReaction,
    ShelfSupport, Turning, load_shelf, load_together,
};
pub use shelf_limits::{keeps_to, max_span, min_thickness};
pub use straighten::{
    Divider, DividerForce, Grip, HeldCase, HeldPanel, PanelFace, Support, SupportForce,
    SupportedPanel, straighten, straighten_together,
};
