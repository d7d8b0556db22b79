//! Air in the wrong unit, swapped columns, seasons the wrong way round: a caution that names the column and the reason,
//! in `climate`, `validate` and `forecast`.

use super::{answers, changed, heartside, said};
use std::fmt::Write as _;
use std::fs;

/// A logger's year, a reading every six hours, its two columns made from the hour of the year.
fn logger(heads: &str, values: impl Fn(f64) -> (f64, f64)) -> String {
    let mut text = format!("Date Time,{heads}\n");
    let start = jiff::civil::date(2025, 1, 1).at(0, 0, 0, 0);
    for step in 0..365 * 4 {
        let hours = 6 * step;
        let time = start + jiff::Span::new().hours(hours);
        // -1 in January, 1 in July.
        let season = -(hours as f64 / 8760.0 * std::f64::consts::TAU).cos();
        let (a, b) = values(season);
        writeln!(text, "{},{a:.2},{b:.2}", time.strftime("%Y-%m-%d %H:%M")).unwrap();
    }
    text
}

/// What all three commands say of a logger's file.
fn said_of(text: &str, logger_keys: &str) -> [String; 3] {
    let job = changed(
        "seasons = { winter = \"28%\", summer = \"52%\", temperature = \"70F\" }",
        &format!("logger = {{ file = \"air.csv\"{logger_keys} }}"),
    );
    let (code, [checked, forecast]) = answers(&job, &[("air.csv", text)]);
    assert_eq!(code, Some(0), "{checked}");
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("air.csv"), text).unwrap();
    let unit = if logger_keys.contains("\"F\"") {
        "f"
    } else {
        "c"
    };
    let climate = heartside(
        folder.path(),
        &["climate", "air.csv", "--temperature-unit", unit],
    );
    [said(&climate), checked, forecast]
}

#[test]
fn fahrenheit_read_as_celsius_is_cautioned() {
    let text = logger("Temp,RH", |season| {
        (70.0 + 2.0 * season, 40.0 + 12.0 * season)
    });
    for words in said_of(&text, ", unit = \"C\"") {
        assert!(
            words.contains("`Temp`") && words.contains("likely in Fahrenheit"),
            "{words}"
        );
    }
}

#[test]
fn celsius_read_as_fahrenheit_is_cautioned() {
    let text = logger("Temp,RH", |season| (21.0 + season, 40.0 + 12.0 * season));
    for words in said_of(&text, ", unit = \"F\"") {
        assert!(
            words.contains("`Temp`") && words.contains("likely in Celsius"),
            "{words}"
        );
    }
}

#[test]
fn swapped_columns_are_cautioned() {
    let text = logger("Temp,RH", |season| (45.0 + 8.0 * season, 21.0 + season));
    for words in said_of(&text, ", unit = \"C\"") {
        assert!(words.contains("`Temp` and `RH` are swapped"), "{words}");
    }
}

#[test]
fn air_that_makes_sense_is_not_cautioned() {
    // A house, a barn in the north, a yard in the desert (Phoenix: July 34.7 C and 31 %, January 53 %, from memory).
    let airs: [(f64, f64, f64, f64); 3] = [
        (21.0, 1.5, 42.0, 12.0),
        (5.0, 14.0, 75.0, -10.0),
        (24.0, 11.0, 40.0, -14.0),
    ];
    for (mean, swing, humid, swings) in airs {
        let text = logger("Temp,RH", |season| {
            (mean + swing * season, humid + swings * season)
        });
        for words in said_of(&text, ", unit = \"C\"") {
            assert!(
                !words.contains("it is likely in") && !words.contains("swapped"),
                "{words}"
            );
            assert!(!words.contains("no air is"), "{words}");
        }
    }
}

#[test]
fn a_humidity_as_a_fraction_is_cautioned() {
    let job = changed(
        "seasons = { winter = \"28%\", summer = \"52%\"",
        "seasons = { winter = \"0.28%\", summer = \"0.52%\"",
    );
    let (_, both) = answers(&job, &[]);
    for words in both {
        assert!(
            words.contains("home: `humidity`") && words.contains("fraction"),
            "{words}"
        );
    }
}

#[test]
fn a_winter_wetter_than_its_summer_is_cautioned() {
    let job = changed(
        "winter = \"28%\", summer = \"52%\"",
        "winter = \"52%\", summer = \"28%\"",
    );
    let (_, both) = answers(&job, &[]);
    for words in both {
        assert!(
            words.contains("home: the winter, 52 %, is wetter than the summer"),
            "{words}"
        );
    }
}

#[test]
fn a_home_without_any_vapour_or_as_hot_as_a_kiln_is_cautioned() {
    let seasons = "seasons = { winter = \"28%\", summer = \"52%\", temperature = \"70F\" }";
    for (air, wanted) in [
        (
            "air = { temperature = \"20C\", humidity = \"0%\" }",
            "no air is that dry",
        ),
        (
            "air = { temperature = \"125C\", humidity = \"30%\" }",
            "no room or climate is that warm",
        ),
    ] {
        let (code, both) = answers(&changed(seasons, air), &[]);
        assert_eq!(code, Some(0), "{both:?}");
        for words in both {
            assert!(
                words.contains("home: `") && words.contains(wanted),
                "{words}"
            );
        }
    }
}

/// A weather file whose January is at 54.7 C: written from a plain year, in the form of EnergyPlus.
#[test]
fn a_weather_file_with_a_hot_january_is_cautioned() {
    let mut text = String::from("LOCATION,Nowhere,-,USA,TMY3,1,40.0,-100.0,-7.0,1000.0\n");
    for line in [
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVING,No,0,0,0",
        "COMMENTS 1,-",
        "COMMENTS 2,-",
        "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
    ] {
        writeln!(text, "{line}").unwrap();
    }
    let mut day = jiff::civil::date(2025, 1, 1);
    for _ in 0..365 {
        for hour in 1..=24 {
            let celsius = if day.month() == 1 { 54.7 } else { 12.0 };
            writeln!(
                text,
                "2025,{},{},{hour},60,?,{celsius},2.0,40,90000",
                day.month(),
                day.day()
            )
            .unwrap();
        }
        day = day.tomorrow().unwrap();
    }
    let job = changed(
        "seasons = { winter = \"28%\", summer = \"52%\", temperature = \"70F\" }",
        "weather = \"air.epw\"",
    );
    let (code, both) = answers(&job, &[("air.epw", &text)]);
    assert_eq!(code, Some(0), "{both:?}");
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("air.epw"), &text).unwrap();
    let climate = said(&heartside(folder.path(), &["climate", "air.epw"]));
    for words in both.iter().chain([&climate]) {
        assert!(
            words.contains("`Dry Bulb Temperature` has a January of 55 C"),
            "{words}"
        );
    }
}
