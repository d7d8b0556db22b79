//! Quantities with their units, the one table of allowed ranges, and shop
//! notation in and out.
//!
//! The room answers what a number means (a type for each quantity, the unit in
//! every constructor and getter), whether it can be ([`bounds`], the one place
//! where a range is stated), how a maker writes it and reads it ([`notation`]),
//! and where a job file given it ([`spanned`]). It needs nothing.
//!
//! Where the numbers come from: the inch of 25.4 mm, the pound and standard
//! gravity are exact by agreement (see [`notation`]); the allowed ranges are
//! judgement: wide enough for anything made of wood, narrow enough to catch a
//! wrong unit.
//!
//! Lengths are kept in millimetres, moisture in percent of the oven-dry mass,
//! strains as ratios with swelling positive, curvature in 1/mm, stress in
//! MPa, temperature in degrees Celsius.

pub mod bounds;
pub mod notation;
mod quantity;
mod refusal;
mod region;
mod serial;
pub mod spanned;

pub use bounds::{Bounds, RangeError};
pub use quantity::{
    Angle, Chance, Curvature, Duration, Force, Length, LineLoad, Mass, MoistureContent,
    RelativeHumidity, STANDARD_GRAVITY, Share, Strain, Stress, Temperature,
};
pub(crate) use refusal::refusals;
pub use refusal::{Refusal, Refusals};

pub use region::Region;

/// Which way lengths are shown first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum UnitSystem {
    /// Inches in fractions of 1/64, feet where long, Fahrenheit.
    Inch,
    /// Millimetres, Celsius.
    #[default]
    Metric,
}
