//! The commands `straighten`, `shelf`, `glueup` and `install`.

use crate::run::{object as json, run};

const PANEL: [&str; 9] = [
    "straighten",
    "--length",
    "900mm",
    "--width",
    "300mm",
    "--thickness",
    "12mm",
    "--bow",
    "6mm",
];
const SHELF: [&str; 7] = [
    "shelf",
    "--span",
    "36in",
    "--depth",
    "10in",
    "--thickness",
    "3/4in",
];

fn with<'a>(base: &[&'a str], more: &[&'a str]) -> Vec<&'a str> {
    base.iter().chain(more).copied().collect()
}

/// The worked figures (derived): 187.73 N, -93.87 N, 0.444 mm, 5.867 MPa.
#[test]
fn straighten_gives_the_worked_figures() {
    let answer = json(&with(
        &PANEL,
        &[
            "--stiffness",
            "11GPa",
            "--supports",
            "0mm,450mm,900mm",
            "--json",
        ],
    ));
    let near = |key: &str, want: f64, within: f64| {
        let got = answer.pointer(key).unwrap().as_f64().unwrap();
        assert!((got - want).abs() < within, "{key}: {got} for {want}");
    };
    near("/forces_n/0", -93.87, 0.005);
    near("/forces_n/1", 187.73, 0.005);
    near("/forces_n/2", -93.87, 0.005);
    near("/leftover_mm", 0.444, 0.0005);
    near("/stress_mpa", 5.867, 0.0005);
    near("/stress_held_everywhere_mpa", 3.911, 0.0005);
    assert_eq!(answer["variations"].as_array().unwrap().len(), 7);
    assert!(
        answer["cautions"]
            .to_string()
            .contains("not replace structural engineering")
    );
}

#[test]
fn straighten_takes_a_wood_a_lost_support_a_cup_and_better_places() {
    let args = with(
        &PANEL,
        &[
            "--species",
            "walnut, black",
            "--supports",
            "0mm, 225mm, 450mm, 675mm, 900mm",
            "--push-only",
            "450mm",
            "--optimise",
            "--cup",
            "1mm",
            "--across",
            "20mm,150mm,280mm",
        ],
    );
    let answer = json(&with(&args, &["--json"]));
    assert_eq!(answer["lost_supports"][0]["at_mm"], 450.0);
    assert_eq!(answer["forces_n"][2], 0.0);
    assert!(answer["best"]["leftover_mm"].as_f64() < answer["leftover_mm"].as_f64());
    assert_eq!(answer["across"]["forces_n"].as_array().unwrap().len(), 3);
    let (code, words, _) = run(&args);
    assert_eq!(code, 0);
    for part in [
        "lost: a gap of",
        "of the bending strength",
        "minimum residual bow",
        "Caution:",
        "hand push",
    ] {
        assert!(words.contains(part), "{part} in {words}");
    }
}

/// 0.0720 in, and twice that in the long run.
#[test]
fn shelf_gives_the_worked_figures() {
    let answer = json(&with(
        &SHELF,
        &["--stiffness", "1.8Mpsi", "--load", "25lb/ft", "--json"],
    ));
    let sag = answer["sag_mm"].as_f64().unwrap() / 25.4;
    assert!((sag - 0.0720).abs() < 5e-5);
    let long = answer["sag_long_term_mm"].as_f64().unwrap() / 25.4;
    assert!((long - 0.1440).abs() < 1e-4);
    assert_eq!(answer["verdict"], "holds");
    let stiff = [
        "--stiffness",
        "1.8Mpsi",
        "--load-at",
        "18in:40lb",
        "--load-between",
        "1in:10in:20lb/ft",
    ];
    let (code, words, _) = run(&with(
        &with(&SHELF, &stiff),
        &["--lipping", "3/4in:1 1/2in", "--ends", "housed"],
    ));
    assert_eq!(code, 0);
    assert!(words.contains("in the long run") && words.contains("Caution:"));
}

#[test]
fn wrong_flags_are_named_with_what_to_write() {
    let stiff = ["--stiffness", "11GPa", "--supports"];
    let cases = [
        (
            with(&with(&PANEL, &stiff), &["0mm,1,5mm,900mm"]),
            "--supports `1`: the unit is missing",
        ),
        (
            with(&with(&PANEL, &stiff), &["0mm,0mm,900mm"]),
            "are at one place",
        ),
        (with(&with(&PANEL, &stiff), &["0mm,950mm"]), "off the part"),
        (
            with(&with(&PANEL, &stiff), &["450mm"]),
            "nothing holds the part",
        ),
        (
            with(&with(&PANEL, &stiff), &["0mm,900mm", "--push-only", "30mm"]),
            "there is no support there",
        ),
        (
            with(&with(&PANEL, &stiff), &["0mm,900mm", "--optimise"]),
            "no support to move",
        ),
        (
            with(&PANEL, &["--supports", "0mm,900mm"]),
            "the stiffness is not given",
        ),
        (
            with(&SHELF, &["--stiffness", "1.8Mpsi"]),
            "no load is given",
        ),
        (
            with(&SHELF, &["--stiffness", "1.8Mpsi", "--load", "25"]),
            "--load `25`: the unit is missing",
        ),
        (
            with(
                &SHELF,
                &[
                    "--stiffness",
                    "1.8Mpsi",
                    "--load",
                    "25lb/ft",
                    "--ends",
                    "nailed",
                ],
            ),
            "write one of",
        ),
        (
            with(
                &SHELF,
                &[
                    "--stiffness",
                    "1.8Mpsi",
                    "--load",
                    "25lb/ft",
                    "--allowed",
                    "1/0",
                ],
            ),
            "such as 1/240",
        ),
        (
            with(&SHELF, &["--stiffness", "1.8Mpsi", "--load-at", "18in"]),
            "AT:FORCE",
        ),
    ];
    for (args, part) in cases {
        let (code, out, words) = run(&args);
        assert_eq!(code, 2, "{args:?}");
        assert!(out.is_empty());
        assert!(words.contains(part), "{part} in {words}");
        assert!(!words.contains("panicked"));
    }
}

/// Just the parts and sections of the standing piece.
const JOB: &str = r#"
format = 2
[job]
name = "Wall shelf"
[places.shop]
air = { temperature = "64F", humidity = "58%" }
[places.home]
seasons = { winter = "28%", summer = "52%", temperature = "70F" }
[schedule]
measured = 2026-10-05
delivered = 2026-11-20
[[parts]]
name = "side"
species = "walnut, black"
thickness = "3/4in"
width = "10in"
length = "40in"
moisture = "9.5%"
rings = { sawn = "flat" }
count = 2
[[parts]]
name = "shelf"
species = "walnut, black"
thickness = "3/4in"
width = "10in"
length = "30in"
moisture = "9.5%"
rings = { sawn = "flat" }
count = 2
[glue]
open_time = "4 min"
joints = [
  { piece = "shelf upper", into = "side left" },
  { piece = "shelf upper", into = "side right" },
  { piece = "shelf lower", into = "side left" },
  { piece = "shelf lower", into = "side right" },
]
trapped = [{ piece = "shelf upper", between = "side left, side right" }]
[install]
height = "40in"
length = "31in"
depth = "10in"
floor = { drop_right = "1/4in", drop_back = "1/8in" }
fastenings = [{ part = "side", fixed = "back", at = "1in, 9in", screw = "3/16in" }]
"#;

#[test]
fn glueup_and_install_answer_a_job() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shelf.toml");
    std::fs::write(&path, JOB).unwrap();
    let path = path.to_str().unwrap();
    let glueup = json(&["glueup", path, "--json"]);
    // 95 s a joint, a fifth of 4 min in reserve: two joints a stage, and the ring needs both of a side.
    assert_eq!(glueup["stages"].as_array().unwrap().len(), 2);
    assert_eq!(glueup["proven"], true);
    assert!(glueup["cautions"].to_string().contains("data sheet"));
    let install = json(&["install", path, "--json"]);
    let shims: Vec<f64> = install["level"]["corners"]
        .as_array()
        .unwrap()
        .iter()
        .map(|corner| corner["shim_mm"].as_f64().unwrap())
        .collect();
    for (got, want) in shims.iter().zip([0.0, 6.35, 3.175, 9.525]) {
        assert!((got - want).abs() < 1e-9);
    }
    assert_eq!(install["fastenings"][0]["holes"][0]["hole"], "slot");
    assert!(install["cautions"].to_string().contains("anchor it"));
    let (_, words, _) = run(&["install", path]);
    assert!(words.contains("Caution: tall or heavy furniture tips"));
    let (_, words, _) = run(&["glueup", path]);
    assert!(words.contains("as given from the glue maker's sheet"));
    let bare = JOB.split("[glue]").next().unwrap();
    let bare_path = folder.path().join("bare.toml");
    std::fs::write(&bare_path, bare).unwrap();
    let (code, _, words) = run(&["glueup", bare_path.to_str().unwrap()]);
    assert_eq!(code, 2);
    assert!(words.contains("has no section [glue]"));
}

#[test]
fn a_glue_up_that_cannot_be_staged_says_which_joint_is_too_long() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shelf.toml");
    std::fs::write(&path, JOB.replace("4 min", "3 min")).unwrap();
    let (code, out, words) = run(&["glueup", path.to_str().unwrap()]);
    assert_eq!(code, 2, "{out}");
    for part in ["no order works", "takes longest", "must be glued together"] {
        assert!(words.contains(part), "{part} in {words}");
    }
}
