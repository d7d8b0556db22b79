//! The pictures of the README are what the program draws today.

use assert_cmd::Command;
use std::fs;
use std::path::Path;

/// Greatest size of a picture kept in the repository.
const GREATEST_BYTES: u64 = 40_000;

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
        .collect();
    assert_eq!(kept.len(), 2);
    for picture in kept {
        let name = picture.file_name().unwrap().to_str().unwrap();
        assert!(
            readme.contains(&format!("tests/pictures/{name}")),
            "the README does not show {name}"
        );
        assert!(
            fs::metadata(&picture).unwrap().len() < GREATEST_BYTES,
            "{name} is too large"
        );
        let drawn = fs::read_to_string(folder.path().join("out").join(name)).unwrap();
        assert!(
            drawn == fs::read_to_string(&picture).unwrap(),
            "{name} is drawn differently now; if that is meant, copy it from the demo's report to tests/pictures"
        );
    }
}
