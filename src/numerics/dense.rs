//! Small dense systems of linear equations.

/// Solves `A x = b` in place by elimination with partial pivoting.
///
/// `matrix` is row-major, `n * n` numbers for `n` right-hand sides; it is used
/// up. On success `right` holds `x`. Gives `false`, with both slices spoilt,
/// when a pivot is not larger than `n` roundings of the largest coefficient:
/// the equations do not settle the unknowns. Meant for tens of unknowns.
///
/// # Panics
/// When `matrix` is not `right.len()` squared long.
#[must_use]
pub(crate) fn solve_dense(matrix: &mut [f64], right: &mut [f64]) -> bool {
    let n = right.len();
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
        if pivot != column {
            for k in column..n {
                matrix.swap(column * n + k, pivot * n + k);
            }
            right.swap(column, pivot);
        }
        for row in column + 1..n {
            let factor = matrix[row * n + column] / matrix[column * n + column];
            if factor != 0.0 {
                for k in column..n {
                    matrix[row * n + k] -= factor * matrix[column * n + k];
                }
                right[row] -= factor * right[column];
            }
        }
    }
    for row in (0..n).rev() {
        let known: f64 = (row + 1..n).map(|k| matrix[row * n + k] * right[k]).sum();
        right[row] = (right[row] - known) / matrix[row * n + row];
    }
    true
}
