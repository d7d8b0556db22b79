//! Leaves from a table: one row a leaf, comma, semicolon or tab between cells.
//!
//! Columns `leaf`, `width`, `thickness`, `length` and `bow` always; `crook`, `twist`, `cup`, `pith_depth`, `pith_offset`,
//! `species`, `pair`, `show_face` and `marked_side` where they were read. The unit of a length stands in the header
//! (`bow_mm`, `width (in)`) or in each cell (`3 mm`, `1 3/8"`); in both or in neither it is an error.

use super::leaf::{FaceUp, Leaf};
use crate::movement::{Face, Rings};
use crate::units::notation::{length, nearest, one_of};
use crate::units::{Bounds, Length};
use std::fmt;

/// Everything wrong with a table of leaves, in the order of its rows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeavesError {
    faults: Vec<LeavesFault>,
}

impl LeavesError {
    /// Every fault; at least one.
    #[must_use]
    pub fn faults(&self) -> &[LeavesFault] {
        &self.faults
    }
}

/// One thing wrong with a table of leaves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LeavesFault {
    /// No header row.
    Empty,
    /// A header but no leaf.
    NoLeaves,
    /// A column that every table needs is not there.
    ColumnMissing {
        /// Its name.
        column: &'static str,
    },
    /// A column nobody knows.
    ColumnUnknown {
        /// The header as written.
        header: String,
        /// The nearest known column.
        nearest: Option<&'static str>,
    },
    /// One column twice.
    ColumnTwice {
        /// Its name.
        column: &'static str,
    },
    /// A unit in the header of a column that holds no length.
    UnitOnWords {
        /// The header as written.
        header: String,
    },
    /// More cells than headers, or text that is no table.
    Row {
        /// Line of the text, the header being 1.
        row: u64,
        /// What is wrong.
        reason: String,
    },
    /// A cell that must be filled is empty.
    CellMissing {
        /// Line of the text.
        row: u64,
        /// The leaf's name, where the row has one.
        leaf: Option<String>,
        /// The column.
        column: &'static str,
    },
    /// A length without unit in cell or header.
    UnitMissing {
        /// Line of the text.
        row: u64,
        /// The leaf's name.
        leaf: String,
        /// The column.
        column: &'static str,
        /// The cell as written.
        cell: String,
    },
    /// A length with a unit under a header that tells one too.
    UnitTwice {
        /// Line of the text.
        row: u64,
        /// The leaf's name.
        leaf: String,
        /// The header as written.
        header: String,
        /// The cell as written.
        cell: String,
    },
    /// A cell that cannot be read or lies out of range.
    Cell {
        /// Line of the text.
        row: u64,
        /// The leaf's name.
        leaf: String,
        /// The column.
        column: &'static str,
        /// What is wrong.
        reason: String,
        /// What to write.
        remedy: String,
    },
    /// Two rows of one name.
    NameTwice {
        /// Line of the second.
        row: u64,
        /// The name.
        leaf: String,
    },
}

impl fmt::Display for LeavesFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let named = |leaf: &Option<String>| {
            leaf.as_ref()
                .map_or_else(String::new, |leaf| format!(", leaf `{leaf}`"))
        };
        match self {
            Self::Empty => write!(
                f,
                "the table is empty; write a header row `{USUAL_HEADER}` and a row for each leaf"
            ),
            Self::NoLeaves => f.write_str(
                "the table has a header but no leaf; write a row for each leaf below it",
            ),
            Self::ColumnMissing { column } => write!(
                f,
                "row 1: the column `{column}` is missing; the header needs `{USUAL_HEADER}`, the unit of lengths in the header or in each cell"
            ),
            Self::ColumnUnknown { header, nearest } => {
                write!(f, "row 1: `{header}` is no column known here; ")?;
                match nearest {
                    Some(nearest) => write!(f, "did you mean `{nearest}`? ")?,
                    None => f.write_str("take it out or rename it; ")?,
                }
                write!(
                    f,
                    "the columns are {}",
                    COLUMNS.map(|column| format!("`{column}`")).join(", ")
                )
            }
            Self::ColumnTwice { column } => write!(
                f,
                "row 1: the column `{column}` stands there twice; keep one"
            ),
            Self::UnitOnWords { header } => write!(
                f,
                "row 1: `{header}` holds words, no lengths; take its unit out"
            ),
            Self::Row { row, reason } => write!(f, "row {row}: {reason}"),
            Self::CellMissing { row, leaf, column } => match *column {
                "leaf" => write!(
                    f,
                    "row {row}, column `leaf`: the leaf has no name; write the one you marked on it"
                ),
                "bow" => write!(
                    f,
                    "row {row}{}, column `bow`: the bow is missing; lay a straightedge or a string along the leaf and write the gap at its middle, negative when the marked face is round, `0 mm` when it is straight",
                    named(leaf)
                ),
                _ => write!(
                    f,
                    "row {row}{}, column `{column}`: the cell is empty; measure it and write it",
                    named(leaf)
                ),
            },
            Self::UnitMissing {
                row,
                leaf,
                column,
                cell,
            } => write!(
                f,
                "row {row}, leaf `{leaf}`, column `{column}`: `{cell}` has no unit; write it in the cell (`{cell} mm`) or for all rows in the header (`{column}_mm`, `{column}_in`)"
            ),
            Self::UnitTwice {
                row,
                leaf,
                header,
                cell,
            } => write!(
                f,
                "row {row}, leaf `{leaf}`: `{cell}` tells a unit and so does its header `{header}`; keep the unit in one of the two places"
            ),
            Self::Cell {
                row,
                leaf,
                column,
                reason,
                remedy,
            } => write!(
                f,
                "row {row}, leaf `{leaf}`, column `{column}`: {reason}; {remedy}"
            ),
            Self::NameTwice { row, leaf } => write!(
                f,
                "row {row}: the leaf `{leaf}` stands there a second time; give each leaf its own name"
            ),
        }
    }
}

impl fmt::Display for LeavesError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.faults.iter().enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            fault.fmt(f)?;
        }
        Ok(())
    }
}

impl std::error::Error for LeavesError {}

const USUAL_HEADER: &str = "leaf, width, thickness, length, bow";

const COLUMNS: [&str; 14] = [
    "leaf",
    "width",
    "thickness",
    "length",
    "bow",
    "crook",
    "twist",
    "cup",
    "pith_depth",
    "pith_offset",
    "species",
    "pair",
    "show_face",
    "marked_side",
];

/// How many of the columns every table has.
const NEEDED: usize = 5;

const WORDS: [&str; 5] = ["leaf", "species", "pair", "show_face", "marked_side"];

const UNITS: [&str; 8] = ["mm", "cm", "m", "in", "inch", "inches", "ft", "feet"];

#[derive(Debug, Clone)]
struct Header {
    written: String,
    unit: Option<&'static str>,
}

/// Reads a table of leaves.
///
/// # Errors
/// [`LeavesError`] with every fault: its row, its column, the leaf, the reason and the remedy.
pub fn read(text: &str) -> Result<Vec<Leaf>, LeavesError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let fault = |fault| LeavesError {
        faults: vec![fault],
    };
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .delimiter(delimiter(text))
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut records = reader.records().filter(|record| {
        record
            .as_ref()
            .map_or(true, |record| record.iter().any(|cell| !cell.is_empty()))
    });
    let first = match records.next() {
        None => return Err(fault(LeavesFault::Empty)),
        Some(record) => record.map_err(|error| fault(unreadable(&error)))?,
    };
    let headers = headers(&first)?;
    let mut faults = Vec::new();
    let mut leaves: Vec<Leaf> = Vec::new();
    for record in records {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                faults.push(unreadable(&error));
                continue;
            }
        };
        let row = Row {
            row: record.position().map_or(0, csv::Position::line),
            headers: &headers,
            cells: &record,
        };
        if let Some(leaf) = row.leaf(&mut faults) {
            if leaves.iter().any(|known| known.name == leaf.name) {
                faults.push(LeavesFault::NameTwice {
                    row: row.row,
                    leaf: leaf.name,
                });
            } else {
                leaves.push(leaf);
            }
        }
    }
    if leaves.is_empty() && faults.is_empty() {
        faults.push(LeavesFault::NoLeaves);
    }
    if faults.is_empty() {
        Ok(leaves)
    } else {
        Err(LeavesError { faults })
    }
}

fn unreadable(error: &csv::Error) -> LeavesFault {
    LeavesFault::Row {
        row: error.position().map_or(1, csv::Position::line),
        reason: "the row cannot be read as a table; look for a stray quotation mark".to_owned(),
    }
}

fn delimiter(text: &str) -> u8 {
    let header = text
        .lines()
        .find(|line| !line.trim().is_empty() && !line.starts_with('#'))
        .unwrap_or("");
    let count = |mark: char| header.matches(mark).count();
    // Of equal counts the last wins: a comma.
    [(';', b';'), ('\t', b'\t'), (',', b',')]
        .into_iter()
        .max_by_key(|(mark, _)| count(*mark))
        .map_or(b',', |(_, byte)| byte)
}

fn tidy(header: &str) -> String {
    header
        .to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join("_")
}

fn without_unit(name: &str) -> &str {
    match name.rsplit_once('_') {
        Some((column, unit)) if UNITS.contains(&unit) => column,
        _ => name,
    }
}

/// The header of each known column, with its place in the row.
fn headers(record: &csv::StringRecord) -> Result<[Option<(usize, Header)>; 14], LeavesError> {
    let mut found: [Option<(usize, Header)>; 14] = std::array::from_fn(|_| None);
    let mut faults = Vec::new();
    for (place, written) in record.iter().enumerate() {
        let name = tidy(written);
        if name.is_empty() {
            continue;
        }
        let known = COLUMNS.iter().enumerate().find_map(|(i, column)| {
            let rest = name.strip_prefix(column)?;
            if rest.is_empty() {
                return Some((i, None));
            }
            let unit = rest.strip_prefix('_')?;
            let unit = UNITS.iter().find(|known| **known == unit)?;
            Some((i, Some(*unit)))
        });
        match known {
            None => faults.push(LeavesFault::ColumnUnknown {
                header: written.to_owned(),
                nearest: nearest(without_unit(&name), COLUMNS)
                    .and_then(|near| COLUMNS.into_iter().find(|column| *column == near)),
            }),
            Some((i, _)) if found[i].is_some() => {
                faults.push(LeavesFault::ColumnTwice { column: COLUMNS[i] });
            }
            Some((i, Some(_))) if WORDS.contains(&COLUMNS[i]) => {
                faults.push(LeavesFault::UnitOnWords {
                    header: written.to_owned(),
                });
            }
            Some((i, unit)) => {
                let written = written.to_owned();
                found[i] = Some((place, Header { written, unit }));
            }
        }
    }
    for (i, column) in COLUMNS.into_iter().enumerate().take(NEEDED) {
        if found[i].is_none() {
            faults.push(LeavesFault::ColumnMissing { column });
        }
    }
    if faults.is_empty() {
        Ok(found)
    } else {
        Err(LeavesError { faults })
    }
}

struct Row<'a> {
    row: u64,
    headers: &'a [Option<(usize, Header)>; 14],
    cells: &'a csv::StringRecord,
}

impl Row<'_> {
    fn header_and_cell(&self, column: &str) -> Option<(&Header, &str)> {
        let i = COLUMNS.iter().position(|known| *known == column)?;
        let (place, header) = self.headers[i].as_ref()?;
        let cell = self.cells.get(*place)?;
        (!cell.is_empty()).then_some((header, cell))
    }

    fn words(&self, column: &str) -> Option<String> {
        self.header_and_cell(column)
            .map(|(_, cell)| cell.to_owned())
    }

    fn leaf(&self, faults: &mut Vec<LeavesFault>) -> Option<Leaf> {
        let before = faults.len();
        let name = self.words("leaf");
        let called = name.clone().unwrap_or_else(|| "unnamed".to_owned());
        if name.is_none() {
            faults.push(LeavesFault::CellMissing {
                row: self.row,
                leaf: None,
                column: "leaf",
            });
        }
        let last = self
            .headers
            .iter()
            .flatten()
            .map(|(place, _)| place + 1)
            .max();
        if let Some(stray) = self
            .cells
            .iter()
            .skip(last.unwrap_or(0))
            .find(|cell| !cell.is_empty())
        {
            faults.push(LeavesFault::Row {
                row: self.row,
                reason: format!("leaf `{called}` has more cells than the header has columns, such as `{stray}`; quote a cell that holds a comma"),
            });
        }
        let mut needed = |column: &'static str, bounds: Bounds| {
            self.size(&called, column, bounds, faults).or_else(|| {
                if self.header_and_cell(column).is_none() {
                    faults.push(LeavesFault::CellMissing {
                        row: self.row,
                        leaf: name.clone(),
                        column,
                    });
                }
                None
            })
        };
        let width = needed("width", Bounds::WIDTH);
        let thickness = needed("thickness", Bounds::THICKNESS);
        let long = needed("length", Bounds::BOARD_LENGTH);
        let bow = needed("bow", Bounds::LENGTH);
        let mut optional = |column, bounds| self.size(&called, column, bounds, faults);
        let crook = optional("crook", Bounds::LENGTH);
        let twist = optional("twist", Bounds::LENGTH);
        let cup = optional("cup", Bounds::LENGTH);
        let depth = optional("pith_depth", Bounds::PITH_DEPTH);
        let offset = optional("pith_offset", Bounds::LENGTH);
        if let (None, Some((header, _)), None) = (
            self.header_and_cell("pith_depth"),
            self.header_and_cell("pith_offset"),
            offset.filter(|offset| *offset == Length::ZERO),
        ) {
            faults.push(LeavesFault::Cell {
                row: self.row,
                leaf: called.clone(),
                column: "pith_offset",
                reason: format!("`{}` is told without the pith's depth", header.written),
                remedy: "write `pith_depth` too, from the heart-side face square to the pith, or leave both out".to_owned(),
            });
        }
        let show_face = self.choice(&called, "show_face", "a face to show", &SHOW_FACES, faults);
        let marked_side = self.choice(&called, "marked_side", "a side", &SIDES, faults);
        let (Some(width), Some(thickness), Some(long), Some(bow), Some(name), true) =
            (width, thickness, long, bow, name, faults.len() == before)
        else {
            return None;
        };
        Some(Leaf {
            crook: crook.unwrap_or(Length::ZERO),
            twist: twist.unwrap_or(Length::ZERO),
            cup: cup.unwrap_or(Length::ZERO),
            rings: depth.map(|depth| Rings::Pith {
                depth,
                offset: offset.unwrap_or(Length::ZERO),
            }),
            marked_side,
            species: self.words("species"),
            pair: self.words("pair"),
            show_face: show_face.flatten(),
            ..Leaf::new(name, width, thickness, long, bow)
        })
    }

    fn choice<T: Clone>(
        &self,
        leaf: &str,
        column: &'static str,
        what: &str,
        words: &[(&str, T)],
        faults: &mut Vec<LeavesFault>,
    ) -> Option<T> {
        let (_, cell) = self.header_and_cell(column)?;
        one_of(cell, what, words)
            .map_err(|error| {
                faults.push(LeavesFault::Cell {
                    row: self.row,
                    leaf: leaf.to_owned(),
                    column,
                    reason: error.message(),
                    remedy: error.remedy().to_owned(),
                });
            })
            .ok()
    }

    /// A length; `None` when the cell is empty or was found wrong.
    fn size(
        &self,
        leaf: &str,
        column: &'static str,
        bounds: Bounds,
        faults: &mut Vec<LeavesFault>,
    ) -> Option<Length> {
        let (header, cell) = self.header_and_cell(column)?;
        // A unit is letters or the marks of feet and inches; a number has neither.
        let tells_unit = cell.chars().any(|c| {
            c.is_alphabetic() || "\"'\u{2032}\u{2033}\u{2018}\u{2019}\u{201c}\u{201d}".contains(c)
        });
        let told = match (header.unit, tells_unit) {
            (Some(_), true) => {
                faults.push(LeavesFault::UnitTwice {
                    row: self.row,
                    leaf: leaf.to_owned(),
                    header: header.written.clone(),
                    cell: cell.to_owned(),
                });
                return None;
            }
            (None, false) => {
                faults.push(LeavesFault::UnitMissing {
                    row: self.row,
                    leaf: leaf.to_owned(),
                    column,
                    cell: cell.to_owned(),
                });
                return None;
            }
            (Some(unit), false) => format!("{cell} {unit}"),
            (None, true) => cell.to_owned(),
        };
        let mut wrong = |reason: String, remedy: String| {
            faults.push(LeavesFault::Cell {
                row: self.row,
                leaf: leaf.to_owned(),
                column,
                reason,
                remedy,
            });
        };
        match length(&told) {
            Err(error) => {
                wrong(error.message(), error.remedy().to_owned());
                None
            }
            Ok(size) => match size.within(bounds) {
                Ok(size) => Some(size),
                Err(error) => {
                    wrong(
                        error.to_string(),
                        "measure it again, or look at its unit".to_owned(),
                    );
                    None
                }
            },
        }
    }
}

const SHOW_FACES: [(&str, Option<FaceUp>); 5] = [
    ("marked", Some(FaceUp::Marked)),
    ("back", Some(FaceUp::Back)),
    ("either", None),
    ("this side", Some(FaceUp::Marked)),
    ("other side", Some(FaceUp::Back)),
];

const SIDES: [(&str, Face); 2] = [("bark", Face::Bark), ("heart", Face::Heart)];
