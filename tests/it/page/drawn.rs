//! Drawings that a hand acts on: the picture's targets, a layout by hand, a year of air, rings in a photo, remedies, beginnings.

use super::{Served, question, with_edits};
use heartside::job;
use serde_json::{Value, json};

fn demo_drawn() -> Value {
    let mut asked = question(job::demo());
    asked["figures"] = json!(["piece-front", "piece-exploded"]);
    asked
}

#[test]
fn every_target_of_the_picture_is_a_part_or_joint_of_the_file_and_in_the_picture() {
    let page = Served::plain();
    let answer = page.answer(&demo_drawn());
    let forecast = &answer["forecast"];
    let views = forecast["targets"].as_object().unwrap();
    assert_eq!(
        views.keys().collect::<Vec<_>>(),
        ["piece-exploded", "piece-front"]
    );
    let document = &answer["document"];
    for (view, targets) in views {
        let svg = forecast["plates"][view].as_str().unwrap();
        let size = |key: &str| -> f64 {
            let at = svg.find(&format!(" {key}=\"")).unwrap() + key.len() + 3;
            svg[at..].split('"').next().unwrap().parse().unwrap()
        };
        let (width, height) = (size("width"), size("height"));
        let targets = targets.as_array().unwrap();
        assert!(targets.len() > 60, "{view}: {}", targets.len());
        for target in targets {
            let place = target["at"].as_array().unwrap();
            let thing = place.iter().fold(document, |at, step| match step {
                Value::String(key) => &at[key],
                other => &at[usize::try_from(other.as_u64().unwrap()).unwrap()],
            });
            assert!(thing.is_object(), "{target}");
            for point in target["shapes"]
                .as_array()
                .unwrap()
                .iter()
                .flat_map(|s| s.as_array().unwrap())
            {
                let (x, y) = (point[0].as_f64().unwrap(), point[1].as_f64().unwrap());
                assert!((-10.0..=width + 10.0).contains(&x), "{view} {target}");
                assert!((-10.0..=height + 10.0).contains(&y), "{view} {target}");
            }
        }
    }
    let meetings = forecast["meetings"].as_array().unwrap();
    let named = |index: &Value| {
        &document["parts"][usize::try_from(index.as_u64().unwrap()).unwrap()]["name"]
    };
    assert!(
        meetings
            .iter()
            .any(|pair| named(&pair[0]) == "shelf" && named(&pair[1]) == "case side"),
        "{meetings:?}"
    );
}

#[test]
fn a_layout_by_hand_says_what_the_best_one_says_and_that_another_is_worse() {
    let page = Served::plain();
    let answer = page.answer(&question(job::demo()));
    let panel = &answer["forecast"]["panels"][0];
    assert_eq!(panel["leaves"], json!(["A1", "A2"]));
    let ask = |rows: &Value| {
        let asked =
            json!({ "question": question(job::demo()), "panel": panel["name"], "rows": rows });
        page.post("/layout", &asked)
    };
    let best = ask(&panel["best"]).json();
    let words = |answer: &Value| answer["words"].to_string();
    assert!(
        words(&best).contains("This is the best layout found"),
        "{best}"
    );
    assert!(best["figures"][0].as_str().unwrap().contains("<svg"));
    let mut other = panel["best"].clone();
    let over = other[0][0]["over"].as_bool().unwrap();
    other[0][0]["over"] = json!(!over);
    let other = ask(&other).json();
    assert!(words(&other).contains("Against the best layout"), "{other}");
    assert!(words(&other).contains("It is no bookmatch"), "{other}");
    // A leaf twice is no layout.
    let twice = json!([[panel["best"][0][0], panel["best"][0][0]]]);
    assert_eq!(ask(&twice).status, 422);
    assert_eq!(ask(&json!([])).status, 422);
}

#[test]
fn the_air_of_a_place_is_drawn_beside_what_it_was() {
    let page = Served::plain();
    let asked = |place: &str, before: Option<&str>| json!({ "question": question(job::demo()), "place": place, "before": before });
    let alone = page.post("/air", &asked("home", None)).json();
    assert!(!alone["figure"].as_str().unwrap().contains("before"));
    let drier = job::demo().replace("humidity = \"58%\"", "humidity = \"45%\"");
    let both = page.post("/air", &asked("shop", Some(&drier))).json();
    let figure = both["figure"].as_str().unwrap();
    assert!(figure.contains("as it was given before"), "{figure}");
    assert!(
        figure.contains("58 %") && figure.contains("45 %"),
        "{figure}"
    );
    assert_eq!(page.post("/air", &asked("cellar", None)).status, 422);
}

#[test]
fn rings_of_a_photo_are_read_and_a_pith_put_by_hand_is_where_it_was_put() {
    let page = Served::plain();
    let bytes = std::fs::read(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/it/data/endgrain/t_syn_02.jpg"),
    )
    .unwrap();
    let id = page.drop_file("end.jpg", &bytes).json()["id"].clone();
    let asked = json!({ "id": id, "name": "end.jpg", "width_mm": 200.0, "thickness_mm": 50.0, "picture": true });
    let read = page.post("/rings", &asked).json();
    assert!(
        read["picture"]
            .as_str()
            .unwrap()
            .starts_with("data:image/jpeg;base64,")
    );
    assert!(!read["readings"][0]["lines"].as_array().unwrap().is_empty());
    assert_eq!(read["corners"].as_array().unwrap().len(), 4);
    // Under the middle of the lower face there is no depth and no offset (exact: a photo square to the end).
    let mut by_hand = asked.clone();
    by_hand["corners"] = json!([
        [100.0, 50.0],
        [1100.0, 50.0],
        [1100.0, 300.0],
        [100.0, 300.0]
    ]);
    by_hand["bark"] = json!("up");
    for (pith, depth, offset) in [
        ([600.0, 300.0], "0mm", "0mm"),
        ([600.0, 550.0], "50mm", "0mm"),
        ([850.0, 425.0], "25mm", "50mm"),
    ] {
        by_hand["pith"] = json!(pith);
        let put = page.post("/rings", &by_hand).json();
        assert_eq!(
            put["readings"][0]["rings"],
            json!({ "pith_depth": depth, "pith_offset": offset })
        );
    }
    // Bark side down the section is seen turned by half a turn: the heart face is the upper one.
    by_hand["bark"] = json!("down");
    by_hand["pith"] = json!([850.0, 25.0]);
    let put = page.post("/rings", &by_hand).json();
    assert_eq!(
        put["readings"][0]["rings"],
        json!({ "pith_depth": "5mm", "pith_offset": "-50mm" })
    );
    let mut gone = asked;
    gone["id"] = json!("none");
    assert_eq!(page.post("/rings", &gone).status, 422);
}

#[test]
fn a_remedy_as_a_change_reads_and_makes_no_joint_of_its_own_worse() {
    let page = Served::plain();
    // With few draws a chance is off by more than a remedy is worth.
    let many = |mut asked: Value| {
        asked["draws"] = json!(512);
        asked
    };
    let answer = page.answer(&many(question(job::demo())));
    let cards = answer["forecast"]["cards"].as_array().unwrap();
    let (mut tried, mut better) = (0, 0);
    for card in cards {
        for edits in card["remedies"].as_array().unwrap() {
            if edits.is_null() {
                continue;
            }
            let changed = page.answer(&many(with_edits(job::demo(), edits.clone())));
            assert_eq!(changed["problems"], json!([]), "{edits}");
            assert_ne!(changed["text"], job::demo());
            tried += 1;
            let rank = |card: &Value| match card["stamp"].as_str() {
                Some("fails") => 0,
                Some("marginal") => 1,
                _ => 2,
            };
            let after = changed["forecast"]["cards"].as_array().unwrap();
            let same = after.iter().find(|one| one["joint"] == card["joint"]);
            let kept = same.is_some_and(|one| rank(one) >= rank(card));
            better += usize::from(kept);
        }
    }
    assert!(tried > 0, "no remedy can be applied");
    assert_eq!(better, tried, "a remedy made its joint worse");
}

#[test]
fn a_beginning_is_that_of_the_command_and_sizes_without_room_are_said() {
    let page = Served::plain();
    let mut asked = question("");
    asked["beginning"] = json!({ "kind": "bookcase", "width": "32in", "shelves": 3 });
    let answer = page.answer(&asked);
    let written = assert_cmd::Command::cargo_bin("heartside")
        .unwrap()
        .args([
            "new",
            "-",
            "--kind",
            "bookcase",
            "--width",
            "32in",
            "--shelves",
            "3",
        ])
        .output()
        .unwrap();
    assert_eq!(answer["text"], String::from_utf8(written.stdout).unwrap());
    assert_eq!(answer["problems"], json!([]));
    assert_eq!(answer["unfit"], Value::Null);
    asked["beginning"]["depth"] = json!("1in");
    asked["text"] = answer["text"].clone();
    let unfit = page.answer(&asked);
    assert_eq!(unfit["text"], answer["text"], "what was there is lost");
    assert!(
        unfit["unfit"]["what"].as_str().unwrap().contains("depth"),
        "{unfit}"
    );
}
