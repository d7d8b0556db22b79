//! Air: what it holds of water, what wood comes to in it, and how it runs
//! through a year.

mod dropped;
pub mod epw;
mod equilibrium;
pub mod indoor;
pub mod logger;
pub mod places;
mod psychrometrics;
mod record;
mod smooth;
mod state;
pub mod weather_file;
mod year;

pub use dropped::{DropReason, Dropped};
pub use equilibrium::{equilibrium_moisture, equilibrium_percent, equilibrium_slope, humidity_for};
pub use psychrometrics::{
    STANDARD_PRESSURE_PA, dew_point, humidity_ratio, saturation_pressure_pa,
    saturation_pressure_pa_at, saturation_temperature, vapour_pressure_pa,
};
pub use record::{AirRecord, AirSeries, Gap, MonthOfAir, RecordError, RecordedYear};
pub use state::AirState;
pub use year::{AirYear, DAYS_IN_YEAR, Hemisphere, MONTH_DAYS, YearError};
