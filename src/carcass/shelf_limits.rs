//! How far a shelf may span and how thin it may be.

use super::{
    AllowedSag, LoadLasts, LoadedShelf, Shelf, ShelfBoard, ShelfLoad, ShelfSupport, Turning, error,
    load_shelf,
};
use crate::numerics::bracketed_root;
use crate::units::{Bounds, Length, LineLoad, Refusal};

/// Whether the sag in the long run keeps to what is allowed.
#[must_use]
pub fn keeps_to(loaded: &LoadedShelf, allowed: AllowedSag) -> bool {
    loaded.sag_long_term.abs() <= allowed.over(loaded.span)
}

/// Long-run sag over allowed sag, less one: zero at the limit.
fn excess(shelf: &Shelf, allowed: AllowedSag) -> Result<f64, Refusal> {
    let loaded = load_shelf(shelf)?;
    Ok(loaded.sag_long_term.abs() / allowed.over(loaded.span) - 1.0)
}

/// The maximum span of a board under an even load whose long-run sag keeps to
/// what is allowed, carried at both ends.
///
/// # Errors
/// [`Refusal`] when no span in the table of ranges does.
pub fn max_span(
    board: &ShelfBoard,
    (load, lasts): (LineLoad, LoadLasts),
    ends: Turning,
    allowed: AllowedSag,
) -> Result<Length, Refusal> {
    let over = |span_mm: f64| -> Result<f64, Refusal> {
        let length = Length::from_mm_unchecked(span_mm);
        let end = |at| ShelfSupport {
            turning: ends,
            ..ShelfSupport::at(at)
        };
        let shelf = Shelf {
            board: board.clone(),
            length,
            supports: vec![end(Length::ZERO), end(length)],
            loads: vec![ShelfLoad::Even(load)],
            lasts,
        };
        excess(&shelf, allowed)
    };
    limit(
        over,
        Bounds::BOARD_LENGTH.min.max(2.0),
        Bounds::BOARD_LENGTH.max,
        "span",
    )
}

/// The minimum thickness at which a shelf's long-run sag keeps to what is
/// allowed, all else as it is.
///
/// # Errors
/// [`Refusal`] when no thickness in the table of ranges
/// does, else as in [`load_shelf`].
pub fn min_thickness(shelf: &Shelf, allowed: AllowedSag) -> Result<Length, Refusal> {
    load_shelf(shelf)?;
    let over = |thickness_mm: f64| -> Result<f64, Refusal> {
        let board = shelf
            .board
            .with_thickness(Length::from_mm_unchecked(thickness_mm))?;
        excess(
            &Shelf {
                board,
                ..shelf.clone()
            },
            allowed,
        )
    };
    limit(
        over,
        Bounds::THICKNESS.min,
        Bounds::THICKNESS.max,
        "thickness",
    )
}

/// Where the excess crosses zero between two sizes, searched over their logarithm.
fn limit(
    over: impl Fn(f64) -> Result<f64, Refusal>,
    min: f64,
    max: f64,
    what: &'static str,
) -> Result<Length, Refusal> {
    let at = |log: f64| match over(libm::exp(log).clamp(min, max)) {
        Ok(excess) => libm::log(1.0 + excess),
        Err(_) => f64::NAN,
    };
    bracketed_root(at, libm::log(min), libm::log(max), 1e-10)
        .map(|log| Length::from_mm_unchecked(libm::exp(log).clamp(min, max)))
        .ok_or_else(|| error::sag_out_of_reach(what))
}
