//! A root between two points of opposite sign.

/// Where `f` is zero between `low` and `high`, to within `tolerance` in `x`.
///
/// Ridders' method: the bracket at least halves in every round and shrinks
/// quadratically near a smooth root. Gives `None` when `f` has the same sign at both
/// ends or is not a number on the way.
#[must_use]
pub fn bracketed_root(f: impl Fn(f64) -> f64, low: f64, high: f64, tolerance: f64) -> Option<f64> {
    let (mut x1, mut x2) = (low.min(high), low.max(high));
    let (mut f1, mut f2) = (f(x1), f(x2));
    if f1 == 0.0 {
        return Some(x1);
    }
    if f2 == 0.0 {
        return Some(x2);
    }
    if f1.is_nan() || f2.is_nan() || f1.signum() == f2.signum() {
        return None;
    }
    let mut last = f64::INFINITY;
    // Each round halves the bracket, so 1100 rounds pass any two floats.
    for _ in 0..1100 {
        let middle = x1 + (x2 - x1) / 2.0;
        if !(x1 < middle && middle < x2) {
            return Some(middle);
        }
        let f_middle = f(middle);
        if f_middle == 0.0 {
            return Some(middle);
        }
        let bend = (f_middle * f_middle - f1 * f2).sqrt();
        if bend.is_nan() {
            return None;
        }
        let x = middle + (middle - x1) * (f1 - f2).signum() * f_middle / bend;
        let fx = f(x);
        if fx.is_nan() {
            return None;
        }
        if fx == 0.0 || (x - last).abs() <= tolerance {
            return Some(x);
        }
        last = x;
        if fx.signum() != f_middle.signum() {
            let (a, b) = if middle < x { (middle, x) } else { (x, middle) };
            let (fa, fb) = if middle < x {
                (f_middle, fx)
            } else {
                (fx, f_middle)
            };
            (x1, f1, x2, f2) = (a, fa, b, fb);
        } else if fx.signum() == f1.signum() {
            (x1, f1) = (x, fx);
        } else {
            (x2, f2) = (x, fx);
        }
        if (x2 - x1).abs() <= tolerance {
            return Some(x1 + (x2 - x1) / 2.0);
        }
    }
    None
}
