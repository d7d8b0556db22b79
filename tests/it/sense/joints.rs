//! Joints and cuts that cannot be meant.

use super::{answers, changed, heartside, said};

const DADO: &str = "into = \"side\"\npiece = \"shelf\"";

#[test]
fn a_part_housed_in_itself_is_refused() {
    let (code, [words, _]) = answers(&changed(DADO, "into = \"side\"\npiece = \"side\""), &[]);
    assert_eq!(code, Some(2));
    assert!(
        words.contains("`side` is joined to itself") && words.contains("job.toml:43"),
        "{words}"
    );
}

#[test]
fn two_parts_housed_in_one_another_are_refused() {
    let job = changed(
        "[[boards]]",
        "[[joints.dado]]\nname = \"side in shelf\"\ninto = \"shelf\"\npiece = \"side\"\nat = \"2in\"\ndepth = \"1/4in\"\n\n[[boards]]",
    );
    let (code, [words, _]) = answers(&job, &[]);
    assert_eq!(code, Some(2));
    assert!(
        words.contains("`side` is housed in `shelf`, which shelf in side houses in it"),
        "{words}"
    );
}

#[test]
fn a_dado_of_no_depth_is_refused() {
    for depth in ["0in", "0.1mm"] {
        let (code, [words, _]) = answers(
            &changed("depth = \"3/8in\"", &format!("depth = \"{depth}\"")),
            &[],
        );
        assert_eq!(code, Some(2), "{words}");
        assert!(words.contains("depth of a cut"), "{words}");
    }
}

#[test]
fn a_part_that_its_joints_swallow_is_cautioned_or_refused() {
    // 800 mm long, 385 mm deep at both ends.
    let job = changed("length = \"40in\"", "length = \"800mm\"")
        .replace("thickness = \"7/8in\"", "thickness = \"450mm\"")
        .replace("supports = \"0in, 40in\"", "supports = \"0mm, 800mm\"");
    let (code, [words, _]) = answers(&job.replace("depth = \"3/8in\"", "depth = \"385mm\""), &[]);
    assert_eq!(code, Some(0), "{words}");
    assert!(
        words.contains("leave 30.0 mm between them") || words.contains("leave 30 mm between them"),
        "{words}"
    );
    let (code, [words, _]) = answers(&job.replace("depth = \"3/8in\"", "depth = \"400mm\""), &[]);
    assert_eq!(code, Some(2), "{words}");
    assert!(
        words.contains("nothing of it is left between them"),
        "{words}"
    );
}

#[test]
fn an_oven_dry_part_is_cautioned() {
    let (code, both) = answers(&changed("moisture = \"9%\"", "moisture = \"0%\""), &[]);
    assert_eq!(code, Some(0));
    for words in both {
        assert!(
            words.contains("shelf: a moisture of 0% is oven-dry"),
            "{words}"
        );
    }
}

/// A panel far too small for its opening once got a groove of less than no depth.
#[test]
fn no_cut_is_below_zero() {
    let folder = tempfile::tempdir().unwrap();
    let args = [
        "fit",
        "--part",
        "300mm",
        "--opening",
        "375mm",
        "--cut",
        "depth",
        "--thickness",
        "12mm",
        "--species",
        "walnut, black",
        "--from",
        "9%",
        "--dry",
        "6%",
        "--wet",
        "11%",
    ];
    let output = heartside(folder.path(), &args);
    let words = said(&output);
    assert!(output.status.success(), "{words}");
    assert!(words.contains("No groove of any size holds"), "{words}");
    assert!(words.contains("nothing of the part is left"), "{words}");
    assert!(
        !words.contains("deep -") && !words.contains("groove -") && !words.contains("driest -"),
        "{words}"
    );
    let output = heartside(folder.path(), &[&args[..], &["--json"]].concat());
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(answer["cut_mm"], 0.0);
    assert_eq!(answer["holds_chance_percent"], 0.0);
}
