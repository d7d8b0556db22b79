//! The state of air that wood feels.

use super::psychrometrics::{saturation_pressure_pa_at, vapour_pressure_pa};
use crate::units::{RelativeHumidity, Temperature};

/// Air as wood feels it: its temperature and its relative humidity over liquid water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirState {
    /// Dry-bulb temperature.
    pub temperature: Temperature,
    /// Relative humidity over liquid water, also below freezing.
    pub humidity: RelativeHumidity,
}

impl AirState {
    /// Air of a temperature and a relative humidity.
    #[must_use]
    pub const fn new(temperature: Temperature, humidity: RelativeHumidity) -> Self {
        Self {
            temperature,
            humidity,
        }
    }

    /// Air of `celsius` and `percent`, both computed from checked values; the humidity is held
    /// between 0 and 100 %.
    #[must_use]
    pub fn computed(celsius: f64, percent: f64) -> Self {
        Self {
            temperature: Temperature::computed_celsius(celsius),
            humidity: RelativeHumidity::computed_percent(percent.clamp(0.0, 100.0)),
        }
    }

    /// Air of `celsius` that holds water vapour of `pascals`; vapour beyond saturation condenses,
    /// so the humidity ends at 100 %.
    #[must_use]
    pub fn of_vapour_pressure(celsius: f64, pascals: f64) -> Self {
        Self::computed(
            celsius,
            100.0 * pascals / saturation_pressure_pa_at(celsius),
        )
    }

    /// The same water vapour at another temperature: air warmed or cooled without adding water.
    ///
    /// Air of 0 C and 80 % warmed to 21 C comes to 19.65 %.
    #[must_use]
    pub fn brought_to(self, temperature: Temperature) -> Self {
        Self::of_vapour_pressure(temperature.celsius(), vapour_pressure_pa(self))
    }
}
