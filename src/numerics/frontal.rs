//! Systems of linear equations in which each row names a few neighboring unknowns only.

/// A system whose rows are kept from their first to their last coefficient.
///
/// Numbered so that unknowns that meet in a row are near each other, a system of `n` unknowns costs in proportion to
/// `n` times the square of the widest row, in time, and to `n` times the widest row, in memory.
#[derive(Debug, Clone)]
pub struct Rows {
    rows: Vec<Row>,
    right: Vec<f64>,
}

/// Coefficients from an unknown on.
#[derive(Debug, Clone, Default)]
struct Row {
    first: usize,
    values: Vec<f64>,
}

impl Row {
    /// Leaves out the zeros in front.
    fn trim(&mut self) {
        let zeros = self
            .values
            .iter()
            .take_while(|value| **value == 0.0)
            .count();
        self.values.drain(..zeros);
        self.first += zeros;
    }

    fn add(&mut self, column: usize, value: f64) {
        if self.values.is_empty() {
            self.first = column;
        }
        if column < self.first {
            let before = self.first - column;
            self.values.splice(..0, std::iter::repeat_n(0.0, before));
            self.first = column;
        }
        let place = column - self.first;
        if place >= self.values.len() {
            self.values.resize(place + 1, 0.0);
        }
        self.values[place] += value;
    }
}

impl Rows {
    /// So many equations for as many unknowns, all zero.
    #[must_use]
    pub fn new(count: usize) -> Self {
        Self {
            rows: vec![Row::default(); count],
            right: vec![0.0; count],
        }
    }

    /// Adds to a coefficient.
    ///
    /// # Panics
    /// When there is no such row.
    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        self.rows[row].add(column, value);
    }

    /// Adds to a right-hand side.
    ///
    /// # Panics
    /// When there is no such row.
    pub fn add_right(&mut self, row: usize, value: f64) {
        self.right[row] += value;
    }

    /// Solves by elimination, the largest coefficient of each unknown as its pivot. `None` when a pivot is not larger than
    /// `n` roundings of the largest coefficient: the equations do not settle the unknowns.
    #[must_use]
    pub fn solve(mut self) -> Option<Vec<f64>> {
        let count = self.rows.len();
        let largest = self
            .rows
            .iter()
            .flat_map(|row| &row.values)
            .fold(0.0_f64, |most, value| most.max(value.abs()));
        let smallest_pivot = largest * f64::EPSILON * count as f64;
        // The rows whose first coefficient is that of an unknown.
        let mut beginning: Vec<Vec<usize>> = vec![Vec::new(); count];
        for (index, row) in self.rows.iter_mut().enumerate() {
            row.trim();
            if let Some(rows) = beginning.get_mut(row.first) {
                rows.push(index);
            }
        }
        let mut pivots = Vec::with_capacity(count);
        for unknown in 0..count {
            let mut candidates = std::mem::take(&mut beginning[unknown]);
            let size = |index: &usize| self.rows[*index].values[0].abs();
            let (place, _) = candidates
                .iter()
                .enumerate()
                .max_by(|(_, a), (_, b)| size(a).total_cmp(&size(b)))?;
            let pivot = candidates.swap_remove(place);
            if !size(&pivot).is_finite() || size(&pivot) <= smallest_pivot {
                return None;
            }
            let lead = std::mem::take(&mut self.rows[pivot]);
            for index in candidates {
                let row = &mut self.rows[index];
                let factor = row.values[0] / lead.values[0];
                row.values
                    .resize(row.values.len().max(lead.values.len()), 0.0);
                for (value, lead) in row.values.iter_mut().zip(&lead.values) {
                    *value -= factor * lead;
                }
                // Zero but for rounding.
                row.values[0] = 0.0;
                row.trim();
                self.right[index] -= factor * self.right[pivot];
                if let Some(rows) = beginning.get_mut(row.first) {
                    rows.push(index);
                }
            }
            self.rows[pivot] = lead;
            pivots.push(pivot);
        }
        let mut solved = vec![0.0; count];
        for (unknown, pivot) in pivots.into_iter().enumerate().rev() {
            let row = &self.rows[pivot].values;
            let known: f64 = row
                .iter()
                .zip(&solved[unknown..])
                .skip(1)
                .map(|(value, x)| value * x)
                .sum();
            solved[unknown] = (self.right[pivot] - known) / row[0];
        }
        Some(solved)
    }
}
