//! Dates and times as loggers write them, and the order of day and month.

use super::logger::{file, hours, reading, refusal};
use heartside::air::logger::{DateOrder, Options, Unread, read};
use jiff::civil::DateTime;
use std::fmt::Write as _;

/// A file whose times are written by a pattern, for thirty days from 5 January.
fn written(pattern: &str) -> String {
    file("Date Time;temp (C);RH (%)", 30 * 24, |_, time| {
        format!("{};20;40", time.strftime(pattern))
    })
}

fn with_order(text: &str, order: DateOrder) -> Result<DateTime, Unread> {
    let options = Options {
        date_order: Some(order),
        ..Options::default()
    };
    read(text.as_bytes(), &options).map(|reading| reading.record.start())
}

const START: DateTime = DateTime::constant(2024, 1, 5, 0, 0, 0, 0);

#[test]
fn every_way_to_write_a_time_is_the_same_hour() {
    for pattern in [
        "%Y-%m-%d %H:%M:%S",
        "%Y-%m-%dT%H:%M:%S",
        "%Y-%m-%dT%H:%M:%S.000",
        "%Y-%m-%dT%H:%M:%SZ",
        "%Y-%m-%dT%H:%M:%S+02:00",
        "%Y-%m-%d %H:%M:%S-0500",
        "%Y/%m/%d %H:%M",
        "%Y%m%d %H:%M",
        "%d.%m.%Y %H:%M",
        "%-d.%-m.%Y %H.%M",
        "%d/%m/%Y %H:%M:%S",
        "%d-%m-%Y %H:%M",
        "%m/%d/%Y %H:%M",
        "%m/%d/%y %I:%M:%S %p",
        "%m/%d/%Y %-I:%M %p",
        "%d/%m/%y %H:%M",
        "%d-%b-%Y %H:%M",
        "%d %B %Y %H:%M",
        "%b %d, %Y %I:%M %p",
        "%a %d %b %Y %H:%M",
        "\"%m/%d/%y %I:%M:%S %p\"",
    ] {
        let reading = reading(&written(pattern));
        assert_eq!(reading.record.start(), START, "{pattern}");
        assert_eq!(
            reading.rows_used, 720,
            "{pattern}: {:?}",
            reading.rows_dropped
        );
        assert_eq!(reading.record.gaps(), [], "{pattern}");
    }
}

#[test]
fn date_and_time_in_columns_of_their_own() {
    for header in ["Date;Time;temp (C);RH (%)", "Time;Date;temp (C);RH (%)"] {
        let date_first = header.starts_with("Date");
        let text = file(header, 720, |_, time| {
            let (date, clock) = (time.strftime("%d/%m/%Y"), time.strftime("%H:%M"));
            if date_first {
                format!("{date};{clock};20;40")
            } else {
                format!("{clock};{date};20;40")
            }
        });
        let reading = reading(&text);
        assert_eq!(reading.record.start(), START);
        assert_eq!(reading.time_columns, ["Date", "Time"]);
        assert_eq!(reading.rows_used, 720);
    }
}

#[test]
fn dates_alone_are_days() {
    let mut text = "day,temp (C),RH (%)\n".to_owned();
    for time in hours(24 * 40).step_by(24) {
        writeln!(text, "{},20,40", time.strftime("%Y-%m-%d")).unwrap();
    }
    let reading = reading(&text);
    assert_eq!(reading.record.usual_step_seconds(), 86_400);
    // Each reading stands for its day: forty days without a gap.
    assert_eq!(reading.record.start(), START);
    // From midnight to midnight, both ends given.
    assert_eq!(reading.record.hours().len(), 40 * 24 + 1);
    assert!(reading.record.hours().iter().all(Option::is_some));
}

#[test]
fn a_header_states_a_fixed_offset() {
    for (header, minutes) in [
        ("Date Time, GMT-05:00", -300),
        ("Date Time, GMT+0530", 330),
        ("t_UTC+2", 120),
        ("Time (UTC)", 0),
    ] {
        let text = file(
            &format!("\"{header}\",\"Temp, °C\",\"RH, %\""),
            48,
            |_, time| format!("{},20,40", time.strftime("%Y-%m-%d %H:%M")),
        );
        let reading = reading(&text);
        assert_eq!(reading.offset_minutes, Some(minutes), "{header}");
        assert_eq!(
            reading.record.start(),
            START,
            "{header}: the clock is kept as it is"
        );
    }
}

#[test]
fn a_clock_that_is_put_forward_runs_on() {
    // The cell's own offset changes at the end of March; the hours do not.
    let text = file("time,temp (C),RH (%)", 100 * 24, |index, time| {
        let summer = index >= 86 * 24 + 2;
        let (shift, offset) = if summer { (1, "+02:00") } else { (0, "+01:00") };
        let clock = time + jiff::SignedDuration::from_hours(shift);
        format!("{}{offset},20,40", clock.strftime("%Y-%m-%dT%H:%M"))
    });
    let reading = reading(&text);
    assert_eq!(reading.rows_used, 2400);
    assert_eq!(reading.record.hours().len(), 2400);
    assert_eq!(reading.offset_minutes, Some(60));
}

#[test]
fn midnight_may_be_24_00() {
    let text = file("time;temp (C);RH (%)", 240, |_, time| {
        let hour = if time.hour() == 0 {
            24
        } else {
            i64::from(time.hour())
        };
        let day = if time.hour() == 0 {
            time.yesterday().unwrap()
        } else {
            time
        };
        format!("{} {hour:02}:00;20;40", day.strftime("%Y-%m-%d"))
    });
    let reading = reading(&text);
    assert_eq!((reading.rows_used, reading.record.start()), (240, START));
}

#[test]
fn the_whole_file_decides_day_and_month() {
    assert_eq!(
        reading(&written("%d/%m/%Y %H:%M")).date_order,
        Some(DateOrder::DayMonthYear)
    );
    assert_eq!(
        reading(&written("%m/%d/%Y %H:%M")).date_order,
        Some(DateOrder::MonthDayYear)
    );
    assert_eq!(reading(&written("%Y-%m-%d %H:%M")).date_order, None);
}

#[test]
fn dates_that_read_both_ways_are_asked_for() {
    // 5 to 8 January: no number above twelve.
    for pattern in ["%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M", "%d.%m.%y %H:%M"] {
        let text = file("time;temp (C);RH (%)", 4 * 24, |_, time| {
            format!("{};20;40", time.strftime(pattern))
        });
        let error = refusal(&text);
        assert!(
            error.asks() && error.to_string().starts_with("line 2: "),
            "{pattern}: {error}"
        );
    }
    let text = file("time;temp (C);RH (%)", 4 * 24, |_, time| {
        format!("{};20;40", time.strftime("%d/%m/%Y %H:%M"))
    });
    assert_eq!(with_order(&text, DateOrder::DayMonthYear), Ok(START));
    assert_eq!(
        with_order(&text, DateOrder::MonthDayYear),
        Ok(DateTime::constant(2024, 5, 1, 0, 0, 0, 0))
    );
}

#[test]
fn two_orders_in_one_file_are_refused() {
    let text = file("time;temp (C);RH (%)", 30 * 24, |index, time| {
        let pattern = if index < 20 * 24 {
            "%d/%m/%Y %H:%M"
        } else {
            "%m/%d/%Y %H:%M"
        };
        format!("{};20;40", time.strftime(pattern))
    });
    let error = refusal(&text);
    assert!(
        error.to_string().contains("can only be day first, but"),
        "{error}"
    );
}

#[test]
fn an_order_that_the_dates_contradict_is_refused() {
    let error = with_order(&written("%d/%m/%Y %H:%M"), DateOrder::MonthDayYear).unwrap_err();
    assert!(
        error.to_string().contains("is no date in the order mdy"),
        "{error}"
    );
}

#[test]
fn a_short_year_in_front_is_never_guessed() {
    // `24/01/05` may be 2024-01-05 or 24 January 2005.
    let error = refusal(&written("%y/%m/%d %H:%M"));
    assert!(error.asks(), "{error}");
    let given = with_order(&written("%y/%m/%d %H:%M"), DateOrder::YearMonthDay);
    assert_eq!(given, Ok(START));
}

#[test]
fn a_short_year_is_of_this_century() {
    // The pattern with a year of two digits must not read `24` as the year 24.
    let reading = reading(&written("%m/%d/%y %H:%M"));
    assert_eq!(reading.record.start().year(), 2024);
}
