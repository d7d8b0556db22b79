//! What a maker meant where a job file is no TOML: the slips of the trade, each with the line as it should be.

use super::errors::JobErrors;
use crate::units::notation::date;
use std::ops::Range;

/// The error of the TOML reader in words that say what to write.
pub(super) fn syntax(
    message: &str,
    span: Option<Range<usize>>,
    text: &str,
    origin: &str,
) -> JobErrors {
    let span = span.unwrap_or(0..0);
    if let Some((message, remedy)) = slip(text, span.start) {
        return JobErrors::one(origin, text, span, &message, &remedy);
    }
    let remedy = if message.contains("duplicate key") {
        "write each key and each table once; lists of tables are written [[parts]]"
    } else if message.contains("date") {
        "write year, month and day, such as 2026-10-05"
    } else {
        "write key = \"value\" on a line of its own, [section] or [[list]] above its keys"
    };
    JobErrors::one(
        origin,
        text,
        span,
        &format!("this is not TOML: {message}"),
        remedy,
    )
}

const CURLY: [char; 8] = [
    '\u{201c}', '\u{201d}', '\u{201e}', '\u{201f}', '\u{2018}', '\u{2019}', '\u{201a}', '\u{201b}',
];

/// The slip that a reader's error at a byte comes from, where it is one of the usual ones: what is wrong, what to write.
fn slip(text: &str, at: usize) -> Option<(String, String)> {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    // An error at the end of a line belongs to what is before it.
    let before = text[..at].trim_end_matches(['\n', '\r']);
    let start = before.rfind('\n').map_or(0, |end| end + 1);
    let line = text[start..].lines().next()?;
    let column = before.len() - start;
    // The key and value that the error is in: the last `=` before it that is not in quotes, else the first of the line.
    let equals: Vec<usize> = signs(line);
    let equal = *equals
        .iter()
        .rev()
        .find(|place| **place < column)
        .or(equals.first())?;
    let key = line[..equal]
        .rsplit(['{', ','])
        .next()?
        .trim()
        .trim_matches('"');
    let value = line[equal + 1..].trim_start();
    if key.is_empty() || key.contains(char::is_whitespace) {
        return None;
    }
    inch_mark(key, value)
        .or_else(|| curly(key, value))
        .or_else(|| unquoted(key, value))
}

/// Places of the `=` of a line that are not inside straight quotes.
fn signs(line: &str) -> Vec<usize> {
    let mut quoted = false;
    line.char_indices()
        .filter_map(|(place, character)| {
            quoted ^= character == '"';
            (character == '=' && !quoted).then_some(place)
        })
        .collect()
}

/// `"11 13/16""`: the inch mark is a quote, and ended the text.
fn inch_mark(key: &str, value: &str) -> Option<(String, String)> {
    let inside = value.strip_prefix('"')?;
    let end = inside.find('"')?;
    let length = &inside[..end];
    let after = &inside[end + 1..];
    // A second quote, or more of the length, directly after the mark.
    if !is_number(length)
        || !(after.starts_with('"') || after.trim_start().starts_with(|c: char| c.is_ascii_digit()))
    {
        return None;
    }
    Some((
        format!("the inch mark after `{length}` is a quote mark, and ended the text there"),
        format!("write `in` for inches: {key} = \"{length}in\""),
    ))
}

/// `“22 mm”`: an editor for letters made the quotes round.
fn curly(key: &str, value: &str) -> Option<(String, String)> {
    let mut rest = value.chars();
    let opening = rest.next().filter(|c| CURLY.contains(c))?;
    let inside: String = rest.take_while(|c| !CURLY.contains(c)).collect();
    Some((
        format!("`{opening}` is a curly quote, and text goes between straight ones"),
        format!("write {key} = \"{}\"", with_in(inside.trim())),
    ))
}

/// `7/8in`, `walnut`, `11/5/2026`: no quotes at all.
fn unquoted(key: &str, value: &str) -> Option<(String, String)> {
    if value.starts_with(['"', '\'', '[', '{', '#']) || value.is_empty() {
        return None;
    }
    let bare = value.split(['#', ',', '}', ']']).next()?.trim();
    let whole = value.split(['#', '}', ']']).next()?.trim();
    if let Ok(day) = date(whole, None) {
        return Some((
            format!("the date `{whole}` is not in quotes"),
            format!("write {key} = {day}, or {key} = \"{whole}\""),
        ));
    }
    let parts: Vec<&str> = bare.split(['/', '-']).collect();
    let digits = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    if let Err(error) = date(bare, None)
        && parts.len() == 3
        && parts.iter().all(digits)
    {
        return Some((error.message(), error.remedy().to_owned()));
    }
    let plain = matches!(bare, "true" | "false") || bare.parse::<f64>().is_ok();
    if bare.is_empty() || plain || bare.chars().count() > 60 {
        return None;
    }
    let what =
        if bare.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '.' | '\u{2212}')) {
            "value"
        } else {
            "text"
        };
    Some((
        format!("the {what} `{bare}` is not in quotes"),
        format!("write {key} = \"{}\"", with_in(bare)),
    ))
}

/// A value without the quote marks at its end, which are inch marks where a number stands before them.
fn with_in(value: &str) -> String {
    let bare = value.trim_end_matches(['"', '\u{201d}', '\u{2033}']);
    if bare.len() < value.len() && is_number(bare) {
        format!("{bare}in")
    } else {
        bare.to_owned()
    }
}

/// Whether a text ends as a number does.
fn is_number(text: &str) -> bool {
    text.ends_with(|c: char| {
        c.is_ascii_digit()
            || ('\u{bc}'..='\u{be}').contains(&c)
            || ('\u{2150}'..='\u{215e}').contains(&c)
    })
}
