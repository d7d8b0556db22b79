//! A place as a phrase in the words of the trade.

use crate::units::notation::{NotationError, length, length_in, nearest};
use crate::units::spanned::ReadNotation;
use crate::units::{Length, UnitSystem};

/// Where one face of a part is.
#[derive(Debug, Clone, PartialEq)]
pub enum Place {
    /// So far from the left end, the front or the floor of the piece: `"15in"`.
    From(Length),
    /// It touches the face of that part that looks at it: `"against left side"`.
    Against(String),
    /// It reaches in past that face: `"3/8in into left side"`.
    Into(Length, String),
    /// It leaves a gap before that face: `"1/16in off left side"`.
    Off(Length, String),
    /// It is in line with the same face of that part: `"flush with top"`.
    Flush(String),
    /// It is set back from the same face: `"1/4in short of divider"`.
    Short(Length, String),
    /// It stands over the same face: `"3/8in past divider"`.
    Past(Length, String),
}

/// Where the middle of a part is on an axis.
#[derive(Debug, Clone, PartialEq)]
pub enum CentrePlace {
    /// So far from the left end, the front or the floor of the piece.
    From(Length),
    /// On the middle of that part: `"on top"`.
    On(String),
    /// In the middle between two parts: `"between left leg and right leg"`.
    Between(String, String),
}

/// The phrases, for an error.
const PHRASES: &str = "write a measure such as \"15in\", or \"against left side\", \"3/8in into left side\", \"1/16in off left side\", \"flush with top\", \"1/4in short of divider\" or \"3/8in past divider\"";
const CENTRES: &str =
    "write a measure such as \"15in\", \"on top\" or \"between 'left leg' and 'right leg'\"";

/// The words between a measure and a part.
const MEASURED: [&str; 4] = ["into", "off", "short of", "past"];

/// A name without the quotes around it.
fn unquoted(name: &str) -> &str {
    let name = name.trim();
    for quote in ['\'', '\u{2018}'] {
        let end = if quote == '\'' { '\'' } else { '\u{2019}' };
        if let Some(inside) = name
            .strip_prefix(quote)
            .and_then(|rest| rest.strip_suffix(end))
        {
            return inside.trim();
        }
    }
    name
}

/// What follows a phrase's first words, where the text begins with them as whole words.
fn after<'a>(text: &'a str, words: &str) -> Option<&'a str> {
    let start = text.get(..words.len())?;
    let rest = &text[words.len()..];
    (start.eq_ignore_ascii_case(words) && rest.starts_with(char::is_whitespace))
        .then(|| rest.trim())
        .filter(|rest| !rest.is_empty())
}

/// Splits at the first of these whole words outside quotes: what comes before, the word, what comes after.
fn split<'a>(text: &'a str, words: &[&'static str]) -> Option<(&'a str, &'static str, &'a str)> {
    let mut quoted = false;
    let mut word_start = false;
    for (at, letter) in text.char_indices() {
        // A single mark after a digit is feet, not a quote.
        let after_digit = text[..at].ends_with(|c: char| c.is_ascii_digit());
        if letter == '\'' && !after_digit {
            quoted = !quoted;
        }
        if word_start && !quoted {
            for word in words {
                if let Some(rest) = after(&text[at..], word) {
                    return Some((text[..at].trim(), word, rest));
                }
            }
        }
        word_start = letter.is_whitespace();
    }
    None
}

fn error(text: &str, reason: &str, remedy: &str) -> NotationError {
    NotationError::new(text, reason, remedy)
}

/// Why a text is no phrase, with the word that was most likely meant.
fn unknown(text: &str, first: &[&str], between: &[&str], remedy: &str) -> NotationError {
    let mut words = text.split_whitespace();
    let start = words.next().unwrap_or_default();
    if start.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '.' | '\u{2212}')) {
        let meant = text
            .split_whitespace()
            .skip(1)
            .filter(|word| word.chars().count() > 2)
            .find_map(|word| nearest(word, between.iter().copied()));
        return match (meant, length(text)) {
            (Some(word), _) => error(
                text,
                "this is no place known here",
                &format!("did you mean \"{word}\"? {remedy}"),
            ),
            (None, Err(reason)) if text.split_whitespace().count() < 3 => reason,
            _ => error(text, "this is no place known here", remedy),
        };
    }
    match nearest(start, first.iter().copied()) {
        Some(word) if !word.eq_ignore_ascii_case(start) => error(
            text,
            "this is no place known here",
            &format!("did you mean \"{word}\"? {remedy}"),
        ),
        _ => error(text, "this is no place known here", remedy),
    }
}

/// A measure before `into`, `off`, `short of` or `past`, which is never negative: the word gives the direction.
fn measure(text: &str) -> Result<Length, NotationError> {
    let measure = length(text)?;
    if measure.mm() < 0.0 {
        return Err(error(
            text,
            "the measure is negative, and the word after it already gives the direction",
            "write it without the sign; `into` and `off`, `short of` and `past` are opposites",
        ));
    }
    Ok(measure)
}

impl ReadNotation for Place {
    const WHAT: &'static str =
        "a place such as \"15in\", \"against left side\" or \"3/8in into left side\"";

    fn read(text: &str) -> Result<Self, NotationError> {
        let text = text.trim();
        if let Some(name) = after(text, "against") {
            return Ok(Self::Against(unquoted(name).to_owned()));
        }
        if let Some(name) = after(text, "flush with") {
            return Ok(Self::Flush(unquoted(name).to_owned()));
        }
        if let Some((before, word, name)) = split(text, &MEASURED) {
            let measure = measure(before)?;
            let name = unquoted(name).to_owned();
            return Ok(match word {
                "into" => Self::Into(measure, name),
                "off" => Self::Off(measure, name),
                "short of" => Self::Short(measure, name),
                _ => Self::Past(measure, name),
            });
        }
        length(text).map(Self::From).map_err(|_| {
            unknown(
                text,
                &["against", "flush with", "flush"],
                &MEASURED,
                PHRASES,
            )
        })
    }

    const TAKES_UNIT_OF_JOB: bool = true;

    fn read_in(text: &str, units: UnitSystem) -> Result<(Self, String), NotationError> {
        let text = match split(text, &MEASURED) {
            Some((measure, word, name)) => format!("{} {word} {name}", length_in(measure, units)?),
            None => length_in(text, units)?,
        };
        Ok((Self::read(&text)?, text))
    }
}

impl ReadNotation for CentrePlace {
    const WHAT: &'static str =
        "a place such as \"15in\", \"on top\" or \"between 'left leg' and 'right leg'\"";

    fn read(text: &str) -> Result<Self, NotationError> {
        let text = text.trim();
        if let Some(name) = after(text, "on") {
            return Ok(Self::On(unquoted(name).to_owned()));
        }
        if let Some(names) = after(text, "between") {
            let Some((a, _, b)) = split(names, &["and"]) else {
                return Err(error(text, "one of the two parts is missing", CENTRES));
            };
            if split(b, &["and"]).is_some() {
                return Err(error(
                    text,
                    "`and` occurs twice, and either may separate the two names",
                    "put each name in single quotes: \"between 'top and back' and 'left leg'\"",
                ));
            }
            return Ok(Self::Between(
                unquoted(a).to_owned(),
                unquoted(b).to_owned(),
            ));
        }
        length(text)
            .map(Self::From)
            .map_err(|_| unknown(text, &["on", "between"], &[], CENTRES))
    }

    const TAKES_UNIT_OF_JOB: bool = true;

    fn read_in(text: &str, units: UnitSystem) -> Result<(Self, String), NotationError> {
        let text = length_in(text, units)?;
        Ok((Self::read(&text)?, text))
    }
}

impl Place {
    /// The part it refers to.
    #[must_use]
    pub fn part(&self) -> Option<&str> {
        match self {
            Self::From(_) => None,
            Self::Against(name)
            | Self::Into(_, name)
            | Self::Off(_, name)
            | Self::Flush(name)
            | Self::Short(_, name)
            | Self::Past(_, name) => Some(name),
        }
    }
}
