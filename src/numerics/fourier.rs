//! The discrete Fourier transform of a small square.

use std::f64::consts::TAU;

/// The transform of `N x N` numbers, `N` a power of two: `F(u, v) = sum f(x, y) exp(-2 pi i (u x + v y)/N)`, by the
/// radix-2 algorithm of J. W. Cooley and J. W. Tukey (*Mathematics of Computation* 19, 1965; from memory).
#[derive(Debug, Clone)]
pub struct SquareTransform<const N: usize> {
    /// `exp(-2 pi i k / N)` for the first half of the circle.
    turns: Vec<(f32, f32)>,
    /// The order in which a row is taken in.
    reversed: Vec<usize>,
}

type Complex = (f32, f32);

impl<const N: usize> Default for SquareTransform<N> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const N: usize> SquareTransform<N> {
    /// The tables of the transform.
    ///
    /// # Panics
    /// When `N` is not a power of two of 2 or more.
    #[must_use]
    pub fn new() -> Self {
        assert!(
            N.is_power_of_two() && N >= 2,
            "the side must be a power of two"
        );
        let bits = N.trailing_zeros();
        Self {
            turns: (0..N / 2)
                .map(|k| {
                    let (sin, cos) = libm::sincos(-TAU * k as f64 / N as f64);
                    (cos as f32, sin as f32)
                })
                .collect(),
            reversed: (0..N)
                .map(|k| k.reverse_bits() >> (usize::BITS - bits))
                .collect(),
        }
    }

    /// The sizes `|F(u, v)|` for `v` of 0 to `N/2`, row `v` by row; row `v` column `u` is at `v N + u`, and columns above
    /// `N/2` are the negative `u`.
    #[must_use]
    pub fn sizes(&self, square: &[[f32; N]; N]) -> Vec<f32> {
        // Two real rows go through one complex transform and are parted by their symmetry.
        let mut columns = vec![[(0.0_f32, 0.0_f32); N]; N];
        for pair in 0..N / 2 {
            let mut row = [(0.0, 0.0); N];
            for (x, value) in row.iter_mut().enumerate() {
                *value = (square[2 * pair][x], square[2 * pair + 1][x]);
            }
            self.row(&mut row);
            for u in 0..N {
                let (a, b) = (row[u], row[(N - u) % N]);
                columns[u][2 * pair] = (0.5 * (a.0 + b.0), 0.5 * (a.1 - b.1));
                columns[u][2 * pair + 1] = (0.5 * (a.1 + b.1), 0.5 * (b.0 - a.0));
            }
        }
        let mut sizes = vec![0.0; (N / 2 + 1) * N];
        for (u, column) in columns.iter_mut().enumerate() {
            self.row(column);
            for v in 0..=N / 2 {
                sizes[v * N + u] = libm::hypotf(column[v].0, column[v].1);
            }
        }
        sizes
    }

    fn row(&self, row: &mut [Complex; N]) {
        for at in 0..N {
            if at < self.reversed[at] {
                row.swap(at, self.reversed[at]);
            }
        }
        let mut half = 1;
        while half < N {
            let step = N / (2 * half);
            for start in (0..N).step_by(2 * half) {
                for k in 0..half {
                    let (cos, sin) = self.turns[k * step];
                    let (re, im) = row[start + k + half];
                    let turned = (re * cos - im * sin, re * sin + im * cos);
                    let kept = row[start + k];
                    row[start + k] = (kept.0 + turned.0, kept.1 + turned.1);
                    row[start + k + half] = (kept.0 - turned.0, kept.1 - turned.1);
                }
            }
            half *= 2;
        }
    }
}
