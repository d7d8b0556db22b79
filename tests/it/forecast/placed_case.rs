//! A job with places: its case as one frame, and the order in which it goes together.

use super::{forecast_of, job_of, json_of};
use heartside::chance::Verdict;
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
        frame.boards[at].residual.middle.mm()
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

/// Over 1/500 of its span a residual bow is marginal, over 1/200 it fails; what is `allowed` decides alone where it is given.
#[test]
fn a_residual_bow_is_judged_by_its_span_or_by_what_is_allowed() {
    // Free at its joints, the bottom keeps a fixed share of its bow: find the share, then ask just below and above each limit.
    let board = |bow_mm: f64, more: &str| {
        let keys = format!("bow = \"{bow_mm:.3} mm\"\nheld = \"dry\"\n{more}");
        let frame = forecast_of(&CASE.replace("bow = \"4 mm\"\n", &keys))
            .frame
            .unwrap();
        let at = frame.boards.iter().position(|board| board.part == "bottom");
        frame.boards[at.unwrap()].clone()
    };
    // Between the center lines of its sides.
    let span = 1500.0 - 19.0;
    let (one, two) = (
        board(8.0, "").residual.middle.mm(),
        board(16.0, "").residual.middle.mm(),
    );
    let a_millimeter = (two - one) / 8.0;
    let bow_for = |residual_mm: f64| 8.0 + (residual_mm - one) / a_millimeter;
    let mut seen = Vec::new();
    for (share, wanted) in [
        (0.97 / 500.0, Verdict::Holds),
        (1.03 / 500.0, Verdict::Marginal),
        (0.97 / 200.0, Verdict::Marginal),
        (1.03 / 200.0, Verdict::Fails),
    ] {
        let found = board(bow_for(share * span), "");
        assert!(
            (found.residual.middle.mm().abs() / (share * span) - 1.0).abs() < 0.02,
            "{found:?}"
        );
        assert_eq!(found.verdict, wanted, "{found:?}");
        seen.push(found.residual.middle.mm());
    }
    assert_eq!(
        board(bow_for(seen[2]), "allowed = \"20 mm\"\n").verdict,
        Verdict::Holds
    );
    assert_eq!(
        board(bow_for(seen[0]), "allowed = \"0.5 mm\"\n").verdict,
        Verdict::Fails
    );
}

/// One divider more, at its best place, and another place of the one there is: what is said is what the frame of such a piece says.
#[test]
fn one_more_divider_gives_what_a_piece_with_it_gives() {
    // The divider that is there stands near an end.
    let aside = CASE.replace("left = \"740 mm\"", "left = \"150 mm\"");
    let frame = forecast_of(&aside).frame.unwrap();
    let more = frame.one_more_divider.clone().unwrap();
    assert!(more.residual.mm() < 0.9 * frame.residual.mm(), "{more:?}");
    assert!(more.part.is_none());
    assert!(more.between.contains(&"bottom".to_owned()), "{more:?}");
    // Built there, its left face half a thickness before its middle.
    let built = aside.replace(
        "[[joints.dado]]\npiece = \"bottom\"",
        &format!(
            "[[parts]]\nname = \"second divider\"\nwidth = \"400 mm\"\ngrain = \"up\"\nlies = \"sideways\"\nleft = \"{:.3} mm\"\nbottom = \"6 mm into bottom\"\ntop = \"6 mm into top\"\nfront = \"flush with left side\"\nrings = {{ sawn = \"flat\" }}\n[[joints.dado]]\npiece = \"second divider\"\ninto = [\"bottom\", \"top\"]\n[[joints.dado]]\npiece = \"bottom\"",
            more.at.mm() - 9.5
        ),
    );
    let with_it = forecast_of(&built).frame.unwrap();
    assert!(
        (with_it.residual.mm() - more.residual.mm()).abs() < 0.02 * with_it.residual.mm() + 1e-3,
        "{} {}",
        with_it.residual.mm(),
        more.residual.mm()
    );
    // It is better moved toward the middle, and there it gives what is said.
    let moved = frame.moved_divider.clone().unwrap();
    assert_eq!(moved.part.as_deref(), Some("divider"));
    let there = CASE.replace(
        "left = \"740 mm\"",
        &format!("left = \"{:.3} mm\"", moved.at.mm() - 9.5),
    );
    let there = forecast_of(&there).frame.unwrap();
    assert!(
        (there.residual.mm() - moved.residual.mm()).abs() < 0.02 * there.residual.mm() + 1e-3,
        "{} {}",
        there.residual.mm(),
        moved.residual.mm()
    );
    let words = frame.words(heartside::units::UnitSystem::Metric).join(" ");
    assert!(words.contains("Moving divider to"), "{words}");
}

/// A bow has one place in the file: what the frame holds is not asked a second time against rigid supports.
#[test]
fn a_bow_is_given_once() {
    let twice = format!(
        "{CASE}\n[[straighten]]\npart = \"bottom\"\nbow = \"4 mm\"\ncrown = \"up\"\nsupports = \"0 mm, 1474 mm\"\n"
    );
    let errors = job::read(&twice, "job.toml").unwrap_err().to_string();
    assert!(errors.contains("given under [[bows]] too"), "{errors}");
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
