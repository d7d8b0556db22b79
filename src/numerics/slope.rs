//! The best-fit slope of a quantity across a thickness: the straight line
//! nearest to `v(z)` in least squares rises by
//! `(12/h^3) * integral of v(z) (z - zm) dz` per unit of `z`,
//! with `h = z2 - z1` and `zm` the middle.

/// Positive nodes and weights of the Gauss-Legendre rule of ten points, exact
/// to degree 19 (Abramowitz and Stegun, Table 25.4; from memory, tested on
/// polynomials).
const GAUSS: [(f64, f64); 5] = [
    (0.148_874_338_981_631_2, 0.295_524_224_714_752_9),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_3),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_1),
];

/// Best-fit slope of a quantity given by its mean in each cell.
///
/// `edges` ascends and holds one number more than `cell_values`.
///
/// # Panics
/// When the lengths do not belong together.
#[must_use]
pub fn best_fit_slope(edges: &[f64], cell_values: &[f64]) -> f64 {
    assert_eq!(
        edges.len(),
        cell_values.len() + 1,
        "cells have one edge more than values"
    );
    let (first, last) = (edges[0], edges[edges.len() - 1]);
    let (height, middle) = (last - first, (first + last) / 2.0);
    let moment: f64 = edges
        .windows(2)
        .zip(cell_values)
        .map(|(edge, value)| value * (edge[1] - edge[0]) * ((edge[0] + edge[1]) / 2.0 - middle))
        .sum();
    12.0 * moment / (height * height * height)
}

/// Best-fit slope of `f` from `z1` to `z2` by Gauss quadrature of ten points:
/// exact for polynomials to degree 18.
#[must_use]
pub fn best_fit_slope_of(f: impl Fn(f64) -> f64, z1: f64, z2: f64) -> f64 {
    let (half, middle) = ((z2 - z1) / 2.0, (z1 + z2) / 2.0);
    let sum: f64 = GAUSS
        .iter()
        .map(|&(u, weight)| weight * u * (f(middle + half * u) - f(middle - half * u)))
        .sum();
    1.5 * sum / half
}
