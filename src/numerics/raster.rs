//! A grid of numbers over the plane, its bilinear value between the grid points, and its Gaussian blur.

/// A grid of `width * height` numbers, row by row from the top.
#[derive(Debug, Clone, PartialEq)]
pub struct Raster {
    width: usize,
    height: usize,
    values: Vec<f32>,
}

impl Raster {
    /// A grid whose values a function of column and row gives.
    #[must_use]
    pub fn from_fn(width: usize, height: usize, value: impl Fn(usize, usize) -> f32) -> Self {
        let mut values = Vec::with_capacity(width * height);
        for y in 0..height {
            values.extend((0..width).map(|x| value(x, y)));
        }
        Self {
            width,
            height,
            values,
        }
    }

    /// Columns.
    #[must_use]
    pub const fn width(&self) -> usize {
        self.width
    }

    /// Rows.
    #[must_use]
    pub const fn height(&self) -> usize {
        self.height
    }

    /// One row.
    ///
    /// # Panics
    /// Below the last row.
    #[must_use]
    pub fn row(&self, y: usize) -> &[f32] {
        &self.values[y * self.width..(y + 1) * self.width]
    }

    /// All values, row by row.
    #[must_use]
    pub fn values(&self) -> &[f32] {
        &self.values
    }

    /// Each value replaced by a function of it and of the value at the same place of `other`.
    ///
    /// # Panics
    /// When the grids differ in size.
    #[must_use]
    pub fn zip(&self, other: &Self, of: impl Fn(f32, f32) -> f32) -> Self {
        assert_eq!((self.width, self.height), (other.width, other.height));
        let pairs = self.values.iter().zip(&other.values);
        Self {
            values: pairs.map(|(&a, &b)| of(a, b)).collect(),
            ..*self
        }
    }

    /// The value between grid points, linear along both axes; beyond the edge that of the nearest edge point.
    ///
    /// # Panics
    /// When the grid is empty.
    #[must_use]
    pub fn at(&self, x: f64, y: f64) -> f32 {
        let x = x.clamp(0.0, (self.width - 1) as f64);
        let y = y.clamp(0.0, (self.height - 1) as f64);
        let (left, top) = (x as usize, y as usize);
        let (right, below) = (
            (left + 1).min(self.width - 1),
            (top + 1).min(self.height - 1),
        );
        let (across, down) = ((x - left as f64) as f32, (y - top as f64) as f32);
        let (upper, lower) = (self.row(top), self.row(below));
        let above = upper[left] + across * (upper[right] - upper[left]);
        let under = lower[left] + across * (lower[right] - lower[left]);
        above + down * (under - above)
    }

    /// The grid at half the scale: the means of four neighbors; an odd last row or column is left out.
    #[must_use]
    pub fn halved(&self) -> Self {
        Self::from_fn(self.width / 2, self.height / 2, |x, y| {
            let (upper, lower) = (self.row(2 * y), self.row(2 * y + 1));
            0.25 * (upper[2 * x] + upper[2 * x + 1] + lower[2 * x] + lower[2 * x + 1])
        })
    }

    /// The grid turned over its diagonal.
    #[must_use]
    pub fn transposed(&self) -> Self {
        // In square tiles, so that a large grid is read from the cache.
        const TILE: usize = 32;
        let mut values = vec![0.0; self.values.len()];
        for top in (0..self.height).step_by(TILE) {
            for left in (0..self.width).step_by(TILE) {
                for y in top..(top + TILE).min(self.height) {
                    for x in left..(left + TILE).min(self.width) {
                        values[x * self.height + y] = self.values[y * self.width + x];
                    }
                }
            }
        }
        Self {
            width: self.height,
            height: self.width,
            values,
        }
    }

    /// The grid smoothed by a Gaussian of standard deviation `sigma` grid steps; beyond an edge the grid is
    /// continued by its mirror image. Up to a sigma of 3 the weights are the Gaussian's own, cut off at 4 sigma;
    /// above it three running means of together the same variance take its place, whose cost does not grow with
    /// sigma (W. M. Wells, *IEEE Transactions on Pattern Analysis* 8, 1986; from memory).
    #[must_use]
    pub fn blurred(&self, sigma: f64) -> Self {
        if sigma <= 0.0 || self.values.is_empty() {
            return self.clone();
        }
        self.smoothed_rows(sigma)
            .transposed()
            .smoothed_rows(sigma)
            .transposed()
    }

    fn smoothed_rows(&self, sigma: f64) -> Self {
        let mut values = vec![0.0; self.values.len()];
        let smooth = RowSmoother::of(sigma);
        let mut padded = Vec::new();
        for (row, out) in self
            .values
            .chunks_exact(self.width)
            .zip(values.chunks_exact_mut(self.width))
        {
            smooth.row(row, out, &mut padded);
        }
        Self { values, ..*self }
    }
}

enum RowSmoother {
    /// Half of a symmetric set of weights, the middle one first.
    Weights(Vec<f32>),
    /// Three running means of `2 radius + 1` values whose two outermost neighbors have the weight `edge`.
    Means { radius: usize, edge: f64 },
}

impl RowSmoother {
    fn of(sigma: f64) -> Self {
        if sigma > 3.0 {
            // A mean over 2 r + 1 steps with two neighbors of weight e has the variance
            // [r (r+1) (2r+1) + 6 e (r+1)^2] / [3 (2r + 1 + 2e)]; three of them give sigma^2.
            let variance = sigma * sigma / 3.0;
            let radius = (0.5 * ((12.0 * variance + 1.0).sqrt() - 1.0)).floor();
            let own = radius * (radius + 1.0) * (2.0 * radius + 1.0);
            let edge = (3.0 * (2.0 * radius + 1.0) * variance - own)
                / (6.0 * ((radius + 1.0).powi(2) - variance));
            return Self::Means {
                radius: radius as usize,
                edge,
            };
        }
        let reach = (4.0 * sigma).ceil() as usize;
        let raw: Vec<f64> = (0..=reach)
            .map(|k| libm::exp(-0.5 * (k as f64 / sigma).powi(2)))
            .collect();
        let sum = 2.0 * raw.iter().sum::<f64>() - raw[0];
        Self::Weights(raw.iter().map(|weight| (weight / sum) as f32).collect())
    }

    fn row(&self, row: &[f32], out: &mut [f32], padded: &mut Vec<f32>) {
        match self {
            Self::Weights(weights) => {
                let reach = weights.len() - 1;
                mirrored(row, reach, padded);
                for (at, out) in out.iter_mut().enumerate() {
                    let span = &padded[at..=at + 2 * reach];
                    let mut sum = weights[0] * span[reach];
                    for (k, weight) in weights.iter().enumerate().skip(1) {
                        sum += weight * (span[reach - k] + span[reach + k]);
                    }
                    *out = sum;
                }
            }
            Self::Means { radius, edge } => {
                out.copy_from_slice(row);
                for _ in 0..3 {
                    mirrored(out, radius + 1, padded);
                    running_mean(padded, *radius, *edge, out);
                }
            }
        }
    }
}

/// A row with `reach` mirrored values before and after it.
fn mirrored(row: &[f32], reach: usize, padded: &mut Vec<f32>) {
    let n = row.len() as isize;
    padded.clear();
    padded.extend((-(reach as isize)..n + reach as isize).map(|at| {
        let at = at.rem_euclid(2 * n);
        row[(if at < n { at } else { 2 * n - 1 - at }) as usize]
    }));
}

fn running_mean(padded: &[f32], radius: usize, edge: f64, out: &mut [f32]) {
    let share = 1.0 / (2.0 * radius as f64 + 1.0 + 2.0 * edge);
    let mut sum: f64 = padded[1..2 * radius + 2]
        .iter()
        .copied()
        .map(f64::from)
        .sum();
    for (at, out) in out.iter_mut().enumerate() {
        let (before, after) = (
            f64::from(padded[at]),
            f64::from(padded[at + 2 * radius + 2]),
        );
        *out = (share * (sum + edge * (before + after))) as f32;
        sum += after - f64::from(padded[at + 1]);
    }
}
