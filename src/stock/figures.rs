//! What the drawings of this room show, as plain numbers in millimetres and days.

use super::Band;
use super::forecast::BoardForecast;
use super::leaf::LeafForecast;
use super::plan::{Side, Slice};
use super::rest::RestForecast;
use crate::units::Length;

/// One leaf as it comes off the saw, seen from the edge: along the length from its middle, and up from the
/// board's lower face.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafOutline {
    /// From 1 at the marked face.
    pub number: usize,
    /// Lower face from left to right.
    pub lower: Vec<(f64, f64)>,
    /// Upper face from left to right.
    pub upper: Vec<(f64, f64)>,
    /// Whether the lower face is fresh from the saw.
    pub lower_fresh: bool,
    /// Whether the upper face is fresh from the saw.
    pub upper_fresh: bool,
}

/// Outlines of all leaves in the place they come off the saw, their rested bow drawn `exaggeration` times. Each
/// leaf is bent about its middle, which stays where it was.
#[must_use]
pub fn leaf_outlines(
    forecast: &BoardForecast,
    points: usize,
    exaggeration: f64,
) -> Vec<LeafOutline> {
    forecast
        .leaves
        .iter()
        .map(|leaf| {
            let (slice, length) = (&leaf.slice, leaf.bow.chord.mm());
            // A hollow lower face has its ends down.
            let ends = exaggeration * leaf.bow.rested.middle.mm() * slice.marked_sign();
            let line = |height: f64| {
                let n = points.max(2);
                (0..n)
                    .map(|i| {
                        let share = 2.0 * i as f64 / (n - 1) as f64 - 1.0;
                        (share * length / 2.0, height - ends * share * share)
                    })
                    .collect()
            };
            LeafOutline {
                number: leaf.number,
                lower: line(slice.lower.mm()),
                upper: line(slice.upper.mm()),
                lower_fresh: slice.lower_fresh,
                upper_fresh: slice.upper_fresh,
            }
        })
        .collect()
}

/// Bow or cup by day as low, middle and high.
#[must_use]
pub fn by_day(bands: &[Band]) -> Vec<(f64, f64, f64, f64)> {
    bands
        .iter()
        .enumerate()
        .map(|(day, band)| (day as f64, band.low.mm(), band.middle.mm(), band.high.mm()))
        .collect()
}

/// Bow by day with its band: day, low, middle, high.
#[must_use]
pub fn bow_by_day(rest: &RestForecast) -> Vec<(f64, f64, f64, f64)> {
    by_day(&rest.bow)
}

/// Thickness left along a leaf that is flattened whole: place from the left end, and how much is left of the
/// marked face and of the other face above and below the flat slab. The three stack up to the leaf.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftAlong {
    /// From the left end.
    pub place_mm: f64,
    /// Planed off the lower face there.
    pub off_lower_mm: f64,
    /// Left there.
    pub left_mm: f64,
    /// Planed off the upper face there.
    pub off_upper_mm: f64,
}

/// Thickness left along the board for a leaf of middle bow, flattened on both faces with the clean-up cut.
#[must_use]
pub fn left_along(leaf: &LeafForecast, clean_up: Length, points: usize) -> Vec<LeftAlong> {
    let n = points.max(2);
    let thickness = leaf.slice.thickness().mm();
    let bow = leaf.bow.rested.middle.mm() * leaf.slice.marked_sign();
    let clean = clean_up.mm();
    let left = (thickness - bow.abs() - 2.0 * clean).max(0.0);
    (0..n)
        .map(|i| {
            let share = 2.0 * i as f64 / (n - 1) as f64 - 1.0;
            // Height of the leaf's lower face above its own lowest point.
            let rise = if bow >= 0.0 {
                bow * (1.0 - share * share)
            } else {
                -bow * share * share
            };
            let off_lower_mm = (bow.abs() - rise + clean).max(0.0);
            LeftAlong {
                place_mm: (share + 1.0) / 2.0 * leaf.bow.chord.mm(),
                off_lower_mm,
                left_mm: left,
                off_upper_mm: (thickness - left - off_lower_mm).max(0.0),
            }
        })
        .collect()
}

/// The test strip as drawn: where it lies on the board, and its halves put back together.
#[derive(Debug, Clone, PartialEq)]
pub struct StripDrawing {
    /// Board outline from above: length and width.
    pub board: (f64, f64),
    /// The strip on it: left, right, lower edge, upper edge.
    pub strip: (f64, f64, f64, f64),
    /// Centre lines of the two halves put back together, gap drawn `exaggeration` times.
    pub halves: [Vec<(f64, f64)>; 2],
}

/// Drawing of a test strip `width` wide and `length` long off the edge of a board, whose halves show `gap`.
#[must_use]
pub fn strip_drawing(
    (board_length, board_width): (Length, Length),
    (length, width): (Length, Length),
    gap: Length,
    exaggeration: f64,
    points: usize,
) -> StripDrawing {
    let n = points.max(2);
    let half = |sign: f64| {
        (0..n)
            .map(|i| {
                let share = 2.0 * i as f64 / (n - 1) as f64 - 1.0;
                let open = gap.mm() * exaggeration / 2.0;
                // Positive: they touch at the ends and gap in the middle; negative the reverse.
                let apart = if open >= 0.0 {
                    open * (1.0 - share * share)
                } else {
                    -open * share * share
                };
                (share * length.mm() / 2.0, sign * apart)
            })
            .collect()
    };
    StripDrawing {
        board: (board_length.mm(), board_width.mm()),
        strip: (
            0.0,
            length.mm().min(board_length.mm()),
            board_width.mm() - width.mm(),
            board_width.mm(),
        ),
        halves: [half(1.0), half(-1.0)],
    }
}

/// Which side of a slice is its marked face, for the mark on a drawing.
#[must_use]
pub const fn mark_is_up(slice: &Slice) -> bool {
    matches!(slice.marked(), Side::Upper)
}
