//! One year of air that repeats: the form in which every room takes its climate.

use super::AirState;
use super::psychrometrics::{saturation_pressure_pa_at, vapour_pressure_pa};
use super::smooth::{Limits, MonthCurve, first_days};
use crate::units::{Refusal, refusals};

/// Days of the year that repeats; 29 February is left out.
pub const DAYS_IN_YEAR: usize = 365;

/// Days of each month of that year, from January.
pub const MONTH_DAYS: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// Day of the year, counted from 0, on which the winter of [`AirYear::seasons`] is deepest:
/// 20 January. The first harmonic of the dew point is lowest on 21 January in the mean of the 37
/// northern built-in places with a marked year (10 January to 2 February), of the temperature on
/// 17 January.
const DEEPEST_WINTER_DAY: f64 = 19.5;

/// Which half of the earth: when winter comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hemisphere {
    /// Deepest winter around 20 January.
    #[default]
    North,
    /// Deepest winter around 21 July.
    South,
}

/// A year of air that repeats: equally spaced states from 1 January 00:00, 365 days, one or
/// twenty-four a day.
///
/// A state stands for the whole of its day or hour.
#[derive(Debug, Clone, PartialEq)]
pub struct AirYear {
    states: Vec<AirState>,
    states_per_day: usize,
    constant: bool,
    days_read: Option<u16>,
}

refusals! {
    /// The number of states is not that of a year of hours.
    no_year_of_hours(given: usize) =
        "{given} hours are no year", "give 8760, or 8784 with 29 February";
    /// The number of states is not that of a year of days.
    no_year_of_days(given: usize) =
        "{given} days are no year", "give 365, or 366 with 29 February";
}

impl AirYear {
    /// The same air on every day. It has no winter and no summer: [`AirYear::caution`] says so.
    #[must_use]
    pub fn constant(air: AirState) -> Self {
        Self {
            states: vec![air; DAYS_IN_YEAR],
            states_per_day: 1,
            constant: true,
            days_read: None,
        }
    }

    /// A smooth year between the air of the deepest winter and that of the highest summer: humidity
    /// and temperature each run as one cosine, winter reached on 20 January in the north, summer
    /// half a year later.
    #[must_use]
    pub fn seasons(winter: AirState, summer: AirState, hemisphere: Hemisphere) -> Self {
        let turn = match hemisphere {
            Hemisphere::North => DEEPEST_WINTER_DAY,
            Hemisphere::South => DEEPEST_WINTER_DAY + 0.5 * DAYS_IN_YEAR as f64,
        };
        let between = |low: f64, high: f64, share: f64| low + (high - low) * share;
        let states = (0..DAYS_IN_YEAR)
            .map(|day| {
                let angle = (day as f64 + 0.5 - turn) / DAYS_IN_YEAR as f64 * std::f64::consts::TAU;
                let summerly = 0.5 * (1.0 - libm::cos(angle));
                AirState::computed(
                    between(
                        winter.temperature.celsius(),
                        summer.temperature.celsius(),
                        summerly,
                    ),
                    between(
                        winter.humidity.percent(),
                        summer.humidity.percent(),
                        summerly,
                    ),
                )
            })
            .collect();
        Self {
            states,
            states_per_day: 1,
            constant: winter == summer,
            days_read: None,
        }
    }

    /// A smooth daily year through twelve monthly means, January first. The mean temperature and
    /// the mean vapour pressure of each month are kept exactly.
    #[must_use]
    pub fn months(months: [AirState; 12]) -> Self {
        let constant = months.iter().all(|month| *month == months[0]);
        if constant {
            return Self::constant(months[0]);
        }
        let celsius = MonthCurve::through(months.map(|month| month.temperature.celsius()))
            .daily(|_| Limits::NONE);
        let pressure = MonthCurve::through(months.map(vapour_pressure_pa)).daily(|day| Limits {
            min: 0.0,
            max: saturation_pressure_pa_at(celsius[day]),
        });
        let states = celsius
            .iter()
            .zip(&pressure)
            .map(|(&celsius, &pascals)| AirState::of_vapour_pressure(celsius, pascals))
            .collect();
        Self {
            states,
            states_per_day: 1,
            constant: false,
            days_read: None,
        }
    }

    /// A year of hours from 1 January 00:00: 8760 states, or 8784 of a leap year, whose
    /// 29 February is left out.
    ///
    /// # Errors
    /// [`Refusal`] for any other number of states.
    pub fn hourly(states: Vec<AirState>) -> Result<Self, Refusal> {
        Self::spaced(states, 24).map_err(no_year_of_hours)
    }

    /// A year of days from 1 January: 365 states, or 366 of a leap year, whose 29 February is left
    /// out.
    ///
    /// # Errors
    /// [`Refusal`] for any other number of states.
    pub fn by_days(states: Vec<AirState>) -> Result<Self, Refusal> {
        Self::spaced(states, 1).map_err(no_year_of_days)
    }

    fn spaced(mut states: Vec<AirState>, states_per_day: usize) -> Result<Self, usize> {
        let given = states.len();
        if given == (DAYS_IN_YEAR + 1) * states_per_day {
            let leap_day = (MONTH_DAYS[0] + MONTH_DAYS[1]) * states_per_day;
            states.drain(leap_day..leap_day + states_per_day);
        }
        if states.len() != DAYS_IN_YEAR * states_per_day {
            return Err(given);
        }
        let constant = states.iter().all(|state| *state == states[0]);
        Ok(Self {
            states,
            states_per_day,
            constant,
            days_read: None,
        })
    }

    /// The year whose days are each `day` of this year's day; `day` must give `states_per_day` states.
    pub(super) fn derived(
        &self,
        states_per_day: usize,
        day: impl FnMut(&[AirState]) -> Vec<AirState>,
    ) -> Self {
        let states: Vec<_> = self
            .states
            .chunks_exact(self.states_per_day)
            .flat_map(day)
            .collect();
        debug_assert_eq!(states.len(), DAYS_IN_YEAR * states_per_day);
        let constant = states.iter().all(|state| *state == states[0]);
        Self {
            states,
            states_per_day,
            constant,
            days_read: None,
        }
    }

    /// The same year, known by an instrument that read so many of its days.
    #[must_use]
    pub(super) fn read_over(self, days: u16) -> Self {
        Self {
            days_read: Some(days),
            ..self
        }
    }

    /// On how many of its days an instrument read it, 365 at the most; `None` where none did.
    #[must_use]
    pub const fn days_read(&self) -> Option<u16> {
        self.days_read
    }

    /// How many states a day has: 1 or 24.
    #[must_use]
    pub const fn states_per_day(&self) -> usize {
        self.states_per_day
    }

    /// The states from 1 January 00:00.
    #[must_use]
    pub fn states(&self) -> &[AirState] {
        &self.states
    }

    /// Whether the air never changes, so that nothing can be said of winter and summer.
    #[must_use]
    pub const fn is_constant(&self) -> bool {
        self.constant
    }

    /// What to tell a maker about this year: that a constant air has no seasons.
    #[must_use]
    pub const fn caution(&self) -> Option<&'static str> {
        if self.constant {
            Some(
                "this air is the same all year: it has no winter and no summer, so the forecast \
                 shows none; give the seasons, the months, a place or a logger to see them",
            )
        } else {
            None
        }
    }

    /// The 365 daily means: of the temperature and of the vapour pressure.
    #[must_use]
    pub fn daily(&self) -> Vec<AirState> {
        if self.states_per_day == 1 {
            return self.states.clone();
        }
        self.states
            .chunks_exact(self.states_per_day)
            .map(mean_state)
            .collect()
    }

    /// The twelve monthly means, January first: of the temperature and of the vapour pressure,
    /// because relative humidities of different temperatures cannot be averaged.
    #[must_use]
    pub fn monthly_means(&self) -> [AirState; 12] {
        self.by_month(mean_state)
    }

    /// The mean of the whole year: of the temperature and of the vapour pressure.
    #[must_use]
    pub fn mean(&self) -> AirState {
        mean_state(&self.states)
    }

    /// One answer for each month, January first, from the states of that month.
    pub fn by_month<T>(&self, mut answer: impl FnMut(&[AirState]) -> T) -> [T; 12] {
        let first = first_days();
        std::array::from_fn(|month| {
            let start = first[month] * self.states_per_day;
            let count = MONTH_DAYS[month] * self.states_per_day;
            answer(&self.states[start..start + count])
        })
    }
}

/// Mean temperature and mean vapour pressure of some states; of none, of dry air at 0 C.
pub(super) fn mean_state(states: &[AirState]) -> AirState {
    if let Some(first) = states.first()
        && states.iter().all(|state| state == first)
    {
        return *first;
    }
    let count = states.len().max(1) as f64;
    let celsius = states.iter().map(|s| s.temperature.celsius()).sum::<f64>() / count;
    let pascals = states.iter().map(|s| vapour_pressure_pa(*s)).sum::<f64>() / count;
    AirState::of_vapour_pressure(celsius, pascals)
}
