//! Moisture through the thickness at one moment, as a parabola.

use crate::units::{Length, MoistureContent};

/// Moisture through a thickness: `a + b u + c u^2`, percent, with `u` from -1
/// at the lower (heart-side) face to 1 at the upper (bark-side) face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Profile {
    constant: f64,
    linear: f64,
    quadratic: f64,
}

impl Profile {
    /// The same moisture everywhere.
    #[must_use]
    pub const fn uniform(moisture: MoistureContent) -> Self {
        Self {
            constant: moisture.percent(),
            linear: 0.0,
            quadratic: 0.0,
        }
    }

    /// A core wetter than the shell by `core_minus_shell`: a parabola with its top in
    /// the middle and the given mean. A negative difference is a wetter shell.
    #[must_use]
    pub const fn parabola(mean: MoistureContent, core_minus_shell: MoistureContent) -> Self {
        let drop = core_minus_shell.percent();
        Self {
            constant: mean.percent() + drop / 3.0,
            linear: 0.0,
            quadratic: -drop,
        }
    }

    /// The part of this profile from `lower` to `upper`, both measured up from the
    /// lower face of a board `thickness` thick: what a leaf sawn out of it holds.
    #[must_use]
    pub fn part(&self, thickness: Length, lower: Length, upper: Length) -> Self {
        let place = |z: Length| 2.0 * z.mm() / thickness.mm() - 1.0;
        let (low, high) = (place(lower), place(upper));
        let (middle, half) = ((low + high) / 2.0, (high - low) / 2.0);
        Self {
            constant: self.constant + middle * (self.linear + middle * self.quadratic),
            linear: half * (self.linear + 2.0 * middle * self.quadratic),
            quadratic: half * half * self.quadratic,
        }
    }

    /// Mean through the thickness.
    #[must_use]
    pub fn mean(&self) -> MoistureContent {
        MoistureContent::computed_percent(self.constant + self.quadratic / 3.0)
    }

    /// Moisture at `u`, percent.
    #[must_use]
    pub fn percent_at(&self, u: f64) -> f64 {
        self.constant + u * (self.linear + u * self.quadratic)
    }

    /// Mean between two places, percent.
    pub(super) fn mean_between(&self, u1: f64, u2: f64) -> f64 {
        self.constant
            + self.linear * (u1 + u2) / 2.0
            + self.quadratic * (u1 * u1 + u1 * u2 + u2 * u2) / 3.0
    }
}
