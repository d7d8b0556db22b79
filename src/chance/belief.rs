//! A belief, and what a measurement makes of it.

/// What is believed of one number: a normal spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    /// The mean.
    pub mean: f64,
    /// The standard deviation, zero or more.
    pub deviation: f64,
}

impl Belief {
    /// The belief after a reading whose error has a standard deviation.
    ///
    /// The conjugate normal update (Gelman et al., *Bayesian Data Analysis*, section 2.5):
    /// `1/s'^2 = 1/s^2 + 1/r^2`, `m' = s'^2 (m/s^2 + reading/r^2)`. An exact
    /// belief stays; an exact reading is believed.
    #[must_use]
    pub fn after(self, reading: f64, error_deviation: f64) -> Self {
        let own = self.deviation * self.deviation;
        let error = error_deviation * error_deviation;
        if own <= 0.0 {
            return self;
        }
        let weight = own / (own + error);
        Self {
            mean: self.mean + weight * (reading - self.mean),
            deviation: (own * (1.0 - weight)).max(0.0).sqrt(),
        }
    }

    /// Share of this belief's deviation that is left in a later one, 0 to 1.
    #[must_use]
    pub fn left_in(self, later: Self) -> f64 {
        if self.deviation > 0.0 {
            later.deviation / self.deviation
        } else {
            0.0
        }
    }
}

/// What is believed of an instrument: how far it reads off on the whole, and how much single readings scatter about that.
///
/// The normal spread with unknown mean and variance, whose conjugate belief is the normal-inverse-chi-squared (Gelman
/// et al., *Bayesian Data Analysis*, section 3.3). Readings of known things narrow both, or widen them when they scatter
/// more than was believed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instrument {
    /// The mean of its bias.
    pub bias: f64,
    /// The standard deviation of its scatter.
    pub scatter: f64,
    /// How many readings the belief in the bias is worth.
    worth_bias: f64,
    /// How many readings the belief in the scatter is worth.
    worth_scatter: f64,
}

/// Readings that a first belief in a scatter is worth, unless given: it is a judgement, and a few readings overrule it.
const WORTH_SCATTER: f64 = 4.0;

impl Instrument {
    /// An instrument whose bias is 0 with a standard deviation, and whose scatter is believed to be another; both above 0.
    #[must_use]
    pub fn new(bias_deviation: f64, scatter: f64) -> Self {
        let min = f64::MIN_POSITIVE.sqrt();
        let (bias_deviation, scatter) = (bias_deviation.max(min), scatter.max(min));
        Self {
            bias: 0.0,
            scatter,
            worth_bias: (scatter / bias_deviation).powi(2),
            worth_scatter: WORTH_SCATTER,
        }
    }

    /// Standard deviation of the bias.
    #[must_use]
    pub fn bias_deviation(&self) -> f64 {
        self.scatter / self.worth_bias.sqrt()
    }

    /// The belief after some readings, each given as how far it was off:
    /// `k' = k + n`, `m' = (k m + n mean)/k'`, `v' = v + n`,
    /// `v' s'^2 = v s^2 + sum (x - mean)^2 + k n/k' (mean - m)^2`.
    #[must_use]
    pub fn after(self, off: &[f64]) -> Self {
        let count = off.len() as f64;
        if off.is_empty() {
            return self;
        }
        let mean = off.iter().sum::<f64>() / count;
        let squares: f64 = off.iter().map(|off| (off - mean).powi(2)).sum();
        let worth_bias = self.worth_bias + count;
        let worth_scatter = self.worth_scatter + count;
        let apart = self.worth_bias * count / worth_bias * (mean - self.bias).powi(2);
        let whole = self.worth_scatter * self.scatter * self.scatter + squares + apart;
        Self {
            bias: (self.worth_bias * self.bias + count * mean) / worth_bias,
            scatter: (whole / worth_scatter).sqrt(),
            worth_bias,
            worth_scatter,
        }
    }
}

/// What is believed of several numbers that may go together: means and covariances.
#[derive(Debug, Clone, PartialEq)]
pub struct JointBelief {
    mean: Vec<f64>,
    covariance: Vec<f64>,
}

impl JointBelief {
    /// Independent beliefs.
    #[must_use]
    pub fn independent(beliefs: &[Belief]) -> Self {
        let size = beliefs.len();
        let mut covariance = vec![0.0; size * size];
        for (place, belief) in beliefs.iter().enumerate() {
            covariance[place * size + place] = belief.deviation * belief.deviation;
        }
        Self {
            mean: beliefs.iter().map(|belief| belief.mean).collect(),
            covariance,
        }
    }

    /// Lets two of the numbers go together with a correlation between -1 and 1.
    #[must_use]
    pub fn correlated(mut self, one: usize, other: usize, correlation: f64) -> Self {
        let size = self.mean.len();
        if one < size && other < size && one != other {
            let both = self.covariance[one * size + one] * self.covariance[other * size + other];
            let covariance = correlation.clamp(-1.0, 1.0) * both.sqrt();
            self.covariance[one * size + other] = covariance;
            self.covariance[other * size + one] = covariance;
        }
        self
    }

    /// The belief of one of the numbers alone.
    #[must_use]
    pub fn of(&self, place: usize) -> Option<Belief> {
        let size = self.mean.len();
        let mean = *self.mean.get(place)?;
        let variance = self.covariance[place * size + place];
        Some(Belief {
            mean,
            deviation: variance.max(0.0).sqrt(),
        })
    }

    /// Covariance of two of the numbers.
    #[must_use]
    pub fn covariance(&self, one: usize, other: usize) -> Option<f64> {
        let size = self.mean.len();
        (one < size && other < size).then(|| self.covariance[one * size + other])
    }

    /// The belief of a weighted sum of the numbers, such as a reading about to be taken; missing weights are zero.
    #[must_use]
    pub fn sum(&self, weights: &[f64]) -> Belief {
        let spread = self.spread(weights);
        let mean = self.mean.iter().zip(weights).map(|(m, w)| m * w).sum();
        let variance: f64 = spread.iter().zip(weights).map(|(s, w)| s * w).sum();
        Belief {
            mean,
            deviation: variance.max(0.0).sqrt(),
        }
    }

    /// Covariance of each number with the weighted sum.
    fn spread(&self, weights: &[f64]) -> Vec<f64> {
        let size = self.mean.len();
        self.covariance
            .chunks(size.max(1))
            .map(|row| row.iter().zip(weights).map(|(c, w)| c * w).sum())
            .collect()
    }

    /// The belief after a reading of a weighted sum of the numbers, with a
    /// standard deviation of its error: the normal update in one step
    /// (the measurement step of Kalman, 1960).
    #[must_use]
    pub fn after(mut self, weights: &[f64], reading: f64, error_deviation: f64) -> Self {
        let size = self.mean.len();
        let spread = self.spread(weights);
        let expected = self.sum(weights);
        let variance = expected.deviation.powi(2) + error_deviation * error_deviation;
        if variance <= 0.0 {
            return self;
        }
        for one in 0..size {
            self.mean[one] += spread[one] / variance * (reading - expected.mean);
            for other in 0..size {
                self.covariance[one * size + other] -= spread[one] * spread[other] / variance;
            }
        }
        self
    }
}
