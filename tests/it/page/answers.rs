//! Questions and answers: the same bytes and the same words as on the command line.

use super::{Served, question, with_edits};
use crate::run::heartside;
use heartside::job;
use serde_json::{Value, json};
use std::fs;

const ASSETS: [(&str, &str); 19] = [
    ("/", "text/html"),
    ("/page.css", "text/css"),
    ("/figures.css", "text/css"),
    ("/page.js", "text/javascript"),
    ("/forms.js", "text/javascript"),
    ("/answers.js", "text/javascript"),
    ("/questions.js", "text/javascript"),
    ("/picture.js", "text/javascript"),
    ("/rings.js", "text/javascript"),
    ("/photo.js", "text/javascript"),
    ("/leaves.js", "text/javascript"),
    ("/pick.js", "text/javascript"),
    ("/measured.js", "text/javascript"),
    ("/keep.js", "text/javascript"),
    ("/talk.js", "text/javascript"),
    ("/carrier.js", "text/javascript"),
    ("/words.js", "text/javascript"),
    ("/drawings.svg", "image/svg+xml"),
    ("/favicon.ico", "image/svg+xml"),
];

#[test]
fn everything_the_page_loads_is_served_by_itself() {
    let page = Served::plain();
    let mut texts = String::new();
    for (address, kind) in ASSETS {
        let answer = page.get(address);
        assert_eq!(answer.status, 200, "{address}");
        assert!(answer.header("content-type").starts_with(kind), "{address}");
        assert!(!answer.body.is_empty(), "{address}");
        if !address.ends_with(".svg") && !address.ends_with(".ico") {
            texts.push_str(answer.text());
        }
    }
    // What the page, its styles and its scripts name is among what is served, or lies in the page itself.
    for mark in ["href=\"", "src=\"", "from \""] {
        for (at, _) in texts.match_indices(mark) {
            let rest = &texts[at + mark.len()..];
            let address = rest.split('"').next().unwrap();
            let served = address.starts_with('#')
                || address.contains("${")
                || address.starts_with("drawings.svg#")
                || ASSETS.iter().any(|(known, _)| {
                    known.trim_start_matches('/')
                        == address.trim_start_matches("./").trim_start_matches('/')
                });
            assert!(served, "`{address}` is not served");
        }
    }
}

#[test]
fn beginnings_schema_and_words_are_those_of_the_rooms() {
    let page = Served::plain();
    let before = heartside::page::today();
    for address in ["/start/demo", "/start/blank"] {
        let given = page.get(address).json();
        let text = given["text"].as_str().unwrap();
        if address == "/start/demo" {
            assert_eq!(text, job::demo());
        } else {
            // Begun on the day it was asked for, and midnight may pass between.
            let days = [before, heartside::page::today()];
            assert!(days.into_iter().any(|day| text == job::blank_on(day)));
        }
        assert_eq!(given["files"], json!({}), "{address}");
        assert!(given["name"].as_str().unwrap().ends_with(".toml"));
    }
    // Nothing was given: that is an answer, not a fault.
    assert_eq!(page.get("/start/given").json(), Value::Null);
    assert_eq!(page.get("/schema").json(), job::schema());
    let words = page.get("/words").json();
    let species = words["species"].as_array().unwrap();
    assert_eq!(
        species.len(),
        heartside::species::SpeciesTable::built_in().all().len()
    );
    let also = |name: &str| -> Vec<String> {
        let wood = species.iter().find(|wood| wood["name"] == name).unwrap();
        serde_json::from_value(wood["also"].clone()).unwrap()
    };
    // USDA Wood Handbook, Table 1-1: Latin names.
    assert!(also("Walnut, black").contains(&"Juglans nigra".to_owned()));
    assert!(
        also("Maple, sugar")
            .iter()
            .any(|name| name == "Acer saccharum")
    );
    // Every name offered is one that the job file takes.
    for wood in species {
        for name in wood["also"]
            .as_array()
            .unwrap()
            .iter()
            .chain([&wood["name"]])
        {
            let found = heartside::species::SpeciesTable::built_in().find(name.as_str().unwrap());
            if let Err(unknown) = found {
                assert!(unknown.ambiguous, "{unknown}");
            }
        }
    }
    assert_eq!(
        words["places"].as_array().unwrap().len(),
        heartside::air::places::built_in().len()
    );
    for list in ["finishes", "glues", "dryings"] {
        assert!(words[list].as_array().unwrap().len() >= 5, "{list}");
    }
}

#[test]
fn a_job_is_answered_with_names_cards_and_the_figures_asked_for() {
    let page = Served::plain();
    let given = page.answer(&question(job::blank()));
    assert_eq!(given["text"], job::blank());
    assert_eq!(given["problems"], json!([]));
    assert_eq!(given["document"]["parts"][0]["name"], "shelf");
    assert_eq!(given["document"]["schedule"]["measured"], "2026-10-05");
    let items = given["items"].as_array().unwrap();
    let name_at = |at: Value| items.iter().find(|item| item["at"] == at).unwrap()["name"].clone();
    assert_eq!(name_at(json!(["parts", 1])), "side");
    // The joint has no name of its own: it is given by the name that its card has.
    let joint = name_at(json!(["joints", "dado", 0]));
    let forecast = &given["forecast"];
    let card = forecast["cards"][0]["joint"].as_str().unwrap();
    assert!(card.starts_with(joint.as_str().unwrap()), "{card}: {joint}");
    assert_eq!(forecast["draws"], 16);
    assert_eq!(forecast["full_draws"], 8192);
    assert_eq!(forecast["plates"], json!({}));
    let ids: Vec<&str> = forecast["figures"]
        .as_array()
        .unwrap()
        .iter()
        .map(|figure| figure["id"].as_str().unwrap())
        .collect();
    assert!(ids.len() >= 5, "{ids:?}");
    let mut asked = question(job::blank());
    asked["figures"] = json!([ids[0], ids[2], "no-such-figure"]);
    let some = page.answer(&asked);
    let plates = some["forecast"]["plates"].as_object().unwrap();
    let mut drawn: Vec<&str> = plates.keys().map(String::as_str).collect();
    drawn.sort_unstable();
    let mut wanted = [ids[0], ids[2]];
    wanted.sort_unstable();
    assert_eq!(drawn, wanted);
    asked["figures"] = json!("all");
    let all = page.answer(&asked);
    let plates = all["forecast"]["plates"].as_object().unwrap();
    assert_eq!(plates.len(), ids.len());
    for figure in all["forecast"]["figures"].as_array().unwrap() {
        let html = plates[figure["id"].as_str().unwrap()].as_str().unwrap();
        assert!(html.starts_with("<figure"), "{html}");
        // The title known before the figure is drawn is the one over it.
        let title = figure["title"].as_str().unwrap();
        let text: String = roxmltree::Document::parse(html)
            .unwrap()
            .descendants()
            .find(|node| node.has_tag_name("strong"))
            .unwrap()
            .descendants()
            .filter_map(|node| node.text().filter(|_| node.is_text()))
            .collect();
        assert_eq!(text, title);
    }
    // A question changes nothing of the next: the first answer comes again.
    assert_eq!(page.answer(&question(job::blank())), given);
}

/// Everything of an answer that is put into the page.
fn fragments(given: &Value) -> Vec<&str> {
    let forecast = &given["forecast"];
    let mut found: Vec<&str> = ["setup", "next", "numbers", "client"]
        .iter()
        .map(|piece| forecast[*piece].as_str().unwrap())
        .collect();
    found.extend(
        forecast["cards"]
            .as_array()
            .unwrap()
            .iter()
            .map(|card| card["html"].as_str().unwrap()),
    );
    found.extend(
        forecast["plates"]
            .as_object()
            .unwrap()
            .values()
            .map(|html| html.as_str().unwrap()),
    );
    found
}

#[test]
fn no_piece_needs_a_style_or_a_script_of_its_own() {
    let page = Served::plain();
    let mut asked = question(job::demo());
    asked["figures"] = json!("all");
    let given = page.answer(&asked);
    let found = fragments(&given);
    assert!(found.len() > 50, "{}", found.len());
    for html in found {
        for needs in [
            " style=",
            "<style",
            "<script",
            "javascript:",
            " onload",
            " onclick",
        ] {
            assert!(!html.contains(needs), "`{needs}` in {html}");
        }
    }
}

#[test]
fn hostile_names_are_text_and_nothing_else() {
    let page = Served::plain();
    let hostile = r#"<script>alert(1)</script><img src=x onerror=alert(2)>"&'"#;
    let mut asked = with_edits(
        job::blank(),
        json!([
            { "at": ["job", "name"], "to": hostile },
            { "at": ["parts", 0, "name"], "to": hostile },
            { "at": ["joints", "dado", 0, "piece"], "to": hostile },
            { "at": ["joints", "dado", 0, "name"], "to": format!("{hostile} in side") },
        ]),
    );
    asked["figures"] = json!("all");
    let given = page.answer(&asked);
    assert_eq!(given["problems"], json!([]));
    assert_eq!(given["document"]["parts"][0]["name"], hostile);
    for html in fragments(&given) {
        assert!(!html.contains("<script"), "{html}");
        assert!(!html.contains("<img"), "{html}");
    }
    assert!(
        fragments(&given)
            .iter()
            .any(|html| html.contains("&lt;script&gt;"))
    );
    let made = page.post("/report", &asked).json();
    let report = page.get(&format!("/{}", made["address"].as_str().unwrap()));
    assert!(!report.text().contains("<script"));
}

#[test]
fn json_and_report_are_the_bytes_of_the_command_line() {
    let page = Served::plain();
    let folder = tempfile::tempdir().unwrap();
    // With the draws the job itself asks for, fewer than any flag takes, and with those of a flag.
    let own = job::blank().replace("seed = 1 ", "draws = 12\nseed = 1 ");
    assert_ne!(own, job::blank());
    fs::write(folder.path().join("job.toml"), &own).unwrap();
    fs::write(folder.path().join("blank.toml"), job::blank()).unwrap();
    for (file, text, draws) in [
        ("job.toml", own.as_str(), None),
        ("blank.toml", job::blank(), Some("48")),
    ] {
        let mut args = vec!["forecast", file, "--out", "out"];
        args.extend(draws.map(|draws| ["--draws", draws]).into_iter().flatten());
        let output = heartside(folder.path(), &args);
        assert!(output.status.success());
        let mut asked = json!({ "text": text, "name": file });
        if let Some(draws) = draws {
            asked["draws"] = json!(draws.parse::<u32>().unwrap());
        }
        let kept = |name: &str| fs::read(folder.path().join("out").join(name)).unwrap();
        let numbers = page.post("/json", &asked);
        assert_eq!(numbers.status, 200);
        assert_eq!(numbers.header("content-type"), "application/json");
        assert!(numbers.body == kept("forecast.json"), "{file}");
        let made = page.post("/report", &asked).json();
        let report = page.get(&format!("/{}", made["address"].as_str().unwrap()));
        assert!(report.body == kept("report.html"), "{file}");
        let policy = report.header("content-security-policy");
        assert!(policy.contains("style-src 'unsafe-inline'") && !policy.contains("script-src"));
        // A job that was asked about in pieces before gives the same bytes.
        page.answer(&json!({ "text": text, "name": file, "draws": 16, "figures": "all" }));
        assert!(
            page.post("/json", &asked).body == kept("forecast.json"),
            "{file}"
        );
    }
    assert_eq!(page.get("/report/0-0").status, 404);
}

#[test]
fn what_is_wrong_is_given_in_the_words_of_the_command_line() {
    let page = Served::plain();
    let folder = tempfile::tempdir().unwrap();
    let wrong = [
        job::blank()
            .replace("width = \"300 mm\"", "width = 300")
            .replace("species = \"maple, sugar\"", "species = \"maple\"")
            .replace("into = \"side\"", "into = \"sides\"")
            .replace("depth = \"7 mm\"", "dept = \"7 mm\""),
        job::blank().replace("[places.home]", "[places.hom]"),
        job::blank().replace("species = \"maple, sugar\"", "species = \"maple\""),
        job::blank().replace("[job]", "[job"),
        "\n# nothing\n".to_owned(),
        String::new(),
    ];
    for text in wrong {
        fs::write(folder.path().join("job.toml"), &text).unwrap();
        let output = heartside(folder.path(), &["validate", "job.toml"]);
        assert_eq!(output.status.code(), Some(2));
        let said = String::from_utf8(output.stderr).unwrap();
        let given = page.answer(&question(&text));
        assert_eq!(given["forecast"], Value::Null);
        let pictures: Vec<&str> = given["problems"]
            .as_array()
            .unwrap()
            .iter()
            .map(|problem| problem["picture"].as_str().unwrap())
            .collect();
        assert_eq!(pictures.join("\n\n").trim(), said.trim());
        for path in ["/json", "/report"] {
            let refused = page.post(path, &question(&text));
            assert_eq!(refused.status, 422);
            assert_eq!(refused.json()["problems"], given["problems"]);
        }
        for problem in given["problems"].as_array().unwrap() {
            let (what, picture) = (&problem["what"], problem["picture"].as_str().unwrap());
            assert!(
                picture.contains(what.as_str().unwrap().lines().next().unwrap()),
                "{picture}"
            );
            assert!(!problem["remedy"].as_str().unwrap().is_empty());
        }
    }
}

#[test]
fn a_problem_stands_at_the_key_that_is_wrong() {
    let page = Served::plain();
    let places = |text: &str| -> Vec<Value> {
        page.answer(&question(text))["problems"]
            .as_array()
            .unwrap()
            .iter()
            .map(|problem| problem["at"].clone())
            .collect()
    };
    let text = job::blank()
        .replace("width = \"300 mm\"", "width = \"3/8\"")
        .replace("winter = \"30%\"", "winter = \"130%\"")
        .replace(
            "rings = { sawn = \"flat\" }\ncount",
            "rings = { sawn = \"round\" }\ncount",
        );
    let found = places(&text);
    for at in [
        json!(["places", "home", "seasons", "winter"]),
        json!(["parts", 0, "width"]),
        json!(["parts", 1, "width"]),
        json!(["parts", 1, "rings", "sawn"]),
    ] {
        assert!(found.contains(&at), "{at} is not among {found:?}");
    }
    let given = page.answer(&question(&text));
    let line = |key: &str| 1 + text.lines().position(|line| line.contains(key)).unwrap();
    assert_eq!(given["problems"][0]["line"], line("130%"));
    // No TOML: no document, and the place is that of the text.
    let given = page.answer(&question("format = 2\n[job\n"));
    assert_eq!(given["document"], Value::Null);
    assert_eq!(given["problems"].as_array().unwrap().len(), 1);
    assert_eq!(given["problems"][0]["at"], json!([]));
    assert_eq!(given["problems"][0]["line"], 2);
}
