//! Principal axes of a small symmetric matrix.

/// Eigenvalues and unit eigenvectors of a symmetric 3 x 3 matrix, the largest value first, by Jacobi's rotations.
#[must_use]
pub fn symmetric_eigen(matrix: [[f64; 3]; 3]) -> [(f64, [f64; 3]); 3] {
    let mut a = matrix;
    let mut axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    // Each sweep squares what is left off the diagonal; ten are far more than doubles can use.
    for _ in 0..10 {
        for (p, q) in [(0, 1), (0, 2), (1, 2)] {
            if a[p][q].abs() <= f64::MIN_POSITIVE {
                continue;
            }
            let theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
            let tan = theta.signum() / (theta.abs() + libm::hypot(theta, 1.0));
            let cos = 1.0 / libm::hypot(tan, 1.0);
            let sin = tan * cos;
            for row in &mut a {
                (row[p], row[q]) = (cos * row[p] - sin * row[q], sin * row[p] + cos * row[q]);
            }
            let (one, other) = (a[p], a[q]);
            a[p] = std::array::from_fn(|k| cos * one[k] - sin * other[k]);
            a[q] = std::array::from_fn(|k| sin * one[k] + cos * other[k]);
            for row in &mut axes {
                (row[p], row[q]) = (cos * row[p] - sin * row[q], sin * row[p] + cos * row[q]);
            }
        }
    }
    let mut pairs = [0, 1, 2].map(|k| (a[k][k], axes.map(|row| row[k])));
    pairs.sort_by(|one, other| other.0.total_cmp(&one.0));
    pairs
}
