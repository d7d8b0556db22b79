//! Quantities with their units, the one table of allowed ranges, and shop
//! notation in and out.
//!
//! Lengths are kept in millimetres, moisture in percent of the oven-dry mass,
//! strains as ratios with swelling positive, curvature in 1/mm, stress in
//! MPa, temperature in degrees Celsius.

pub mod bounds;
pub mod notation;
mod quantity;
pub mod told;

pub use bounds::{Bounds, RangeError};
pub use quantity::{
    Angle, Curvature, Duration, Force, Length, LineLoad, Mass, MoistureContent, RelativeHumidity,
    Strain, Stress, Temperature,
};

/// Which way lengths are shown first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum UnitSystem {
    /// Inches in fractions of 1/64, feet where long, Fahrenheit.
    Inch,
    /// Millimetres, Celsius.
    #[default]
    Metric,
}
