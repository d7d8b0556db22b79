//! Files dropped on the page: read once, kept in memory, spoken of by their ids.

use super::{Served, question};
use heartside::job;
use heartside::page::{Given, Patience};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// A year of hours: 60 % in winter, 40 % in summer, at 15 C.
fn logger(rows: usize) -> String {
    let mut text = "time,temp (C),RH (%)\n".to_owned();
    let mut time: jiff::civil::DateTime = "2025-01-01T00:00".parse().unwrap();
    for row in 0..rows {
        let humidity = 50.0 + 10.0 * (row as f64 / 8760.0 * std::f64::consts::TAU).cos();
        writeln!(
            text,
            "{},15.0,{humidity:.1}",
            time.strftime("%Y-%m-%d %H:%M")
        )
        .unwrap();
        time = time.checked_add(jiff::Span::new().hours(1)).unwrap();
    }
    text
}

fn with_logger() -> String {
    job::blank().replace(
        "air = { temperature = \"18C\", humidity = \"55%\" }",
        "logger = { file = \"records/shop.csv\" }",
    )
}

#[test]
fn a_logger_is_given_in_words_and_months_and_used_by_its_id() {
    let page = Served::plain();
    let bytes = logger(8760);
    let given = page.drop_file("shop.csv", bytes.as_bytes());
    assert_eq!(given.status, 200, "{}", given.text());
    let given = given.json();
    assert_eq!(
        (&given["kind"], &given["name"]),
        (&json!("logger"), &json!("shop.csv"))
    );
    let words = given["words"].as_str().unwrap();
    for word in [
        "2025-01-01",
        "2025-12-31",
        "8760 of 8760 rows",
        "humidity 50 %",
    ] {
        assert!(words.contains(word), "`{word}` is not in: {words}");
    }
    let months = given["months"].as_array().unwrap();
    assert_eq!(months.len(), 12);
    // The mean of the cosine over January and over July.
    assert!((months[0]["humidity_percent"].as_f64().unwrap() - 59.5).abs() < 0.5);
    assert!((months[6]["humidity_percent"].as_f64().unwrap() - 40.2).abs() < 0.5);
    assert!((months[3]["temperature_celsius"].as_f64().unwrap() - 15.0).abs() < 0.01);
    // The same bytes are the same file, whatever they are called, and in another run of the program.
    assert_eq!(
        page.drop_file("again.csv", bytes.as_bytes()).json()["id"],
        given["id"]
    );
    let other = Served::plain();
    assert_eq!(
        other.drop_file("shop.csv", bytes.as_bytes()).json()["id"],
        given["id"]
    );
    assert_ne!(
        other.drop_file("shop.csv", logger(8759).as_bytes()).json()["id"],
        given["id"]
    );
    // The page speaks of it by its own name; the job may have it in a folder.
    for name in ["shop.csv", "records/shop.csv"] {
        let mut asked = question(&with_logger());
        asked["files"] = json!({ name: given["id"] });
        let answer = page.answer(&asked);
        assert_eq!(answer["problems"], json!([]), "{name}");
        assert!(
            answer["forecast"]["numbers"]
                .as_str()
                .unwrap()
                .contains("logger file records/shop.csv")
        );
    }
}

#[test]
fn a_file_that_is_not_here_is_given_at_the_key_that_names_it() {
    let page = Served::plain();
    let text = with_logger().replace(
        "# species_table = \"my-woods.csv\"",
        "species_table = \"/etc/passwd\"",
    );
    let given = page.answer(&question(&text));
    assert_eq!(given["forecast"], Value::Null);
    let problems = given["problems"].as_array().unwrap();
    let at: Vec<&Value> = problems.iter().map(|problem| &problem["at"]).collect();
    assert_eq!(
        at,
        [
            &json!(["job", "species_table"]),
            &json!(["places", "shop", "logger", "file"])
        ]
    );
    for problem in problems {
        let remedy = problem["remedy"].as_str().unwrap();
        assert!(
            remedy.starts_with("drop ") && remedy.contains("on this page"),
            "{remedy}"
        );
    }
    // No byte of the machine's own file comes out.
    assert!(!given.to_string().contains("root:"));
    let mut asked = question(&with_logger());
    asked["files"] = json!({ "shop.csv": "12-0123456789abcdef" });
    let given = page.answer(&asked);
    assert_eq!(
        given["problems"][0]["at"],
        json!(["places", "shop", "logger", "file"])
    );
    assert!(
        given["problems"][0]["remedy"]
            .as_str()
            .unwrap()
            .contains("again")
    );
}

#[test]
fn tables_of_woods_and_leaves_are_known_by_their_heads() {
    let page = Served::plain();
    let woods = "species,radial_percent,tangential_percent\nPear,4.6,9.1\n";
    let given = page.drop_file("my-woods.csv", woods.as_bytes()).json();
    assert_eq!(given["kind"], "species");
    assert_eq!(given["months"], Value::Null);
    let text = job::blank()
        .replace(
            "# species_table = \"my-woods.csv\"",
            "species_table = \"my-woods.csv\"",
        )
        .replacen("species = \"maple, sugar\"", "species = \"pear\"", 1);
    let mut asked = question(&text);
    asked["files"] = json!({ "my-woods.csv": given["id"] });
    assert_eq!(page.answer(&asked)["problems"], json!([]));
    let leaves = "leaf,width,thickness,length,bow\nA1,160 mm,12 mm,700 mm,2 mm\nA2,160 mm,12 mm,700 mm,1 mm\n";
    let given = page.drop_file("leaves.csv", leaves.as_bytes()).json();
    assert_eq!(given["kind"], "leaves", "{given}");
    assert!(given["words"].as_str().unwrap().starts_with("2 leaves"));
}

#[test]
fn what_cannot_be_read_is_refused_in_the_words_of_the_command_line() {
    let page = Served::plain();
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in [
        ("letter.csv", &b"Dear maker,\nnothing here\n"[..]),
        ("nothing.csv", b""),
        ("program.csv", b"\x7fELF\x02\x01\x01\0\0\0\0\0\0\0"),
    ] {
        let refused = page.drop_file(name, bytes);
        assert_eq!(refused.status, 422, "{name}");
        let given = refused.json();
        std::fs::write(folder.path().join(name), bytes).unwrap();
        let output = assert_cmd::Command::cargo_bin("heartside")
            .unwrap()
            .current_dir(folder.path())
            .args(["climate", name])
            .output()
            .unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        for part in ["what", "remedy"] {
            let words = given[part].as_str().unwrap();
            assert!(
                !words.is_empty() && said.contains(words),
                "`{words}` is not in: {said}"
            );
        }
    }
    // A wrong file does not hide the right one after it.
    assert_eq!(
        page.drop_file("shop.csv", logger(8760).as_bytes()).status,
        200
    );
}

#[test]
fn a_job_given_at_the_start_has_its_files_with_it() {
    let given = Given {
        name: "mine.toml".to_owned(),
        text: with_logger(),
        files: vec![("records/shop.csv".to_owned(), logger(8760).into_bytes())],
    };
    let page = Served::new(Some(given), Patience::default());
    let given = page.get("/start/given").json();
    assert_eq!(given["name"], "mine.toml");
    assert_eq!(given["text"], with_logger());
    let mut asked = question(given["text"].as_str().unwrap());
    asked["files"] = given["files"].clone();
    assert_eq!(page.answer(&asked)["problems"], json!([]));
}

#[test]
fn a_photo_is_taken_and_a_part_of_one_is_not() {
    let page = Served::plain();
    let whole = std::fs::read(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/it/data/endgrain/t_syn_01.jpg"),
    )
    .unwrap();
    let given = page.drop_file("end.jpg", &whole).json();
    assert_eq!(given["kind"], "photo", "{given}");
    assert_eq!(given["words"], "a photo of 1200 by 356 pixels");
    let refused = page.drop_file("half.jpg", &whole[..whole.len() / 2]);
    assert_eq!(refused.status, 422);
    assert!(
        refused.json()["what"]
            .as_str()
            .unwrap()
            .contains("ends before the picture does")
    );
}
