//! `heartside board` as it is scripted.

use crate::run::number;
use approx::assert_abs_diff_eq;
use assert_cmd::Command;
use serde_json::Value;

fn board(flags: &[&str]) -> assert_cmd::assert::Assert {
    Command::cargo_bin("heartside")
        .unwrap()
        .arg("board")
        .args([
            "--species",
            "oak, white",
            "--width",
            "300mm",
            "--thickness",
            "25mm",
        ])
        .args(flags)
        .assert()
}

fn answer(flags: &[&str]) -> Value {
    let run = board(&[flags, &["--json"]].concat()).success();
    serde_json::from_slice(&run.get_output().stdout).unwrap()
}

const SWELLS: [&str; 4] = ["--from", "8%", "--to", "12%"];

// White oak, T 10.5, R 5.6 % (Wood Handbook Table 4-3); Eq. 13-3 by hand, F 30: flat +4.550 mm of 300,
// quarter 300 x 4/(3000/5.6 - 30 + 8) = +2.336 mm.
#[test]
fn straight_rings_by_eq_13_3() {
    let flat = answer(&[&SWELLS[..], &["--sawn", "flat"]].concat());
    assert_abs_diff_eq!(number(&flat, "width_change_mm"), 4.550, epsilon = 5e-4);
    assert_abs_diff_eq!(number(&flat, "width_mm"), 304.550, epsilon = 5e-4);
    // Only the way of sawing is given: the width is answered, the cup is not.
    for key in [
        "cup_bark_face_mm",
        "cup_heart_face_mm",
        "edge_left_off_square_degrees",
    ] {
        assert!(flat[key].is_null(), "{key}");
    }
    assert!(
        flat["notes"]
            .to_string()
            .contains("cup not known: give the rings")
    );
    // Nothing given of the rings: the width of flat-sawn wood, said so, and no cup.
    let none = answer(&SWELLS);
    assert_eq!(none["width_mm"], flat["width_mm"]);
    assert!(none["cup_bark_face_mm"].is_null());
    assert!(
        none["notes"]
            .to_string()
            .contains("the rings are not given")
    );
    let words = board(&SWELLS).success();
    let words = String::from_utf8_lossy(&words.get_output().stdout).into_owned();
    assert!(words.contains("Cup not known: give the rings.") && !words.contains("stays flat"));
    let quarter = answer(&[&SWELLS[..], &["--sawn", "quarter"]].concat());
    assert_abs_diff_eq!(number(&quarter, "width_change_mm"), 2.336, epsilon = 5e-4);
    assert_abs_diff_eq!(
        number(&quarter, "thickness_middle_mm") - 25.0,
        4.550 / 12.0,
        epsilon = 5e-4
    );
}

// One pith given in four ways gives one answer.
#[test]
fn four_ways_of_telling_one_pith_agree() {
    // A ring of radius 110 with its crown 10 mm above the heart face, 20 mm left of the centre line.
    let rise = 110.0 - (110.0_f64.powi(2) - 45.0_f64.powi(2)).sqrt();
    let angle = |x: f64| (-(x + 20.0)).atan2(112.5).to_degrees();
    let ways = [
        vec![
            "--pith-depth".to_owned(),
            "100mm".to_owned(),
            "--pith-offset".to_owned(),
            "-20mm".to_owned(),
        ],
        [
            "--ring-radius",
            "110mm",
            "--ring-crown",
            "10mm",
            "--ring-centre",
            "-20mm",
        ]
        .map(str::to_owned)
        .to_vec(),
        vec![
            "--ring-rise".to_owned(),
            format!("{rise}mm"),
            "--ring-chord".to_owned(),
            "90mm".to_owned(),
            "--ring-crown".to_owned(),
            "10mm".to_owned(),
            "--ring-centre".to_owned(),
            "-20mm".to_owned(),
        ],
        vec![
            "--ring-angles".to_owned(),
            format!("-100mm:{}deg,100mm:{}deg", angle(-100.0), angle(100.0)),
        ],
    ];
    let keys = [
        "width_mm",
        "width_heart_face_mm",
        "width_change_mm",
        "thickness_left_mm",
        "thickness_middle_mm",
        "thickness_right_mm",
        "cup_bark_face_mm",
        "cup_heart_face_mm",
    ];
    let answers: Vec<Value> = ways
        .iter()
        .map(|way| {
            let way: Vec<&str> = way.iter().map(String::as_str).collect();
            answer(&[&SWELLS[..], &way].concat())
        })
        .collect();
    for key in keys {
        for other in &answers[1..] {
            assert_abs_diff_eq!(number(&answers[0], key), number(other, key), epsilon = 1e-6);
        }
    }
    // Swelling: the heart side turns hollow.
    assert!(number(&answers[0], "cup_heart_face_mm") > 0.0);
    assert!(number(&answers[0], "cup_bark_face_mm") < 0.0);
    assert_eq!(answers[0]["pith_inside"], false);
}

#[test]
fn a_pith_inside_is_given_and_no_cup_is_given() {
    let answer = answer(&[&SWELLS[..], &["--pith-depth", "-12mm"]].concat());
    assert_eq!(answer["pith_inside"], true);
    assert!(answer["cup_bark_face_mm"].is_null() && answer["cup_heart_face_mm"].is_null());
    assert!(answer["notes"].to_string().contains("check"));
    let bounds = &answer["width_bounds_mm"];
    assert_abs_diff_eq!(bounds[0].as_f64().unwrap(), 302.336, epsilon = 5e-4);
    assert_abs_diff_eq!(bounds[1].as_f64().unwrap(), 304.550, epsilon = 5e-4);
}

#[test]
fn moisture_above_fibre_saturation_is_accepted_with_a_note() {
    let wet = answer(&["--from", "80%", "--to", "12%", "--sawn", "flat"]);
    let green = answer(&["--from", "30%", "--to", "12%", "--sawn", "flat"]);
    assert_eq!(wet["width_mm"], green["width_mm"]);
    assert!(
        wet["notes"]
            .to_string()
            .contains("above the fiber saturation point")
    );
    assert!(
        !green["notes"]
            .to_string()
            .contains("above the fiber saturation point")
    );
}

#[test]
fn wrong_flags_name_the_flag_the_reason_and_the_remedy() {
    for (flags, words) in [
        (
            vec!["--sawn", "flat", "--ring-radius", "110mm"],
            vec!["--sawn and --ring-radius both"],
        ),
        (vec!["--sawn", "plank"], vec!["--sawn", "quarter"]),
        (vec!["--ring-rise", "12mm"], vec!["--ring-chord"]),
        (vec!["--pith-offset", "12mm"], vec!["--pith-depth"]),
        (
            vec!["--sawn", "flat", "--ring-crown", "1mm"],
            vec!["--ring-crown"],
        ),
        (vec!["--ring-radius", "110"], vec!["--ring-radius", "unit"]),
        (
            vec!["--ring-angles", "-400mm:20deg,100mm:-18deg"],
            vec!["off the board"],
        ),
        (vec!["--sawn", "flat", "--to", "300%"], vec!["--to"]),
    ] {
        let all = if flags.contains(&"--to") {
            [&["--from", "8%"], &flags[..]].concat()
        } else {
            [&SWELLS[..], &flags].concat()
        };
        let run = board(&all).code(2);
        let stderr = String::from_utf8_lossy(&run.get_output().stderr).into_owned();
        assert!(run.get_output().stdout.is_empty());
        for word in words {
            assert!(stderr.contains(word), "{flags:?}: {stderr}");
        }
    }
    let unknown = Command::cargo_bin("heartside")
        .unwrap()
        .args([
            "board",
            "--species",
            "wallnut",
            "--width",
            "3in",
            "--thickness",
            "1in",
            "--sawn",
            "flat",
        ])
        .args(SWELLS)
        .assert()
        .code(2);
    assert!(String::from_utf8_lossy(&unknown.get_output().stderr).contains("alnut"));
}
