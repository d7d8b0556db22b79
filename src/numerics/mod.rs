//! Plain `f64` kernels that know no wood: tridiagonal, banded and dense
//! systems, contacts that only push, a spline, a bracketed root, Legendre polynomials, interpolation, and the
//! best-fit slope of a quantity across a thickness.
//!
//! The room answers sums, and needs only numbers. Where its methods come from: elimination with
//! partial pivoting; C. Ridders (*IEEE Transactions on Circuits and Systems* 26, 1979; from memory) for the
//! root; Gauss-Legendre quadrature (Abramowitz and Stegun, Table 25.4; from memory). What is exact is
//! tested as exact, the rest by its order of convergence.
//!
//! Nothing here allocates but a Cholesky factor, the spline and the contacts. Slices that belong together must have the lengths
//! given with each function.

mod banded;
mod cholesky;
mod complementarity;
mod dense;
mod interpolate;
mod legendre;
mod lu;
mod root;
mod slope;
mod spline;
mod tridiagonal;

pub use banded::solve_banded;
pub use cholesky::Cholesky;
pub use complementarity::solve_complementarity;
pub use dense::solve_dense;
pub use interpolate::{interpolate, interpolate_periodic};
pub use legendre::{legendre_p2, legendre_p3};
pub use lu::{factor_lu, solve_lu};
pub use root::bracketed_root;
pub use slope::{best_fit_slope, best_fit_slope_of};
pub use spline::{spline_at, spline_bends};
pub use tridiagonal::{solve_exchange, solve_tridiagonal};
