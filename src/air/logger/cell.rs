//! A cell made into a number.

/// What a cell holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Cell {
    /// A finite number, with the unit written in the cell itself.
    Number(f64, Option<Unit>),
    /// Nothing, or a word for nothing.
    Empty,
    /// Anything else.
    Text,
}

/// A unit of temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    Celsius,
    Fahrenheit,
    Kelvin,
}

impl Unit {
    pub(super) fn celsius(self, value: f64) -> f64 {
        match self {
            Self::Celsius => value,
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Kelvin => value - 273.15,
        }
    }

    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Celsius => "C",
            Self::Fahrenheit => "F",
            Self::Kelvin => "K",
        }
    }
}

/// Reads a number with a decimal point or comma and at most a unit behind it. A reading of
/// temperature or humidity has no thousands, so a single comma is a decimal mark.
pub(super) fn cell(text: &str) -> Cell {
    if text.is_empty() || text.bytes().all(|byte| byte == b'-') {
        return Cell::Empty;
    }
    let (number, unit) = match text.find(|c: char| {
        !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '\u{2212}' | 'e' | 'E'))
    }) {
        Some(at) => text.split_at(at),
        None => (text, ""),
    };
    let unit = unit.trim_matches(|c: char| c.is_whitespace() || c == '\u{a0}');
    let unit = match unit.to_lowercase().as_str() {
        "" | "%" | "%rh" | "% rh" | "rh" => None,
        "c" | "°c" | "ºc" | "deg c" | "degc" | "℃" => Some(Unit::Celsius),
        "f" | "°f" | "ºf" | "deg f" | "degf" | "℉" => Some(Unit::Fahrenheit),
        "k" => Some(Unit::Kelvin),
        "n/a" | "na" | "null" | "none" | "n.a." => return Cell::Empty,
        _ => return Cell::Text,
    };
    let plain = number.trim().replace('\u{2212}', "-");
    let plain = if plain.contains('.') {
        plain
    } else {
        plain.replacen(',', ".", 1)
    };
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Cell::Number(value, unit),
        _ => Cell::Text,
    }
}
