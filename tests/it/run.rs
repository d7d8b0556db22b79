//! Runs the command and reads its answers.

use assert_cmd::Command;
use serde_json::Value;
use std::path::Path;
use std::process::Output;

/// What a run in a folder leaves.
pub(crate) fn heartside(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::cargo_bin("heartside").unwrap();
    command.current_dir(folder).args(args).output().unwrap()
}

/// Exit code, standard output and standard error of a run that needs no file.
pub(crate) fn run(args: &[&str]) -> (i32, String, String) {
    let output = heartside(Path::new("."), args);
    let code = output.status.code().unwrap();
    (code, text(&output.stdout), text(&output.stderr))
}

pub(crate) fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The one object on standard output of a run that went well.
pub(crate) fn read(output: &Output) -> Value {
    assert!(output.status.success(), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The object that these words answer with.
pub(crate) fn object(args: &[&str]) -> Value {
    read(&heartside(Path::new("."), args))
}

pub(crate) fn number(object: &Value, key: &str) -> f64 {
    object[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} in {object}"))
}
