//! Speed of the air room: equilibrium moisture content, a year of weather, a logger's year.

use heartside::air::indoor::Indoor;
use heartside::air::logger::{self, Options};
use heartside::air::{AirYear, epw, equilibrium_percent, humidity_for, places};
use heartside::units::{MoistureContent, Temperature};
use std::fmt::Write as _;
use std::hint::black_box;

/// A thousand states of air, in C and shares of saturation.
fn states() -> Vec<(f64, f64)> {
    (0..1000)
        .map(|index| (f64::from(index % 40), 0.1 + 0.8 * f64::from(index) / 1000.0))
        .collect()
}

#[divan::bench]
fn equilibrium_of_1000_states(bencher: divan::Bencher<'_, '_>) {
    let states = states();
    bencher
        .counter(divan::counter::ItemsCount::new(states.len()))
        .bench(|| {
            black_box(&states)
                .iter()
                .map(|(celsius, fraction)| equilibrium_percent(*celsius, *fraction))
                .sum::<f64>()
        });
}

/// The reference beside it: a thousand evaluations of one exponential.
#[divan::bench]
fn reference_1000_exponentials(bencher: divan::Bencher<'_, '_>) {
    let states = states();
    bencher
        .counter(divan::counter::ItemsCount::new(states.len()))
        .bench(|| {
            black_box(&states)
                .iter()
                .map(|(celsius, fraction)| (0.01 * celsius - fraction).exp())
                .sum::<f64>()
        });
}

#[divan::bench]
fn humidity_that_keeps_8_percent() -> Option<f64> {
    let moisture = MoistureContent::computed_percent(black_box(8.0));
    humidity_for(moisture, Temperature::computed_celsius(21.0)).map(|h| h.percent())
}

/// A year of hours as a weather file of some 400 kB.
fn weather() -> String {
    let mut text = "LOCATION,Bench,XX,ABC,Own,000001,50.0,8.0,1.0,100.0\n".to_owned();
    for (month, days) in (1..).zip(heartside::air::MONTH_DAYS) {
        for (day, hour) in (1..=days).flat_map(|day| (1..=24).map(move |hour| (day, hour))) {
            let _never_fails = writeln!(
                text,
                "2001,{month},{day},{hour},0,?9,{}.5,1.0,{},99500",
                month + hour % 9,
                50 + hour
            );
        }
    }
    text
}

#[divan::bench]
fn read_a_year_of_weather(bencher: divan::Bencher<'_, '_>) {
    let text = weather();
    bencher
        .counter(divan::counter::BytesCount::new(text.len()))
        .bench(|| epw::read(black_box(text.as_bytes())));
}

/// A logger's year of hours.
fn readings() -> String {
    let mut text = "time,temperature (C),relative humidity (%)\n".to_owned();
    let mut time = jiff::civil::date(2023, 1, 1).at(0, 0, 0, 0);
    for hour in 0..8760 {
        let _never_fails = writeln!(text, "{time},{}.25,{}.5", 15 + hour % 9, 30 + hour % 30);
        time = time.saturating_add(jiff::SignedDuration::from_hours(1));
    }
    text
}

#[divan::bench]
fn read_a_year_of_a_logger(bencher: divan::Bencher<'_, '_>) {
    let text = readings();
    bencher
        .counter(divan::counter::BytesCount::new(text.len()))
        .bench(|| logger::read(black_box(text.as_bytes()), &Options::default()));
}

/// The reference beside it: the same text through the general reader of tables, fields parsed as
/// numbers and nothing else.
#[divan::bench]
fn reference_csv_of_a_logger(bencher: divan::Bencher<'_, '_>) {
    let text = readings();
    bencher
        .counter(divan::counter::BytesCount::new(text.len()))
        .bench(|| {
            csv::Reader::from_reader(black_box(text.as_bytes()))
                .records()
                .flatten()
                .filter_map(|row| {
                    Some(row.get(1)?.parse::<f64>().ok()? + row.get(2)?.parse::<f64>().ok()?)
                })
                .sum::<f64>()
        });
}

#[divan::bench]
fn months_to_a_year_indoors() -> Option<AirYear> {
    let denver = places::find(black_box("Denver")).ok()?;
    Some(Indoor::default().year(&denver.outdoor_year()))
}
