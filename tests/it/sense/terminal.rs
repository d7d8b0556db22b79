//! Control characters in names are shown escaped wherever text leaves the program.

use super::{changed, heartside};
use heartside::units::notation::{visible, visible_json};
use proptest::prelude::*;
use std::fs;

/// Clears a screen, starts a title, turns the direction of what follows, deletes, begins a sequence in one byte.
const HOSTILE: &str = "\\u001B[2J\\u001B]0;owned\\u0007\\u202Eedis\\u007F\\u009B31m";

/// Whether a terminal would do something else with it than show it.
fn acts(text: &str) -> bool {
    text.chars().any(|c| {
        (c.is_control() && !matches!(c, '\n' | '\t')) || ('\u{202a}'..='\u{202e}').contains(&c)
    })
}

#[test]
fn names_from_a_job_reach_no_terminal_page_or_picture() {
    // The shelf under a hostile name, wherever the job speaks of it.
    let job = changed("Small case", HOSTILE)
        .replace("\"shelf\"", &format!("\"{HOSTILE}\""))
        .replace("name = \"shelf in side\"\n", "")
        .replace("name = \"curly\"", &format!("name = \"{HOSTILE}\""));
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("job.toml"), &job).unwrap();
    for args in [
        &["validate", "job.toml"][..],
        &["validate", "job.toml", "--json"],
        &["forecast", "job.toml", "--draws", "16", "--out", "report"],
        &[
            "forecast", "job.toml", "--draws", "16", "--out", "report", "--json",
        ],
        &["glueup", "job.toml"],
        &["install", "job.toml"],
    ] {
        let output = heartside(folder.path(), args);
        assert!(output.status.success(), "{args:?}: {output:?}");
        for stream in [&output.stdout, &output.stderr] {
            let text = std::str::from_utf8(stream).unwrap();
            assert!(!acts(text), "{args:?}: {text:?}");
        }
        if args.contains(&"--json") {
            serde_json::from_slice::<serde_json::Value>(&output.stdout).unwrap();
        }
    }
    let mut files = 0;
    for entry in fs::read_dir(folder.path().join("report")).unwrap() {
        let path = entry.unwrap().path();
        let text = fs::read_to_string(&path).unwrap();
        if path
            .extension()
            .is_some_and(|kind| kind == "html" || kind == "svg")
        {
            files += 1;
            assert!(!acts(&text), "{}", path.display());
        }
        if path.extension().is_some_and(|kind| kind == "svg") {
            roxmltree::Document::parse(&text).unwrap();
        }
    }
    assert!(files > 3);
    let html = fs::read_to_string(folder.path().join("report/report.html")).unwrap();
    assert!(html.contains("\\u{1b}[2J"));
}

#[test]
fn errors_show_them_escaped() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("job.toml"),
        changed("piece = \"shelf\"", &format!("piece = \"{HOSTILE}\"")),
    )
    .unwrap();
    for args in [
        &["validate", "job.toml"][..],
        &["species", "\u{1b}[2Jwalnut"],
        &["emc", "--temperature", "\u{1b}[2J20C", "--humidity", "50%"],
        &["forecast", "no\u{1b}[2Jfile.toml"],
        &["forecast", "--no\u{9b}2Jflag"],
        &[
            "emc",
            "--temperature",
            "20C",
            "--humidity",
            "50%",
            "\u{202e}and more",
        ],
        &["\u{9b}2Jcommand"],
    ] {
        let output = heartside(folder.path(), args);
        let text = String::from_utf8(output.stderr).unwrap();
        assert!(!text.is_empty() && !acts(&text), "{args:?}: {text:?}");
    }
}

#[test]
fn a_name_is_one_line() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("job.toml"),
        changed("Small case", "Small\\nAll joints hold"),
    )
    .unwrap();
    let output = heartside(folder.path(), &["validate", "job.toml"]);
    assert_eq!(output.status.code(), Some(2));
}

/// Texts are looked through by lots of bytes: what acts is found in each of them, also where a character before it is longer.
#[test]
fn one_that_acts_is_seen_wherever_it_stands() {
    for acting in ['\u{7}', '\u{7f}', '\u{9b}', '\u{202e}', '\u{2066}'] {
        for before in 0..150 {
            let mut text: String = "a\u{e9}\u{2019}\n".chars().cycle().take(before).collect();
            text.push(acting);
            assert!(!acts(&visible(&text)), "{acting:?} after {before}");
        }
    }
}

proptest! {
    #[test]
    fn nothing_that_acts_is_left(text in any::<String>()) {
        prop_assert!(!acts(&visible(&text)));
        let json = serde_json::to_string(&text).unwrap();
        let seen = visible_json(&json);
        prop_assert!(!acts(&seen));
        prop_assert_eq!(serde_json::from_str::<String>(&seen).unwrap(), text);
    }
}
