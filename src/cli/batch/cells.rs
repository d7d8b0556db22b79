//! The cells of one line, and the numbers in them, without a copy.

use std::fmt;

/// One line of a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cells<'r> {
    line: &'r [u8],
    delimiter: u8,
}

/// One cell: its bytes without the quotes round it.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Cell<'r> {
    bytes: &'r [u8],
    /// Whether a quote stands doubled in it.
    doubled: bool,
}

/// Why a line has no cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NoCells {
    /// A quoted cell does not end on its line.
    OpenQuote,
    /// Something stands between a closing quote and the next cell.
    AfterQuote,
}

impl fmt::Display for NoCells {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::OpenQuote => {
                "a quoted cell does not end on its line: take the line break out of it, or close the quote"
            }
            Self::AfterQuote => {
                "there is text after a closing quote: double the quotes inside a quoted cell"
            }
        })
    }
}

impl<'r> Cells<'r> {
    /// A line without its line end.
    #[must_use]
    pub(super) const fn new(line: &'r [u8], delimiter: u8) -> Self {
        Self { line, delimiter }
    }

    /// Calls `with` with each cell's place and cell; gives how many there are.
    ///
    /// # Errors
    /// [`NoCells`] where quotes do not close.
    pub(super) fn each(&self, mut with: impl FnMut(usize, Cell<'r>)) -> Result<usize, NoCells> {
        self.each_end(|column, cell, _| with(column, cell))
    }

    /// Where the first so many cells end, without the mark behind them; the whole line where it has no more.
    #[must_use]
    pub(super) fn end_of(&self, count: usize) -> usize {
        let mut found = self.line.len();
        let _known_by_now = self.each_end(|column, _, end| {
            if column + 1 == count {
                found = end;
            }
        });
        found
    }

    fn each_end(&self, mut with: impl FnMut(usize, Cell<'r>, usize)) -> Result<usize, NoCells> {
        let line = self.line;
        let mut at = 0;
        let mut column = 0;
        loop {
            let cell = if line.get(at) == Some(&b'"') {
                let (cell, end) = quoted(line, at + 1)?;
                at = end;
                if at < line.len() && line[at] != self.delimiter {
                    return Err(NoCells::AfterQuote);
                }
                cell
            } else {
                let rest = &line[at..];
                let length = rest
                    .iter()
                    .position(|byte| *byte == self.delimiter)
                    .unwrap_or(rest.len());
                at += length;
                Cell {
                    bytes: &rest[..length],
                    doubled: false,
                }
            };
            with(column, cell, at);
            column += 1;
            if at == line.len() {
                return Ok(column);
            }
            at += 1;
        }
    }
}

/// A quoted cell whose first byte is at `start`, and the place after its closing quote.
fn quoted(line: &[u8], start: usize) -> Result<(Cell<'_>, usize), NoCells> {
    let mut doubled = false;
    let mut at = start;
    loop {
        let to_quote = line[at..]
            .iter()
            .position(|byte| *byte == b'"')
            .ok_or(NoCells::OpenQuote)?;
        at += to_quote;
        if line.get(at + 1) == Some(&b'"') {
            doubled = true;
            at += 2;
        } else {
            let bytes = &line[start..at];
            return Ok((Cell { bytes, doubled }, at + 1));
        }
    }
}

impl<'r> Cell<'r> {
    /// The bytes between the spaces round them; doubled quotes are still doubled.
    #[must_use]
    pub(super) const fn bytes(&self) -> &'r [u8] {
        self.bytes.trim_ascii()
    }

    /// Whether nothing is written.
    #[must_use]
    pub(super) const fn is_empty(&self) -> bool {
        self.bytes().is_empty()
    }

    /// The text; `kept` is memory for a cell with doubled quotes. `None` when it is not UTF-8.
    #[must_use]
    pub(super) fn text<'k>(&self, kept: &'k mut String) -> Option<&'k str>
    where
        'r: 'k,
    {
        let text = std::str::from_utf8(self.bytes()).ok()?;
        if !self.doubled {
            return Some(text);
        }
        kept.clear();
        for (place, part) in text.split("\"\"").enumerate() {
            if place > 0 {
                kept.push('"');
            }
            kept.push_str(part);
        }
        Some(kept)
    }
}

/// Powers of ten that a double holds exactly.
const TENS: [f64; 16] = [
    1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// A plain decimal number of at most 15 digits, to the nearest double: digits and power of ten are exact, so that
/// the one division rounds once (W. D. Clinger, PLDI 1990). `None` for anything else, which is then read with care.
#[must_use]
pub(super) fn decimal(bytes: &[u8]) -> Option<f64> {
    let (negative, digits) = match bytes {
        [b'-', rest @ ..] => (true, rest),
        _ => (false, bytes),
    };
    let mut whole = 0_u64;
    let mut after_point = None;
    let mut count = 0_usize;
    for byte in digits {
        match byte {
            b'0'..=b'9' => {
                whole = whole.wrapping_mul(10).wrapping_add(u64::from(byte - b'0'));
                count += 1;
            }
            b'.' if after_point.is_none() => after_point = Some(count),
            _ => return None,
        }
    }
    if count == 0 || count > 15 {
        return None;
    }
    let value = whole as f64 / TENS[count - after_point.unwrap_or(count)];
    Some(if negative { -value } else { value })
}

/// Writes a number with four decimals; what is beyond a file's sense is left blank.
pub(super) fn write_fixed(value: f64, out: &mut Vec<u8>) {
    let scaled = (value * 1e4).round();
    if scaled.is_nan() || scaled.abs() > 1e15 {
        return;
    }
    let mut rest = scaled.abs() as u64;
    if scaled < 0.0 {
        out.push(b'-');
    }
    let mut digits = [b'0'; 20];
    let mut at = digits.len();
    let mut written = 0;
    while rest > 0 || written < 5 {
        at -= 1;
        digits[at] = b'0' + (rest % 10) as u8;
        rest /= 10;
        written += 1;
    }
    let point = digits.len() - 4;
    out.extend_from_slice(&digits[at..point]);
    out.push(b'.');
    out.extend_from_slice(&digits[point..]);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_the_nearest_doubles() {
        for text in [
            "0",
            "-0.5",
            "200",
            "9.5",
            "123456.789012345",
            "0.1",
            "000.30",
        ] {
            assert_eq!(decimal(text.as_bytes()), text.parse().ok(), "{text}");
        }
        for text in [
            "",
            "-",
            ".",
            "1e3",
            "1,5",
            "1.2.3",
            "nan",
            "1234567890123456",
        ] {
            assert_eq!(decimal(text.as_bytes()), None, "{text}");
        }
    }

    #[test]
    fn fixed_decimals_are_those_of_the_formatter() {
        for value in [
            0.0, -0.000_04, 1.0, -2.786_04, 123.456_78, 0.000_1, -0.999_99,
        ] {
            let mut out = Vec::new();
            write_fixed(value, &mut out);
            let expected = format!("{:.4}", (value * 1e4_f64).round() / 1e4 + 0.0);
            assert_eq!(String::from_utf8(out).unwrap(), expected);
        }
    }
}
