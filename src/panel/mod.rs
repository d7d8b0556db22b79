//! Leaves laid into a panel: what bookmatching and slip-matching do to bow,
//! cup and twist, and the layout that moves minimum.
//!
//! The room answers how far a panel of edge-glued leaves bows, cups and twists,
//! how badly its seams meet before glue, what force closes and holds it, and
//! which order, face and end of the leaves is best under the wanted match. It
//! needs each leaf's size and bow; crook, twist, cup, rings and species where
//! they were given. Bow and twist come of composite-beam theory, cup of the exact section map
//! chained edge to edge; thresholds of feeling and the weights of the score are judgement and say so.
//!
//! What the exact map says of ring cup in a panel: a flat-sawn leaf's faces turn hollow mostly by shear, so its two edges stay
//! nearly parallel. Glued edge to edge such leaves washboarding from seam to seam, and only the small turn of each leaf's edges adds
//! up across the panel: heart sides one way make an arc, but a shallower one than a single wide board of the same
//! rings, and none at all in the limit of narrow leaves. Strips of one board glued together again do cup as the whole board.
//!
//! The best layout is proven, every other looked at or ruled out, for up to eight pairs, for sixteen leaves in four-way match and
//! for sixteen free leaves without rings. Free leaves with rings have `N! 4^N` layouts in which bow, cup and seams pull against one
//! another: about ten of them are proven, and beyond that the answer is the best found, says so, and gives the score
//! that no layout can beat.
//!
//! Bow and cup of a panel are positive when its upper (show) face is hollow; those of a leaf when its
//! sawn face is.

mod answer;
mod bows;
mod composite;
mod error;
mod force_words;
mod four_way;
mod keys;
mod laying;
mod leaf;
mod leaf_match;
pub mod leaves_csv;
mod line;
mod pieces;
mod plate;
mod sawn_sides;
mod score;
mod search;
mod shape;
mod start;
mod views;
mod wood;
mod year;

pub use answer::{BestLayouts, BookmatchFlag, Fault, compared};
pub use composite::{
    Strip, adds_bows, composite_curvature, force_factor, force_to_close_seam,
    force_to_hold_straight, panel_twist,
};
pub use force_words::{CLAMP_NEWTONS, HAND_PUSH_NEWTONS, clamps, felt};
pub use keys::{LeafKeys, LeavesFrom, PanelKeys, PanelPlan, SawnSide};
pub use laying::{MoistureChange, Panel};
pub use leaf::{EndForward, FaceUp, Leaf, LeafWood};
pub use leaf_match::{Layout, LeafMatch, Placed};
pub use plate::{CoupledLeaves, PlateLeaf, coupled_leaves, forces_to_hold_flat};
pub use score::Weights;
pub use shape::{PanelShape, RowShape, Seam};
pub use views::{EdgeView, EndView, EndViewLeaf};
pub use wood::{UnknownWood, settle_woods};
pub use year::{BowTrend, KEPT_AFTER_MONTHS, KEPT_MIN, KEPT_MOST, PanelAt, PanelYear};
