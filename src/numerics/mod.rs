//! Plain `f64` kernels that know no wood: tridiagonal and small dense
//! systems, a bracketed root, Legendre polynomials, interpolation, and the
//! best-fit slope of a quantity across a thickness.
//!
//! Nothing here allocates. Slices that belong together must have the lengths
//! told with each function.

mod dense;
mod interpolate;
mod legendre;
mod root;
mod slope;
mod tridiagonal;

pub use dense::solve_dense;
pub use interpolate::{interpolate, interpolate_periodic};
pub use legendre::{legendre_p2, legendre_p3};
pub use root::bracketed_root;
pub use slope::{best_fit_slope, best_fit_slope_of};
pub use tridiagonal::{solve_exchange, solve_tridiagonal};
