//! The parts of a job.

use super::climate::PlaceId;
use super::names::find_name;
use super::schedule::{Schedule, check_day};
use crate::joint::PartFacts;
use crate::moisture::{FaceExchange, Finish, UnknownFinish};
use crate::movement::{GivenRings, Rings, RingsKeys};
use crate::units::notation::{NotationError, Whole, one_of};
use crate::units::spanned::{Name, Placed, Problems, ReadNotation, Spanned};
use crate::units::{Bounds, Length, MoistureContent};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// Most pieces of one part.
const MOST_ALIKE: u64 = 10_000;
/// Most coats of a finish.
const MOST_COATS: u64 = 20;

/// One part of the piece, or several alike.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct PartKeys {
    /// The part's name, which joints use.
    pub(super) name: Spanned<Name>,
    /// The wood, such as "walnut, black".
    pub(super) species: Spanned<Name>,
    /// From face to face, today.
    pub(super) thickness: Spanned<Length>,
    /// Across the grain, today.
    pub(super) width: Spanned<Length>,
    /// Along the grain, today.
    pub(super) length: Spanned<Length>,
    /// Moisture content today, by meter or oven.
    pub(super) moisture: Spanned<MoistureContent>,
    /// The day of these sizes and of the moisture reading, unless [schedule] tells one for all.
    pub(super) measured: Option<Spanned<Date>>,
    /// Where the rings are, seen on the end grain bark side up.
    pub(super) rings: Option<Placed<RingsKeys>>,
    /// The finish; bare wood unless given.
    pub(super) finish: Option<Placed<FinishKeys>>,
    /// The board it is cut from: parts of one board shrink alike, and an off-cut of one tells of all. A board of its own unless given.
    pub(super) board: Option<Spanned<Name>>,
    /// How many are alike; 1 unless given.
    pub(super) count: Option<Spanned<Whole>>,
    /// The place where it is until delivery; "shop" unless given.
    pub(super) made_in: Option<Spanned<Name>>,
    /// The place where it is from then on; "home" unless given.
    pub(super) stands_in: Option<Spanned<Name>>,
}

/// A finish.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct FinishKeys {
    /// Its kind, such as "urethane varnish".
    kind: Spanned<Name>,
    /// How many coats.
    coats: Spanned<Whole>,
    /// Which faces carry it, "both", "bark" or "heart"; both unless given.
    faces: Option<Spanned<FinishedFaces>>,
    /// The day it is on; the day of gluing up unless given. The wood is bare before.
    on: Option<Spanned<Date>>,
}

/// Which faces of a part carry its finish.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FinishedFaces {
    /// Both.
    #[default]
    Both,
    /// The bark-side face alone.
    Bark,
    /// The heart-side face alone.
    Heart,
}

impl ReadNotation for FinishedFaces {
    const WHAT: &'static str = "\"both\", \"bark\" or \"heart\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a choice of faces",
            &[
                ("both", Self::Both),
                ("bark", Self::Bark),
                ("heart", Self::Heart),
            ],
        )
    }
}

/// The finish of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFinish {
    /// Its kind as given.
    pub kind: String,
    /// Where the file tells the kind.
    pub span: Range<usize>,
    /// How many coats, 1 or more.
    pub coats: u32,
    /// The finish that is meant.
    pub finish: Finish,
    /// Which faces carry it.
    pub faces: FinishedFaces,
    /// The day it is on; none: the day of gluing up.
    pub on: Option<Date>,
}

/// One part, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name, unique in the job.
    pub name: String,
    /// Where the file tells it.
    pub span: Range<usize>,
    /// The wood as given.
    pub species: String,
    /// Where the file tells the wood.
    pub species_span: Range<usize>,
    /// From face to face on the day of measuring.
    pub thickness: Length,
    /// Across the grain on that day.
    pub width: Length,
    /// Along the grain on that day.
    pub length: Length,
    /// Moisture content on that day.
    pub moisture: MoistureContent,
    /// The day of measuring.
    pub measured: Date,
    /// The rings as given.
    pub rings_given: GivenRings,
    /// The rings.
    pub rings: Rings,
    /// The finish; bare when none.
    pub finish: Option<PartFinish>,
    /// The board it is cut from, where it is given.
    pub board: Option<String>,
    /// How many are alike.
    pub count: u32,
    /// Where it is until delivery.
    pub made_in: PlaceId,
    /// Where it is from then on.
    pub stands_in: PlaceId,
}

impl Part {
    /// What each face carries, the heart-side face first: the finish or bare wood, open to the air.
    #[must_use]
    pub fn faces(&self) -> [FaceExchange; 2] {
        let bare = FaceExchange::Open(Finish::bare());
        let Some(given) = &self.finish else {
            return [bare; 2];
        };
        let finished = FaceExchange::Open(given.finish);
        match given.faces {
            FinishedFaces::Both => [finished; 2],
            FinishedFaces::Heart => [finished, bare],
            FinishedFaces::Bark => [bare, finished],
        }
    }

    /// The sizes that a joint needs.
    #[must_use]
    pub fn facts(&self) -> PartFacts {
        PartFacts {
            name: self.name.clone(),
            length: self.length,
            width: self.width,
            thickness: self.thickness,
        }
    }
}

/// What a part is checked against.
pub(super) struct Around<'a> {
    /// The dates; `None` when they are wrong.
    pub(super) schedule: Option<&'a Schedule>,
    /// The names under `[places]` in their order, with the wrong ones.
    pub(super) place_names: &'a [String],
}

impl PartKeys {
    pub(super) fn read(
        &self,
        span: Range<usize>,
        around: &Around<'_>,
        problems: &mut Problems,
    ) -> Option<Part> {
        let name = problems.take(&self.name);
        let species = problems.take(&self.species);
        let within = |problems: &mut Problems, given: &Spanned<Length>, bounds: Bounds| {
            let remedy = format!("give the {} of the part itself", bounds.label);
            problems.take_checked(given, |length| length.within(bounds), &remedy)
        };
        let thickness = within(problems, &self.thickness, Bounds::THICKNESS);
        let width = within(problems, &self.width, Bounds::WIDTH);
        let length = within(problems, &self.length, Bounds::BOARD_LENGTH);
        let moisture = problems.take(&self.moisture);
        let measured = self.measured_on(&span, around, problems);
        let rings_given = if let Some(rings) = &self.rings {
            rings.get().read(rings.span(), problems)
        } else {
            problems.push(
                span.clone(),
                "the part does not tell its rings",
                "add rings = { sawn = \"flat\" } (or \"rift\", \"quarter\"), or better { pith_depth = \"3in\", pith_offset = \"0in\" }, { rise = ..., chord = ... }, { radius = ... } or { angles = ... }",
            );
            None
        };
        let finish = match &self.finish {
            None => Some(None),
            Some(finish) => finish.get().read(problems).map(Some),
        };
        let board = problems.take_optional(self.board.as_ref());
        let count = take_count(self.count.as_ref(), MOST_ALIKE, 1, problems);
        let made_in = around.place(self.made_in.as_ref(), "shop", problems);
        let stands_in = around.place(self.stands_in.as_ref(), "home", problems);
        let rings = match (&rings_given, &self.rings, width, thickness) {
            (Some(given), Some(keys), Some(width), Some(thickness)) => {
                match given.rings(width, thickness) {
                    Ok(rings) => Some(rings),
                    Err(error) => {
                        let words = error.to_string();
                        let (message, remedy) = words
                            .split_once("; ")
                            .unwrap_or((&words, "measure the rings again"));
                        problems.push(keys.span(), message, remedy);
                        None
                    }
                }
            }
            _ => None,
        };
        Some(Part {
            name: name?.0,
            span,
            species: species?.0,
            species_span: self.species.span(),
            thickness: thickness?,
            width: width?,
            length: length?,
            moisture: moisture?,
            measured: measured?,
            rings_given: rings_given?,
            rings: rings?,
            finish: finish?,
            board: board?.map(|Name(name)| name),
            count: count?,
            made_in: made_in?,
            stands_in: stands_in?,
        })
    }

    /// Notes a board that two parts tell to be of different woods.
    pub(super) fn check_boards(parts: &[Placed<Self>], problems: &mut Problems) {
        let mut boards: Vec<(&str, &str)> = Vec::new();
        for keys in parts.iter().map(Placed::get) {
            let Some(board) = &keys.board else { continue };
            let (name, wood) = (board.text().trim(), keys.species.text().trim());
            match boards.iter().find(|(known, _)| *known == name) {
                None => boards.push((name, wood)),
                Some((_, known)) if known.eq_ignore_ascii_case(wood) => {}
                Some((_, known)) => problems.push(
                    board.span(),
                    format!(
                        "the board `{name}` is of {known} for one part and of {wood} for this one"
                    ),
                    "give each board a name of its own, or fix the wood",
                ),
            }
        }
    }

    /// The part's name and sizes where they can be read, for what stands below the parts in the file.
    pub(super) fn rough_facts(&self) -> PartFacts {
        let mut unheard = Problems::default();
        let mut size = |given: &Spanned<Length>| unheard.take(given).unwrap_or_default();
        PartFacts {
            name: self.name.text().trim().to_owned(),
            length: size(&self.length),
            width: size(&self.width),
            thickness: size(&self.thickness),
        }
    }

    fn measured_on(
        &self,
        span: &Range<usize>,
        around: &Around<'_>,
        problems: &mut Problems,
    ) -> Option<Date> {
        let Some(given) = &self.measured else {
            let schedule = around.schedule?;
            if schedule.measured.is_none() {
                problems.push(
                    span.clone(),
                    "the day of measuring is not given",
                    "add measured = 2026-10-05 to the part, or to [schedule] for all parts",
                );
            }
            return schedule.measured;
        };
        let day = problems.take(given)?;
        let schedule = around.schedule?;
        check_day(given, day, schedule.assembled, schedule.delivered, problems)?;
        Some(day)
    }
}

impl Around<'_> {
    /// The place a part names; the usual one when it names none.
    fn place(
        &self,
        given: Option<&Spanned<Name>>,
        usual: &str,
        problems: &mut Problems,
    ) -> Option<PlaceId> {
        let find = |wanted: &str| self.place_names.iter().position(|name| name == wanted);
        let Some(given) = given else {
            // That the usual places are missing is said once, for the whole file.
            return find(usual).map(PlaceId);
        };
        let Name(wanted) = problems.take(given)?;
        self.find_place(&wanted, given.span(), problems)
    }

    /// The place of a name, or `None` after noting that there is none.
    pub(super) fn find_place(
        &self,
        wanted: &str,
        span: Range<usize>,
        problems: &mut Problems,
    ) -> Option<PlaceId> {
        let names = self.place_names.iter().map(String::as_str);
        let how = format!("[places.{wanted}]");
        find_name("place", wanted, span, names, &how, problems).map(PlaceId)
    }
}

impl FinishKeys {
    fn read(&self, problems: &mut Problems) -> Option<PartFinish> {
        let kind = problems.take(&self.kind);
        let coats = take_count(Some(&self.coats), MOST_COATS, 1, problems);
        let faces = problems.take_optional(self.faces.as_ref());
        let on = problems.take_optional(self.on.as_ref());
        let (kind, coats) = (kind?.0, coats?);
        let finish = match Finish::find(&kind, coats) {
            Ok(finish) => finish,
            Err(unknown) => {
                let at = match unknown {
                    UnknownFinish::Kind { .. } => self.kind.span(),
                    UnknownFinish::Coats { .. } => self.coats.span(),
                };
                problems.push(at, unknown.message(), unknown.remedy());
                return None;
            }
        };
        Some(PartFinish {
            kind,
            span: self.kind.span(),
            coats,
            finish,
            faces: faces?.unwrap_or_default(),
            on: on?,
        })
    }
}

/// A whole number from 1 to `most`.
pub(super) fn take_count(
    given: Option<&Spanned<Whole>>,
    most: u64,
    usual: u32,
    problems: &mut Problems,
) -> Option<u32> {
    let Some(given) = given else {
        return Some(usual);
    };
    let Whole(count) = problems.take(given)?;
    match u32::try_from(count) {
        Ok(count) if count >= 1 && u64::from(count) <= most => Some(count),
        _ => {
            problems.push(
                given.span(),
                format!("{count} is outside 1 to {most}"),
                format!("give a whole number from 1 to {most}"),
            );
            None
        }
    }
}
