//! Systems whose equations each tie an unknown to its two neighbours.

/// Solves a tridiagonal system in place, without pivoting.
///
/// Row `i` reads `below[i] x[i-1] + diagonal[i] x[i] + above[i] x[i+1] = right[i]`;
/// `below[0]` and the last `above` are not read. On success `right` holds `x`.
/// `scratch` is as long as the others. Gives `false` when a pivot vanishes or
/// is not finite; diagonally dominant systems always succeed.
///
/// # Panics
/// When the slices differ in length.
#[must_use]
pub fn solve_tridiagonal(
    below: &[f64],
    diagonal: &[f64],
    above: &[f64],
    right: &mut [f64],
    scratch: &mut [f64],
) -> bool {
    let n = right.len();
    assert!(
        [below.len(), diagonal.len(), above.len(), scratch.len()] == [n; 4],
        "all diagonals must be as long as the right-hand side"
    );
    let (mut ratio, mut value) = (0.0, 0.0);
    for i in 0..n {
        let lower = if i == 0 { 0.0 } else { below[i] };
        let inverse = 1.0 / (diagonal[i] - lower * ratio);
        if !inverse.is_finite() {
            return false;
        }
        ratio = above[i] * inverse;
        value = (right[i] - lower * value) * inverse;
        scratch[i] = ratio;
        right[i] = value;
    }
    for i in (0..n.saturating_sub(1)).rev() {
        right[i] -= scratch[i] * right[i + 1];
    }
    true
}

/// Solves a symmetric tridiagonal system with a dominant diagonal, from both ends at once.
///
/// Row `i` reads `-ties[i-1] x[i-1] + diagonal[i] x[i] - ties[i] x[i+1] = right[i]`, as
/// neighbours exchange: `ties[i]` binds `i` and `i + 1`, the last one is
/// not read. `diagonal` is used up; on return `right` holds `x`. The two
/// eliminations, from the first row down and from the last row up, do not wait
/// for each other, which nearly halves the time of one that runs from end to
/// end. The caller sees to it that `diagonal[i] > ties[i-1] + ties[i] >= 0`.
///
/// # Panics
/// When the slices differ in length.
#[inline]
pub fn solve_symmetric_tridiagonal(ties: &[f64], diagonal: &mut [f64], right: &mut [f64]) {
    let n = right.len();
    let (ties, diagonal) = (&ties[..n], &mut diagonal[..n]);
    if n == 0 {
        return;
    }
    // The rows from both ends meet at `middle`.
    let middle = n / 2;
    // After this loop diagonal[i] holds ties / pivot, toward the middle.
    let pairs = n - 1 - middle;
    let (mut down, mut up) = (0.0, 0.0);
    let (mut down_value, mut up_value) = (0.0, 0.0);
    for i in 0..pairs {
        let j = n - 1 - i;
        let down_tie = ties[i];
        let up_tie = ties[j - 1];
        let inverse_down = 1.0 / (diagonal[i] - down);
        let inverse_up = 1.0 / (diagonal[j] - up);
        let down_ratio = down_tie * inverse_down;
        let up_ratio = up_tie * inverse_up;
        down_value += right[i];
        up_value += right[j];
        right[i] = down_value * inverse_down;
        right[j] = up_value * inverse_up;
        down_value *= down_ratio;
        up_value *= up_ratio;
        diagonal[i] = down_ratio;
        diagonal[j] = up_ratio;
        down = down_ratio * down_tie;
        up = up_ratio * up_tie;
    }
    // An even number of rows leaves one more above the middle.
    for i in pairs..middle {
        let tie = ties[i];
        let inverse = 1.0 / (diagonal[i] - down);
        let ratio = tie * inverse;
        down_value += right[i];
        right[i] = down_value * inverse;
        down_value *= ratio;
        diagonal[i] = ratio;
        down = ratio * tie;
    }
    let met = (right[middle] + down_value + up_value) / (diagonal[middle] - down - up);
    right[middle] = met;
    let (mut left, mut after) = (met, met);
    for i in pairs..middle {
        let i = middle - 1 - (i - pairs);
        left = right[i] + diagonal[i] * left;
        right[i] = left;
    }
    for k in 0..pairs {
        let (i, j) = (pairs - 1 - k, middle + 1 + k);
        left = right[i] + diagonal[i] * left;
        after = right[j] + diagonal[j] * after;
        right[i] = left;
        right[j] = after;
    }
}
