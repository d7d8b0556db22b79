//! What the page of a report shows, in the order it shows it: plain values, no wood and no sums.

use super::bench_sheet::BenchSheet;
use super::calendar::CalendarDay;
use crate::chance::Verdict;
use crate::chart::{Figure, NumberTable};
use crate::forecast::{InputShare, PartChange};
use crate::units::{Chance, Length, RelativeHumidity, UnitSystem};

/// A size to read at the saw.
#[derive(Debug, Clone, PartialEq)]
pub struct BigSize {
    /// What to do: `Cut the groove`.
    pub before: String,
    /// The size.
    pub size: Length,
    /// What follows the size: `deep, today, 5 Oct`.
    pub after: String,
}

/// Something that would fix a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct RemedyView {
    /// What to do.
    pub what: String,
    /// Chance that the joint then holds.
    pub holds_chance: Chance,
    /// The same as a change of the job, where one change of one part says it.
    pub change: Option<PartChange>,
}

/// The answer for one joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// The joint.
    pub joint: String,
    /// The verdict.
    pub verdict: Verdict,
    /// Chance that it holds.
    pub holds_chance: Option<Chance>,
    /// What to cut, where something is cut.
    pub size: Option<BigSize>,
    /// What to do in words, where no size says it: `Glue the middle 100 mm`.
    pub action: Option<String>,
    /// What then happens, in plain words: `In February 6 mm of the panel is still in it.`
    pub then: Vec<String>,
    /// Why the verdict.
    pub reason: String,
    /// How to fix it, best first.
    pub remedies: Vec<RemedyView>,
}

/// What is done in some order, or at several places, in plain lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepsView {
    /// Its anchor in the page.
    pub id: &'static str,
    /// What it is about.
    pub heading: &'static str,
    /// The lines; those that stand below the line before them are marked.
    pub lines: Vec<StepLine>,
}

/// A line of [`StepsView`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepLine {
    /// The words.
    pub words: String,
    /// Whether it belongs to the line above it.
    pub below: bool,
}

/// How much of the sheet's width a figure takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Span {
    /// The whole width.
    Wide,
    /// One of two beside each other.
    Half,
    /// One of three.
    Third,
}

/// A figure in the report.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureSlot {
    /// The figure.
    pub figure: Figure,
    /// How wide it stands.
    pub span: Span,
}

/// Figures that belong together.
#[derive(Debug, Clone, PartialEq)]
pub struct PlateGroup {
    /// The part or joint they show.
    pub heading: String,
    /// The figures.
    pub plates: Vec<FigureSlot>,
}

/// A table of what was put in, or of what came out.
#[derive(Debug, Clone, PartialEq)]
pub struct TableView {
    /// What it holds.
    pub caption: String,
    /// Its heads and rows.
    pub table: NumberTable,
}

/// The sheet for the client: a few sentences and a picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ClientView {
    /// The humidity to keep, low and high.
    pub keep_humidity: Option<[RelativeHumidity; 2]>,
    /// What the client should know beside it, in plain words.
    pub sentences: Vec<String>,
    /// The piece.
    pub picture: Option<Figure>,
}

/// A whole report.
#[derive(Debug, Clone, PartialEq)]
pub struct ReportView {
    /// The piece.
    pub piece: String,
    /// Which system is shown first.
    pub units: UnitSystem,
    /// Title block: what and its value.
    pub title_block: Vec<(String, String)>,
    /// Safety, printed first.
    pub cautions: Vec<String>,
    /// The piece, every joint marked by its verdict.
    pub picture: Option<Figure>,
    /// Answers; shown redo first.
    pub cards: Vec<Card>,
    /// The bench sheet, where something is cut.
    pub bench: Option<BenchSheet>,
    /// The days of the job.
    pub calendar: Vec<CalendarDay>,
    /// The glue-up and the work on site, where the job tells of them.
    pub steps: Vec<StepsView>,
    /// Figures that carry a decision, by part and joint.
    pub decisions: Vec<PlateGroup>,
    /// Small figures that follow the month chosen.
    pub walk: Vec<Figure>,
    /// The month chosen at first, 0 to 11.
    pub walk_month: usize,
    /// All other figures, by part and joint.
    pub groups: Vec<PlateGroup>,
    /// What would narrow the answers.
    pub measure_next: Vec<InputShare>,
    /// What was put in and what came out, as tables.
    pub tables: Vec<TableView>,
    /// What the maker should know about the answers.
    pub warnings: Vec<String>,
    /// Rules and sources the numbers rest on.
    pub assumptions: Vec<String>,
    /// Seed, draws, version: what and its value.
    pub colophon: Vec<(String, String)>,
    /// The sheet for the client.
    pub client: ClientView,
}
