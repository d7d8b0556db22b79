//! A job with places: its case as one frame, and the order in which it goes together.

use super::{forecast_of, job_of, json_of};
use heartside::job;

/// A case of two sides, bottom, top and a divider, all in stopped housings; the bottom bows crown up.
const CASE: &str = r#"format = 2
[job]
name = "Low case"
units = "mm"
seed = 3
draws = 64

[places.shop]
air = { temperature = "15C", humidity = "60%" }
[places.home]
seasons = { winter = "30%", summer = "55%", temperature = "20C" }

[schedule]
measured = 2026-09-14
delivered = 2026-10-26

[defaults]
species = "oak, northern red"
thickness = "19 mm"
moisture = "9%"

[[parts]]
name = "side"
width = "400 mm"
length = "700 mm"
grain = "up"
lies = "sideways"
front = "0 mm"
bottom = "0 mm"
rings = { sawn = "flat" }
copies = [
  { name = "left side", left = "0 mm" },
  { name = "right side", right = "1500 mm" },
]

[[parts]]
name = "bottom"
width = "400 mm"
left = "6 mm into left side"
right = "6 mm into right side"
bottom = "60 mm"
front = "flush with left side"
rings = { sawn = "flat" }

[[parts]]
name = "top"
width = "400 mm"
left = "6 mm into left side"
right = "6 mm into right side"
bottom = "660 mm"
front = "flush with left side"
rings = { sawn = "flat" }

[[parts]]
name = "divider"
width = "400 mm"
grain = "up"
lies = "sideways"
left = "740 mm"
bottom = "6 mm into bottom"
top = "6 mm into top"
front = "flush with left side"
rings = { sawn = "flat" }

[[joints.dado]]
piece = "bottom"
into = ["left side", "right side"]

[[joints.dado]]
piece = "top"
into = ["left side", "right side"]

[[joints.dado]]
piece = "divider"
into = ["bottom", "top"]

[[bows]]
part = "bottom"
bow = "4 mm"
crown = "up"

[glue]
open_time = "15 min"
joints = [{ piece = "divider", into = "bottom" }]
"#;

#[test]
fn the_frame_is_built_from_the_places() {
    let json = json_of(CASE);
    let frame = &json["frame"];
    let board = |name: &str| {
        frame["boards"]
            .as_array()
            .unwrap()
            .iter()
            .find(|board| board["part"] == name)
            .unwrap_or_else(|| panic!("no {name}"))
            .clone()
    };
    let bottom = board("bottom");
    assert_eq!(bottom["crown"], "up");
    let size = |key: &str| bottom[key].as_f64().unwrap();
    // Ends that do not turn flatten the bow; the boards' own weight then takes the middle below straight.
    assert!(size("residual_mm").abs() < 1.0, "{bottom}");
    assert!(size("residual_low_mm") <= size("residual_mm"));
    assert!(size("residual_mm") <= size("residual_high_mm"));
    assert!(size("residual_high_mm") < size("residual_hinged_mm"));
    assert!(size("residual_hinged_mm") < 4.0);
    assert!(["holds", "marginal", "fails"].contains(&bottom["verdict"].as_str().unwrap()));
    assert_eq!(board("top")["crown"], "none");
    assert_eq!(board("left side")["turn_over"], false);
    // Two ends of bottom, top and divider each.
    let joints = frame["joints"].as_array().unwrap();
    assert_eq!(joints.len(), 6);
    for joint in joints {
        for key in ["force_n", "moment_nm", "break_chance_percent"] {
            assert!(joint[key].is_number(), "{key} of {joint}");
        }
        assert!(joint["a"].is_string() && joint["b"].is_string());
    }
    assert!(frame["best_turns"].is_array() && frame["best_residual_mm"].is_number());
    let set = &frame["glue_up"];
    let left = |key: &str| set[key].as_f64().unwrap();
    assert!(left("set_while_bowed_residual_mm") > left("cauls_residual_mm"));
    assert!(left("cut_to_bowed_opening_residual_mm") > left("cauls_residual_mm"));
}

/// Dry joints hold less than glued ones, a stiffer bond holds more, and heights that are the bow give what the bow gives.
#[test]
fn what_is_given_of_a_board_is_heard() {
    let kept = |change: &str| {
        let text = CASE.replace("bow = \"4 mm\"\n", change);
        let frame = forecast_of(&text).frame.unwrap();
        let at = frame
            .boards
            .iter()
            .position(|board| board.part == "bottom")
            .unwrap();
        frame.boards[at].residual_mm
    };
    let usual = kept("bow = \"4 mm\"\n");
    assert!(kept("bow = \"4 mm\"\nheld = \"dry\"\n") > usual);
    assert!(kept("bow = \"4 mm\"\nq = 0.9\n") < usual);
    assert!(kept("bow = \"4 mm\"\nq = 0.1\n") > usual);
    let heights = kept("heights = { at = \"0mm, 737mm, 1474mm\", rise = \"0mm, 4mm, 0mm\" }\n");
    assert!(
        (heights - usual).abs() < 0.02 * usual.abs(),
        "{heights} {usual}"
    );
}

#[test]
fn a_wrong_bow_is_an_error_at_its_place() {
    let wrong = |change: &str, words: &str| {
        let text = CASE.replace("bow = \"4 mm\"\n", change);
        let errors = job::read(&text, "job.toml").unwrap_err().to_string();
        assert!(errors.contains(words), "{errors}");
    };
    wrong("", "neither as one rise nor as heights");
    wrong("bow = \"4 mm\"\nq = 7\n", "quality 7 does not exist");
    wrong("bow = \"4 mm\"\nheld = \"nailed\"\n", "glued");
    wrong(
        "heights = { at = \"0mm, 9mm\", rise = \"0mm, 4mm\" }\n",
        "do not make a shape",
    );
    let unknown = CASE.replace("part = \"bottom\"\nbow", "part = \"bttom\"\nbow");
    let errors = job::read(&unknown, "job.toml").unwrap_err().to_string();
    assert!(errors.contains("bottom"), "{errors}");
}

#[test]
fn the_order_of_assembly_follows_from_the_places() {
    let json = json_of(CASE);
    let assembly = &json["assembly"];
    assert_eq!(assembly["fewest_proven"], true, "{assembly}");
    let stages = assembly["stages"].as_array().unwrap();
    assert_eq!(stages.len(), 1);
    let moves = stages[0]["moves"].as_array().unwrap();
    assert_eq!(moves.len(), 4);
    for made in moves {
        assert!(made["body"].is_array() && made["into"].is_array());
        assert!(made["direction"].is_string());
    }
    let minutes = |key: &str| stages[0][key].as_f64().unwrap();
    assert!(minutes("glue_minutes") <= minutes("open_minutes"));
    // The divider is between bottom and top before a side goes on.
    assert_eq!(
        moves[3]["direction"]
            .as_str()
            .map(|way| way == "left" || way == "right"),
        Some(true)
    );
    let words = heartside::report::full_text(&forecast_of(CASE));
    assert!(
        words.contains("THE CASE AS ONE FRAME") && words.contains("GLUE-UP"),
        "{words}"
    );
}

#[test]
fn without_places_there_is_neither() {
    let forecast = forecast_of(&super::small(&[]));
    assert!(forecast.frame.is_none() && forecast.assembly.is_none());
    assert!(job_of(CASE).bows.len() == 1);
}
