//! Symmetric positive definite systems whose coefficients lie near the diagonal.

/// Solves `A x = b` in place for several right-hand sides by Cholesky's factorization.
///
/// `band` holds the lower half row by row, `reach + 1` numbers a row: `band[i * (reach + 1) + k]` is
/// `A[i][i - reach + k]`, so the diagonal is last; places before the first column are not read. It is
/// used up. `right` holds the right-hand sides one after another and, on success, the answers. Gives
/// `false`, with both slices spoilt, when a pivot is not larger than `n` roundings of its diagonal.
///
/// # Panics
/// When `right` or `band` do not hold whole rows of one `n`.
#[must_use]
pub fn solve_banded(band: &mut [f64], reach: usize, right: &mut [f64]) -> bool {
    let row = reach + 1;
    let n = band.len() / row;
    assert!(
        band.len() == n * row && n > 0 && right.len().is_multiple_of(n),
        "the band and the right-hand sides must hold whole rows"
    );
    for i in 0..n {
        let first = i.saturating_sub(reach);
        for j in first..=i {
            let shared = first.max(j.saturating_sub(reach));
            let (in_i, in_j) = (i * row + reach - i, j * row + reach - j);
            let inner: f64 = (shared..j).map(|k| band[in_i + k] * band[in_j + k]).sum();
            let left = band[in_i + j] - inner;
            if j < i {
                band[in_i + j] = left / band[in_j + j];
            } else {
                if !(left.is_finite() && left > band[in_i + i] * f64::EPSILON * n as f64) {
                    return false;
                }
                band[in_i + i] = left.sqrt();
            }
        }
    }
    for x in right.chunks_exact_mut(n) {
        for i in 0..n {
            let at = i * row + reach - i;
            let known: f64 = (i.saturating_sub(reach)..i)
                .map(|k| band[at + k] * x[k])
                .sum();
            x[i] = (x[i] - known) / band[at + i];
        }
        for i in (0..n).rev() {
            let at = i * row + reach - i;
            x[i] /= band[at + i];
            for k in i.saturating_sub(reach)..i {
                x[k] -= band[at + k] * x[i];
            }
        }
    }
    true
}
