//! What makes no sense is refused or cautioned: the same on every way in, and at its place.

mod air;
mod bands;
mod dates;
mod joints;
mod one_answer;
mod terminal;

use crate::run::heartside;
use std::fs;
use std::process::Output;

/// A small job with every section.
const WHOLE: &str = include_str!("whole.toml");

/// The small job with one text changed.
fn changed(from: &str, to: &str) -> String {
    let job = WHOLE.replacen(from, to, 1);
    assert_ne!(job, WHOLE, "{from}");
    job
}

fn said(output: &Output) -> String {
    let both = [&output.stdout[..], &output.stderr[..]].concat();
    String::from_utf8_lossy(&both).into_owned()
}

/// What `validate` and `forecast` say of a job beside these files, and their common exit code.
fn answers(job: &str, files: &[(&str, &str)]) -> (Option<i32>, [String; 2]) {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("job.toml"), job).unwrap();
    for (name, text) in files {
        fs::write(folder.path().join(name), text).unwrap();
    }
    let checked = heartside(folder.path(), &["validate", "job.toml"]);
    let forecast = heartside(
        folder.path(),
        &["forecast", "job.toml", "--draws", "16", "--out", "report"],
    );
    let words = [said(&checked), said(&forecast)];
    assert_eq!(checked.status.code(), forecast.status.code(), "{words:?}");
    (checked.status.code(), words)
}
