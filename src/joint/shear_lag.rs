//! Shear-lag: how much of a wanted difference of strain a glued line holds back.
//!
//! Both plies are held flat. Ply A wants the strain `de` more than ply B along a glued line of
//! length `W`. With `c = t_A/(3 G_A) + t_B/(3 G_B) + glue` and
//! `lambda^2 = (1/c) (1/(E_A t_A) + 1/(E_B t_B))` the strain held back at the middle of ply A is
//! `de (1 - 1/cosh(lambda W/2)) E_B t_B/(E_A t_A + E_B t_B)` and the shear at the ends
//! `N_inf lambda tanh(lambda W/2)` (derived). Plane finite elements hold 7-12 % less at 75 mm for
//! 19 mm oak on 19 mm maple and as much more for a 28 mm board of soft pine, and agree within
//! 2.5 % from 150 mm on (the figures are in the tests). Free to bend instead of held flat, the
//! middle holds about half as much, and the pair cups.

use super::bond::SHEAR_MEAN_MM;
use super::part::Axis;
use crate::movement::Section;
use crate::species::Species;
use crate::units::{Length, Strain, Stress};

/// One of the two parts of a bond, in the directions that count along the glued line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ply {
    /// Square to the glue.
    pub thickness: Length,
    /// Stiffness along the glued line.
    pub modulus: Stress,
    /// Shear stiffness in the plane of the line and the thickness: rolling shear for the part glued across its grain.
    pub shear_modulus: Stress,
}

impl Ply {
    /// A part's ply in a bond whose line runs along `axis`, from the values of its wood at 12 % moisture; `thickness` is its
    /// extent along `square`, the axis square to the glue. Across the grain the stiffness is the mean over the section,
    /// since the rings turn from the middle to the edges.
    ///
    /// Shear in a plane that holds the grain is that of the wood along the grain (`G_LT`); only glue on a broad face
    /// across the grain rolls it (`G_RT`).
    #[must_use]
    pub fn of(
        wood: &Species,
        axis: Axis,
        square: Axis,
        section: &Section,
        thickness: Length,
    ) -> Self {
        let mpa = Stress::computed_mpa;
        let rolling = mpa(wood.shear_modulus_rt_mpa().value);
        let across = |angle: f64| {
            modulus_across(
                mpa(wood.modulus_across_mpa().value),
                mpa(wood.modulus_radial_mpa().value),
                rolling,
                angle,
            )
            .mpa()
        };
        let modulus = match axis {
            Axis::Length => mpa(wood.modulus_mpa().value),
            Axis::Width => mpa(mean_over(section, across)),
            Axis::Thickness => mpa(mean_over(section, |angle| across(90.0 - angle))),
        };
        let shear_modulus = if axis == Axis::Length || square == Axis::Length {
            mpa(wood.shear_modulus_lt_mpa().value)
        } else {
            rolling
        };
        Self {
            thickness,
            modulus,
            shear_modulus,
        }
    }

    /// The rules that stand in for figures the wood's tables do not have, in words for a maker.
    #[must_use]
    pub fn rules_used(wood: &Species, axis: Axis) -> Vec<&'static str> {
        let values = match axis {
            Axis::Length => vec![wood.modulus_mpa(), wood.shear_modulus_lt_mpa()],
            Axis::Width | Axis::Thickness => vec![
                wood.modulus_across_mpa(),
                wood.modulus_radial_mpa(),
                wood.shear_modulus_rt_mpa(),
                wood.shear_strength_mpa(),
                wood.tension_across_mpa(),
            ],
        };
        values.into_iter().filter_map(|value| value.rule).collect()
    }
}

/// The mean over a section of what depends on the rings' angle to its face, in degrees: a grid of 9 x 3 places.
pub(super) fn mean_over(section: &Section, of_angle: impl Fn(f64) -> f64) -> f64 {
    const ACROSS: usize = 9;
    const THROUGH: usize = 3;
    let (width, thickness) = (section.width.mm(), section.thickness.mm());
    let place = |index: usize, count: usize| (index as f64 + 0.5) / count as f64;
    let sum: f64 = (0..ACROSS * THROUGH)
        .map(|at| {
            let x = (place(at % ACROSS, ACROSS) - 0.5) * width;
            let z = place(at / ACROSS, THROUGH) * thickness;
            of_angle(section.rings.angle_at(x, z).degrees())
        })
        .sum();
    sum / (ACROSS * THROUGH) as f64
}

/// The shear-lag solution of a pair of plies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShearLag {
    lambda_per_mm: f64,
    share_b: f64,
    force_per_strain: f64,
    /// Stiffness along the line of either ply, N/mm.
    stiff: [f64; 2],
    /// What either ply yields in shear, mm/MPa, and the glue.
    yielding: [f64; 3],
}

impl ShearLag {
    /// Ply A, ply B, and the compliance of the glue itself in mm/MPa (0 for a thin hard line).
    #[must_use]
    pub fn new(a: Ply, b: Ply, glue_mm_per_mpa: f64) -> Self {
        let stiff = |ply: Ply| ply.modulus.mpa() * ply.thickness.mm();
        let yielding = |ply: Ply| ply.thickness.mm() / (3.0 * ply.shear_modulus.mpa());
        Self::of(
            [stiff(a), stiff(b)],
            [yielding(a), yielding(b), glue_mm_per_mpa],
        )
    }

    fn of(stiff: [f64; 2], yielding: [f64; 3]) -> Self {
        let [a, b] = stiff;
        let compliance: f64 = yielding.iter().sum();
        Self {
            lambda_per_mm: ((1.0 / a + 1.0 / b) / compliance).sqrt(),
            share_b: b / (a + b),
            force_per_strain: 1.0 / (1.0 / a + 1.0 / b),
            stiff,
            yielding,
        }
    }

    /// The same pair with every stiffness of ply A and of ply B multiplied by a factor: other boards of the same woods.
    #[must_use]
    pub fn stiffer(&self, [a, b]: [f64; 2]) -> Self {
        let [stiff_a, stiff_b] = self.stiff;
        let [yields_a, yields_b, glue] = self.yielding;
        Self::of(
            [a * stiff_a, b * stiff_b],
            [yields_a / a, yields_b / b, glue],
        )
    }

    /// The same pair where `times` as much of ply A, side by side, moves with the glued band of it: its stiffness along the
    /// line grows, what yields in shear under the glue does not.
    #[must_use]
    pub fn with_more_of_a(&self, times: f64) -> Self {
        let [stiff_a, stiff_b] = self.stiff;
        Self::of([times * stiff_a, stiff_b], self.yielding)
    }

    /// Share of the wanted difference that is held back at the middle of ply A, before relaxation: 0 for no width, never over 1.
    #[must_use]
    pub fn held_fraction(&self, width: Length) -> f64 {
        (1.0 - 1.0 / libm::cosh(self.lambda_per_mm * width.mm() / 2.0)) * self.share_b
    }

    /// The same share for ply B, which is held the other way.
    #[must_use]
    pub fn held_fraction_b(&self, width: Length) -> f64 {
        (1.0 - 1.0 / libm::cosh(self.lambda_per_mm * width.mm() / 2.0)) * (1.0 - self.share_b)
    }

    /// Shear at the ends of the glued line for a wanted difference, before relaxation.
    #[must_use]
    pub fn end_shear(&self, width: Length, difference: Strain) -> Stress {
        let x = self.lambda_per_mm * width.mm() / 2.0;
        Stress::computed_mpa(
            self.force_per_strain * difference.ratio().abs() * self.lambda_per_mm * libm::tanh(x),
        )
    }

    /// The same shear as a mean over [`SHEAR_MEAN_MM`] at each end, or over half of a shorter line: the force that has
    /// gone over by then, `N_inf (1 - cosh(lambda (W/2 - d))/cosh(lambda W/2))`, over `d`.
    #[must_use]
    pub fn end_shear_mean(&self, width: Length, difference: Strain) -> Stress {
        let half = width.mm() / 2.0;
        let over = SHEAR_MEAN_MM.min(half);
        if over <= 0.0 {
            return Stress::ZERO;
        }
        let lambda = self.lambda_per_mm;
        // cosh(lambda (half - over))/cosh(lambda half), written so that it does not overflow
        let decay = |x: f64| libm::exp(-lambda * x);
        let inside = decay(over) * (1.0 + decay(2.0 * (half - over))) / (1.0 + decay(2.0 * half));
        Stress::computed_mpa(
            self.force_per_strain * difference.ratio().abs() * (1.0 - inside) / over,
        )
    }
}

/// Stiffness across the grain for rings at an angle to the line: tangential at 0, radial at 90 degrees, softest between.
///
/// `1/E = c^4/E_T + s^4/E_R + c^2 s^2 (1/G_RT - 2 nu/E_T)` (rotation of the plane
/// compliance; `nu` = 0.35, the usual size of nu_TR in Wood Handbook Table 5-2, from memory).
#[must_use]
pub fn modulus_across(
    tangential: Stress,
    radial: Stress,
    rolling_shear: Stress,
    ring_angle_degrees: f64,
) -> Stress {
    const NU_TR: f64 = 0.35;
    let (s, c) = libm::sincos(ring_angle_degrees.to_radians());
    let (s2, c2) = (s * s, c * c);
    let compliance = c2 * c2 / tangential.mpa()
        + s2 * s2 / radial.mpa()
        + c2 * s2 * (1.0 / rolling_shear.mpa() - 2.0 * NU_TR / tangential.mpa());
    Stress::computed_mpa(1.0 / compliance.max(1.0 / radial.mpa().max(tangential.mpa())))
}
