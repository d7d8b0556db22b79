//! Air: what water it holds, what moisture wood comes to in it, and how it
//! runs through a year.
//!
//! The room answers with an [`AirYear`], one year of states that repeats, from
//! whatever a maker knows: one air, two seasons, twelve months, a built-in
//! place ([`places`]), a logger's file ([`logger`]) or a weather file ([`epw`],
//! given from a logger's by [`weather_file`]). Outdoor air becomes a room's by
//! [`indoor`].
//!
//! Where the numbers come from: the saturation pressure of Hyland and Wexler,
//! the equilibrium of the Wood Handbook's Eq. 4-5, monthly means of
//! typical-year weather files, EN 15026 and ISO 13788 for rooms, and two
//! measured houses for the default. Relative humidity is over liquid water at
//! every temperature, and means of air are means of temperature and vapour
//! pressure, except the months of a file, which also show the plain mean of
//! the humidities read.

mod bridge;
mod dropped;
pub mod epw;
mod equilibrium;
mod history;
pub mod indoor;
pub mod logger;
mod month;
pub mod places;
mod psychrometrics;
mod record;
mod sense;
mod smooth;
mod state;
pub mod weather_file;
mod year;

pub use dropped::{DropReason, Dropped};
pub use equilibrium::{equilibrium_moisture, equilibrium_percent, equilibrium_slope, humidity_for};
pub use history::{Hysteresis, SorptionHistory};
pub use month::MonthOfAir;
pub use psychrometrics::{
    STANDARD_PRESSURE_PA, dew_point, humidity_ratio, saturation_pressure_pa,
    saturation_pressure_pa_at, saturation_temperature, vapour_pressure_pa,
};
pub use record::{AirRecord, Gap, RecordedYear};
pub use sense::{Columns, cautions};
pub use state::AirState;
pub use year::{AirYear, DAYS_IN_YEAR, Hemisphere, MONTH_DAYS};
