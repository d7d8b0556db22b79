//! How far a top stands over its case through the year.

use super::PartMoves;
use crate::units::{Length, Refusal};

/// A top on a case, front to back across the grain of both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overhang {
    /// Depth of the case today.
    pub case_depth: Length,
    /// Where the top is fastened tight, from the front of the case.
    pub fixed: Length,
    /// How the top moves.
    pub top: PartMoves,
    /// How the case's sides move.
    pub case: PartMoves,
    /// Minimum overhang wanted at the front.
    pub front_min: Length,
    /// Minimum overhang wanted at the back.
    pub back_min: Length,
}

/// One side's overhang through the year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OverhangThrough {
    /// In the driest time.
    pub driest: Length,
    /// Today: cut to this.
    pub today: Length,
    /// In the wettest time.
    pub wettest: Length,
}

/// Both sides, and the width to cut the top to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OverhangSide {
    /// At the front.
    pub front: OverhangThrough,
    /// At the back.
    pub back: OverhangThrough,
    /// Width of the top today.
    pub top_width: Length,
}

/// The overhang to cut today so that it never falls below what is wanted.
///
/// # Errors
/// [`Refusal`].
pub fn overhang(wanted: &Overhang) -> Result<OverhangSide, Refusal> {
    let top = wanted.top.across.check()?.ratios();
    let case = wanted.case.across.check()?.ratios();
    let side = |reach: Length, min: Length| {
        let through =
            |today: Length, season: usize| (reach + today) * top[season] - reach * case[season];
        let needed = |season: usize| (min + reach * case[season]) / top[season] - reach;
        let today = min.max(needed(0)).max(needed(1));
        OverhangThrough {
            driest: through(today, 0),
            today,
            wettest: through(today, 1),
        }
    };
    let front = side(wanted.fixed, wanted.front_min);
    let back = side(wanted.case_depth - wanted.fixed, wanted.back_min);
    Ok(OverhangSide {
        front,
        back,
        top_width: wanted.case_depth + front.today + back.today,
    })
}
