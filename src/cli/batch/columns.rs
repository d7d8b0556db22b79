//! Which column of a table of boards tells what.

use super::cells::{Cells, NoCells};
use crate::units::notation::nearest;

/// What a column tells of a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// The wood's name.
    Species,
    /// Width now.
    Width,
    /// Thickness now.
    Thickness,
    /// Moisture content now.
    From,
    /// Moisture content later.
    To,
    /// Heart-side face square down to the pith.
    PithDepth,
    /// Centre line to the pith, positive to the right.
    PithOffset,
    /// How it was sawn: `flat`, `rift` or `quarter`.
    Sawn,
}

/// How many fields there are.
pub(super) const FIELDS: usize = 8;

/// A column's name, what it tells, and whether its cells are plain numbers in the unit of the name.
const NAMES: [(&str, Field, bool); 14] = [
    ("species", Field::Species, false),
    ("width_mm", Field::Width, true),
    ("width", Field::Width, false),
    ("thickness_mm", Field::Thickness, true),
    ("thickness", Field::Thickness, false),
    ("from_percent", Field::From, true),
    ("from", Field::From, false),
    ("to_percent", Field::To, true),
    ("to", Field::To, false),
    ("pith_depth_mm", Field::PithDepth, true),
    ("pith_depth", Field::PithDepth, false),
    ("pith_offset_mm", Field::PithOffset, true),
    ("pith_offset", Field::PithOffset, false),
    ("sawn", Field::Sawn, false),
];

/// Names of the columns that are appended.
pub(super) const ANSWERS: [&str; 3] = ["width_change_mm", "thickness_change_mm", "cup_mm"];

/// What to write as the first line.
pub(super) const REMEDY: &str = "name the columns in the first line: species, width_mm, thickness_mm, from_percent, to_percent, and where known pith_depth_mm, pith_offset_mm or sawn; or without _mm and _percent for cells with units, such as 16 1/2in; where there is no such line, name them with --columns";

/// The columns of one table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Columns {
    delimiter: u8,
    /// By column.
    fields: Vec<Option<Field>>,
    /// By field: its column's name, empty without one, and whether its cells are plain numbers.
    given: [(&'static str, bool); FIELDS],
}

fn known(name: &str) -> Option<(&'static str, Field, bool)> {
    let name = name.trim();
    NAMES
        .into_iter()
        .find(|(known, ..)| known.eq_ignore_ascii_case(name))
}

fn names(line: &str, delimiter: u8) -> Result<Vec<String>, NoCells> {
    let mut names = Vec::new();
    Cells::new(line.as_bytes(), delimiter).each(|_, cell| {
        let mut kept = String::new();
        names.push(cell.text(&mut kept).unwrap_or_default().trim().to_owned());
    })?;
    Ok(names)
}

impl Columns {
    /// Reads the line that names the columns: between commas, semicolons or tabs, in any order, other columns
    /// among them.
    ///
    /// # Errors
    /// What is wrong with it, in words with the remedy.
    pub fn read(line: &str) -> Result<Self, String> {
        let count = |delimiter: u8| {
            names(line, delimiter).map_or(0, |names| {
                names.iter().filter(|name| known(name).is_some()).count()
            })
        };
        let delimiter = [b',', b';', b'\t']
            .into_iter()
            .rev()
            .max_by_key(|delimiter| count(*delimiter))
            .unwrap_or(b',');
        let names = names(line, delimiter)
            .map_err(|error| format!("the names of the columns: {error}; {REMEDY}"))?;
        let mut columns = Self {
            delimiter,
            fields: Vec::with_capacity(names.len()),
            given: [("", false); FIELDS],
        };
        for name in &names {
            let found = known(name);
            columns.fields.push(found.map(|(_, field, _)| field));
            if let Some((name, field, plain)) = found {
                let slot = &mut columns.given[field as usize];
                if !slot.0.is_empty() {
                    return Err(format!(
                        "the columns `{}` and `{name}` mean the same; keep one of them",
                        slot.0
                    ));
                }
                *slot = (name, plain);
            }
        }
        let needed = [
            (Field::Species, "species"),
            (Field::Width, "width_mm"),
            (Field::Thickness, "thickness_mm"),
            (Field::From, "from_percent"),
            (Field::To, "to_percent"),
        ];
        for (field, name) in needed {
            if columns.name(field).is_empty() {
                let near = nearest(name, names.iter().map(String::as_str))
                    .map(|near| format!(" (`{near}` is near it)"))
                    .unwrap_or_default();
                return Err(format!("there is no column `{name}`{near}; {REMEDY}"));
            }
        }
        if columns.name(Field::PithDepth).is_empty() && !columns.name(Field::PithOffset).is_empty()
        {
            return Err(format!(
                "there is a column `{}` and none for the depth of the pith; add `pith_depth_mm`",
                columns.name(Field::PithOffset)
            ));
        }
        Ok(columns)
    }

    /// What stands between the cells.
    #[must_use]
    pub const fn delimiter(&self) -> u8 {
        self.delimiter
    }

    /// How many columns there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.fields.len()
    }

    /// What a column tells.
    #[must_use]
    pub fn field(&self, column: usize) -> Option<Field> {
        self.fields.get(column).copied().flatten()
    }

    /// Name of a field's column, empty without one.
    #[must_use]
    pub const fn name(&self, field: Field) -> &'static str {
        self.given[field as usize].0
    }

    /// Whether a field's cells are plain numbers in the unit of its column's name.
    #[must_use]
    pub const fn is_plain(&self, field: Field) -> bool {
        self.given[field as usize].1
    }
}
