//! What is believed of a few numbers at once: a mixture of Gaussians, which
//! linear readings with Gaussian errors turn into another one, exactly.

use crate::chance::{Band, NINE_IN_TEN, normal_chance};
use crate::numerics::bracketed_root;

/// A belief about `size` numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    size: usize,
    parts: Vec<Part>,
}

#[derive(Debug, Clone, PartialEq)]
struct Part {
    weight: f64,
    mean: Vec<f64>,
    /// Row by row.
    covariance: Vec<f64>,
}

/// One reading: `sum of coefficient x number = value`, with a Gaussian error.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// The numbers that take part, by place, and their coefficients.
    pub terms: Vec<(usize, f64)>,
    /// What was read.
    pub value: f64,
    /// Standard deviation of its error.
    pub error: f64,
}

/// The belief about one linear combination of the numbers, plus a constant.
#[derive(Debug, Clone, PartialEq)]
pub struct Marginal {
    /// Weight, mean and standard deviation of each part.
    parts: Vec<(f64, f64, f64)>,
}

impl Belief {
    /// A belief of several parts, each with its weight, mean and covariance (row by row).
    ///
    /// # Panics
    /// When the sizes do not belong together.
    #[must_use]
    pub fn of_parts(parts: Vec<(f64, Vec<f64>, Vec<f64>)>) -> Self {
        let size = parts.first().map_or(0, |(_, mean, _)| mean.len());
        let whole: f64 = parts.iter().map(|(weight, _, _)| weight).sum();
        let parts = parts
            .into_iter()
            .map(|(weight, mean, covariance)| {
                assert_eq!(mean.len(), size, "means of one length");
                assert_eq!(covariance.len(), size * size, "a square covariance");
                Part {
                    weight: weight / whole,
                    mean,
                    covariance,
                }
            })
            .collect();
        Self { size, parts }
    }

    /// How many numbers there are.
    #[must_use]
    pub const fn size(&self) -> usize {
        self.size
    }

    /// Adds numbers about zero, independent of all others, by their standard deviations.
    pub fn add_numbers(&mut self, deviations: &[f64]) {
        let (old, new) = (self.size, self.size + deviations.len());
        for part in &mut self.parts {
            let mut covariance = vec![0.0; new * new];
            for i in 0..old {
                covariance[i * new..i * new + old]
                    .copy_from_slice(&part.covariance[i * old..(i + 1) * old]);
            }
            for (i, deviation) in (old..new).zip(deviations) {
                covariance[i * new + i] = deviation * deviation;
            }
            part.mean.resize(new, 0.0);
            part.covariance = covariance;
        }
        self.size = new;
    }

    /// Forgets all but the first numbers; what was learned of those stays.
    pub fn keep_first(&mut self, count: usize) {
        let (old, new) = (self.size, count.min(self.size));
        for part in &mut self.parts {
            part.mean.truncate(new);
            part.covariance = (0..new)
                .flat_map(|i| part.covariance[i * old..i * old + new].iter().copied())
                .collect();
        }
        self.size = new;
    }

    /// Takes a reading in: conditions every part on it and weighs the parts again by how well each
    /// foresaw it.
    pub fn learn(&mut self, seen: &Seen) {
        let n = self.size;
        let mut log_weights = Vec::with_capacity(self.parts.len());
        for part in &mut self.parts {
            let spread: Vec<f64> = (0..n)
                .map(|i| {
                    seen.terms
                        .iter()
                        .map(|&(j, coefficient)| coefficient * part.covariance[i * n + j])
                        .sum()
                })
                .collect();
            let total: f64 = seen.error * seen.error
                + seen
                    .terms
                    .iter()
                    .map(|&(j, coefficient)| coefficient * spread[j])
                    .sum::<f64>();
            if total.partial_cmp(&0.0) != Some(std::cmp::Ordering::Greater) {
                log_weights.push(libm::log(part.weight));
                continue;
            }
            let foreseen: f64 = seen
                .terms
                .iter()
                .map(|&(j, coefficient)| coefficient * part.mean[j])
                .sum();
            let surprise = seen.value - foreseen;
            for i in 0..n {
                part.mean[i] += spread[i] / total * surprise;
                for j in 0..n {
                    part.covariance[i * n + j] -= spread[i] * spread[j] / total;
                }
            }
            log_weights.push(
                libm::log(part.weight) - 0.5 * (surprise * surprise / total + libm::log(total)),
            );
        }
        let max = log_weights
            .iter()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        let whole: f64 = log_weights.iter().map(|log| libm::exp(log - max)).sum();
        for (part, log) in self.parts.iter_mut().zip(log_weights) {
            part.weight = libm::exp(log - max) / whole;
        }
    }

    /// The belief about `sum of coefficient x number + constant`.
    #[must_use]
    pub fn marginal(&self, terms: &[(usize, f64)], constant: f64) -> Marginal {
        let n = self.size;
        let parts = self
            .parts
            .iter()
            .map(|part| {
                let mean: f64 = terms.iter().map(|&(i, c)| c * part.mean[i]).sum();
                let variance: f64 = terms
                    .iter()
                    .map(|&(i, ci)| {
                        terms
                            .iter()
                            .map(|&(j, cj)| ci * cj * part.covariance[i * n + j])
                            .sum::<f64>()
                    })
                    .sum();
                (part.weight, constant + mean, variance.max(0.0).sqrt())
            })
            .collect();
        Marginal { parts }
    }
}

impl Marginal {
    /// A number known exactly.
    #[must_use]
    pub fn known(value: f64) -> Self {
        Self {
            parts: vec![(1.0, value, 0.0)],
        }
    }

    /// The mean, which is what a forecast calls its middle: shares of it add up.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.parts
            .iter()
            .map(|(weight, mean, _)| weight * mean)
            .sum()
    }

    /// Standard deviation.
    #[must_use]
    pub fn deviation(&self) -> f64 {
        let centre = self.mean();
        self.parts
            .iter()
            .map(|(weight, mean, sd)| weight * (sd * sd + (mean - centre).powi(2)))
            .sum::<f64>()
            .sqrt()
    }

    /// Chance of a value of at most `x`.
    #[must_use]
    pub fn chance_below(&self, x: f64) -> f64 {
        self.parts
            .iter()
            .map(|&(weight, mean, sd)| {
                weight
                    * if sd > 0.0 {
                        normal_chance((x - mean) / sd)
                    } else if x >= mean {
                        1.0
                    } else {
                        0.0
                    }
            })
            .sum()
    }

    /// Chance of a value whose size is at most `x`.
    #[must_use]
    pub fn chance_within(&self, x: f64) -> f64 {
        if x < 0.0 {
            0.0
        } else {
            // The lower bound is just outside, so that a number known exactly counts at both ends.
            self.chance_below(x) - self.chance_below((-x).next_down())
        }
    }

    /// The value below which the share `p` lies, `p` inside 0 to 1.
    #[must_use]
    pub fn quantile(&self, p: f64) -> f64 {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for &(weight, mean, sd) in &self.parts {
            if weight > 0.0 {
                (low, high) = (low.min(mean - 9.0 * sd), high.max(mean + 9.0 * sd));
            }
        }
        self.point_between(p, low, high)
    }

    fn point_between(&self, p: f64, low: f64, high: f64) -> f64 {
        if high <= low {
            return low;
        }
        let beyond = |x: f64| self.chance_below(x) - p;
        // Rounding may leave both ends on one side of it: then it is the nearer of them.
        bracketed_root(beyond, low, high, 1e-5 * (high - low)).unwrap_or_else(|| {
            if beyond(low).abs() < beyond(high).abs() {
                low
            } else {
                high
            }
        })
    }

    /// Low (5 %), middle (the mean) and high (95 %).
    #[must_use]
    pub fn band(&self) -> Band {
        let middle = self.mean();
        if let [(_, mean, sd)] = self.parts[..] {
            return Band::new([mean - NINE_IN_TEN * sd, mean + NINE_IN_TEN * sd], middle);
        }
        // The point of a mixture lies between the points of its parts.
        let point = |z: f64, p: f64| {
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for &(weight, mean, sd) in &self.parts {
                if weight > 0.0 {
                    (low, high) = (low.min(mean + z * sd), high.max(mean + z * sd));
                }
            }
            self.point_between(p, low, high)
        };
        Band::new(
            [point(-NINE_IN_TEN, 0.05), point(NINE_IN_TEN, 0.95)],
            middle,
        )
    }

    /// The same belief about `factor` times the number plus `constant`.
    #[must_use]
    pub fn scaled(&self, factor: f64, constant: f64) -> Self {
        Self {
            parts: self
                .parts
                .iter()
                .map(|&(weight, mean, sd)| (weight, factor * mean + constant, factor.abs() * sd))
                .collect(),
        }
    }
}
