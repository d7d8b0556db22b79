//! The model in words, and house moisture as a maker tells it.

use super::{Heating, HouseMoisture, HumidityClass, Indoor, Occupancy};
use crate::units::UnitSystem;
use crate::units::notation::{NotationError, temperature_shown};
use crate::units::spanned::ReadNotation;
use std::fmt;

/// Maximum vapour excess accepted, Pa: twice the limit of ISO 13788's class 4.
const MAX_EXCESS_PA: f64 = 2160.0;

impl ReadNotation for HouseMoisture {
    const WHAT: &'static str = "the house's own moisture: \"normal\" (405 Pa, as measured), \
         \"none\", \"class 1\" to \"class 4\" (ISO 13788), \"EN 15026\", \"EN 15026 high\" or an \
         excess such as \"405 Pa\"";

    fn read(text: &str) -> Result<Self, NotationError> {
        let plain: String = text
            .chars()
            .filter(|c| c.is_alphanumeric() || matches!(c, '.' | ',' | '-' | '\u{2212}'))
            .flat_map(char::to_lowercase)
            .collect();
        let wrong =
            |reason: &str| NotationError::new(text, reason, &format!("write {}", Self::WHAT));
        let plain = plain.strip_prefix("iso13788").unwrap_or(&plain);
        Ok(match plain {
            "none" => Self::None,
            "normal" | "measured" => Self::default(),
            "en15026" | "en15026normal" => Self::En15026(Occupancy::Normal),
            "en15026high" => Self::En15026(Occupancy::High),
            "class1" => Self::class(HumidityClass::One),
            "class2" => Self::class(HumidityClass::Two),
            "class3" => Self::class(HumidityClass::Three),
            "class4" => Self::class(HumidityClass::Four),
            _ => {
                let Some(number) = plain.strip_suffix("pa") else {
                    return Err(wrong("this is no house moisture known here"));
                };
                let pascals_at_freezing: f64 = number
                    .replace(',', ".")
                    .parse()
                    .map_err(|_| wrong("the number of pascals cannot be read"))?;
                if !(0.0..=MAX_EXCESS_PA).contains(&pascals_at_freezing) {
                    return Err(wrong(&format!(
                        "a vapour excess lies between 0 and {MAX_EXCESS_PA} Pa"
                    )));
                }
                Self::Excess {
                    pascals_at_freezing,
                }
            }
        })
    }
}

impl fmt::Display for HouseMoisture {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::None => f.write_str("no house moisture added"),
            Self::Excess {
                pascals_at_freezing,
            } => write!(
                f,
                "house moisture of {pascals_at_freezing} Pa at 0 C outdoors and below, none at 20 C"
            ),
            Self::En15026(Occupancy::Normal) => {
                f.write_str("indoor humidity by EN 15026, normal occupancy")
            }
            Self::En15026(Occupancy::High) => {
                f.write_str("indoor humidity by EN 15026, high occupancy")
            }
        }
    }
}

impl fmt::Display for Heating {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unheated { warmer_by_kelvin } if *warmer_by_kelvin == 0.0 => {
                f.write_str("no heat: the outdoor air itself")
            }
            Self::Unheated { warmer_by_kelvin } => {
                write!(f, "no heat, {warmer_by_kelvin} K warmer than outdoors")
            }
            Self::HeatTo { heat_to, cool_to } => {
                write!(
                    f,
                    "heated to {}",
                    temperature_shown(*heat_to, UnitSystem::Metric)
                )?;
                match cool_to {
                    Some(cool_to) => {
                        write!(
                            f,
                            ", cooled to {}",
                            temperature_shown(*cool_to, UnitSystem::Metric)
                        )
                    }
                    None => Ok(()),
                }
            }
            Self::En15026 => {
                f.write_str("20 C up to 10 C outdoors, rising to 25 C at 20 C outdoors (EN 15026)")
            }
        }
    }
}

impl fmt::Display for Indoor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.heating(), self.moisture())?;
        if let Some(humidity) = self.humidify_to() {
            write!(f, "; humidified to {} %", humidity.percent())?;
        }
        if let Some(humidity) = self.dehumidify_to() {
            write!(f, "; dehumidified to {} %", humidity.percent())?;
        }
        Ok(())
    }
}
