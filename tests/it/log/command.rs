//! `heartside log`: what it writes into the job file, and that it writes nothing where anything is wrong.

use super::{FRONT, SIDE};
use crate::run::text;
use assert_cmd::Command;
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Output;

/// A job file with comments and a layout of its own.
fn written(folder: &Path) -> (PathBuf, String) {
    let text = format!(
        "# The drawer of the hall chest.\n{}{FRONT}\n# End of the joints.\n\n[chance]   # of this oak\nstrength_cov  =   \"22%\"\n",
        SIDE.replace(
            "width = \"210 mm\"",
            "width   =  \"210 mm\"   # after the jointer"
        )
        .replace("draws = 1024", "draws = 64"),
    );
    let path = folder.join("drawer.toml");
    fs::write(&path, &text).unwrap();
    (path, text)
}

fn log(job: &Path, args: &[&str]) -> Output {
    let mut command = Command::cargo_bin("heartside").unwrap();
    command.arg("log").arg(job).args(args).output().unwrap()
}

const READ: [&str; 6] = [
    "--part",
    "drawer side",
    "--width",
    "208.4mm",
    "--date",
    "2026-11-02",
];

#[test]
fn an_entry_is_appended_and_every_other_line_stays() {
    let folder = tempfile::tempdir().unwrap();
    let (job, before) = written(folder.path());
    let output = log(&job, &[&READ[..], &["--note", "after planing"]].concat());
    assert!(output.status.success(), "{}", text(&output.stderr));
    let after = fs::read_to_string(&job).unwrap();
    // The old lines are there in their order, with their spaces and comments; the rest is the entry.
    let mut rest: Vec<&str> = after.lines().collect();
    for line in before.lines() {
        let place = rest.iter().position(|kept| *kept == line).unwrap();
        rest.remove(place);
    }
    rest.retain(|line| !line.is_empty());
    assert_eq!(rest.remove(0), "[[log]]");
    rest.sort_unstable();
    let entry = [
        "date = 2026-11-02",
        "note = \"after planing\"",
        "part = \"drawer side\"",
        "width = \"208.4mm\"",
    ];
    assert_eq!(rest, entry);
    let at = |line: &str| after.find(line).unwrap();
    assert!(
        at("# The drawer") < at("# after the jointer")
            && at("# after the jointer") < at("# End of the joints.")
    );
    let said = text(&output.stdout);
    assert!(
        said.contains("Last measured, 2026-11-02: the drawer side, width 208.4 mm"),
        "{said}"
    );
    assert!(
        text(&output.stderr).contains("Wrote the entry into"),
        "{}",
        text(&output.stderr)
    );
    // A second one comes after the first.
    let more = [
        "--place",
        "home",
        "--humidity",
        "31%",
        "--temperature",
        "20C",
        "--date",
        "2026-12-20",
    ];
    assert!(log(&job, &more).status.success());
    let both = fs::read_to_string(&job).unwrap();
    assert_eq!(both.matches("[[log]]").count(), 2);
    assert!(both.find("208.4mm").unwrap() < both.find("humidity = \"31%\"").unwrap());
    // Nothing is left beside it.
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn nothing_is_written_where_anything_is_wrong() {
    let folder = tempfile::tempdir().unwrap();
    let (job, before) = written(folder.path());
    let cases: [(&[&str], &str); 9] = [
        (
            &[
                "--part",
                "drawer sides",
                "--width",
                "208mm",
                "--date",
                "2026-11-02",
            ],
            "did you mean",
        ),
        (
            &[
                "--part",
                "drawer side",
                "--width",
                "208 parsec",
                "--date",
                "2026-11-02",
            ],
            "parsec",
        ),
        (
            &["--part", "drawer side", "--date", "2026-11-02"],
            "no reading",
        ),
        (
            &["--width", "208mm", "--date", "2026-11-02"],
            "what was measured",
        ),
        (
            &[
                "--part",
                "drawer side",
                "--width",
                "208mm",
                "--date",
                "2026-01-02",
            ],
            "before 2026-09-14",
        ),
        (
            &[
                "--part",
                "drawer side",
                "--width",
                "208mm",
                "--gap",
                "1mm",
                "--date",
                "2026-11-02",
            ],
            "both",
        ),
        (
            &[
                "--part",
                "drawer side",
                "--width",
                "208mm",
                "--within",
                "0mm",
                "--date",
                "2026-11-02",
            ],
            "above zero",
        ),
        (
            &[
                "--part",
                "drawer side",
                "--place",
                "home",
                "--width",
                "208mm",
            ],
            "cannot be used with",
        ),
        (
            &[
                "--part",
                "drawer side",
                "--cup",
                "1mm",
                "--date",
                "2026-11-02",
            ],
            "none is forecast",
        ),
    ];
    for (args, words) in cases {
        let output = log(&job, args);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        let said = text(&output.stderr);
        assert!(said.contains(words), "{args:?}\n{said}");
        assert!(!said.contains("panicked"), "{said}");
        assert_eq!(fs::read_to_string(&job).unwrap(), before, "{args:?}");
        assert!(output.stdout.is_empty(), "{args:?}");
    }
    assert_eq!(log(Path::new("-"), &READ).status.code(), Some(2));
    let missing = folder.path().join("none.toml");
    assert_eq!(log(&missing, &READ).status.code(), Some(3));
    assert!(!missing.exists());
    // A job that is wrong already is not written into either.
    fs::write(&job, before.replace("oak, white", "oak, purple")).unwrap();
    let wrong = fs::read_to_string(&job).unwrap();
    assert_eq!(log(&job, &READ).status.code(), Some(2));
    assert_eq!(fs::read_to_string(&job).unwrap(), wrong);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

/// The one command that reads the clock, in the zone of the machine: 14 hours before and 12 hours after the zero meridian it is
/// never the same day.
#[test]
fn the_date_is_that_of_the_day_where_the_maker_is() {
    let folder = tempfile::tempdir().unwrap();
    let (job, before) = written(folder.path());
    let utc = jiff::tz::TimeZone::UTC;
    let today = utc.to_datetime(jiff::Timestamp::now()).date();
    let in_zone = |zone: &str| -> Date {
        let measured = today.saturating_add(-40.days());
        let delivered = today.saturating_add(20.days());
        let text = before
            .replace("2026-09-14", &measured.to_string())
            .replace("2026-11-20", &delivered.to_string());
        fs::write(&job, text).unwrap();
        let mut command = Command::cargo_bin("heartside").unwrap();
        let output = command
            .env("TZ", zone)
            .arg("log")
            .arg(&job)
            .args(["--part", "drawer side", "--moisture", "10.4%"])
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", text_of(&output));
        let text = fs::read_to_string(&job).unwrap();
        let line = text
            .lines()
            .rfind(|line| line.starts_with("date = "))
            .unwrap();
        line["date = ".len()..].parse().unwrap()
    };
    let (east, west) = (in_zone("EAST-14"), in_zone("WEST+12"));
    assert!(east > west, "{east} {west}");
    for date in [east, west] {
        let off = (date - today).get_days().abs();
        assert!(off <= 2, "{date} {today}");
    }
}

fn text_of(output: &Output) -> String {
    text(&output.stderr)
}

#[test]
fn as_json_it_answers_what_changed_in_metric() {
    let folder = tempfile::tempdir().unwrap();
    let (job, _) = written(folder.path());
    let output = log(&job, &[&READ[..], &["--json"]].concat());
    assert!(output.status.success(), "{}", text(&output.stderr));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    let log = &found["log"];
    assert_eq!(log["changed"]["date"], "2026-11-02");
    let entry = &log["entries"][0];
    assert_eq!(entry["quantity"], "width");
    assert_eq!(entry["read_mm"], 208.4);
    for key in [
        "expected_mm",
        "expected_low_mm",
        "expected_high_mm",
        "known_mm",
        "known_low_mm",
        "known_high_mm",
    ] {
        assert!(entry[key].is_number(), "{key}: {entry}");
    }
    for key in ["learned", "doubted", "measure_next", "ask_next_time"] {
        assert!(log[key].is_array(), "{key}");
    }
    assert!(log["effective_draws"].is_number());
    // The forecast of the file that was written says the same.
    let forecast = Command::cargo_bin("heartside")
        .unwrap()
        .args(["forecast", "--json", "--out"])
        .arg(folder.path().join("report"))
        .arg(&job)
        .output()
        .unwrap();
    let whole: Value = serde_json::from_slice(&forecast.stdout).unwrap();
    assert_eq!(whole["log"], found["log"]);
}

#[test]
fn boards_and_leaves_are_logged_too() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("demo.toml");
    fs::write(
        &job,
        heartside::job::demo().replace("seed = 7", "seed = 7\ndraws = 64"),
    )
    .unwrap();
    let board = [
        "--board",
        "curly maple 1",
        "--leaf",
        "2",
        "--bow=-1/32in",
        "--read",
        "rested",
        "--date",
        "2026-10-09",
    ];
    let output = log(&job, &board);
    assert!(output.status.success(), "{}", text(&output.stderr));
    assert!(
        text(&output.stdout).contains("leaf 2 of curly maple 1"),
        "{}",
        text(&output.stdout)
    );
    let leaf = ["--leaf", "A1", "--bow", "3/64in", "--date", "2026-10-09"];
    assert!(log(&job, &leaf).status.success());
    let after = fs::read_to_string(&job).unwrap();
    assert!(
        after.contains("leaf = \"2\"")
            && after.contains("read = \"rested\"")
            && after.contains("leaf = \"A1\"")
    );
    let valid = Command::cargo_bin("heartside")
        .unwrap()
        .arg("validate")
        .arg(&job)
        .output()
        .unwrap();
    assert!(valid.status.success(), "{}", text(&valid.stderr));
}
