//! The model of a house's air.

use crate::air::psychrometrics::{saturation_pressure_pa_at, vapour_pressure_pa};
use crate::air::year::mean_state;
use crate::air::{AirState, AirYear};
use crate::units::{RelativeHumidity, Temperature};
use std::fmt;

/// By how much people and sun warm a room that is neither heated nor cooled over outdoors, and so how far below what it keeps the
/// cooling begins to run: judgement.
const GAINS_KELVIN: f64 = 3.0;
/// Dew point that a cooling coil leaves a room at while it runs, C: within 1.5 (judgement), 50 to 55 % at 24 C, as cooled houses
/// show (common practice, no source). That spread is within that of a room worked out from outdoor air.
const COIL_DEW_POINT_CELSIUS: f64 = 13.0;

/// How densely a house is lived in, for the curve of EN 15026 Annex C.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occupancy {
    /// 30 % indoors up to -10 C outdoors, rising linearly to 60 % at 20 C.
    Normal,
    /// 40 % up to -10 C outdoors, rising linearly to 70 % at 20 C.
    High,
}

/// Internal humidity class of ISO 13788 Annex A.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HumidityClass {
    /// Storage: up to 270 Pa.
    One,
    /// Offices, dwellings with normal use and ventilation: up to 540 Pa.
    Two,
    /// Buildings of unknown use: up to 810 Pa.
    Three,
    /// Sports halls, kitchens, canteens: up to 1080 Pa.
    Four,
}

impl HumidityClass {
    /// Upper limit of the class: vapour pressure over that of outdoors, Pa, at 0 C outdoors and
    /// below (ISO 13788, from memory).
    #[must_use]
    pub const fn upper_limit_pa(self) -> f64 {
        match self {
            Self::One => 270.0,
            Self::Two => 540.0,
            Self::Three => 810.0,
            Self::Four => 1080.0,
        }
    }
}

/// The water vapour that a house adds to the air that comes in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HouseMoisture {
    /// Nothing: an empty house, a shop.
    None,
    /// An excess of vapour pressure over outdoors: the given pascals at a daily mean of 0 C outdoors
    /// and below, falling linearly to nothing at 20 C (the form of ISO 13788).
    Excess {
        /// Excess at 0 C outdoors, Pa.
        pascals_at_freezing: f64,
    },
    /// The indoor humidity that EN 15026 Annex C draws over the daily mean outdoors.
    En15026(Occupancy),
}

impl HouseMoisture {
    /// The excess that two measured houses show, Pa at 0 C: the middle of ISO 13788's class 2.
    pub const MEASURED_PA: f64 = 405.0;

    /// The excess at the upper limit of a class, as ISO 13788 wants it for design.
    #[must_use]
    pub const fn class(class: HumidityClass) -> Self {
        Self::Excess {
            pascals_at_freezing: class.upper_limit_pa(),
        }
    }
}

impl Default for HouseMoisture {
    fn default() -> Self {
        Self::Excess {
            pascals_at_freezing: Self::MEASURED_PA,
        }
    }
}

/// How warm it is indoors.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Heating {
    /// No heat: the outdoor air hour by hour, warmer by so many kelvin (a shed in the sun, a shop
    /// against a heated house; 0 for outdoor air itself).
    Unheated {
        /// Kelvin above outdoors.
        warmer_by_kelvin: f64,
    },
    /// Heated to a temperature; on days whose mean is warmer outdoors it is as warm indoors. A cooled house floats 3 K over
    /// outdoors between both set points, and while its cooling runs the coil dries the air.
    HeatTo {
        /// What the heating keeps.
        heat_to: Temperature,
        /// What the cooling keeps, where there is one.
        cool_to: Option<Temperature>,
    },
    /// EN 15026 Annex C: 20 C up to a daily mean of 10 C outdoors, rising linearly to 25 C at 20 C.
    #[default]
    En15026,
}

/// A humidifier that is set to keep the air moister than the dehumidifier allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetPointsCross {
    /// What the humidifier keeps.
    pub humidify_to: RelativeHumidity,
    /// What the dehumidifier keeps.
    pub dehumidify_to: RelativeHumidity,
}

impl fmt::Display for SetPointsCross {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the air is humidified to {} % but dehumidified to {} %: set the humidifier below the \
             dehumidifier",
            self.humidify_to.percent(),
            self.dehumidify_to.percent()
        )
    }
}

impl std::error::Error for SetPointsCross {}

/// A room's air, made of the outdoor air.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Indoor {
    heating: Heating,
    moisture: HouseMoisture,
    humidify_to: Option<RelativeHumidity>,
    dehumidify_to: Option<RelativeHumidity>,
}

impl Indoor {
    /// A room of that heating and that house moisture, without humidifier or dehumidifier.
    #[must_use]
    pub const fn new(heating: Heating, moisture: HouseMoisture) -> Self {
        Self {
            heating,
            moisture,
            humidify_to: None,
            dehumidify_to: None,
        }
    }

    /// A shop or shed with no heat: the outdoor air itself.
    #[must_use]
    pub const fn unheated() -> Self {
        Self::new(
            Heating::Unheated {
                warmer_by_kelvin: 0.0,
            },
            HouseMoisture::None,
        )
    }

    /// The same room with a humidifier that keeps the humidity from falling below one value, a
    /// dehumidifier that keeps it from rising above another, or both.
    ///
    /// # Errors
    /// [`SetPointsCross`] when the first is above the second.
    pub fn with_set_points(
        self,
        humidify_to: Option<RelativeHumidity>,
        dehumidify_to: Option<RelativeHumidity>,
    ) -> Result<Self, SetPointsCross> {
        if let (Some(humidify_to), Some(dehumidify_to)) = (humidify_to, dehumidify_to)
            && humidify_to > dehumidify_to
        {
            return Err(SetPointsCross {
                humidify_to,
                dehumidify_to,
            });
        }
        Ok(Self {
            humidify_to,
            dehumidify_to,
            ..self
        })
    }

    /// How warm it is.
    #[must_use]
    pub const fn heating(&self) -> Heating {
        self.heating
    }

    /// What vapour the house adds.
    #[must_use]
    pub const fn moisture(&self) -> HouseMoisture {
        self.moisture
    }

    /// What the humidifier keeps.
    #[must_use]
    pub const fn humidify_to(&self) -> Option<RelativeHumidity> {
        self.humidify_to
    }

    /// What the dehumidifier keeps.
    #[must_use]
    pub const fn dehumidify_to(&self) -> Option<RelativeHumidity> {
        self.dehumidify_to
    }

    /// Temperature indoors on a day of this mean outdoors.
    #[must_use]
    pub fn temperature(&self, outdoor: Temperature) -> Temperature {
        match self.heating {
            Heating::Unheated { warmer_by_kelvin } => {
                Temperature::computed_celsius(outdoor.celsius() + warmer_by_kelvin)
            }
            Heating::HeatTo {
                heat_to,
                cool_to: None,
            } => outdoor.max(heat_to),
            Heating::HeatTo {
                heat_to,
                cool_to: Some(cool_to),
            } => Temperature::computed_celsius(outdoor.celsius() + GAINS_KELVIN)
                .max(heat_to)
                .min(cool_to.max(heat_to)),
            Heating::En15026 => {
                Temperature::computed_celsius(ramp(outdoor.celsius(), (10.0, 20.0), (20.0, 25.0)))
            }
        }
    }

    /// Air indoors on a day of this mean air outdoors.
    #[must_use]
    pub fn air(&self, outdoor: AirState) -> AirState {
        self.air_at(outdoor, self.temperature(outdoor.temperature))
    }

    /// Air indoors on a day of this mean air outdoors when the temperature indoors is known.
    #[must_use]
    pub fn air_at(&self, outdoor: AirState, indoors: Temperature) -> AirState {
        self.room(outdoor, outdoor.temperature.celsius(), indoors.celsius())
    }

    /// Whether the cooling runs on a day of this mean outdoors: from as much below what it keeps as people and sun warm the room.
    fn cools_on(&self, day_celsius: f64) -> bool {
        matches!(self.heating, Heating::HeatTo { cool_to: Some(cool_to), .. } if day_celsius >= cool_to.celsius() - GAINS_KELVIN)
    }

    /// Vapour of `outdoor`, the house's moisture for a day of `day_celsius`, warmed to `celsius`.
    fn room(&self, outdoor: AirState, day_celsius: f64, celsius: f64) -> AirState {
        let percent = match self.moisture {
            HouseMoisture::None => percent_at(celsius, vapour_pressure_pa(outdoor)),
            HouseMoisture::Excess {
                pascals_at_freezing,
            } => {
                let excess = ramp(day_celsius, (0.0, 20.0), (pascals_at_freezing, 0.0));
                percent_at(celsius, vapour_pressure_pa(outdoor) + excess)
            }
            HouseMoisture::En15026(Occupancy::Normal) => {
                ramp(day_celsius, (-10.0, 20.0), (30.0, 60.0))
            }
            HouseMoisture::En15026(Occupancy::High) => {
                ramp(day_celsius, (-10.0, 20.0), (40.0, 70.0))
            }
        };
        // A coil holds the dew point down while it cools; dry outdoor air stays dry.
        let percent = if self.cools_on(day_celsius) {
            percent.min(percent_at(
                celsius,
                saturation_pressure_pa_at(COIL_DEW_POINT_CELSIUS),
            ))
        } else {
            percent
        };
        let min = self.humidify_to.map_or(0.0, RelativeHumidity::percent);
        let max = self.dehumidify_to.map_or(100.0, RelativeHumidity::percent);
        AirState::computed(celsius, percent.max(min).min(max))
    }

    /// The year indoors of a year outdoors: by days for a heated room, by the outdoor year's own
    /// spacing for an unheated one.
    #[must_use]
    pub fn year(&self, outdoor: &AirYear) -> AirYear {
        let Heating::Unheated { warmer_by_kelvin } = self.heating else {
            return outdoor.derived(1, |day| vec![self.air(mean_state(day))]);
        };
        outdoor.derived(outdoor.states_per_day(), |day| {
            let mean = mean_state(day).temperature.celsius();
            day.iter()
                .map(|state| {
                    let celsius = state.temperature.celsius() + warmer_by_kelvin;
                    self.room(*state, mean, celsius)
                })
                .collect()
        })
    }
}

/// Relative humidity, percent, of vapour of `pascals` at `celsius`.
fn percent_at(celsius: f64, pascals: f64) -> f64 {
    100.0 * pascals / saturation_pressure_pa_at(celsius)
}

/// The straight line from (`x.0`, `y.0`) to (`x.1`, `y.1`), level beyond both ends.
fn ramp(at: f64, x: (f64, f64), y: (f64, f64)) -> f64 {
    let share = ((at - x.0) / (x.1 - x.0)).clamp(0.0, 1.0);
    y.0 + (y.1 - y.0) * share
}
