//! Rows of boards: the first line names the columns, each further line gives one line, answered or given why not.
#![no_main]

use heartside::cli::batch::{Columns, Form, Rows, Task};
use heartside::species::SpeciesTable;
use libfuzzer_sys::fuzz_target;
use std::borrow::Cow;
use std::sync::Arc;

fuzz_target!(|bytes: &[u8]| {
    let (head, rows) = match bytes.iter().position(|byte| *byte == b'\n') {
        Some(at) => (&bytes[..at], &bytes[at + 1..]),
        None => (bytes, &[][..]),
    };
    let Ok(head) = std::str::from_utf8(head) else {
        return;
    };
    let columns = match Columns::read(head) {
        Ok(columns) => columns,
        Err(words) => {
            assert!(!words.is_empty());
            return;
        }
    };
    let lines = rows.split(|byte| *byte == b'\n').count()
        - usize::from(rows.is_empty() || rows.ends_with(b"\n"));
    for form in [Form::Csv, Form::Json] {
        let task = Task {
            columns: columns.clone(),
            table: Cow::Borrowed(SpeciesTable::built_in()),
            form,
            stop_on_error: false,
        };
        let mut out = Vec::new();
        let mut unanswered = Vec::new();
        let count = Rows::new(Arc::new(task)).block(rows, 2, &mut out, &mut unanswered);
        assert!(unanswered.len() as u64 <= count);
        assert!(
            unanswered
                .iter()
                .all(|row| !row.words.is_empty() && row.line >= 2)
        );
        let written = out.iter().filter(|byte| **byte == b'\n').count();
        match form {
            Form::Csv => assert_eq!(written, lines, "a line in is a line out"),
            Form::Json => assert_eq!(written as u64, count, "a row in is a line out"),
        }
        let text = String::from_utf8_lossy(&out);
        assert!(form == Form::Csv || (!text.contains("NaN") && !text.contains("inf,")));
    }
});
