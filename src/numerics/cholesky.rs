//! Cholesky factors of symmetric positive definite matrices.

use super::add::add_each;
use multiversion::multiversion;

/// The lower triangle `K` of `A = K K^T`, row-major in a full square.
#[derive(Debug, Clone, PartialEq)]
pub struct Cholesky {
    size: usize,
    lower: Vec<f64>,
}

impl Cholesky {
    /// Of the identity.
    #[must_use]
    pub fn identity(size: usize) -> Self {
        let mut lower = vec![0.0; size * size];
        for place in 0..size {
            lower[place * size + place] = 1.0;
        }
        Self { size, lower }
    }

    /// Of a symmetric matrix, `size * size` numbers row by row, of which the lower triangle is read. `None` where it is not
    /// positive definite.
    #[must_use]
    pub fn of(mut matrix: Vec<f64>, size: usize) -> Option<Self> {
        if matrix.len() != size * size {
            return None;
        }
        for row in 0..size {
            for column in 0..=row {
                let (before, at) = matrix.split_at(row * size);
                let own = &at[..column];
                let done: f64 = if column < row {
                    let other = &before[column * size..column * size + column];
                    own.iter().zip(other).map(|(a, b)| a * b).sum()
                } else {
                    own.iter().map(|a| a * a).sum()
                };
                let rest = matrix[row * size + column] - done;
                matrix[row * size + column] = if column < row {
                    rest / matrix[column * size + column]
                } else if rest > 0.0 && rest.is_finite() {
                    rest.sqrt()
                } else {
                    return None;
                };
            }
            matrix[row * size + row + 1..(row + 1) * size].fill(0.0);
        }
        Some(Self {
            size,
            lower: matrix,
        })
    }

    fn row(&self, row: usize) -> &[f64] {
        &self.lower[row * self.size..(row + 1) * self.size]
    }

    /// `K^-1 x` in place.
    fn solve_lower(&self, x: &mut [f64]) {
        for row in 0..self.size {
            let line = self.row(row);
            let done: f64 = line[..row].iter().zip(&*x).map(|(k, x)| k * x).sum();
            x[row] = (x[row] - done) / line[row];
        }
    }

    /// `K^-T x` in place, for `size` numbers.
    pub fn solve_transposed(&self, x: &mut [f64]) {
        solve_transposed(&self.lower, self.size, x);
    }

    /// `A^-1 x` in place, for `size` numbers.
    pub fn solve(&self, x: &mut [f64]) {
        self.solve_lower(x);
        self.solve_transposed(x);
    }

    /// `x^T K^T`, which is `K x`.
    #[must_use]
    pub fn times_lower(&self, x: &[f64]) -> Vec<f64> {
        (0..self.size)
            .map(|row| {
                let line = &self.row(row)[..=row];
                line.iter().zip(x).map(|(k, x)| k * x).sum()
            })
            .collect()
    }

    /// `x^T A^-1 x`.
    #[must_use]
    pub fn inverse_form(&self, x: &[f64]) -> f64 {
        let mut solved = x.to_vec();
        self.solve_lower(&mut solved);
        solved.iter().map(|x| x * x).sum()
    }

    /// Half the logarithm of the determinant of `A`: the sum of the logarithms of the diagonal of `K`.
    #[must_use]
    pub fn log_diagonal(&self) -> f64 {
        (0..self.size)
            .map(|row| libm::log(self.row(row)[row]))
            .sum()
    }
}

#[multiversion(targets("x86_64+avx2"))]
fn solve_transposed(lower: &[f64], size: usize, x: &mut [f64]) {
    for row in (0..size).rev() {
        let line = &lower[row * size..][..=row];
        x[row] /= line[row];
        let at = x[row];
        add_each(&mut x[..row], -at, line);
    }
}
