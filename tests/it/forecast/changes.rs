//! What a change of the job changes, and what it must not.

use super::{airs_of, forecast_of, job_of, json_of, small};
use heartside::forecast::forecast;
use heartside::species::SpeciesTable;
use serde_json::Value;

/// The paths at which two answers differ, list places as `[]`.
fn differing(a: &Value, b: &Value, path: &str, found: &mut Vec<String>) {
    match (a, b) {
        (Value::Object(a), Value::Object(b)) => {
            for (key, value) in a {
                let there = format!("{path}.{key}");
                match b.get(key) {
                    Some(other) => differing(value, other, &there, found),
                    None => found.push(there),
                }
            }
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (index, (one, other)) in a.iter().zip(b).enumerate() {
                differing(one, other, &format!("{path}[{index}]"), found);
            }
        }
        // Chances, bands and how far glue may go rest on the days that matter to the whole job, which shift by a day or two when one joint changes.
        (Value::Number(a), Value::Number(b))
            if path.contains("_chance_")
                || path.contains("_low")
                || path.contains("_high")
                || path.contains("share_percent")
                || path.contains("narrows_to_percent")
                || path.contains("glue_middle_mm") =>
        {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            if (a - b).abs() > 5e-3 * a.abs().max(b.abs()).max(1.0) {
                found.push(path.to_owned());
            }
        }
        _ if a == b => {}
        _ => found.push(path.to_owned()),
    }
}

fn changed(a: &Value, b: &Value) -> Vec<String> {
    let mut found = Vec::new();
    differing(a, b, "", &mut found);
    found
}

/// Asserts that every path that differs begins with one of `must` or `may`, and that each of `must` occurs.
#[track_caller]
fn only(found: &[String], must: &[&str], may: &[&str]) {
    for path in found {
        assert!(
            must.iter().chain(may).any(|start| path.starts_with(start)),
            "{path} changed, which it must not"
        );
    }
    for start in must {
        assert!(
            found.iter().any(|path| path.starts_with(start)),
            "{start} did not change"
        );
    }
}

#[test]
fn the_same_job_gives_the_same_bytes_whatever_the_threads() {
    let job = job_of(&small(&[]));
    let airs = airs_of(&job);
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        let found = pool
            .install(|| forecast(&job, SpeciesTable::built_in(), &airs))
            .unwrap();
        (serde_json::to_string(&found).unwrap(), found)
    };
    let ((one, whole), (three, again)) = (with(1), with(3));
    assert_eq!(one, three);
    // and so do the day-by-day answers behind the figures
    assert_eq!(whole.curves, again.curves);
}

#[test]
fn the_demo_gives_the_same_bytes_twice() {
    let mut job = job_of(heartside::job::demo());
    job.draws = 64;
    let airs = airs_of(&job);
    let once = || {
        let found = forecast(&job, SpeciesTable::built_in(), &airs).unwrap();
        serde_json::to_string(&found).unwrap()
    };
    assert_eq!(once(), once());
}

#[test]
fn another_seed_changes_bands_and_chances_and_no_middle() {
    let (a, b) = (
        json_of(&small(&[])),
        json_of(&small(&[("seed = 3", "seed = 4")])),
    );
    let found = changed(&a, &b);
    assert!(found.iter().any(|path| path.contains("_low")));
    for path in found.iter().filter(|path| path.starts_with(".parts")) {
        assert!(path.contains("_low") || path.contains("_high"), "{path}");
    }
}

/// Straight rings: twice as wide, twice the movement, to the last of the section map's digits.
#[test]
fn twice_the_width_moves_twice_as_much() {
    let swing = |width: &str| {
        let given = small(&[("width = \"325 mm\"", &format!("width = \"{width}\""))]);
        let found = forecast_of(&given.replace("opening = \"300 mm\"", "opening = \"310 mm\""));
        let panel = &found.parts[3];
        (
            panel.width_wettest.middle.mm() - panel.width_driest.middle.mm(),
            panel.width_driest.middle.mm() - panel.width.mm(),
        )
    };
    let (narrow, wide) = (swing("325 mm"), swing("650 mm"));
    assert!((wide.0 / narrow.0 - 2.0).abs() < 1e-9);
    assert!((wide.1 / narrow.1 - 2.0).abs() < 1e-9);
}

/// A drier home: everything that happens at home changes, nothing of the day of measuring does.
#[test]
fn another_home_changes_what_happens_at_home() {
    let (a, b) = (
        json_of(&small(&[])),
        json_of(&small(&[(
            "winter = \"30%\", summer = \"55%\"",
            "winter = \"20%\", summer = \"40%\"",
        )])),
    );
    let found = changed(&a, &b);
    let home = [
        ".job.places[1]",
        ".parts[0].",
        ".parts[1].",
        ".parts[2].",
        ".parts[3].",
        ".fits[",
        ".bonds[",
        ".setup[",
        ".bench.",
        ".calendar[",
        ".client.",
    ];
    only(&found, &home, &[".measure_next", ".assumptions["]);
    for key in [
        "name",
        "species",
        "width_mm",
        "thickness_mm",
        "length_mm",
        "moisture_percent",
        "measured_on",
        "count",
        "pith_inside",
    ] {
        assert!(
            !found
                .iter()
                .any(|path| path.starts_with(".parts[") && path.ends_with(&format!("].{key}"))),
            "{key}"
        );
    }
    // drier: narrower at the driest, and more room wanted toward the middle of the lid
    let width = |value: &Value| value["parts"][0]["width_driest_mm"].as_f64().unwrap();
    assert!(width(&b) < width(&a));
    let gap = |value: &Value| value["fits"][0]["gap_max_mm"].as_f64().unwrap();
    assert!(gap(&b) > gap(&a));
}

/// Another wood for the panel: the panel, its fit and the cut for it; no other part, no other joint.
#[test]
fn another_wood_changes_its_part_and_its_joints() {
    let (a, b) = (
        json_of(&small(&[])),
        json_of(&small(&[(
            "species = \"cherry, black\"",
            "species = \"beech, American\"",
        )])),
    );
    let found = changed(&a, &b);
    let panel = [
        ".parts[3].species",
        ".parts[3].width",
        ".fits[0].",
        ".setup[0].",
        ".bench.",
        ".calendar[",
        ".client.",
    ];
    only(
        &found,
        &panel,
        &[".parts[3].", ".setup[1].", ".measure_next"],
    );
    // beech moves more than cherry (Wood Handbook Table 4-3: 11.9 against 7.1 % tangential)
    let swing = |value: &Value| {
        let part = &value["parts"][3];
        part["width_wettest_mm"].as_f64().unwrap() - part["width_driest_mm"].as_f64().unwrap()
    };
    assert!(swing(&b) > 1.4 * swing(&a));
}

/// The sign of one leaf's bow: the panel of leaves and nothing else.
#[test]
fn the_sign_of_a_bow_changes_its_panel_alone() {
    let (a, b) = (
        json_of(&small(&[])),
        json_of(&small(&[("bow = \"1.5 mm\"", "bow = \"-1.5 mm\"")])),
    );
    let found = changed(&a, &b);
    only(&found, &[".panels[0]"], &[]);
}

/// A given cut is kept and judged; a far too shallow groove is to be redone, and the first remedy is a deeper one.
#[test]
fn a_given_cut_is_judged_and_mended() {
    let found = forecast_of(&small(&[(
        "opening = \"300 mm\"",
        "opening = \"300 mm\"\ndepth = \"12.6 mm\"",
    )]));
    let fit = &found.fits[0];
    assert!(fit.cut_given && fit.size.mm() == 12.6);
    assert!(
        fit.too_tight_chance.percent() > 30.0,
        "{}",
        fit.too_tight_chance.percent()
    );
    assert!(fit.reason.contains("pushes the frame apart"));
    let deeper = fit
        .remedies
        .iter()
        .find(|remedy| remedy.what.starts_with("cut the groove"))
        .unwrap();
    assert!(deeper.cut_mm.unwrap().mm() > 12.6 && deeper.holds_chance.percent() >= 90.0);
    let narrower = fit
        .remedies
        .iter()
        .find(|remedy| remedy.what.starts_with("make the panel") && remedy.what.contains("instead"))
        .unwrap();
    assert!(narrower.cut_mm.unwrap().mm() < 325.0);
}
