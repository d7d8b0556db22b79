//! Sheets as parts, names of the yard, and finishes as a maker words them, in whole jobs.

use super::{airs_of, job_of, json_of, small};
use heartside::forecast::forecast;
use heartside::job;
use heartside::moisture::Finish;
use heartside::species::SpeciesTable;
use serde_json::Value;

const CHEST: &str = include_str!("../data/chest.toml");

/// A job's text with every part of one wood and no rings, nor boards that a part is made of.
fn all_of(text: &str, wood: &str) -> String {
    let mut in_boards = false;
    text.lines()
        .filter(|line| {
            in_boards |= line.starts_with("made_of = [");
            let kept = !in_boards && !line.starts_with("rings =");
            in_boards &= *line != "]";
            kept
        })
        .map(|line| {
            if line.starts_with("species =") {
                format!("species = \"{wood}\"\n")
            } else {
                format!("{line}\n")
            }
        })
        .collect()
}

fn list<'a>(found: &'a Value, key: &str) -> &'a [Value] {
    found[key].as_array().unwrap()
}

/// Every recipe of the two jobs with sheets on both sides: they forecast, they move little, and every bond may be glued.
#[test]
fn sheets_stand_in_every_joint_and_may_be_glued() {
    for text in [job::demo(), CHEST] {
        // Only parts and their joints; boards to resaw are solid wood.
        let parts = text.split("[[boards]]").next().unwrap();
        for sheet in ["baltic birch plywood", "MDF", "particleboard"] {
            let found = json_of(&all_of(parts, sheet));
            for bond in list(&found, "bonds") {
                assert_eq!(bond["advice"], "glue", "{sheet}: {bond}");
                assert!(
                    bond["split_chance_percent"].as_f64().unwrap() < 1.0,
                    "{sheet}: {bond}"
                );
            }
            for part in list(&found, "parts") {
                let (dry, wet) = (
                    part["width_driest_mm"].as_f64().unwrap(),
                    part["width_wettest_mm"].as_f64().unwrap(),
                );
                // MDF, the liveliest: 0.05 % for 1 %, over at most 8 % of its own moisture.
                assert!((wet - dry) / dry < 0.005, "{sheet}: {part}");
                let notes = part["notes"].to_string();
                assert!(
                    notes.contains("is a sheet") && notes.contains("glued across"),
                    "{notes}"
                );
            }
        }
    }
}

/// A sheet's own equilibrium: plywood in a room where solid wood comes to a moisture comes to 0.82 of it (Wood Handbook ch. 12, from memory),
/// and its thickness swells while its width hardly moves.
#[test]
fn a_sheet_has_an_equilibrium_of_its_own() {
    let moisture = |wood: &str, key: &str| {
        let found = json_of(&all_of(&small(&[]), wood));
        list(&found, "parts")[0][key].as_f64().unwrap()
    };
    // At the driest, which is at home: the wettest can be the day it left the shop, as it was measured.
    let ratio = moisture("plywood", "moisture_driest_percent")
        / moisture("plain Oak, white", "moisture_driest_percent");
    assert!((ratio - 0.82).abs() < 0.05, "{ratio}");
}

/// One part of plywood among solid wood: a panel in its frame that needs no room worth the name.
#[test]
fn a_plywood_panel_moves_a_tenth_of_a_solid_one() {
    let travel = |text: &str| {
        let found = json_of(text);
        let panel = list(&found, "parts")
            .iter()
            .find(|part| part["name"] == "panel")
            .unwrap()
            .clone();
        panel["width_wettest_mm"].as_f64().unwrap() - panel["width_driest_mm"].as_f64().unwrap()
    };
    let solid = travel(&small(&[]));
    let job = small(&[]);
    let (head, rest) = job.split_once("name = \"panel\"").unwrap();
    let (part, tail) = rest.split_once("[[joints").unwrap();
    let plywood = format!(
        "{head}name = \"panel\"{}[[joints{tail}",
        all_of(part, "plywood")
    );
    let sheet = travel(&plywood);
    assert!(
        sheet > 0.0 && sheet < 0.12 * solid,
        "{sheet} against {solid}"
    );
}

#[test]
fn the_region_of_the_job_decides() {
    let wood = |region: &str| {
        let text = all_of(
            &small(&[("[job]\n", &format!("[job]\n{region}"))]),
            "qs sycamore",
        );
        let job = job_of(&text);
        let found = forecast(&job, SpeciesTable::built_in(), &airs_of(&job)).unwrap();
        (
            found.parts[0].species.clone(),
            found.parts[0].notes.join(" "),
        )
    };
    assert_eq!(wood("region = \"US\"\n").0, "Sycamore, American");
    assert_eq!(wood("region = \"UK\"\n").0, "Maple, European");
    let (without, said) = wood("");
    assert_eq!(without, "Sycamore, American");
    assert!(said.contains("Maple, European"), "{said}");
    let wrong = small(&[("[job]\n", "[job]\nregion = \"Mars\"\n")]);
    let words = job::read(&wrong, "job.toml").unwrap_err().to_string();
    assert!(words.contains("US") && words.contains("EU"), "{words}");
}

/// The sawing named with the wood is taken where no rings are given, and a clash is an error.
#[test]
fn sawing_named_with_the_wood_sets_the_rings() {
    let width = |wood: &str| {
        let found = json_of(&all_of(&small(&[]), wood));
        let part = &list(&found, "parts")[0];
        part["width_wettest_mm"].as_f64().unwrap() - part["width_driest_mm"].as_f64().unwrap()
    };
    let (quarter, flat) = (width("qs white oak"), width("plainsawn white oak"));
    // Radial 5.42 against tangential 10.49 %.
    assert!(
        (quarter / flat - 5.42 / 10.49).abs() < 0.03,
        "{}",
        quarter / flat
    );
    let text = all_of(&small(&[]), "qs white oak").replacen(
        "species = \"qs white oak\"\n",
        "species = \"qs white oak\"\nrings = { sawn = \"flat\" }\n",
        1,
    );
    let words = job::read(&text, "job.toml").unwrap_err().to_string();
    assert!(words.contains("keep one of the two"), "{words}");
}

/// `faces` speaks as joints do, and coats may be left out: one coat, which is said.
#[test]
fn a_finish_in_the_words_of_the_shop() {
    let notes = |finish: &str| {
        let text = all_of(&small(&[]), "cherry, black").replacen(
            "species = \"cherry, black\"\n",
            &format!(
                "species = \"cherry, black\"\nrings = {{ sawn = \"flat\" }}\nfinish = {finish}\n"
            ),
            1,
        );
        let text = text.replace(
            "species = \"cherry, black\"\nthick",
            "species = \"cherry, black\"\nrings = { sawn = \"flat\" }\nthick",
        );
        let job = job_of(&text);
        let faces = job.parts[0].faces();
        let found = forecast(&job, SpeciesTable::built_in(), &airs_of(&job)).unwrap();
        (faces, found.parts[0].notes.join(" "))
    };
    let (faces, said) = notes("{ kind = \"shellac\", faces = \"outside\" }");
    assert!(said.contains("taken as Shellac, 1 coat"), "{said}");
    assert!(said.contains("bark-side face"), "{said}");
    let (shown, _) = notes("{ kind = \"shellac\", coats = 1, faces = \"show\" }");
    assert_eq!(faces, shown);
    let (inside, _) = notes("{ kind = \"shellac\", coats = 1, faces = \"inside\" }");
    assert_eq!([faces[1], faces[0]], inside);
    let (both, said) = notes("{ kind = \"Danish oil\", coats = 2, faces = \"both\" }");
    assert_eq!(both[0], both[1]);
    assert!(
        said.contains("by judgement") && said.contains("Tung oil"),
        "{said}"
    );
    for name in [
        "Danish oil",
        "hardwax oil",
        "wiping varnish",
        "water-based polyurethane",
        "shellac",
        "lacquer",
        "soap",
        "wax",
        "conversion varnish",
        "pre-catalyzed lacquer",
        "milk paint",
        "chalk paint",
        "french polish",
        "penetrating epoxy",
    ] {
        assert!(Finish::thinnest(name).is_ok(), "{name}");
    }
}
