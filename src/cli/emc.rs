//! `heartside emc`: the moisture content that wood comes to in air, and back.

use super::ring_flags::{read, read_optional};
use super::{Failure, Output};
use crate::air::{
    AirState, STANDARD_PRESSURE_PA, SorptionHistory, dew_point, equilibrium_moisture, humidity_for,
    humidity_ratio, vapour_pressure_pa,
};
use crate::units::{MoistureContent, RelativeHumidity, Temperature};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::process::ExitCode;

/// What moisture content wood comes to in air, or which humidity keeps it at a moisture content.
#[derive(Debug, clap::Args)]
#[command(group = clap::ArgGroup::new("known").required(true).args(["humidity", "moisture"]))]
pub(super) struct Args {
    /// Temperature of the air, such as 70F or 21C.
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temperature: String,
    /// Relative humidity of the air: answers the moisture content that wood comes to.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    humidity: Option<String>,
    /// Moisture content of the wood: answers the humidity that keeps it there.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    moisture: Option<String>,
    /// Brings the air indoors to this temperature, without adding moisture.
    #[arg(
        long,
        value_name = "TEMPERATURE",
        allow_hyphen_values = true,
        requires = "humidity"
    )]
    indoors: Option<String>,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag cannot be read, or when no air keeps wood that moist.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let temperature: Temperature = read("temperature", &args.temperature)?;
    let (object, words) = match (&args.humidity, &args.moisture) {
        (Some(humidity), _) => {
            let air = AirState::new(temperature, read("humidity", humidity)?);
            of_air(air, read_optional("indoors", args.indoors.as_ref())?)
        }
        (None, moisture) => {
            let moisture = read("moisture", moisture.as_deref().unwrap_or_default())?;
            of_wood(moisture, temperature)?
        }
    };
    output.answer(&object, &words)?;
    Ok(ExitCode::SUCCESS)
}

fn of_air(air: AirState, indoors: Option<Temperature>) -> (Value, String) {
    let moisture = equilibrium_moisture(air);
    let dew = dew_point(air);
    let mut object = json!({
        "temperature_c": air.temperature.celsius(),
        "humidity_percent": air.humidity.percent(),
        "emc_percent": moisture.percent(),
        "emc_losing_percent": SorptionHistory::Losing.equilibrium(air).percent(),
        "emc_gaining_percent": SorptionHistory::Gaining.equilibrium(air).percent(),
        "vapour_pressure_pa": vapour_pressure_pa(air),
        "dew_point_c": dew.map(Temperature::celsius),
        "humidity_ratio_g_per_kg": humidity_ratio(air, STANDARD_PRESSURE_PA).map(|ratio| 1000.0 * ratio),
    });
    let mut words = format!(
        "In air of {} and {:.1} % humidity wood comes to {:.1} % moisture.\n\
         Wood that is drying settles nearer {:.1} %, wood that takes up moisture nearer {:.1} %.\n",
        warmth(air.temperature),
        air.humidity.percent(),
        moisture.percent(),
        SorptionHistory::Losing.equilibrium(air).percent(),
        SorptionHistory::Gaining.equilibrium(air).percent()
    );
    if let Some(dew) = dew {
        let _never_fails = writeln!(words, "Dew forms on what is colder than {}.", warmth(dew));
    }
    if let Some(indoors) = indoors {
        let room = air.brought_to(indoors);
        object["indoor_temperature_c"] = json!(indoors.celsius());
        object["indoor_humidity_percent"] = json!(room.humidity.percent());
        object["indoor_emc_percent"] = json!(equilibrium_moisture(room).percent());
        object["house_moisture_added"] = json!(false);
        object["notes"] = json!([NO_HOUSE_MOISTURE]);
        let _never_fails = write!(
            words,
            "Brought indoors to {} it has {:.1} % humidity, and wood comes to {:.1} %.\n{NO_HOUSE_MOISTURE}\n",
            warmth(indoors),
            room.humidity.percent(),
            equilibrium_moisture(room).percent()
        );
    }
    (object, words)
}

const NO_HOUSE_MOISTURE: &str = "No moisture of the house itself is added: people, cooking and \
     drying clothes make a lived-in room moister than this.";

fn of_wood(
    moisture: MoistureContent,
    temperature: Temperature,
) -> Result<(Value, String), Failure> {
    let humidity = humidity_for(moisture, temperature).ok_or_else(|| {
        let most = AirState::new(temperature, RelativeHumidity::computed_percent(100.0));
        Failure::input(format!(
            "error: --moisture {}%: no air of {} keeps wood that moist, even saturated air makes \
             no more than {:.1} %; say a lower moisture content",
            moisture.percent(),
            warmth(temperature),
            equilibrium_moisture(most).percent()
        ))
    })?;
    let object = json!({
        "temperature_c": temperature.celsius(),
        "moisture_percent": moisture.percent(),
        "humidity_percent": humidity.percent(),
    });
    let words = format!(
        "Air of {} and {:.1} % humidity keeps wood at {} % moisture.\n",
        warmth(temperature),
        humidity.percent(),
        moisture.percent()
    );
    Ok((object, words))
}

fn warmth(temperature: Temperature) -> String {
    format!(
        "{:.1} C ({:.0} F)",
        temperature.celsius(),
        temperature.fahrenheit()
    )
}
