//! Straight-line interpolation in a table.

/// The table's value at `x`, on the straight line between the two nearest nodes.
///
/// `xs` ascends. Beyond the ends the end value holds: nothing is extrapolated.
/// An empty table gives NaN.
///
/// # Panics
/// When the two slices differ in length.
#[must_use]
pub fn interpolate(xs: &[f64], ys: &[f64], x: f64) -> f64 {
    assert_eq!(xs.len(), ys.len(), "a table has one y for each x");
    let after = xs.partition_point(|&node| node <= x);
    match (after.checked_sub(1), xs.get(after)) {
        (None, None) => f64::NAN,
        (None, Some(_)) => ys[0],
        (Some(before), None) => ys[before],
        (Some(before), Some(&right)) => {
            let left = xs[before];
            ys[before] + (ys[after] - ys[before]) * (x - left) / (right - left)
        }
    }
}
