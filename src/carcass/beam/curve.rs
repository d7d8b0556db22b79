//! The curve of one held beam: deflection, slope, moment, and where they are
//! maximum. Between nodes the load is even, so all are exact polynomials.

/// A held beam, node by node.
#[derive(Debug, Clone)]
pub(crate) struct Curve {
    /// Node places on the common axis, mm.
    pub x: Vec<f64>,
    /// Deflection at the nodes, mm.
    pub w: Vec<f64>,
    /// Moment just left and right of the nodes, N mm.
    pub moment: Vec<[f64; 2]>,
    /// Load on each stretch, N/mm upward.
    pub load: Vec<f64>,
    /// `E I`, N mm2.
    pub stiffness: f64,
    /// `w''` when free, 1/mm.
    pub curvature: f64,
}

impl Curve {
    fn stretch(&self, x: f64) -> (usize, f64) {
        let last = self.x.len() - 2;
        let index = self.x.partition_point(|node| *node <= x);
        let index = index.saturating_sub(1).min(last);
        (index, x - self.x[index])
    }

    /// Slope at the left end of a stretch.
    fn slope_at_start(&self, e: usize) -> f64 {
        let l = self.x[e + 1] - self.x[e];
        let (a, b) = (self.moment[e][1], self.moment[e + 1][0]);
        (self.w[e + 1] - self.w[e]) / l
            - (l * (2.0 * a + b) / 6.0 - self.load[e] * l.powi(3) / 24.0) / self.stiffness
            - self.curvature * l / 2.0
    }

    fn moment_in(&self, e: usize, s: f64) -> f64 {
        let l = self.x[e + 1] - self.x[e];
        let (a, b) = (self.moment[e][1], self.moment[e + 1][0]);
        a + (b - a) * s / l + self.load[e] * s * (s - l) / 2.0
    }

    fn slope_in(&self, e: usize, s: f64) -> f64 {
        let l = self.x[e + 1] - self.x[e];
        let (a, b) = (self.moment[e][1], self.moment[e + 1][0]);
        let bending = a * s
            + (b - a) * s * s / (2.0 * l)
            + self.load[e] * (s.powi(3) / 6.0 - l * s * s / 4.0);
        self.slope_at_start(e) + self.curvature * s + bending / self.stiffness
    }

    fn deflection_in(&self, e: usize, s: f64) -> f64 {
        let l = self.x[e + 1] - self.x[e];
        let (a, b) = (self.moment[e][1], self.moment[e + 1][0]);
        let bending = a * s * s / 2.0
            + (b - a) * s.powi(3) / (6.0 * l)
            + self.load[e] * (s.powi(4) / 24.0 - l * s.powi(3) / 12.0);
        self.w[e]
            + self.slope_at_start(e) * s
            + self.curvature * s * s / 2.0
            + bending / self.stiffness
    }

    /// Deflection at a place, mm upward.
    pub(crate) fn deflection(&self, x: f64) -> f64 {
        let (e, s) = self.stretch(x);
        self.deflection_in(e, s)
    }

    /// Places in a stretch where the slope is zero, its ends too.
    fn still_places(&self, e: usize) -> Vec<f64> {
        let l = self.x[e + 1] - self.x[e];
        // w'' is a quadratic in s: its roots split the slope into monotone pieces.
        let (a, b, q) = (self.moment[e][1], self.moment[e + 1][0], self.load[e]);
        let c2 = q / 2.0;
        let c1 = (b - a) / l - q * l / 2.0;
        let c0 = a + self.stiffness * self.curvature;
        let mut cuts = vec![0.0];
        let mut bends = quadratic_roots(c2, c1, c0);
        bends.retain(|s| *s > 0.0 && *s < l);
        bends.sort_by(f64::total_cmp);
        cuts.append(&mut bends);
        cuts.push(l);
        let mut places = vec![0.0, l];
        for pair in cuts.windows(2) {
            let (mut low, mut high) = (pair[0], pair[1]);
            let (start, end) = (self.slope_in(e, low), self.slope_in(e, high));
            if start * end > 0.0 {
                continue;
            }
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if self.slope_in(e, middle) * start > 0.0 {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            places.push(0.5 * (low + high));
        }
        places
    }

    /// Maximum size of the deflection: place and signed value.
    pub(crate) fn max_deflection(&self) -> (f64, f64) {
        let mut best = (self.x[0], 0.0_f64);
        for e in 0..self.x.len() - 1 {
            for s in self.still_places(e) {
                let w = self.deflection_in(e, s);
                if w.abs() > best.1.abs() {
                    best = (self.x[e] + s, w);
                }
            }
        }
        best
    }

    /// Maximum size of the moment: place and signed value.
    pub(crate) fn max_moment(&self) -> (f64, f64) {
        let mut best = (self.x[0], 0.0_f64);
        for e in 0..self.x.len() - 1 {
            let l = self.x[e + 1] - self.x[e];
            let (a, b, q) = (self.moment[e][1], self.moment[e + 1][0], self.load[e]);
            let mut places = vec![0.0, l];
            if q != 0.0 {
                let turning = l / 2.0 - (b - a) / (l * q);
                if turning > 0.0 && turning < l {
                    places.push(turning);
                }
            }
            for s in places {
                let moment = self.moment_in(e, s);
                if moment.abs() > best.1.abs() {
                    best = (self.x[e] + s, moment);
                }
            }
        }
        best
    }

    /// Energy stored in bending, `1/2 Integral M^2 / E I dx`, N mm.
    pub(crate) fn energy(&self) -> f64 {
        let gauss = [
            (-0.774_596_669_241_483_4, 5.0 / 9.0),
            (0.0, 8.0 / 9.0),
            (0.774_596_669_241_483_4, 5.0 / 9.0),
        ];
        let mut sum = 0.0;
        for e in 0..self.x.len() - 1 {
            let l = self.x[e + 1] - self.x[e];
            for (u, weight) in gauss {
                sum += weight * l / 2.0 * self.moment_in(e, l * (1.0 + u) / 2.0).powi(2);
            }
        }
        sum / (2.0 * self.stiffness)
    }
}

fn quadratic_roots(c2: f64, c1: f64, c0: f64) -> Vec<f64> {
    let inside = c1 * c1 - 4.0 * c2 * c0;
    if inside < 0.0 {
        return Vec::new();
    }
    let q = -0.5 * (c1 + inside.sqrt().copysign(c1));
    let mut roots = Vec::with_capacity(2);
    if q != 0.0 {
        roots.push(c0 / q);
    }
    if c2 != 0.0 {
        roots.push(q / c2);
    }
    roots.retain(|root| root.is_finite());
    roots
}
