//! A pith that may be infinitely far, and how well it explains the lines of the end.

use super::texture::{BIN, Window, half_turn};
use rayon::prelude::*;
use std::f64::consts::{FRAC_PI_2, PI};

/// A pith as a point of the projective plane: `(a, b, c)` of length 1 with the pith at `(a, b)/c` half widths from
/// the middle of the section; with `c` = 0 the rings are straight and `(a, b)` is square to them. `(a, b, c)` and its
/// negative are the same pith.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pith(pub(super) [f64; 3]);

/// How far a pith is thought to be: at this distance from the middle of the board, in millimetres, it is half as likely as near by.
const FAR_MM: f64 = 500.0;

impl Pith {
    /// A pith of these numbers, at length 1 and `c` not negative.
    pub(super) fn of(numbers: [f64; 3]) -> Self {
        let [a, b, c] = numbers;
        let length = (a * a + b * b + c * c).sqrt();
        let length = if c < 0.0 { -length } else { length };
        Self([a / length, b / length, c / length])
    }

    pub(super) fn dot(&self, other: &Self) -> f64 {
        self.0.iter().zip(&other.0).map(|(a, b)| a * b).sum()
    }

    /// From the middle of the board, in half widths; infinite for straight rings.
    pub(super) fn distance(&self) -> f64 {
        let [a, b, c] = self.0;
        libm::hypot(a, b) / c.abs()
    }

    /// How likely a pith is so far away: 1 near by, falling with the fourth power of the distance.
    pub(super) fn nearness(&self, half_width_mm: f64) -> f64 {
        1.0 / (1.0 + (self.distance() * half_width_mm / FAR_MM).powi(4))
    }

    /// From the pith to a place, times `c`.
    pub(super) fn toward(&self, at: [f64; 2]) -> [f64; 2] {
        let [a, b, c] = self.0;
        [c * at[0] - a, c * at[1] - b]
    }

    /// Two directions at right angles to this one and to each other: the ways to move the pith.
    pub(super) fn tangents(&self) -> [[f64; 3]; 2] {
        let [a, b, c] = self.0;
        // Away from the axis it is nearest to, so that the product is never near zero.
        let aside = if a.abs() <= b.abs() && a.abs() <= c.abs() {
            [1.0, 0.0, 0.0]
        } else if b.abs() <= c.abs() {
            [0.0, 1.0, 0.0]
        } else {
            [0.0, 0.0, 1.0]
        };
        let first = Self::of_any_sign(cross(self.0, aside));
        [first, cross(self.0, first)]
    }

    fn of_any_sign(numbers: [f64; 3]) -> [f64; 3] {
        let length = numbers.iter().map(|v| v * v).sum::<f64>().sqrt();
        numbers.map(|value| value / length)
    }

    /// The pith moved along its tangents.
    pub(super) fn moved(&self, tangents: &[[f64; 3]; 2], step: [f64; 2]) -> Self {
        Self::of(std::array::from_fn(|k| {
            self.0[k] + step[0] * tangents[0][k] + step[1] * tangents[1][k]
        }))
    }
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// Whether the lines of the end are taken mostly for rings or mostly for rays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rays {
    /// Fine lines may be rays, coarse ones are rings.
    Some,
    /// Most fine lines are rays.
    Most,
}

impl Rays {
    const BOTH: [Self; 2] = [Self::Some, Self::Most];

    /// How likely the lines of a window are rays.
    pub(super) fn share(self, window: &Window) -> f64 {
        match self {
            Self::Some => window.ray_share,
            Self::Most => (6.0 * window.ray_share).min(0.75),
        }
    }

    /// What it costs to assume.
    const fn penalty(self) -> f64 {
        match self {
            Self::Some => 0.0,
            Self::Most => 0.04,
        }
    }
}

/// What the pith must explain.
#[derive(Debug, Clone)]
pub(super) struct Evidence {
    pub(super) windows: Vec<Window>,
    pub(super) half_width_mm: f64,
}

/// Lines within this of a reading's rings are taken away before the next reading is sought, and those beyond the second left whole; degrees.
const DAMPED: (f64, f64) = (12.0, 22.0);
/// Rings turned less than this are the same rings, degrees.
const OTHER: f64 = 15.0;
/// Candidates that are tried further, and how far apart they are on the sphere.
const CANDIDATES: usize = 4;
const APART: f64 = 0.12;
/// Points of the hemisphere that are looked at.
const POINTS: usize = 3000;

impl Evidence {
    /// How well a pith explains the lines: the mean over the windows of the logarithm of the energy square to its rings, noise being 0.
    pub(super) fn score(&self, pith: &Pith, rays: Rays) -> f64 {
        let (mut sum, mut all) = (0.0, 0.0);
        for window in &self.windows {
            all += window.weight;
            let [dx, dz] = pith.toward(window.at);
            let square = dx * dx + dz * dz;
            let soft = pith.0[2] * window.half;
            let clear = square / (square + soft * soft);
            let normal = libm::atan2(dz, dx);
            let share = rays.share(window);
            let energy = (1.0 - share) * window.energy_at(normal)
                + share * window.energy_at(normal + FRAC_PI_2);
            sum += window.weight * clear * libm::log(0.25 + 0.75 * energy);
        }
        let near = libm::log(pith.nearness(self.half_width_mm).max(f64::MIN_POSITIVE));
        sum / all + near / self.windows.len() as f64 - rays.penalty()
    }

    /// Every fourth window of the finest scale for all four, the other scales whole.
    fn thinned(&self) -> Self {
        let mut seen = 0;
        let windows = self.windows.iter().filter_map(|window| {
            if window.level > 0 {
                return Some(window.clone());
            }
            seen += 1;
            (seen % 4 == 1).then(|| Window {
                weight: 4.0 * window.weight,
                ..window.clone()
            })
        });
        Self {
            windows: windows.collect(),
            ..*self
        }
    }

    /// The pith that explains the lines best and how they were taken.
    pub(super) fn best(&self) -> Option<Best> {
        self.best_of(self, None)
    }

    /// The pith that explains the lines best that another one leaves, with other rings than that one: its score is by all lines.
    pub(super) fn second(&self, first: &Pith) -> Option<Best> {
        self.without(first).best_of(self, Some(first))
    }

    fn best_of(&self, judge: &Self, first: Option<&Pith>) -> Option<Best> {
        let thinned = self.thinned();
        let search = Search::new(&thinned);
        let points = hemisphere();
        let scores: Vec<[f64; 2]> = points
            .par_iter()
            .map(|point| search.scores(point))
            .collect();
        let mut candidates = Vec::new();
        for (which, rays) in Rays::BOTH.into_iter().enumerate() {
            let mut order: Vec<usize> = (0..points.len()).collect();
            order.sort_by(|&one, &other| scores[other][which].total_cmp(&scores[one][which]));
            let mut kept: Vec<Pith> = Vec::with_capacity(CANDIDATES);
            for pith in order.into_iter().map(|at| points[at]) {
                if kept.len() == CANDIDATES {
                    break;
                }
                if kept
                    .iter()
                    .all(|other| other.dot(&pith).abs() < libm::cos(APART))
                {
                    kept.push(pith);
                }
            }
            candidates.extend(kept.into_iter().map(|pith| (pith, rays)));
        }
        let tried: Vec<Best> = candidates
            .into_par_iter()
            .filter_map(|(pith, rays)| {
                let pith = thinned.refined(pith, rays, 6);
                if first.is_some_and(|first| self.apart(first, &pith) < OTHER.to_radians()) {
                    return None;
                }
                let score = judge.score(&pith, rays);
                Some(Best { pith, rays, score })
            })
            .collect();
        let best = tried
            .into_iter()
            .reduce(|best, next| if next.score > best.score { next } else { best })?;
        let pith = self.refined(best.pith, best.rays, 20);
        Some(Best {
            pith,
            score: judge.score(&pith, best.rays),
            ..best
        })
    }

    /// How far the rings of two piths are turned against each other: root of the mean square over the windows, radians.
    fn apart(&self, one: &Pith, other: &Pith) -> f64 {
        let (mut sum, mut all) = (0.0, 0.0);
        for window in &self.windows {
            let [normal, against] = [one, other].map(|pith| {
                let [dx, dz] = pith.toward(window.at);
                libm::atan2(dz, dx)
            });
            sum += window.weight * half_turn(normal - against).powi(2);
            all += window.weight;
        }
        (sum / all).sqrt()
    }

    /// The evidence without the lines that a pith explains.
    pub(super) fn without(&self, pith: &Pith) -> Self {
        let mut windows = self.windows.clone();
        for window in &mut windows {
            let [dx, dz] = pith.toward(window.at);
            let normal = libm::atan2(dz, dx);
            for (bin, energy) in window.energy.iter_mut().enumerate() {
                let off = half_turn(bin as f64 * BIN - normal).abs().to_degrees();
                let kept = ((off - DAMPED.0) / (DAMPED.1 - DAMPED.0)).clamp(0.0, 1.0);
                *energy *= kept as f32;
            }
        }
        Self { windows, ..*self }
    }
}

/// The best pith of some evidence.
#[derive(Debug, Clone, Copy)]
pub(super) struct Best {
    pub(super) pith: Pith,
    pub(super) rays: Rays,
    pub(super) score: f64,
}

/// The score at many piths: each window's logarithms are looked up in a table over the directions.
struct Search<'a> {
    evidence: &'a Evidence,
    /// Per window: for each direction, both ways of taking the lines.
    tables: Vec<[[f32; 2]; TURNS]>,
    all: f64,
}

/// Directions of that table, over half a turn.
const TURNS: usize = 128;

impl<'a> Search<'a> {
    fn new(evidence: &'a Evidence) -> Self {
        let tables = evidence.windows.iter().map(|window| {
            let shares = Rays::BOTH.map(|rays| rays.share(window));
            std::array::from_fn(|turn| {
                let normal = turn as f64 * PI / TURNS as f64;
                let along = window.energy_at(normal);
                let across = window.energy_at(normal + FRAC_PI_2);
                shares.map(|share| {
                    let energy = (1.0 - share) * along + share * across;
                    (window.weight * libm::log(0.25 + 0.75 * energy)) as f32
                })
            })
        });
        Self {
            evidence,
            tables: tables.collect(),
            all: evidence.windows.iter().map(|window| window.weight).sum(),
        }
    }

    /// The score of one pith, taking the lines both ways.
    fn scores(&self, pith: &Pith) -> [f64; 2] {
        let mut sums = [0.0; 2];
        for (window, table) in self.evidence.windows.iter().zip(&self.tables) {
            let [dx, dz] = pith.toward(window.at);
            let square = dx * dx + dz * dz;
            let soft = pith.0[2] * window.half;
            let clear = square / (square + soft * soft);
            let row = table[turn_of(dx, dz)];
            for (sum, value) in sums.iter_mut().zip(row) {
                *sum += clear * f64::from(value);
            }
        }
        let near = libm::log(
            pith.nearness(self.evidence.half_width_mm)
                .max(f64::MIN_POSITIVE),
        ) / self.evidence.windows.len() as f64;
        std::array::from_fn(|k| sums[k] / self.all + near - Rays::BOTH[k].penalty())
    }
}

/// The place in the table of a direction, by a polynomial arctangent good to a tenth of a step.
fn turn_of(dx: f64, dz: f64) -> usize {
    let (ax, az) = (dx.abs(), dz.abs());
    let ratio = ax.min(az) / ax.max(az).max(f64::MIN_POSITIVE);
    // Over 0 to 1: pi/4 r + r (1 - r) (0.2447 + 0.0663 r), off by 0.0015 at most.
    let octant = ratio * (PI / 4.0 + (1.0 - ratio) * (0.2447 + 0.0663 * ratio));
    let quarter = if az > ax { FRAC_PI_2 - octant } else { octant };
    let half = if (dx < 0.0) == (dz < 0.0) {
        quarter
    } else {
        PI - quarter
    };
    (half * (TURNS as f64 / PI) + 0.5) as usize % TURNS
}

/// Points spread evenly over half a sphere, by the golden angle.
fn hemisphere() -> Vec<Pith> {
    let golden = PI * (3.0 - 5.0_f64.sqrt());
    (0..POINTS)
        .map(|k| {
            let c = (k as f64 + 0.5) / POINTS as f64;
            let (sin, cos) = libm::sincos(golden * k as f64);
            let across = (1.0 - c * c).sqrt();
            Pith([across * cos, across * sin, c])
        })
        .collect()
}
