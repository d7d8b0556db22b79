//! `validate` and `forecast` give the same exit code on any job: jobs are made from the schema, by changing a whole
//! one at random.

use super::{WHOLE, heartside, said};
use heartside::job;
use proptest::prelude::*;
use serde_json::Value;
use std::fs;

/// Values that no key expects, or that are at the end of what it takes.
const HOSTILE: [&str; 12] = [
    "",
    "0in",
    "-1in",
    "1mm",
    "90 m",
    "0%",
    "100%",
    "side",
    "shelf",
    "oak of nowhere",
    "2026-02-30",
    "9",
];

/// A small generator of choices from one seed.
struct Choices(u64);

impl Choices {
    fn below(&mut self, count: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % count.max(1)
    }
}

fn resolved<'s>(root: &'s Value, mut at: &'s Value) -> &'s Value {
    for _ in 0..8 {
        if let Some(name) = at["$ref"].as_str().and_then(|path| path.rsplit('/').next()) {
            at = &root["$defs"][name];
        } else if let Some(choices) = at["anyOf"].as_array() {
            at = choices.iter().find(|one| one["type"] != "null").unwrap();
        } else {
            break;
        }
    }
    at
}

/// The examples in what a key says to write, and values that make no sense.
fn value_for(schema: &Value, choices: &mut Choices) -> toml::Value {
    let title = schema["title"].as_str().unwrap_or_default();
    let mut pool: Vec<&str> = title.split('"').skip(1).step_by(2).collect();
    if choices.below(2) == 0 || pool.is_empty() {
        pool = HOSTILE.to_vec();
    }
    let text = pool[choices.below(pool.len())];
    match (schema["type"].is_array(), text.parse::<i64>()) {
        (true, Ok(number)) => toml::Value::Integer(number),
        (true, Err(_)) if text.is_empty() => toml::Value::Boolean(true),
        _ => toml::Value::String(text.to_owned()),
    }
}

/// Changes one value below: replaces it, takes it out, or adds a key that the schema knows.
fn change(value: &mut toml::Value, root: &Value, schema: &Value, choices: &mut Choices) {
    let schema = resolved(root, schema);
    match value {
        toml::Value::Table(table) if !table.is_empty() => {
            let named = schema["additionalProperties"].is_object();
            let of = |key: &str| {
                if named {
                    schema["additionalProperties"].clone()
                } else {
                    schema["properties"][key].clone()
                }
            };
            let keys: Vec<String> = table.keys().cloned().collect();
            let key = keys[choices.below(keys.len())].clone();
            match choices.below(12) {
                0 => {
                    table.remove(&key);
                }
                1 if !named => {
                    let known: Vec<&String> =
                        schema["properties"].as_object().unwrap().keys().collect();
                    let added = known[choices.below(known.len())];
                    let value = value_for(resolved(root, &schema["properties"][added]), choices);
                    table.entry(added.clone()).or_insert(value);
                }
                _ => change(table.get_mut(&key).unwrap(), root, &of(&key), choices),
            }
        }
        toml::Value::Array(list) if !list.is_empty() => {
            let at = choices.below(list.len());
            match choices.below(12) {
                0 => {
                    list.remove(at);
                }
                1 => list.push(list[at].clone()),
                _ => change(&mut list[at], root, &schema["items"], choices),
            }
        }
        _ => *value = value_for(schema, choices),
    }
}

fn made(seed: u64) -> String {
    let root = serde_json::to_value(job::schema()).unwrap();
    let mut job: toml::Value = toml::Value::Table(WHOLE.parse().unwrap());
    let mut choices = Choices(seed);
    for _ in 0..=choices.below(2) {
        change(&mut job, &root, &root, &mut choices);
    }
    toml::to_string(&job).unwrap()
}

/// Exit codes of `validate` and of `forecast`, with what both said.
fn codes(job: &str) -> ([Option<i32>; 2], String) {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("job.toml"), job).unwrap();
    let mut words = String::new();
    let codes = [
        &["validate", "job.toml"][..],
        &["forecast", "job.toml", "--draws", "16", "--out", "report"],
    ]
    .map(|args| {
        let output = heartside(folder.path(), args);
        words.push_str(&said(&output));
        output.status.code()
    });
    (codes, words)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    #[test]
    fn checking_and_forecasting_refuse_the_same_jobs(seed in any::<u64>()) {
        let job = made(seed);
        let ([checked, forecast], said) = codes(&job);
        prop_assert_eq!(checked, forecast, "{}\n{}", job, said);
        prop_assert!(checked.is_some_and(|code| code < 4), "{}\n{}", job, said);
    }
}

#[test]
fn the_whole_job_is_in_order() {
    let ([checked, forecast], said) = codes(WHOLE);
    assert_eq!([checked, forecast], [Some(0); 2], "{said}");
}

/// Unknown woods of boards, panels and single leaves, and leaves that cannot make their panel.
#[test]
fn what_stands_below_the_parts_is_checked_too() {
    for (from, to, wanted) in [
        (
            "species = \"cherry, black\"",
            "species = \"ebonite\"",
            "ebonite",
        ),
        (
            "species = \"walnut, black\"\nmoisture",
            "species = \"pinchbeck\"\nmoisture",
            "pinchbeck",
        ),
        (
            "length = \"22in\", bow = \"3/64in\"",
            "length = \"21in\", bow = \"3/64in\"",
            "long",
        ),
        ("leaves = 2\n", "leaves = 40\n", "40 leaves"),
    ] {
        let job = WHOLE.replacen(from, to, 1);
        assert_ne!(job, WHOLE, "{from}");
        let ([checked, forecast], said) = codes(&job);
        assert_eq!([checked, forecast], [Some(2); 2], "{to}: {said}");
        assert_eq!(said.matches(wanted).count() % 2, 0, "{said}");
        assert!(said.contains(wanted), "{said}");
    }
}

/// Everything unknown is said at once, wherever it is named.
#[test]
fn unknown_woods_of_parts_boards_and_panels_are_said_together() {
    let job = WHOLE
        .replacen("cherry, black", "ebonite", 1)
        .replace("walnut, black", "pinchbeck");
    let (_, said) = codes(&job);
    assert!(
        said.contains("ebonite") && said.contains("pinchbeck"),
        "{said}"
    );
}
