//! A weather file: as it is, and with its hourly rows taken as a pattern for all hours of a year.
#![no_main]

use heartside::air::epw;
use libfuzzer_sys::fuzz_target;
use std::fmt::Write as _;

const DAYS: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// Header lines as they are; data rows repeated over the year, each with its own month, day and hour.
fn whole_year(text: &str) -> String {
    let (rows, head): (Vec<&str>, Vec<&str>) = text
        .lines()
        .partition(|line| line.starts_with(|first: char| first.is_ascii_digit()));
    let mut year = head.join("\n");
    let patterns: Vec<Vec<&str>> = rows.iter().map(|row| row.split(',').collect()).collect();
    let mut next = patterns.iter().filter(|row| row.len() > 5).cycle();
    for (month, days) in DAYS.iter().enumerate() {
        for day in 1..=*days {
            for hour in 1..=24 {
                if let Some(row) = next.next() {
                    let rest = row[4..].join(",");
                    let _always = write!(year, "\n{},{},{day},{hour},{rest}", row[0], month + 1);
                }
            }
        }
    }
    year
}

fn read(bytes: &[u8]) {
    match epw::read(bytes) {
        Err(error) => assert!(!error.to_string().is_empty()),
        Ok(reading) => {
            assert_eq!(reading.air.states().len(), 8760);
            for air in reading.air.states() {
                assert!((-100.0..=200.0).contains(&air.temperature.celsius()));
                assert!((0.0..=100.0).contains(&air.humidity.percent()));
            }
            assert!(
                reading
                    .air
                    .monthly_means()
                    .iter()
                    .all(|air| air.humidity.percent().is_finite())
            );
        }
    }
}

fuzz_target!(|bytes: &[u8]| {
    read(bytes);
    let text = String::from_utf8_lossy(bytes);
    if text.len() < 3_000 {
        read(whole_year(&text).as_bytes());
    }
});
