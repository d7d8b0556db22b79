//! The whole file: its sections, and how they become a checked job.

use super::GREATEST_BYTES;
use super::errors::JobErrors;
use super::parts::{Around, Part, PartKeys, check_names, place_names, take_count};
use super::places::{Climate, Place, PlaceId, PlaceKeys};
use super::schedule::{Schedule, ScheduleKeys};
use super::shape::Shape;
use crate::joint::plan::JointPlan;
use crate::joint::{Joints, PartFacts};
use crate::units::UnitSystem;
use crate::units::notation::{NotationError, Whole, one_of};
use crate::units::told::{Name, Placed, Problem, Problems, ReadNotation, Told};
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::OnceLock;
use toml::de::DeTable;

/// Draws for bands and chances, unless told.
const USUAL_DRAWS: u32 = 8_192;
/// Most draws.
const MOST_DRAWS: u64 = 1_000_000;

/// A job file: one piece of furniture, its parts, its joints and the air they live in.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "heartside job file")]
struct JobFile {
    /// The format of the file: 1.
    format: Told<Whole>,
    /// The piece as a whole.
    job: Option<Placed<JobKeys>>,
    /// The places where the parts are: "shop" until delivery, "home" after it, and others by name.
    #[serde(default)]
    places: BTreeMap<String, Placed<PlaceKeys>>,
    /// When the piece is made and when it moves.
    schedule: Option<Placed<ScheduleKeys>>,
    /// The parts.
    #[serde(default)]
    parts: Vec<Placed<PartKeys>>,
    /// The joints, a list for each kind.
    #[serde(default)]
    joints: Joints,
}

/// The piece as a whole.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct JobKeys {
    /// The name of the piece.
    name: Told<Name>,
    /// Which way lengths are shown first, "inch" or "metric"; metric unless told.
    show: Option<Told<UnitSystem>>,
    /// Seed of the draws; the same seed gives the same answers. 1 unless told.
    seed: Option<Told<Whole>>,
    /// How many draws bands and chances come from; 8192 unless told.
    draws: Option<Told<Whole>>,
    /// A table of woods of your own (CSV), from where the job file lies; it goes before the built-in one.
    species: Option<Told<Name>>,
}

impl ReadNotation for UnitSystem {
    const WHAT: &'static str = "\"inch\" or \"metric\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a way to show lengths",
            &[
                ("inch", Self::Inch),
                ("metric", Self::Metric),
                ("inches", Self::Inch),
                ("mm", Self::Metric),
            ],
        )
    }
}

/// A checked job: everything the file tells, in plain typed fields.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The name of the piece.
    pub name: String,
    /// Which way lengths are shown first.
    pub show: UnitSystem,
    /// Seed of the draws.
    pub seed: u64,
    /// How many draws.
    pub draws: u32,
    /// The maker's own table of woods.
    pub species_table: Option<FileNeeded>,
    /// The places, in the order of their ids.
    pub places: Vec<Place>,
    /// Where parts are until delivery unless they say otherwise.
    pub shop: PlaceId,
    /// Where parts are after delivery unless they say otherwise.
    pub home: PlaceId,
    /// The dates.
    pub schedule: Schedule,
    /// The parts, in the order of the file.
    pub parts: Vec<Part>,
    /// The joints, in the order of the file; their part ids are places in `parts`.
    pub joints: Vec<JointPlan>,
    /// The file's name, as the maker gave it.
    pub origin: String,
    /// The file's text, for pictures of what turns out wrong later.
    pub text: String,
}

/// A file that a job names; its path is relative to the job file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileNeeded {
    /// The path as told.
    pub path: String,
    /// Where the job file tells it.
    pub span: Range<usize>,
    /// What it is for.
    pub why: FileUse,
}

/// What a job needs a file for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileUse {
    /// The maker's own woods (CSV).
    SpeciesTable,
    /// A logger's air of the place of this name.
    Logger(String),
    /// A weather file (EPW) of the place of this name.
    Weather(String),
}

impl Job {
    /// Every file the job names, in the order of the file.
    #[must_use]
    pub fn files(&self) -> Vec<&FileNeeded> {
        let mut files: Vec<&FileNeeded> = self
            .places
            .iter()
            .filter_map(|place| match &place.climate {
                Climate::Year(_) => None,
                Climate::Logger { file, .. } | Climate::Weather { file, .. } => Some(file),
            })
            .chain(&self.species_table)
            .collect();
        files.sort_by_key(|file| file.span.start);
        files
    }

    /// A place by its id.
    ///
    /// # Panics
    /// On an id of another job: an error in the program.
    #[must_use]
    pub fn place(&self, id: PlaceId) -> &Place {
        &self.places[id.0]
    }

    /// The sizes of the parts, in their order.
    #[must_use]
    pub fn part_facts(&self) -> Vec<PartFacts> {
        self.parts.iter().map(facts).collect()
    }

    /// Every wood the job names, with its place in the file.
    pub fn species_named(&self) -> impl Iterator<Item = (&str, Range<usize>)> {
        self.parts
            .iter()
            .map(|part| (part.species.as_str(), part.species_span.clone()))
    }

    /// An error at a place of this job's file, found after the file itself was read: a file it names
    /// cannot be read, a wood is unknown.
    #[must_use]
    pub fn error(&self, problems: Vec<Problem>) -> JobErrors {
        JobErrors::new(&self.origin, &self.text, problems)
    }
}

fn facts(part: &Part) -> PartFacts {
    PartFacts {
        name: part.name.clone(),
        length: part.length,
        width: part.width,
        thickness: part.thickness,
    }
}

/// The JSON Schema of the job file, with what each key means.
#[must_use]
pub fn schema() -> Value {
    whole_schema().clone()
}

fn whole_schema() -> &'static Value {
    static SCHEMA: OnceLock<Value> = OnceLock::new();
    SCHEMA.get_or_init(|| {
        let mut schema = schemars::schema_for!(JobFile).to_value();
        without_null(&mut schema);
        schema
    })
}

/// TOML has no null: a key that may be left out is simply left out.
fn without_null(schema: &mut Value) {
    match schema {
        Value::Object(keys) => {
            let alone = keys
                .get("anyOf")
                .and_then(Value::as_array)
                .and_then(|ways| {
                    let told: Vec<_> = ways.iter().filter(|way| way["type"] != "null").collect();
                    match told[..] {
                        [Value::Object(way)] if ways.len() == 2 => Some(way.clone()),
                        _ => None,
                    }
                });
            if let Some(way) = alone {
                keys.remove("anyOf");
                keys.extend(way);
            }
            if let Some(Value::Array(types)) = keys.get_mut("type") {
                types.retain(|name| name != "null");
                if let [only] = &types[..] {
                    let only = only.clone();
                    keys.insert("type".to_owned(), only);
                }
            }
            if keys.get("default") == Some(&Value::Null) {
                keys.remove("default");
            }
            keys.values_mut().for_each(without_null);
        }
        Value::Array(list) => list.iter_mut().for_each(without_null),
        _ => {}
    }
}

/// Reads a job file from its bytes.
///
/// # Errors
/// [`JobErrors`] as [`read`], and when the bytes are more than a megabyte or not UTF-8.
pub fn read_bytes(bytes: &[u8], origin: &str) -> Result<Job, JobErrors> {
    check_size(bytes.len(), origin)?;
    match std::str::from_utf8(bytes) {
        Ok(text) => read(text, origin),
        Err(error) => {
            let good = String::from_utf8_lossy(&bytes[..error.valid_up_to()]);
            let at = good.len();
            let remedy = "save the file as UTF-8 text";
            Err(JobErrors::one(
                origin,
                &format!("{good}\u{fffd}"),
                at..at + 3,
                "the file is not UTF-8 text",
                remedy,
            ))
        }
    }
}

fn check_size(bytes: usize, origin: &str) -> Result<(), JobErrors> {
    if bytes <= GREATEST_BYTES {
        return Ok(());
    }
    Err(JobErrors::one(
        origin,
        "",
        0..0,
        &format!("the job file has {bytes} bytes, and a job file has at most {GREATEST_BYTES}"),
        "keep loggers and weather in files of their own and name them under [places]",
    ))
}

/// Reads and checks a job file; `origin` is its name in error pictures.
///
/// # Errors
/// [`JobErrors`]: TOML that cannot be read stops at its first error; else every unknown or missing key,
/// every value that cannot be read and everything that does not fit together, in the order of the file.
pub fn read(text: &str, origin: &str) -> Result<Job, JobErrors> {
    check_size(text.len(), origin)?;
    if text.trim_start_matches('\u{feff}').trim().is_empty() {
        return Err(JobErrors::one(
            origin,
            "",
            0..0,
            "the job file is empty",
            "`heartside new` writes a commented job file to start from",
        ));
    }
    let mut table = DeTable::parse(text).map_err(|error| syntax(&error, text, origin))?;
    let mut shape = Shape::new(whole_schema());
    shape.file(table.get_mut());
    let (mut problems, silenced) = shape.finish();
    let file = match JobFile::deserialize(toml::Deserializer::from(table)) {
        Ok(file) => file,
        Err(error) => {
            // The walk along the schema has found every wrong shape, so this is at most a second opinion.
            if problems.is_empty() {
                return Err(syntax(&error, text, origin));
            }
            return Err(JobErrors::new(origin, text, problems.into_sorted()));
        }
    };
    let mut meaning = Problems::default();
    let job = file.check(text, origin, &mut meaning);
    problems.append_unless(meaning, |span| silenced.contains(span));
    match job {
        Some(job) if problems.is_empty() => Ok(job),
        _ => Err(JobErrors::new(origin, text, problems.into_sorted())),
    }
}

fn syntax(error: &toml::de::Error, text: &str, origin: &str) -> JobErrors {
    let remedy = if error.message().contains("duplicate key") {
        "tell each key and each table once; lists of tables are written [[parts]]"
    } else if error.message().contains("date") {
        "write year, month and day, such as 2026-10-05"
    } else {
        "write key = \"value\" on a line of its own, [section] or [[list]] above its keys"
    };
    JobErrors::one(
        origin,
        text,
        error.span().unwrap_or(0..0),
        &format!("this is not TOML: {}", error.message()),
        remedy,
    )
}

impl JobFile {
    fn check(&self, text: &str, origin: &str, problems: &mut Problems) -> Option<Job> {
        self.check_format(problems);
        let head = self.head(problems);
        let places = self.check_places(problems);
        let names = place_names(&places);
        let id = |wanted: &str| names.iter().position(|name| name == wanted).map(PlaceId);
        let (shop, home) = (id("shop"), id("home"));
        let schedule = match &self.schedule {
            Some(keys) => keys.get().read(keys.span(), problems),
            None => {
                problems.push(
                    0..0,
                    "the job file has no [schedule]",
                    "add [schedule] with measured = 2026-10-05 and delivered = 2026-11-20",
                );
                None
            }
        };
        let around = Around {
            schedule: schedule.as_ref(),
            place_names: &names,
        };
        check_names(&self.parts, problems);
        let mut parts = Vec::with_capacity(self.parts.len());
        let mut all = Vec::with_capacity(self.parts.len());
        for part in &self.parts {
            let read = part.get().read(part.span(), &around, problems);
            all.push(part.get().rough_facts());
            parts.extend(read);
        }
        let parts_are_right = parts.len() == self.parts.len();
        let mut below = Problems::default();
        let known: Vec<PartFacts> = if parts_are_right {
            parts.iter().map(facts).collect()
        } else {
            all
        };
        let joints = self.joints.read(&known, &mut below);
        problems.append(below, !parts_are_right);
        let (name, show, seed, draws, species_table) = head?;
        Some(Job {
            name,
            show,
            seed,
            draws,
            species_table,
            places: places
                .into_iter()
                .map(|(_, place)| place)
                .collect::<Option<_>>()?,
            shop: shop?,
            home: home?,
            schedule: schedule?,
            parts,
            joints,
            origin: origin.to_owned(),
            text: text.to_owned(),
        })
    }

    fn check_format(&self, problems: &mut Problems) {
        if let Some(Whole(format)) = problems.take(&self.format)
            && format != 1
        {
            problems.push(
                self.format.span(),
                format!("format {format} is not known to this heartside"),
                "write format = 1, or use the heartside that wrote the file",
            );
        }
    }

    #[expect(clippy::type_complexity, reason = "taken apart by its one caller")]
    fn head(
        &self,
        problems: &mut Problems,
    ) -> Option<(String, UnitSystem, u64, u32, Option<FileNeeded>)> {
        let Some(keys) = &self.job else {
            problems.push(
                0..0,
                "the job file has no [job]",
                "add [job] with name = \"...\", the name of the piece",
            );
            return None;
        };
        let keys = keys.get();
        let name = problems.take(&keys.name);
        let show = problems.take_optional(keys.show.as_ref());
        let seed = problems.take_optional(keys.seed.as_ref());
        let draws = take_count(keys.draws.as_ref(), MOST_DRAWS, USUAL_DRAWS, problems);
        let species = match &keys.species {
            None => Some(None),
            Some(told) => problems.take(told).map(|path| {
                Some(FileNeeded {
                    path: path.0,
                    span: told.span(),
                    why: FileUse::SpeciesTable,
                })
            }),
        };
        Some((
            name?.0,
            show?.unwrap_or_default(),
            seed?.map_or(1, |seed| seed.0),
            draws?,
            species?,
        ))
    }

    fn check_places(&self, problems: &mut Problems) -> Vec<(String, Option<Place>)> {
        let mut places: Vec<(Range<usize>, String, Option<Place>)> = self
            .places
            .iter()
            .map(|(name, keys)| {
                let place = keys.get().read(name, keys.span(), problems);
                (keys.span(), name.clone(), place)
            })
            .collect();
        places.sort_by_key(|(span, ..)| span.start);
        for (wanted, what) in [
            ("shop", "where the piece is made"),
            ("home", "where it will stand"),
        ] {
            if !self.places.contains_key(wanted) {
                problems.push(
                    places.first().map_or(0..0, |(span, ..)| span.clone()),
                    format!("the job file has no [places.{wanted}]"),
                    format!("add [places.{wanted}], the air {what}"),
                );
            }
        }
        places
            .into_iter()
            .map(|(_, name, place)| (name, place))
            .collect()
    }
}
