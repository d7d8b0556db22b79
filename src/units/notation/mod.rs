//! Shop notation in and out: `1 3/8"`, `8' 6 1/2"`, `8/4`, `22 mm`, `9.5%`.
//!
//! One parser per quantity reads text as a maker writes it and refuses what
//! could be read in two ways: `1,250 mm` is 1.25 mm to one reader and 1250 mm
//! to the next, and a length without a unit is anyone's guess. The ranges come
//! from [`Bounds`](super::Bounds) alone.
//!
//! An inch is 25.4 mm exactly and a pound 0.45359237 kg exactly (international
//! yard and pound agreement, 1959); standard gravity is 9.80665 m/s2 (3rd
//! General Conference on Weights and Measures, 1901).

mod air;
mod bare;
mod choice;
mod cursor;
mod date;
mod error;
mod length;
mod list;
mod load;
mod print;
mod read;
mod scale;
mod visible;

pub use air::{humidity, moisture, percent, temperature};
pub use bare::length_in;
pub use choice::{MOST_LISTED, Names, listed, nearest, one_of};
pub(crate) use date::month_of;
pub use date::{DayOrder, MONTHS, date};
pub use error::{NotationError, shortened};
pub use length::{length, rough_thickness};
pub use list::{lengths, ring_angles};
pub use load::{force, line_load, stress};
pub use print::{
    force_shown, inches, line_load_shown, mass_shown, millimetres, percent_shown, setting_inches,
    shown, stress_shown, temperature_shown, the,
};
pub use read::{
    Diffusivity, Flag, Lengths, LockedIn, Number, Percent, RingAngles, RoughThickness, Whole,
};
pub use scale::{angle, diffusivity, duration, mass, number, strain_microstrain, whole};
pub use visible::{visible, visible_json};
