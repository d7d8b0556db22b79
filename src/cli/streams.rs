//! Where a command puts its answer and its words.

use super::Failure;
use crate::units::notation::{visible, visible_json};
use serde::Serialize;
use std::io::{self, Write};

/// Standard output for results, standard error for words about them.
pub struct Output<'a> {
    out: &'a mut dyn Write,
    words: &'a mut dyn Write,
    json: bool,
}

impl<'a> Output<'a> {
    /// A desk over two streams.
    pub fn new(out: &'a mut dyn Write, words: &'a mut dyn Write, json: bool) -> Self {
        Self { out, words, json }
    }

    /// Whether `--json` was given.
    #[must_use]
    pub const fn wants_json(&self) -> bool {
        self.json
    }

    /// Puts the answer: as one JSON object with `--json`, else in the plain words given.
    ///
    /// # Errors
    /// [`Failure`] when standard output cannot take it.
    pub fn answer(&mut self, json: &impl Serialize, plain: &str) -> Result<(), Failure> {
        if self.json {
            let object = crate::report::keyed(json)
                .map_err(|error| Failure::writing("standard output", &error.into()))?;
            self.json(&format!("{object:#}"))
        } else {
            self.text(plain)
        }
    }

    /// Puts words on standard output, closing them with a line end. What would act on a terminal is shown escaped.
    ///
    /// # Errors
    /// [`Failure`] when standard output cannot take it.
    pub fn text(&mut self, text: &str) -> Result<(), Failure> {
        self.put(&visible(text))
    }

    /// Puts JSON on standard output, as [`Output::text`] does with words.
    ///
    /// # Errors
    /// [`Failure`] when standard output cannot take it.
    pub fn json(&mut self, text: &str) -> Result<(), Failure> {
        self.put(&visible_json(text))
    }

    fn put(&mut self, text: &str) -> Result<(), Failure> {
        let end = if text.ends_with('\n') { "" } else { "\n" };
        write!(self.out, "{text}{end}")
            .and_then(|()| self.out.flush())
            .map_err(|error| Failure::writing("standard output", &error))
    }

    /// The stream for results, for answers that stream.
    pub fn out(&mut self) -> &mut dyn Write {
        self.out
    }

    /// Both streams at once: results and words.
    pub fn streams(&mut self) -> (&mut dyn Write, &mut dyn Write) {
        (self.out, self.words)
    }

    /// Says a word about the answer on standard error; a closed stream is no error.
    pub fn say(&mut self, text: &str) {
        let _closed_is_fine = writeln!(self.words, "{}", visible(text));
    }
}

/// A terminal that is given rows of data: what would act on it is shown escaped. A pipe or file gets the bytes as they are.
pub(super) struct Seen<W>(pub(super) W);

impl<W: Write> Write for Seen<W> {
    /// Takes whole rows; a character that is cut in two by the end of the bytes is shown as unreadable.
    fn write(&mut self, rows: &[u8]) -> io::Result<usize> {
        self.0
            .write_all(visible(&String::from_utf8_lossy(rows).replace("\r\n", "\n")).as_bytes())?;
        Ok(rows.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

#[cfg(test)]
mod tests {
    use super::Seen;
    use std::io::Write;

    #[test]
    fn rows_on_a_terminal_do_not_act_on_it() {
        let mut screen = Vec::new();
        Seen(&mut screen)
            .write_all("lid\u{1b}[2J,\u{202e}7,\u{9b}1m\r\nend,8,é\n".as_bytes())
            .unwrap();
        let shown = String::from_utf8(screen).unwrap();
        assert_eq!(shown, "lid\\u{1b}[2J,\\u{202e}7,\\u{9b}1m\nend,8,é\n");
    }
}
