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

/// Whether a character that acts may begin with this byte of UTF-8: a control, or the first byte of U+0080 to U+00BF or of
/// U+2000 to U+2FFF.
const fn may_act(byte: u8) -> bool {
    (byte < b' ' && byte != b'\n' && byte != b'\t') || matches!(byte, 0x7f | 0xc2 | 0xe2)
}

/// Whether any character acts. Texts are looked through by the lot; only in a lot with such a byte each is looked at.
fn any_acts(text: &str) -> bool {
    const LOT: usize = 64;
    text.as_bytes()
        .chunks(LOT)
        .enumerate()
        .any(|(number, lot)| {
            let may = lot.iter().fold(false, |may, byte| may | may_act(*byte));
            let acts_at = |(at, byte): (usize, &u8)| {
                may_act(*byte) && text[number * LOT + at..].starts_with(acts)
            };
            may && lot.iter().enumerate().any(acts_at)
        })
}

fn escaped(text: &str, escape: impl Fn(&mut String, char)) -> Cow<'_, str> {
    if !any_acts(text) {
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
