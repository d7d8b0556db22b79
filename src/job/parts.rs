//! The parts of a job.

use super::climate::PlaceId;
use super::schedule::{Schedule, check_day};
use crate::joint::PartFacts;
use crate::moisture::{FaceExchange, Finish, UnknownFinish};
use crate::movement::{GivenRings, Rings, RingsKeys, Sawn};
use crate::species::SpeciesTable;
use crate::units::notation::{Names, NotationError, Whole, one_of};
use crate::units::spanned::{Name, Placed, Problems, ReadNotation, Spanned};
use crate::units::{Bounds, Length, MoistureContent};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::HashMap;
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
    /// The wood or sheet, such as "walnut, black", "white oak" or "baltic birch plywood".
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
    /// Where the rings are, seen on the end grain bark side up. Not needed for a sheet, nor where the wood's name gives the sawing, as in "qs white oak".
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
    /// How many coats; one when not given, or the fewest that are known.
    coats: Option<Spanned<Whole>>,
    /// Which faces carry it, "both", "outside" (or "show"), "inside", "bark" or "heart"; both when not given.
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
    /// The face that shows alone, taken as the bark-side face.
    Outside,
    /// The face that does not show alone, taken as the heart-side face.
    Inside,
}

impl FinishedFaces {
    /// Whether the heart-side face carries the finish, and whether the bark-side face does.
    #[must_use]
    pub const fn heart_and_bark(self) -> [bool; 2] {
        match self {
            Self::Both => [true, true],
            Self::Heart | Self::Inside => [true, false],
            Self::Bark | Self::Outside => [false, true],
        }
    }

    /// What is assumed where the word does not say on which side of the rings the face is.
    #[must_use]
    pub const fn assumed(self) -> Option<&'static str> {
        match self {
            Self::Outside => Some(
                "the outside is taken as the bark-side face; write faces = \"heart\" where the heart side shows",
            ),
            Self::Inside => Some(
                "the inside is taken as the heart-side face; write faces = \"bark\" where the heart side shows",
            ),
            Self::Both | Self::Bark | Self::Heart => None,
        }
    }
}

impl ReadNotation for FinishedFaces {
    const WHAT: &'static str = "\"both\", \"outside\", \"inside\", \"bark\" or \"heart\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a choice of faces",
            &[
                ("both", Self::Both),
                ("bark", Self::Bark),
                ("heart", Self::Heart),
                ("outside", Self::Outside),
                ("show", Self::Outside),
                ("inside", Self::Inside),
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
    /// How many coats, where they are given.
    pub coats: Option<u32>,
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
        given
            .faces
            .heart_and_bark()
            .map(|carries| if carries { finished } else { bare })
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

/// The way of sawing that a wood's name gives; a sheet has its layers in its plane.
fn sawn_beside(wood: &str) -> Option<Sawn> {
    let sheet = || {
        SpeciesTable::built_in()
            .find(wood)
            .ok()?
            .sheet()
            .map(|_| Sawn::Flat)
    };
    Sawn::beside_wood(wood).or_else(sheet)
}

/// What a part is checked against.
pub(super) struct Around<'a> {
    /// The dates; `None` when they are wrong.
    pub(super) schedule: Option<&'a Schedule>,
    /// The names under `[places]` in their order, with the wrong ones.
    pub(super) place_names: &'a Names<'a>,
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
        let beside = sawn_beside(self.species.text());
        let rings_given = if let Some(rings) = &self.rings {
            let given = rings.get().read(rings.span(), problems);
            if let (Some(GivenRings::Sawn(given)), Some(beside)) = (&given, beside)
                && *given != beside
            {
                problems.push(
                    rings.span(),
                    format!(
                        "the wood is named as {}-sawn, the rings say {}",
                        beside.word(),
                        given.word()
                    ),
                    "keep one of the two",
                );
            }
            given
        } else if let Some(sawn) = beside {
            Some(GivenRings::Sawn(sawn))
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
        let rings = match (&rings_given, width, thickness) {
            (Some(given), Some(width), Some(thickness)) => match given.rings(width, thickness) {
                Ok(rings) => Some(rings),
                Err(error) => {
                    let at = self
                        .rings
                        .as_ref()
                        .map_or(self.species.span(), Placed::span);
                    problems.refuse(at, &error);
                    None
                }
            },
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
        let mut boards: HashMap<&str, &str> = HashMap::new();
        for keys in parts.iter().map(Placed::get) {
            let Some(board) = &keys.board else { continue };
            let (name, wood) = (board.text().trim(), keys.species.text().trim());
            match boards.get(name) {
                None => {
                    boards.insert(name, wood);
                }
                Some(known) if known.eq_ignore_ascii_case(wood) => {}
                Some(known) => problems.push(
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
        let find = |wanted: &str| self.place_names.find(wanted);
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
        let found = self.place_names.find(wanted).map(PlaceId);
        if found.is_none() {
            let how = format!("[places.{wanted}]");
            let remedy = self.place_names.remedy("place", wanted, &how);
            problems.push(span, format!("no place is named `{wanted}`"), remedy);
        }
        found
    }
}

impl FinishKeys {
    fn read(&self, problems: &mut Problems) -> Option<PartFinish> {
        let kind = problems.take(&self.kind);
        let coats = match &self.coats {
            None => Some(None),
            Some(given) => take_count(Some(given), MOST_COATS, 1, problems).map(Some),
        };
        let faces = problems.take_optional(self.faces.as_ref());
        let on = problems.take_optional(self.on.as_ref());
        let (kind, coats) = (kind?.0, coats?);
        let found = match coats {
            Some(coats) => Finish::find(&kind, coats),
            None => Finish::thinnest(&kind),
        };
        let finish = match found {
            Ok(finish) => finish,
            Err(unknown) => {
                let at = match (&unknown, &self.coats) {
                    (UnknownFinish::Coats { .. }, Some(given)) => given.span(),
                    _ => self.kind.span(),
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
