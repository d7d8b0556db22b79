//! Ripping a board into strips: the same operator, across the width.

use super::plan::{ResawPlan, Slice};
use super::{Side, StockError};
use crate::units::{Length, Strain};

/// A strip ripped from a board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RippedStrip {
    /// Where it comes from: heights count across the width from the right edge, up is left.
    pub slice: Slice,
    /// Crook over its length, positive when its fresh edge is hollow.
    pub crook: Length,
}

/// Crook of the strips ripped from a board `width` wide that wants the strain `a P2 + c P3` along the grain
/// across its width, whose crook over its length is `crook` (positive: left edge hollow). The
/// widths of the plan count from the left edge.
///
/// # Errors
/// [`StockError`] when the board is too narrow for the plan.
pub fn ripped(
    width: Length,
    length: Length,
    plan: &ResawPlan,
    surface: Strain,
    lopsided: Strain,
    crook: Length,
) -> Result<Vec<RippedStrip>, StockError> {
    let rise = length.mm() * length.mm() / 8.0;
    Ok(plan
        .slices(width)?
        .into_iter()
        .map(|slice| {
            let curvature = slice.bend_of_locked_in() * surface.ratio()
                + slice.bend_of_lopsided() * lopsided.ratio();
            // The left edge is the upper one: hollow there is negative curvature.
            let inherited = match slice.sawn() {
                Side::Upper => crook,
                Side::Lower => -crook,
            };
            RippedStrip {
                slice,
                crook: Length::from_mm_unchecked(slice.sawn_sign() * rise * curvature) + inherited,
            }
        })
        .collect())
}
