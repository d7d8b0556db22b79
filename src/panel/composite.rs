//! The panel as one beam: composite bow, force factor, twist, seams, and the
//! forces to close and to hold.
//!
//! Edge-glued strips of one thickness line that are released together bend to
//! the curvature at which their moments cancel:
//! `kappa = sum(E w h^3 s kappa_i) / sum(E w h^3)`, `s` = +1 or -1 as the leaf lies.
//! The same weights with `G` for `E` carry the twist, where no turning changes the
//! hand of a leaf.

use crate::units::{Curvature, Force, Length};

/// One leaf as a beam laid in the panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// `E w h^3`, N mm2.
    pub bending_weight: f64,
    /// Curvature as laid, positive when the upper face is hollow.
    pub curvature: Curvature,
}

/// Curvature of the strips glued edge to edge and released, positive when the upper face is
/// hollow. Straight when nothing has any stiffness.
#[must_use]
pub fn composite_curvature(strips: &[Strip]) -> Curvature {
    let (moment, weight) = moment_and_weight(strips);
    Curvature::computed_per_mm(if weight > 0.0 { moment / weight } else { 0.0 })
}

/// `|sum(E w h^3 s kappa)| / max(E w h^3 |kappa|)`: how many times the force that the stiffest-bowed
/// leaf alone needs is needed to hold the panel flat. 0 when no leaf is bowed.
#[must_use]
pub fn force_factor(strips: &[Strip]) -> f64 {
    let (moment, _) = moment_and_weight(strips);
    let max = strips
        .iter()
        .map(|strip| strip.bending_weight * strip.curvature.per_mm().abs())
        .fold(0.0, f64::max);
    if max > 0.0 { moment.abs() / max } else { 0.0 }
}

/// Bows add when the panel needs more force than its worst leaf alone. The allowance keeps
/// round-off in a panel of one leaf from counting.
#[must_use]
pub fn adds_bows(force_factor: f64) -> bool {
    force_factor > 1.0 + 1e-6
}

fn moment_and_weight(strips: &[Strip]) -> (f64, f64) {
    strips.iter().fold((0.0, 0.0), |(moment, weight), strip| {
        (
            moment + strip.bending_weight * strip.curvature.per_mm(),
            weight + strip.bending_weight,
        )
    })
}

/// Lift of one corner of the panel while three rest:
/// `L W sum(G w h^3 tau) / sum(G w h^3)`; `leaves` gives `(G w h^3, tau)` of each, tau in 1/mm.
#[must_use]
pub fn panel_twist(leaves: &[(f64, f64)], length: Length, width: Length) -> Length {
    let (sum, weight) = leaves
        .iter()
        .fold((0.0, 0.0), |(sum, all), &(w, tau)| (sum + w * tau, all + w));
    let tau = if weight > 0.0 { sum / weight } else { 0.0 };
    Length::from_mm_unchecked(tau * length.mm() * width.mm())
}

/// Force at the middle that presses a bowed strip straight against its two ends, each of which
/// takes half of it back: `48 E I d / L^3 = 6 E I kappa / L`, `I = w h^3 / 12`.
///
/// It leaves a residual bow of 2/27 of the bow at a sixth of the length from either end.
#[must_use]
pub fn force_to_hold_straight(bending_weight: f64, curvature: Curvature, length: Length) -> Force {
    Force::computed_newtons(6.0 * bending_weight / 12.0 * curvature.per_mm().abs() / length.mm())
}

/// Force of one caul at the middle of a seam, its ends held together, that brings two strips to one
/// line: each bends toward the other, `F = 48 D / (L^3 (1/EI_1 + 1/EI_2))`, `D` the gap between their bows.
#[must_use]
pub fn force_to_close_seam(one: Strip, other: Strip, length: Length) -> Force {
    let (first, second) = (one.bending_weight / 12.0, other.bending_weight / 12.0);
    if first <= 0.0 || second <= 0.0 {
        return Force::ZERO;
    }
    let gap = (one.curvature - other.curvature)
        .rise_over(length)
        .mm()
        .abs();
    Force::computed_newtons(48.0 * gap / (length.mm().powi(3) * (1.0 / first + 1.0 / second)))
}
