//! The nodes of a grid over one factor, and what each weighs at a factor between them.

/// Neighbouring nodes that carry one interpolated value, along each axis.
pub(super) const STENCIL: usize = 4;

/// The range of a factor and the nodes on it, evenly spaced in its logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GridRange {
    /// Minimum factor, above 0.
    pub min: f64,
    /// Maximum factor.
    pub max: f64,
    /// Nodes, at least 1.
    pub nodes: usize,
}

impl GridRange {
    /// For the diffusivity: a quarter to four times, five nodes, 1 among them (more bring it no nearer to full solves).
    pub const DIFFUSIVITY: Self = Self {
        min: 0.25,
        max: 4.0,
        nodes: 5,
    };
    /// For film and finish: a fifth to five times, five nodes.
    pub const SURFACE: Self = Self {
        min: 0.2,
        max: 5.0,
        nodes: 5,
    };

    /// Diffusivity and surface as the draws of a job ask them.
    pub const OF_DRAWS: [Self; 2] = [Self::DIFFUSIVITY, Self::SURFACE];
    /// The same with three nodes each: enough for a trial, of which a chance to a few points is asked.
    pub const OF_TRIALS: [Self; 2] = [
        Self {
            nodes: 3,
            ..Self::DIFFUSIVITY
        },
        Self {
            nodes: 3,
            ..Self::SURFACE
        },
    ];

    pub(super) fn factor(&self, node: usize) -> f64 {
        if self.nodes < 2 {
            return (self.min * self.max).sqrt();
        }
        let share = node as f64 / (self.nodes - 1) as f64;
        self.min * libm::pow(self.max / self.min, share)
    }

    /// Its nodes by the logarithm of the factor.
    pub(super) fn axis(&self) -> LogAxis {
        LogAxis {
            log_min: libm::log(self.min),
            per_log: self.nodes.saturating_sub(1) as f64 / libm::log(self.max / self.min),
            nodes: self.nodes.max(1),
        }
    }
}

/// The nodes of a range, evenly spaced in the logarithm of the factor.
#[derive(Debug, Clone, Copy)]
pub(super) struct LogAxis {
    /// Logarithm of the minimum factor.
    log_min: f64,
    /// Nodes in one unit of the logarithm.
    per_log: f64,
    nodes: usize,
}

/// For a stencil of one to four nodes the factor of each node's Lagrange weight, `1/prod (i - j)` over the other nodes.
const LAGRANGE: [[f64; STENCIL]; STENCIL] = [
    [1.0, 0.0, 0.0, 0.0],
    [-1.0, 1.0, 0.0, 0.0],
    [0.5, -1.0, 0.5, 0.0],
    [-1.0 / 6.0, 0.5, -0.5, 1.0 / 6.0],
];

/// The nodes beside a place on an axis, and the Lagrange weight of each.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stencil {
    /// Nodes of the whole axis.
    pub(super) of: usize,
    pub(super) first: usize,
    pub(super) count: usize,
    /// Of so many as there are nodes.
    pub(super) weights: [f64; STENCIL],
}

impl LogAxis {
    /// Around the logarithm of a factor; one outside the range is answered as the nearer end.
    pub(super) fn stencil(&self, log: f64) -> Stencil {
        let of = self.nodes;
        let count = of.min(STENCIL);
        if count == 1 {
            return Stencil {
                of,
                first: 0,
                count,
                weights: LAGRANGE[0],
            };
        }
        let place = ((log - self.log_min) * self.per_log).clamp(0.0, (of - 1) as f64);
        let first = (place as usize)
            .saturating_sub((count - 1) / 2)
            .min(of - count);
        let x = place - first as f64;
        let mut weights = LAGRANGE[count - 1];
        for j in 0..count {
            let off = x - j as f64;
            for (i, weight) in weights.iter_mut().enumerate() {
                *weight *= if i == j { 1.0 } else { off };
            }
        }
        Stencil {
            of,
            first,
            count,
            weights,
        }
    }
}
