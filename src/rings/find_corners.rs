//! The four corners of a board's end, found by its color against what is around it.

use super::photo::{Corners, Photo};
use crate::numerics::Cholesky;
use std::collections::VecDeque;

/// Pixels of the longer side of the small picture that the end is first sought in.
const SMALL: usize = 320;
/// Share of the small picture's sides that is taken for background at the start.
const FRAME: f64 = 0.05;
/// Rounds of sorting the pixels into end and background.
const ROUNDS: usize = 8;
/// Share of the found figure that must be of the end's color, and the figure's minimum share of the picture.
const FILLED: f64 = 0.9;
const MIN_AREA: f64 = 0.04;

/// The corners of the board's end, where it is of another color than what is around it and all of it is in the photo;
/// `None` where no convex four-cornered patch stands out. A guess for the eye to judge.
#[must_use]
pub fn find_corners(photo: &Photo) -> Option<Corners> {
    let small = Small::of(photo);
    let (end, ground) = small.sorted()?;
    let patch = small.patch(&end, &ground)?;
    let rough = small.quadrilateral(&patch)?;
    let scale = small.step as f64;
    let center = |v: f64| (v + 0.5) * scale - 0.5;
    let rough = rough.map(|[x, y]| [center(x), center(y)]);
    let fine = sharpened(photo, &rough, scale, &end, &ground).unwrap_or(rough);
    let fine = fine.map(|[x, y]| {
        [
            x.clamp(-0.5, photo.width() as f64 - 0.5),
            y.clamp(-0.5, photo.height() as f64 - 0.5),
        ]
    });
    Corners::new(fine).ok()
}

/// The photo in means of squares of `step` pixels.
struct Small {
    step: usize,
    width: usize,
    height: usize,
    pixels: Vec<[f64; 3]>,
}

/// How one sort of pixels is colored: a color that changes evenly over the picture, and its scatter.
struct Tone {
    /// Per channel: constant, slope across, slope down (over the half sides).
    plane: [[f64; 3]; 3],
    /// Inverse of the covariance, and the logarithm of its determinant.
    inverse: [[f64; 3]; 3],
    log_det: f64,
}

impl Tone {
    /// The tone of some pixels (place within -1..1, color); `None` when they are too few.
    fn of(pixels: &[([f64; 2], [f64; 3])]) -> Option<Self> {
        if pixels.len() < 30 {
            return None;
        }
        let mut normal = vec![0.0; 9];
        let mut right = [[0.0; 3]; 3];
        for ([x, y], color) in pixels {
            let basis = [1.0, *x, *y];
            for j in 0..3 {
                for k in 0..3 {
                    normal[3 * j + k] += basis[j] * basis[k];
                    right[k][j] += basis[j] * color[k];
                }
            }
        }
        // A patch with little extent gets an even color.
        for k in 1..3 {
            normal[4 * k] += 0.05 * pixels.len() as f64;
        }
        let factor = Cholesky::of(normal, 3)?;
        for channel in &mut right {
            factor.solve(channel);
        }
        let mut tone = Self {
            plane: right,
            inverse: [[0.0; 3]; 3],
            log_det: 0.0,
        };
        let mut covariance = [[0.0; 3]; 3];
        for (place, color) in pixels {
            let off = tone.off(*place, *color);
            for j in 0..3 {
                for k in 0..3 {
                    covariance[j][k] += off[j] * off[k] / pixels.len() as f64;
                }
            }
        }
        for (k, row) in covariance.iter_mut().enumerate() {
            row[k] += 9.0;
        }
        let c = covariance;
        let minor = |j: usize, k: usize| {
            let (j1, j2, k1, k2) = ((j + 1) % 3, (j + 2) % 3, (k + 1) % 3, (k + 2) % 3);
            c[j1][k1] * c[j2][k2] - c[j1][k2] * c[j2][k1]
        };
        let det = c[0][0] * minor(0, 0) + c[0][1] * minor(0, 1) + c[0][2] * minor(0, 2);
        tone.inverse = std::array::from_fn(|j| std::array::from_fn(|k| minor(j, k) / det));
        tone.log_det = libm::log(det);
        Some(tone)
    }

    fn off(&self, [x, y]: [f64; 2], color: [f64; 3]) -> [f64; 3] {
        std::array::from_fn(|k| {
            let [constant, across, down] = self.plane[k];
            color[k] - constant - across * x - down * y
        })
    }

    /// How unlike the tone a pixel is: twice the negative log-likelihood.
    fn unlike(&self, place: [f64; 2], color: [f64; 3]) -> f64 {
        let off = self.off(place, color);
        let mut sum = self.log_det;
        for j in 0..3 {
            for k in 0..3 {
                sum += off[j] * self.inverse[j][k] * off[k];
            }
        }
        sum
    }
}

impl Small {
    fn of(photo: &Photo) -> Self {
        let step = photo.width().max(photo.height()).div_ceil(SMALL);
        let (width, height) = (photo.width() / step, photo.height() / step);
        let mut pixels = Vec::with_capacity(width * height);
        for y in 0..height {
            for x in 0..width {
                let mut sum = [0_u64; 3];
                for v in y * step..(y + 1) * step {
                    for u in x * step..(x + 1) * step {
                        for (sum, value) in sum.iter_mut().zip(photo.pixel(u, v)) {
                            *sum += u64::from(value);
                        }
                    }
                }
                pixels.push(sum.map(|sum| sum as f64 / (step * step) as f64));
            }
        }
        Self {
            step,
            width,
            height,
            pixels,
        }
    }

    fn place(&self, at: usize) -> [f64; 2] {
        let (x, y) = (at % self.width, at / self.width);
        [
            2.0 * (x as f64 + 0.5) / self.width as f64 - 1.0,
            2.0 * (y as f64 + 0.5) / self.height as f64 - 1.0,
        ]
    }

    /// The tones of the end and of the background: at first what is in the middle and what is along the sides.
    fn sorted(&self) -> Option<(Tone, Tone)> {
        let pick = |take: &dyn Fn(usize) -> bool| -> Vec<_> {
            (0..self.pixels.len())
                .filter(|&at| take(at))
                .map(|at| (self.place(at), self.pixels[at]))
                .collect()
        };
        let edge = |at: usize| self.place(at).iter().any(|v| v.abs() > 1.0 - 2.0 * FRAME);
        let mut ground = Tone::of(&pick(&edge))?;
        let mut end = Tone::of(&pick(&|at| {
            let [x, y] = self.place(at);
            x.abs() < 0.4 && y.abs() < 0.15
        }))?;
        for _ in 0..ROUNDS {
            let is_end: Vec<bool> = (0..self.pixels.len())
                .map(|at| {
                    let (place, color) = (self.place(at), self.pixels[at]);
                    !edge(at) && end.unlike(place, color) < ground.unlike(place, color)
                })
                .collect();
            end = Tone::of(&pick(&|at| is_end[at]))?;
            ground = Tone::of(&pick(&|at| !is_end[at]))?;
        }
        Some((end, ground))
    }

    /// The largest patch of the end's tone, after a majority vote among neighbors; its holes are filled.
    fn patch(&self, end: &Tone, ground: &Tone) -> Option<Vec<bool>> {
        let raw: Vec<bool> = (0..self.pixels.len())
            .map(|at| {
                let (place, color) = (self.place(at), self.pixels[at]);
                end.unlike(place, color) < ground.unlike(place, color)
            })
            .collect();
        let voted: Vec<bool> = (0..raw.len())
            .map(|at| {
                let around = self.around(at, 2);
                let yes = around.iter().filter(|&&near| raw[near]).count();
                2 * yes > around.len()
            })
            .collect();
        let mut best: Option<Vec<usize>> = None;
        let mut seen = vec![false; voted.len()];
        for start in 0..voted.len() {
            if seen[start] || !voted[start] {
                continue;
            }
            let patch = self.flood(start, &mut seen, &|at| voted[at]);
            if best.as_ref().is_none_or(|best| patch.len() > best.len()) {
                best = Some(patch);
            }
        }
        let best = best?;
        if (best.len() as f64) < MIN_AREA * voted.len() as f64 {
            return None;
        }
        let mut patch = vec![false; voted.len()];
        for at in best {
            patch[at] = true;
        }
        // What cannot be reached from the sides of the picture is a hole.
        let mut outside = vec![false; patch.len()];
        for start in 0..patch.len() {
            let (x, y) = (start % self.width, start / self.width);
            let on_side = x == 0 || y == 0 || x + 1 == self.width || y + 1 == self.height;
            if on_side && !patch[start] && !outside[start] {
                self.flood(start, &mut outside, &|at| !patch[at]);
            }
        }
        Some(outside.iter().map(|outside| !outside).collect())
    }

    /// The places within `reach` of one, itself too.
    fn around(&self, at: usize, reach: usize) -> Vec<usize> {
        let (x, y) = (at % self.width, at / self.width);
        let rows = y.saturating_sub(reach)..(y + reach + 1).min(self.height);
        rows.flat_map(|v| {
            (x.saturating_sub(reach)..(x + reach + 1).min(self.width))
                .map(move |u| v * self.width + u)
        })
        .collect()
    }

    fn flood(&self, start: usize, seen: &mut [bool], of: &dyn Fn(usize) -> bool) -> Vec<usize> {
        let mut found = Vec::new();
        let mut queue = VecDeque::from([start]);
        seen[start] = true;
        while let Some(at) = queue.pop_front() {
            found.push(at);
            let (x, y) = (at % self.width, at / self.width);
            let beside = [
                (x > 0).then(|| at - 1),
                (x + 1 < self.width).then(|| at + 1),
                (y > 0).then(|| at - self.width),
                (y + 1 < self.height).then(|| at + self.width),
            ];
            for next in beside.into_iter().flatten() {
                if !seen[next] && of(next) {
                    seen[next] = true;
                    queue.push_back(next);
                }
            }
        }
        found
    }

    /// The four-cornered figure of a patch: a line through each of its sides.
    fn quadrilateral(&self, patch: &[bool]) -> Option<[[f64; 2]; 4]> {
        let on = |x: i64, y: i64| {
            (0..self.width as i64).contains(&x)
                && (0..self.height as i64).contains(&y)
                && patch[y as usize * self.width + x as usize]
        };
        let (mut columns, mut rows) = (vec![], vec![]);
        for x in 0..self.width as i64 {
            let mut ys = (0..self.height as i64).filter(|&y| on(x, y));
            if let Some(first) = ys.next() {
                columns.push((
                    x as f64,
                    first as f64 - 0.5,
                    ys.next_back().unwrap_or(first) as f64 + 0.5,
                ));
            }
        }
        for y in 0..self.height as i64 {
            let mut xs = (0..self.width as i64).filter(|&x| on(x, y));
            if let Some(first) = xs.next() {
                rows.push((
                    y as f64,
                    first as f64 - 0.5,
                    xs.next_back().unwrap_or(first) as f64 + 0.5,
                ));
            }
        }
        let upper = robust_line(columns.iter().map(|c| (c.0, c.1)).collect())?;
        let lower = robust_line(columns.iter().map(|c| (c.0, c.2)).collect())?;
        let left = robust_line(rows.iter().map(|r| (r.0, r.1)).collect())?;
        let right = robust_line(rows.iter().map(|r| (r.0, r.2)).collect())?;
        let corners = meetings(upper, lower, left, right)?;
        let area = area(&corners);
        let inside = patch.iter().filter(|&&on| on).count() as f64;
        let share = inside / area;
        (share > FILLED && share < 2.0 - FILLED && area > MIN_AREA * patch.len() as f64)
            .then_some(corners)
    }
}

fn area(corners: &[[f64; 2]; 4]) -> f64 {
    let twice: f64 = (0..4)
        .map(|k| {
            let ([x, y], [u, v]) = (corners[k], corners[(k + 1) % 4]);
            x * v - u * y
        })
        .sum();
    (twice / 2.0).abs()
}

/// `value = a + b place` through most of some points: repeated medians (A. F. Siegel, *Biometrika* 69, 1982; from memory), which half of the points may not disturb.
fn robust_line(points: Vec<(f64, f64)>) -> Option<(f64, f64)> {
    if points.len() < 8 {
        return None;
    }
    // A tenth at either end is left out: there the neighboring side begins.
    let cut = points.len() / 10;
    let points = &points[cut..points.len() - cut];
    let median = |mut values: Vec<f64>| {
        let middle = values.len() / 2;
        *values.select_nth_unstable_by(middle, f64::total_cmp).1
    };
    let slopes = points
        .iter()
        .enumerate()
        .map(|(k, (x, y))| {
            let others = points.iter().enumerate().filter(|(other, _)| *other != k);
            median(others.map(|(_, (u, v))| (v - y) / (u - x)).collect())
        })
        .collect();
    let slope = median(slopes);
    let start = median(points.iter().map(|(x, y)| y - slope * x).collect());
    Some((start, slope))
}

/// Where the upper and lower lines (`y` over `x`) meet the left and right ones (`x` over `y`).
fn meetings(
    upper: (f64, f64),
    lower: (f64, f64),
    left: (f64, f64),
    right: (f64, f64),
) -> Option<[[f64; 2]; 4]> {
    let meet = |(a, b): (f64, f64), (c, d): (f64, f64)| {
        let below = 1.0 - b * d;
        (below.abs() > 0.1).then(|| {
            let x = (c + d * a) / below;
            [x, a + b * x]
        })
    };
    Some([
        meet(upper, left)?,
        meet(upper, right)?,
        meet(lower, right)?,
        meet(lower, left)?,
    ])
}

/// The corners moved to where the color changes most at full size, along each side.
fn sharpened(
    photo: &Photo,
    rough: &[[f64; 2]; 4],
    scale: f64,
    end: &Tone,
    ground: &Tone,
) -> Option<[[f64; 2]; 4]> {
    const PLACES: usize = 80;
    let reach = (2.5 * scale).max(3.0).ceil() as i64;
    // Positive where a pixel is more like the end than like the background.
    let likeness = |x: f64, y: f64| {
        let (u, v) = (
            (x.round().max(0.0) as usize).min(photo.width() - 1),
            (y.round().max(0.0) as usize).min(photo.height() - 1),
        );
        let place = [
            2.0 * (u as f64 + 0.5) / photo.width() as f64 - 1.0,
            2.0 * (v as f64 + 0.5) / photo.height() as f64 - 1.0,
        ];
        let color = photo.pixel(u, v).map(f64::from);
        (ground.unlike(place, color) - end.unlike(place, color)).clamp(-20.0, 20.0)
    };
    let mut lines = Vec::with_capacity(4);
    for side in 0..4 {
        let (from, to) = (rough[side], rough[(side + 1) % 4]);
        let flat = side % 2 == 0;
        let mut points = Vec::with_capacity(PLACES);
        for k in 0..PLACES {
            let share = 0.04 + 0.92 * k as f64 / (PLACES - 1) as f64;
            let at = [0, 1].map(|axis| from[axis] + share * (to[axis] - from[axis]));
            let value = |off: i64| {
                if flat {
                    likeness(at[0], at[1] + off as f64)
                } else {
                    likeness(at[0] + off as f64, at[1])
                }
            };
            // Inside is downward of the upper side and to the left of the right one.
            let inward = if side == 0 || side == 3 { 1.0 } else { -1.0 };
            let values: Vec<f64> = (-reach..=reach).map(|off| inward * value(off)).collect();
            let all: f64 = values.iter().sum();
            let mut before = 0.0;
            let mut best = (f64::NEG_INFINITY, 0.0);
            for (k, value) in values.iter().enumerate() {
                before += value;
                // The step that parts the profile best: background before it, end after it.
                let parted = all - 2.0 * before;
                if parted > best.0 {
                    best = (parted, k as f64 - reach as f64 + 0.5);
                }
            }
            let (along, across) = if flat { (at[0], at[1]) } else { (at[1], at[0]) };
            // Samples are rounded to whole pixels across the side.
            points.push((
                along,
                (across.round() + best.1).clamp(across - reach as f64, across + reach as f64),
            ));
        }
        points.sort_by(|one, other| one.0.total_cmp(&other.0));
        lines.push(robust_line(points)?);
    }
    meetings(lines[0], lines[2], lines[3], lines[1])
}
