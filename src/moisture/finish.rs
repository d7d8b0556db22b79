//! Finishes: one permeance per finish and coats, found by the trade's names.
//!
//! A finish slows the exchange and never changes the equilibrium. It is carried to
//! another wood, another temperature and another thickness as a permeance, so
//! that the vapour pressure across it drives the flow.

use super::exclusion::ExclusionTest;
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

/// A finish that the table does not hold, or that names several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum UnknownFinish {
    /// No finish goes by this name, or more than one does.
    Kind {
        /// The name as asked.
        asked: String,
        /// Whether the name fits several finishes instead of none.
        ambiguous: bool,
        /// Every finish that it fits, or the nearest names.
        suggestions: Vec<String>,
    },
    /// The finish is known, but not with so many coats.
    Coats {
        /// The finish as the table names it.
        finish: String,
        /// Coats asked.
        asked: u32,
        /// Coats that the table holds.
        known: Vec<u32>,
    },
}

impl UnknownFinish {
    /// What is wrong, in one sentence.
    #[must_use]
    pub fn message(&self) -> String {
        match self {
            Self::Kind {
                asked,
                ambiguous: true,
                ..
            } => format!("`{asked}` fits more than one finish"),
            Self::Kind { asked, .. } if words(asked).is_empty() => {
                "the name of the finish is empty".to_owned()
            }
            Self::Kind { asked, .. } => format!("no finish named `{asked}` is in the table"),
            Self::Coats { finish, asked, .. } => {
                format!("the table does not hold {asked} coats of {finish}")
            }
        }
    }

    /// What to write instead.
    #[must_use]
    pub fn remedy(&self) -> String {
        match self {
            Self::Kind {
                ambiguous,
                suggestions,
                ..
            } => {
                let list: Vec<String> = suggestions.iter().map(|s| format!("\"{s}\"")).collect();
                let list = list.join("; ");
                if *ambiguous {
                    format!("say which one: {list}")
                } else {
                    format!("did you mean {list}? Or write \"bare\"")
                }
            }
            Self::Coats { known, .. } => {
                let list: Vec<String> = known.iter().map(u32::to_string).collect();
                format!("coats known: {}", list.join(", "))
            }
        }
    }

    /// The names to offer instead; empty where the coats are wrong.
    #[must_use]
    pub fn suggestions(&self) -> &[String] {
        match self {
            Self::Kind { suggestions, .. } => suggestions,
            Self::Coats { .. } => &[],
        }
    }
}

impl fmt::Display for UnknownFinish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message(), self.remedy())
    }
}

impl std::error::Error for UnknownFinish {}

/// Trade names for rows of the table (common practice, no source).
const SYNONYMS: &[(&str, &str)] = &[
    ("polyurethane varnish", "Urethane varnish (oil-modified)"),
    ("polyurethane", "Urethane varnish (oil-modified)"),
    ("oil based polyurethane", "Urethane varnish (oil-modified)"),
    ("oil polyurethane", "Urethane varnish (oil-modified)"),
    ("urethane", "Urethane varnish (oil-modified)"),
    (
        "two part polyurethane",
        "Polyurethane finish, clear (two components)",
    ),
    (
        "two component polyurethane",
        "Polyurethane finish, clear (two components)",
    ),
    (
        "2k polyurethane",
        "Polyurethane finish, clear (two components)",
    ),
    ("lacquer", "Nitrocellulose lacquer"),
    ("nitro lacquer", "Nitrocellulose lacquer"),
    ("cellulose lacquer", "Nitrocellulose lacquer"),
    ("french polish", "Shellac"),
    ("spirit varnish", "Shellac"),
    ("marine varnish", "Spar varnish (soya alkyd)"),
    ("yacht varnish", "Spar varnish (soya alkyd)"),
    ("alkyd varnish", "Spar varnish (soya alkyd)"),
    ("boiled linseed oil", "Linseed oil"),
    ("raw linseed oil", "Linseed oil"),
    ("pure tung oil", "Tung oil"),
    ("china wood oil", "Tung oil"),
    ("paste wax", "Brazilian carnauba paste wax"),
    ("furniture wax", "Brazilian carnauba paste wax"),
    ("carnauba wax", "Brazilian carnauba paste wax"),
    ("floor sealer", "Floor seal (phenolic resin/tung oil)"),
    ("epoxy", "Epoxy finish, clear (two components)"),
    ("epoxy resin", "Epoxy finish, clear (two components)"),
    ("two part epoxy", "Epoxy finish, clear (two components)"),
    ("gloss enamel", "Enamel paint, gloss (soya alkyd)"),
    ("enamel", "Enamel paint, gloss (soya alkyd)"),
    (
        "aluminium varnish",
        "Aluminum flake pigmented urethane varnish (oil-modified)",
    ),
];

/// Names of no finish at all.
const BARE: &[&str] = &[
    "bare",
    "none",
    "unfinished",
    "no finish",
    "raw wood",
    "bare wood",
];

/// Lower-case words without punctuation.
fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
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
        let finish = Self::named(kind, &asked)?;
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

    /// The one name of the table that is meant.
    fn named(kind: &str, asked: &[String]) -> Result<&'static str, UnknownFinish> {
        let mut names: Vec<&'static str> = ROWS.iter().map(|row| row.finish.as_str()).collect();
        names.dedup();
        let unknown = |ambiguous, suggestions: Vec<&str>| UnknownFinish::Kind {
            asked: kind.trim().to_owned(),
            ambiguous,
            suggestions: suggestions.into_iter().map(str::to_owned).collect(),
        };
        let short = |name: &'static str| name.split('(').next().unwrap_or(name);
        let by_name = |text: fn(&'static str) -> &'static str| {
            names
                .iter()
                .copied()
                .find(|name| words(text(name)) == asked)
        };
        if let Some(name) =
            by_name(|name| name).or_else(|| by_name(|name| name.split('(').next().unwrap_or(name)))
        {
            return Ok(name);
        }
        let joined = asked.join(" ");
        if let Some((_, name)) = SYNONYMS.iter().find(|(trade, _)| *trade == joined) {
            return Ok(name);
        }
        let holding: Vec<&str> = names
            .iter()
            .copied()
            .filter(|name| {
                let own = words(name);
                !asked.is_empty() && asked.iter().all(|word| own.contains(word))
            })
            .collect();
        match holding[..] {
            [one] => names
                .iter()
                .copied()
                .find(|name| *name == one)
                .ok_or_else(|| unknown(false, vec![one])),
            [_, _, ..] => Err(unknown(true, holding)),
            [] => {
                let mut near: Vec<(f64, &str)> = names
                    .iter()
                    .map(|name| (likeness(&joined, asked, short(name)), *name))
                    .chain(
                        SYNONYMS
                            .iter()
                            .map(|(trade, name)| (likeness(&joined, asked, trade), *name)),
                    )
                    .collect();
                near.sort_by(|a, b| b.0.total_cmp(&a.0));
                let mut best: Vec<&str> = Vec::new();
                for (_, name) in near {
                    if !best.contains(&name) && best.len() < 3 {
                        best.push(name);
                    }
                }
                Err(unknown(false, best))
            }
        }
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

/// How like a maker's words a name is, 0 to 1 and more for shared words.
fn likeness(joined: &str, asked: &[String], name: &str) -> f64 {
    let own = words(name);
    let shared = asked.iter().filter(|word| own.contains(word)).count();
    strsim::jaro_winkler(joined, &own.join(" ")) + 0.3 * shared as f64
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
