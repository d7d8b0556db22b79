//! The commands `emc` and `climate` as others script them.

use super::logger::{file, iso};
use crate::run::{number, object as json};
use assert_cmd::Command;
use serde_json::Value;

fn run(args: &[&str]) -> assert_cmd::assert::Assert {
    Command::cargo_bin("heartside").unwrap().args(args).assert()
}

fn words_of_failure(args: &[&str], code: i32) -> String {
    let output = run(args).code(code).get_output().clone();
    assert!(output.stdout.is_empty());
    let words = String::from_utf8(output.stderr).unwrap();
    assert!(!words.contains("panicked"), "{words}");
    words
}

#[test]
fn emc_of_room_air_is_the_handbooks() {
    // Wood Handbook Table 4-2: 70 F, 50 % gives 9.2 %.
    let answer = json(&["emc", "--temperature", "70F", "--humidity", "50%", "--json"]);
    assert!((number(&answer, "emc_percent") - 9.2).abs() < 0.1);
}

#[test]
fn emc_inverse_is_read_back() {
    let answer = json(&["emc", "--moisture", "8%", "--temperature", "70F", "--json"]);
    // The table's cells next to 8 %: 40 % gives 7.7, 45 % gives 8.4.
    assert!((40.0..45.0).contains(&number(&answer, "humidity_percent")));
    let words = words_of_failure(&["emc", "--moisture", "60%", "--temperature", "70F"], 2);
    assert!(
        words.contains("saturated air makes no more than"),
        "{words}"
    );
}

#[test]
fn emc_indoors_adds_no_house_moisture_and_says_so() {
    let args = [
        "emc",
        "--temperature",
        "0C",
        "--humidity",
        "80%",
        "--indoors",
        "21C",
    ];
    let answer = json(&[&args[..], &["--json"]].concat());
    assert!((number(&answer, "indoor_humidity_percent") - 19.65).abs() < 0.02);
    assert!((4.0..5.0).contains(&number(&answer, "indoor_emc_percent")));
    assert_eq!(answer["house_moisture_added"], Value::Bool(false));
    let output = run(&args).success().get_output().stdout.clone();
    let words = String::from_utf8(output).unwrap();
    assert!(
        words.contains("No moisture of the house itself is added"),
        "{words}"
    );
}

#[test]
fn emc_refuses_what_it_cannot_read() {
    let words = words_of_failure(&["emc", "--temperature", "70F", "--humidity", "150%"], 2);
    assert!(words.contains("0% to 100%"), "{words}");
    let words = words_of_failure(&["emc", "--temperature", "70", "--humidity", "50%"], 2);
    assert!(words.contains("70F") || words.contains("64F"), "{words}");
    words_of_failure(&["emc", "--temperature", "70F"], 2);
    // A negative temperature is no flag.
    let cold = json(&[
        "emc",
        "--temperature",
        "-10C",
        "--humidity",
        "80%",
        "--json",
    ]);
    assert!((15.0..18.0).contains(&number(&cold, "emc_percent")));
}

/// Forty days with one row of each fault, as a file on disk.
fn on_disk(name: &str, text: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    std::fs::write(&path, text).unwrap();
    let path = path.to_str().unwrap().to_owned();
    (folder, path)
}

fn forty_days() -> String {
    file("time,temp (C),RH (%)", 40 * 24, |index, time| match index {
        7 => format!("{},20,0", iso(time)),
        8 => format!("{},20,", iso(time)),
        _ => format!("{},20,40", iso(time)),
    })
}

#[test]
fn climate_tells_months_and_what_was_dropped() {
    let (_folder, path) = on_disk("shop.csv", &forty_days());
    let answer = json(&["climate", &path, "--json"]);
    assert_eq!(answer["rows_read"], 960);
    assert_eq!(answer["rows_used"], 958);
    assert_eq!(answer["rows_dropped"]["humidity_zero_or_less"], 1);
    assert_eq!(answer["rows_dropped"]["empty_cell"], 1);
    assert_eq!(answer["gaps"], Value::Array(vec![]));
    let months = answer["months"].as_array().unwrap();
    assert_eq!(months.len(), 2);
    assert_eq!(months[0]["month"], 1);
    assert!((number(&months[0], "temperature_c") - 20.0).abs() < 1e-9);
    assert!((number(&months[0], "humidity_percent") - 40.0).abs() < 1e-9);
    // Wood Handbook Table 4-2, 70 F and 40 %: 7.7 %.
    assert!((number(&months[0], "emc_percent") - 7.7).abs() < 0.1);
    assert_eq!(answer["missing_months"].as_array().unwrap().len(), 10);
}

#[test]
fn climate_reads_standard_input() {
    let output = Command::cargo_bin("heartside")
        .unwrap()
        .args(["climate", "-", "--json"])
        .write_stdin(forty_days())
        .assert()
        .success()
        .get_output()
        .stdout
        .clone();
    let answer: Value = serde_json::from_slice(&output).unwrap();
    assert_eq!(answer["source"]["name"], "standard input");
}

#[test]
fn climate_asks_for_the_sensor_and_the_order_of_dates() {
    let two = file(
        "time,A temp (C),A RH (%),B temp (C),B RH (%)",
        48,
        |_, time| format!("{},20,40,10,70", time.strftime("%d/%m/%Y %H:%M")),
    );
    let (_folder, path) = on_disk("two.csv", &two);
    let words = words_of_failure(&["climate", &path, "--column", "B"], 2);
    assert!(
        words.contains("--date-order") && words.contains("two.csv"),
        "{words}"
    );
    let words = words_of_failure(&["climate", &path, "--date-order", "dmy"], 2);
    assert!(words.contains("--column"), "{words}");
    let answer = json(&[
        "climate",
        &path,
        "--column",
        "B",
        "--date-order",
        "dmy",
        "--json",
    ]);
    assert!((number(&answer["months"][0], "humidity_percent") - 70.0).abs() < 1e-9);
    assert_eq!(answer["months"][0]["month"], 1);
}

#[test]
fn climate_of_a_place_brought_indoors() {
    let answer = json(&[
        "climate",
        "--place",
        "Denver",
        "--indoors",
        "20C",
        "--humidify-to",
        "35%",
        "--json",
    ]);
    let months = answer["indoor_months"].as_array().unwrap();
    assert_eq!(months.len(), 12);
    for month in months {
        assert!(number(month, "humidity_min_percent") >= 35.0 - 1e-9);
        assert!(number(month, "temperature_c") >= 20.0 - 1e-9);
    }
    let words = words_of_failure(&["climate", "--place", "Denvar"], 2);
    assert!(words.contains("did you mean Denver"), "{words}");
}

#[test]
fn climate_beside_a_measured_house() {
    let outdoor = file("time,Te,RHe", 40 * 24, |_, time| {
        format!("{},0,80", iso(time))
    });
    let indoor = file("time,T,RH", 40 * 24, |_, time| {
        format!("{},21,35.93", iso(time))
    });
    let (_one, outdoor) = on_disk("out.csv", &outdoor);
    let (_two, indoor) = on_disk("in.csv", &indoor);
    let answer = json(&["climate", &outdoor, "--beside", &indoor, "--json"]);
    let models = answer["beside"].as_array().unwrap();
    // 489 Pa outdoors and 405 Pa of the house at 21 C: 35.93 %.
    assert!(
        number(&models[0], "humidity_rms_points") < 0.05,
        "{}",
        models[0]
    );
    assert!(models[0]["model"].as_str().unwrap().contains("405 Pa"));
    assert!(models.len() >= 6);
}

#[test]
fn climate_refuses_what_is_no_file_of_air() {
    words_of_failure(&["climate", "no-such-file.csv"], 3);
    words_of_failure(&["climate", "."], 3);
    let (_folder, path) = on_disk("letter.csv", "Dear maker,\nnothing here\n");
    words_of_failure(&["climate", &path], 2);
    words_of_failure(&["climate"], 2);
}
