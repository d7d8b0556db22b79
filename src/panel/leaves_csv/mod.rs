//! Leaves from a table: one row a leaf, comma, semicolon or tab between cells.
//!
//! Columns `leaf`, `width`, `thickness`, `length` and `bow` always; `crook`, `twist`, `cup`, `pith_depth`, `pith_offset`,
//! `species`, `pair`, `show_face` and `sawn_side` where they were read. The unit of a length stands in the header
//! (`bow_mm`, `width (in)`) or in each cell (`3 mm`, `1 3/8"`); in both or in neither it is an error.

mod columns;
mod faults;

pub use faults::{LeavesError, LeavesFault};

use super::leaf::{FaceUp, Leaf};
use crate::movement::{Face, Rings};
use crate::units::notation::{length, one_of};
use crate::units::{Bounds, Length};
use columns::{COLUMNS, Header, headers};

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
                reason: format!("`{}` is given without the pith's depth", header.written),
                remedy: "write `pith_depth` too, from the heart-side face square to the pith, or leave both out".to_owned(),
            });
        }
        let show_face = self.choice(&called, "show_face", "a face to show", &SHOW_FACES, faults);
        let sawn_side = self.choice(&called, "sawn_side", "a side", &SIDES, faults);
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
            sawn_side,
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
        let given = match (header.unit, tells_unit) {
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
        match length(&given) {
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
    ("sawn", Some(FaceUp::Sawn)),
    ("back", Some(FaceUp::Back)),
    ("either", None),
    ("this side", Some(FaceUp::Sawn)),
    ("other side", Some(FaceUp::Back)),
];

const SIDES: [(&str, Face); 2] = [("bark", Face::Bark), ("heart", Face::Heart)];
