//! How an uncertain number spreads.

use statrs::distribution::{ContinuousCDF, StudentsT};
use statrs::function::erf::{erfc, erfc_inv};
use std::f64::consts::SQRT_2;
use std::fmt;

/// Standard normal quantile: the value that a share of all draws stays below.
///
/// `share` must lie between 0 and 1; at 0 and 1 the answer is infinite.
#[must_use]
pub fn normal_quantile(share: f64) -> f64 {
    -SQRT_2 * erfc_inv(2.0 * share)
}

/// Share of a standard normal below `z`.
#[must_use]
pub fn normal_chance(z: f64) -> f64 {
    0.5 * erfc(-z / SQRT_2)
}

/// Half the width of the band that holds nine of ten, in standard deviations: the 95 % quantile of the standard normal.
pub const NINE_IN_TEN: f64 = 1.644_853_626_951_472_7;

/// A spread that cannot be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpreadError {
    /// What is wrong with the number.
    pub reason: &'static str,
    /// The number.
    pub value: f64,
}

impl fmt::Display for SpreadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, not {}", self.reason, self.value)
    }
}

impl std::error::Error for SpreadError {}

/// How an uncertain number spreads about its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    kind: Kind,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    Exact(f64),
    Normal {
        mean: f64,
        deviation: f64,
    },
    LogNormal {
        median: f64,
        log_deviation: f64,
    },
    Uniform {
        min: f64,
        max: f64,
    },
    Student {
        middle: f64,
        scale: f64,
        freedom: f64,
    },
}

fn finite(value: f64) -> Result<f64, SpreadError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(SpreadError {
            reason: "a spread needs finite numbers",
            value,
        })
    }
}

fn not_negative(value: f64) -> Result<f64, SpreadError> {
    if value.is_finite() && value >= 0.0 {
        Ok(value)
    } else {
        Err(SpreadError {
            reason: "a deviation must be zero or more",
            value,
        })
    }
}

fn positive(value: f64) -> Result<f64, SpreadError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(SpreadError {
            reason: "the number must be greater than zero",
            value,
        })
    }
}

fn ordered(low: f64, high: f64) -> Result<(), SpreadError> {
    if low <= high {
        Ok(())
    } else {
        Err(SpreadError {
            reason: "the low end must not lie above the high end",
            value: low,
        })
    }
}

impl Spread {
    /// A number known for sure.
    ///
    /// # Errors
    /// [`SpreadError`] when it is not finite.
    pub fn exactly(value: f64) -> Result<Self, SpreadError> {
        let kind = Kind::Exact(finite(value)?);
        Ok(Self { kind })
    }

    /// The normal spread with a mean and a standard deviation.
    ///
    /// # Errors
    /// [`SpreadError`] for a negative deviation or what is not finite.
    pub fn normal(mean: f64, deviation: f64) -> Result<Self, SpreadError> {
        let kind = Kind::Normal {
            mean: finite(mean)?,
            deviation: not_negative(deviation)?,
        };
        Ok(Self { kind })
    }

    /// The normal spread whose 5 and 95 % quantiles are given.
    ///
    /// # Errors
    /// [`SpreadError`] when the ends are out of order or not finite.
    pub fn normal_between(low: f64, high: f64) -> Result<Self, SpreadError> {
        ordered(finite(low)?, finite(high)?)?;
        Self::normal(f64::midpoint(low, high), (high - low) / (2.0 * NINE_IN_TEN))
    }

    /// The log-normal spread with a median and the standard deviation of the
    /// natural logarithm, which for small values is the coefficient of variation.
    ///
    /// # Errors
    /// [`SpreadError`] for a median of zero or less or a negative deviation.
    pub fn log_normal(median: f64, log_deviation: f64) -> Result<Self, SpreadError> {
        let kind = Kind::LogNormal {
            median: positive(median)?,
            log_deviation: not_negative(log_deviation)?,
        };
        Ok(Self { kind })
    }

    /// The log-normal spread whose 5 and 95 % quantiles are given.
    ///
    /// # Errors
    /// [`SpreadError`] when the ends are out of order or not greater than zero.
    pub fn log_normal_between(low: f64, high: f64) -> Result<Self, SpreadError> {
        ordered(positive(low)?, positive(high)?)?;
        Self::log_normal((low * high).sqrt(), (high / low).ln() / (2.0 * NINE_IN_TEN))
    }

    /// Every number between two ends alike.
    ///
    /// # Errors
    /// [`SpreadError`] when the ends are out of order or not finite.
    pub fn uniform(min: f64, max: f64) -> Result<Self, SpreadError> {
        ordered(finite(min)?, finite(max)?)?;
        let kind = Kind::Uniform { min, max };
        Ok(Self { kind })
    }

    /// Student's spread about a middle: like the normal in the middle, with
    /// heavy tails on both sides; the fewer degrees of freedom, the heavier.
    ///
    /// # Errors
    /// [`SpreadError`] for a negative scale or fewer than one degree of freedom.
    pub fn student(middle: f64, scale: f64, freedom: f64) -> Result<Self, SpreadError> {
        if !(freedom.is_finite() && freedom >= 1.0) {
            return Err(SpreadError {
                reason: "Student's spread needs one degree of freedom or more",
                value: freedom,
            });
        }
        let kind = Kind::Student {
            middle: finite(middle)?,
            scale: not_negative(scale)?,
            freedom,
        };
        Ok(Self { kind })
    }

    /// The value that a share of all draws stays below; `share` between 0 and 1, both excluded.
    #[must_use]
    pub fn quantile(&self, share: f64) -> f64 {
        match self.kind {
            Kind::Exact(value) => value,
            Kind::Uniform { min, max } => min + (max - min) * share,
            Kind::Student {
                middle,
                scale,
                freedom,
            } => middle + scale * student_quantile(share, freedom),
            Kind::Normal { .. } | Kind::LogNormal { .. } => self.at_normal(normal_quantile(share)),
        }
    }

    /// The value that stands where `z` stands in a standard normal; how correlated inputs are drawn.
    #[must_use]
    pub fn at_normal(&self, z: f64) -> f64 {
        match self.kind {
            Kind::Normal { mean, deviation } => mean + deviation * z,
            Kind::LogNormal {
                median,
                log_deviation,
            } => median * (log_deviation * z).exp(),
            _ => self.quantile(normal_chance(z)),
        }
    }

    /// Share of all draws below a value.
    #[must_use]
    pub fn chance_below(&self, value: f64) -> f64 {
        let above = |edge: f64| if value < edge { 0.0 } else { 1.0 };
        match self.kind {
            Kind::Exact(known) => above(known),
            Kind::Normal { mean, deviation } if deviation > 0.0 => {
                normal_chance((value - mean) / deviation)
            }
            Kind::Normal { mean, .. } => above(mean),
            Kind::LogNormal { .. } if value <= 0.0 => 0.0,
            Kind::LogNormal {
                median,
                log_deviation,
            } if log_deviation > 0.0 => normal_chance((value / median).ln() / log_deviation),
            Kind::LogNormal { median, .. } => above(median),
            Kind::Uniform { min, max } if max > min => {
                ((value - min) / (max - min)).clamp(0.0, 1.0)
            }
            Kind::Uniform { min, .. } => above(min),
            Kind::Student {
                middle,
                scale,
                freedom,
            } if scale > 0.0 => {
                let t = (value - middle) / scale;
                StudentsT::new(0.0, 1.0, freedom).map_or_else(|_| above(middle), |s| s.cdf(t))
            }
            Kind::Student { middle, .. } => above(middle),
        }
    }

    /// The median.
    #[must_use]
    pub fn middle(&self) -> f64 {
        match self.kind {
            Kind::Exact(value) => value,
            Kind::Normal { mean, .. } => mean,
            Kind::LogNormal { median, .. } => median,
            Kind::Uniform { min, max } => f64::midpoint(min, max),
            Kind::Student { middle, .. } => middle,
        }
    }

    /// The mean; for Student's spread of one degree of freedom, which has none, the middle.
    #[must_use]
    pub fn mean(&self) -> f64 {
        match self.kind {
            Kind::LogNormal {
                median,
                log_deviation,
            } => median * (0.5 * log_deviation * log_deviation).exp(),
            _ => self.middle(),
        }
    }

    /// The standard deviation; infinite for Student's spread of two degrees of freedom or fewer.
    #[must_use]
    pub fn deviation(&self) -> f64 {
        match self.kind {
            Kind::Exact(_) => 0.0,
            Kind::Normal { deviation, .. } => deviation,
            Kind::LogNormal { log_deviation, .. } => {
                self.mean() * (log_deviation * log_deviation).exp_m1().sqrt()
            }
            Kind::Uniform { min, max } => (max - min) / 12_f64.sqrt(),
            Kind::Student { scale, freedom, .. } if freedom > 2.0 => {
                scale * (freedom / (freedom - 2.0)).sqrt()
            }
            Kind::Student { scale, .. } => {
                if scale > 0.0 {
                    f64::INFINITY
                } else {
                    0.0
                }
            }
        }
    }

    /// Whether nothing is uncertain.
    #[must_use]
    pub fn is_exact(&self) -> bool {
        self.deviation() <= 0.0
    }
}

/// Quantile of Student's spread: in closed form for 1, 2 and 4 degrees of
/// freedom (W. T. Shaw, *Journal of Computational Finance* 9, 2006), by the
/// series about the normal beyond 100 (Abramowitz and Stegun, 26.7.5), else from the incomplete beta function.
fn student_quantile(share: f64, freedom: f64) -> f64 {
    let odds = 4.0 * share * (1.0 - share);
    let side = share - 0.5;
    let is = |whole: f64| (freedom - whole).abs() < 1e-12;
    if is(1.0) {
        (std::f64::consts::PI * side).tan()
    } else if is(2.0) {
        2.0 * side * (2.0 / odds).sqrt()
    } else if is(4.0) {
        let root = odds.sqrt();
        let reach = (root.acos() / 3.0).cos() / root;
        2.0 * side.signum() * (reach - 1.0).max(0.0).sqrt()
    } else if freedom > 100.0 {
        let z = normal_quantile(share);
        let square = z * z;
        let first = (square + 1.0) / 4.0;
        let second = ((5.0 * square + 16.0) * square + 3.0) / 96.0;
        let third = (((3.0 * square + 19.0) * square + 17.0) * square - 15.0) / 384.0;
        z * (1.0 + (first + (second + third / freedom) / freedom) / freedom)
    } else {
        StudentsT::new(0.0, 1.0, freedom).map_or(0.0, |student| student.inverse_cdf(share))
    }
}
