//! Plain kernels that know no wood: systems of equations whose rows are tridiagonal, banded, short
//! or dense, contacts that only push, a spline, a bracketed root, Legendre polynomials, interpolation, the
//! best-fit slope of a quantity across a thickness, the extremes of many values, and for pictures the blur of a grid of
//! numbers, the transform of a small square, a plane seen by a camera and principal axes.
//!
//! The room answers sums, and needs only numbers. Where its methods come from: elimination with
//! partial pivoting; C. Ridders (*IEEE Transactions on Circuits and Systems* 26, 1979; from memory) for the
//! root; Gauss-Legendre quadrature (Abramowitz and Stegun, Table 25.4; from memory). What is exact is
//! tested as exact, the rest by its order of convergence.
//!
//! What most of a forecast's time goes into is compiled twice, also for processors with vectors of 256 bits (`multiversion`), without
//! a fused product and sum: the same numbers to the bit.
//!
//! Only the kernels for pictures, [`Rows`], a Cholesky factor, the spline and the contacts allocate. Slices that belong together must have the lengths
//! given with each function.

/// Added to a number below 2^51 it leaves the whole number nearest to it in the last bits of the sum, and that number itself once it is
/// taken off again: 1.5 times 2^52, with which a double has no digits left for parts.
pub const TO_WHOLE: f64 = 6_755_399_441_055_744.0;

mod add;
mod banded;
mod cholesky;
mod complementarity;
mod deadline;
mod eigen;
mod ends;
mod fourier;
mod frontal;
mod homography;
mod interpolate;
mod legendre;
mod lu;
mod raster;
mod root;
mod slope;
mod spline;
mod tridiagonal;

pub use add::add_times;
pub use banded::solve_banded;
pub use cholesky::Cholesky;
pub use complementarity::solve_complementarity;
pub use deadline::{Deadline, Stopped};
pub use eigen::symmetric_eigen;
pub use ends::ends;
pub use fourier::SquareTransform;
pub use frontal::Rows;
pub use homography::Homography;
pub use interpolate::interpolate;
pub use legendre::{legendre_p2, legendre_p3};
pub use lu::{factor_lu, solve_lu};
pub use raster::Raster;
pub use root::bracketed_root;
pub use slope::{best_fit_slope, best_fit_slope_of};
pub use spline::{spline_at, spline_bends};
pub use tridiagonal::{solve_exchange, solve_exchange_again, solve_tridiagonal};
