//! Cells through the thickness, thin at the faces where moisture changes most.

/// Cells a board is cut into unless another number is asked.
pub const CELLS: usize = 32;
/// The most cells a board may be cut into.
pub const MOST_CELLS: usize = 4096;

/// How much thinner than the mean the outermost cells are: `1 - GRADING` of it.
const GRADING: f64 = 0.8;

/// Edges of `cells` cells through a thickness of 1, from the lower face.
///
/// `z(s) = s - GRADING sin(2 pi s)/(2 pi)` is smooth, so the scheme on it keeps its second order.
pub(super) fn edges(cells: usize) -> Vec<f64> {
    let turn = std::f64::consts::TAU;
    (0..=cells)
        .map(|i| {
            let s = i as f64 / cells as f64;
            if i == cells {
                1.0
            } else {
                s - GRADING * libm::sin(turn * s) / turn
            }
        })
        .collect()
}
