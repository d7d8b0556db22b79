//! The golden list of JSON keys: scripts read them, so none changes by accident. The same fact has the same key everywhere.

use crate::language;
use assert_cmd::Command;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// The commands that answer alone, with flags that bring out all of their keys.
const COMMANDS: [&str; 17] = [
    "species|walnut, black",
    "emc|--temperature|0C|--humidity|80%|--indoors|20C",
    "emc|--temperature|21C|--moisture|8%",
    "board|--species|oak, white|--width|200mm|--thickness|20mm|--from|12%|--to|7%|--pith-depth|60mm",
    "board|--species|oak, white|--width|200mm|--thickness|20mm|--from|12%|--to|7%|--pith-depth|-10mm",
    "resaw|--thickness|8/4|--length|48in|--width|7in|--species|maple, sugar|--shell|8.4%|--core|9.6%|--strip-length|24in|--strip-gap|1/16in|--pith-depth|2.5in|--humidity|40%|--want-thickness|10mm",
    "resaw|--how-to-strip",
    "rest|--thickness|20mm|--from|12%|--to-humidity|40%|--days|20|--species|walnut, black|--weight|2kg",
    "bond|--species|walnut, black|--width|400mm|--thickness|20mm|--to|maple, sugar|--to-thickness|20mm|--from|9%|--dry|4%|--wet|14%",
    "straighten|--length|1400mm|--width|380mm|--thickness|19mm|--bow|5mm|--species|walnut, black|--supports|0mm,470mm,940mm,1400mm|--optimise|--cup|2mm|--across|50mm,330mm|--push-only|940mm",
    "shelf|--span|900mm|--depth|300mm|--thickness|19mm|--species|maple, sugar|--load|25lb/ft",
    "shelf|--span|900mm|--depth|300mm|--thickness|19mm|--stiffness|9GPa|--load-at|100mm:40lb|--supports|0mm,300mm,900mm|--lies-loose",
    "climate|--place|Denver",
    "climate|--place|Denver|--indoors|standard",
    "fit|--species|maple, sugar|--part|350mm|--opening|330mm|--cut|depth|--from|9%|--dry|6%|--wet|11%",
    "fit|--species|maple, sugar|--part|350mm|--opening|354mm|--from|9%|--dry|6%|--wet|11%",
    "fit|--species|maple, sugar|--opening|354mm|--cut|part|--from|9%|--dry|6%|--wet|11%",
];

fn keys(value: &Value, path: &str, all: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (key, value) in map {
                keys(value, &format!("{path}.{key}"), all);
            }
        }
        Value::Array(list) => list
            .iter()
            .for_each(|value| keys(value, &format!("{path}[]"), all)),
        _ => {
            all.insert(path.to_owned());
        }
    }
}

#[test]
fn the_keys_are_those_of_the_list() {
    let mut all = BTreeSet::new();
    for line in COMMANDS {
        let words: Vec<&str> = line.split('|').collect();
        let done = Command::new(env!("CARGO_BIN_EXE_heartside"))
            .args(&words)
            .arg("--json")
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(done.status.success(), "{line}: {said}");
        let answer: Value = serde_json::from_slice(&done.stdout).unwrap();
        keys(&answer, words[0], &mut all);
    }
    let folder = tempfile::tempdir().unwrap();
    let report = folder.path().join("report");
    let done = Command::new(env!("CARGO_BIN_EXE_heartside"))
        .args(["demo", "--out"])
        .arg(&report)
        .output()
        .unwrap();
    assert!(done.status.success());
    language::clean("the demo's summary", &String::from_utf8_lossy(&done.stdout));
    for name in ["report.html", "forecast.json"] {
        language::clean(name, &fs::read_to_string(report.join(name)).unwrap());
    }
    let text = fs::read_to_string(report.join("forecast.json")).unwrap();
    keys(&serde_json::from_str(&text).unwrap(), "forecast", &mut all);
    // What the demo leaves out: a panel held on supports of its own, and screws that no joint has.
    let done = Command::new(env!("CARGO_BIN_EXE_heartside"))
        .args(["forecast", "tests/it/sense/whole.toml", "--out"])
        .arg(folder.path().join("whole"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(done.status.success(), "{said}");
    let text = fs::read_to_string(folder.path().join("whole/forecast.json")).unwrap();
    keys(&serde_json::from_str(&text).unwrap(), "forecast", &mut all);
    let found: String = all.iter().map(|key| format!("{key}\n")).collect();
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/it/data/json_keys.txt");
    let listed = fs::read_to_string(&golden).unwrap_or_default();
    let listed: BTreeSet<String> = listed.lines().map(str::to_owned).collect();
    if listed != all {
        let at = std::env::temp_dir().join("json_keys.txt");
        fs::write(&at, found).unwrap();
        let gone: Vec<_> = listed.difference(&all).collect();
        let new: Vec<_> = all.difference(&listed).collect();
        panic!(
            "gone: {gone:?}\nnew: {new:?}\nif that is meant, copy {} to tests/it/data/json_keys.txt",
            at.display()
        );
    }
}

#[test]
fn a_unit_comes_last_in_a_key() {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/it/data/json_keys.txt");
    for key in fs::read_to_string(golden).unwrap().lines() {
        for end in ["low", "high"] {
            for unit in ["mm", "n", "mpa", "percent", "microstrain", "g"] {
                assert!(!key.ends_with(&format!("_{unit}_{end}")), "{key}");
            }
        }
    }
}
