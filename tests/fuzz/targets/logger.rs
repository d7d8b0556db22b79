//! A logger's file, with and without what a maker may say about it; where it gives air, the air is air.
#![no_main]

use heartside::air::AirState;
use heartside::air::logger::{self, DateOrder, Options};
use heartside::air::weather_file;
use libfuzzer_sys::fuzz_target;

fn is_air(air: &AirState) {
    let celsius = air.temperature.celsius();
    let percent = air.humidity.percent();
    assert!((-100.0..=200.0).contains(&celsius), "{celsius} C");
    assert!((0.0..=100.0).contains(&percent), "{percent} %");
}

fn read(bytes: &[u8], options: &Options) {
    match logger::read(bytes, options) {
        Err(error) => assert!(!error.to_string().is_empty()),
        Ok(reading) => {
            assert!(reading.rows_used + reading.rows_dropped.total() <= reading.rows_read);
            reading.record.hours().iter().flatten().for_each(is_air);
            for month in reading.record.months_of_the_year() {
                assert!(month.hours > 0);
            }
            if let Ok(year) = reading.record.year() {
                year.air.states().iter().for_each(is_air);
            }
        }
    }
}

fuzz_target!(|bytes: &[u8]| {
    read(bytes, &Options::default());
    let said = Options {
        columns: vec!["temperature=2".to_owned(), "humidity=3".to_owned()],
        date_order: Some(DateOrder::DayMonthYear),
        fahrenheit: Some(true),
    };
    read(bytes, &said);
    if let Ok(file) = weather_file::read(bytes, "fuzz.csv", &Options::default()) {
        let _warnings = file.warnings();
        let _months = file.months();
    }
});
