//! Water vapour in air: saturation and vapour pressure, dew point, humidity ratio.
//!
//! Everything is over liquid water, below freezing too, because weather
//! services and loggers state relative humidity so (WMO-No. 8, *Guide to
//! Instruments*, Annex 4.B; from memory).

use super::AirState;
use crate::units::Temperature;

/// Air pressure of the standard atmosphere at sea level, Pa.
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;

/// Minimum and maximum temperature that a dew point is looked for in, C.
const DEW_RANGE_CELSIUS: (f64, f64) = (-120.0, 140.0);

/// Pressure of water vapour over liquid water in balance with it, in Pa.
///
/// Hyland and Wexler's equation for liquid water as printed in the ASHRAE *Handbook of
/// Fundamentals* (ch. 1; coefficients from memory, checked at 20 C: 2338.80 Pa). Published for 0
/// to 200 C; below 0 C it runs on for supercooled water and stays within 0.7 % of Buck (1996)
/// down to -40 C.
#[must_use]
pub fn saturation_pressure_pa(temperature: Temperature) -> f64 {
    saturation_pressure_pa_at(temperature.celsius())
}

/// [`saturation_pressure_pa`] on a plain number of degrees Celsius.
#[must_use]
pub fn saturation_pressure_pa_at(celsius: f64) -> f64 {
    let t = celsius + 273.15;
    libm::exp(
        -5.800_220_6e3 / t
            + 1.391_499_3
            + t * (-4.864_023_9e-2 + t * (4.176_476_8e-5 - t * 1.445_209_3e-8))
            + 6.545_967_3 * libm::log(t),
    )
}

/// Relative change of the saturation pressure per kelvin, the slope of its logarithm.
fn saturation_log_slope(celsius: f64) -> f64 {
    let t = celsius + 273.15;
    5.800_220_6e3 / (t * t) - 4.864_023_9e-2
        + t * (2.0 * 4.176_476_8e-5 - t * 3.0 * 1.445_209_3e-8)
        + 6.545_967_3 / t
}

/// Pressure of the water vapour in the air, Pa: humidity times saturation pressure.
#[must_use]
pub fn vapour_pressure_pa(air: AirState) -> f64 {
    air.humidity.fraction() * saturation_pressure_pa(air.temperature)
}

/// Temperature at which vapour of `pascals` saturates over liquid water; `None` for air so dry
/// that this lies below -120 C, or for a pressure above that of water at 140 C.
#[must_use]
pub fn saturation_temperature(pascals: f64) -> Option<Temperature> {
    let (min, max) = DEW_RANGE_CELSIUS;
    let inside = saturation_pressure_pa_at(min)..=saturation_pressure_pa_at(max);
    if !inside.contains(&pascals) {
        return None;
    }
    // Newton on ln p, whose slope is positive throughout; Magnus' formula starts it near.
    let log = libm::log(pascals);
    let magnus = log - libm::log(611.2_f64);
    let mut celsius = (243.12 * magnus / (17.62 - magnus)).clamp(min, max);
    for _ in 0..50 {
        let miss = libm::log(saturation_pressure_pa_at(celsius)) - log;
        let next = (celsius - miss / saturation_log_slope(celsius)).clamp(min, max);
        let moved = (next - celsius).abs();
        celsius = next;
        if moved < 1e-10 {
            break;
        }
    }
    Some(Temperature::computed_celsius(celsius))
}

/// Temperature to which the air must be cooled for dew to form; `None` for bone-dry air.
#[must_use]
pub fn dew_point(air: AirState) -> Option<Temperature> {
    saturation_temperature(vapour_pressure_pa(air))
}

/// Mass of water vapour per mass of dry air, kg/kg: `0.621945 p_v / (p - p_v)` (ASHRAE *Handbook
/// of Fundamentals*, ch. 1) at an air pressure in Pa; `None` where the vapour pressure reaches the
/// air pressure.
#[must_use]
pub fn humidity_ratio(air: AirState, pressure_pa: f64) -> Option<f64> {
    let vapour = vapour_pressure_pa(air);
    (vapour < pressure_pa).then(|| 0.621_945 * vapour / (pressure_pa - vapour))
}
