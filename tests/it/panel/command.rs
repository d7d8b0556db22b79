//! The command `match`.

use assert_cmd::Command;
use serde_json::Value;

fn run(leaf_match: &str, table: &str, more: &[&str]) -> (i32, String, String) {
    let output = Command::cargo_bin("heartside")
        .unwrap()
        .args(["match", "-", "--match", leaf_match])
        .args(more)
        .write_stdin(table)
        .output()
        .unwrap();
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

fn object(leaf_match: &str, table: &str, more: &[&str]) -> Value {
    let more: Vec<&str> = more.iter().copied().chain(["--json"]).collect();
    let (code, out, err) = run(leaf_match, table, &more);
    assert_eq!(code, 0, "{err}");
    serde_json::from_str(&out).unwrap()
}

const PAIR: &str =
    "leaf,width_mm,thickness_mm,length_mm,bow_mm\nA1,150,10,900,3\nA2,150,10,900,3\n";

#[test]
fn two_equal_bows_add_bookmatched_and_cancel_slip_matched() {
    let book = object("bookmatch", PAIR, &[]);
    let first = &book["layouts"][0];
    assert_eq!(first["bow_mm"], 3.0);
    assert_eq!(first["adds_bows"], true);
    assert_eq!(first["force_factor"], 2.0);
    assert_eq!(first["order"], serde_json::json!(["A1", "A2"]));
    assert_eq!(first["face_up"], serde_json::json!(["sawn", "sawn"]));
    assert_eq!(first["end_forward"], serde_json::json!(["near", "near"]));
    assert_eq!(book["first_is_proven"], true);
    let slip = object("slip-match", PAIR, &[]);
    let first = &slip["layouts"][0];
    assert_eq!(first["bow_mm"], 0.0);
    assert_eq!(first["adds_bows"], false);
    assert_eq!(first["force_factor"], 0.0);
    assert_eq!(first["seam_misfit_mm"], 6.0);
}

/// Turning the sign of one bow swaps what the two figures do.
#[test]
fn the_sign_of_one_bow_swaps_book_and_slip() {
    let turned = PAIR.replace("A2,150,10,900,3", "A2,150,10,900,-3");
    let book = object("bookmatch", &turned, &[]);
    assert_eq!(book["layouts"][0]["force_factor"], 0.0);
    let slip = object("slip-match", &turned, &[]);
    assert_eq!(slip["layouts"][0]["force_factor"], 2.0);
    assert_eq!(slip["layouts"][0]["adds_bows"], true);
    let words = slip["bookmatch_flag"]["words"].as_str().unwrap();
    assert!(
        words.starts_with("Slip-matching these adds their bows"),
        "{words}"
    );
}

#[test]
fn best_says_how_many_and_the_rings_come_in() {
    let table = "leaf,width,thickness,length,bow,crook,twist,pith_depth,pith_offset,species,pair,show_face\n\
                 A1,6\",3/8\",72\",1/8\",1/32\",1/16 in,3in,0in,\"walnut, black\",a,\n\
                 B1,5 1/2\",3/8\",72\",-1/8\",,,3in,1in,\"walnut, black\",b,\n\
                 A2,6\",3/8\",72\",3/16\",,1/16 in,3 1/2in,0in,\"walnut, black\",a,\n\
                 B2,6\",3/8\",72\",1/8\",,-1/8in,3 1/2in,1in,\"walnut, black\",b,sawn\n";
    for leaf_match in ["bookmatch", "slip-match", "four-way", "random"] {
        let all = object(leaf_match, table, &["--best", "2"]);
        let layouts = all["layouts"].as_array().unwrap();
        assert!(!layouts.is_empty() && layouts.len() <= 2);
        for layout in layouts {
            for key in [
                "order",
                "face_up",
                "end_forward",
                "bow_mm",
                "cup_mm",
                "twist_mm",
                "seam_misfit_mm",
                "adds_bows",
                "force_factor",
                "gives_up",
            ] {
                assert!(!layout[key].is_null(), "{leaf_match}: {key}");
            }
            assert_eq!(layout["order"].as_array().unwrap().len(), 4);
            assert!(layout["ring_cup_mm"].as_f64().unwrap().abs() > 0.01);
        }
        // Wetter instead of drier turns the ring cup round.
        let wetter = object(leaf_match, table, &["--from", "6%", "--to", "10%"]);
        assert_eq!(wetter["to_percent"], 10.0);
    }
    let (code, words, _) = run("bookmatch", table, &[]);
    assert_eq!(code, 0);
    assert!(words.contains("Why the first:"), "{words}");
}

#[test]
fn wrong_leaves_exit_2_with_the_place_and_the_remedy() {
    let wrong = |leaf_match: &str, table: &str, more: &[&str], said: &str| {
        let (code, out, err) = run(leaf_match, table, more);
        assert_eq!((code, out.as_str()), (2, ""), "{err}");
        assert!(err.contains(said), "{err}");
        assert!(!err.contains("panicked"));
    };
    let odd = format!("{PAIR}A3,150,10,900,1\n");
    wrong("bookmatch", &odd, &[], "`A3` has no partner");
    wrong(
        "bookmatch",
        &PAIR.replace("A2,150,10,900,3", "A2,150,10,900,"),
        &[],
        "column `bow`: the bow is missing",
    );
    wrong(
        "slip-match",
        &PAIR.replace("A2,150,10", "A2,150,12"),
        &[],
        "plane both to one thickness",
    );
    wrong(
        "random",
        &PAIR.replace("A2,150,10,900", "A2,150,10,800"),
        &[],
        "`A2` is 800 mm long",
    );
    wrong("mirror", PAIR, &[], "--match");
    wrong("bookmatch", "", &[], "the table is empty");
    wrong("bookmatch", PAIR, &["--species", "wallnut"], "--species");
    wrong("bookmatch", PAIR, &["--to", "dry"], "--to");
}

#[test]
fn a_file_that_is_not_there_exits_3() {
    let output = Command::cargo_bin("heartside")
        .unwrap()
        .args(["match", "no-such-leaves.csv", "--match", "random"])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3));
}

/// The figure of the best layouts beside one another: its table of numbers is the answer's, and a file that is there stays.
#[test]
fn the_best_layouts_are_drawn_beside_one_another() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("layouts.svg");
    let svg = ["--svg", file.to_str().unwrap()];
    let table = "leaf,width_mm,thickness_mm,length_mm,bow_mm\nA,150,10,900,3\nB,121,10,900,-1\nC,133,10,900,2\n";
    let answer = object("random", table, &svg);
    let drawn = std::fs::read_to_string(&file).unwrap();
    let document = roxmltree::Document::parse(&drawn).unwrap();
    let text: String = document
        .descendants()
        .filter(|node| node.has_tag_name("desc"))
        .filter_map(|node| node.text())
        .collect();
    for (rank, layout) in answer["layouts"].as_array().unwrap().iter().enumerate() {
        let score = layout["score"].as_f64().unwrap();
        assert!(text.contains(&format!("{}: ", rank + 1)), "{text}");
        assert!(text.contains(&format!("score {score:.2}")), "{text}");
    }
    let bow = answer["layouts"][0]["bow_mm"].as_f64().unwrap().abs();
    assert!(text.contains(&format!("bow {bow:.2} mm,")), "{text}");
    let (code, _, err) = run("random", table, &svg);
    assert_eq!(code, 2);
    assert!(err.contains("is there already"), "{err}");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), drawn);
}

/// Leaves whose rings nobody gave cup in a way that is not known; those with rings and a wood do not hide it.
#[test]
fn the_cup_of_leaves_without_rings_is_not_known() {
    let bare = object("bookmatch", PAIR, &["--species", "oak, white"]);
    let first = &bare["layouts"][0];
    assert_eq!(first["cup_known"], false);
    assert!(first["cup_mm"].is_null() && first["ring_cup_mm"].is_null());
    let (_, words, _) = run("bookmatch", PAIR, &["--species", "oak, white"]);
    assert!(words.contains("cup not known: give the rings"), "{words}");
    let ringed = "leaf,width_mm,thickness_mm,length_mm,bow_mm,pith_depth_mm\nA1,150,10,900,3,60\nA2,150,10,900,3,60\n";
    let known = object("bookmatch", ringed, &["--species", "oak, white"]);
    assert_eq!(known["layouts"][0]["cup_known"], true);
    assert!(known["layouts"][0]["ring_cup_mm"].as_f64().unwrap().abs() > 0.01);
}
