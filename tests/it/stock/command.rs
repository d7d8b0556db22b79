//! `heartside resaw` as it is scripted.

use crate::run::number;
use approx::assert_abs_diff_eq;
use assert_cmd::Command;
use serde_json::Value;

fn resaw(flags: &[&str]) -> assert_cmd::assert::Assert {
    Command::cargo_bin("heartside")
        .unwrap()
        .arg("resaw")
        .args(flags)
        .assert()
}

fn answer(flags: &[&str]) -> Value {
    let run = resaw(&[flags, &["--json"]].concat()).success();
    serde_json::from_slice(&run.get_output().stdout).unwrap()
}

const BOARD: [&str; 8] = [
    "--thickness",
    "50.8mm",
    "--length",
    "2400mm",
    "--kerf",
    "1.6mm",
    "--leaves",
    "2",
];

// Derived figure: kappa 2.43660e-5 1/mm over 2400 mm is 17.5435 mm.
#[test]
fn given_strain_gives_the_derived_bow() {
    let given = answer(&[&BOARD[..], &["--locked-in", "400"]].concat());
    let leaves = given["leaves"].as_array().unwrap();
    assert_eq!(leaves.len(), 2);
    for leaf in leaves {
        assert_abs_diff_eq!(number(leaf, "thickness_mm"), 24.6, epsilon = 1e-9);
        assert_abs_diff_eq!(number(leaf, "bow_mm"), 17.5435, epsilon = 1e-3);
        assert!(number(leaf, "bow_low_mm") < 17.0 && number(leaf, "bow_high_mm") > 18.0);
        assert_eq!(leaf["hollow_on"], "fresh face");
    }
    assert!(
        given["cautions"][0]
            .as_str()
            .unwrap()
            .contains("close on the blade")
    );
    let turned = answer(&[&BOARD[..], &["--locked-in", "-400"]].concat());
    assert_abs_diff_eq!(
        number(&turned["leaves"][0], "bow_mm"),
        -17.5435,
        epsilon = 1e-3
    );
    assert_eq!(turned["leaves"][1]["hollow_on"], "outer face");
    let three = answer(&[&BOARD[..6], &["--leaves", "3", "--locked-in", "400"]].concat());
    assert_eq!(three["leaves"][1]["hollow_on"], "neither");
}

#[test]
fn a_strip_tells_the_locked_in_strain_and_narrows_the_forecast() {
    let strip = ["--strip-length", "600mm", "--strip-gap", "2.1mm"];
    let alone = answer(&[&BOARD[..], &strip].concat());
    // 4 gap/L^2 H^2/(3 (H + k)) = 383.05 millionths.
    assert_abs_diff_eq!(
        number(&alone, "locked_in_microstrain"),
        383.05,
        epsilon = 14.0
    );
    assert!(number(&alone, "locked_in_low_microstrain") < 383.05);
    assert!(number(&alone, "locked_in_high_microstrain") > 383.05);
    assert!(number(&alone, "band_narrowed_percent") > 50.0);
    let leaf = &alone["leaves"][0];
    assert!(
        number(leaf, "bow_before_high_mm") - number(leaf, "bow_before_low_mm")
            > number(leaf, "bow_high_mm") - number(leaf, "bow_low_mm")
    );
    let both = answer(&[&BOARD[..], &strip, &["--locked-in", "400"]].concat());
    let between = number(&both, "locked_in_microstrain");
    assert!(
        between > number(&alone, "locked_in_microstrain") && between < 400.0,
        "{between}"
    );
    let open_ends = answer(
        &[
            &BOARD[..],
            &["--strip-length", "600mm", "--strip-gap", "-2.1mm"],
        ]
        .concat(),
    );
    assert!(number(&open_ends, "locked_in_microstrain") < -300.0);
    assert_eq!(open_ends["leaves"][0]["hollow_on"], "outer face");
    let lop_sided = answer(
        &[
            &BOARD[..],
            &["--strip-length", "600mm", "--strip-bows", "2mm,0mm"],
        ]
        .concat(),
    );
    // One half takes it all: a and c alike in their effect on it.
    assert!(number(&lop_sided, "lop_sided_microstrain").abs() > 20.0);
}

#[test]
fn the_drying_history_sets_the_prior() {
    let of = |history: &str| answer(&[&BOARD[..], &["--drying", history]].concat());
    let raw = of("kiln dried, unconditioned");
    assert_abs_diff_eq!(number(&raw, "locked_in_microstrain"), 450.0, epsilon = 1e-6);
    assert!(raw["cautions"][0].as_str().unwrap().starts_with("Caution"));
    let relieved = of("kiln dried, conditioned");
    assert_abs_diff_eq!(
        number(&relieved, "locked_in_microstrain"),
        50.0,
        epsilon = 1e-6
    );
    assert!(
        !relieved["cautions"][0]
            .as_str()
            .unwrap()
            .starts_with("Caution")
    );
}

#[test]
fn the_caution_is_printed_first_and_the_strip_is_explained() {
    let run = resaw(&[&BOARD[..], &["--locked-in", "400"]].concat()).success();
    let words = String::from_utf8_lossy(&run.get_output().stdout).into_owned();
    assert!(words.starts_with("Caution: this stock is likely to close on the blade"));
    let run = resaw(&["--how-to-strip"]).success();
    let words = String::from_utf8_lossy(&run.get_output().stdout).into_owned();
    assert!(words.contains("Rip a strip") && words.contains("gap at the ends: negative"));
}

#[test]
fn rest_and_recovery_are_answered_when_asked() {
    let given = answer(
        &[
            &BOARD[..],
            &[
                "--width",
                "200mm",
                "--species",
                "walnut, black",
                "--shell",
                "8%",
                "--core",
                "10%",
            ],
            &[
                "--humidity",
                "40%",
                "--rest-days",
                "90",
                "--want-thickness",
                "19mm",
                "--want-length",
                "600mm",
            ],
            &[
                "--drying",
                "kiln dried, conditioned",
                "--pith-depth",
                "80mm",
            ],
        ]
        .concat(),
    );
    let leaf = &given["leaves"][0];
    assert_eq!(leaf["bow_by_day_mm"].as_array().unwrap().len(), 91);
    assert!(number(leaf, "rest_90_percent_days") > 5.0);
    assert!(number(leaf, "cup_share_rings_mm").abs() > 0.01);
    let sum = ["locked_in", "moisture", "inherited", "rings"]
        .iter()
        .map(|share| number(leaf, &format!("cup_share_{share}_mm")))
        .sum::<f64>();
    assert_abs_diff_eq!(sum, number(leaf, "cup_mm"), epsilon = 1e-9);
    let recovery = given["recovery"].as_array().unwrap();
    assert_eq!(recovery.len(), 5);
    assert!(number(&recovery[2], "left_mm") > number(&recovery[0], "left_mm"));
}

#[test]
fn wrong_flags_name_the_flag_the_reason_and_the_remedy() {
    for (flags, word) in [
        (vec!["--locked-in", "400e-6"], "millionths"),
        (vec!["--strip-gap", "2mm"], "--strip-length"),
        (vec!["--strip-length", "600mm"], "no reading"),
        (
            vec!["--strip-length", "600mm", "--strip-gap", "2"],
            "--strip-gap",
        ),
        (
            vec!["--strip-length", "600mm", "--strip-bows", "2mm"],
            "two",
        ),
        (vec!["--drying", "klin dried"], "kiln dried"),
        (vec!["--shell", "8%"], "--core"),
        (vec!["--want-length", "600mm"], "--want-thickness"),
        (
            vec!["--want-thickness", "20mm", "--want-length", "3m"],
            "more than the board has",
        ),
        (vec!["--plane-bark", "50mm"], "fewer or thinner leaves"),
        (
            vec!["--sawn", "flat", "--pith-depth", "9mm"],
            "both give the rings",
        ),
        (vec!["--humidity", "140%"], "--humidity"),
    ] {
        let run = resaw(&[&BOARD[..], &flags].concat()).code(2);
        let stderr = String::from_utf8_lossy(&run.get_output().stderr).into_owned();
        assert!(stderr.contains(word), "{flags:?}: {stderr}");
        assert!(run.get_output().stdout.is_empty());
    }
}

/// Rings of which only the way of sawing is known give no cup once the moisture changes: it is not known, and not 'flat'. What the
/// drying locked in still shows off the saw, and the bow stays.
#[test]
fn rings_that_nobody_gave_leave_the_rested_cup_unknown() {
    let rest = ["--width", "200mm", "--moisture", "10%", "--humidity", "35%"];
    let of = |rings: &[&str]| answer(&[&BOARD[..], &rest, rings].concat());
    for rings in [&[][..], &["--sawn", "flat"], &["--sawn", "quarter"]] {
        let found = of(rings);
        let leaf = &found["leaves"][0];
        assert_eq!(leaf["cup_known"], false, "{rings:?}");
        for key in [
            "cup_mm",
            "cup_low_mm",
            "cup_high_mm",
            "cup_share_rings_mm",
            "cup_by_day_mm",
        ] {
            assert!(leaf[key].is_null(), "{key} in {leaf}");
        }
        assert!(leaf["cup_off_saw_mm"].is_number() && leaf["bow_mm"].is_number());
    }
    let words = resaw(&[&BOARD[..], &rest].concat()).success();
    let words = String::from_utf8(words.get_output().stdout.clone()).unwrap();
    assert!(words.contains("cup not known: give the rings"), "{words}");
    let given = of(&["--pith-depth", "60mm"]);
    assert_eq!(given["leaves"][0]["cup_known"], true);
    assert!(number(&given["leaves"][0], "cup_mm").abs() > 0.01);
    // A leaf that rests nowhere keeps its moisture, and its rings bring nothing.
    let stays = answer(&[&BOARD[..], &["--width", "200mm"]].concat());
    assert_eq!(stays["leaves"][0]["cup_known"], true);
}
