//! The answer as one JSON object.

use super::Air;
use crate::air::indoor::{Comparison, Indoor};
use crate::air::{MonthOfAir, saturation_temperature};
use crate::units::Temperature;
use serde_json::{Map, Value, json};

fn month_object(month: &MonthOfAir) -> Value {
    let mut object = Map::new();
    if let Some(year) = month.year {
        object.insert("year".to_owned(), json!(year));
    }
    let dew = saturation_temperature(month.vapour_pressure_pa).map(Temperature::celsius);
    for (key, value) in [
        ("month", json!(month.month)),
        ("hours", json!(month.hours)),
        ("temperature_c", json!(month.celsius)),
        ("humidity_percent", json!(month.humidity_percent)),
        ("humidity_min_percent", json!(month.humidity_min_percent)),
        ("humidity_max_percent", json!(month.humidity_max_percent)),
        ("vapour_pressure_pa", json!(month.vapour_pressure_pa)),
        ("dew_point_c", json!(dew)),
        ("emc_percent", json!(month.equilibrium_percent)),
    ] {
        object.insert(key.to_owned(), value);
    }
    Value::Object(object)
}

fn months_object(months: &[MonthOfAir]) -> Value {
    months.iter().map(month_object).collect()
}

pub(super) fn object(
    air: &Air,
    indoors: Option<&(Indoor, Vec<MonthOfAir>)>,
    beside: &[Comparison],
) -> Value {
    let missing: Vec<i8> = (1..=12)
        .filter(|number| !air.months.iter().any(|month| month.month == *number))
        .collect();
    let mut object = json!({
        "source": air.source,
        "months": months_object(&air.months),
        "missing_months": missing,
        "warnings": air.warnings,
    });
    if !air.calendar_months.is_empty() {
        object["calendar_months"] = months_object(&air.calendar_months);
    }
    if let Some(rows) = &air.rows {
        object["rows_read"] = json!(rows.read);
        object["rows_used"] = json!(rows.used);
        object["rows_dropped"] = rows
            .dropped
            .iter()
            .map(|(reason, rows)| (reason.key().to_owned(), json!(rows)))
            .collect();
        object["gaps"] = rows
            .gaps
            .iter()
            .map(|gap| {
                json!({
                    "from": gap.from.to_string(), "to": gap.to.to_string(), "hours": gap.hours(),
                })
            })
            .collect();
    }
    if let Some((room, months)) = indoors {
        object["indoor_model"] = json!(room.to_string());
        object["indoor_months"] = months_object(months);
    }
    if !beside.is_empty() {
        object["beside"] = beside.iter().map(comparison_object).collect();
    }
    object
}

fn comparison_object(comparison: &Comparison) -> Value {
    let months: Vec<Value> = comparison
        .months
        .iter()
        .map(|month| {
            json!({
                "year": month.year,
                "month": month.month,
                "days": month.days,
                "outdoor_temperature_c": month.outdoor_celsius,
                "outdoor_humidity_percent": month.outdoor_percent,
                "measured_temperature_c": month.measured_celsius,
                "measured_humidity_percent": month.measured_percent,
                "measured_emc_percent": month.measured_equilibrium,
                "predicted_humidity_percent": month.predicted_percent,
                "predicted_emc_percent": month.predicted_equilibrium,
                "unaided_temperature_c": month.heated_celsius,
                "unaided_humidity_percent": month.unaided_percent,
                "unaided_emc_percent": month.unaided_equilibrium,
            })
        })
        .collect();
    json!({
        "model": comparison.model.moisture().to_string(),
        "heating": comparison.model.heating().to_string(),
        "humidity_rms_points": comparison.humidity_rms,
        "humidity_bias_points": comparison.humidity_bias,
        "emc_rms_points": comparison.equilibrium_rms,
        "unaided_humidity_rms_points": comparison.unaided_humidity_rms,
        "unaided_temperature_rms_k": comparison.temperature_rms,
        "unaided_emc_rms_points": comparison.unaided_equilibrium_rms,
        "months": months,
    })
}
