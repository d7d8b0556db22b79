//! EPW weather files of our own making.

use heartside::air::epw::{EpwReading, read};
use heartside::air::logger::Options;
use heartside::air::weather_file::{self, WeatherFile};
use heartside::air::{AirState, DropReason, MONTH_DAYS};
use heartside::units::Refusal;
use jiff::civil::date;

const HEAD: &str = "LOCATION,Harbour Quay AP,XX,ABC,Own,000001,51.50000,-3.2000,0.0,12.0\n\
    DESIGN CONDITIONS,0\n\
    TYPICAL/EXTREME PERIODS,0\n\
    GROUND TEMPERATURES,0\n\
    HOLIDAYS/DAYLIGHT SAVING,No,0,0,0\n\
    COMMENTS 1,\"made up, for tests\"\n\
    COMMENTS 2,none\n\
    DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n";

/// Year of a month's rows: a typical year is put together from several.
fn year_of(month: usize) -> usize {
    1980 + 3 * month % 20
}

fn row(month: usize, day: usize, hour: usize, air: &str) -> String {
    format!(
        "{},{month},{day},{hour},0,?9?9?9E0,{air},99500,0,0,300,0,0,0,0,0,0,0,200,3.1\n",
        year_of(month)
    )
}

/// A file whose dry bulb is the month and a hundredth of the hour, 70 % all year.
fn file(leap: bool, air: impl Fn(usize, usize, usize) -> String) -> String {
    let mut text = HEAD.to_owned();
    for month in 1..=12 {
        let days = MONTH_DAYS[month - 1] + usize::from(leap && month == 2);
        for day in 1..=days {
            for hour in 1..=24 {
                text.push_str(&row(month, day, hour, &air(month, day, hour)));
            }
        }
    }
    text
}

fn plain_air(month: usize, _: usize, hour: usize) -> String {
    format!("{:.2},0.0,70", month as f64 + hour as f64 / 100.0)
}

fn reading(text: &str) -> EpwReading {
    read(text.as_bytes()).unwrap()
}

fn refusal(text: &str) -> Refusal {
    read(text.as_bytes()).unwrap_err()
}

#[test]
fn a_typical_year_of_mixed_years() {
    let reading = reading(&file(false, plain_air));
    assert_eq!(reading.station, "Harbour Quay AP");
    assert_eq!(reading.region, "XX, ABC");
    assert_eq!(reading.latitude_degrees, Some(51.5));
    assert_eq!(reading.elevation_m, Some(12.0));
    assert_eq!((reading.rows_read, reading.rows_used), (8760, 8760));
    assert_eq!(reading.rows_dropped.total(), 0);
    let years: Vec<_> = (1..=12).map(|month| year_of(month) as i16).collect();
    assert_eq!(
        reading.years,
        Some((*years.iter().min().unwrap(), *years.iter().max().unwrap()))
    );
    let states = reading.air.states();
    // Hour 1 ends at 01:00: it is the first of the year; hour 24 the last of its day.
    assert!((states[0].temperature.celsius() - 1.01).abs() < 1e-9);
    assert!((states[23].temperature.celsius() - 1.24).abs() < 1e-9);
    assert!((states[8759].temperature.celsius() - 12.24).abs() < 1e-9);
    assert!(reading.bridged.is_empty());
}

#[test]
fn a_leap_year_loses_its_29_february() {
    let reading = reading(&file(true, plain_air));
    assert_eq!(
        (reading.rows_read, reading.rows_used, reading.leap_day_rows),
        (8784, 8760, 24)
    );
    assert_eq!(reading.air.states().len(), 8760);
    assert!((reading.air.states()[59 * 24].temperature.celsius() - 3.01).abs() < 1e-9);
}

#[test]
fn a_name_in_latin_1_and_quotes_is_read() {
    let text = file(false, plain_air).replacen("Harbour Quay AP", "\"Montréal, Mirabel\"", 1);
    let latin: Vec<u8> = text.chars().map(|letter| u32::from(letter) as u8).collect();
    assert_eq!(read(&latin).unwrap().station, "Montréal, Mirabel");
}

#[test]
fn missing_values_are_bridged_given_and_the_dew_point_stands_in() {
    let text = file(false, |month, day, hour| match (month, day, hour) {
        (3, 10, 1..=24) => "99.9,99.9,999".to_owned(),
        (3, 12, 5) => "10.0,10.0,999".to_owned(),
        (3, 12, 6) => "10.0,99.9,999".to_owned(),
        (3, 12, 7) => "10.0,5.0,104".to_owned(),
        (3, 12, 8) => "10.0,5.0,0".to_owned(),
        (3, 12, 9) => ",5.0,50".to_owned(),
        (3, 12, 10) => "warm,5.0,50".to_owned(),
        _ => "10.0,5.0,70".to_owned(),
    });
    let reading = reading(&text);
    assert_eq!(reading.rows_dropped.rows(DropReason::MissingValue), 25);
    assert_eq!(reading.rows_dropped.rows(DropReason::HumidityZeroOrLess), 1);
    assert_eq!(reading.rows_dropped.rows(DropReason::EmptyCell), 1);
    assert_eq!(reading.rows_dropped.rows(DropReason::NotANumber), 1);
    assert_eq!((reading.dew_point_rows, reading.saturated_rows), (1, 1));
    assert!(
        reading
            .bridged
            .contains(&(date(2001, 3, 10), date(2001, 3, 10)))
    );
    let hour = |day: usize, hour: usize| reading.air.states()[(58 + day) * 24 + hour - 1];
    assert_eq!(hour(12, 5).humidity.percent(), 100.0);
    assert!((hour(10, 12).humidity.percent() - 70.0).abs() < 0.01);
}

#[test]
fn a_truncated_file_is_refused_with_the_days_that_are_missing() {
    let text = file(false, plain_air);
    let cut = text.find("\n2000,8,3,").map_or(text.len() / 2, |at| at);
    let error = refusal(&text[..cut + 20]);
    assert!(error.message().contains(" to 31 Dec"), "{error}");
    assert!(error.to_string().contains("cut off"), "{error}");
    for (text, words) in [
        (HEAD, "no hourly rows"),
        ("LOCATION,Here", "no hourly rows"),
        ("time,temp\n1,2\n", "does not begin with a LOCATION line"),
        ("", "the file is empty"),
    ] {
        assert!(refusal(text).message().contains(words), "{}", refusal(text));
    }
}

#[test]
fn two_rows_an_hour_are_one_hour_and_a_repeated_row_is_dropped() {
    let text = file(false, plain_air);
    let doubled: String = text
        .lines()
        .map(|line| {
            if line.starts_with(char::is_numeric) {
                let half = line.replacen(",0,?9", ",30,?9", 1);
                format!("{half}\n{line}\n")
            } else {
                format!("{line}\n")
            }
        })
        .collect();
    let reading = reading(&doubled);
    assert_eq!((reading.rows_read, reading.rows_used), (2 * 8760, 2 * 8760));
    let last = text.lines().last().unwrap();
    let repeated = self::reading(&format!("{text}{last}\n"));
    assert_eq!(repeated.rows_dropped.rows(DropReason::RepeatedTime), 1);
}

#[test]
fn weather_files_and_loggers_are_given_apart_by_what_they_hold() {
    let epw = file(false, plain_air);
    let read = |bytes: &[u8]| weather_file::read(bytes, "air.csv", &Options::default());
    let reading = read(epw.as_bytes()).unwrap();
    assert!(matches!(reading, WeatherFile::Epw(_)));
    assert_eq!(reading.year("air.csv").unwrap().states().len(), 8760);
    assert_eq!(reading.months().len(), 12);
    let marked = [b"\xEF\xBB\xBF", epw.as_bytes()].concat();
    assert!(matches!(read(&marked), Ok(WeatherFile::Epw(_))));

    let logger = super::logger::file("time,temp (C),RH (%)", 366 * 24, |_, time| {
        format!("{},20,40", super::logger::iso(time))
    });
    let reading = read(logger.as_bytes()).unwrap();
    assert!(matches!(reading, WeatherFile::Logger(_)));
    assert!(reading.warnings().is_empty(), "{:?}", reading.warnings());
    let year = reading.year("air.csv").unwrap();
    assert_eq!(year.states()[100], AirState::computed(20.0, 40.0));
    assert!(year.is_constant());
    assert!(
        read(b"nothing")
            .unwrap_err()
            .to_string()
            .starts_with("`air.csv`: ")
    );
}
