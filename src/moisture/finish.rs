//! Finishes: one permeance per finish and coats, found by the trade's names.
//!
//! A finish slows the exchange and never changes the equilibrium. It is carried to
//! another wood, another temperature and another thickness as a permeance, so
//! that the vapour pressure across it drives the flow.

use super::exclusion::ExclusionTest;
use super::finish_names::{BARE, UnknownFinish, named, words};
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;

/// The finish table of the Wood Handbook with the permeance fitted to each row.
const TABLE: &str = include_str!("../../species_data/wood_handbook_16_3_finish_exclusion.csv");

/// Residual of a fit, root mean square in points of exclusion, from which on a caution is printed (judgement).
const FAIR_FIT_POINTS: f64 = 3.0;

/// One row of the exclusion table with its fitted permeance.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExclusionRow {
    /// The finish as the table names it.
    pub finish: String,
    /// Coats.
    pub coats: u32,
    /// Share of bare wood's uptake prevented after 1 day, percent, as printed.
    pub day1_percent: f64,
    /// The same after 7 days.
    pub day7_percent: f64,
    /// The same after 14 days.
    pub day14_percent: f64,
    /// The permeance that fits the three best, kg/(m2 s Pa); see [`super::fit_permeance`].
    pub permeance_kg_per_m2_s_pa: f64,
    /// Publication.
    pub source: String,
    /// `seen` or `memory`.
    pub status: String,
    /// Where the figures were read, or what is doubtful about them.
    pub note: String,
}

impl ExclusionRow {
    /// The printed exclusion after 1, 7 and 14 days, percent.
    #[must_use]
    pub const fn measured_percent(&self) -> [f64; 3] {
        [self.day1_percent, self.day7_percent, self.day14_percent]
    }

    /// The simulated exclusion after 1, 7 and 14 days with the fitted permeance, percent.
    #[must_use]
    pub fn simulated_percent(&self) -> [f64; 3] {
        ExclusionTest::HANDBOOK.exclusion_percent(self.permeance_kg_per_m2_s_pa)
    }

    /// Root mean square of simulated minus printed, points of exclusion.
    #[must_use]
    pub fn residual_points(&self) -> f64 {
        let squares: f64 = self
            .simulated_percent()
            .iter()
            .zip(self.measured_percent())
            .map(|(simulated, measured)| (simulated - measured).powi(2))
            .sum();
        (squares / 3.0).sqrt()
    }

    /// Whether one permeance tells this finish's three days to within 3 points, root mean square.
    #[must_use]
    pub fn is_reproduced(&self) -> bool {
        self.residual_points() <= FAIR_FIT_POINTS
    }
}

static ROWS: LazyLock<Vec<ExclusionRow>> = LazyLock::new(|| {
    csv::Reader::from_reader(TABLE.as_bytes())
        .into_deserialize()
        .filter_map(Result::ok)
        .collect()
});

/// Every finish of the exclusion table.
#[must_use]
pub fn exclusion_table() -> &'static [ExclusionRow] {
    &ROWS
}

/// What a face carries: nothing, or a finish of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Finish {
    permeance: f64,
    row: Option<&'static ExclusionRow>,
}

impl Finish {
    /// Bare wood: nothing but the film of air.
    #[must_use]
    pub const fn bare() -> Self {
        Self {
            permeance: f64::INFINITY,
            row: None,
        }
    }

    /// A finish of known permeance, kg/(m2 s Pa); 0 lets nothing pass, infinity is bare wood.
    #[must_use]
    pub const fn of_permeance(kg_per_m2_s_pa: f64) -> Self {
        Self {
            permeance: if kg_per_m2_s_pa > 0.0 {
                kg_per_m2_s_pa
            } else {
                0.0
            },
            row: None,
        }
    }

    /// The finish of a row of the table.
    #[must_use]
    pub const fn of_row(row: &'static ExclusionRow) -> Self {
        Self {
            permeance: row.permeance_kg_per_m2_s_pa,
            row: Some(row),
        }
    }

    /// The finish that a maker's words name: the table's name with or without what stands in
    /// brackets, a trade name, or words that only one row holds. `bare` and
    /// `none` are bare wood, whatever the coats.
    ///
    /// # Errors
    /// [`UnknownFinish`] with suggestions, or with the coats the table knows.
    pub fn find(kind: &str, coats: u32) -> Result<Self, UnknownFinish> {
        let asked = words(kind);
        if BARE.contains(&asked.join(" ").as_str()) {
            return Ok(Self::bare());
        }
        let finish = named(kind, &asked)?;
        let rows = || ROWS.iter().filter(|row| row.finish == finish);
        rows()
            .find(|row| row.coats == coats)
            .map(Self::of_row)
            .ok_or_else(|| UnknownFinish::Coats {
                finish: finish.to_owned(),
                asked: coats,
                known: rows().map(|row| row.coats).collect(),
            })
    }

    /// Permeance, kg/(m2 s Pa), without the film of air; infinite for bare wood.
    #[must_use]
    pub const fn permeance_kg_per_m2_s_pa(&self) -> f64 {
        self.permeance
    }

    /// Whether this is bare wood.
    #[must_use]
    pub const fn is_bare(&self) -> bool {
        self.permeance.is_infinite()
    }

    /// The row of the table that this finish was read from.
    #[must_use]
    pub const fn row(&self) -> Option<&'static ExclusionRow> {
        self.row
    }

    /// What to tell a maker about how far to trust it: figures from memory, and a test
    /// that one permeance does not reproduce, with the residual.
    #[must_use]
    pub fn caution(&self) -> Option<String> {
        let row = self.row?;
        let mut words = Vec::new();
        if !row.is_reproduced() {
            let [d1, d7, d14] = row.simulated_percent();
            words.push(format!(
                "the model does not reproduce its test: {:.0} / {:.0} / {:.0} % for the printed \
                 {:.0} / {:.0} / {:.0} % kept out after 1, 7 and 14 days",
                d1, d7, d14, row.day1_percent, row.day7_percent, row.day14_percent
            ));
        }
        if row.status != "seen" {
            words.push("its test figures are from memory".to_owned());
        }
        if row.note.contains("CONFLICT") {
            words.push("another source gives other figures".to_owned());
        }
        (!words.is_empty()).then(|| format!("{self}: {}", words.join("; ")))
    }

    pub(super) fn permeance_bits(&self) -> u64 {
        self.permeance.to_bits()
    }
}

impl fmt::Display for Finish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.row {
            Some(row) => write!(
                f,
                "{}, {} coat{}",
                row.finish,
                row.coats,
                if row.coats == 1 { "" } else { "s" }
            ),
            None if self.is_bare() => f.write_str("bare wood"),
            None => write!(f, "finish of {:.3e} kg/(m2 s Pa)", self.permeance),
        }
    }
}
