//! The command `species`.

use crate::run::read;
use assert_cmd::Command;
use heartside::species::SpeciesTable;
use serde_json::Value;

fn species(arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("heartside").unwrap();
    command.arg("species").args(arguments);
    command
}

fn json(arguments: &[&str]) -> Value {
    read(&species(arguments).arg("--json").output().unwrap())
}

fn words(mut command: Command, code: i32) -> String {
    let output = command.output().unwrap();
    assert_eq!(output.status.code(), Some(code));
    assert!(output.stdout.is_empty());
    String::from_utf8(output.stderr).unwrap()
}

/// Wood Handbook Table 4-3: white oak 5.6 and 10.5 %.
#[test]
fn machine_output_names_units_and_sources() {
    let all = json(&[]);
    let woods = all["species"].as_array().unwrap();
    assert_eq!(woods.len(), SpeciesTable::built_in().all().len());
    for wood in woods {
        for key in [
            "name",
            "tangential_percent",
            "radial_percent",
            "source",
            "status",
        ] {
            assert!(!wood[key].is_null(), "{wood}");
        }
    }
    let one = json(&["Oak, white"]);
    let oak = &one["species"][0];
    assert_eq!(oak["name"], "Oak, white");
    assert_eq!(oak["latin"], "Quercus alba");
    assert_eq!(oak["tangential_percent"], 10.5);
    assert_eq!(oak["radial_percent"], 5.6);
    assert_eq!(oak["status"], "seen");
    assert_eq!(
        oak["modulus_mpa_source"],
        "FPL-GTR-190 Table 5-3a, from a transcription of the printed rows"
    );
    assert!(
        oak["shear_modulus_rt_mpa_rule"]
            .as_str()
            .unwrap()
            .contains("judgement")
    );
}

#[test]
fn plain_words_tell_where_each_figure_comes_from() {
    let output = species(&["quercus alba"]).output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.starts_with("Oak, white (Quercus alba)\n"));
    let line = text
        .lines()
        .find(|line| line.contains("tangential, along"))
        .unwrap();
    assert!(
        line.contains("10.5 %") && line.ends_with("FPL-GTR-190 Table 4-3, read there"),
        "{line}"
    );
    let list = species(&[]).output().unwrap();
    let list = String::from_utf8(list.stdout).unwrap();
    assert!(list.lines().nth(1).unwrap().starts_with("Alder, red"));
    assert!(list.contains("woods, groups and sheets."));
}

#[test]
fn a_table_of_ones_own_comes_from_a_file_or_standard_input() {
    let text = "species,radial_percent,tangential_percent\nPear,4.6,9.1\n";
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("woods.csv");
    std::fs::write(&path, text).unwrap();
    let from_file = json(&["pear", "--species-table", path.to_str().unwrap()]);
    assert_eq!(from_file["species"][0]["tangential_percent"], 9.1);
    assert_eq!(from_file["species"][0]["status"], "given");
    let mut command = species(&["pear", "--species-table", "-", "--json"]);
    let output = command.write_stdin(text).output().unwrap();
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(value["species"][0]["source"], "standard input");
}

#[test]
fn bad_input_ends_with_2_or_3_and_says_what_to_do() {
    let unknown = words(species(&["blak walnut"]), 2);
    assert!(
        unknown.starts_with("error: no wood named `blak walnut`")
            && unknown.contains("Walnut, black")
    );
    assert!(words(species(&["maple"]), 2).contains("say which one: \"Maple, bigleaf\""));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_str().unwrap();
    assert!(words(species(&["--species-table", path]), 3).contains("could not read"));
    let missing = folder.path().join("none.csv");
    assert!(
        words(species(&["--species-table", missing.to_str().unwrap()]), 3).contains("none.csv")
    );
    let latin1 = folder.path().join("latin1.csv");
    std::fs::write(
        &latin1,
        b"species,radial_percent,tangential_percent\nPoir\xe9,4,9\n",
    )
    .unwrap();
    let given = words(species(&["--species-table", latin1.to_str().unwrap()]), 2);
    assert!(
        given.contains("line 2") && given.contains("UTF-8"),
        "{given}"
    );
    let large = folder.path().join("large.csv");
    std::fs::write(&large, "x".repeat(1_000_001)).unwrap();
    assert!(
        words(species(&["--species-table", large.to_str().unwrap()]), 2).contains("larger than")
    );
    let mut empty = species(&["--species-table", "-"]);
    empty.write_stdin("");
    assert!(words(empty, 2).contains("holds no wood"));
}
