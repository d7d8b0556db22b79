//! How a glued corner gives, and what it holds.

use crate::carcass::hold::{FAILS_ABOVE, HOLDS_UP_TO};
use crate::chance::Verdict;
use crate::species::Species;

/// Strength of glued end grain against being pulled off, MPa: half of tension across the grain (judgement; end-grain butt
/// joints do badly, Wood Handbook ch. 10).
pub const END_GRAIN_MPA: f64 = 2.5;

/// Poisson's ratio of strain across a board's thickness to strain along its grain: near the middle of Wood Handbook
/// Table 5-2 (from memory).
const POISSON: f64 = 0.35;

/// How good a bond is: the share of a perfect joint's stiffness against turning. Nobody has measured it for a glued
/// housing (judgement), so that answers are always given from the lowest to the highest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BondQuality {
    /// A poor one.
    pub low: f64,
    /// The usual one.
    pub usual: f64,
    /// A perfect one.
    pub high: f64,
}

impl BondQuality {
    /// A tight glued housing.
    pub const GLUED: Self = Self {
        low: 0.15,
        usual: 0.5,
        high: 1.0,
    };
    /// Dowels, or screws with glue.
    pub const SCREWED: Self = Self {
        low: 0.1,
        usual: 0.25,
        high: 0.5,
    };
    /// A dry housing: its play lets it turn.
    pub const DRY: Self = Self {
        low: 0.0,
        usual: 0.0,
        high: 0.0,
    };

    /// A draw's quality over the usual one: `share` 0 is the poorest, a half the usual, 1 the best; 1 where the joint turns freely.
    #[must_use]
    pub fn over_usual(self, share: f64) -> f64 {
        if self.usual <= 0.0 {
            return 1.0;
        }
        let at = 2.0 * share;
        let quality = if at < 1.0 {
            self.low + at * (self.usual - self.low)
        } else {
            self.usual + (at - 1.0) * (self.high - self.usual)
        };
        quality / self.usual
    }

    /// A measured one.
    #[must_use]
    pub const fn measured(q: f64) -> Self {
        Self {
            low: q,
            usual: q,
            high: q,
        }
    }
}

/// Modulus with which the face of a board gives under the end of another, MPa: that of an orthotropic half plane.
///
/// `1/E* = sqrt(a11 a22/2) sqrt( sqrt(a22/a11) + (2 a12 + a66)/(2 a11) )`, `a11 = 1/E_L`, `a22 = 1/E_X`, `a12 = -nu/E_L`, `a66 = 1/G_LX`, X across the
/// thickness (from memory). It comes to 0.10-0.20 of `E_L`.
#[must_use]
pub fn face_modulus_mpa(along_mpa: f64, through_mpa: f64, shear_mpa: f64, poisson: f64) -> f64 {
    let (a11, a22) = (1.0 / along_mpa, 1.0 / through_mpa);
    let (a12, a66) = (-poisson / along_mpa, 1.0 / shear_mpa);
    let compliance =
        (a11 * a22 / 2.0).sqrt() * ((a22 / a11).sqrt() + (2.0 * a12 + a66) / (2.0 * a11)).sqrt();
    compliance.recip()
}

/// What the turning stiffness of a corner follows from, millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurningStiffness {
    /// Modulus of the face that is entered, MPa.
    pub face_modulus_mpa: f64,
    /// Size from front to back of the board that enters.
    pub width_mm: f64,
    /// Its thickness.
    pub thickness_mm: f64,
    /// Thickness of the board that is entered.
    pub into_thickness_mm: f64,
    /// Depth of the housing.
    pub depth_mm: f64,
    /// Whether it is entered near its end, as a corner, and not along its length.
    pub corner: bool,
}

impl TurningStiffness {
    /// `k = q c E* b t^2`, N mm a radian, with `c = 0.25 (1 + 1.8 d T/t^2)` along the length and `0.18 (1 + 1.4 d T/t^2)` at a
    /// corner: half-plane compliance, constants fitted to plane-stress finite elements of one joint (derived; on 80 fresh
    /// joints -21 / +37 %, rms 13 %).
    #[must_use]
    pub fn n_mm_per_radian(&self, q: f64) -> f64 {
        let t = self.thickness_mm;
        let housed = self.depth_mm * self.into_thickness_mm / (t * t);
        let c = if self.corner {
            0.18 * (1.0 + 1.4 * housed)
        } else {
            0.25 * (1.0 + 1.8 * housed)
        };
        q * c * self.face_modulus_mpa * self.width_mm * t * t
    }
}

impl TurningStiffness {
    /// The modulus of a flat-sawn board's face, from its species.
    #[must_use]
    pub fn face_of(species: &Species, along_mpa: f64) -> f64 {
        let share = along_mpa / species.modulus_mpa().value;
        face_modulus_mpa(
            along_mpa,
            species.modulus_radial_mpa().value * share,
            species.shear_modulus_lr_mpa().value * share,
            POISSON,
        )
    }
}

/// What a glued end is asked to hold, and what it holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointCheck {
    /// Pull on the end face against [`END_GRAIN_MPA`]: `(N + 6 |M|/t)/(b t) / f`.
    pub pull_share: f64,
    /// Shear on the shoulder of the housing against compression across the grain: `V/(b d) / f`.
    pub shoulder_share: f64,
    /// The worse of the two against a third for good.
    pub verdict: Verdict,
}

impl JointCheck {
    /// Checks the end of a board `width_mm` by `thickness_mm`, housed `depth_mm` deep: pull (negative presses), shear and moment.
    #[must_use]
    pub fn of(
        pull_n: f64,
        shear_n: f64,
        moment_n_mm: f64,
        [width_mm, thickness_mm, depth_mm]: [f64; 3],
        end_grain_mpa: f64,
        compression_across_mpa: f64,
    ) -> Self {
        let area = width_mm * thickness_mm;
        let pull = (pull_n + 6.0 * moment_n_mm.abs() / thickness_mm) / area / end_grain_mpa;
        let pull_share = pull.max(0.0);
        let shoulder_share = if depth_mm > 0.0 {
            shear_n.abs() / (width_mm * depth_mm) / compression_across_mpa
        } else {
            0.0
        };
        Self {
            pull_share,
            shoulder_share,
            verdict: Verdict::of_demand(pull_share.max(shoulder_share), HOLDS_UP_TO, FAILS_ABOVE),
        }
    }

    /// The worse of the two shares.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.pull_share.max(self.shoulder_share)
    }
}
