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

/// Solves a chain of cells that exchange with their neighbours, from both ends at once.
///
/// Row `i` reads `stores[i] x[i] + ties[i-1] (x[i] - x[i-1]) + ties[i] (x[i] - x[i+1]) = right[i]`:
/// a symmetric tridiagonal system given by what its diagonal has in excess of its
/// neighbours. `ties[i]` binds `i` and `i + 1`, the last one is not read; neither ties nor
/// stores are negative, and at least one store is positive in every run of cells
/// that ties bind. `stores` is used up; on return `right` holds `x`.
///
/// The excess is carried along instead of the diagonal, so nothing is ever subtracted
/// and the answer keeps its digits however much the ties outweigh the stores. The
/// eliminations from the first row down and from the last row up do not wait for each other,
/// which nearly halves the time of one that runs from end to end.
///
/// # Panics
/// When a slice is shorter than `right`.
#[inline]
pub fn solve_exchange(ties: &[f64], stores: &mut [f64], right: &mut [f64]) {
    let n = right.len();
    let (ties, stores) = (&ties[..n], &mut stores[..n]);
    if n == 0 {
        return;
    }
    // The rows from both ends meet at `middle`; after the loops `stores` holds the
    // weight of the neighbour toward it.
    let middle = n / 2;
    let pairs = n - 1 - middle;
    let (mut down, mut up) = (0.0, 0.0);
    let (mut down_value, mut up_value) = (0.0, 0.0);
    for i in 0..pairs {
        let j = n - 1 - i;
        let (down_tie, up_tie) = (ties[i], ties[j - 1]);
        let (down_store, up_store) = (stores[i] + down, stores[j] + up);
        let (down_pivot, up_pivot) = (down_store + down_tie, up_store + up_tie);
        // What the next row waits for comes first.
        down = down_tie * down_store / down_pivot;
        up = up_tie * up_store / up_pivot;
        let (down_inverse, up_inverse) = (1.0 / down_pivot, 1.0 / up_pivot);
        let (down_weight, up_weight) = (down_tie * down_inverse, up_tie * up_inverse);
        down_value += right[i];
        up_value += right[j];
        right[i] = down_value * down_inverse;
        right[j] = up_value * up_inverse;
        down_value *= down_weight;
        up_value *= up_weight;
        stores[i] = down_weight;
        stores[j] = up_weight;
    }
    // An even number of rows leaves one more above the middle.
    for i in pairs..middle {
        let (tie, store) = (ties[i], stores[i] + down);
        let inverse = 1.0 / (store + tie);
        let weight = tie * inverse;
        down = weight * store;
        down_value += right[i];
        right[i] = down_value * inverse;
        down_value *= weight;
        stores[i] = weight;
    }
    let met = (right[middle] + down_value + up_value) / (stores[middle] + down + up);
    right[middle] = met;
    let (mut left, mut after) = (met, met);
    for i in (pairs..middle).rev() {
        left = right[i] + stores[i] * left;
        right[i] = left;
    }
    for k in 0..pairs {
        let (i, j) = (pairs - 1 - k, middle + 1 + k);
        left = right[i] + stores[i] * left;
        after = right[j] + stores[j] * after;
        right[i] = left;
        right[j] = after;
    }
}
