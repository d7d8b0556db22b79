//! A maker's own table.

use super::join::bare;
use super::record::{Group, Species, TotalShrinkage};
use super::sourced::{Sourced, Status};
use super::table::SpeciesTable;
use super::user_columns::{Header, NUMBER_COLUMNS};
use crate::units::notation::{self, MOST_LISTED};
use crate::units::{Refusal, Refusals};
use std::collections::HashMap;
use std::sync::Arc;

/// Most characters of a heading that are repeated in words about it.
const LONGEST_SHOWN: usize = 60;

/// The first [`MOST_LISTED`] faults of a table; the others are counted.
pub(super) struct Faults<'a> {
    origin: &'a str,
    list: Vec<Refusal>,
    more: usize,
}

impl Faults<'_> {
    /// Whether faults are only counted from now on.
    pub(super) fn is_full(&self) -> bool {
        self.list.len() >= MOST_LISTED
    }

    /// Something wrong on a line, counted from 1, in a column by its heading where one is to blame.
    pub(super) fn push(
        &mut self,
        line: u64,
        column: Option<&str>,
        reason: String,
        remedy: impl Into<String>,
    ) {
        if self.is_full() {
            self.more += 1;
            return;
        }
        let mut place = format!("{}, line {line}", self.origin);
        if let Some(column) = column {
            let heading: String = column.chars().take(LONGEST_SHOWN).collect();
            place.push_str(&format!(", column `{heading}`"));
        }
        self.list.push(Refusal::new(reason, remedy).at(place));
    }
}

/// `,`, `;` or tab, whichever parts the header.
fn delimiter(header: &str) -> u8 {
    let count = |mark: char| header.matches(mark).count();
    if count(';') > count(',') {
        b';'
    } else if count('\t') > count(',') {
        b'\t'
    } else {
        b','
    }
}

struct Row<'a> {
    header: &'a Header,
    record: &'a csv::StringRecord,
    line: u64,
    source: Arc<str>,
    status: Status,
}

impl Row<'_> {
    fn number(&self, column: &str, faults: &mut Faults<'_>) -> Option<Sourced> {
        let text = self.header.cell(self.record, column)?;
        let (_, bounds) = NUMBER_COLUMNS.iter().find(|(name, _)| *name == column)?;
        let value = match notation::number(text) {
            Ok(value) => value,
            Err(error) => {
                faults.push(
                    self.line,
                    Some(column),
                    error.message(),
                    "write a plain number such as 5.6, without a unit: the heading says it",
                );
                return None;
            }
        };
        match bounds.check(value) {
            Ok(value) => Some(Sourced::new(value, &self.source, self.status)),
            Err(error) => {
                faults.push(
                    self.line,
                    Some(column),
                    error.to_string(),
                    "check the figure and the unit of the heading",
                );
                None
            }
        }
    }

    fn needed(&self, column: &str, faults: &mut Faults<'_>) -> Option<Sourced> {
        if self.header.cell(self.record, column).is_none() {
            faults.push(
                self.line,
                Some(column),
                "the cell is empty".to_owned(),
                "every wood needs its radial and its tangential shrinkage from green to oven-dry, in percent",
            );
            return None;
        }
        self.number(column, faults)
    }

    fn group(&self, faults: &mut Faults<'_>) -> Option<Group> {
        let text = self.header.cell(self.record, "group")?;
        match text.to_lowercase().as_str() {
            "hardwood" => Some(Group::Hardwood),
            "softwood" => Some(Group::Softwood),
            _ => {
                faults.push(
                    self.line,
                    Some("group"),
                    format!("`{text}` is neither hardwood nor softwood"),
                    "write hardwood or softwood, or leave the cell empty",
                );
                None
            }
        }
    }

    fn species(&self, built_in: &SpeciesTable, faults: &mut Faults<'_>) -> Option<Species> {
        let name = self.header.cell(self.record, "species");
        if name.is_none() {
            faults.push(
                self.line,
                Some("species"),
                "the wood has no name".to_owned(),
                "write the name you will use for it in a job",
            );
        }
        let radial = self.needed("radial_percent", faults);
        let tangential = self.needed("tangential_percent", faults);
        let group = self.group(faults);
        let known = name.and_then(|name| built_in.named(name));
        let shrinkage_of = |radial, tangential, volumetric, longitudinal| TotalShrinkage {
            radial_percent: radial,
            tangential_percent: tangential,
            volumetric_percent: volumetric,
            longitudinal_percent: longitudinal,
        };
        let volumetric = self.number("volumetric_percent", faults);
        let longitudinal = self.number("longitudinal_percent", faults);
        let numbers: Vec<Option<Sourced>> = NUMBER_COLUMNS[4..]
            .iter()
            .map(|(column, _)| self.number(column, faults))
            .collect();
        let (name, radial, tangential) = (name?, radial?, tangential?);
        let shrinkage = shrinkage_of(radial, tangential, volumetric, longitudinal);
        let latin = self.header.cell(self.record, "latin").map(str::to_owned);
        let mut species = match known {
            Some(known) => Species {
                shrinkage,
                latin: latin.or_else(|| known.latin.clone()),
                group: group.unwrap_or(known.group),
                change_coefficients: None,
                ..known.clone()
            },
            None => bare(
                name.to_owned(),
                latin,
                group.unwrap_or(Group::Hardwood),
                shrinkage,
            ),
        };
        let fields = [
            &mut species.fiber_saturation_percent,
            &mut species.basic_specific_gravity,
            &mut species.dry.modulus_mpa,
            &mut species.dry.bending_strength_mpa,
            &mut species.dry.shear_mpa,
            &mut species.dry.tension_across_mpa,
            &mut species.dry.compression_across_mpa,
            &mut species.elastic_ratios.tangential,
            &mut species.elastic_ratios.radial,
            &mut species.elastic_ratios.shear_lr,
            &mut species.elastic_ratios.shear_lt,
            &mut species.elastic_ratios.shear_rt,
            &mut species.across.tension_radial_mpa,
            &mut species.across.tension_tangential_mpa,
        ];
        for (field, number) in fields.into_iter().zip(numbers) {
            if number.is_some() {
                *field = number;
            }
        }
        Some(species)
    }
}

fn status(text: Option<&str>, line: u64, faults: &mut Faults<'_>) -> Status {
    let known = [
        Status::Seen,
        Status::Memory,
        Status::Derived,
        Status::Judgement,
        Status::Measured,
        Status::Given,
    ];
    let Some(text) = text else {
        return Status::Given;
    };
    known
        .into_iter()
        .find(|status| status.word() == text.to_lowercase())
        .unwrap_or_else(|| {
            faults.push(
                line,
                Some("status"),
                format!("`{text}` does not say how the figures were found"),
                "write seen, memory, derived, judgement, measured or given, or leave the cell empty",
            );
            Status::Given
        })
}

/// Reads a maker's table; every fault is collected.
pub(super) fn read(
    text: &str,
    origin: &str,
    built_in: &SpeciesTable,
) -> Result<Vec<Species>, Refusals> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut faults = Faults {
        origin,
        list: Vec::new(),
        more: 0,
    };
    let delimiter = delimiter(text.lines().next().unwrap_or_default());
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let mut header: Option<Header> = None;
    let mut woods: Vec<Species> = Vec::new();
    let mut lines: HashMap<String, u64> = HashMap::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let line = error.position().map_or(1, csv::Position::line);
                faults.push(
                    line,
                    None,
                    error.to_string(),
                    "save the table as plain CSV text in UTF-8",
                );
                break;
            }
        };
        let line = record.position().map_or(1, csv::Position::line);
        let Some(header) = &header else {
            header = Some(Header::read(&record, &mut faults));
            if !faults.list.is_empty() {
                break;
            }
            continue;
        };
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        if record.len() != header.places.len() {
            faults.push(
                line,
                None,
                format!(
                    "the row has {} cells, the first line has {}",
                    record.len(),
                    header.places.len()
                ),
                "give every row as many cells as there are columns; put a name with a comma in double quotes",
            );
            continue;
        }
        let source = header.cell(&record, "source").unwrap_or(origin);
        let row = Row {
            header,
            record: &record,
            line,
            source: source.into(),
            status: status(header.cell(&record, "status"), line, &mut faults),
        };
        if let Some(species) = row.species(built_in, &mut faults) {
            let first = *lines
                .entry(super::names::key(&species.name))
                .or_insert(line);
            if first != line {
                faults.push(
                    line,
                    Some("species"),
                    format!("`{}` is already on line {first}", species.name),
                    "keep one row a wood",
                );
            }
            woods.push(species);
        }
    }
    if faults.list.is_empty() && woods.is_empty() {
        faults.push(
            1,
            None,
            "the table holds no wood".to_owned(),
            "write a first line with the columns species, radial_percent, tangential_percent and a line for each wood",
        );
    }
    Refusals::unless_counted(faults.list, faults.more, woods)
}
