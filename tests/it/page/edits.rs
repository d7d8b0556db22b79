//! Changes of a job file's text: what is asked, and not a letter more.

use heartside::job;
use heartside::page::{Edit, apply};
use proptest::prelude::*;
use serde_json::{Value, json};

fn edits(given: Value) -> Vec<Edit> {
    serde_json::from_value(given).unwrap()
}

fn applied(text: &str, given: Value) -> String {
    apply(text, &edits(given.clone())).unwrap_or_else(|error| panic!("{given}: {error}"))
}

/// Lines that are only in one of two texts, in their order.
fn changed_lines<'a>(a: &'a str, b: &'a str) -> (Vec<&'a str>, Vec<&'a str>) {
    let (a, b): (Vec<&str>, Vec<&str>) = (a.lines().collect(), b.lines().collect());
    let same = a.iter().zip(&b).take_while(|(a, b)| a == b).count();
    let (a, b) = (&a[same..], &b[same..]);
    let tail = a
        .iter()
        .rev()
        .zip(b.iter().rev())
        .take_while(|(a, b)| a == b)
        .count();
    (a[..a.len() - tail].to_vec(), b[..b.len() - tail].to_vec())
}

const INLINE: &str = r#"format = 2 # one

[glue]   # the glue-up
glue = "hide glue"
joints = [
  # first
  { name = "a", parts = ["x", "y"] }, # the long one
  { name = "b", parts = ["y", "z"] },
]

[[panels]]
name = "p"   # a name
leaves = [
  { leaf = "A1", width = "160 mm", bow = "2 mm" },
  { leaf = "A2", width = "160 mm", bow = "1 mm" }, # turned
]
trap = []
support = [{ at = "1 mm" }, { at = "2 mm" }]
"#;

#[test]
fn a_value_is_changed_where_it_stands() {
    let text = applied(
        job::blank(),
        json!([{ "at": ["parts", 0, "width"], "to": "16in" }]),
    );
    assert_eq!(
        changed_lines(job::blank(), &text),
        (
            vec!["width = \"300 mm\"                    # across the grain"],
            vec!["width = \"16in\"                    # across the grain"],
        )
    );
    // Dates stand bare, numbers and flags as they are given.
    let text = applied(
        job::blank(),
        json!([
            { "at": ["schedule", "measured"], "to": "2026-09-30" },
            { "at": ["parts", 1, "count"], "to": 3 },
        ]),
    );
    assert!(text.contains("\nmeasured = 2026-09-30               # the day"));
    assert!(text.contains("\ncount = 3\n"));
    let text = applied(
        INLINE,
        json!([{ "at": ["panels", 0, "leaves", 1, "bow"], "to": "3 mm" }]),
    );
    assert_eq!(
        changed_lines(INLINE, &text).1,
        vec!["  { leaf = \"A2\", width = \"160 mm\", bow = \"3 mm\" }, # turned"]
    );
}

#[test]
fn what_is_missing_on_the_way_is_made() {
    let text = applied(
        job::blank(),
        json!([
            { "at": ["parts", 0, "finish", "kind"], "to": "shellac" },
            { "at": ["parts", 0, "finish", "coats"], "to": 3 },
            { "at": ["places", "attic", "air"], "to": { "temperature": "10C", "humidity": "70%" } },
            { "at": ["chance", "shrinkage_cov"], "to": "10%" },
        ]),
    );
    let read: toml::Table = text.parse().unwrap();
    assert_eq!(read["parts"][0]["finish"]["kind"].as_str(), Some("shellac"));
    assert_eq!(read["parts"][0]["finish"]["coats"].as_integer(), Some(3));
    assert_eq!(
        read["places"]["attic"]["air"]["humidity"].as_str(),
        Some("70%")
    );
    assert_eq!(read["chance"]["shrinkage_cov"].as_str(), Some("10%"));
    // All lines of before are there still.
    let mut lines = text.lines();
    for line in job::blank().lines() {
        assert!(lines.any(|kept| kept == line), "`{line}` is gone");
    }
    job::read(&text, "job.toml").unwrap_or_else(|errors| panic!("{errors}"));
}

#[test]
fn lists_take_and_give_up_items_wherever_they_are_written() {
    let part = json!({ "name": "back", "species": "beech" });
    for index in 0..=2 {
        let text = applied(
            job::blank(),
            json!([{ "at": ["parts", index], "insert": part }]),
        );
        let read: toml::Table = text.parse().unwrap();
        let names: Vec<&str> = read["parts"]
            .as_array()
            .unwrap()
            .iter()
            .map(|part| part["name"].as_str().unwrap())
            .collect();
        let mut wanted = vec!["shelf", "side"];
        wanted.insert(index, "back");
        assert_eq!(names, wanted);
        // Taken out again, everything is as it was but for blank lines.
        let back = applied(&text, json!([{ "at": ["parts", index], "to": null }]));
        let dense = |text: &str| {
            text.lines()
                .filter(|line| !line.is_empty())
                .map(str::to_owned)
                .collect::<Vec<_>>()
        };
        assert_eq!(dense(&back), dense(job::blank()), "{index}");
    }
    let leaf = json!({ "leaf": "B", "width": "100 mm" });
    for (list, count) in [
        (json!(["panels", 0, "leaves"]), 2),
        (json!(["panels", 0, "support"]), 2),
        (json!(["panels", 0, "trap"]), 0),
        (json!(["panels", 0, "unheard"]), 0),
        (json!(["glue", "joints"]), 2),
        (json!(["glue", "fastenings"]), 0),
        (json!(["joints", "dado"]), 0),
        (json!(["boards"]), 0),
    ] {
        for index in 0..=count {
            let mut at = list.as_array().unwrap().clone();
            at.push(json!(index));
            let text = applied(INLINE, json!([{ "at": at, "insert": leaf }]));
            let read: Value = serde_json::to_value(text.parse::<toml::Table>().unwrap()).unwrap();
            let found =
                list.as_array()
                    .unwrap()
                    .iter()
                    .fold(&read, |at, step| match step.as_u64() {
                        Some(index) => &at[index as usize],
                        None => &at[step.as_str().unwrap()],
                    });
            assert_eq!(found.as_array().unwrap().len(), count + 1, "{list}");
            assert_eq!(found[index]["leaf"], "B", "{list} {index}\n{text}");
            for comment in [
                "# one",
                "# the glue-up",
                "# first",
                "# the long one",
                "# a name",
                "# turned",
            ] {
                assert!(text.contains(comment), "{comment} is gone from\n{text}");
            }
            let gone = applied(&text, json!([{ "at": at, "to": null }]));
            let before: toml::Table = INLINE.parse().unwrap();
            let mut after: toml::Table = gone.parse().unwrap();
            // A list that was empty goes with its last item, and so does the table made for it.
            if count == 0 {
                for key in ["joints", "boards"] {
                    if !before.contains_key(key) {
                        after.remove(key);
                    }
                }
                if list == json!(["panels", 0, "trap"]) {
                    after["panels"][0]
                        .as_table_mut()
                        .unwrap()
                        .insert("trap".into(), toml::Value::Array(Vec::new()));
                }
            }
            assert_eq!(after, before, "{list} {index}");
        }
    }
}

#[test]
fn a_change_that_leads_nowhere_is_refused_and_nothing_is_changed() {
    for at in [
        json!(["parts", 7, "width"]),
        json!(["format", "width"]),
        json!(["parts", "width"]),
        json!([]),
    ] {
        let given = edits(json!([
            { "at": ["job", "name"], "to": "Changed" },
            { "at": at, "to": "1 mm" },
        ]));
        let error = apply(job::blank(), &given).unwrap_err().to_string();
        assert!(error.contains("; "), "{error}");
    }
    let given = edits(json!([{ "at": ["job", "name"], "to": "x" }]));
    let error = apply("[job", &given).unwrap_err().to_string();
    assert!(error.contains("not TOML"), "{error}");
    // What is not there need not be taken out.
    let given = edits(json!([{ "at": ["parts", 0, "finish", "coats"], "to": null }]));
    assert_eq!(apply(job::blank(), &given).as_deref(), Ok(job::blank()));
}

/// Every path to a single value in a document.
fn paths(value: &Value, at: &mut Vec<Value>, found: &mut Vec<Vec<Value>>) {
    match value {
        Value::Object(keys) => {
            for (key, inner) in keys {
                at.push(json!(key));
                paths(inner, at, found);
                at.pop();
            }
        }
        Value::Array(list) => {
            for (index, inner) in list.iter().enumerate() {
                at.push(json!(index));
                paths(inner, at, found);
                at.pop();
            }
        }
        _ => found.push(at.clone()),
    }
}

fn texts() -> [&'static str; 3] {
    [job::demo(), job::blank(), INLINE]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn one_value_set_changes_one_line(text in 0_usize..3, which in 0.0..1.0_f64, to in "\\PC{0,30}") {
        let text = texts()[text];
        let read = serde_json::to_value(text.parse::<toml::Table>().unwrap()).unwrap();
        let mut all = Vec::new();
        paths(&read, &mut Vec::new(), &mut all);
        all.retain(|path| !path.iter().any(|step| step == "$__toml_private_datetime"));
        let path = &all[(which * all.len() as f64) as usize];
        let changed = applied(text, json!([{ "at": path, "to": to }]));
        let (before, after) = changed_lines(text, &changed);
        prop_assert!(before.len() <= 1 && after.len() == before.len(), "{before:?} {after:?}");
        let now = serde_json::to_value(changed.parse::<toml::Table>().unwrap()).unwrap();
        let there = path.iter().fold(&now, |at, step| match step.as_u64() {
            Some(index) => &at[index as usize],
            None => &at[step.as_str().unwrap()],
        });
        prop_assert_eq!(there, &json!(to));
        // Set back, the text is as it was to the letter but for the way the value was quoted.
        let old = path.iter().fold(&read, |at, step| match step.as_u64() {
            Some(index) => &at[index as usize],
            None => &at[step.as_str().unwrap()],
        });
        let back = applied(&changed, json!([{ "at": path, "to": old }]));
        prop_assert_eq!(
            back.parse::<toml::Table>().unwrap(),
            text.parse::<toml::Table>().unwrap()
        );
    }

    #[test]
    fn whatever_is_changed_the_text_stays_toml(
        text in 0_usize..3,
        given in proptest::collection::vec(
            (
                proptest::collection::vec(prop_oneof![
                    (0_usize..4).prop_map(|index| json!(index)),
                    proptest::sample::select(vec!["parts", "joints", "dado", "places", "home", "glue", "leaves", "panels",
                        "rings", "finish", "name", "support", "schedule", "measured", "odd key", "\u{6728}\"\n"])
                        .prop_map(|key| json!(key)),
                ], 1..5),
                prop_oneof![
                    Just(json!(null)), Just(json!(true)), Just(json!(7)), Just(json!(0.25)), Just(json!("2026-10-05")),
                    Just(json!({ "a b": [1, { "c": "\u{0}\r\n#\"" }], "d": {} })), Just(json!([{ "x": "1" }, { "y": [] }])),
                ],
                any::<bool>(),
            ),
            1..6,
        ),
    ) {
        let text = texts()[text];
        let given: Vec<Value> = given.into_iter().map(|(at, to, insert)| {
            if insert && to.is_object() { json!({ "at": at, "insert": to }) } else { json!({ "at": at, "to": to }) }
        }).collect();
        if let Ok(changed) = apply(text, &edits(json!(given))) {
            prop_assert!(changed.parse::<toml::Table>().is_ok(), "{given:?} made of it\n{changed}");
        }
    }
}
