//! A logger's file in every form it comes in, and every way it can be bad.

use heartside::air::DropReason;
use heartside::air::logger::{LoggerReading, Options, Unread, read};
use jiff::civil::DateTime;
use proptest::prelude::*;
use std::fmt::Write as _;

/// Hourly times from 5 January 2024 00:00.
pub(super) fn hours(count: i64) -> impl DoubleEndedIterator<Item = DateTime> {
    let start = DateTime::constant(2024, 1, 5, 0, 0, 0, 0);
    (0..count).map(move |hour| start + jiff::SignedDuration::from_hours(hour))
}

/// A file of a header and a row an hour.
pub(super) fn file(header: &str, count: i64, row: impl Fn(usize, DateTime) -> String) -> String {
    let mut text = format!("{header}\n");
    for (index, time) in hours(count).enumerate() {
        writeln!(text, "{}", row(index, time)).unwrap();
    }
    text
}

/// Five days of 20 C and 40 %.
fn plain(header: &str) -> String {
    file(header, 120, |_, time| format!("{},20.0,40.0", iso(time)))
}

pub(super) fn iso(time: DateTime) -> String {
    time.strftime("%Y-%m-%d %H:%M:%S").to_string()
}

pub(super) fn reading(text: &str) -> LoggerReading {
    read(text.as_bytes(), &Options::default()).unwrap()
}

pub(super) fn refusal(text: &str) -> Unread {
    read(text.as_bytes(), &Options::default()).unwrap_err()
}

fn with_columns(text: &str, columns: &[&str]) -> Result<LoggerReading, Unread> {
    let options = Options {
        columns: columns.iter().map(ToString::to_string).collect(),
        ..Options::default()
    };
    read(text.as_bytes(), &options)
}

/// All rows used, and the whole record at one temperature and humidity.
fn assert_all(reading: &LoggerReading, rows: usize, celsius: f64, percent: f64) {
    assert_eq!(reading.rows_read, rows, "{reading:?}");
    assert_eq!(reading.rows_used, rows);
    assert_eq!(reading.rows_dropped.total(), 0);
    for hour in reading.record.hours() {
        let air = hour.unwrap();
        assert!(
            (air.temperature.celsius() - celsius).abs() < 1e-9,
            "{air:?}"
        );
        assert!((air.humidity.percent() - percent).abs() < 1e-9, "{air:?}");
    }
}

#[test]
fn a_plain_file() {
    let reading = reading(&plain("time,temperature (C),relative humidity (%)"));
    assert_all(&reading, 120, 20.0, 40.0);
    assert_eq!(reading.delimiter, ',');
    assert_eq!(reading.header_line, Some(1));
    assert_eq!(reading.temperature_unit, "C");
    assert!(reading.notes.is_empty(), "{:?}", reading.notes);
    assert_eq!(
        reading.record.start(),
        DateTime::constant(2024, 1, 5, 0, 0, 0, 0)
    );
    assert_eq!(reading.record.hours().len(), 120);
    assert_eq!(reading.record.usual_step_seconds(), 3600);
}

#[test]
fn the_header_is_found_by_what_it_says() {
    let above = "Logger report\nSerial number,12345\nInterval,1 hour\n\n\
                 Temperature and humidity of the shop\n\n";
    let text = format!("{above}{}", plain("Time,Temp (C),RH (%)"));
    let reading = reading(&text);
    assert_all(&reading, 120, 20.0, 40.0);
    assert_eq!(reading.header_line, Some(7));
}

#[test]
fn semicolons_and_decimal_commas() {
    let text = file("Zeit;Temperatur (°C);rel. Feuchte (%)", 120, |_, time| {
        format!("{};20,5;40,25", iso(time))
    });
    assert_all(&reading(&text), 120, 20.5, 40.25);
}

#[test]
fn tabs_and_decimal_commas() {
    let text = file("Time\tT (C)\tRH (%)", 120, |_, time| {
        format!("{}\t-3,5\t81,0", iso(time))
    });
    let reading = reading(&text);
    assert_all(&reading, 120, -3.5, 81.0);
    assert_eq!(reading.delimiter, '\t');
}

#[test]
fn quoted_decimal_commas_between_commas() {
    let text = file("Time,\"Temp, °C\",\"RH, %\"", 120, |_, time| {
        format!("{},\"20,5\",\"40,25\"", iso(time))
    });
    let reading = reading(&text);
    assert_all(&reading, 120, 20.5, 40.25);
    assert_eq!(reading.temperature_column, "Temp, °C");
}

#[test]
fn bare_decimal_commas_between_commas_are_refused() {
    let text = file("Time,Temp (C),RH (%)", 120, |_, time| {
        format!("{},20,5,40,2", iso(time))
    });
    let error = refusal(&text);
    assert!(
        error
            .to_string()
            .contains("line 2 holds 5 fields under 3 columns")
    );
    assert!(error.to_string().contains("semicolons between the columns"));
}

#[test]
fn byte_order_marks_utf_16_and_windows_1252() {
    let text = plain("Time,Temp (°C),RH (%)");
    let marked = [b"\xEF\xBB\xBF", text.as_bytes()].concat();
    let wide = |order: fn(u16) -> [u8; 2], mark: bool| -> Vec<u8> {
        let mark = mark.then_some('\u{feff}');
        let units = mark.into_iter().chain(text.chars());
        let mut buffer = [0; 2];
        units
            .flat_map(|letter| letter.encode_utf16(&mut buffer).to_vec())
            .flat_map(order)
            .collect()
    };
    let latin: Vec<u8> = text.chars().map(|letter| u32::from(letter) as u8).collect();
    for (bytes, encoding) in [
        (marked, "UTF-8"),
        (wide(u16::to_le_bytes, true), "UTF-16LE"),
        (wide(u16::to_be_bytes, true), "UTF-16BE"),
        (wide(u16::to_le_bytes, false), "UTF-16LE"),
        (wide(u16::to_be_bytes, false), "UTF-16BE"),
        (latin, "windows-1252"),
    ] {
        let reading = read(&bytes, &Options::default()).unwrap();
        assert_eq!(reading.encoding, encoding);
        assert_all(&reading, 120, 20.0, 40.0);
        assert_eq!(reading.temperature_column, "Temp (°C)");
    }
}

#[test]
fn fahrenheit_by_header_by_a_row_of_units_by_the_cell_and_as_given() {
    let by_header = file("Time,\"Temp, °F\",\"RH, %\"", 120, |_, time| {
        format!("{},68,40", iso(time))
    });
    let by_units = file("Time,Temp,RH\n,°F,%", 120, |_, time| {
        format!("{},68,40", iso(time))
    });
    let by_cell = file("Time,Temp,RH", 120, |_, time| {
        format!("{},68.0°F,40%", iso(time))
    });
    for text in [by_header, by_units, by_cell] {
        let reading = reading(&text);
        assert_eq!(reading.temperature_unit, "F");
        assert_all(&reading, 120, 20.0, 40.0);
    }
    let bare = file("Time,Temp,RH", 120, |_, time| {
        format!("{},68,40", iso(time))
    });
    let error = refusal(&bare);
    assert!(error.asks(), "{error}");
    assert!(error.to_string().contains("--temperature-unit F"));
    let given = Options {
        fahrenheit: Some(true),
        ..Options::default()
    };
    assert_all(&read(bare.as_bytes(), &given).unwrap(), 120, 20.0, 40.0);
}

#[test]
fn a_temperature_without_unit_is_celsius_and_said_so() {
    let reading = reading(&plain("t_UTC+2,T,RH"));
    assert_all(&reading, 120, 20.0, 40.0);
    assert_eq!(reading.offset_minutes, Some(120));
    assert!(
        reading.notes[0].contains("names no unit"),
        "{:?}",
        reading.notes
    );
}

#[test]
fn a_humidity_given_as_a_share_is_said_so() {
    let text = file("time,temperature (C),humidity", 120, |_, time| {
        format!("{},20,0.40", iso(time))
    });
    let reading = reading(&text);
    assert_all(&reading, 120, 20.0, 40.0);
    assert!(reading.notes[0].contains("share of saturation"));
}

#[test]
fn a_dew_point_stands_in_for_the_humidity() {
    // 20 C with dew at 6.0 C: 40.0 % (ASHRAE chart, 0.2).
    let text = file("time,temperature (C),dew point (C)", 120, |_, time| {
        format!("{},20,6.0", iso(time))
    });
    let percent = reading(&text).record.hours()[0].unwrap().humidity.percent();
    assert!((percent - 40.0).abs() < 0.2, "{percent}");
}

#[test]
fn other_columns_are_not_taken_for_the_air() {
    let header = "time,temperature (C),humidity (%),dew point (C),wet bulb (C),max temp (C),\
                  absolute humidity (g/m3),battery (V),set point (C)";
    let text = file(header, 120, |_, time| {
        format!("{},20.0,40.0,6,12,25,7,3.1,19", iso(time))
    });
    assert_all(&reading(&text), 120, 20.0, 40.0);
}

#[test]
fn weather_columns_beside_the_air() {
    let text = file("t_UTC+2,Te,RHe,Rdif,Rglob,ws,wd,precip", 120, |_, time| {
        format!("{},-3.6,91.0,0.0,0.0,2.4,47.0,0.0", iso(time))
    });
    assert_all(&reading(&text), 120, -3.6, 91.0);
}

fn two_sensors() -> String {
    file(
        "time,Shop temp (C),Shop RH (%),Attic temp (C),Attic RH (%)",
        120,
        |_, time| format!("{},20,40,30,25", iso(time)),
    )
}

#[test]
fn between_two_sensors_nothing_is_guessed() {
    let error = refusal(&two_sensors());
    assert!(error.asks());
    let words = "several columns hold a temperature: `Shop temp (C)`, `Attic temp (C)`; say which with --column";
    assert!(error.to_string().contains(words), "{error}");
}

#[test]
fn a_sensor_is_given_by_its_name_its_column_or_its_number() {
    for columns in [
        &["Attic"][..],
        &["attic rh"],
        &["Attic temp (C)"],
        &["Attic temp (C)", "Attic RH (%)"],
        &["4", "5"],
        &["4"],
        &["temperature=Attic temp (C)", "humidity=Attic RH (%)"],
        &["temperature=4", "humidity=5"],
    ] {
        let reading = with_columns(&two_sensors(), columns).unwrap();
        assert_all(&reading, 120, 30.0, 25.0);
    }
    let mixed = with_columns(&two_sensors(), &["temperature=Shop temp (C)", "humidity=5"]).unwrap();
    assert_all(&mixed, 120, 20.0, 25.0);
}

#[test]
fn numbered_sensors_pair_by_their_number() {
    let text = file("time,T1 (C),RH1 (%),T2 (C),RH2 (%)", 120, |_, time| {
        format!("{},20,40,30,25", iso(time))
    });
    assert!(refusal(&text).asks());
    assert_all(&with_columns(&text, &["T2"]).unwrap(), 120, 30.0, 25.0);
    assert_all(&with_columns(&text, &["RH1"]).unwrap(), 120, 20.0, 40.0);
}

#[test]
fn a_wrong_column_is_answered_with_the_right_ones() {
    let error = with_columns(&two_sensors(), &["Cellar"]).unwrap_err();
    assert!(!error.asks());
    assert!(error.to_string().contains("`Attic RH (%)`"), "{error}");
    let text = file("time,Shop,temp (C),RH (%)", 120, |_, time| {
        format!("{},1,20,40", iso(time))
    });
    let error = with_columns(&text, &["Shop"]).unwrap_err();
    assert!(error.asks(), "{error}");
    assert!(error.to_string().contains("temperature=Shop"));
}

#[test]
fn unnamed_columns_can_be_given() {
    let text = file("time,Probe A,Probe B", 120, |_, time| {
        format!("{},20,40", iso(time))
    });
    let error = refusal(&text);
    assert!(
        error
            .to_string()
            .contains("no column is recognised as temperature"),
        "{error}"
    );
    let given = ["temperature=Probe A", "humidity=Probe B"];
    assert_all(&with_columns(&text, &given).unwrap(), 120, 20.0, 40.0);
    // No header at all: columns by their number.
    let (_, body) = text.split_once('\n').unwrap();
    let reading = with_columns(body, &["temperature=2", "humidity=3"]).unwrap();
    assert_all(&reading, 120, 20.0, 40.0);
    assert_eq!(reading.header_line, None);
}

#[test]
fn one_sensor_in_two_units_is_one_sensor() {
    let text = file(
        "time,Temperature (F),Temperature (C),RH (%)",
        120,
        |_, time| format!("{},68,20,40", iso(time)),
    );
    assert_all(&reading(&text), 120, 20.0, 40.0);
}

#[test]
fn rows_are_dropped_by_reason_and_counted() {
    let text = file("time,temp (C),RH (%)", 120, |index, time| {
        let time = iso(time);
        match index {
            3 => format!("{time},20,0"),
            4 => format!("{time},20,-2"),
            5 => format!("{time},20,104.2"),
            6 => format!("{time},NaN,40"),
            7 => format!("{time},,40"),
            8 => format!("{time},20,"),
            9 => format!("{time},--,40"),
            10 => format!("{time},error,40"),
            11 => format!("{time},-999,40"),
            12 => "not a time,20,40".to_owned(),
            13 => format!("{time},20,inf"),
            14 => "2024-13-45 10:00:00,20,40".to_owned(),
            _ => format!("{time},20,40"),
        }
    });
    let text = format!("{text}2024-01-05 00:00:00,25,55\n\nEnd of file\n");
    let reading = reading(&text);
    let dropped = |reason| reading.rows_dropped.rows(reason);
    assert_eq!(dropped(DropReason::HumidityZeroOrLess), 2);
    assert_eq!(dropped(DropReason::HumidityAbove100), 1);
    assert_eq!(dropped(DropReason::NotANumber), 3);
    assert_eq!(dropped(DropReason::EmptyCell), 3);
    assert_eq!(dropped(DropReason::TemperatureOutOfRange), 1);
    assert_eq!(dropped(DropReason::UnreadableTime), 3);
    assert_eq!(dropped(DropReason::RepeatedTime), 1);
    assert_eq!(reading.rows_read, 122);
    assert_eq!(reading.rows_used + reading.rows_dropped.total(), 122);
    // The repeated time keeps its first reading.
    assert_eq!(
        reading.record.hours()[0].unwrap().temperature.celsius(),
        20.0
    );
}

#[test]
fn newest_first_is_turned_round() {
    let mut text = "time,temp (C),RH (%)\n".to_owned();
    for (index, time) in hours(120).enumerate().collect::<Vec<_>>().into_iter().rev() {
        writeln!(text, "{},{},40", iso(time), index as f64 / 10.0).unwrap();
    }
    let reading = reading(&text);
    assert!(reading.newest_first);
    let celsius = |hour: usize| reading.record.hours()[hour].unwrap().temperature.celsius();
    assert_eq!(
        reading.record.start(),
        DateTime::constant(2024, 1, 5, 0, 0, 0, 0)
    );
    assert!((celsius(0) - 0.0).abs() < 1e-9 && (celsius(119) - 11.9).abs() < 1e-9);
}

#[test]
fn too_few_rows_and_too_short_a_span_are_refused() {
    let ten = file("time,temp (C),RH (%)", 10, |_, time| {
        format!("{},20,40", iso(time))
    });
    let error = refusal(&ten);
    assert!(
        error
            .to_string()
            .contains("10 usable rows of 10 are too few for a climate"),
        "{error}"
    );
    let minutes = file("time,temp (C),RH (%)", 600, |index, time| {
        let minute = time + jiff::SignedDuration::from_mins(-59 * index as i64);
        format!("{},20,40", iso(minute))
    });
    let error = refusal(&minutes);
    assert!(
        error.to_string().contains("hours, which is no climate"),
        "{error}"
    );
}

#[test]
fn what_is_no_table_is_said_so() {
    let no_times = file("number,temp (C),RH (%)", 120, |index, _| {
        format!("{index},20,40")
    });
    let no_dates = file("time,temp (C),RH (%)", 120, |_, time| {
        format!("{},20,40", time.strftime("%H:%M"))
    });
    for (bytes, words) in [
        (&b""[..], "the file is empty"),
        (b"\n \n", "the file is empty"),
        (
            b"Dear maker\nno readings here\n",
            "make columns of the lines (the first is `Dear maker`)",
        ),
        (b"PK\x03\x04rest", "no text but seems to be a spreadsheet"),
        (
            &[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11],
            "no text but seems to be",
        ),
        (
            no_times.as_bytes(),
            "no column holds dates (columns: `number`",
        ),
        (no_dates.as_bytes(), "column `time` holds times of day"),
    ] {
        let error = read(bytes, &Options::default()).unwrap_err();
        assert!(error.to_string().contains(words), "{error}");
    }
    let only_header = "time,temp (C),RH (%)\n";
    assert!(read(only_header.as_bytes(), &Options::default()).is_err());
}

#[test]
fn a_quote_left_open_does_not_swallow_the_file() {
    let text = plain("time,temp (C),RH (%)").replacen("20.0", "\"20.0", 1);
    assert_eq!(reading(&text).rows_read, 120);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_bytes_break_the_reader(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        if let Err(error) = read(&bytes, &Options::default()) {
            prop_assert!(!error.to_string().is_empty());
        }
    }

    #[test]
    fn no_text_breaks_the_reader(lines in prop::collection::vec("[0-9a-zA-Z:/., ;\t\"%°-]{0,40}", 0..40)) {
        let mut text = "time,temp (C),RH (%)\n".to_owned();
        text.push_str(&lines.join("\n"));
        if let Ok(reading) = read(text.as_bytes(), &Options::default()) {
            prop_assert_eq!(reading.rows_used + reading.rows_dropped.total(), reading.rows_read);
        }
    }
}

/// A year of readings knows its place better than a month does (sheet of judgements: 2 and 4 points, nine times in ten), a year with
/// a month missing nearly as well; the record carries how much of the year was read.
#[test]
fn how_long_a_logger_read_goes_with_its_year() {
    use heartside::job::{AirKnown, MONTH_OF_LOGGING};
    let year_of = |hours: i64| {
        let text = file("Time,T (C),RH (%)", hours, |_, time| {
            format!("{},20,45", iso(time))
        });
        reading(&text)
            .record
            .year()
            .map(|year| year.air.days_read())
    };
    // The file begins in January of a leap year, whose 29 February is left out.
    assert_eq!(year_of(366 * 24).unwrap(), Some(365));
    assert_eq!(year_of(341 * 24).unwrap(), Some(340));
    assert!(year_of(30 * 24).is_err(), "a month alone is no year");
    let within = |days| AirKnown::Logged.within_points(days);
    assert!((within(365) - 2.0).abs() < 1e-12 && (within(MONTH_OF_LOGGING) - 4.0).abs() < 1e-12);
    assert!((within(340) - 2.0).abs() < 0.1);
    let widths: Vec<f64> = (1..=400).map(within).collect();
    assert!(widths.windows(2).all(|pair| pair[1] <= pair[0]));
    assert!(
        heartside::air::AirYear::constant(heartside::air::AirState::computed(20.0, 40.0))
            .days_read()
            .is_none()
    );
}
