//! The map of one plane on another as a camera makes it.

use super::Rows;

/// `x' = (a x + b y + c)/(g x + h y + 1)`, `y' = (d x + e y + f)/(g x + h y + 1)`: straight lines stay straight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Homography([f64; 8]);

impl Homography {
    /// The map that takes four points to four others; `None` when three of either lie on one line.
    #[must_use]
    pub fn of_points(from: &[[f64; 2]; 4], to: &[[f64; 2]; 4]) -> Option<Self> {
        let mut system = Rows::new(8);
        for (k, (&[x, y], &[u, v])) in from.iter().zip(to).enumerate() {
            let rows = [
                [x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y],
                [0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y],
            ];
            for (at, (row, value)) in (2 * k..).zip(rows.iter().zip([u, v])) {
                for (column, coefficient) in row.iter().enumerate() {
                    system.add(at, column, *coefficient);
                }
                system.add_right(at, value);
            }
        }
        Some(Self(system.solve()?.try_into().ok()?))
    }

    /// Where a point goes.
    #[must_use]
    pub fn map(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [a, b, c, d, e, f, g, h] = self.0;
        let below = g * x + h * y + 1.0;
        [(a * x + b * y + c) / below, (d * x + e * y + f) / below]
    }
}
