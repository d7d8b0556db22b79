//! A part glued up from several boards, or from the leaves of a panel: its movement is theirs.

use crate::forecast::{airs_of, job_of};
use heartside::forecast::{Forecast, forecast};
use heartside::job;
use heartside::species::SpeciesTable;
use heartside::units::Length;

fn found(text: &str) -> Forecast {
    let job = job_of(text);
    forecast(&job, SpeciesTable::built_in(), &airs_of(&job)).unwrap_or_else(|e| panic!("{e}"))
}

fn top(rings: &str, more: &str) -> String {
    format!(
        r#"format = 2
[job]
name = "Top"
units = "mm"
draws = 64
[places.shop]
air = {{ temperature = "18C", humidity = "60%" }}
[places.home]
seasons = {{ winter = "30%", summer = "55%", temperature = "20C" }}
[schedule]
measured = 2026-09-14
delivered = 2026-10-26
[[parts]]
name = "top"
species = "oak, white"
thickness = "22 mm"
width = "400 mm"
length = "900 mm"
moisture = "10%"
{rings}
{more}"#
    )
}

fn sizes(rings: &str) -> (f64, Option<f64>) {
    let found = found(&top(rings, ""));
    (
        found.parts[0].width_driest.middle.mm(),
        found.parts[0].cup_driest_mm.map(Length::mm),
    )
}

/// Boards of the same rings move as one board of them; quartersawn and flat-sawn halves as the mean of the two.
#[test]
fn widths_of_glued_boards_add_up() {
    let board = |width: f64, sawn: &str| {
        format!("{{ width = \"{width} mm\", rings = {{ sawn = \"{sawn}\" }} }}")
    };
    let made = |boards: &[String]| format!("made_of = [{}]", boards.join(", "));
    let (flat, _) = sizes("rings = { sawn = \"flat\" }");
    let (quarter, _) = sizes("rings = { sawn = \"quarter\" }");
    assert!(quarter - flat > 2.0, "{quarter} {flat}");
    let four: Vec<String> = (0..4).map(|_| board(100.0, "flat")).collect();
    assert!((sizes(&made(&four)).0 - flat).abs() < 1e-3);
    let (half, cup) = sizes(&made(&[board(200.0, "flat"), board(200.0, "quarter")]));
    // The middle of a sum of draws is near the sum of the middles, not at it.
    assert!(
        (half - f64::midpoint(flat, quarter)).abs() < 0.03,
        "{half}, flat {flat}, quarter {quarter}"
    );
    // The way of sawing gives no cup, of a glued-up board no more than of one.
    assert_eq!(cup, None);
    // A narrow quartersawn edge changes it in proportion.
    let (edge, _) = sizes(&made(&[board(300.0, "flat"), board(100.0, "quarter")]));
    assert!(
        (edge - (0.75 * flat + 0.25 * quarter)).abs() < 0.02,
        "{edge}"
    );
}

/// Bark sides all up the cups of the boards add to one arc over the whole width; turned about in turn they cancel.
#[test]
fn cups_of_glued_boards_add_or_cancel() {
    let board = |bark: &str| {
        format!("{{ width = \"100 mm\", rings = {{ pith_depth = \"60 mm\" }}, bark = \"{bark}\" }}")
    };
    let made = |barks: [&str; 4]| {
        let list: Vec<String> = barks.into_iter().map(board).collect();
        format!("made_of = [{}]", list.join(", "))
    };
    let all_up = sizes(&made(["up"; 4])).1.unwrap();
    let in_turn = sizes(&made(["up", "down", "up", "down"])).1.unwrap();
    let over = sizes(&made(["down"; 4])).1.unwrap();
    assert!(all_up > 1.0, "{all_up}");
    // One arc: a quarter as wide rises a sixteenth as much.
    let alone = found(
        &top("rings = { pith_depth = \"60 mm\" }", "")
            .replace("width = \"400 mm\"", "width = \"100 mm\""),
    );
    let alone = alone.parts[0].cup_driest_mm.unwrap().mm();
    assert!((all_up / alone - 16.0).abs() < 0.8, "{all_up} {alone}");
    assert!(in_turn.abs() < 0.15 * all_up, "{in_turn} {all_up}");
    assert!(
        over < 0.0 && (over + all_up).abs() < 0.1 * all_up,
        "{over} {all_up}"
    );
}

/// The layout that is found of a panel is the part that is forecast.
#[test]
fn a_part_may_be_the_best_layout_of_a_panel() {
    let leaf = |name: &str, depth: u32| {
        format!(
            "{{ leaf = \"{name}\", width = \"100 mm\", thickness = \"22 mm\", length = \"900 mm\", bow = \"1 mm\", pith_depth = \"{depth} mm\" }}"
        )
    };
    let panel = format!(
        "[[panels]]\nname = \"top panel\"\npart = \"top\"\nmatch = \"slip\"\nspecies = \"oak, white\"\nmoisture = \"10%\"\nleaves = [{}, {}, {}, {}]\n",
        leaf("A1", 60),
        leaf("A2", 60),
        leaf("B1", 200),
        leaf("B2", 200)
    );
    let glued = found(&top("made_of = [{ panel = \"top panel\" }]", &panel));
    let board = |depth: u32| {
        let found = found(&top(
            &format!("rings = {{ pith_depth = \"{depth} mm\" }}"),
            "",
        ));
        found.parts[0].width_driest.middle.mm()
    };
    // Narrow leaves of flat rings move more than one wide board of the same pith, whose edges are rift.
    let wide = board(60);
    assert!(
        glued.parts[0].width_driest.middle.mm() < wide - 0.3,
        "{} {wide}",
        glued.parts[0].width_driest.middle.mm()
    );
    assert!(glued.parts[0].cup_driest_mm.is_some());
    let errors = job::read(
        &top("made_of = [{ panel = \"another\" }]", &panel),
        "job.toml",
    )
    .unwrap_err()
    .to_string();
    assert!(errors.contains("no panel is named `another`"), "{errors}");
}

#[test]
fn what_a_part_is_made_of_is_checked() {
    let refused = |rings: &str, words: &str| {
        let errors = job::read(&top(rings, ""), "job.toml")
            .unwrap_err()
            .to_string();
        assert!(errors.contains(words), "{errors}");
    };
    refused(
        "made_of = [{ width = \"200 mm\", rings = { sawn = \"flat\" } }, { width = \"186 mm\", rings = { sawn = \"flat\" } }]",
        "386 mm wide together",
    );
    refused(
        "made_of = [{ width = \"400 mm\" }]",
        "needs its width and its rings",
    );
    refused(
        "made_of = [{ width = \"400 mm\", rings = { sawn = \"flat\" }, bark = \"left\" }]",
        "up",
    );
    refused(
        "rings = { sawn = \"flat\" }\nmade_of = [{ width = \"400 mm\", rings = { sawn = \"flat\" } }]",
        "rings of its own and of the boards",
    );
}

/// A sheet has no rings and no boards: it is refused at its place.
#[test]
fn a_sheet_is_not_glued_up_from_boards() {
    let boards = "made_of = [{ width = \"400 mm\", rings = { sawn = \"flat\" } }]";
    let text = top(boards, "").replace("oak, white", "MDF");
    let error = job::read(&text, "top.toml").unwrap_err().to_string();
    assert!(
        error.contains("is a sheet, MDF") && error.contains("leave `made_of` out"),
        "{error}"
    );
}
