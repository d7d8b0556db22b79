//! `[[log]]`: what was measured on the way from the rough board to the house, each reading with its day.

mod subject;

use crate::chance::NINE_IN_TEN;
use crate::job::climate::PlaceId;
use crate::job::part::Part;
use crate::job::schedule::Schedule;
use crate::joint::{JointPlan, Parts};
use crate::panel::PanelPlan;
use crate::stock::{BoardPlan, WhenRead};
use crate::units::notation::{Names, NotationError, Percent};
use crate::units::spanned::{Name, Placed, Problems, ReadNotation, Spanned};
use crate::units::{Length, Mass, MoistureContent, RelativeHumidity, Temperature};
use jiff::ToSpan;
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;
use subject::before_the_parts;

/// Most entries of a log.
const MOST_ENTRIES: usize = 500;
/// Days after delivery that a forecast looks at.
const DAYS_AT_HOME: i64 = 730;

/// What an instrument is right within, nine times in ten, where nothing is given (judgement).
mod usual {
    /// Calipers across a board, mm.
    pub(super) const WIDTH_MM: f64 = 0.2;
    /// Calipers on a thickness, mm.
    pub(super) const THICKNESS_MM: f64 = 0.1;
    /// A feeler under a straightedge, mm.
    pub(super) const CUP_MM: f64 = 0.2;
    /// The same over a length, mm.
    pub(super) const BOW_MM: f64 = 0.3;
    /// A feeler in a gap, mm.
    pub(super) const GAP_MM: f64 = 0.2;
    /// A scale, as a share of the weight.
    pub(super) const WEIGHT_SHARE: f64 = 0.01;
    /// One reading of a room's humidity against its usual humidity of that day, percent: the weather of the week counts for
    /// more than the instrument.
    pub(super) const HUMIDITY_PERCENT: f64 = 10.0;
}

/// The error of an instrument as written: its unit is that of the quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Within(String);

impl ReadNotation for Within {
    const WHAT: &'static str = "a length, a percentage or a mass, as what was measured";
    const TAKES_UNIT_OF_JOB: bool = true;
    fn read(text: &str) -> Result<Self, NotationError> {
        Name::read(text).map(|Name(text)| Self(text))
    }
}

/// A leaf as written: the number of a board's leaf, or the name of a panel's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct LeafName(String);

impl ReadNotation for LeafName {
    const WHAT: &'static str =
        "the number of a board's leaf from its bark face, or the name of a panel's leaf";
    const TAKES_BARE: bool = true;
    fn read(text: &str) -> Result<Self, NotationError> {
        Name::read(text).map(|Name(text)| Self(text))
    }
}

/// One measurement, with its day. It sharpens every answer that depends on the same wood, meter or room.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct LogKeys {
    /// The day it was measured.
    date: Spanned<Date>,
    /// The part that was measured.
    part: Option<Spanned<Name>>,
    /// Instead of a part: a board of [[boards]], or one that parts name under `board`.
    board: Option<Spanned<Name>>,
    /// A leaf of a panel by its name, or, with `board`, one of that board by its number from the bark face.
    leaf: Option<Spanned<LeafName>>,
    /// Instead of a part: the joint whose gap was measured.
    joint: Option<Spanned<Name>>,
    /// Instead of a part: the place whose air was measured.
    place: Option<Spanned<Name>>,
    /// The moisture that the meter read.
    moisture: Option<Spanned<MoistureContent>>,
    /// The width of the part, board or leaf.
    width: Option<Spanned<Length>>,
    /// The thickness of the part, board or leaf.
    thickness: Option<Spanned<Length>>,
    /// How far the part has cupped since it was measured, positive: the bark face is hollow. Of a board or leaf its whole cup,
    /// positive: the sawn face is hollow.
    cup: Option<Spanned<Length>>,
    /// How far the part has bowed since it was measured, positive: the bark face is hollow. Of a board or leaf its whole bow,
    /// positive: the sawn face is hollow.
    bow: Option<Spanned<Length>>,
    /// The gap of the joint.
    gap: Option<Spanned<Length>>,
    /// The weight of one such part, board or leaf, nothing fixed to it.
    weight: Option<Spanned<Mass>>,
    /// The humidity of the place.
    humidity: Option<Spanned<RelativeHumidity>>,
    /// The temperature beside the humidity; the usual one of that day unless given.
    temperature: Option<Spanned<Temperature>>,
    /// The reading is right within this, nine times in ten. Unless given: the meter's scatter under [chance] for a moisture, 0.2 mm
    /// for a width, a cup or a gap, 0.1 mm for a thickness, 0.3 mm for a bow, 1% of a weight, 10% for a humidity. A moisture whose
    /// error is given is taken as free of the meter's own bias, such as one from the oven.
    within: Option<Spanned<Within>>,
    /// When a leaf's bow or cup was read: "off the saw" or "rested"; off the saw unless given.
    read: Option<Spanned<WhenRead>>,
    /// Anything worth remembering.
    note: Option<Spanned<Name>>,
}

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LogSubject {
    /// A part, by its place in the job.
    Part(usize),
    /// A board, by the first part cut from it and by its place among the boards to resaw, whichever there are.
    Board {
        /// The first part cut from it; none where that part was not measured yet.
        part: Option<usize>,
        /// Among the boards to resaw.
        stock: Option<usize>,
    },
    /// A leaf of a board to resaw.
    BoardLeaf {
        /// The board.
        board: usize,
        /// Its number, from 1 at the bark face.
        leaf: usize,
        /// When its bow or cup was read.
        read: WhenRead,
    },
    /// A leaf of a panel, by both places.
    PanelLeaf {
        /// The panel.
        panel: usize,
        /// The leaf.
        leaf: usize,
    },
    /// A fit of a joint, by both places.
    Fit {
        /// The joint.
        joint: usize,
        /// Its fit.
        fit: usize,
    },
    /// The air of a place.
    Place(PlaceId),
}

impl LogSubject {
    /// The part, or the first one cut from the board.
    #[must_use]
    pub const fn part(&self) -> Option<usize> {
        match self {
            Self::Part(part) => Some(*part),
            Self::Board { part, .. } => *part,
            Self::BoardLeaf { .. } | Self::PanelLeaf { .. } | Self::Fit { .. } | Self::Place(_) => {
                None
            }
        }
    }

    /// Whether it says something of the inputs that the draws vary.
    #[must_use]
    pub const fn is_drawn(&self) -> bool {
        match self {
            Self::Part(_) | Self::Fit { .. } | Self::Place(_) => true,
            Self::Board { part, .. } => part.is_some(),
            Self::BoardLeaf { .. } | Self::PanelLeaf { .. } => false,
        }
    }

    /// Whether it says something of the boards to resaw, or of the leaves to match.
    #[must_use]
    pub const fn is_stock(&self) -> bool {
        match self {
            Self::Part(_) | Self::Fit { .. } | Self::Place(_) => false,
            Self::Board { stock, .. } => stock.is_some(),
            Self::BoardLeaf { .. } | Self::PanelLeaf { .. } => true,
        }
    }
}

/// A reading and its quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LogReading {
    /// By a meter.
    Moisture(MoistureContent),
    /// Across the face.
    Width(Length),
    /// From face to face.
    Thickness(Length),
    /// Of the bark face since the day of measuring.
    Cup(Length),
    /// Along the bark face since the day of measuring.
    Bow(Length),
    /// Of a joint.
    Gap(Length),
    /// Of one part.
    Weight(Mass),
    /// Of a place.
    Air {
        /// Its humidity.
        humidity: RelativeHumidity,
        /// Its temperature, where given.
        temperature: Option<Temperature>,
    },
}

impl LogReading {
    /// The quantity's key.
    #[must_use]
    pub const fn quantity(&self) -> &'static str {
        match self {
            Self::Moisture(_) => "moisture",
            Self::Width(_) => "width",
            Self::Thickness(_) => "thickness",
            Self::Cup(_) => "cup",
            Self::Bow(_) => "bow",
            Self::Gap(_) => "gap",
            Self::Weight(_) => "weight",
            Self::Air { .. } => "humidity",
        }
    }

    /// The number read: percent, mm or grams.
    #[must_use]
    pub fn number(&self) -> f64 {
        match self {
            Self::Moisture(moisture) => moisture.percent(),
            Self::Width(length)
            | Self::Thickness(length)
            | Self::Cup(length)
            | Self::Bow(length)
            | Self::Gap(length) => length.mm(),
            Self::Weight(mass) => mass.grams(),
            Self::Air { humidity, .. } => humidity.percent(),
        }
    }

    /// What it is right within unless given, in the unit of its number; a meter's is its scatter.
    fn usual_within(&self) -> Option<f64> {
        Some(match self {
            Self::Moisture(_) => return None,
            Self::Width(_) => usual::WIDTH_MM,
            Self::Thickness(_) => usual::THICKNESS_MM,
            Self::Cup(_) => usual::CUP_MM,
            Self::Bow(_) => usual::BOW_MM,
            Self::Gap(_) => usual::GAP_MM,
            Self::Weight(mass) => usual::WEIGHT_SHARE * mass.grams(),
            Self::Air { .. } => usual::HUMIDITY_PERCENT,
        })
    }
}

/// One entry, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct LogEntry {
    /// The day.
    pub date: Date,
    /// What was measured.
    pub subject: LogSubject,
    /// Its name as the job has it.
    pub name: String,
    /// The reading.
    pub reading: LogReading,
    /// Standard deviation of the instrument's error in the unit of the reading's number; `None`: the scatter of the job's meter.
    pub deviation: Option<f64>,
    /// What the maker wrote beside it.
    pub note: Option<String>,
    /// Where the job file has it.
    pub span: Range<usize>,
}

/// What an entry may name, and the days it may have.
pub(super) struct Around<'a> {
    pub(super) facts: &'a Parts<'a>,
    pub(super) parts: Option<&'a [Part]>,
    pub(super) joints: &'a [JointPlan],
    pub(super) boards: &'a [Option<BoardPlan>],
    pub(super) panels: &'a [Option<PanelPlan>],
    pub(super) places: &'a Names<'a>,
    pub(super) schedule: Option<&'a Schedule>,
}

/// Every entry of a job, or `None` when one is wrong.
pub(super) fn read_log(
    list: &[Placed<LogKeys>],
    around: &Around<'_>,
    problems: &mut Problems,
) -> Option<Vec<LogEntry>> {
    if list.len() > MOST_ENTRIES {
        problems.push(
            list[MOST_ENTRIES].span(),
            format!(
                "the log has {} entries, and at most {MOST_ENTRIES} are taken",
                list.len()
            ),
            "leave the oldest ones out",
        );
        return None;
    }
    let entries: Vec<Option<LogEntry>> = list
        .iter()
        .map(|keys| keys.get().read(keys.span(), around, problems))
        .collect();
    entries.into_iter().collect()
}

impl LogKeys {
    fn read(
        &self,
        span: Range<usize>,
        around: &Around<'_>,
        problems: &mut Problems,
    ) -> Option<LogEntry> {
        let date = problems.take(&self.date);
        let note = problems.take_optional(self.note.as_ref());
        let reading = self.reading(&span, problems);
        let subject = self.subject(&span, reading.as_ref(), around, problems);
        let (date, reading, (subject, name)) = (date?, reading?, subject?);
        let subject = before_the_parts(date, subject, around);
        self.check_day(date, subject, &name, around, problems)?;
        let deviation = self.deviation(&reading, problems)?;
        Some(LogEntry {
            date,
            subject,
            name,
            reading,
            deviation,
            note: note?.map(|Name(text)| text),
            span,
        })
    }

    /// The one quantity that was read.
    fn reading(&self, span: &Range<usize>, problems: &mut Problems) -> Option<LogReading> {
        type OfLength<'a> = (
            &'a Option<Spanned<Length>>,
            &'a str,
            fn(Length) -> LogReading,
        );
        let temperature = problems.take_optional(self.temperature.as_ref());
        let mut found: Vec<(Range<usize>, &str, Option<LogReading>)> = Vec::new();
        if let Some(given) = &self.moisture {
            let read = problems.take(given).map(LogReading::Moisture);
            found.push((given.span(), "moisture", read));
        }
        let lengths: [OfLength<'_>; 5] = [
            (&self.width, "width", LogReading::Width),
            (&self.thickness, "thickness", LogReading::Thickness),
            (&self.cup, "cup", LogReading::Cup),
            (&self.bow, "bow", LogReading::Bow),
            (&self.gap, "gap", LogReading::Gap),
        ];
        for (given, key, of) in lengths {
            if let Some(given) = given {
                let read = problems.take(given).map(of);
                found.push((given.span(), key, read));
            }
        }
        if let Some(given) = &self.weight {
            let read = problems.take(given).map(LogReading::Weight);
            found.push((given.span(), "weight", read));
        }
        if let Some(given) = &self.humidity {
            let humidity = problems.take(given);
            let read = humidity
                .zip(temperature)
                .map(|(humidity, temperature)| LogReading::Air {
                    humidity,
                    temperature,
                });
            found.push((given.span(), "humidity", read));
        } else if let Some(given) = &self.temperature {
            problems.push(
                given.span(),
                "a temperature alone does not say how moist the wood becomes",
                "add the humidity that was read with it: humidity = \"45%\"",
            );
            return None;
        }
        match found.as_slice() {
            [] => {
                problems.push(
                    span.clone(),
                    "the entry has no reading",
                    "add one of moisture, width, thickness, cup, bow, gap, weight or humidity",
                );
                None
            }
            [(_, _, read)] => *read,
            [(_, first, _), (second_span, second, _), ..] => {
                problems.push(
                    second_span.clone(),
                    format!("the entry has both `{first}` and `{second}`"),
                    "make an entry of its own for each",
                );
                None
            }
        }
    }

    /// Not before the part was measured or the joint cut, and not after the last day of the forecast.
    fn check_day(
        &self,
        date: Date,
        subject: LogSubject,
        name: &str,
        around: &Around<'_>,
        problems: &mut Problems,
    ) -> Option<()> {
        let (parts, schedule) = (around.parts?, around.schedule?);
        let measured = |part: usize| parts[part].measured;
        let (first, what) = match subject {
            // Boards and leaves are measured from the day they are bought.
            LogSubject::Board { stock: Some(_), .. }
            | LogSubject::BoardLeaf { .. }
            | LogSubject::PanelLeaf { .. } => (Date::MIN, ""),
            LogSubject::Board { part, .. } => (
                measured(part?),
                "the day that the first part cut from it was measured",
            ),
            LogSubject::Part(part) => (
                measured(part),
                "the day its width and moisture in this job were measured",
            ),
            LogSubject::Fit { joint, fit } => {
                let plan = &around.joints[joint];
                let cut = plan
                    .cut_on
                    .or_else(|| plan.fits[fit].parts().map(|part| measured(part.0)).max());
                (cut?, "the day it is cut")
            }
            LogSubject::Place(_) => (
                parts.iter().map(|part| part.measured).min()?,
                "the first day of this job",
            ),
        };
        if date < first {
            problems.push(
                self.date.span(),
                format!("`{name}` was logged on {date}, before {first}, {what}"),
                "give a later day, or correct the day of measuring",
            );
            return None;
        }
        let last = schedule.delivered.saturating_add((DAYS_AT_HOME - 1).days());
        if date > last {
            problems.push(
                self.date.span(),
                format!("{date} is after {last}, the last day this job looks at, two years after delivery"),
                "check the year; of later readings log one on the same day of an earlier year",
            );
            return None;
        }
        Some(())
    }

    /// Standard deviation of the reading.
    fn deviation(&self, reading: &LogReading, problems: &mut Problems) -> Option<Option<f64>> {
        let Some(given) = &self.within else {
            return Some(reading.usual_within().map(|within| within / NINE_IN_TEN));
        };
        let within = match reading {
            LogReading::Moisture(_) | LogReading::Air { .. } => problems
                .take(&given.read_as::<Percent>())
                .map(|Percent(percent)| percent),
            LogReading::Weight(_) if given.text().contains('%') => problems
                .take(&given.read_as::<Percent>())
                .map(|Percent(percent)| percent / 100.0 * reading.number()),
            LogReading::Weight(_) => problems.take(&given.read_as::<Mass>()).map(Mass::grams),
            _ => problems.take(&given.read_as::<Length>()).map(Length::mm),
        }?;
        if within <= 0.0 {
            problems.push(
                given.span(),
                "no reading is exact",
                "the error must be above zero: enter the accuracy of your gauge",
            );
            return None;
        }
        Some(Some(within / NINE_IN_TEN))
    }
}
