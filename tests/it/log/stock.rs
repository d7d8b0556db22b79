//! Readings of boards before the saw, of their leaves, and of a panel's leaves: each is the same as that value in its own section.

use super::{FRONT, SIDE, answered, entry, read, width};
use approx::assert_relative_eq;
use heartside::forecast::{Forecast, forecast};
use heartside::job;
use heartside::species::SpeciesTable;
use heartside::stock::Band;

const BOARD: &str = r#"
[[boards]]
name = "curly 1"
species = "maple, sugar"
pack = "P"
thickness = "51 mm"
width = "184 mm"
length = "1200 mm"
shell = "8.4%"
core = "9.6%"
rings = { pith_depth = "64 mm" }
drying = "kiln dried, unconditioned"
leaves = 2
kerf = "1.6 mm"
"#;

const SISTER: &str = r#"
[[boards]]
name = "curly 2"
species = "maple, sugar"
pack = "P"
thickness = "51 mm"
width = "184 mm"
length = "1200 mm"
moisture = "9%"
drying = "kiln dried, unconditioned"
leaves = 2
kerf = "1.6 mm"
"#;

const PANEL: &str = r#"
[[panels]]
name = "doors"
match = "bookmatch"
species = "maple, sugar"
moisture = "8.8%"
leaves = [
  { leaf = "A1", width = "178 mm", thickness = "12 mm", length = "560 mm", bow = "1.6 mm", pith_depth = "64 mm" },
  { leaf = "A2", width = "178 mm", thickness = "12 mm", length = "560 mm", bow = "1.2 mm", pith_depth = "64 mm" },
]
"#;

fn job_with(sections: &str, log: &str) -> Forecast {
    answered(&format!("{SIDE}{sections}{log}"))
}

fn same_band(a: &Band, b: &Band) {
    assert_relative_eq!(a.low.mm(), b.low.mm(), epsilon = 1e-9);
    assert_relative_eq!(a.middle.mm(), b.middle.mm(), epsilon = 1e-9);
    assert_relative_eq!(a.high.mm(), b.high.mm(), epsilon = 1e-9);
}

/// Every leaf of every board, rested and off the saw, along and across.
fn same_leaves(logged: &Forecast, given: &Forecast) {
    assert_eq!(logged.boards.len(), given.boards.len());
    for (a, b) in logged.boards.iter().zip(&given.boards) {
        for (a, b) in a.forecast.leaves.iter().zip(&b.forecast.leaves) {
            same_band(&a.bow.off_saw, &b.bow.off_saw);
            same_band(&a.bow.rested, &b.bow.rested);
            same_band(&a.cup.off_saw, &b.cup.off_saw);
            same_band(&a.cup.rested, &b.cup.rested);
        }
    }
}

#[test]
fn a_leaf_that_is_logged_is_a_measured_leaf_of_its_board_and_speaks_for_the_pack() {
    // 0.41 mm nine times in ten is one deviation of 0.25 mm.
    let within = format!("{} mm", 0.25 * heartside::chance::NINE_IN_TEN);
    let log = entry(&format!(
        "date = 2026-09-01\nboard = \"curly 1\"\nleaf = 1\nbow = \"1.4 mm\"\nwithin = \"{within}\""
    ));
    let both = format!("{BOARD}{SISTER}");
    let logged = job_with(&both, &log);
    let given =
        BOARD.to_owned() + "measured_leaves = [{ leaf = \"1\", bow = \"1.4 mm\" }]\n" + SISTER;
    same_leaves(&logged, &job_with(&given, ""));
    let before = job_with(&both, "");
    let width = |found: &Forecast, board: usize| {
        let band = &found.boards[board].forecast.leaves[1].bow.rested;
        (band.high - band.low).mm()
    };
    assert!(width(&logged, 0) < 0.8 * width(&before, 0));
    assert!(width(&logged, 1) < 0.97 * width(&before, 1));
    let changed = &logged.log.as_ref().unwrap().changed;
    let leaf = changed
        .leaves
        .iter()
        .find(|leaf| leaf.leaf == "leaf 2 of curly 1")
        .unwrap_or_else(|| panic!("{changed:?}"));
    let now = &logged.boards[0].forecast.leaves[1].bow.rested;
    let was = &before.boards[0].forecast.leaves[1].bow.rested;
    assert_relative_eq!(leaf.bow.middle.mm(), now.middle.mm(), epsilon = 1e-9);
    assert_relative_eq!(leaf.bow_before.high.mm(), was.high.mm(), epsilon = 1e-9);
    assert!(leaf.words.contains("once rested"), "{}", leaf.words);
    // No input of the draws is behind a leaf: the parts are as they were.
    assert_eq!(
        logged.parts[0].width_driest.low.mm(),
        before.parts[0].width_driest.low.mm()
    );
}

#[test]
fn a_reading_of_a_board_is_the_value_in_its_section() {
    let cases = [
        ("thickness = \"51 mm\"", "thickness", "49.6 mm"),
        ("width = \"184 mm\"", "width", "183 mm"),
        ("leaves = 2", "bow", "1.5 mm"),
        ("leaves = 2", "cup", "0.7 mm"),
        ("shell = \"8.4%\"\ncore = \"9.6%\"", "moisture", "8.1%"),
    ];
    for (line, key, value) in cases {
        let log = entry(&format!(
            "date = 2026-08-20\nboard = \"curly 1\"\n{key} = \"{value}\""
        ));
        let to = match key {
            // The mean of a parabola is two thirds of the core and one third of the shell; the difference of both stays.
            "moisture" => "shell = \"7.3%\"\ncore = \"8.5%\"".to_owned(),
            "bow" | "cup" => format!("{line}\n{key} = \"{value}\""),
            _ => format!("{key} = \"{value}\""),
        };
        let given = BOARD.replace(line, &to);
        assert_ne!(given, BOARD);
        let logged = job_with(BOARD, &log);
        same_leaves(&logged, &job_with(&given, ""));
        let numbers = logged.log.as_ref().unwrap().entries[0].numbers.plain();
        assert!(!logged.log.as_ref().unwrap().entries[0].doubted, "{key}");
        // A sharper reading than what was expected decides.
        let known = numbers.known;
        assert!(
            (known.middle - numbers.read).abs() < 0.3,
            "{key}: {numbers:?}"
        );
        assert!(known.width() < numbers.expected.width());
    }
}

#[test]
fn the_weight_of_a_leaf_or_of_its_board_is_that_of_its_rest() {
    let dry = |found: &Forecast| found.boards[0].forecast.rests[0].oven_dry.grams();
    let given = BOARD.replace("leaves = 2", "leaves = 2\nleaf_weight = \"3600 g\"");
    let leaf = entry("date = 2026-09-01\nboard = \"curly 1\"\nleaf = \"1\"\nweight = \"3600 g\"");
    let logged = job_with(BOARD, &leaf);
    assert_relative_eq!(dry(&logged), dry(&job_with(&given, "")), epsilon = 1e-9);
    // Leaves of 24.7 mm from a board of 51 mm.
    let board = entry("date = 2026-09-01\nboard = \"curly 1\"\nweight = \"7433.2 g\"");
    let logged = job_with(BOARD, &board);
    assert_relative_eq!(
        dry(&logged),
        dry(&job_with(&given, "")),
        max_relative = 1e-4
    );
}

#[test]
fn a_leaf_thinner_than_planned_is_a_wider_kerf_and_one_that_no_saw_leaves_is_doubted() {
    let leaf = |mm: f64| {
        entry(&format!(
            "date = 2026-09-01\nboard = \"curly 1\"\nleaf = 2\nthickness = \"{mm} mm\""
        ))
    };
    let logged = job_with(BOARD, &leaf(24.3));
    let given = BOARD.replace("kerf = \"1.6 mm\"", "kerf = \"2.4 mm\"");
    same_leaves(&logged, &job_with(&given, ""));
    let impossible = job_with(BOARD, &leaf(25.6));
    same_leaves(&impossible, &job_with(BOARD, ""));
    assert!(impossible.log.unwrap().doubted[0].contains("leaf 2 of curly 1"));
}

#[test]
fn a_leaf_of_a_panel_is_matched_as_it_was_read() {
    let cases = [
        ("bow = \"1.6 mm\"", "bow", "2.1 mm"),
        (
            "width = \"178 mm\", thickness = \"12 mm\", length = \"560 mm\", bow = \"1.6 mm\"",
            "width",
            "176 mm",
        ),
        (
            "thickness = \"12 mm\", length = \"560 mm\", bow = \"1.6 mm\"",
            "thickness",
            "12.05 mm",
        ),
    ];
    for (line, key, value) in cases {
        let log = entry(&format!(
            "date = 2026-09-20\nleaf = \"A1\"\n{key} = \"{value}\""
        ));
        let old = line.split(", ").next().unwrap();
        let given = PANEL.replacen(
            line,
            &line.replacen(old, &format!("{key} = \"{value}\""), 1),
            1,
        );
        let (logged, given) = (job_with(PANEL, &log), job_with(&given, ""));
        assert_eq!(logged.panels[0].panel, given.panels[0].panel, "{key}");
        assert_eq!(logged.panels[0].best, given.panels[0].best, "{key}");
    }
    let cup = entry("date = 2026-09-20\nleaf = \"A2\"\ncup = \"0.4 mm\"");
    let before = job_with(PANEL, "");
    assert_ne!(job_with(PANEL, &cup).panels[0].best, before.panels[0].best);
    let moist = entry("date = 2026-09-20\nleaf = \"A2\"\nmoisture = \"7.9%\"");
    let given = PANEL.replace("moisture = \"8.8%\"", "moisture = \"7.9%\"");
    assert_eq!(
        job_with(PANEL, &moist).panels[0].best,
        job_with(&given, "").panels[0].best
    );
    let bowed = entry("date = 2026-09-20\nleaf = \"A1\"\nbow = \"2.1 mm\"");
    let changed = job_with(PANEL, &bowed).log.unwrap().changed;
    assert_eq!(changed.panels.len(), 1, "{changed:?}");
    assert!(changed.panels[0].words.contains("doors"), "{changed:?}");
}

#[test]
fn a_wrong_unit_of_a_board_is_doubted_and_not_used() {
    for (keys, name) in [
        ("board = \"curly 1\"\nthickness = \"51 in\"", "curly 1"),
        ("board = \"curly 1\"\nwidth = \"18.4 mm\"", "curly 1"),
        ("board = \"curly 1\"\nweight = \"7.4 g\"", "curly 1"),
        (
            "board = \"curly 1\"\nleaf = 1\nbow = \"14 in\"",
            "leaf 1 of curly 1",
        ),
        ("leaf = \"A1\"\nthickness = \"12 in\"", "leaf A1"),
    ] {
        let both = format!("{BOARD}{PANEL}");
        let logged = job_with(&both, &entry(&format!("date = 2026-09-20\n{keys}")));
        let log = logged.log.as_ref().unwrap();
        assert_eq!(log.doubted.len(), 1, "{keys}");
        assert!(log.doubted[0].contains(name), "{}", log.doubted[0]);
        assert!(logged.warnings.contains(&log.doubted[0]));
        let plain = job_with(&both, "");
        same_leaves(&logged, &plain);
        assert_eq!(logged.panels[0].panel, plain.panels[0].panel, "{keys}");
    }
}

/// A rough board that parts name: its first width is where it begins, so only what follows says how it shrinks. The same shares
/// of another width say the same.
#[test]
fn two_widths_of_a_rough_board_sharpen_the_shrinkage_of_its_parts() {
    let side = SIDE.replace("moisture = \"11%\"", "board = \"B1\"\nmoisture = \"11%\"");
    let logged = |first: f64, second: f64, within: f64| {
        let board = |date: &str, mm: f64| {
            entry(&format!(
                "date = {date}\nboard = \"B1\"\nwidth = \"{mm:.4} mm\"\nwithin = \"{within} mm\""
            ))
        };
        let moist = |date: &str, percent: f64| {
            entry(&format!(
                "date = {date}\nboard = \"B1\"\nmoisture = \"{percent}%\"\nwithin = \"0.3%\""
            ))
        };
        answered(&format!(
            "{side}{FRONT}{}{}{}{}",
            board("2026-09-14", first),
            moist("2026-09-14", 11.0),
            board("2027-02-10", second),
            moist("2027-02-10", 6.6),
        ))
    };
    let shrinks = |found: &Forecast| {
        let log = found.log.as_ref().unwrap();
        let one = log.learned.iter().find(|one| one.words.contains("shrinks"));
        one.unwrap_or_else(|| panic!("{log:?}")).clone()
    };
    let (much, little) = (logged(250.0, 244.6, 0.2), logged(250.0, 247.8, 0.2));
    assert!(shrinks(&much).moved_deviations > 0.3);
    assert!(shrinks(&little).moved_deviations < -0.3);
    assert!(shrinks(&much).left.percent() < 80.0);
    assert!(
        much.parts[0].width_driest.middle.mm() < little.parts[0].width_driest.middle.mm() - 0.5
    );
    let narrower = logged(125.0, 122.3, 0.1);
    assert!(
        (shrinks(&narrower).moved_deviations - shrinks(&much).moved_deviations).abs() < 0.1,
        "{:?} {:?}",
        shrinks(&narrower),
        shrinks(&much)
    );
    // Thickness and weight are taken too.
    let keys = "date = 2026-10-14\nboard = \"B1\"\n";
    for reading in ["thickness = \"27 mm\"", "weight = \"2.4 kg\""] {
        let found = answered(&format!(
            "{side}{FRONT}{}",
            entry(&format!("{keys}{reading}"))
        ));
        assert!(!found.log.unwrap().entries[0].doubted, "{reading}");
    }
}

#[test]
fn boards_and_leaves_that_are_not_there_are_refused_with_a_remedy() {
    let cases = [
        (
            "board = \"curly 3\"\nwidth = \"184 mm\"",
            "no board is named `curly 3`",
            "did you mean `curly 1`?",
        ),
        (
            "board = \"curly 1\"\nleaf = 3\nbow = \"1 mm\"",
            "gives 2 leaves",
            "from 1 at the bark face to 2",
        ),
        (
            "leaf = \"A3\"\nbow = \"1 mm\"",
            "no leaf of a panel is named `A3`",
            "A1",
        ),
        (
            "leaf = \"A1\"\nweight = \"1 kg\"",
            "says nothing of the panel",
            "leave it out",
        ),
        (
            "board = \"curly 1\"\ngap = \"1 mm\"",
            "a board has no gap",
            "belongs to a joint",
        ),
    ];
    for (keys, message, remedy) in cases {
        let text = format!(
            "{SIDE}{BOARD}{PANEL}{}",
            entry(&format!("date = 2026-09-20\n{keys}"))
        );
        let words = job::read(&text, "log.toml").unwrap_err().to_string();
        assert!(
            words.contains(message) && words.contains(remedy),
            "{keys}\n{words}"
        );
    }
    let bent = format!(
        "{}{}",
        SIDE.replace("moisture = \"11%\"", "board = \"B1\"\nmoisture = \"11%\""),
        entry("date = 2026-09-20\nboard = \"B1\"\nbow = \"2 mm\"")
    );
    let words = job::read(&bent, "log.toml").unwrap_err().to_string();
    assert!(words.contains("add the board under [[boards]]"), "{words}");
    // A board whose own section is wrong is not missed a second time.
    let wrong = format!(
        "{SIDE}{}{}",
        BOARD.replace("\"51 mm\"", "\"51 parsec\""),
        entry("date = 2026-09-20\nboard = \"curly 1\"\nwidth = \"184 mm\"")
    );
    let words = job::read(&wrong, "log.toml").unwrap_err().to_string();
    assert!(!words.contains("no board is named"), "{words}");
}

#[test]
fn readings_of_boards_and_parts_are_one_log() {
    let board = entry("date = 2026-09-20\nboard = \"curly 1\"\nbow = \"1.5 mm\"");
    let text = format!("{SIDE}{BOARD}{}{board}", width("2026-10-20", 209.2));
    let found = answered(&text);
    let log = found.log.as_ref().unwrap();
    let names: Vec<&str> = log
        .entries
        .iter()
        .map(|entry| entry.name.as_str())
        .collect();
    assert_eq!(names, ["curly 1", "drawer side"]);
    assert_eq!(log.changed.date.to_string(), "2026-10-20");
    assert!(log.changed.leaves.is_empty());
    let job = read(&text);
    assert!(forecast(&job, SpeciesTable::built_in(), &super::airs(&job)).is_ok());
}
