//! Text made into rows of cells.

use super::{Unread, error};

/// Most cells of a line: every column is looked at for what it may hold, and no logger has so many channels.
pub(super) const MOST_COLUMNS: usize = 1_000;

/// The rows of a file that hold anything.
pub(super) struct Table {
    pub(super) delimiter: char,
    pub(super) rows: Vec<Row>,
    /// The number of fields that most rows have.
    pub(super) usual_fields: usize,
}

/// One row with its line in the file.
///
/// A file has millions of them: the cells stand in one text, and only their ends are kept.
pub(super) struct Row {
    pub(super) line: u64,
    text: Box<str>,
    ends: Box<[u32]>,
}

impl Row {
    fn of(line: u64, record: &csv::StringRecord) -> Self {
        let mut end = 0;
        Self {
            line,
            text: record.as_slice().into(),
            ends: record
                .iter()
                .map(|cell| {
                    end += cell.len();
                    u32::try_from(end).unwrap_or(u32::MAX)
                })
                .collect(),
        }
    }

    /// A cell without blanks and quotes around it; empty where the row is too short.
    pub(super) fn cell(&self, index: usize) -> &str {
        let end = |index: usize| self.ends.get(index).map(|end| *end as usize);
        let start = index.checked_sub(1).map_or(Some(0), end);
        start
            .zip(end(index))
            .and_then(|(start, end)| self.text.get(start..end))
            .unwrap_or_default()
            .trim_matches(|c: char| c.is_whitespace() || matches!(c, '"' | '\u{feff}' | '\u{1a}'))
    }

    pub(super) fn cells(&self) -> impl Iterator<Item = &str> {
        (0..self.ends.len()).map(|index| self.cell(index))
    }

    /// Fields up to the last that is not empty.
    pub(super) fn filled(&self) -> usize {
        self.cells()
            .enumerate()
            .filter(|(_, cell)| !cell.is_empty())
            .last()
            .map_or(0, |(index, _)| index + 1)
    }
}

/// Splits the text at the separator that most of its lines agree on. A semicolon or a tab goes
/// before the comma, which may be a decimal mark there.
pub(super) fn rows_of(text: &str) -> Result<Table, Unread> {
    let delimiter = delimiter_of(text).ok_or_else(|| {
        let first_line: String = text
            .lines()
            .find(|line| !line.trim().is_empty())
            .unwrap_or_default()
            .trim()
            .chars()
            .take(60)
            .collect();
        error::not_a_table(&first_line)
    })?;
    // A quote left open would swallow the rest of the file.
    let quotes_pair = text.bytes().filter(|byte| *byte == b'"').count() % 2 == 0;
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .quoting(quotes_pair)
        .delimiter(delimiter as u8)
        .from_reader(text.as_bytes());
    let mut rows: Vec<Row> = Vec::new();
    for record in reader.records().flatten() {
        let line = record
            .position()
            .map_or(0, |at| line_of(text.as_bytes(), at));
        if record.len() > MOST_COLUMNS {
            return Err(error::too_many_columns(line, record.len()).into());
        }
        let row = Row::of(line, &record);
        if row.filled() > 0 {
            rows.push(row);
        }
    }
    let counts: Vec<usize> = rows.iter().map(|row| row.ends.len()).collect();
    Ok(Table {
        delimiter,
        usual_fields: most_common(&counts).map_or(0, |(fields, _)| fields),
        rows,
    })
}

/// Line of a record: its position is given before the empty lines above it.
fn line_of(text: &[u8], at: &csv::Position) -> u64 {
    let from = usize::try_from(at.byte()).unwrap_or(usize::MAX);
    let above = text.get(from..).unwrap_or_default();
    let empty = above
        .iter()
        .take_while(|byte| matches!(byte, b'\n' | b'\r'))
        .filter(|byte| **byte == b'\n')
        .count();
    at.line() + empty as u64
}

fn delimiter_of(text: &str) -> Option<char> {
    let lines: Vec<&str> = text
        .lines()
        .filter(|line| !line.trim().is_empty())
        .take(400)
        .collect();
    [';', '\t', ',', '|'].into_iter().find(|delimiter| {
        let counts: Vec<usize> = lines
            .iter()
            .map(|line| fields(line, *delimiter))
            .filter(|fields| *fields > 1)
            .collect();
        most_common(&counts).is_some_and(|(_, times)| 2 * times >= lines.len())
    })
}

/// Fields of a line, separators inside quotes not counted.
fn fields(line: &str, delimiter: char) -> usize {
    let mut quoted = false;
    1 + line
        .chars()
        .filter(|c| {
            if *c == '"' {
                quoted = !quoted;
            }
            *c == delimiter && !quoted
        })
        .count()
}

/// The value that occurs most, the maximum of equals, and how often.
fn most_common(counts: &[usize]) -> Option<(usize, usize)> {
    let mut sorted = counts.to_vec();
    sorted.sort_unstable();
    sorted
        .chunk_by(|a, b| a == b)
        .map(|same| (same[0], same.len()))
        .max_by_key(|(_, times)| *times)
}
