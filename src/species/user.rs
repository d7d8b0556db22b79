//! A maker's own table.

use super::record::{Group, Species, TotalShrinkage};
use super::sourced::{Sourced, Status};
use super::table::{SpeciesTable, bare};
use crate::units::Bounds;
use std::fmt;
use std::sync::Arc;

/// One thing wrong in a maker's table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableFault {
    /// Line of the text, counted from 1.
    pub line: u64,
    /// Column by its heading, where one is to blame.
    pub column: Option<String>,
    /// What is wrong.
    pub reason: String,
    /// What to write instead.
    pub remedy: String,
}

impl fmt::Display for TableFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}", self.line)?;
        if let Some(column) = &self.column {
            write!(f, ", column `{column}`")?;
        }
        write!(f, ": {}; {}", self.reason, self.remedy)
    }
}

/// A maker's table that cannot be used, with every fault found in it.
///
/// Columns understood: `species`, `latin`, `group` (hardwood or softwood),
/// `radial_percent`, `tangential_percent`, `volumetric_percent`,
/// `longitudinal_percent`, `fiber_saturation_percent`, `specific_gravity`
/// (oven-dry mass on green volume), `modulus_mpa`, `bending_strength_mpa`,
/// `shear_mpa`, `tension_across_mpa`, `compression_across_mpa`,
/// `tangential_ratio`, `radial_ratio`, `shear_lr_ratio`, `shear_lt_ratio`,
/// `shear_rt_ratio` (over the stiffness along the grain), `source`, `status`
/// (seen, memory, derived, measured, given), `note`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UserTableError {
    /// The name of the text.
    pub origin: String,
    /// Every fault, in the order of the text.
    pub faults: Vec<TableFault>,
}

impl fmt::Display for UserTableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, fault) in self.faults.iter().enumerate() {
            if place > 0 {
                writeln!(f)?;
            }
            write!(f, "{}, {fault}", self.origin)?;
        }
        Ok(())
    }
}

impl std::error::Error for UserTableError {}

const TEXT_COLUMNS: [&str; 6] = ["species", "latin", "group", "source", "status", "note"];

const RATIO: Bounds = Bounds {
    label: "ratio to the stiffness along the grain",
    unit: "",
    least: 0.001,
    greatest: 1.0,
};

const STRENGTH: Bounds = Bounds {
    label: "strength",
    unit: "MPa",
    least: 0.01,
    greatest: 1000.0,
};

const NUMBER_COLUMNS: [(&str, Bounds); 16] = [
    ("radial_percent", Bounds::SHRINKAGE),
    ("tangential_percent", Bounds::SHRINKAGE),
    ("volumetric_percent", VOLUMETRIC),
    ("longitudinal_percent", LONGITUDINAL),
    ("fiber_saturation_percent", Bounds::FIBER_SATURATION),
    ("specific_gravity", Bounds::SPECIFIC_GRAVITY),
    ("modulus_mpa", Bounds::MODULUS),
    ("bending_strength_mpa", STRENGTH),
    ("shear_mpa", STRENGTH),
    ("tension_across_mpa", STRENGTH),
    ("compression_across_mpa", STRENGTH),
    ("tangential_ratio", RATIO),
    ("radial_ratio", RATIO),
    ("shear_lr_ratio", RATIO),
    ("shear_lt_ratio", RATIO),
    ("shear_rt_ratio", RATIO),
];

const VOLUMETRIC: Bounds = Bounds {
    label: "shrinkage of the volume",
    unit: "%",
    least: 0.05,
    greatest: 50.0,
};

const LONGITUDINAL: Bounds = Bounds {
    label: "shrinkage along the grain",
    unit: "%",
    least: 0.0,
    greatest: 5.0,
};

struct Faults {
    list: Vec<TableFault>,
}

impl Faults {
    fn push(&mut self, line: u64, column: Option<&str>, reason: String, remedy: impl Into<String>) {
        self.list.push(TableFault {
            line,
            column: column.map(str::to_owned),
            reason,
            remedy: remedy.into(),
        });
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

/// Columns by their place, or the faults of the header.
struct Header {
    places: Vec<Option<&'static str>>,
}

impl Header {
    fn read(record: &csv::StringRecord, faults: &mut Faults) -> Self {
        let known = || {
            TEXT_COLUMNS
                .into_iter()
                .chain(NUMBER_COLUMNS.iter().map(|(name, _)| *name))
        };
        let mut places: Vec<Option<&'static str>> = Vec::new();
        for heading in record {
            let plain = heading.trim().to_lowercase();
            let found = known().find(|name| *name == plain);
            if found.is_none() {
                let nearest = known().max_by(|a, b| {
                    strsim::jaro_winkler(a, &plain).total_cmp(&strsim::jaro_winkler(b, &plain))
                });
                faults.push(
                    1,
                    Some(heading),
                    "no such column is understood".to_owned(),
                    format!(
                        "did you mean `{}`? The columns are {}",
                        nearest.unwrap_or("species"),
                        known().collect::<Vec<_>>().join(", ")
                    ),
                );
            } else if places.contains(&found) {
                faults.push(
                    1,
                    Some(heading),
                    "the column stands twice".to_owned(),
                    "keep one of the two",
                );
            }
            places.push(found);
        }
        for needed in ["species", "radial_percent", "tangential_percent"] {
            if !places.contains(&Some(needed)) {
                faults.push(
                    1,
                    Some(needed),
                    "the column is missing".to_owned(),
                    "the first line must name the columns, among them species, radial_percent and tangential_percent",
                );
            }
        }
        Self { places }
    }

    fn cell<'a>(&self, record: &'a csv::StringRecord, column: &str) -> Option<&'a str> {
        let place = self.places.iter().position(|name| *name == Some(column))?;
        record
            .get(place)
            .map(str::trim)
            .filter(|text| !text.is_empty())
    }
}

/// Reads a number; where `;` or a tab parts the cells, a comma may be the decimal mark.
fn number(text: &str, comma_is_decimal: bool) -> Option<f64> {
    let bare = text.strip_suffix('%').unwrap_or(text).trim();
    let pointed = if comma_is_decimal && bare.matches(',').count() == 1 && !bare.contains('.') {
        bare.replace(',', ".")
    } else {
        bare.to_owned()
    };
    pointed.parse().ok()
}

struct Row<'a> {
    header: &'a Header,
    record: &'a csv::StringRecord,
    line: u64,
    comma_is_decimal: bool,
    source: Arc<str>,
    status: Status,
}

impl Row<'_> {
    fn number(&self, column: &str, faults: &mut Faults) -> Option<Sourced> {
        let text = self.header.cell(self.record, column)?;
        let (_, bounds) = NUMBER_COLUMNS.iter().find(|(name, _)| *name == column)?;
        let Some(value) = number(text, self.comma_is_decimal) else {
            faults.push(
                self.line,
                Some(column),
                format!("`{text}` is no number"),
                "write a plain number such as 5.6, without a unit: the heading says it",
            );
            return None;
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

    fn needed(&self, column: &str, faults: &mut Faults) -> Option<Sourced> {
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

    fn group(&self, faults: &mut Faults) -> Option<Group> {
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

    fn species(&self, built_in: &SpeciesTable, faults: &mut Faults) -> Option<Species> {
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
        ];
        for (field, number) in fields.into_iter().zip(numbers) {
            if number.is_some() {
                *field = number;
            }
        }
        Some(species)
    }
}

fn status(text: Option<&str>, line: u64, faults: &mut Faults) -> Status {
    let known = [
        Status::Seen,
        Status::Memory,
        Status::Derived,
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
                format!("`{text}` says not how the figures were come by"),
                "write seen, memory, derived, measured or given, or leave the cell empty",
            );
            Status::Given
        })
}

/// Reads a maker's table; every fault is collected.
pub(super) fn read(
    text: &str,
    origin: &str,
    built_in: &SpeciesTable,
) -> Result<Vec<Species>, UserTableError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut faults = Faults { list: Vec::new() };
    let delimiter = delimiter(text.lines().next().unwrap_or_default());
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let mut header: Option<Header> = None;
    let mut woods: Vec<(u64, Species)> = Vec::new();
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
            comma_is_decimal: delimiter != b',',
            source: source.into(),
            status: status(header.cell(&record, "status"), line, &mut faults),
        };
        if let Some(species) = row.species(built_in, &mut faults) {
            let same = |known: &str| super::names::key(known) == super::names::key(&species.name);
            if let Some((first, _)) = woods.iter().find(|(_, known)| same(&known.name)) {
                faults.push(
                    line,
                    Some("species"),
                    format!("`{}` stands already on line {first}", species.name),
                    "keep one row a wood",
                );
            }
            woods.push((line, species));
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
    if faults.list.is_empty() {
        Ok(woods.into_iter().map(|(_, species)| species).collect())
    } else {
        Err(UserTableError {
            origin: origin.to_owned(),
            faults: faults.list,
        })
    }
}
