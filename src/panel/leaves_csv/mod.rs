//! Leaves from a table: one row a leaf, comma, semicolon or tab between cells.
//!
//! Columns `leaf`, `width`, `thickness`, `length` and `bow` always; `crook`, `twist`, `cup`, `pith_depth`, `pith_offset`,
//! `species`, `pair`, `show_face` and `sawn_side` where they were read. The unit of a length stands in the header
//! (`bow_mm`, `width (in)`) or in each cell (`3 mm`, `1 3/8"`); in both or in neither it is an error.

mod columns;
mod faults;

use super::leaf::{FaceUp, Leaf};
use crate::movement::{Face, Rings};
use crate::units::notation::{length, one_of};
use crate::units::{Bounds, Length, Refusal, Refusals};
use columns::{COLUMNS, Header, headers};
use std::collections::HashSet;

/// A table with so many faults is not read to its end.
const MOST_REFUSED: usize = 1_000;

/// Reads a table of leaves.
///
/// # Errors
/// Every fault: its row, its column, the leaf, the reason and the remedy.
pub fn read(text: &str) -> Result<Vec<Leaf>, Refusals> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
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
        None => return Err(faults::empty().into()),
        Some(record) => record.map_err(|error| unreadable(&error))?,
    };
    let headers = headers(&first)?;
    let mut refused = Vec::new();
    let mut names = HashSet::new();
    let mut leaves: Vec<Leaf> = Vec::new();
    for record in records {
        if refused.len() >= MOST_REFUSED {
            break;
        }
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                refused.push(unreadable(&error));
                continue;
            }
        };
        let row = Row {
            row: record.position().map_or(0, csv::Position::line),
            headers: &headers,
            cells: &record,
        };
        if let Some(leaf) = row.leaf(&mut refused) {
            if names.insert(leaf.name.clone()) {
                leaves.push(leaf);
            } else {
                refused.push(faults::name_twice(&leaf.name).at(format!("row {}", row.row)));
            }
        }
    }
    if leaves.is_empty() && refused.is_empty() {
        refused.push(faults::no_leaves());
    }
    Refusals::unless(refused, leaves)
}

fn unreadable(error: &csv::Error) -> Refusal {
    let row = error.position().map_or(1, csv::Position::line);
    faults::unreadable().at(format!("row {row}"))
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

    /// `row 3, leaf `A`, column `bow``.
    fn place(&self, leaf: Option<&str>, column: &str) -> String {
        let leaf = leaf.map_or_else(String::new, |leaf| format!(", leaf `{leaf}`"));
        format!("row {}{leaf}, column `{column}`", self.row)
    }

    fn words(&self, column: &str) -> Option<String> {
        self.header_and_cell(column)
            .map(|(_, cell)| cell.to_owned())
    }

    fn leaf(&self, refused: &mut Vec<Refusal>) -> Option<Leaf> {
        let before = refused.len();
        let name = self.words("leaf");
        let called = name.clone().unwrap_or_else(|| "unnamed".to_owned());
        if name.is_none() {
            refused.push(faults::missing("leaf").at(self.place(None, "leaf")));
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
            refused.push(faults::stray_cell(&called, stray).at(format!("row {}", self.row)));
        }
        let mut needed = |column: &'static str, bounds: Bounds| {
            self.size(&called, column, bounds, refused).or_else(|| {
                if self.header_and_cell(column).is_none() {
                    refused.push(faults::missing(column).at(self.place(name.as_deref(), column)));
                }
                None
            })
        };
        let width = needed("width", Bounds::WIDTH);
        let thickness = needed("thickness", Bounds::THICKNESS);
        let long = needed("length", Bounds::BOARD_LENGTH);
        let bow = needed("bow", Bounds::LENGTH);
        let mut optional = |column, bounds| self.size(&called, column, bounds, refused);
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
            refused.push(
                faults::no_depth(&header.written).at(self.place(Some(&called), "pith_offset")),
            );
        }
        let show_face = self.choice(&called, "show_face", "a face to show", &SHOW_FACES, refused);
        let sawn_side = self.choice(&called, "sawn_side", "a side", &SIDES, refused);
        let (Some(width), Some(thickness), Some(long), Some(bow), Some(name), true) =
            (width, thickness, long, bow, name, refused.len() == before)
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
        refused: &mut Vec<Refusal>,
    ) -> Option<T> {
        let (_, cell) = self.header_and_cell(column)?;
        one_of(cell, what, words)
            .map_err(|error| refused.push(Refusal::from(error).at(self.place(Some(leaf), column))))
            .ok()
    }

    /// A length; `None` when the cell is empty or was found wrong.
    fn size(
        &self,
        leaf: &str,
        column: &'static str,
        bounds: Bounds,
        refused: &mut Vec<Refusal>,
    ) -> Option<Length> {
        let (header, cell) = self.header_and_cell(column)?;
        // A unit is letters or the marks of feet and inches; a number has neither.
        let tells_unit = cell.chars().any(|c| {
            c.is_alphabetic() || "\"'\u{2032}\u{2033}\u{2018}\u{2019}\u{201c}\u{201d}".contains(c)
        });
        let given = match (header.unit, tells_unit) {
            (Some(_), true) => {
                refused.push(
                    faults::unit_twice(cell, &header.written)
                        .at(format!("row {}, leaf `{leaf}`", self.row)),
                );
                return None;
            }
            (None, false) => {
                refused.push(faults::no_unit(cell, column).at(self.place(Some(leaf), column)));
                return None;
            }
            (Some(unit), false) => format!("{cell} {unit}"),
            (None, true) => cell.to_owned(),
        };
        let size = length(&given).map_err(Refusal::from).and_then(|size| {
            size.within(bounds).map_err(|error| {
                Refusal::new(error.to_string(), "measure it again, or look at its unit")
            })
        });
        size.map_err(|error| refused.push(error.at(self.place(Some(leaf), column))))
            .ok()
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
