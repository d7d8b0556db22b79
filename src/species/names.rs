//! Which wood a name means.

use super::record::Species;
use super::tables::NameRow;
use crate::units::notation::shortened;
use std::collections::HashMap;
use std::fmt;

/// A name that means no wood of the table, or more than one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownSpecies {
    /// The name as asked.
    pub asked: String,
    /// Whether the name fits several woods instead of none.
    pub ambiguous: bool,
    /// Every wood that it fits, or the nearest names; as in the table.
    pub suggestions: Vec<String>,
}

impl UnknownSpecies {
    /// What is wrong, in one sentence.
    #[must_use]
    pub fn message(&self) -> String {
        if self.ambiguous {
            format!("`{}` fits more than one wood", shortened(&self.asked))
        } else if words(&self.asked).is_empty() {
            "the name of the wood is empty".to_owned()
        } else {
            format!("no wood named `{}` is in the table", shortened(&self.asked))
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> String {
        let list = || {
            let quoted: Vec<String> = self
                .suggestions
                .iter()
                .map(|s| format!("\"{s}\""))
                .collect();
            quoted.join("; ")
        };
        if self.ambiguous {
            format!("say which one: {}", list())
        } else if self.suggestions.is_empty() {
            "`heartside species` lists every wood; a table of your own (--species-table) can add one"
                .to_owned()
        } else {
            format!(
                "did you mean {}? `heartside species` lists every wood; a table of your own (--species-table) can add one",
                list()
            )
        }
    }
}

impl fmt::Display for UnknownSpecies {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message(), self.remedy())
    }
}

impl std::error::Error for UnknownSpecies {}

fn plain_letter(letter: char) -> char {
    match letter {
        'á' | 'à' | 'â' | 'ã' | 'ä' => 'a',
        'é' | 'è' | 'ê' | 'ë' => 'e',
        'í' | 'ì' | 'î' | 'ï' => 'i',
        'ó' | 'ò' | 'ô' | 'õ' | 'ö' => 'o',
        'ú' | 'ù' | 'û' | 'ü' => 'u',
        'ç' => 'c',
        'ñ' => 'n',
        other => other,
    }
}

/// The words of a name without case, accents and punctuation, in their order.
fn words(name: &str) -> Vec<String> {
    name.to_lowercase()
        .chars()
        .map(plain_letter)
        .collect::<String>()
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// The same name in whatever order its words stand.
pub(super) fn key(name: &str) -> String {
    let mut words = words(name);
    words.sort_unstable();
    words.join(" ")
}

/// The part before a bracket: `Oak, pin (red oak group)` is a pin oak.
fn without_bracket(name: &str) -> &str {
    name.split('(').next().unwrap_or(name)
}

/// Finds records by common name in either order, other name, or Latin name.
#[derive(Debug, Clone, Default)]
pub(super) struct NameIndex {
    names: HashMap<String, Vec<usize>>,
    others: HashMap<String, Vec<usize>>,
    latin: HashMap<String, Vec<usize>>,
    shown: Vec<(String, Vec<String>)>,
    other_words: Vec<(Vec<String>, usize)>,
    /// Other names as they are written, each with its record.
    others_shown: Vec<(String, usize)>,
}

fn note(map: &mut HashMap<String, Vec<usize>>, key: String, record: usize) {
    let records = map.entry(key).or_default();
    if !records.contains(&record) {
        records.push(record);
    }
}

impl NameIndex {
    /// Indexes records by their own names and the other names of the trade.
    pub(super) fn of(species: &[Species], others: &[NameRow]) -> Self {
        let mut index = Self::default();
        for record in species {
            index.add(&record.name, record.latin.as_deref());
        }
        for other in others {
            index.add_other(&other.name, &other.species);
        }
        index
    }

    /// Adds the record at the next place.
    fn add(&mut self, name: &str, latin: Option<&str>) {
        let record = self.shown.len();
        self.shown.push((name.to_owned(), words(name)));
        note(&mut self.names, key(name), record);
        note(&mut self.names, key(without_bracket(name)), record);
        if let Some(latin) = latin {
            note(&mut self.latin, key(latin), record);
        }
    }

    /// Adds another name of a record given by its own name.
    fn add_other(&mut self, other: &str, name: &str) {
        let Some(records) = self.names.get(&key(name)) else {
            return;
        };
        for &record in records {
            note(&mut self.others, key(other), record);
            self.other_words.push((words(other), record));
            self.others_shown.push((other.to_owned(), record));
        }
    }

    /// The other names of a record, as they are written.
    pub(super) fn others_of(&self, record: usize) -> impl Iterator<Item = &str> {
        self.others_shown
            .iter()
            .filter(move |(_, of)| *of == record)
            .map(|(name, _)| name.as_str())
    }

    /// Records a published table means by a name: its own and those the name stands for.
    pub(super) fn meant_by(&self, name: &str) -> Vec<usize> {
        let mut found: Vec<usize> = Vec::new();
        for map in [&self.names, &self.others] {
            for key in [key(name), key(without_bracket(name))] {
                for &record in map.get(&key).into_iter().flatten() {
                    if !found.contains(&record) {
                        found.push(record);
                    }
                }
            }
        }
        found
    }

    /// The one record a maker means; the first `front` records are the maker's own and win.
    pub(super) fn find(&self, asked: &str, front: usize) -> Result<usize, UnknownSpecies> {
        let (whole, bare) = (key(asked), key(without_bracket(asked)));
        let exact = [&self.names, &self.others, &self.latin]
            .into_iter()
            .flat_map(|map| [map.get(&whole), map.get(&bare)]);
        for records in exact {
            match records.map_or(&[][..], Vec::as_slice) {
                [] => {}
                [record] => return Ok(*record),
                several => {
                    let own: Vec<usize> = several.iter().copied().filter(|r| *r < front).collect();
                    if let [record] = own[..] {
                        return Ok(record);
                    }
                    return Err(self.several(asked, several));
                }
            }
        }
        let asked_words = words(asked);
        if asked_words.is_empty() {
            return Err(UnknownSpecies {
                asked: asked.to_owned(),
                ambiguous: false,
                suggestions: Vec::new(),
            });
        }
        let holding: Vec<usize> = (0..self.shown.len())
            .filter(|&record| {
                asked_words
                    .iter()
                    .all(|word| self.shown[record].1.contains(word))
            })
            .collect();
        match holding[..] {
            [] => Err(UnknownSpecies {
                asked: asked.to_owned(),
                ambiguous: false,
                suggestions: self.nearest(&asked_words),
            }),
            [record] => Ok(record),
            _ => Err(self.several(asked, &holding)),
        }
    }

    fn several(&self, asked: &str, records: &[usize]) -> UnknownSpecies {
        UnknownSpecies {
            asked: asked.to_owned(),
            ambiguous: true,
            suggestions: records.iter().map(|&r| self.shown[r].0.clone()).collect(),
        }
    }

    /// Up to five names, nearest first; word by word, so that order and missing words matter little.
    fn nearest(&self, asked: &[String]) -> Vec<String> {
        const NEAR: f64 = 0.7;
        let names = (0..)
            .zip(&self.shown)
            .map(|(record, (_, words))| (words, record));
        let others = self
            .other_words
            .iter()
            .map(|(words, record)| (words, *record));
        let latin_words: Vec<(Vec<String>, usize)> = self
            .latin
            .iter()
            .flat_map(|(latin, records)| records.iter().map(|&r| (words(latin), r)))
            .collect();
        let latin = latin_words.iter().map(|(words, record)| (words, *record));
        let mut best: HashMap<usize, f64> = HashMap::new();
        for (words, record) in names.chain(others).chain(latin) {
            let score = nearness(asked, words);
            if score >= NEAR {
                let known = best.entry(record).or_insert(score);
                *known = known.max(score);
            }
        }
        let mut ranked: Vec<(usize, f64)> = best.into_iter().collect();
        ranked.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        ranked.truncate(5);
        ranked
            .into_iter()
            .map(|(r, _)| self.shown[r].0.clone())
            .collect()
    }
}

/// 1 for the same words; each asked word counts by its nearest word, spare words take a little off.
fn nearness(asked: &[String], words: &[String]) -> f64 {
    let total: f64 = asked
        .iter()
        .map(|word| {
            words
                .iter()
                .map(|other| strsim::normalized_damerau_levenshtein(word, other))
                .fold(0.0, f64::max)
        })
        .sum();
    let spare = words.len().saturating_sub(asked.len());
    total / asked.len() as f64 - 0.01 * spare as f64
}
