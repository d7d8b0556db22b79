//! Which finish a maker's words mean.

use super::finish::finishes;
use crate::units::notation::shortened;
use std::fmt;

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
    /// Whether the name fits several finishes instead of none.
    #[must_use]
    pub const fn is_ambiguous(&self) -> bool {
        matches!(
            self,
            Self::Kind {
                ambiguous: true,
                ..
            }
        )
    }

    /// What is wrong, in one sentence.
    #[must_use]
    pub fn message(&self) -> String {
        match self {
            Self::Kind {
                asked,
                ambiguous: true,
                ..
            } => format!("`{}` fits more than one finish", shortened(asked)),
            Self::Kind { asked, .. } if words(asked).is_empty() => {
                "the name of the finish is empty".to_owned()
            }
            Self::Kind { asked, .. } => {
                format!("no finish named `{}` is in the table", shortened(asked))
            }
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
    ("shellac wash coat", "Shellac"),
    ("blonde shellac", "Shellac"),
    ("button polish", "French polish"),
    ("spirit varnish", "Shellac"),
    ("marine varnish", "Spar varnish (soya alkyd)"),
    ("yacht varnish", "Spar varnish (soya alkyd)"),
    ("alkyd varnish", "Spar varnish (soya alkyd)"),
    ("boiled linseed oil", "Linseed oil"),
    ("danish oil", "Danish oil / oil-varnish blend"),
    ("oil varnish blend", "Danish oil / oil-varnish blend"),
    ("teak oil", "Danish oil / oil-varnish blend"),
    ("hard wax oil", "Hardwax oil"),
    ("waterbased polyurethane", "Water-based polyurethane"),
    ("water based poly", "Water-based polyurethane"),
    ("water borne polyurethane", "Water-based polyurethane"),
    ("waterborne polyurethane", "Water-based polyurethane"),
    ("wipe on varnish", "Wiping varnish"),
    ("wipe on polyurethane", "Wiping varnish"),
    ("pre cat lacquer", "Pre-catalyzed lacquer"),
    ("precat lacquer", "Pre-catalyzed lacquer"),
    ("pre catalysed lacquer", "Pre-catalyzed lacquer"),
    ("water based lacquer", "Acrylic lacquer, water-borne"),
    ("soap", "Soap finish"),
    ("white soap", "Soap finish"),
    ("lye and soap", "Soap finish"),
    ("chalk paint", "Chalk paint and wax"),
    ("wax", "Brazilian carnauba paste wax"),
    ("wax paste", "Brazilian carnauba paste wax"),
    ("beeswax", "Brazilian carnauba paste wax"),
    (
        "two component polyurethane clear",
        "Polyurethane finish, clear (two components)",
    ),
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
pub(super) const BARE: &[&str] = &[
    "bare",
    "none",
    "unfinished",
    "no finish",
    "raw wood",
    "bare wood",
];

/// Lower-case words without punctuation.
pub(super) fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// The one name of the table that is meant.
pub(super) fn named(kind: &str, asked: &[String]) -> Result<&'static str, UnknownFinish> {
    let mut names: Vec<&'static str> = finishes().iter().map(|row| row.finish.as_str()).collect();
    names.dedup();
    let unknown = |ambiguous, suggestions: Vec<&str>| UnknownFinish::Kind {
        asked: kind.trim().to_owned(),
        ambiguous,
        suggestions: suggestions.into_iter().map(str::to_owned).collect(),
    };
    let short = |name: &'static str| name.split('(').next().unwrap_or(name);
    let whole = names.iter().find(|name| words(name) == asked);
    if let Some(name) = whole.or_else(|| names.iter().find(|name| words(short(name)) == asked)) {
        return Ok(name);
    }
    let joined = asked.join(" ");
    if let Some((_, name)) = SYNONYMS.iter().find(|(trade, _)| *trade == joined) {
        return Ok(name);
    }
    let holding: Vec<&'static str> = names
        .iter()
        .copied()
        .filter(|name| {
            let own = words(name);
            !asked.is_empty() && asked.iter().all(|word| own.contains(word))
        })
        .collect();
    match holding[..] {
        [one] => Ok(one),
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

/// How like a maker's words a name is, 0 to 1 and more for shared words.
fn likeness(joined: &str, asked: &[String], name: &str) -> f64 {
    let own = words(name);
    let shared = asked.iter().filter(|word| own.contains(word)).count();
    strsim::jaro_winkler(joined, &own.join(" ")) + 0.3 * shared as f64
}
