//! Air: what it holds of water, what wood comes to in it, and how it runs
//! through a year.

mod equilibrium;
pub mod indoor;
pub mod places;
mod psychrometrics;
mod smooth;
mod state;
mod year;

pub use equilibrium::{equilibrium_moisture, equilibrium_percent, equilibrium_slope, humidity_for};
pub use psychrometrics::{
    STANDARD_PRESSURE_PA, dew_point, humidity_ratio, saturation_pressure_pa,
    saturation_pressure_pa_at, saturation_temperature, vapour_pressure_pa,
};
pub use state::AirState;
pub use year::{AirYear, DAYS_IN_YEAR, Hemisphere, MONTH_DAYS, YearError};
