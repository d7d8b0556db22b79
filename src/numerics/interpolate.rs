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

/// The value at `x` of a table that repeats every `period`.
///
/// `xs` ascends and spans less than one period; the last node joins the first
/// of the next round. An empty table gives NaN.
///
/// # Panics
/// When the two slices differ in length.
#[must_use]
pub fn interpolate_periodic(xs: &[f64], ys: &[f64], period: f64, x: f64) -> f64 {
    assert_eq!(xs.len(), ys.len(), "a table has one y for each x");
    let (Some(&first), Some(&last)) = (xs.first(), xs.last()) else {
        return f64::NAN;
    };
    let x = first + (x - first).rem_euclid(period);
    if x <= last {
        return interpolate(xs, ys, x);
    }
    let (from, to) = (ys[ys.len() - 1], ys[0]);
    from + (to - from) * (x - last) / (first + period - last)
}
