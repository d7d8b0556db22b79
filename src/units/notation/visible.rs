//! Text from outside as it may leave the program: nothing in it moves a terminal's cursor, changes its colours or turns the
//! direction of what follows.

use std::borrow::Cow;
use std::fmt::Write as _;

/// Whether a character acts on a terminal or on the text around it instead of being seen. Line ends and tabs are not of them.
fn acts(character: char) -> bool {
    match character {
        '\n' | '\t' => false,
        // Embedded, overriding and isolating directions, and the marks of line and paragraph ends.
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}' => true,
        other => other.is_control(),
    }
}

fn escaped(text: &str, escape: impl Fn(&mut String, char)) -> Cow<'_, str> {
    if !text.chars().any(acts) {
        return Cow::Borrowed(text);
    }
    let mut seen = String::with_capacity(text.len() + 16);
    for character in text.chars() {
        if acts(character) {
            escape(&mut seen, character);
        } else {
            seen.push(character);
        }
    }
    Cow::Owned(seen)
}

/// The text with every character that acts instead of being seen written out, such as `\u{1b}`.
#[must_use]
pub fn visible(text: &str) -> Cow<'_, str> {
    escaped(text, |seen, character| {
        let _never_fails = write!(seen, "\\u{{{:x}}}", u32::from(character));
    })
}

/// The same for JSON, whose writer leaves some of them as they are: `\u009b`.
#[must_use]
pub fn visible_json(json: &str) -> Cow<'_, str> {
    escaped(json, |seen, character| {
        let _never_fails = write!(seen, "\\u{:04x}", u32::from(character));
    })
}
