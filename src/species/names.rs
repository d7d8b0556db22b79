//! Which wood a name means.

use super::groups::TradeName;
use super::record::{Kind, Species};
use super::sawing::{self, Sawn};
use super::tables::NameRow;
use crate::units::Region;
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
pub(super) fn words(name: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    for letter in name.chars().flat_map(char::to_lowercase).map(plain_letter) {
        if letter.is_alphanumeric() {
            word.push(letter);
        } else if !word.is_empty() {
            words.push(std::mem::take(&mut word));
        }
    }
    if !word.is_empty() {
        words.push(word);
    }
    words
}

/// A yard's name: its words in their order.
fn spoken(name: &str) -> String {
    words(name).join(" ")
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

/// The keys of a name: as it is written and, where it has one, without its bracket.
fn keys(name: &str) -> impl Iterator<Item = String> {
    let bare = without_bracket(name);
    let shorter = (bare != name).then(|| key(bare));
    std::iter::once(key(name)).chain(shorter)
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
    /// Records by their names exactly as written.
    written: HashMap<String, usize>,
    /// What a yard's name means, by region.
    trade: HashMap<String, Vec<TradeName>>,
    /// Names of sheets.
    sheets: HashMap<String, String>,
}

/// What a maker's words for a wood mean.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Meant {
    pub record: usize,
    /// The way of sawing that stands before or after the name.
    pub sawn: Option<Sawn>,
    /// What the name means elsewhere, where no region was given and it matters.
    pub elsewhere: Option<String>,
}

impl Meant {
    const fn plainly(record: usize) -> Self {
        Self {
            record,
            sawn: None,
            elsewhere: None,
        }
    }
}

/// The regions whose usage is looked up for one region, its own first.
const fn usages(region: Region) -> [Region; 4] {
    use Region::{Australia, Europe, UnitedKingdom, UnitedStates};
    match region {
        UnitedStates => [UnitedStates, UnitedKingdom, Europe, Australia],
        UnitedKingdom => [UnitedKingdom, Europe, Australia, UnitedStates],
        Europe => [Europe, UnitedKingdom, UnitedStates, Australia],
        Australia => [Australia, UnitedKingdom, Europe, UnitedStates],
    }
}

/// A Latin name, and each of several given together: `Quercus robur and Q. petraea`.
fn each_latin(latin: &str) -> Vec<String> {
    let mut all = vec![latin.to_owned()];
    let genus = latin.split(' ').next().unwrap_or_default();
    let parts: Vec<&str> = latin
        .split(" and ")
        .flat_map(|part| part.split(", "))
        .collect();
    if parts.len() > 1 {
        all.extend(parts.iter().map(|part| match part.split_once(". ") {
            Some((_, kind)) => format!("{genus} {kind}"),
            None => (*part).to_owned(),
        }));
    }
    all
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
            if matches!(record.kind, Kind::Group { .. }) {
                index.add_group(&record.name);
            } else {
                index.add(&record.name, record.latin.as_deref());
            }
        }
        for other in others {
            index.add_other(&other.name, &other.species);
        }
        index
    }

    /// Adds the record at the next place.
    pub(super) fn add(&mut self, name: &str, latin: Option<&str>) {
        let record = self.add_group(name);
        for key in keys(name) {
            note(&mut self.names, key, record);
        }
        for latin in latin.into_iter().flat_map(each_latin) {
            note(&mut self.latin, key(&latin), record);
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

    /// Adds a group of the yard at the next place: it is found by that name as written, and by what the yard calls it.
    pub(super) fn add_group(&mut self, name: &str) -> usize {
        let record = self.shown.len();
        self.shown.push((name.to_owned(), words(name)));
        self.written.entry(name.to_owned()).or_insert(record);
        record
    }

    /// The record whose own name this is.
    pub(super) fn record_named(&self, name: &str) -> Option<usize> {
        self.written.get(name).copied()
    }

    /// Takes up the names of the yard and of sheets.
    pub(super) fn set_yard(&mut self, trade: Vec<TradeName>, sheets: &[(String, String)]) {
        for name in trade {
            self.trade.entry(spoken(&name.name)).or_default().push(name);
        }
        self.sheets = sheets
            .iter()
            .map(|(name, sheet)| (key(name), sheet.clone()))
            .collect();
    }

    /// The same names of the yard and of sheets over other records.
    pub(super) fn with_yard_of(mut self, other: &Self) -> Self {
        self.trade.clone_from(&other.trade);
        self.sheets.clone_from(&other.sheets);
        self
    }

    /// Every name of the yard, in the order of the alphabet.
    pub(super) fn yard(&self) -> Vec<&TradeName> {
        let mut all: Vec<&TradeName> = self.trade.values().flatten().collect();
        all.sort_by(|a, b| (&a.name, a.region.word()).cmp(&(&b.name, b.region.word())));
        all
    }

    /// The record of a yard's name, by region; with what it means elsewhere where no region was given.
    fn in_the_yard(&self, asked: &str, region: Option<Region>) -> Option<Meant> {
        let rows = self.trade.get(&spoken(asked))?;
        let usage = usages(region.unwrap_or_default())
            .into_iter()
            .flat_map(|region| [(region, false), (region, true)])
            .find_map(|(region, western)| {
                rows.iter()
                    .find(|row| row.region == region && row.western == western)
            })?;
        let record = self.record_named(&usage.record)?;
        let others: Vec<String> = rows
            .iter()
            .filter(|row| row.record != usage.record)
            .map(|row| {
                let west = if row.western { " (west)" } else { "" };
                format!("{} in the {}{west}", row.record, row.region)
            })
            .collect();
        let elsewhere = (region.is_none() && !others.is_empty()).then(|| {
            format!(
                "`{}` is taken as {} of the {} yard; the name also means {}: set `region` or give the full name",
                shortened(asked.trim()),
                usage.record,
                usage.region,
                others.join(", ")
            )
        });
        Some(Meant {
            record,
            sawn: None,
            elsewhere,
        })
    }

    /// What a maker's words mean: a wood of their own table, a sheet, a name of the yard, a name of a table or a Latin one, any of
    /// them with words of sawing or figure before or after.
    ///
    /// A name with a comma is a table's name and no yard's.
    pub(super) fn meaning(
        &self,
        asked: &str,
        front: usize,
        region: Option<Region>,
    ) -> Result<Meant, UnknownSpecies> {
        if let Some(meant) = self.whole(asked, front, region) {
            return meant;
        }
        let (bare, sawn) = sawing::split(asked);
        if bare != asked
            && let Some(meant) = self.whole(&bare, front, region)
        {
            return meant.map(|meant| Meant { sawn, ..meant });
        }
        match self.find(asked, front) {
            Err(unknown) if bare != asked && !unknown.ambiguous => {
                self.find(&bare, front).map(|record| Meant {
                    sawn,
                    ..Meant::plainly(record)
                })
            }
            other => other.map(Meant::plainly),
        }
    }

    /// The same for a whole name that some list holds word for word; `None` where none does.
    fn whole(
        &self,
        asked: &str,
        front: usize,
        region: Option<Region>,
    ) -> Option<Result<Meant, UnknownSpecies>> {
        let whole = key(asked);
        let own = self
            .names
            .get(&whole)
            .and_then(|records| records.iter().find(|record| **record < front));
        if let Some(record) = own {
            return Some(Ok(Meant::plainly(*record)));
        }
        if !self.trade.contains_key(asked)
            && let Some(record) = self.written.get(asked)
        {
            return Some(Ok(Meant::plainly(*record)));
        }
        let sheet = self
            .sheets
            .get(&whole)
            .and_then(|sheet| self.record_named(sheet));
        if let Some(record) = sheet {
            return Some(Ok(Meant::plainly(record)));
        }
        if !asked.contains(',')
            && let Some(meant) = self.in_the_yard(asked, region)
        {
            return Some(Ok(meant));
        }
        let known = [&self.names, &self.others, &self.latin]
            .iter()
            .any(|map| map.contains_key(&whole) || map.contains_key(&key(without_bracket(asked))));
        known.then(|| self.find(asked, front).map(Meant::plainly))
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
        let keys: Vec<String> = keys(name).collect();
        for map in [&self.names, &self.others] {
            for key in &keys {
                for &record in map.get(key).into_iter().flatten() {
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
