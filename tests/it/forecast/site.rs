//! The piece on its site, by its places: what sits on the floor, what is around it, and the holes that its joints cut.

use super::{forecast_of, json_of};
use heartside::carcass::{Hole, SiteKind};
use heartside::job;
use heartside::report::site_of_forecast;
use heartside::units::UnitSystem;

/// A case on a plinth: two sides, bottom and top, the top standing over; the plinth's rail is screwed under the bottom.
const CASE: &str = r#"format = 2
[job]
name = "Cupboard"
units = "mm"
seed = 3
draws = 64
[places.shop]
air = { temperature = "18C", humidity = "50%" }
[places.home]
seasons = { winter = "35%", summer = "65%", temperature = "20C" }
[schedule]
measured = 2026-09-14
delivered = 2026-10-26
[defaults]
species = "oak, northern red"
thickness = "20 mm"
moisture = "8%"
rings = { sawn = "flat" }
[plinth]
height = "80 mm"
set_back = "40 mm"
set_back_ends = "30 mm"
[[parts]]
name = "side"
width = "400 mm"
length = "700 mm"
grain = "up"
lies = "sideways"
front = "0 mm"
bottom = "80 mm"
copies = [{ name = "left side", left = "0 mm" }, { name = "right side", right = "1000 mm" }]
[[parts]]
name = "bottom"
width = "400 mm"
left = "8 mm into left side"
right = "8 mm into right side"
front = "0 mm"
bottom = "80 mm"
[[parts]]
name = "top"
width = "400 mm"
left = "8 mm into left side"
right = "8 mm into right side"
front = "0 mm"
bottom = "740 mm"
[[parts]]
name = "plinth rail"
grain = "back"
lies = "sideways"
width = "80 mm"
length = "340 mm"
front = "40 mm"
top = "against bottom"
copies = [{ name = "left rail", left = "60 mm" }, { name = "right rail", right = "940 mm" }]
[[joints.dado]]
piece = ["bottom", "top"]
into = "side"
[[joints.plinth]]
piece = "plinth rail"
into = "bottom"
screws = "60 mm, 360 mm"
[install]
floor = { drop_right = "6 mm", drop_back = "3 mm" }
"#;

fn case(install: &str) -> String {
    CASE.replace("[install]\n", &format!("[install]\n{install}"))
}

#[test]
fn the_plinth_is_leveled_and_the_case_screwed_to_it() {
    let found = forecast_of(&case(""));
    let install = found.standing.install.as_ref().unwrap();
    assert_eq!(install.site, SiteKind::OneWall);
    assert!((install.plinth.unwrap().mm() - 80.0).abs() < 1e-9);
    assert!(install.steps[0].starts_with("Level the plinth first"));
    assert!(
        install
            .steps
            .iter()
            .any(|step| step.contains("to the floor"))
    );
    assert!(
        install
            .steps
            .iter()
            .any(|step| step.contains("screw it down through its bottom"))
    );
    // The floor drops over the plinth's own length and depth: its corners are those of a plane of 6 and 3 mm.
    let shims = install
        .levelled
        .unwrap()
        .corners
        .map(|corner| corner.shim.mm());
    for (found, wanted) in shims.into_iter().zip([0.0, 6.0, 3.0, 9.0]) {
        assert!((found - wanted).abs() < 1e-9, "{shims:?}");
    }
    // Through the bottom: a round hole at the front, a slot behind, and its length is that of the joint.
    let [fastened] = install.fastened.as_slice() else {
        panic!("{:?}", install.fastened)
    };
    assert_eq!(found.parts[fastened.part.0].name, "bottom");
    assert_eq!(fastened.marks[0].hole, Hole::Round);
    let Hole::Slot { length, travel, .. } = fastened.marks[1].hole else {
        panic!("a slot");
    };
    let line = found
        .setup
        .iter()
        .find(|line| line.part == "plinth rail" && line.cut.starts_with("slot"))
        .unwrap();
    assert!(
        (length.mm() - line.width.mm()).abs() < 1e-9,
        "{length:?} {line:?}"
    );
    assert!((1.0..12.0).contains(&travel.mm()), "{travel:?}");
}

/// The sideboard's top is slotted over its cleats: on the bench, on site and in the figure its slots have one length.
#[test]
fn one_slot_has_one_length_everywhere() {
    let found = forecast_of(job::demo());
    let install = found.standing.install.as_ref().unwrap();
    let slots: Vec<f64> = install
        .fastened
        .iter()
        .flat_map(|part| &part.marks)
        .filter_map(|mark| match mark.hole {
            Hole::Slot { length, .. } => Some(length.mm()),
            Hole::Round => None,
        })
        .collect();
    assert_eq!(slots.len(), 2, "{slots:?}");
    let on_the_bench: Vec<f64> = found
        .setup
        .iter()
        .filter(|line| line.joint == "cleat under the top" && line.cut.starts_with("slot"))
        .map(|line| line.width.mm())
        .collect();
    assert_eq!(slots.len(), on_the_bench.len(), "{on_the_bench:?}");
    for (site, bench) in slots.iter().zip(&on_the_bench) {
        assert!((site - bench).abs() < 1e-9, "{slots:?} {on_the_bench:?}");
    }
    let json: serde_json::Value = serde_json::from_str(&heartside::report::json(&found)).unwrap();
    let given = &json["install"]["fastenings"][0]["holes"][0]["slot_mm"];
    assert!((given.as_f64().unwrap() - slots[0]).abs() < 1e-9);
}

/// Behind a piece that grows from front to back there is a gap of at least its growth; where nothing is behind it there is none.
#[test]
fn what_is_around_the_piece_is_heard() {
    let of = |site: &str| {
        let found = forecast_of(&case(&format!("site = \"{site}\"\n")));
        found.standing.install.unwrap()
    };
    let one = of("one wall");
    let behind = one.gap_behind.unwrap().mm();
    // 400 mm of flat-sawn red oak from 8 % to what 65 % humidity gives: a few millimeters, and the three that are left anyway.
    assert!((4.0..15.0).contains(&behind), "{behind}");
    assert!(one.gap_beside.is_none());
    let corner = of("two walls");
    assert_eq!(corner.gap_behind, one.gap_behind);
    assert!((corner.gap_beside.unwrap().mm() - 3.0).abs() < 1e-9);
    let free = of("free");
    assert!(free.gap_behind.is_none() && free.gap_beside.is_none());
    assert!(
        free.steps
            .iter()
            .any(|step| step.contains("No wall holds it"))
    );
    assert!(one.steps.iter().any(|step| step.contains("Anchor it")));
    let niche = json_of(&case(
        "site = \"niche\"\nwalls = { widths = \"1020 mm, 1016 mm\", part = \"top\" }\n",
    ));
    assert_eq!(niche["install"]["site"], "niche");
    assert!(niche["install"]["gap_behind_mm"].is_number());
    assert!(niche["install"]["walls"].is_object());
    let wrong = |install: &str, words: &str| {
        let errors = job::read(&case(install), "job.toml")
            .unwrap_err()
            .to_string();
        assert!(errors.contains(words), "{errors}");
    };
    wrong(
        "site = \"free\"\nwalls = { widths = \"1020 mm\", part = \"top\" }\n",
        "the site is \"free\"",
    );
    wrong("site = \"alcove\"\n", "niche");
    wrong("height = \"900 mm\"\n", "apart");
}

/// The screws of a board are given once: by its joint, or under [install].
#[test]
fn screws_are_given_once() {
    let twice = case(
        "fastenings = [{ part = \"bottom\", fixed = \"front\", at = \"60 mm, 360 mm\", screw = \"4 mm\" }]\n",
    );
    let errors = job::read(&twice, "job.toml").unwrap_err().to_string();
    assert!(
        errors.contains("are given already, by the joint"),
        "{errors}"
    );
}

#[test]
fn the_site_is_drawn_with_its_figures() {
    let found = forecast_of(&case(""));
    let figure = site_of_forecast(&found).unwrap();
    let svg = figure.draw("site", UnitSystem::Metric).svg_file();
    roxmltree::Document::parse(&svg).unwrap();
    for words in ["from the front", "from above", "plinth", "shim", "leave"] {
        assert!(svg.contains(words), "{words}");
    }
    // Shims enlarged are said to be so.
    assert!(svg.contains("times as large as the piece"));
}
