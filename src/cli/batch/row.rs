//! One row: from its bytes to what its board does.

use super::cells::{Cell, Cells, decimal, write_fixed};
use super::columns::{ANSWERS, Columns, FIELDS, Field};
use crate::movement::{Face, GivenRings, RingStrains, Rings, Sawn, Section, Shrinkage};
use crate::species::SpeciesTable;
use crate::units::notation::{self, NotationError};
use crate::units::spanned::ReadNotation as _;
use crate::units::{Bounds, Length, MoistureContent, RangeError};
use std::collections::HashMap;
use std::fmt;
use std::sync::Arc;

/// Names of woods that are remembered; a table of more is looked up again.
const REMEMBERED: usize = 4096;

/// Why a row has no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unanswered {
    /// Line of the file, from 1.
    pub line: u64,
    /// What is wrong, with the remedy.
    pub words: String,
    /// Whether the row is at fault, and not its wood.
    pub malformed: bool,
}

impl fmt::Display for Unanswered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.words)
    }
}

/// What a board does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Change of the bark-side face's chord, mm.
    pub width_mm: f64,
    /// Change of the thickness at the centre line, mm.
    pub thickness_mm: f64,
    /// Cup of the bark-side face, mm; positive: hollow. Absent where no pith is given.
    pub cup_mm: Option<f64>,
}

/// How answers are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Appended to the row.
    Csv,
    /// One JSON object a row.
    Json,
}

enum Fault {
    Malformed(String),
    PithInside,
}

impl From<String> for Fault {
    fn from(words: String) -> Self {
        Self::Malformed(words)
    }
}

/// What all threads share.
#[derive(Debug, Clone)]
pub struct Task {
    /// The table's columns.
    pub columns: Columns,
    /// The woods.
    pub table: SpeciesTable,
    /// How answers are written.
    pub form: Form,
    /// Whether nothing is answered from the first malformed row on.
    pub stop_on_error: bool,
}

/// Answers rows; one for each thread.
pub struct Rows {
    task: Arc<Task>,
    woods: HashMap<Box<[u8]>, Result<Shrinkage, String>>,
    last_name: Vec<u8>,
    last_wood: Option<Shrinkage>,
    kept: String,
}

impl Rows {
    /// For a task.
    #[must_use]
    pub fn new(task: Arc<Task>) -> Self {
        Self {
            task,
            woods: HashMap::new(),
            last_name: Vec::new(),
            last_wood: None,
            kept: String::new(),
        }
    }

    /// Answers every line of a block of whole lines; the first has the number `line`. Gives how many rows
    /// there were. When the task says so, it ends before the first malformed row.
    pub fn block(
        &mut self,
        block: &[u8],
        mut line: u64,
        out: &mut Vec<u8>,
        unanswered: &mut Vec<Unanswered>,
    ) -> u64 {
        let mut rest = block;
        let mut rows = 0;
        while !rest.is_empty() {
            let length = rest.iter().position(|byte| *byte == b'\n');
            let (row, end) = match length {
                Some(at) if at > 0 && rest[at - 1] == b'\r' => (&rest[..at - 1], &b"\r\n"[..]),
                Some(at) => (&rest[..at], &b"\n"[..]),
                None => (rest, &b"\n"[..]),
            };
            rest = length.map_or(&[][..], |at| &rest[at + 1..]);
            if row.trim_ascii().is_empty() {
                if self.task.form == Form::Csv {
                    out.extend_from_slice(row);
                    out.extend_from_slice(end);
                }
            } else {
                rows += 1;
                if !self.row(row, end, line, out, unanswered) {
                    return rows;
                }
            }
            line += 1;
        }
        rows
    }

    fn row(
        &mut self,
        row: &[u8],
        end: &[u8],
        line: u64,
        out: &mut Vec<u8>,
        unanswered: &mut Vec<Unanswered>,
    ) -> bool {
        let mut count = self.task.columns.count();
        let answer = self.answer(row, &mut count).map_err(|fault| {
            let (words, malformed) = match fault {
                Fault::Malformed(words) => (words, true),
                Fault::PithInside => (
                    "the pith lies inside the board: it will check, and no answer is given"
                        .to_owned(),
                    false,
                ),
            };
            Unanswered {
                line,
                words,
                malformed,
            }
        });
        if self.task.stop_on_error && answer.as_ref().is_err_and(|fault| fault.malformed) {
            unanswered.extend(answer.err());
            return false;
        }
        match self.task.form {
            Form::Csv => {
                let delimiter = self.task.columns.delimiter();
                // Cells beyond the columns go behind the answers, which stay under their names.
                let own = if count > self.task.columns.count() {
                    Cells::new(row, delimiter).end_of(self.task.columns.count())
                } else {
                    row.len()
                };
                out.extend_from_slice(&row[..own]);
                out.extend(std::iter::repeat_n(
                    delimiter,
                    self.task.columns.count().saturating_sub(count),
                ));
                match &answer {
                    Ok(change) => {
                        for value in [
                            Some(change.width_mm),
                            Some(change.thickness_mm),
                            change.cup_mm,
                        ] {
                            out.push(delimiter);
                            if let Some(value) = value {
                                write_fixed(value, out);
                            }
                        }
                    }
                    Err(_) => out.extend([delimiter; ANSWERS.len()]),
                }
                out.extend_from_slice(&row[own..]);
                out.extend_from_slice(end);
            }
            Form::Json => {
                let object = match &answer {
                    Ok(change) => serde_json::json!({
                        "line": line,
                        "width_change_mm": change.width_mm,
                        "thickness_change_mm": change.thickness_mm,
                        "cup_mm": change.cup_mm,
                    }),
                    Err(fault) => serde_json::json!({
                        "line": line,
                        "width_change_mm": null,
                        "thickness_change_mm": null,
                        "cup_mm": null,
                        "problem": fault.words,
                    }),
                };
                out.extend_from_slice(object.to_string().as_bytes());
                out.push(b'\n');
            }
        }
        unanswered.extend(answer.err());
        true
    }

    fn answer(&mut self, row: &[u8], count: &mut usize) -> Result<Change, Fault> {
        let task = Arc::clone(&self.task);
        let columns = &task.columns;
        let mut cells = [Cell::default(); FIELDS];
        *count = Cells::new(row, columns.delimiter())
            .each(|column, cell| {
                if let Some(field) = columns.field(column) {
                    cells[field as usize] = cell;
                }
            })
            .map_err(|error| error.to_string())?;
        if *count > columns.count() {
            return Err(Fault::Malformed(format!(
                "{count} cells and only {} columns; quote a cell that holds a `{}`",
                columns.count(),
                char::from(columns.delimiter())
            )));
        }
        let wood = self.wood(cells[Field::Species as usize])?;
        let width = self.length(&cells, Field::Width, Bounds::WIDTH)?;
        let thickness = self.length(&cells, Field::Thickness, Bounds::THICKNESS)?;
        let from = self.moisture(&cells, Field::From)?;
        let to = self.moisture(&cells, Field::To)?;
        let rings = self.rings(&cells, width, thickness)?;
        let section = Section {
            width,
            thickness,
            rings,
        };
        let moved = section
            .moved(RingStrains::of(&wood, from, to))
            .ok_or(Fault::PithInside)?;
        Ok(Change {
            width_mm: (moved.width(Face::Bark) - width).mm(),
            thickness_mm: (moved.thickness_at(Length::ZERO) - thickness).mm(),
            cup_mm: matches!(rings, Rings::Pith { .. }).then(|| moved.cup(Face::Bark).mm()),
        })
    }

    fn rings(
        &mut self,
        cells: &[Cell<'_>; FIELDS],
        width: Length,
        thickness: Length,
    ) -> Result<Rings, String> {
        let cell = |field: Field| cells[field as usize];
        let (sawn, depth, offset) = (
            cell(Field::Sawn),
            cell(Field::PithDepth),
            cell(Field::PithOffset),
        );
        if depth.is_empty() && offset.is_empty() {
            if sawn.is_empty() {
                return Ok(Sawn::Flat.rings());
            }
            let text = text(sawn, &mut self.kept, "sawn")?;
            return Sawn::read(text)
                .map(Sawn::rings)
                .map_err(|error| format!("sawn: {error}"));
        }
        if !sawn.is_empty() {
            return Err("`sawn` and the pith both give the rings; leave one of them empty".into());
        }
        if depth.is_empty() {
            return Err(format!(
                "`{}` is given and `{}` is not; give both, or neither for flat rings",
                self.task.columns.name(Field::PithOffset),
                self.task.columns.name(Field::PithDepth)
            ));
        }
        let depth = self.length(cells, Field::PithDepth, Bounds::PITH_DEPTH)?;
        let offset = if offset.is_empty() {
            Length::ZERO
        } else {
            self.length(cells, Field::PithOffset, Bounds::LENGTH)?
        };
        GivenRings::Pith { depth, offset }
            .rings(width, thickness)
            .map_err(|error| error.to_string())
    }

    fn wood(&mut self, cell: Cell<'_>) -> Result<Shrinkage, String> {
        let name = cell.bytes();
        if let Some(wood) = self.last_wood.filter(|_| self.last_name == name) {
            return Ok(wood);
        }
        if name.is_empty() {
            return Err("species: nothing is written; name the wood".into());
        }
        let wood = match self.woods.get(name) {
            Some(known) => known.clone()?,
            None => {
                let found = text(cell, &mut self.kept, "species").and_then(|name| {
                    self.task
                        .table
                        .find(name)
                        .map(Shrinkage::of)
                        .map_err(|error| format!("species: {error}"))
                });
                if self.woods.len() >= REMEMBERED {
                    self.woods.clear();
                }
                self.woods.insert(name.into(), found.clone());
                found?
            }
        };
        self.last_name.clear();
        self.last_name.extend_from_slice(name);
        self.last_wood = Some(wood);
        Ok(wood)
    }

    fn length(
        &mut self,
        cells: &[Cell<'_>; FIELDS],
        field: Field,
        bounds: Bounds,
    ) -> Result<Length, String> {
        let read = match field {
            Field::Thickness => notation::rough_thickness,
            _ => notation::length,
        };
        self.quantity(cells, field, Length::from_mm, read)
            .and_then(|length| {
                length
                    .within(bounds)
                    .map_err(|error| format!("{}: {error}", self.task.columns.name(field)))
            })
    }

    fn moisture(
        &mut self,
        cells: &[Cell<'_>; FIELDS],
        field: Field,
    ) -> Result<MoistureContent, String> {
        self.quantity(
            cells,
            field,
            MoistureContent::from_percent,
            notation::moisture,
        )
    }

    /// A cell as a plain number in the unit of its column, or in shop notation.
    fn quantity<T>(
        &mut self,
        cells: &[Cell<'_>; FIELDS],
        field: Field,
        plain: fn(f64) -> Result<T, RangeError>,
        read: fn(&str) -> Result<T, NotationError>,
    ) -> Result<T, String> {
        let name = self.task.columns.name(field);
        let cell = cells[field as usize];
        if cell.is_empty() {
            return Err(format!("{name}: nothing is written; fill the cell"));
        }
        if !self.task.columns.is_plain(field) {
            let text = text(cell, &mut self.kept, name)?;
            return read(text).map_err(|error| format!("{name}: {error}"));
        }
        let number = match decimal(cell.bytes()) {
            Some(number) => number,
            None => notation::number(text(cell, &mut self.kept, name)?)
                .map_err(|error| format!("{name}: {error}"))?,
        };
        plain(number).map_err(|error| format!("{name}: {error}"))
    }
}

fn text<'k, 'r: 'k>(cell: Cell<'r>, kept: &'k mut String, name: &str) -> Result<&'k str, String> {
    cell.text(kept)
        .ok_or_else(|| format!("{name}: the text is not UTF-8; save the file as UTF-8"))
}
