//! A bowed panel as a beam.

use super::beam::Beam;
use crate::units::{Bounds, Curvature, Length, Refusal, Stress};

/// A panel with the bow it has when nothing holds it.
///
/// The bow is the rise of its arc over its whole length, positive when the
/// crown (the hollow's back) is up. The arc is a circle's, so the panel wants
/// the curvature `8 d / L^2` everywhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BowedPanel {
    length: Length,
    width: Length,
    thickness: Length,
    modulus: Stress,
    bow: Length,
}

impl BowedPanel {
    /// A panel of this length, width and thickness, stiffness along its length, and bow.
    ///
    /// # Errors
    /// [`Refusal`] when a size or the stiffness is outside its row of the table.
    pub fn new(
        length: Length,
        width: Length,
        thickness: Length,
        modulus: Stress,
        bow: Length,
    ) -> Result<Self, Refusal> {
        Bounds::MODULUS.check(modulus.mpa())?;
        Bounds::CURVATURE.check(8.0 * bow.mm() / length.mm().max(1.0).powi(2))?;
        Ok(Self {
            length: length.within(Bounds::BOARD_LENGTH)?,
            width: width.within(Bounds::WIDTH)?,
            thickness: thickness.within(Bounds::THICKNESS)?,
            modulus,
            bow,
        })
    }

    /// The panel's cup as the bow of a strip across it.
    ///
    /// `cup` is the rise over the width, `modulus_across` the stiffness across
    /// the grain, and `strip` the share of the panel's length that one line of
    /// fastenings must flatten: the spacing of the dividers. Bending along the
    /// grain and across it are taken one at a time.
    ///
    /// # Errors
    /// [`Refusal`] as in [`BowedPanel::new`].
    pub fn strip_across(
        self,
        cup: Length,
        modulus_across: Stress,
        strip: Length,
    ) -> Result<Self, Refusal> {
        Self::new(self.width, strip, self.thickness, modulus_across, cup)
    }

    /// The maximum length of the panel that one of its supports must flatten across: half
    /// the way to its neighbours, or to the panel's end.
    #[must_use]
    pub fn max_share(&self, supports: &[Length]) -> Length {
        let mut at: Vec<f64> = supports.iter().map(|place| place.mm()).collect();
        at.sort_by(f64::total_cmp);
        let mut edges = vec![0.0];
        edges.extend(at.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])));
        edges.push(self.length.mm());
        let share = |pair: &[f64]| pair[1] - pair[0];
        Length::from_mm_unchecked(edges.windows(2).map(share).fold(0.0, f64::max))
    }

    /// Size along the supports.
    #[must_use]
    pub fn length(&self) -> Length {
        self.length
    }

    /// Size from face to face.
    #[must_use]
    pub fn thickness(&self) -> Length {
        self.thickness
    }

    /// Rise over the whole length, positive with the crown up.
    #[must_use]
    pub fn bow(&self) -> Length {
        self.bow
    }

    /// `E b h^3 / 12`, N mm2.
    #[must_use]
    pub fn stiffness_n_mm2(&self) -> f64 {
        self.modulus.mpa() * self.width.mm() * self.thickness.mm().powi(3) / 12.0
    }

    /// The bend it wants, positive with the crown up.
    #[must_use]
    pub fn curvature(&self) -> Curvature {
        Curvature::of_rise(self.bow, self.length)
    }

    /// Stress at the faces from a moment: `|M| h / (2 I)`.
    pub(super) fn face_stress(&self, moment_n_mm: f64) -> Stress {
        let second_moment = self.width.mm() * self.thickness.mm().powi(3) / 12.0;
        Stress::computed_mpa(moment_n_mm.abs() * self.thickness.mm() / (2.0 * second_moment))
    }

    /// Face stress when held straight along the whole length: `E kappa h / 2`.
    #[must_use]
    pub fn stress_held_everywhere(&self) -> Stress {
        Stress::computed_mpa(
            self.modulus.mpa() * self.curvature().per_mm().abs() * self.thickness.mm() / 2.0,
        )
    }

    /// Its arc when free, laid on its own ends: height at `x`, upward.
    #[must_use]
    pub fn free_shape(&self, x: Length) -> Length {
        let share = x / self.length;
        self.bow * (4.0 * share * (1.0 - share))
    }

    pub(super) fn beam(&self, start: f64) -> Beam {
        Beam {
            start,
            length: self.length.mm(),
            stiffness: self.stiffness_n_mm2(),
            curvature: -self.curvature().per_mm(),
            point_loads: Vec::new(),
            line_loads: Vec::new(),
            turns: Vec::new(),
        }
    }
}
