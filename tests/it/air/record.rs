//! Readings made into hours, months and years, with their gaps.

use super::logger::{file, hours, iso, reading};
use heartside::air::{AirState, vapour_pressure_pa};
use jiff::SignedDuration;
use jiff::civil::{DateTime, date};
use std::fmt::Write as _;

#[test]
fn means_are_weighted_by_time() {
    // Half the days every minute at 20 C, half every hour at 10 C: the mean is near 15, not
    // 19.8. The last hour of a day by hours gives half an hour to the next minute, ten times in all:
    // 15 + 10 x 10 x 0.5 / 480.
    let mut text = "time,temp (C),RH (%)\n".to_owned();
    for (index, time) in hours(20 * 24).enumerate() {
        if (index / 24) % 2 == 0 {
            for minute in 0..60 {
                let time = time + SignedDuration::from_mins(minute);
                writeln!(text, "{},20,60", iso(time)).unwrap();
            }
        } else {
            writeln!(text, "{},10,30", iso(time)).unwrap();
        }
    }
    let months = reading(&text).record.months();
    assert!((months[0].celsius - 15.104).abs() < 0.01, "{:?}", months[0]);
    assert!(
        (months[0].humidity_percent - 45.31).abs() < 0.02,
        "{:?}",
        months[0]
    );
}

#[test]
fn an_hour_is_the_mean_of_its_readings_and_hourly_readings_are_kept() {
    let text = file("time,temp (C),RH (%)", 48, |index, time| {
        format!("{},{},{}", iso(time), index, 30 + index)
    });
    for (index, hour) in reading(&text).record.hours().iter().enumerate() {
        let air = hour.unwrap();
        assert!((air.temperature.celsius() - index as f64).abs() < 1e-9);
        assert!((air.humidity.percent() - (30 + index) as f64).abs() < 1e-9);
    }
}

#[test]
fn readings_on_change_stand_until_half_way_to_the_next() {
    // Every ten minutes, but nothing for five hours in between: no gap, and no hour is missing.
    let mut text = "time,temp (C),RH (%)\n".to_owned();
    let start = DateTime::constant(2024, 1, 5, 0, 0, 0, 0);
    for step in 0..400_i64 {
        let pause = if step >= 200 { 5 * 60 } else { 0 };
        let time = start + SignedDuration::from_mins(10 * step + pause);
        writeln!(text, "{},20,40", iso(time)).unwrap();
    }
    let record = reading(&text).record;
    assert_eq!(record.gaps(), []);
    assert!(record.hours().iter().all(Option::is_some));
}

fn three_weeks_missing() -> String {
    let mut text = "time,temp (C),RH (%)\n".to_owned();
    for (index, time) in hours(366 * 24).enumerate() {
        if !(60 * 24..81 * 24).contains(&index) {
            let celsius = if index < 70 * 24 { 15.0 } else { 21.0 };
            writeln!(text, "{},{celsius},40", iso(time)).unwrap();
        }
    }
    text
}

#[test]
fn a_gap_of_three_weeks_is_given_and_bridged_by_a_straight_line() {
    let reading = reading(&three_weeks_missing());
    let [gap] = reading.record.gaps() else {
        panic!("{:?}", reading.record.gaps());
    };
    assert_eq!(gap.from, DateTime::constant(2024, 3, 4, 23, 0, 0, 0));
    assert_eq!(gap.to, DateTime::constant(2024, 3, 26, 0, 0, 0, 0));
    assert!(gap.to_string().starts_with("21 days"), "{gap}");
    // The months hold only what was read.
    let march = reading.record.months()[2];
    assert_eq!((march.month, march.hours), (3, (4 + 6) * 24));
    let year = reading.record.year().unwrap();
    assert_eq!(year.bridged, [(date(2001, 3, 5), date(2001, 3, 25))]);
    // Half-way across the gap: half-way in temperature and vapour pressure.
    let middle = year.air.states()[(59 + 14) * 24 + 12];
    assert!(
        (middle.temperature.celsius() - 18.0).abs() < 0.1,
        "{middle:?}"
    );
    let vapour = |celsius| vapour_pressure_pa(AirState::computed(celsius, 40.0));
    let half_way = 0.5 * (vapour(15.0) + vapour(21.0));
    assert!((vapour_pressure_pa(middle) / half_way - 1.0).abs() < 0.01);
}

#[test]
fn half_a_year_is_no_year_and_the_missing_days_are_named() {
    let text = file("time,temp (C),RH (%)", 180 * 24, |_, time| {
        format!("{},20,40", iso(time))
    });
    let reading = reading(&text);
    let error = reading.record.year().unwrap_err();
    // From 3 July over New Year to 4 January is one stretch.
    assert!(
        error
            .message()
            .ends_with("nothing was read from 3 Jul to 4 Jan"),
        "{error}"
    );
}

#[test]
fn several_years_make_one_mean_year() {
    // Two years, the second two degrees warmer and at the same vapour pressure.
    let warm = |year: i16| if year == 2024 { 0.0 } else { 2.0 };
    let text = file("time,temp (C),RH (%)", 2 * 366 * 24, |_, time| {
        let first = AirState::computed(10.0 + f64::from(time.month()), 50.0);
        let air = AirState::of_vapour_pressure(
            first.temperature.celsius() + warm(time.year()),
            vapour_pressure_pa(first),
        );
        format!(
            "{},{},{}",
            iso(time),
            air.temperature.celsius(),
            air.humidity.percent()
        )
    });
    let reading = reading(&text);
    let year = reading.record.year().unwrap();
    assert!(year.bridged.is_empty());
    let july = year.air.monthly_means()[6];
    let first = AirState::computed(17.0, 50.0);
    assert!((july.temperature.celsius() - 18.0).abs() < 1e-6, "{july:?}");
    assert!((vapour_pressure_pa(july) / vapour_pressure_pa(first) - 1.0).abs() < 1e-6);
    assert_eq!(reading.record.months_of_the_year().len(), 12);
    assert_eq!(reading.record.months().len(), 25);
}
