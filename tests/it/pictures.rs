//! The pictures of the README are what the program draws today.

use assert_cmd::Command;
use heartside::units::{Length, notation};
use std::fs;
use std::path::Path;

/// Maximum size of a picture kept in the repository.
const MAX_BYTES: u64 = 40_000;

#[test]
fn the_readme_shows_what_the_demo_draws() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let readme = fs::read_to_string(root.join("README.md")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    Command::cargo_bin("heartside")
        .unwrap()
        .current_dir(folder.path())
        .args(["demo", "--out", "out"])
        .assert()
        .success();
    let kept: Vec<_> = fs::read_dir(root.join("tests/pictures"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        // `measured.rs` holds its own picture.
        .filter(|path| !path.ends_with("measured-spruce.svg"))
        .collect();
    assert_eq!(kept.len(), 3);
    for picture in kept {
        let name = picture.file_name().unwrap().to_str().unwrap();
        assert!(
            readme.contains(&format!("tests/pictures/{name}")),
            "the README does not show {name}"
        );
        assert!(
            fs::metadata(&picture).unwrap().len() < MAX_BYTES,
            "{name} is too large"
        );
        let drawn = fs::read_to_string(folder.path().join("out").join(name)).unwrap();
        assert!(
            drawn == fs::read_to_string(&picture).unwrap(),
            "{name} is drawn differently now; if that is meant, copy it from the demo's report to tests/pictures"
        );
    }
}

/// What the README tells of the demo is what the demo tells.
#[test]
fn the_readme_tells_what_the_demo_tells() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let readme = fs::read_to_string(root.join("README.md")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let output = Command::cargo_bin("heartside")
        .unwrap()
        .current_dir(folder.path())
        .args(["demo", "--json"])
        .output()
        .unwrap();
    let found: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let fit = |joint: &str| {
        let fits = found["fits"].as_array().unwrap().iter();
        let mut named = fits.filter(|fit| fit["joint"] == joint);
        named.next().unwrap().clone()
    };
    let number = |value: &serde_json::Value| value.as_f64().unwrap();
    let inches = |mm: &serde_json::Value| notation::inches(Length::from_mm(number(mm)).unwrap());
    let panel = fit("door panel in its frame");
    let given = format!(
        "*Cut the groove {} deep; {} is still held around 26 Mar.*",
        inches(&panel["cut_mm"]),
        inches(&panel["held_min_mm"])
    );
    assert!(readme.contains(&given), "the README lacks: {given}");
    assert!(panel["gap_max_on"].as_str().unwrap().ends_with("-03-26"));
    // The drawer binds in about six of ten and tips in about half.
    let drawer = fit("drawer in its opening");
    assert_eq!(drawer["verdict"], "fails");
    assert!((50.0..72.0).contains(&number(&drawer["too_tight_chance_percent"])));
    assert!((40.0..62.0).contains(&number(&drawer["too_loose_chance_percent"])));
    let remedies = drawer["remedies"].to_string();
    assert!(remedies.contains("quartersawn") && !remedies.contains("more stable wood"));
    let bonds = found["bonds"].as_array().unwrap();
    let cleat = bonds
        .iter()
        .find(|bond| bond["joint"] == "cleat under the top")
        .unwrap();
    assert_eq!(cleat["design"], "floating");
    let shelf = bonds
        .iter()
        .find(|bond| bond["joint"] == "shelf in case side")
        .unwrap();
    assert_eq!(
        (&shelf["advice"], &shelf["same_grain"]),
        (&"glue".into(), &true.into())
    );
    // Hollow on the fresh face, and a kerf that closes.
    assert!(
        found["cautions"][0]
            .as_str()
            .unwrap()
            .contains("close on the blade")
    );
    assert_eq!(found["panels"][0]["layouts"][0]["adds_bows"], true);
    let glueup = &found["glueup"];
    assert_eq!(glueup["stages"].as_array().unwrap().len(), 2);
    assert_eq!(glueup["proven"], true);
    let keep = &found["client"]["keep_humidity_percent"];
    let given = format!(
        "Keep the room between {:.0} and {:.0} % humidity",
        number(&keep[0]),
        number(&keep[1])
    );
    assert!(readme.contains(&given), "the README lacks: {given}");
}
