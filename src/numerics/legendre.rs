//! The Legendre polynomials of a strain across a thickness, `u` from -1 to 1.

/// `P2(u) = (3 u^2 - 1)/2`: zero mean, zero slope, 1 at both faces.
#[must_use]
pub fn legendre_p2(u: f64) -> f64 {
    (3.0 * u * u - 1.0) / 2.0
}

/// `P3(u) = (5 u^3 - 3 u)/2`: zero mean, zero best-fit slope, 1 at `u` = 1 and -1 at `u` = -1.
#[must_use]
pub fn legendre_p3(u: f64) -> f64 {
    (5.0 * u * u - 3.0) * u / 2.0
}
