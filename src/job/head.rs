//! The piece as a whole: its name, how it is shown, its draws.

use super::checked::{FileNeeded, FileUse};
use super::parts::take_count;
use crate::units::notation::{DayOrder, Flag, NotationError, Whole, one_of};
use crate::units::spanned::{Name, Problems, ReadNotation, Spanned};
use crate::units::{Region, UnitSystem};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// Draws for bands and chances, unless given.
const USUAL_DRAWS: u32 = 8_192;
/// Most draws.
const MOST_DRAWS: u64 = 1_000_000;

/// The piece as a whole.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct JobKeys {
    /// The name of the piece.
    name: Spanned<Name>,
    /// Which way lengths are shown first, "inch" or "mm"; mm unless given.
    units: Option<Spanned<UnitSystem>>,
    /// Where you work, "US", "UK", "EU" or "AU": what a yard's name of a wood means, and the words of the shop. "US" when not given.
    region: Option<Spanned<Region>>,
    /// Seed of the draws; the same seed gives the same answers. 1 unless given.
    seed: Option<Spanned<Whole>>,
    /// How many draws bands and chances come from; 8192 unless given.
    draws: Option<Spanned<Whole>>,
    /// Whether 11/5/2026 is "day first" or "month first"; needed only where dates are written so.
    date_order: Option<Spanned<DayOrder>>,
    /// A table of woods of your own (CSV), from where the job file lies; it goes before the built-in one.
    species_table: Option<Spanned<Name>>,
    /// Whether the woods are settled, as with a client: no remedy then asks for another wood. False unless given.
    wood_fixed: Option<Spanned<Flag>>,
    /// Whether the finish is settled, such as an oil: no remedy then asks for another finish. False unless given.
    finish_fixed: Option<Spanned<Flag>>,
}

/// The head of a checked job.
pub(super) struct Head {
    pub(super) name: String,
    pub(super) units: UnitSystem,
    pub(super) region: Option<Region>,
    pub(super) seed: u64,
    pub(super) draws: u32,
    pub(super) species_table: Option<FileNeeded>,
    pub(super) wood_fixed: bool,
    pub(super) finish_fixed: bool,
}

impl ReadNotation for UnitSystem {
    const WHAT: &'static str = "\"inch\" or \"mm\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a way to show lengths",
            &[
                ("inch", Self::Inch),
                ("mm", Self::Metric),
                ("inches", Self::Inch),
                ("metric", Self::Metric),
            ],
        )
    }
}

impl JobKeys {
    pub(super) fn read(&self, problems: &mut Problems) -> Option<Head> {
        let name = problems.take(&self.name);
        let units = problems.take_optional(self.units.as_ref());
        let date_order = problems.take_optional(self.date_order.as_ref());
        let region = problems.take_optional(self.region.as_ref());
        let seed = problems.take_optional(self.seed.as_ref());
        let draws = take_count(self.draws.as_ref(), MOST_DRAWS, USUAL_DRAWS, problems);
        let species_table = match &self.species_table {
            None => Some(None),
            Some(given) => problems.take(given).map(|path| {
                Some(FileNeeded {
                    path: path.0,
                    span: given.span(),
                    why: FileUse::SpeciesTable,
                })
            }),
        };
        let wood_fixed = problems.take_optional(self.wood_fixed.as_ref());
        let finish_fixed = problems.take_optional(self.finish_fixed.as_ref());
        // The walk along the schema has read the dates by it.
        date_order?;
        Some(Head {
            name: name?.0,
            units: units?.unwrap_or_default(),
            region: region?,
            seed: seed?.map_or(1, |seed| seed.0),
            draws: draws?,
            species_table: species_table?,
            wood_fixed: wood_fixed?.is_some_and(|flag| flag.0),
            finish_fixed: finish_fixed?.is_some_and(|flag| flag.0),
        })
    }
}
