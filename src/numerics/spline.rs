//! A cubic through measured heights.

use super::solve_tridiagonal;

/// Second derivatives at the knots of the cubic spline through `ys` at `xs`, its first and last piece parabolas
/// (`y''' = 0`): through three points it is one parabola. Two points give a straight line.
///
/// Returns `None` for fewer than two points or places that do not ascend.
///
/// # Panics
/// When the two slices differ in length.
#[must_use]
pub fn spline_bends(xs: &[f64], ys: &[f64]) -> Option<Vec<f64>> {
    assert_eq!(xs.len(), ys.len(), "a spline has one y for each x");
    let n = xs.len();
    if n < 2 || xs.windows(2).any(|two| two[1] <= two[0]) {
        return None;
    }
    if n == 2 {
        return Some(vec![0.0; 2]);
    }
    let step = |i: usize| xs[i + 1] - xs[i];
    let rise = |i: usize| (ys[i + 1] - ys[i]) / step(i);
    // Unknown are the inner knots; the end ones are as their neighbors.
    let m = n - 2;
    let below: Vec<f64> = (0..m).map(|i| step(i) / 6.0).collect();
    let above: Vec<f64> = (0..m).map(|i| step(i + 1) / 6.0).collect();
    let diagonal: Vec<f64> = (0..m)
        .map(|i| {
            let ends =
                f64::from(u8::from(i == 0)) * below[i] + f64::from(u8::from(i + 1 == m)) * above[i];
            (step(i) + step(i + 1)) / 3.0 + ends
        })
        .collect();
    let mut inner: Vec<f64> = (0..m).map(|i| rise(i + 1) - rise(i)).collect();
    let mut scratch = vec![0.0; m];
    if !solve_tridiagonal(&below, &diagonal, &above, &mut inner, &mut scratch) {
        return None;
    }
    let (first, last) = (inner[0], inner[m - 1]);
    Some(
        std::iter::once(first)
            .chain(inner)
            .chain(std::iter::once(last))
            .collect(),
    )
}

/// Value, slope and second derivative at `x` of the spline with these second derivatives; the end pieces go on beyond.
///
/// # Panics
/// When the slices differ in length or hold fewer than two points.
#[must_use]
pub fn spline_at(xs: &[f64], ys: &[f64], bends: &[f64], x: f64) -> (f64, f64, f64) {
    assert!(
        xs.len() >= 2 && xs.len() == ys.len() && xs.len() == bends.len(),
        "a spline has a value and a bend for each of its points"
    );
    let i = xs.partition_point(|&knot| knot <= x).clamp(1, xs.len() - 1) - 1;
    let h = xs[i + 1] - xs[i];
    let (a, b) = (xs[i + 1] - x, x - xs[i]);
    let (m0, m1) = (bends[i], bends[i + 1]);
    let value = (m0 * a.powi(3) + m1 * b.powi(3)) / (6.0 * h)
        + (ys[i] / h - m0 * h / 6.0) * a
        + (ys[i + 1] / h - m1 * h / 6.0) * b;
    let slope =
        (m1 * b * b - m0 * a * a) / (2.0 * h) + (ys[i + 1] - ys[i]) / h - (m1 - m0) * h / 6.0;
    (value, slope, (m0 * a + m1 * b) / h)
}
