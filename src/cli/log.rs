//! `heartside log`: writes down a measurement in a job file and says what it changes.

use super::job_files::{load, load_text};
use super::output::replace;
use super::{Failure, Output};
use crate::forecast::forecast;
use crate::page::{Edit, Step, apply, today};
use crate::stock::WhenRead;
use crate::units::notation::{NotationError, visible};
use crate::units::spanned::ReadNotation;
use crate::units::{Length, Mass, MoistureContent, RelativeHumidity, Temperature};
use jiff::civil::Date;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::ExitCode;

/// Writes down a measurement in a job file, comments and layout kept, and says what it changes.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file (TOML).
    job: String,
    /// The part that was measured.
    #[arg(long, value_name = "NAME", conflicts_with_all = ["board", "joint", "place"])]
    part: Option<String>,
    /// The board that was measured: one to resaw, or one that parts name under `board`.
    #[arg(long, value_name = "NAME", conflicts_with_all = ["joint", "place"])]
    board: Option<String>,
    /// The leaf that was measured: of a panel by its name, or with `--board` by its number from the bark face.
    #[arg(long, value_name = "LEAF", conflicts_with_all = ["part", "joint", "place"])]
    leaf: Option<String>,
    /// The joint whose gap was measured.
    #[arg(long, value_name = "NAME", conflicts_with = "place")]
    joint: Option<String>,
    /// The place whose air was measured.
    #[arg(long, value_name = "NAME")]
    place: Option<String>,
    /// The moisture that the meter read.
    #[arg(long, value_name = "PERCENT", value_parser = text::<MoistureContent>)]
    moisture: Option<String>,
    /// The width of the part, board or leaf.
    #[arg(long, value_name = "LENGTH", value_parser = text::<Length>)]
    width: Option<String>,
    /// The thickness of the part, board or leaf.
    #[arg(long, value_name = "LENGTH", value_parser = text::<Length>)]
    thickness: Option<String>,
    /// How far the part has cupped since it was measured, positive: the bark face is hollow. Of a board or leaf its whole cup.
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true, allow_hyphen_values = true, value_parser = text::<Length>)]
    cup: Option<String>,
    /// How far the part has bowed since it was measured, positive: the bark face is hollow. Of a board or leaf its whole bow.
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true, allow_hyphen_values = true, value_parser = text::<Length>)]
    bow: Option<String>,
    /// The gap of the joint.
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true, allow_hyphen_values = true, value_parser = text::<Length>)]
    gap: Option<String>,
    /// The weight of one such part, board or leaf.
    #[arg(long, value_name = "MASS", value_parser = text::<Mass>)]
    weight: Option<String>,
    /// The humidity of the place.
    #[arg(long, value_name = "PERCENT", value_parser = text::<RelativeHumidity>)]
    humidity: Option<String>,
    /// The temperature beside the humidity.
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = text::<Temperature>, requires = "humidity")]
    temperature: Option<String>,
    /// The reading is right within this, nine times in ten.
    #[arg(long, value_name = "ERROR")]
    within: Option<String>,
    /// When a leaf's bow or cup was read: "off the saw" or "rested".
    #[arg(long, value_name = "WHEN", value_parser = text::<WhenRead>)]
    read: Option<String>,
    /// Anything worth remembering.
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// The day of the measurement, such as 2026-10-20; today on this machine unless given.
    #[arg(long, value_name = "DATE")]
    date: Option<Date>,
}

/// A flag's text as it goes into the file, once it can be read.
fn text<T: ReadNotation>(given: &str) -> Result<String, NotationError> {
    T::read(given).map(|_| given.to_owned())
}

impl Args {
    /// The entry as the file has it.
    fn entry(&self) -> Map<String, Value> {
        let date = self.date.unwrap_or_else(today).to_string();
        let keys = [
            ("part", &self.part),
            ("board", &self.board),
            ("leaf", &self.leaf),
            ("joint", &self.joint),
            ("place", &self.place),
            ("moisture", &self.moisture),
            ("width", &self.width),
            ("thickness", &self.thickness),
            ("cup", &self.cup),
            ("bow", &self.bow),
            ("gap", &self.gap),
            ("weight", &self.weight),
            ("humidity", &self.humidity),
            ("temperature", &self.temperature),
            ("within", &self.within),
            ("read", &self.read),
            ("note", &self.note),
        ];
        let mut entry = Map::from_iter([("date".to_owned(), json!(date))]);
        for (key, value) in keys {
            if let Some(value) = value {
                entry.insert(key.to_owned(), json!(value));
            }
        }
        entry
    }
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the job or the entry is wrong, which then is not written, or the file cannot be written.
pub(super) fn run(args: &Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    if args.job == "-" {
        return Err(Failure::input(
            "error: a measurement is written into a file; give the job file instead of `-`",
        ));
    }
    let before = load(&args.job)?.job;
    let edit = Edit {
        at: vec![Step::Key("log".to_owned()), Step::Index(before.log.len())],
        to: Value::Null,
        insert: Some(Value::Object(args.entry())),
    };
    let text =
        apply(&before.text, &[edit]).map_err(|error| Failure::input(format!("error: {error}")))?;
    let base = Path::new(&args.job).parent().unwrap_or(Path::new(""));
    let loaded = load_text(&text, &args.job, base)?;
    let found = forecast(&loaded.job, &loaded.species, &loaded.airs).map_err(Failure::input)?;
    replace(Path::new(&args.job), text.as_bytes())?;
    let words = found.log.as_ref().map(|log| log.words().join("\n"));
    let answer = BTreeMap::from([("log", &found.log)]);
    output.answer(&answer, &words.unwrap_or_default())?;
    output.say(&format!("Wrote the entry into {}", visible(&args.job)));
    Ok(ExitCode::SUCCESS)
}
