//! One operator for bow and cup: the slope of strain across the thickness.
//!
//! Where the freed layers of a piece from `z1` to `z2` (thickness `h`, middle
//! `zm`) want the strain `e(z)`, the piece takes the mean strain and the
//! curvature `kappa = (12/h^3) Integral e(z) (z - zm) dz`, the best-fit slope
//! (minimum elastic energy of a beam of even stiffness, free to bend).
//! `kappa > 0`: the upper layers want to be longer, the lower face turns hollow.

use crate::numerics::{best_fit_slope, best_fit_slope_of};
use crate::units::{Curvature, Length, Strain, Stress};

/// Curvature of a freed piece whose layers from `from` to `to` want the strain `strain(z)`, `z` in
/// millimetres. Exact for polynomials up to the degree the quadrature carries, which includes the
/// Legendre profiles of locked-in strain.
#[must_use]
pub fn curvature_of_strain(from: Length, to: Length, strain: impl Fn(f64) -> f64) -> Curvature {
    Curvature::computed_per_mm(best_fit_slope_of(strain, from.mm(), to.mm()))
}

/// Curvature of a freed piece in layers: `edges_mm` has one entry more than `strains`, both from the
/// lower face up. Exact for strains that are constant in each layer.
///
/// # Panics
/// When the lengths do not belong together.
#[must_use]
pub fn curvature_of_layers(edges_mm: &[f64], strains: &[f64]) -> Curvature {
    Curvature::computed_per_mm(best_fit_slope(edges_mm, strains))
}

/// Curvature from a moisture slope across the thickness: `kappa = C x slope`, with `C` the strain per
/// 1 % moisture in the direction that bends (across the face for cup, along the grain for bow) and the
/// slope in percent per millimetre, positive when the upper face is moister.
#[must_use]
pub fn curvature_of_moisture_slope(
    strain_per_percent: f64,
    slope_percent_per_mm: f64,
) -> Curvature {
    Curvature::computed_per_mm(strain_per_percent * slope_percent_per_mm)
}

/// Slope of the parabola that a core wetter than the shell by `core_minus_shell_percent` makes over a
/// slice `from..to` of a board `board` thick, heights from its lower face:
/// `M(z) = M_core - dM u^2`, `u = (2 z - H)/H`, whose best-fit slope over the slice is its slope at the
/// middle of the slice. Percent per millimetre.
#[must_use]
pub fn parabola_slope_percent_per_mm(
    board: Length,
    from: Length,
    to: Length,
    core_minus_shell_percent: f64,
) -> f64 {
    let middle = (from.mm() + to.mm() - board.mm()) / board.mm();
    -4.0 * core_minus_shell_percent * middle / board.mm()
}

/// One layer of a two-layer piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Thickness of the layer.
    pub thickness: Length,
    /// Its stiffness in the direction that bends.
    pub modulus: Stress,
}

/// Share of the curvature that one layer would take alone which it keeps glued to another that wants none: its stiffness over that of the pair,
/// `E_A t_A^3 / (E_A t_A^3 + E_B t_B^3 + 3 h^2 E_A t_A E_B t_B / (E_A t_A + E_B t_B))`, `h = t_A + t_B` (derived: parallel axes).
#[must_use]
pub fn share_of_own_curvature(own: Layer, other: Layer) -> f64 {
    let bends = |layer: Layer| layer.modulus.mpa() * layer.thickness.mm().powi(3);
    let stretches = |layer: Layer| layer.modulus.mpa() * layer.thickness.mm();
    let (a, b) = (stretches(own), stretches(other));
    let h = own.thickness.mm() + other.thickness.mm();
    bends(own) / (bends(own) + bends(other) + 3.0 * h * h * a * b / (a + b))
}

/// Curvature of two layers glued face to face and free to bend, where the upper wants to be longer than
/// the lower by `upper_minus_lower`: Timoshenko,
/// `kappa = 6 de (1+m)^2 / ( h (3(1+m)^2 + (1+mn)(m^2 + 1/(mn))) )`, `m = t_A/t_B`, `n = E_A/E_B`,
/// `h = t_A + t_B` (S. Timoshenko, "Analysis of Bi-Metal Thermostats", 1925).
#[must_use]
pub fn two_layer_curvature(upper: Layer, lower: Layer, upper_minus_lower: Strain) -> Curvature {
    let m = upper.thickness.mm() / lower.thickness.mm();
    let n = upper.modulus.mpa() / lower.modulus.mpa();
    let h = upper.thickness.mm() + lower.thickness.mm();
    let both = (1.0 + m) * (1.0 + m);
    Curvature::computed_per_mm(
        6.0 * upper_minus_lower.ratio() * both
            / (h * (3.0 * both + (1.0 + m * n) * (m * m + 1.0 / (m * n)))),
    )
}
