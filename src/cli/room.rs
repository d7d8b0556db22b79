//! The flags that say how outdoor air is brought into a room.

use super::Failure;
use super::ring_flags::{read, read_optional};
use crate::air::indoor::{Heating, HouseMoisture, Indoor};
use crate::units::{RelativeHumidity, Temperature};

/// How outdoor air becomes the air of a room.
#[derive(Debug, Default, clap::Args)]
pub(super) struct RoomFlags {
    /// Brings outdoor air indoors: a temperature to heat to, `standard` (20 C, up to 25 C in summer) or `unheated`.
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    indoors: Option<String>,
    /// Temperature the room is cooled to in summer.
    #[arg(
        long,
        value_name = "TEMPERATURE",
        allow_hyphen_values = true,
        requires = "indoors"
    )]
    cool_to: Option<String>,
    /// The house's own moisture: `normal` (405 Pa, as measured), `none`, `class 1` to `class 4`, `EN 15026`, `EN 15026 high` or pascals.
    #[arg(long, value_name = "MOISTURE", requires = "indoors")]
    house_moisture: Option<String>,
    /// Minimum humidity, kept by a humidifier.
    #[arg(
        long,
        value_name = "PERCENT",
        allow_hyphen_values = true,
        requires = "indoors"
    )]
    humidify_to: Option<String>,
    /// Maximum humidity, kept by a dehumidifier.
    #[arg(
        long,
        value_name = "PERCENT",
        allow_hyphen_values = true,
        requires = "indoors"
    )]
    dehumidify_to: Option<String>,
}

impl RoomFlags {
    /// The room, when one is given.
    ///
    /// # Errors
    /// [`Failure`] when a flag cannot be read or the set points cross.
    pub(super) fn room(&self) -> Result<Option<Indoor>, Failure> {
        let Some(indoors) = &self.indoors else {
            return Ok(None);
        };
        let cool_to: Option<Temperature> = read_optional("cool-to", self.cool_to.as_ref())?;
        let heating = match indoors.trim().to_lowercase().as_str() {
            "standard" => Heating::En15026,
            "unheated" => Heating::Unheated {
                warmer_by_kelvin: 0.0,
            },
            _ => Heating::HeatTo {
                heat_to: read("indoors", indoors)?,
                cool_to,
            },
        };
        let heated_to = matches!(heating, Heating::HeatTo { .. });
        if cool_to.is_some() && !heated_to {
            return Err(Failure::input(
                "error: --cool-to goes with a temperature in --indoors; say how warm the room is heated",
            ));
        }
        let moisture: Option<HouseMoisture> =
            read_optional("house-moisture", self.house_moisture.as_ref())?;
        let moisture = moisture.unwrap_or(match heating {
            Heating::Unheated { .. } => HouseMoisture::None,
            _ => HouseMoisture::default(),
        });
        let humidify_to: Option<RelativeHumidity> =
            read_optional("humidify-to", self.humidify_to.as_ref())?;
        let dehumidify_to: Option<RelativeHumidity> =
            read_optional("dehumidify-to", self.dehumidify_to.as_ref())?;
        Indoor::new(heating, moisture)
            .with_set_points(humidify_to, dehumidify_to)
            .map(Some)
            .map_err(|error| Failure::input(format!("error: {error}")))
    }
}
