//! `heartside climate`: what a logger, a weather file or a built-in place says of the year's air.

mod object;
mod words;

use super::files::read_bytes;
use super::output::create;
use super::ring_flags::read_optional;
use super::room::RoomFlags;
use super::{Failure, Output};
use crate::air::indoor::{Comparison, Indoor, compare, models};
use crate::air::logger::Options;
use crate::air::weather_file::{self, WeatherFile};
use crate::air::{AirYear, Dropped, Gap, MonthOfAir, places};
use crate::chart::{BesideFigure, FigureIds};
use serde_json::{Value, json};
use std::process::ExitCode;

/// Reads a logger's CSV or an EPW weather file and gives the air of each month.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
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
    /// A logger's file of the same house indoors: shows how near the indoor models come to it.
    #[arg(long, value_name = "INDOOR_FILE")]
    beside: Option<String>,
    /// With --beside: a new SVG file for the figure of the measured months and the first model.
    #[arg(long, value_name = "FILE", requires = "beside")]
    svg: Option<std::path::PathBuf>,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum Unit {
    /// Degrees Celsius.
    C,
    /// Degrees Fahrenheit.
    F,
}

/// What is given of the air, wherever it came from.
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
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
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
                Some(_) if beside.is_empty() => Some(reading.year(&name).map_err(given)?),
                _ => None,
            };
            (of_file(&name, &reading), year)
        }
    };
    if let (Some(file), Some(found)) = (&args.svg, beside.first()) {
        let house = args.beside.as_deref().unwrap_or("house");
        let figure = BesideFigure::of_house(house.rsplit('/').next().unwrap_or(house), found)
            .draw(&FigureIds::new().next("house", "beside"));
        create(file, figure.svg_file().as_bytes())?;
    }
    let indoors = room
        .zip(outdoor_year)
        .map(|(room, year)| (room, room.year(&year).months_of_the_year()));
    output.answer(
        &object::object(&air, indoors.as_ref(), &beside),
        &words::words(&air, indoors.as_ref(), &beside),
    )?;
    for warning in &air.warnings {
        output.say(&format!("Note: {warning}"));
    }
    Ok(ExitCode::SUCCESS)
}

fn given(error: impl std::fmt::Display) -> Failure {
    Failure::input(format!("error: {error}"))
}

fn open(path: &str, options: &Options) -> Result<(String, WeatherFile), Failure> {
    let name = if path == "-" { "standard input" } else { path };
    let bytes = read_bytes(path)?;
    let reading = weather_file::read(&bytes, name, options).map_err(given)?;
    Ok((name.to_owned(), reading))
}

fn of_place(name: &str) -> Result<(Air, Option<AirYear>), Failure> {
    let place = places::find(name).map_err(|error| given(format!("--place: {error}")))?;
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
                "years": epw.years.map(|(min, max)| [min, max]),
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
        return Err(given(
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
        return Err(given(format!(
            "`{outdoor_name}` and `{indoor_name}` share no month of two weeks; give two files of \
             the same days"
        )));
    }
    Ok(found)
}
