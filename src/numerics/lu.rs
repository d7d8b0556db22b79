//! Dense linear systems factored once and solved for many right-hand sides.

use super::add::add_each;
use multiversion::multiversion;

/// Factors a square matrix in place into `P A = L U` by elimination with partial pivoting.
///
/// `matrix` is row-major with as many rows as `pivots` is long. On success it holds `L` below the
/// diagonal and `U` on and above it, and `pivots[k]` is the row that changed places with row `k`. Gives `false`, with both
/// slices spoilt, when a pivot is not larger than `n` roundings of the largest coefficient. Meant for some hundred
/// unknowns whose rows and columns are of one scale; zeros below the diagonal cost nothing.
///
/// # Panics
/// When `matrix` is not `pivots.len()` squared long.
#[must_use]
#[multiversion(targets("x86_64+avx2"))]
pub fn factor_lu(matrix: &mut [f64], pivots: &mut [usize]) -> bool {
    let n = pivots.len();
    assert_eq!(matrix.len(), n * n, "the matrix must be square");
    let largest = matrix.iter().fold(0.0_f64, |most, a| most.max(a.abs()));
    let smallest_pivot = largest * f64::EPSILON * n as f64;
    for column in 0..n {
        let mut pivot = column;
        for row in column + 1..n {
            if matrix[row * n + column].abs() > matrix[pivot * n + column].abs() {
                pivot = row;
            }
        }
        let size = matrix[pivot * n + column].abs();
        if !size.is_finite() || size <= smallest_pivot {
            return false;
        }
        pivots[column] = pivot;
        if pivot != column {
            let (above, below) = matrix.split_at_mut(pivot * n);
            above[column * n..(column + 1) * n].swap_with_slice(&mut below[..n]);
        }
        let (above, below) = matrix.split_at_mut((column + 1) * n);
        let top = &above[column * n + column..];
        for row in below.chunks_exact_mut(n) {
            let row = &mut row[column..];
            if row[0] != 0.0 {
                let factor = row[0] / top[0];
                row[0] = factor;
                add_each(&mut row[1..], -factor, &top[1..]);
            }
        }
    }
    true
}

/// Solves `A x = b` in place with the factors of [`factor_lu`].
///
/// # Panics
/// When the slices' lengths do not belong together.
pub fn solve_lu(factors: &[f64], pivots: &[usize], right: &mut [f64]) {
    let n = pivots.len();
    assert!(
        factors.len() == n * n && right.len() == n,
        "the factors and the right-hand side must belong together"
    );
    for (k, &pivot) in pivots.iter().enumerate() {
        right.swap(k, pivot);
    }
    for i in 0..n {
        let (known, rest) = right.split_at_mut(i);
        let row = &factors[i * n..i * n + i];
        rest[0] -= row.iter().zip(&*known).map(|(a, x)| a * x).sum::<f64>();
    }
    for i in (0..n).rev() {
        let (rest, known) = right.split_at_mut(i + 1);
        let row = &factors[i * n + i + 1..(i + 1) * n];
        let sum: f64 = row.iter().zip(&*known).map(|(a, x)| a * x).sum();
        rest[i] = (rest[i] - sum) / factors[i * n + i];
    }
}
