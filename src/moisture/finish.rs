//! Finishes: one permeance per finish and coats, found by the trade's names.
//!
//! A finish slows the exchange and never changes the equilibrium. It is carried to
//! another wood, another temperature and another thickness as a permeance, so
//! that the vapour pressure across it drives the flow.

use super::exclusion::ExclusionTest;
use super::finish_names::{BARE, UnknownFinish, named, words};
use crate::species::Status;
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;

/// The finish table of the Wood Handbook with the permeance fitted to each row.
const TABLE: &str = include_str!("../../species_data/wood_handbook_16_3_finish_exclusion.csv");
/// What was published beside it, and finishes for which nothing was: each with the permeance that is used, where it is one of
/// its own.
const BESIDE: [(&str, &str); 3] = [
    (
        "fpl_rp_462_finish_exclusion.csv",
        include_str!("../../species_data/fpl_rp_462_finish_exclusion.csv"),
    ),
    (
        "quoted_finish_exclusion.csv",
        include_str!("../../species_data/quoted_finish_exclusion.csv"),
    ),
    (
        "finish_proxies.csv",
        include_str!("../../species_data/finish_proxies.csv"),
    ),
];

/// Residual of a fit, root mean square in points of exclusion, from which on a caution is printed (judgement).
const FAIR_FIT_POINTS: f64 = 3.0;

/// One row of the exclusion table with its fitted permeance.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExclusionRow {
    /// The finish as the table names it.
    pub finish: String,
    /// Coats; 0 where the finish is one whole, such as French polish.
    pub coats: u32,
    /// Share of bare wood's uptake prevented after 1 day, percent, as printed or as its proxy has it.
    pub day1_percent: Option<f64>,
    /// The same after 7 days.
    pub day7_percent: Option<f64>,
    /// The same after 14 days.
    pub day14_percent: Option<f64>,
    /// The low end of the last, where a range is given.
    #[serde(default)]
    pub low14_percent: Option<f64>,
    /// The high end.
    #[serde(default)]
    pub high14_percent: Option<f64>,
    /// The finish whose figures stand in where nothing was published.
    #[serde(default)]
    pub proxy: Option<String>,
    /// The permeance that fits the three best, kg/(m2 s Pa); see [`super::fit_permeance`].
    ///
    /// `None` in a row that only bears out another.
    pub permeance_kg_per_m2_s_pa: Option<f64>,
    /// Publication.
    pub source: String,
    /// Read, recalled or by judgement.
    pub status: Status,
    /// Where the figures were read, or what is doubtful about them.
    pub note: String,
}

impl ExclusionRow {
    /// The printed exclusion after 1, 7 and 14 days, percent.
    #[must_use]
    pub const fn measured_percent(&self) -> [Option<f64>; 3] {
        [self.day1_percent, self.day7_percent, self.day14_percent]
    }

    /// The simulated exclusion after 1, 7 and 14 days with the fitted permeance, percent.
    #[must_use]
    pub fn simulated_percent(&self) -> [f64; 3] {
        ExclusionTest::HANDBOOK.exclusion_percent(self.permeance())
    }

    /// Permeance, kg/(m2 s Pa); infinite for a finish that is as good as none.
    #[must_use]
    pub fn permeance(&self) -> f64 {
        self.permeance_kg_per_m2_s_pa.unwrap_or(f64::INFINITY)
    }

    /// Its name with its coats.
    #[must_use]
    pub fn named(&self) -> String {
        match self.coats {
            0 => self.finish.clone(),
            1 => format!("{}, 1 coat", self.finish),
            coats => format!("{}, {coats} coats", self.finish),
        }
    }

    /// Root mean square of simulated minus printed, points of exclusion.
    #[must_use]
    pub fn residual_points(&self) -> f64 {
        let squares: Vec<f64> = self
            .simulated_percent()
            .iter()
            .zip(self.measured_percent())
            .filter_map(|(simulated, measured)| Some((simulated - measured?).powi(2)))
            .collect();
        (squares.iter().sum::<f64>() / squares.len().max(1) as f64).sqrt()
    }

    /// Whether one permeance tells this finish's three days to within 3 points, root mean square.
    #[must_use]
    pub fn is_reproduced(&self) -> bool {
        self.residual_points() <= FAIR_FIT_POINTS
    }
}

fn rows(text: &str) -> Vec<ExclusionRow> {
    csv::Reader::from_reader(text.as_bytes())
        .into_deserialize()
        .filter_map(Result::ok)
        .collect()
}

static HANDBOOK: LazyLock<Vec<ExclusionRow>> = LazyLock::new(|| rows(TABLE));

static ROWS: LazyLock<Vec<ExclusionRow>> = LazyLock::new(|| {
    let mut all = HANDBOOK.clone();
    for row in BESIDE.iter().flat_map(|(_, text)| rows(text)) {
        // A row that repeats a finish of the table under another name is found by that name.
        let repeats = row.source.ends_with("tabulated");
        if row.permeance_kg_per_m2_s_pa.is_some() && !repeats {
            all.push(row);
        }
    }
    // The coats of one finish stand together.
    let mut names: Vec<String> = Vec::new();
    for row in &all {
        if !names.contains(&row.finish) {
            names.push(row.finish.clone());
        }
    }
    all.sort_by_key(|row| (names.iter().position(|name| *name == row.finish), row.coats));
    all
});

/// Every finish of the exclusion table of the Wood Handbook.
#[must_use]
pub fn exclusion_table() -> &'static [ExclusionRow] {
    &HANDBOOK
}

/// Every finish that can be named: the table's, what was published beside it, and those that stand on a proxy.
#[must_use]
pub fn finishes() -> &'static [ExclusionRow] {
    &ROWS
}

/// The files beside the table with their rows, those too that only bear out a row of the table.
#[must_use]
pub fn finish_files() -> Vec<(&'static str, Vec<ExclusionRow>)> {
    BESIDE
        .iter()
        .map(|(file, text)| (*file, rows(text)))
        .collect()
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
    pub fn of_row(row: &'static ExclusionRow) -> Self {
        Self {
            permeance: row.permeance(),
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
            .find(|row| row.coats == coats || row.coats == 0)
            .map(Self::of_row)
            .ok_or_else(|| UnknownFinish::Coats {
                finish: finish.to_owned(),
                asked: coats,
                known: rows().map(|row| row.coats).collect(),
            })
    }

    /// The same with the fewest coats that are known, for words that give no coats: `shellac` is one coat of it.
    ///
    /// # Errors
    /// [`UnknownFinish`] as [`Finish::find`].
    pub fn thinnest(kind: &str) -> Result<Self, UnknownFinish> {
        let asked = words(kind);
        if BARE.contains(&asked.join(" ").as_str()) {
            return Ok(Self::bare());
        }
        let finish = named(kind, &asked)?;
        Ok(ROWS
            .iter()
            .filter(|row| row.finish == finish)
            .min_by_key(|row| row.coats)
            .map_or_else(Self::bare, Self::of_row))
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
            let printed = row
                .measured_percent()
                .map(|day| day.map_or_else(|| "?".to_owned(), |day| format!("{day:.0}")));
            words.push(format!(
                "the model does not reproduce its test: {d1:.0} / {d7:.0} / {d14:.0} % for the printed \
                 {} % kept out after 1, 7 and 14 days",
                printed.join(" / ")
            ));
        }
        if row.status == Status::Memory {
            words.push("its test figures are from memory".to_owned());
        }
        if let Some(proxy) = &row.proxy {
            let range = match (row.low14_percent, row.high14_percent) {
                (Some(low), Some(high)) if high > low => {
                    format!(", {low:.0} to {high:.0} % kept out after 14 days")
                }
                _ => String::new(),
            };
            words.push(format!(
                "no test of it was found; taken like {proxy}, by judgement{range}"
            ));
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
            Some(row) => f.write_str(&row.named()),
            None if self.is_bare() => f.write_str("bare wood"),
            None => write!(f, "finish of {:.3e} kg/(m2 s Pa)", self.permeance),
        }
    }
}
