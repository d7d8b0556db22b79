//! The command, as a maker runs it.

use super::known::folder;
use crate::run::{heartside, read as json};
use std::process::Output;

fn rings(args: &[&str]) -> Output {
    heartside(&folder(), &[&["rings"], args].concat())
}

const CORNERS: &str = "83.9,83.9,1115.9,136,1094.5,356.6,87.9,291.9";

#[test]
fn the_command_answers_with_bands_and_draws_the_rings() {
    let made = tempfile::tempdir().unwrap();
    let svg = made.path().join("rings.svg");
    let answer = json(&rings(&[
        "t_syn_02.jpg",
        "--width",
        "207.75mm",
        "--thickness",
        "44.19mm",
        "--corners",
        CORNERS,
        "--json",
        "--svg",
        svg.to_str().unwrap(),
    ]));
    assert_eq!(answer["verdict"], "clear");
    assert_eq!(answer["corners_found"], false);
    let reading = &answer["readings"][0];
    let number = |key: &str| reading[key].as_f64().unwrap();
    assert_eq!(reading["bark"], "down");
    // 18.78 mm in the table of truth; the offset seen bark side up is that of the photo turned over.
    assert!(number("pith_depth_low_mm") < 18.78 && 18.78 < number("pith_depth_high_mm"));
    assert!((number("pith_depth_mm") - 18.78).abs() < 2.0);
    assert!((number("pith_offset_mm") - 7.21).abs() < 2.0);
    let svg = std::fs::read_to_string(svg).unwrap();
    let drawing = roxmltree::Document::parse(&svg).unwrap();
    let images: Vec<_> = drawing
        .descendants()
        .filter(|n| n.has_tag_name("image"))
        .collect();
    assert_eq!(images.len(), 1);
    assert!(
        images[0]
            .attribute("href")
            .unwrap()
            .starts_with("data:image/jpeg;base64,")
    );
    assert!(
        drawing
            .descendants()
            .filter(|n| n.attribute("class") == Some("hs-arc"))
            .count()
            > 10
    );
}

#[test]
fn a_width_may_come_as_two_words_before_or_after_the_photo() {
    let one = json(&rings(&[
        "t_syn_05.jpg",
        "--width",
        "7",
        "1/4in",
        "--thickness",
        "8/4",
        "--json",
    ]));
    let other = json(&rings(&[
        "--thickness",
        "8/4",
        "--width",
        "7 1/4in",
        "t_syn_05.jpg",
        "--json",
    ]));
    assert_eq!(one, other);
    assert!((one["width_mm"].as_f64().unwrap() - 184.15).abs() < 1e-9);
    assert!((one["thickness_mm"].as_f64().unwrap() - 50.8).abs() < 1e-9);
}

#[test]
fn words_are_plain_and_say_what_to_check() {
    let output = rings(&[
        "t_syn_05.jpg",
        "--width",
        "184mm",
        "--bark",
        "up",
        "--species",
        "walnut, black",
        "--from",
        "10%",
        "--to",
        "6%",
    ]);
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let words = String::from_utf8(output.stdout).unwrap();
    for word in [
        "below the heart face",
        "In a job: rings = { pith_depth",
        "cup, 10 to 6 %",
        "the corners were found",
        "taken from the photo",
    ] {
        assert!(words.contains(word), "no `{word}` in:\n{words}");
    }
    // The heart is at the upper face of this one.
    assert!(words.contains("you gave the bark side as up"), "{words}");
}

#[test]
fn what_is_wrong_is_said_with_exit_code_2_and_a_missing_file_with_3() {
    for (args, code, word) in [
        (&["t_syn_05.jpg"][..], 2, "--width"),
        (&["--width", "184mm"], 2, "no photo"),
        (&["README.md", "--width", "184mm"], 2, "JPEG or PNG"),
        (&["none.jpg", "--width", "184mm"], 3, "none.jpg"),
        (&["t_syn_05.jpg", "--width", "2mm"], 2, "--width"),
        (&["t_syn_05.jpg", "--width", "184"], 2, "--width"),
        (
            &["t_syn_05.jpg", "--width", "184mm", "--corners", "1,2,3"],
            2,
            "--corners",
        ),
        (
            &["t_syn_05.jpg", "--width", "184mm", "--bark", "left"],
            2,
            "--bark",
        ),
        (
            &["t_syn_05.jpg", "--width", "900mm", "--thickness", "8mm"],
            2,
            "1 to 20 times",
        ),
    ] {
        let output = rings(args);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(code), "{args:?}: {said}");
        assert!(
            said.contains(word) && !said.contains("panicked"),
            "{args:?}: {said}"
        );
    }
}
