//! The moisture content that wood comes to in air, and the air that keeps wood at a moisture
//! content.

use super::AirState;
use crate::numerics::bracketed_root;
use crate::units::{MoistureContent, RelativeHumidity, Temperature};

/// Temperatures between which the equation is used as printed, C. Its table ends at 30 and 270 F
/// (-1 and 132 C); below, its constants go astray (`K2` turns negative at -37 C). Colder and hotter
/// air is answered as air of the nearer end.
const EQUATION_CELSIUS: (f64, f64) = (-30.0, 132.0);

/// The four constants of the Hailwood-Horrobin equation at one temperature.
#[derive(Clone, Copy)]
struct Isotherm {
    mass: f64,
    k: f64,
    k1: f64,
    k2: f64,
}

impl Isotherm {
    /// Wood Handbook (FPL-GTR-190), Eq. 4-5, the set for degrees Celsius.
    fn at(celsius: f64) -> Self {
        let t = celsius.clamp(EQUATION_CELSIUS.0, EQUATION_CELSIUS.1);
        Self {
            mass: 349.0 + t * (1.29 + t * 0.0135),
            k: 0.805 + t * (0.000_736 - t * 0.000_002_73),
            k1: 6.27 - t * (0.009_38 + t * 0.000_303),
            k2: 1.91 + t * (0.0407 - t * 0.000_293),
        }
    }

    fn moisture_percent(self, humidity: f64) -> f64 {
        let x = self.k * humidity;
        let one = self.k1 * x;
        let two = self.k1 * self.k2 * x * x;
        1800.0 / self.mass * (x / (1.0 - x) + (one + 2.0 * two) / (1.0 + one + two))
    }

    fn slope_percent(self, humidity: f64) -> f64 {
        let x = self.k * humidity;
        let one = self.k1 * x;
        let two = self.k1 * self.k2 * x * x;
        let below = 1.0 + one + two;
        let top = one + 2.0 * two;
        let bound = (self.k1 + 4.0 * self.k1 * self.k2 * x) / below
            - top * (self.k1 + 2.0 * self.k1 * self.k2 * x) / (below * below);
        1800.0 / self.mass * self.k * (1.0 / ((1.0 - x) * (1.0 - x)) + bound)
    }
}

/// Equilibrium moisture content of wood, percent, in air of `celsius` and of a relative humidity
/// given as a fraction 0 to 1.
///
/// Hailwood-Horrobin, Wood Handbook (FPL-GTR-190) Eq. 4-5; within 0.07 % of every printed cell of
/// its Table 4-2 that was read (30 to 200 F, 5 to 95 %). It is the in-between curve of wood in rooms: wood that
/// is losing moisture settles somewhat above it, wood that is gaining somewhat below. The equation
/// is run on to -30 C and held there, as it is at 132 C.
#[must_use]
pub fn equilibrium_percent(celsius: f64, fraction: f64) -> f64 {
    Isotherm::at(celsius).moisture_percent(fraction)
}

/// Slope of [`equilibrium_percent`] with the humidity fraction: percent of moisture per unit of
/// fraction. Its reciprocal is the `dh/dM` of vapour diffusion: at 20 C and 10 % it is 0.0587 per
/// percent.
#[must_use]
pub fn equilibrium_slope(celsius: f64, fraction: f64) -> f64 {
    Isotherm::at(celsius).slope_percent(fraction)
}

/// Moisture content that thin wood comes to in this air; see [`equilibrium_percent`].
#[must_use]
pub fn equilibrium_moisture(air: AirState) -> MoistureContent {
    MoistureContent::computed_percent(equilibrium_percent(
        air.temperature.celsius(),
        air.humidity.fraction(),
    ))
}

/// Relative humidity that keeps wood at a moisture content, the inverse of
/// [`equilibrium_moisture`]; `None` when no air does, the wood being wetter than saturated air
/// makes it.
#[must_use]
pub fn humidity_for(
    moisture: MoistureContent,
    temperature: Temperature,
) -> Option<RelativeHumidity> {
    let isotherm = Isotherm::at(temperature.celsius());
    let wanted = moisture.percent();
    if !(0.0..=isotherm.moisture_percent(1.0)).contains(&wanted) {
        return None;
    }
    bracketed_root(|h| isotherm.moisture_percent(h) - wanted, 0.0, 1.0, 1e-12)
        .map(|fraction| RelativeHumidity::computed_percent(100.0 * fraction))
}
