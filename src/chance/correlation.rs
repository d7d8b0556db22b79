//! Inputs that go together.

/// Makes independent standard normal numbers correlated.
///
/// Holds the Cholesky factor of a correlation matrix, `R = L L^T`; `L z` has the correlations `R` when `z` is independent.
#[derive(Debug, Clone, PartialEq)]
pub struct Correlation {
    size: usize,
    factor: Vec<f64>,
}

impl Correlation {
    /// From a correlation matrix, row by row: ones on the diagonal, symmetric
    /// and positive definite. `None` when it is not such a matrix.
    #[must_use]
    pub fn of(matrix: &[f64]) -> Option<Self> {
        let size = (0..=matrix.len()).find(|n| n * n >= matrix.len())?;
        if size * size != matrix.len() {
            return None;
        }
        let at = |row: usize, column: usize| matrix[row * size + column];
        for row in 0..size {
            let diagonal = (at(row, row) - 1.0).abs() < 1e-9;
            let symmetric = (0..row).all(|column| (at(row, column) - at(column, row)).abs() < 1e-9);
            if !diagonal || !symmetric {
                return None;
            }
        }
        let mut factor = vec![0.0; size * size];
        for row in 0..size {
            for column in 0..=row {
                let done: f64 = (0..column)
                    .map(|k| factor[row * size + k] * factor[column * size + k])
                    .sum();
                let rest = at(row, column) - done;
                factor[row * size + column] = if row == column {
                    if rest <= 1e-12 {
                        return None;
                    }
                    rest.sqrt()
                } else {
                    rest / factor[column * size + column]
                };
            }
        }
        Some(Self { size, factor })
    }

    /// Two inputs of one correlation, between -1 and 1 (both excluded).
    #[must_use]
    pub fn pair(correlation: f64) -> Option<Self> {
        Self::of(&[1.0, correlation, correlation, 1.0])
    }

    /// Turns independent standard normal numbers into correlated ones, in place; further numbers stay.
    pub fn apply(&self, numbers: &mut [f64]) {
        let size = self.size.min(numbers.len());
        for row in (0..size).rev() {
            numbers[row] = (0..=row)
                .map(|column| self.factor[row * self.size + column] * numbers[column])
                .sum();
        }
    }
}

/// A standard normal number that shares part of its variance with its fellows:
/// `sqrt(s) common + sqrt(1 - s) own`. Two such numbers with the same `common` have the correlation `s`, 0 to 1.
#[must_use]
pub fn sharing(common: f64, own: f64, shared: f64) -> f64 {
    let shared = shared.clamp(0.0, 1.0);
    shared.sqrt() * common + (1.0 - shared).sqrt() * own
}
