//! Contacts that only push: which are open and which are closed.

use super::Cholesky;

/// Finds `w >= 0` and `q + M w >= 0` of which in every place one is zero, for a symmetric positive definite `M`.
///
/// Murty's minimum-index rule (*Opsearch* 11, 1974; from memory): the first place that breaks its sign changes sides.
/// For a positive definite `M` it ends and the answer is unique. Returns `w`, or `None` when the equations do not settle it.
///
/// # Panics
/// When `matrix` is not `q.len()` squared long.
#[must_use]
pub fn solve_complementarity(matrix: &[f64], q: &[f64]) -> Option<Vec<f64>> {
    let n = q.len();
    assert_eq!(matrix.len(), n * n, "the matrix must be square");
    let size = q.iter().fold(0.0_f64, |most, q| most.max(q.abs()));
    let slack = size * 1e-12;
    let mut open = vec![false; n];
    let mut w = vec![0.0; n];
    // Each round is one choice of sides, and none comes twice.
    for _ in 0..1_u64.checked_shl(n.min(20) as u32)?.saturating_mul(2) {
        let places: Vec<usize> = (0..n).filter(|&i| open[i]).collect();
        let part: Vec<f64> = places
            .iter()
            .flat_map(|&i| places.iter().map(move |&j| matrix[i * n + j]))
            .collect();
        let mut answer: Vec<f64> = places.iter().map(|&i| -q[i]).collect();
        Cholesky::of(part, places.len())?.solve(&mut answer);
        w.fill(0.0);
        for (&i, value) in places.iter().zip(answer) {
            w[i] = value;
        }
        let wrong = (0..n).find(|&i| {
            if open[i] {
                w[i] < 0.0
            } else {
                let row = &matrix[i * n..(i + 1) * n];
                q[i] + row.iter().zip(&w).map(|(m, w)| m * w).sum::<f64>() < -slack
            }
        });
        match wrong {
            None => return Some(w),
            Some(i) => open[i] = !open[i],
        }
    }
    None
}
