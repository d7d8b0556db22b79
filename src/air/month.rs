//! The mean air of a month.

use super::psychrometrics::vapour_pressure_pa;
use super::{AirState, AirYear, equilibrium_percent};

/// The mean air of a month, from its hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthOfAir {
    /// The calendar year, or `None` for the mean over several years.
    pub year: Option<i16>,
    /// 1 for January.
    pub month: i8,
    /// Hours with readings.
    pub hours: usize,
    /// Mean temperature, C.
    pub celsius: f64,
    /// Mean of the hours' relative humidity, percent.
    pub humidity_percent: f64,
    /// Minimum hour, percent.
    pub humidity_min_percent: f64,
    /// Maximum hour, percent.
    pub humidity_max_percent: f64,
    /// Mean vapour pressure, Pa.
    pub vapour_pressure_pa: f64,
    /// Mean of the hours' equilibrium moisture content, percent.
    pub equilibrium_percent: f64,
}

impl MonthOfAir {
    /// From the hours of the month, of which there must be one at least.
    pub(super) fn of(year: Option<i16>, month: i8, hours: &[AirState]) -> Self {
        let count = hours.len().max(1) as f64;
        let mean = |value: fn(&AirState) -> f64| hours.iter().map(value).sum::<f64>() / count;
        let percent = |state: &AirState| state.humidity.percent();
        Self {
            year,
            month,
            hours: hours.len(),
            celsius: mean(|state| state.temperature.celsius()),
            humidity_percent: mean(|state| state.humidity.percent()),
            humidity_min_percent: hours.iter().map(percent).fold(f64::INFINITY, f64::min),
            humidity_max_percent: hours.iter().map(percent).fold(0.0, f64::max),
            vapour_pressure_pa: mean(|state| vapour_pressure_pa(*state)),
            equilibrium_percent: mean(|state| {
                equilibrium_percent(state.temperature.celsius(), state.humidity.fraction())
            }),
        }
    }
}

impl AirYear {
    /// The twelve months of the year, each from its own states.
    #[must_use]
    pub fn months_of_the_year(&self) -> Vec<MonthOfAir> {
        let spread = 24 / self.states_per_day();
        let mut months = self
            .by_month(|states| MonthOfAir::of(None, 0, states))
            .to_vec();
        for (month, number) in months.iter_mut().zip(1..) {
            month.month = number;
            month.hours *= spread;
        }
        months
    }
}
