//! The commands `fit` and `bond` as others script them.

use super::near;
use crate::run::{number, object, run};

const BOND: [&str; 18] = [
    "bond",
    "--species",
    "oak, white",
    "--width",
    "150mm",
    "--thickness",
    "19mm",
    "--to",
    "maple, sugar",
    "--to-thickness",
    "19mm",
    "--from",
    "8%",
    "--dry",
    "5%",
    "--wet",
    "11%",
    "--json",
];

/// White oak 10.5 % tangential over 30 % (Wood Handbook Table 4-3). From 8 to 5 %:
/// (1 - 0.105 x 25/30)/(1 - 0.105 x 22/30) - 1 = -0.011375; maple along its grain gives back a trifle.
/// To 11 %: +0.011375. The slot 75 mm from the middle: 75 x 0.02275 + 4 + 2 = 7.71 mm, the screw in its middle.
#[test]
fn bond_answers_every_key() {
    let found = object(&BOND);
    assert!((number(&found, "strain_driest") + 0.011_375).abs() < 3e-4);
    assert!((number(&found, "strain_wettest") - 0.011_375).abs() < 3e-4);
    assert!((number(&found, "slot_mm") - 7.71).abs() < 0.05);
    let held = number(&found, "strain_held_fraction");
    assert!((0.8..0.95).contains(&held), "{held}");
    // Timoshenko with m = 1, h = 38, n from the stiffnesses of the tables (about 0.075):
    // 6 x 0.0114 x 4/(38 (12 + 1.075 (1 + 13.3))) = 2.63e-4; half relaxed over 150 mm: 0.37 mm
    assert!((number(&found, "cup_free_mm") - 0.37).abs() < 0.05);
    for key in ["split_chance_percent", "end_shear_mpa"] {
        assert!(number(&found, key) >= 0.0);
    }
    assert!(["holds", "marginal", "fails"].contains(&found["verdict"].as_str().unwrap()));
    assert!(["glue", "glue_middle", "float"].contains(&found["advice"].as_str().unwrap()));
    // 1.1 % of swelling is pressed beyond what springs back
    assert!(number(&found, "wet_set_mm") > 0.3);
}

/// Grain with grain of one wood: safe, and the residue is given: none.
#[test]
fn bond_knows_the_same_grain() {
    let mut args = BOND.to_vec();
    args[8] = "oak, white";
    args.push("--same-grain");
    let found = object(&args);
    assert_eq!(found["advice"], "glue");
    assert_eq!(found["verdict"], "holds");
    assert_eq!(found["same_grain"], true);
    near(number(&found, "residue_mm"), 0.0);
    assert!(
        found["reason"]
            .as_str()
            .unwrap()
            .starts_with("grain runs with grain")
    );
}

#[test]
fn quartersawn_wants_less() {
    let mut args = BOND.to_vec();
    args.extend(["--sawn", "quarter"]);
    let (flat, quarter) = (object(&BOND), object(&args));
    assert!(number(&quarter, "strain_driest") > 0.7 * number(&flat, "strain_driest"));
    assert!(number(&quarter, "split_chance_percent") <= number(&flat, "split_chance_percent"));
}

/// A flat-sawn cherry panel of 350 mm in grooves of an opening of 330, from 9 % to between 6 and 11 %. By hand: tangential 7.1 % over
/// 30 %: at 11 % (1 - 0.071 x 19/30)/(1 - 0.071 x 21/30) = 1.004981: 351.743; a groove in wood that moves alike needs
/// (351.743 - 330)/2 + 1 = 11.87 mm at the wettest, so about 11.82 today, and the spread of boards makes it deeper.
#[test]
fn fit_answers_every_key() {
    let found = object(&[
        "fit",
        "--species",
        "cherry, black",
        "--part",
        "350mm",
        "--opening",
        "330mm",
        "--cut",
        "depth",
        "--from",
        "9%",
        "--dry",
        "6%",
        "--wet",
        "11%",
        "--json",
    ]);
    let cut = number(&found, "cut_mm");
    assert!((11.8..13.5).contains(&cut), "{cut}");
    // the middle board at the wettest keeps what was cut less 10.87
    assert!((number(&found, "gap_min_mm") - (cut * 1.00498 - 10.8715)).abs() < 0.02);
    assert!(number(&found, "gap_max_mm") > number(&found, "gap_min_mm"));
    assert_eq!(found["verdict"], "holds");
    let range = found["survives_humidity_percent"].as_array().unwrap();
    assert!(range[0].as_f64().unwrap() < 30.0 && range[1].as_f64().unwrap() > 58.0);
}

#[test]
fn wrong_flags_are_given_with_the_remedy() {
    let mut wetter = BOND.to_vec();
    wetter[14] = "12%";
    for (args, words) in [
        (wetter, vec!["--dry 12% is wetter than --wet 11%", "swap"]),
        (
            vec![
                "fit",
                "--species",
                "cherry, black",
                "--from",
                "9%",
                "--dry",
                "6%",
                "--wet",
                "11%",
                "--opening",
                "330mm",
            ],
            vec!["--part is not given", "--cut part"],
        ),
        (
            vec![
                "fit",
                "--species",
                "cherry, black",
                "--from",
                "9%",
                "--dry",
                "6%",
                "--wet",
                "11%",
                "--opening",
                "330mm",
                "--part",
                "325mm",
                "--min",
                "3mm",
                "--max",
                "2mm",
            ],
            vec!["--max 2 mm is not above --min 3 mm"],
        ),
        (
            vec![
                "fit",
                "--species",
                "chery",
                "--from",
                "9%",
                "--dry",
                "6%",
                "--wet",
                "11%",
                "--opening",
                "330mm",
                "--part",
                "325mm",
            ],
            vec!["--species", "cherry"],
        ),
    ] {
        let (code, out, err) = run(&args);
        assert_eq!(code, 2, "{args:?} {out}");
        assert!(out.is_empty());
        for word in words {
            assert!(
                err.to_lowercase().contains(&word.to_lowercase()),
                "`{word}` is not in: {err}"
            );
        }
        assert!(!err.contains("panicked"));
    }
}

/// The free cup of a pair is that of what both want; the cup of the board's own rings comes on top. Where they are not given that is
/// said, and where something holds the pair flat there is nothing to say.
#[test]
fn a_bond_says_where_the_rings_are_not_known() {
    let reason = |more: &[&str]| {
        let found = object(&[&BOND[..], more].concat());
        found["reason"].as_str().unwrap().to_owned()
    };
    assert!(reason(&[]).contains("not known: give the rings"));
    assert!(reason(&["--sawn", "flat"]).contains("not known: give the rings"));
    assert!(!reason(&["--pith-depth", "60mm"]).contains("give the rings"));
    assert!(!reason(&["--held-flat"]).contains("give the rings"));
}
