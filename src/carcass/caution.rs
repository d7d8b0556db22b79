//! The cautions that stand beside the answers of this room.

use crate::units::Length;

/// Something that can hurt someone, and what to do about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Shelf and fastening figures do not replace structural engineering.
    NotStructural,
    /// Tall or heavy furniture is anchored.
    AntiTip,
    /// Anchors go into framing, not into plaster or board alone.
    IntoFraming,
    /// A sprung panel flies back when its clamp slips.
    StoredForce,
    /// Glue and its fumes follow the maker's data sheet.
    GlueSheet,
}

impl Caution {
    /// The caution in words.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::NotStructural => {
                "these figures do not replace structural engineering: where people can be hurt by a failing shelf, fixing or wall, ask a licensed tradesperson and follow the local code"
            }
            Self::AntiTip => {
                "tall or heavy furniture tips when drawers stand open or a child climbs it: anchor it to the framing of the wall, as the local code asks"
            }
            Self::IntoFraming => {
                "drive anchor screws into studs or masonry, not into plaster or board alone, and look for cables and pipes first"
            }
            Self::StoredForce => {
                "a panel pulled straight stores force: close it slowly with clamps, never with a part of your body, and expect it to spring back if a clamp slips"
            }
            Self::GlueSheet => {
                "for fumes, gloves and clean-up follow the glue maker's data sheet; its times come before any given here"
            }
        }
    }
}

/// Height from which furniture is always to be anchored: 27 in, the height from
/// which a clothing storage unit falls under ASTM F2057-23 (from memory).
pub const ANCHOR_FROM_MM: f64 = 685.8;
/// Height over depth from which it is to be anchored however low (judgement).
pub const ANCHOR_FROM_RATIO: f64 = 2.0;

/// The cautions for a standing piece of this height and depth.
#[must_use]
pub fn standing_cautions(height: Length, depth: Length) -> Vec<Caution> {
    let tall = height.mm() >= ANCHOR_FROM_MM || height.mm() > ANCHOR_FROM_RATIO * depth.mm();
    let mut list = vec![Caution::NotStructural];
    if tall {
        list.extend([Caution::AntiTip, Caution::IntoFraming]);
    }
    list
}
