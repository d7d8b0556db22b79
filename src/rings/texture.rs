//! How much the end looks lined in each direction, window by window and scale by scale.
//!
//! A window's lines are kept as a histogram over all directions, not as the one direction of a
//! structure tensor: where rings are crossed by rays or saw marks, the mean of both would be neither.

use super::photo::{EndSize, FlatEnd};
use crate::numerics::{Raster, SquareTransform};
use std::f64::consts::PI;

/// Directions of a histogram, over half a turn.
pub(super) const BINS: usize = 60;
/// One of them, in radians.
pub(super) const BIN: f64 = PI / BINS as f64;
/// Pixels along a window.
const SIDE: usize = 32;
/// Lowest share of a window that the board must fill from face to face.
const MIN_FILL: f64 = 0.6;
/// Scales, each half as fine as the one before.
const LEVELS: usize = 4;
/// Share of the thickness left out along the edges: tear-out, shadow, corners placed a little off.
const MARGIN: f64 = 0.035;
/// Cycles over a window that count as lines.
const CYCLES: (f64, f64) = (2.5, 11.0);
/// Pixels from line to line in the middle of that range, weighed as the histogram weighs them.
const PERIOD_PX: f64 = 6.1;
/// Lines this far apart are as likely to be rings alone as not.
const RAY_PERIOD_MM: f64 = 2.2;

/// One window: where it is and how strongly it is lined square to each direction.
#[derive(Debug, Clone)]
pub(super) struct Window {
    /// Center, in half widths from the middle of the section: to the right, up.
    pub(super) at: [f64; 2],
    /// Half the window, in half widths.
    pub(super) half: f64,
    /// How much it counts.
    pub(super) weight: f64,
    /// How likely its lines are rays, square to the rings.
    pub(super) ray_share: f64,
    /// Which scale it is of; 0 the finest.
    pub(super) level: usize,
    /// The energy of waves that run in each direction, counterclockwise from the right, bin `k` at `k BIN`; of mean 1.
    pub(super) energy: [f32; BINS],
}

impl Window {
    /// The energy in a direction, linear between bins.
    pub(super) fn energy_at(&self, direction: f64) -> f64 {
        let place = (direction / BIN).rem_euclid(BINS as f64);
        let bin = place as usize % BINS;
        let share = place - place.floor();
        let (one, next) = (self.energy[bin], self.energy[(bin + 1) % BINS]);
        f64::from(one) + share * f64::from(next - one)
    }
}

/// All windows of the end, over all scales: empty when it is too thin, `None` when it is of one tone.
pub(super) fn windows(end: &FlatEnd, size: &EndSize) -> Option<Vec<Window>> {
    let mut raster = evened(&end.raster, 0.22 * size.thickness.mm() * end.px_per_mm)?;
    let spread = Spread::new();
    let transform = SquareTransform::<SIDE>::new();
    let mut windows = Vec::new();
    let mut px_per_mm = end.px_per_mm;
    for level in 0..LEVELS {
        if level > 0 {
            // With the mean of four, a Gaussian of standard deviation 1.
            raster = raster.blurred(0.75_f64.sqrt()).halved();
            px_per_mm /= 2.0;
        }
        windows.extend(level_windows(
            &raster, px_per_mm, level, size, &spread, &transform,
        ));
    }
    Some(windows)
}

/// The end with its light and its contrast evened out over distances of `sigma` pixels, and its extremes cut off: tames
/// cracks, knots, shadows and the edge of the sapwood. `None` when it is of one tone.
fn evened(raster: &Raster, sigma: f64) -> Option<Raster> {
    let about = raster.zip(&raster.blurred(sigma), |value, mean| value - mean);
    let deviation = about.zip(&about, |a, b| a * b).blurred(sigma);
    let mut sorted: Vec<f32> = deviation
        .values()
        .iter()
        .map(|v| v.max(0.0).sqrt())
        .collect();
    let middle = sorted.len() / 2;
    let median = *sorted.select_nth_unstable_by(middle, f32::total_cmp).1;
    if median < 0.05 {
        return None;
    }
    Some(about.zip(&deviation, |value, square| {
        (value / (square.max(0.0).sqrt() + 0.15 * median + 0.3)).clamp(-2.5, 2.5)
    }))
}

/// How each Fourier coefficient is spread over the directions.
struct Spread {
    /// Per coefficient: its place in the table of sizes, and its weight in each bin.
    shares: Vec<(usize, [f32; BINS])>,
    /// What noise without direction gives in each bin.
    noise: [f32; BINS],
}

impl Spread {
    fn new() -> Self {
        let mut shares = Vec::new();
        let mut noise = [0.0_f32; BINS];
        for v in 0..=SIDE / 2 {
            for column in 0..SIDE {
                // Of the two halves of row 0, which mirror each other, one counts.
                let u = if column > SIDE / 2 {
                    column as f64 - SIDE as f64
                } else {
                    column as f64
                };
                let cycles = libm::hypot(u, v as f64);
                if cycles < CYCLES.0 || cycles > CYCLES.1 || (v == 0 && u < 0.0) {
                    continue;
                }
                // Rows run down, the section's heights up.
                let direction = libm::atan2(-(v as f64), u);
                let sigma = (4.0_f64).to_radians().max(0.35 / cycles);
                let raw: [f64; BINS] = std::array::from_fn(|bin| {
                    let off = half_turn(bin as f64 * BIN - direction);
                    libm::exp(-0.5 * (off / sigma).powi(2))
                });
                let sum: f64 = raw.iter().sum();
                let share = raw.map(|value| (value * cycles / sum) as f32);
                for (noise, share) in noise.iter_mut().zip(&share) {
                    *noise += share;
                }
                shares.push((v * SIDE + column, share));
            }
        }
        Self { shares, noise }
    }

    /// The histogram of one window's sizes, of mean 1.
    fn energy(&self, sizes: &[f32]) -> [f32; BINS] {
        let mut energy = [0.0_f32; BINS];
        for (place, share) in &self.shares {
            let size = sizes[*place];
            for (energy, share) in energy.iter_mut().zip(share) {
                *energy += size * share;
            }
        }
        for (energy, noise) in energy.iter_mut().zip(&self.noise) {
            *energy /= noise;
        }
        let mean = energy.iter().sum::<f32>() / BINS as f32;
        if mean > 0.0 {
            energy.map(|value| value / mean)
        } else {
            [1.0; BINS]
        }
    }
}

/// An angle between directions without sense, from -90 to 90 degrees, in radians.
pub(super) fn half_turn(angle: f64) -> f64 {
    angle - PI * (angle / PI).round()
}

/// The windows of one scale, half over each other.
fn level_windows(
    raster: &Raster,
    px_per_mm: f64,
    level: usize,
    size: &EndSize,
    spread: &Spread,
    transform: &SquareTransform<SIDE>,
) -> Vec<Window> {
    let margin = MARGIN * size.thickness.mm() * px_per_mm;
    let room = |length: usize| (length as f64 - 2.0 * margin).floor().max(0.0) as usize;
    let (across, down) = (room(raster.width()), room(raster.height()));
    if across < SIDE || (down as f64) < MIN_FILL * SIDE as f64 {
        return Vec::new();
    }
    let rows = down.min(SIDE);
    let hann = |n: usize| -> Vec<f32> {
        (0..n)
            .map(|k| libm::sin(PI * (k as f64 + 0.5) / n as f64).powi(2) as f32)
            .collect()
    };
    let taper = (hann(SIDE), hann(rows));
    let starts = |length: usize, window: usize| -> Vec<usize> {
        let steps = (length - window).div_ceil(SIDE / 2);
        (0..=steps)
            .map(|k| margin as usize + (length - window) * k / steps.max(1))
            .collect()
    };
    let (lefts, tops) = (starts(across, SIDE), starts(down, rows));
    let count = (lefts.len() * tops.len()) as f64;
    let weight = libm::pow(count, -0.6) * if level == 0 { 0.7 } else { 1.0 };
    let period = PERIOD_PX / px_per_mm;
    let ray_share = 0.5 / (1.0 + (period / RAY_PERIOD_MM).powi(2));
    let half_width_px = raster.width() as f64 / 2.0;
    let middle_px = raster.height() as f64 / 2.0;
    let mut windows = Vec::with_capacity(count as usize);
    for &top in &tops {
        for &left in &lefts {
            let sizes = transform.sizes(&tapered(raster, left, top, rows, &taper));
            let x = left as f64 + SIDE as f64 / 2.0 - half_width_px;
            let z = middle_px - (top as f64 + rows as f64 / 2.0);
            windows.push(Window {
                at: [x / half_width_px, z / half_width_px],
                half: SIDE as f64 / 2.0 / half_width_px,
                weight,
                ray_share,
                level,
                energy: spread.energy(&sizes),
            });
        }
    }
    windows
}

/// One window less its best plane, tapered to nothing at its edges; short windows are filled up with zeros.
fn tapered(
    raster: &Raster,
    left: usize,
    top: usize,
    rows: usize,
    taper: &(Vec<f32>, Vec<f32>),
) -> [[f32; SIDE]; SIDE] {
    let (across, down) = taper;
    let place = |k: usize, n: usize| k as f32 + 0.5 - n as f32 / 2.0;
    let (mut all, mut mean) = (0.0_f32, 0.0_f32);
    let (mut xx, mut zz, mut slope_x, mut slope_z) = (0.0_f32, 0.0_f32, 0.0_f32, 0.0_f32);
    for (k, down) in down.iter().enumerate() {
        let row = &raster.row(top + k)[left..left + SIDE];
        let z = place(k, rows);
        for (j, (value, across)) in row.iter().zip(across).enumerate() {
            let (weight, x) = (down * across, place(j, SIDE));
            all += weight;
            mean += weight * value;
            xx += weight * x * x;
            zz += weight * z * z;
            slope_x += weight * x * value;
            slope_z += weight * z * value;
        }
    }
    // The taper is even about the middle, so mean and slopes do not mix.
    let (mean, slope_x, slope_z) = (mean / all, slope_x / xx, slope_z / zz);
    let mut square = [[0.0; SIDE]; SIDE];
    for (k, down) in down.iter().enumerate() {
        let row = &raster.row(top + k)[left..left + SIDE];
        let base = mean + slope_z * place(k, rows);
        for (j, (value, across)) in row.iter().zip(across).enumerate() {
            square[k][j] = down * across * (value - base - slope_x * place(j, SIDE));
        }
    }
    square
}
