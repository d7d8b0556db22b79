//! `heartside rest` as others script it.

use super::close;
use crate::run::number;
use assert_cmd::Command;
use serde_json::Value;

fn run(args: &[&str]) -> Result<Value, (i32, String)> {
    let output = Command::new(env!("CARGO_BIN_EXE_heartside"))
        .arg("rest")
        .args(args)
        .arg("--json")
        .output()
        .unwrap();
    let words = String::from_utf8(output.stderr).unwrap();
    assert!(!words.contains("panicked"), "{words}");
    match output.status.code() {
        Some(0) => Ok(serde_json::from_slice(&output.stdout).unwrap()),
        code => Err((code.unwrap(), words)),
    }
}

const CRANK: [&str; 12] = [
    "--thickness",
    "20mm",
    "--from",
    "12%",
    "--to-emc",
    "7%",
    "--diffusivity",
    "3e-11",
    "--film",
    "off",
    "--days",
    "7.5887",
];

/// Half the change at Fo 0.1967 and 90 % at Fo 0.848 (Crank's series): with 20 mm
/// and 3e-11 m2/s these are 7.589 and 32.72 days.
#[test]
fn an_ideal_board_rests_as_cranks_series_says() {
    let answer = run(&CRANK).unwrap();
    close(number(&answer, "fraction_done"), 0.49996, 0.002);
    close(number(&answer, "mean_percent"), 9.5, 0.01);
    close(number(&answer, "days_to_90_percent"), 32.72, 0.2);
    close(number(&answer, "slope_percent_per_mm"), 0.0, 1e-9);
    assert_eq!(answer.get("weight_now_g"), None);
    let sealed = run(&[&CRANK[..], &["--sealed", "one-face"]].concat()).unwrap();
    close(
        number(&sealed, "days_to_90_percent") / number(&answer, "days_to_90_percent"),
        4.0,
        0.02,
    );
    assert!(
        number(&sealed, "slope_percent_per_mm") < -0.05,
        "the open upper face is the drier"
    );
}

/// By hand: 1840 g at 12 % hold 1642.86 g of wood; at the mean of 9.5 % they weigh 1798.9 g, at 7 % 1757.9 g.
#[test]
fn the_scale_tells_how_far_it_has_come() {
    let answer = run(&[&CRANK[..], &["--weight", "1840g"]].concat()).unwrap();
    close(number(&answer, "weight_now_g"), 1798.9, 0.2);
    close(number(&answer, "weight_at_end_g"), 1757.9, 0.1);
    close(number(&answer, "still_to_lose_g"), 41.0, 0.3);
}

#[test]
fn wood_film_finish_and_core_enter() {
    let bare = [
        "--thickness",
        "20mm",
        "--from",
        "12%",
        "--to-emc",
        "7%",
        "--days",
        "10",
    ];
    let with = |more: &[&str]| run(&[&bare[..], more].concat()).unwrap();
    let walnut = with(&["--species", "walnut, black"]);
    let finished = with(&[
        "--species",
        "walnut, black",
        "--finish",
        "shellac",
        "--coats",
        "3",
    ]);
    let no_film = with(&["--species", "walnut, black", "--film", "off"]);
    let pine = with(&["--species", "pine, eastern white"]);
    let warm = with(&["--species", "walnut, black", "--temperature", "30C"]);
    let done = |answer: &Value| number(answer, "fraction_done");
    assert!(done(&finished) < 0.5 * done(&walnut) && done(&walnut) < done(&no_film));
    assert!(done(&walnut) < done(&pine) && done(&walnut) < done(&warm));
    close(number(&walnut, "settles_at_percent"), 7.0, 1e-9);
    close(number(&finished, "settles_at_percent"), 7.0, 1e-9);
    // A core wetter than the mean starts slower than a board evenly wet.
    assert!(done(&with(&["--species", "walnut, black", "--core", "13%"])) < done(&walnut));
    // 70 F and 50 %: 9.2 % (Wood Handbook Table 4-2), and wood that loses settles 9.6 % of that moister (0.80 to 0.85 of it is
    // what wood that gains comes to, from memory; the table lies half-way).
    let humid = run(&[
        "--thickness",
        "20mm",
        "--from",
        "12%",
        "--to-humidity",
        "50%",
        "--temperature",
        "70F",
        "--days",
        "10",
    ])
    .unwrap();
    close(number(&humid, "settles_at_percent"), 1.096 * 9.2, 0.1);
    let sealed = with(&["--sealed", "both-faces"]);
    assert!(sealed["days_to_90_percent"].is_null());
}

#[test]
fn wrong_flags_are_answered_with_place_reason_and_remedy() {
    let refused = |args: &[&str], wanted: &str| {
        let (code, words) = run(args).unwrap_err();
        assert_eq!(code, 2, "{words}");
        assert!(words.contains(wanted), "{words}");
    };
    let base = |thickness, from, emc, days| {
        [
            "--thickness",
            thickness,
            "--from",
            from,
            "--to-emc",
            emc,
            "--days",
            days,
        ]
    };
    refused(&base("20", "12%", "7%", "10"), "--thickness");
    refused(&base("-20mm", "12%", "7%", "10"), "--thickness");
    refused(&base("20mm", "-2%", "7%", "10"), "--from");
    refused(
        &base("20mm", "12%", "60%", "10"),
        "no air keeps wood so wet",
    );
    refused(&base("20mm", "12%", "7%", "soon"), "--days");
    refused(&base("20mm", "12%", "7%", "-4"), "--days");
    refused(&base("20mm", "12%", "7%", "NaN"), "--days");
    refused(
        &["--thickness", "20mm", "--from", "12%", "--days", "3"],
        "--to-emc",
    );
    let good = base("20mm", "12%", "7%", "10");
    refused(
        &[&good[..], &["--finish", "shelac", "--coats", "2"]].concat(),
        "did you mean \"Shellac\"",
    );
    refused(
        &[&good[..], &["--finish", "shellac", "--coats", "9"]].concat(),
        "coats known",
    );
    refused(
        &[&good[..], &["--diffusivity", "3"]].concat(),
        "--diffusivity",
    );
    refused(&[&good[..], &["--species", "wallnut"]].concat(), "alnut");
    refused(&[&good[..], &["--core", "40%"]].concat(), "below 0%");
}

#[test]
fn plain_words() {
    let output = Command::new(env!("CARGO_BIN_EXE_heartside"))
        .arg("rest")
        .args(CRANK)
        .args(["--weight", "1840g"])
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.contains("50 % of the way from 12 % to 7 %"), "{text}");
    assert!(
        text.contains("90 % of the change is done after 32."),
        "{text}"
    );
    assert!(text.contains("still to lose"), "{text}");
}
