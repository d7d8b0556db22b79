//! The reader under all parsers: signs, numbers, fractions and units, one
//! after the other.

use super::NotationError;

/// Longest text that is read at all.
const LONGEST: usize = 200;

/// Steps through a text whose typographic marks are already the plain ones.
#[derive(Debug)]
pub(super) struct Cursor<'a> {
    given: &'a str,
    chars: Vec<char>,
    at: usize,
    remedy: &'static str,
}

/// A number, and whether it was written as a plain run of digits.
#[derive(Debug, Clone, Copy)]
pub(super) struct Amount {
    pub value: f64,
    pub whole: bool,
    /// Written with a power of ten.
    pub power: bool,
}

fn plain(c: char) -> char {
    match c {
        // Spaces that are not the space bar's.
        '\u{a0}' | '\u{2000}'..='\u{200a}' | '\u{202f}' | '\u{205f}' | '\u{3000}' | '\t' => ' ',
        // Minus, hyphens and dashes.
        '\u{2212}' | '\u{2010}'..='\u{2014}' | '\u{fe63}' | '\u{ff0d}' => '-',
        // Primes and single quotes.
        '\u{2032}' | '\u{2018}' | '\u{2019}' | '\u{201b}' | '\u{2b9}' | '\u{2bc}' => '\'',
        // Double primes and double quotes.
        '\u{2033}' | '\u{201c}' | '\u{201d}' | '\u{201f}' | '\u{2ba}' => '"',
        // Fraction and division slashes.
        '\u{2044}' | '\u{2215}' => '/',
        // The ordinal sign that keyboards give for a degree, and the small circle.
        '\u{ba}' | '\u{2da}' => '\u{b0}',
        '\u{b5}' => '\u{3bc}',
        '\u{ff05}' => '%',
        other => other,
    }
}

/// Numerator and denominator of a one-character fraction.
const fn one_character_fraction(c: char) -> Option<f64> {
    Some(match c {
        '½' => 1.0 / 2.0,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '¼' => 1.0 / 4.0,
        '¾' => 3.0 / 4.0,
        '⅕' => 1.0 / 5.0,
        '⅖' => 2.0 / 5.0,
        '⅗' => 3.0 / 5.0,
        '⅘' => 4.0 / 5.0,
        '⅙' => 1.0 / 6.0,
        '⅚' => 5.0 / 6.0,
        '⅐' => 1.0 / 7.0,
        '⅛' => 1.0 / 8.0,
        '⅜' => 3.0 / 8.0,
        '⅝' => 5.0 / 8.0,
        '⅞' => 7.0 / 8.0,
        '⅑' => 1.0 / 9.0,
        '⅒' => 1.0 / 10.0,
        _ => return None,
    })
}

impl<'a> Cursor<'a> {
    /// Starts at the first character that is not a space.
    pub(super) fn new(given: &'a str, remedy: &'static str) -> Result<Self, NotationError> {
        if given.chars().count() > LONGEST {
            return Err(NotationError::new(
                given,
                &format!("the text is longer than {LONGEST} characters"),
                remedy,
            ));
        }
        let mut cursor = Self {
            given,
            chars: given.trim().chars().map(plain).collect(),
            at: 0,
            remedy,
        };
        cursor.spaces();
        if cursor.done() {
            return Err(cursor.error("nothing is written"));
        }
        Ok(cursor)
    }

    /// An error about the whole text.
    pub(super) fn error(&self, reason: &str) -> NotationError {
        NotationError::new(self.given, reason, self.remedy)
    }

    /// An error with a remedy of its own.
    pub(super) fn error_with(&self, reason: &str, remedy: &str) -> NotationError {
        NotationError::new(self.given, reason, remedy)
    }

    /// Whether all is read.
    pub(super) fn done(&self) -> bool {
        self.at >= self.chars.len()
    }

    fn peek(&self, ahead: usize) -> Option<char> {
        self.chars.get(self.at + ahead).copied()
    }

    fn digit(&self, ahead: usize) -> bool {
        self.peek(ahead).is_some_and(|c| c.is_ascii_digit())
    }

    /// Steps over spaces and tells whether there were any.
    pub(super) fn spaces(&mut self) -> bool {
        let before = self.at;
        while self.peek(0) == Some(' ') {
            self.at += 1;
        }
        self.at > before
    }

    /// Steps over one character if it is the next.
    pub(super) fn take(&mut self, wanted: char) -> bool {
        let found = self.peek(0) == Some(wanted);
        self.at += usize::from(found);
        found
    }

    /// A leading sign: -1 or 1.
    pub(super) fn sign(&mut self) -> Result<f64, NotationError> {
        let sign = match self.peek(0) {
            Some('-') => -1.0,
            Some('+') => 1.0,
            _ => return Ok(1.0),
        };
        self.at += 1;
        self.spaces();
        if matches!(self.peek(0), Some('-' | '+')) {
            return Err(self.error("there are two signs"));
        }
        Ok(sign)
    }

    /// The hyphen of `8'-6"` or `8' - 6"`; one with a space on its left only is a minus and refused.
    pub(super) fn joining_hyphen(&mut self) -> Result<(), NotationError> {
        let before = self.spaces();
        if self.take('-') {
            let after = self.spaces();
            if before && !after {
                return Err(self.error("the `-` inside could be a hyphen or a minus"));
            }
        }
        Ok(())
    }

    /// A number without its sign: `3`, `25.4`, `25,4`, `1.8e6`, `3/8`, `1 3/8`, `1-3/8`, `1⅜`.
    pub(super) fn amount(&mut self) -> Result<Amount, NotationError> {
        self.spaces();
        let amount = if let Some(value) = self.peek(0).and_then(one_character_fraction) {
            self.at += 1;
            Amount {
                value,
                whole: false,
                power: false,
            }
        } else {
            self.digits_and_more()?
        };
        match self.peek(0) {
            Some('/') => Err(self.error("there is a `/` too many")),
            Some('.' | ',') => Err(self.error("a fraction and a decimal mark do not go together")),
            Some(c) if c.is_numeric() => Err(self.error("a number runs into another")),
            _ => Ok(amount),
        }
    }

    fn digits_and_more(&mut self) -> Result<Amount, NotationError> {
        let start = self.at;
        while self.digit(0) || matches!(self.peek(0), Some('.' | ',')) {
            self.at += 1;
        }
        let text: String = self.chars[start..self.at].iter().collect();
        if text.is_empty() {
            return Err(self.error("a number is missing"));
        }
        let mut mantissa = self.decimal(&text)?;
        let mut power = false;
        if matches!(self.peek(0), Some('e' | 'E')) {
            let signed = usize::from(matches!(self.peek(1), Some('-' | '+')));
            if self.digit(1 + signed) {
                let start = self.at;
                self.at += 1 + signed;
                while self.digit(0) {
                    self.at += 1;
                }
                mantissa.extend(&self.chars[start..self.at]);
                power = true;
            }
        }
        let value: f64 = mantissa
            .parse()
            .map_err(|_| self.error("this is not a number"))?;
        if !value.is_finite() {
            return Err(self.error("the number is too great"));
        }
        let digits_only = text.bytes().all(|b| b.is_ascii_digit()) && !power;
        if !digits_only {
            return Ok(Amount {
                value,
                whole: false,
                power,
            });
        }
        if let Some(value) = self.fraction_of(value)? {
            return Ok(Amount {
                value,
                whole: false,
                power,
            });
        }
        Ok(match self.fraction_after()? {
            Some(part) => Amount {
                value: value + part,
                whole: false,
                power,
            },
            None => Amount {
                value,
                whole: true,
                power,
            },
        })
    }

    /// The number in `text` with a point as its decimal mark.
    fn decimal(&self, text: &str) -> Result<String, NotationError> {
        let commas = text.matches(',').count();
        let points = text.matches('.').count();
        if points > 1 || (points == 1 && commas > 0) || commas > 1 {
            return Err(self.error_with(
                "it is not clear which mark is the decimal mark",
                "write the number with one decimal point and no thousands mark",
            ));
        }
        let (before, after) = text.split_once([',', '.']).unwrap_or((text, "0"));
        if after.is_empty() {
            return Err(self.error_with(
                "nothing follows the decimal mark",
                "write digits after the decimal mark, or leave it out",
            ));
        }
        if commas == 1 {
            if before.is_empty() {
                return Err(self.error("there is nothing before the comma"));
            }
            let could_be_thousands =
                after.len() == 3 && before.len() <= 3 && !before.starts_with('0');
            if could_be_thousands {
                return Err(self.error_with(
                    "the comma could be a decimal mark or a thousands mark",
                    &format!("write {before}.{after} or {before}{after}, without a comma"),
                ));
            }
        }
        Ok(format!("0{before}.{after}"))
    }

    /// `/8` after a numerator.
    fn fraction_of(&mut self, numerator: f64) -> Result<Option<f64>, NotationError> {
        let back = self.at;
        self.spaces();
        if !self.take('/') {
            self.at = back;
            return Ok(None);
        }
        self.spaces();
        if !self.digit(0) {
            return Err(self.error("a number is missing under the `/`"));
        }
        let mut denominator = 0.0;
        while let Some(digit) = self.peek(0).and_then(|c| c.to_digit(10)) {
            denominator = denominator * 10.0 + f64::from(digit);
            self.at += 1;
        }
        if denominator < 1.0 {
            return Err(self.error("nothing can be divided by 0"));
        }
        Ok(Some(numerator / denominator))
    }

    /// ` 3/8`, `-3/8` or `⅜` after a whole number.
    fn fraction_after(&mut self) -> Result<Option<f64>, NotationError> {
        let back = self.at;
        let spaced = self.spaces();
        if !spaced {
            self.take('-');
        }
        if let Some(value) = self.peek(0).and_then(one_character_fraction) {
            self.at += 1;
            return Ok(Some(value));
        }
        let mut numerator = 0.0;
        let start = self.at;
        while let Some(digit) = self.peek(0).and_then(|c| c.to_digit(10)) {
            numerator = numerator * 10.0 + f64::from(digit);
            self.at += 1;
        }
        let part = if self.at > start && start > back {
            self.fraction_of(numerator)?
        } else {
            None
        };
        if part.is_none() {
            self.at = back;
        }
        if part.is_some_and(|part| part >= 1.0) {
            return Err(self.error("the fraction after the whole number is not below 1"));
        }
        Ok(part)
    }

    /// All that is left, without spaces around it; nothing is left after.
    pub(super) fn rest(&mut self) -> String {
        let rest: String = self.chars[self.at..].iter().collect();
        self.at = self.chars.len();
        rest.trim().to_owned()
    }

    /// A unit of letters, or a prime; an abbreviating point after letters is stepped over.
    pub(super) fn unit(&mut self) -> String {
        self.spaces();
        if self.take('"') || (self.peek(0) == Some('\'') && self.peek(1) == Some('\'')) {
            if self.take('\'') {
                self.at += 1;
            }
            return "\"".to_owned();
        }
        if self.take('\'') {
            return "'".to_owned();
        }
        let start = self.at;
        while self.peek(0).is_some_and(char::is_alphabetic) {
            self.at += 1;
        }
        let unit: String = self.chars[start..self.at].iter().collect();
        if !unit.is_empty() {
            self.take('.');
        }
        unit
    }

    /// Refuses anything left over.
    pub(super) fn finish(&mut self) -> Result<(), NotationError> {
        self.spaces();
        if self.done() {
            return Ok(());
        }
        let rest = self.rest();
        Err(self.error(&format!("`{rest}` at the end cannot be read")))
    }
}
