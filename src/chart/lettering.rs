//! Lettering: how wide a text is, and fractions set as fractions.
//!
//! Widths are the advance widths of Helvetica and Helvetica-Bold in thousandths
//! of the size (Adobe's Core 14 font metrics, from memory, compared with the
//! metric-compatible Liberation Sans: all 95 printable ASCII characters agree).

use crate::units::notation::visible;

/// Advance widths of the characters from space to tilde.
const REGULAR: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];
const BOLD: [u16; 95] = [
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611, 975, 722, 722, 722, 722, 667,
    611, 778, 722, 278, 556, 722, 611, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 333, 278, 333, 584, 556, 333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556,
    278, 889, 611, 611, 611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584,
];

/// Size of a fraction's digits over the size of the text.
pub(super) const FRACTION_SIZE: f64 = 0.68;

/// How far the upper digits stand above the base line, over the size of the text.
pub(super) const FRACTION_RISE: f64 = 0.3;

/// A stretch of text, or one fraction in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Run {
    /// Set as it is.
    Plain(String),
    /// Set as a fraction: the digits above and below the stroke.
    Fraction(String, String),
}

/// Splits a text into plain stretches and shop fractions, so that `1 3/8"` can be set as
/// a fraction. A fraction is a run of digits, a slash and a power of two from
/// 2 to 64, with neither digit, slash nor letter against it; a date or
/// `5/4` as a rough thickness (upper digits not the smaller) stays as
/// written. A straight inch or foot mark after a figure becomes a prime.
///
/// ```
/// use heartside::chart::{Run, set_fractions};
/// assert_eq!(
///     set_fractions("1 3/8\" wide"),
///     [
///         Run::Plain("1 ".into()),
///         Run::Fraction("3".into(), "8".into()),
///         Run::Plain("\u{2033} wide".into()),
///     ]
/// );
/// ```
#[must_use]
pub fn set_fractions(text: &str) -> Vec<Run> {
    if !text.contains(['/', '"', '\'']) && !text.is_empty() {
        return vec![Run::Plain(text.to_owned())];
    }
    let characters: Vec<char> = text.chars().collect();
    let mut runs = Vec::new();
    let mut plain = String::new();
    let mut after_figure = false;
    let mut i = 0;
    while i < characters.len() {
        let joined = i > 0 && is_joined(characters[i - 1]);
        if !joined && let Some((upper, lower)) = fraction_at(&characters[i..]) {
            if !plain.is_empty() {
                runs.push(Run::Plain(std::mem::take(&mut plain)));
            }
            i += upper.len() + 1 + lower.len();
            runs.push(Run::Fraction(upper, lower));
            after_figure = true;
            continue;
        }
        let character = characters[i];
        plain.push(match character {
            '"' if after_figure => '\u{2033}',
            '\'' if after_figure && !next_is_letter(&characters, i) => '\u{2032}',
            other => other,
        });
        after_figure = character.is_ascii_digit();
        i += 1;
    }
    if !plain.is_empty() {
        runs.push(Run::Plain(plain));
    }
    runs
}

fn next_is_letter(characters: &[char], i: usize) -> bool {
    characters.get(i + 1).is_some_and(|c| c.is_alphabetic())
}

fn is_joined(neighbour: char) -> bool {
    neighbour.is_alphanumeric() || matches!(neighbour, '/' | '.' | ',')
}

fn fraction_at(characters: &[char]) -> Option<(String, String)> {
    let digits = |from: usize| -> String {
        characters[from..]
            .iter()
            .take_while(|c| c.is_ascii_digit())
            .take(3)
            .collect()
    };
    let upper = digits(0);
    if upper.is_empty() || upper.starts_with('0') || characters.get(upper.len()) != Some(&'/') {
        return None;
    }
    let lower = digits(upper.len() + 1);
    let end = upper.len() + 1 + lower.len();
    // `3/4in` is a fraction, `3/4x` is none.
    let inch = characters.get(end..end + 2) == Some(&['i', 'n'])
        && !characters.get(end + 2).is_some_and(|c| c.is_alphanumeric());
    if !inch
        && characters
            .get(end)
            .is_some_and(|c| c.is_alphanumeric() || *c == '/')
    {
        return None;
    }
    let (above, below): (u32, u32) = (upper.parse().ok()?, lower.parse().ok()?);
    (matches!(below, 2 | 4 | 8 | 16 | 32 | 64) && above < below).then_some((upper, lower))
}

fn advance(character: char, bold: bool) -> u16 {
    let table = if bold { &BOLD } else { &REGULAR };
    if let Some(width) = (character as usize)
        .checked_sub(32)
        .and_then(|index| table.get(index))
    {
        return *width;
    }
    match character {
        '\u{2032}' => 191,
        '\u{2033}' => 355,
        '\u{00b7}' => 278,
        '\u{2044}' => 167,
        '\u{00b0}' => 400,
        '\u{00d7}' | '\u{2212}' | '\u{00b1}' => 584,
        '\u{2018}' | '\u{2019}' => 278,
        '\u{2026}' | '\u{2014}' | '\u{2192}' | '\u{2190}' => 1000,
        '\u{00a0}' | '\u{2009}' => 278,
        c if (c as u32) < 0x2500 => 611,
        // Ideographs and pictures are as wide as they are high.
        _ => 1000,
    }
}

fn width_of(text: &str, size: f64, bold: bool) -> f64 {
    text.chars()
        .map(|c| f64::from(advance(c, bold)))
        .sum::<f64>()
        * size
        / 1000.0
}

/// Width of a text set at `size`, its fractions set as fractions.
#[must_use]
pub(super) fn text_width(text: &str, size: f64, bold: bool) -> f64 {
    set_fractions(text)
        .iter()
        .map(|run| match run {
            Run::Plain(plain) => width_of(plain, size, bold),
            Run::Fraction(upper, lower) => {
                width_of(upper, size * FRACTION_SIZE, bold)
                    + width_of("\u{2044}", size, bold)
                    + width_of(lower, size * FRACTION_SIZE, bold)
            }
        })
        .sum()
}

/// The text, shortened with an ellipsis where it is wider than `room`.
#[must_use]
pub(super) fn fitted(text: &str, size: f64, bold: bool, room: f64) -> String {
    if text_width(text, size, bold) <= room {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        let short: String = kept.iter().collect::<String>().trim_end().to_owned() + "\u{2026}";
        if text_width(&short, size, bold) <= room {
            return short;
        }
    }
    String::new()
}

/// Escapes a text for XML; characters that act instead of being seen are written out.
#[must_use]
pub(super) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in visible(text).chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\t' | '\n' => safe.push(' '),
            '\u{fffe}' | '\u{ffff}' => safe.push('\u{fffd}'),
            c => safe.push(c),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_fraction_stays_as_written() {
        for text in [
            "9/12/2026",
            "5/4 stock",
            "a1/2",
            "1/3 done",
            "3/8x",
            "0/8",
            "1,5/8",
        ] {
            assert_eq!(set_fractions(text), [Run::Plain(text.into())], "{text}");
        }
    }

    #[test]
    fn feet_and_inches_take_primes() {
        assert_eq!(
            set_fractions("8' 6 1/2\""),
            [
                Run::Plain("8\u{2032} 6 ".into()),
                Run::Fraction("1".into(), "2".into()),
                Run::Plain("\u{2033}".into())
            ]
        );
        assert_eq!(
            set_fractions("the part's"),
            [Run::Plain("the part's".into())]
        );
    }

    #[test]
    fn a_fitted_text_fits() {
        for room in [0.0, 5.0, 40.0, 90.0] {
            let text = fitted("left gable of the sideboard", 12.0, false, room);
            assert!(text_width(&text, 12.0, false) <= room || text.is_empty());
        }
        assert_eq!(fitted("top", 12.0, false, 90.0), "top");
    }

    /// Adobe Helvetica AFM (from memory): H 722, e 556, l 222, v 500, t 278, i 222, c 500, a 556.
    #[test]
    fn helvetica_widths() {
        assert!((text_width("Helvetica", 1000.0, false) - 4112.0).abs() < 1e-9);
        assert!((text_width("Helvetica", 1000.0, true) - 4391.0).abs() < 1e-9);
    }

    #[test]
    fn nothing_hostile_passes() {
        assert_eq!(
            escaped("<script>\"&\u{1}\n"),
            "&lt;script&gt;&quot;&amp;\\u{1} "
        );
    }
}
