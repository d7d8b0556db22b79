//! The plinth: the base that the piece stands on, leveled with shims on the floor.

use crate::piece::{Piece, SpaceAxis};
use crate::units::notation::millimetres;
use crate::units::spanned::{Problems, Spanned};
use crate::units::{Bounds, Length};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// The base that the piece stands on: a frame set back under it, leveled with shims on the floor and screwed to the piece.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct PlinthKeys {
    /// From the floor to its top.
    height: Spanned<Length>,
    /// How far it is set back under the front.
    set_back: Spanned<Length>,
    /// How far it is set back at either end; as at the front unless given.
    set_back_ends: Option<Spanned<Length>>,
}

/// The base that the piece stands on.
#[derive(Debug, Clone, PartialEq)]
pub struct Plinth {
    /// From the floor to its top.
    pub height: Length,
    /// How far it is set back under the front.
    pub set_back: Length,
    /// How far it is set back at either end.
    pub set_back_ends: Length,
    /// Bytes of the file.
    pub span: Range<usize>,
}

impl PlinthKeys {
    pub(super) fn read(
        &self,
        span: Range<usize>,
        piece: &Piece,
        problems: &mut Problems,
    ) -> Option<Plinth> {
        let mut take = |given: &Spanned<Length>| {
            problems.take_checked(
                given,
                |length| length.within(Bounds::DEPTH),
                "give a size of the base itself",
            )
        };
        let height = take(&self.height);
        let set_back = take(&self.set_back);
        let ends = self.set_back_ends.as_ref().map(&mut take);
        let (height, set_back) = (height?, set_back?);
        let set_back_ends = match ends {
            Some(ends) => ends?,
            None => set_back,
        };
        let lowest = piece.outer().map(|outer| outer.low(SpaceAxis::Z).length());
        if let Some(lowest) = lowest
            && (lowest - height).abs().mm() > 0.5
        {
            problems.push(
                self.height.span(),
                format!(
                    "the plinth is {} high, but the lowest part of the piece is at {}: {} apart",
                    millimetres(height),
                    millimetres(lowest),
                    millimetres((lowest - height).abs())
                ),
                "the plinth counts from the floor: place the piece's lowest part on its top",
            );
            return None;
        }
        Some(Plinth {
            height,
            set_back,
            set_back_ends,
            span,
        })
    }
}
