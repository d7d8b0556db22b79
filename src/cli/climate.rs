//! `heartside climate`: what a logger, a weather file or a built-in place says of the year's air.

use super::files::read_bytes;
use super::rings::read_optional;
use super::room::RoomFlags;
use super::{Desk, Failure};
use crate::air::indoor::{Comparison, Indoor, compare, models};
use crate::air::logger::Options;
use crate::air::weather_file::{self, WeatherFile};
use crate::air::{AirYear, Dropped, Gap, MonthOfAir, places, saturation_temperature};
use crate::units::Temperature;
use comfy_table::{CellAlignment, Table, presets};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;
use std::process::ExitCode;

/// Reads a logger's CSV or an EPW weather file and tells the air of each month.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// A logger's CSV or an EPW weather file; `-` is standard input.
    #[arg(required_unless_present = "place")]
    file: Option<String>,
    /// A built-in place instead of a file, such as Denver.
    #[arg(long, value_name = "NAME", conflicts_with_all = ["file", "beside"])]
    place: Option<String>,
    /// Which column to read where there are several: a header or a part of it, its number, or `temperature=NAME`, `humidity=NAME`; may be repeated.
    #[arg(long, value_name = "COLUMN")]
    column: Vec<String>,
    /// The order of day and month where the file does not decide it: `dmy`, `mdy` or `ymd`.
    #[arg(long, value_name = "ORDER")]
    date_order: Option<String>,
    /// The unit of temperatures without one.
    #[arg(long, value_name = "UNIT", value_enum, ignore_case = true)]
    temperature_unit: Option<Unit>,
    #[command(flatten)]
    room: RoomFlags,
    /// A logger's file of the same house indoors: tells how near the indoor models come to it.
    #[arg(long, value_name = "INDOOR_FILE")]
    beside: Option<String>,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum Unit {
    /// Degrees Celsius.
    C,
    /// Degrees Fahrenheit.
    F,
}

/// What is told of the air, wherever it came from.
struct Air {
    source: Value,
    title: String,
    months: Vec<MonthOfAir>,
    calendar_months: Vec<MonthOfAir>,
    rows: Option<Rows>,
    warnings: Vec<String>,
}

struct Rows {
    read: usize,
    used: usize,
    dropped: Dropped,
    gaps: Vec<Gap>,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag or a file cannot be read, or the place is not known.
pub fn run(args: Args, desk: &mut Desk<'_>) -> Result<ExitCode, Failure> {
    let options = Options {
        columns: args.column.clone(),
        date_order: read_optional("date-order", args.date_order.as_ref())?,
        fahrenheit: args.temperature_unit.map(|unit| matches!(unit, Unit::F)),
    };
    let room = args.room.room()?;
    let mut beside = Vec::new();
    let (air, outdoor_year) = match (&args.place, &args.file) {
        (Some(name), _) => of_place(name)?,
        (None, file) => {
            let path = file.as_deref().unwrap_or("-");
            let (name, reading) = open(path, &options)?;
            if let Some(indoor) = &args.beside {
                beside = set_beside(&name, &reading, indoor, room.as_ref())?;
            }
            let year = match room {
                Some(_) if beside.is_empty() => Some(reading.year(&name).map_err(told)?),
                _ => None,
            };
            (of_file(&name, &reading), year)
        }
    };
    let indoors = room
        .zip(outdoor_year)
        .map(|(room, year)| (room, room.year(&year).months_of_the_year()));
    desk.answer(
        &object(&air, indoors.as_ref(), &beside),
        &words(&air, indoors.as_ref(), &beside),
    )?;
    for warning in &air.warnings {
        desk.say(&format!("note: {warning}"));
    }
    Ok(ExitCode::SUCCESS)
}

fn told(error: impl std::fmt::Display) -> Failure {
    Failure::input(format!("error: {error}"))
}

fn open(path: &str, options: &Options) -> Result<(String, WeatherFile), Failure> {
    let name = if path == "-" { "standard input" } else { path };
    let bytes = read_bytes(path)?;
    let reading = weather_file::read(&bytes, name, options).map_err(told)?;
    Ok((name.to_owned(), reading))
}

fn of_place(name: &str) -> Result<(Air, Option<AirYear>), Failure> {
    let place = places::find(name).map_err(|error| told(format!("--place: {error}")))?;
    let year = place.outdoor_year();
    let air = Air {
        source: json!({
            "kind": "place",
            "name": place.to_string(),
            "latitude_degrees": place.latitude_degrees,
            "longitude_degrees": place.longitude_degrees,
            "elevation_m": place.elevation_m,
            "source": place.source,
        }),
        title: format!("Outdoor air of {place} ({})", place.source),
        months: year.months_of_the_year(),
        calendar_months: Vec::new(),
        rows: None,
        warnings: vec![
            "monthly means of a typical year, not of the years to come; an own logger comes first"
                .to_owned(),
        ],
    };
    Ok((air, Some(year)))
}

fn of_file(name: &str, reading: &WeatherFile) -> Air {
    let (source, title, calendar_months) = match reading {
        WeatherFile::Epw(epw) => (
            json!({
                "kind": "epw",
                "name": name,
                "station": epw.station,
                "region": epw.region,
                "latitude_degrees": epw.latitude_degrees,
                "longitude_degrees": epw.longitude_degrees,
                "elevation_m": epw.elevation_m,
                "years": epw.years.map(|(least, greatest)| [least, greatest]),
            }),
            format!("Weather of {}, {}", epw.station, epw.region),
            Vec::new(),
        ),
        WeatherFile::Logger(logger) => (
            json!({
                "kind": "logger",
                "name": name,
                "encoding": logger.encoding,
                "header_line": logger.header_line,
                "time_columns": logger.time_columns,
                "temperature_column": logger.temperature_column,
                "temperature_unit": logger.temperature_unit,
                "humidity_column": logger.humidity_column,
                "date_order": logger.date_order.map(|order| order.to_string()),
                "offset_minutes": logger.offset_minutes,
                "newest_first": logger.newest_first,
                "step_minutes": logger.record.usual_step_seconds() as f64 / 60.0,
                "from": logger.record.start().to_string(),
                "to": logger.record.time(logger.record.hours().len().saturating_sub(1)).to_string(),
            }),
            format!(
                "Readings of {name}: `{}` in {} and `{}`",
                logger.temperature_column, logger.temperature_unit, logger.humidity_column
            ),
            logger.record.months(),
        ),
    };
    Air {
        source,
        title,
        months: reading.months(),
        calendar_months,
        rows: Some(Rows {
            read: reading.rows_read(),
            used: reading.rows_used(),
            dropped: reading.rows_dropped().clone(),
            gaps: reading.gaps().to_vec(),
        }),
        warnings: reading.warnings(),
    }
}

fn set_beside(
    outdoor_name: &str,
    outdoor: &WeatherFile,
    indoor_path: &str,
    room: Option<&Indoor>,
) -> Result<Vec<Comparison>, Failure> {
    let (indoor_name, indoor) = open(indoor_path, &Options::default())?;
    let (WeatherFile::Logger(outside), WeatherFile::Logger(inside)) = (outdoor, &indoor) else {
        return Err(told(
            "--beside needs two logger files of the same days, one outdoors and one indoors; a \
             weather file's typical year has no days of its own",
        ));
    };
    let mut tried = models();
    if let Some(room) = room {
        tried.insert(0, *room);
    }
    let found: Vec<Comparison> = tried
        .iter()
        .filter_map(|model| compare(&outside.record, &inside.record, model))
        .collect();
    if found.is_empty() {
        return Err(told(format!(
            "`{outdoor_name}` and `{indoor_name}` share no month of two weeks; give two files of \
             the same days"
        )));
    }
    Ok(found)
}

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
        (
            "humidity_least_percent",
            json!(month.humidity_least_percent),
        ),
        (
            "humidity_greatest_percent",
            json!(month.humidity_greatest_percent),
        ),
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

fn object(air: &Air, indoors: Option<&(Indoor, Vec<MonthOfAir>)>, beside: &[Comparison]) -> Value {
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
                "foretold_humidity_percent": month.foretold_percent,
                "foretold_emc_percent": month.foretold_equilibrium,
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

fn words(air: &Air, indoors: Option<&(Indoor, Vec<MonthOfAir>)>, beside: &[Comparison]) -> String {
    let mut text = format!("{}\n", air.title);
    if let Some(rows) = &air.rows {
        let _never_fails = writeln!(text, "{} of {} rows used.", rows.used, rows.read);
    }
    text.push('\n');
    text.push_str(&month_table(&air.months));
    if let Some((room, months)) = indoors {
        let _never_fails = write!(text, "\nIndoors: {room}.\n\n{}", month_table(months));
    }
    if let Some(first) = beside.first() {
        let _never_fails = write!(
            text,
            "\nHumidity indoors, measured and foretold ({}).\n\n{}\n{}",
            first.model.moisture(),
            beside_table(first),
            models_table(beside)
        );
    }
    text
}

fn plain_table(header: &[&str]) -> Table {
    let mut table = Table::new();
    table.load_preset(presets::NOTHING);
    table.set_header(header.to_vec());
    table
}

fn aligned(mut table: Table, from: usize) -> String {
    for column in table.column_iter_mut().skip(from) {
        column.set_cell_alignment(CellAlignment::Right);
    }
    let mut text = table
        .lines()
        .map(|line| line.trim_end().to_owned())
        .collect::<Vec<_>>()
        .join("\n");
    text.push('\n');
    text
}

const MONTH_NAMES: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

fn month_name(month: i8) -> &'static str {
    usize::try_from(month - 1)
        .ok()
        .and_then(|index| MONTH_NAMES.get(index))
        .copied()
        .unwrap_or("")
}

fn month_table(months: &[MonthOfAir]) -> String {
    let mut table = plain_table(&[
        "month",
        "C",
        "F",
        "humidity %",
        "least",
        "greatest",
        "wood %",
        "days",
    ]);
    for month in months {
        table.add_row([
            month_name(month.month).to_owned(),
            format!("{:.1}", month.celsius),
            format!("{:.0}", month.celsius * 1.8 + 32.0),
            format!("{:.1}", month.humidity_percent),
            format!("{:.0}", month.humidity_least_percent),
            format!("{:.0}", month.humidity_greatest_percent),
            format!("{:.1}", month.equilibrium_percent),
            format!("{:.1}", month.hours as f64 / 24.0),
        ]);
    }
    aligned(table, 1)
}

fn beside_table(comparison: &Comparison) -> String {
    let mut table = plain_table(&[
        "month",
        "outdoors C",
        "outdoors %",
        "indoors C",
        "measured %",
        "foretold %",
        "off by",
    ]);
    for month in &comparison.months {
        table.add_row([
            format!("{} {}", month_name(month.month), month.year),
            format!("{:.1}", month.outdoor_celsius),
            format!("{:.0}", month.outdoor_percent),
            format!("{:.1}", month.measured_celsius),
            format!("{:.1}", month.measured_percent),
            format!("{:.1}", month.foretold_percent),
            format!("{:+.1}", month.foretold_percent - month.measured_percent),
        ]);
    }
    aligned(table, 1)
}

fn models_table(beside: &[Comparison]) -> String {
    let mut table = plain_table(&[
        "model (error over the months, root mean square)",
        "humidity points",
        "mean",
        "wood points",
        "unaided: K",
        "humidity points",
        "wood points",
    ]);
    for one in beside {
        table.add_row([
            one.model.moisture().to_string(),
            format!("{:.1}", one.humidity_rms),
            format!("{:+.1}", one.humidity_bias),
            format!("{:.2}", one.equilibrium_rms),
            format!("{:.1}", one.temperature_rms),
            format!("{:.1}", one.unaided_humidity_rms),
            format!("{:.2}", one.unaided_equilibrium_rms),
        ]);
    }
    let mut text = aligned(table, 1);
    text.push_str(
        "\nThe first three errors are with the temperature indoors as measured, the rest from the \
         outdoor air alone.\n",
    );
    text
}
