//! Dates: measured on, delivered on, the driest and the wettest week.

use super::limits::{home, shop};
use super::{close, percent, walnut};
use heartside::moisture::{MoistureTrack, Schedule, calendar_day, day_of_year, history};
use jiff::civil::date;

#[test]
fn days_and_dates() {
    assert_eq!(day_of_year(date(2026, 1, 1)), 0);
    assert_eq!(day_of_year(date(2026, 12, 31)), 364);
    assert_eq!(
        day_of_year(date(2028, 2, 29)),
        day_of_year(date(2028, 2, 28))
    );
    assert_eq!(day_of_year(date(2028, 3, 1)), 59);
    for day in 0..365 {
        let (month, of_month) = calendar_day(day);
        let date = date(
            2026,
            i8::try_from(month).unwrap(),
            i8::try_from(of_month).unwrap(),
        );
        assert_eq!(day_of_year(date), day);
    }
}

#[test]
fn measured_in_october_delivered_in_november() {
    let (shop, home) = (shop(), home());
    let schedule = Schedule {
        moisture: percent(9.5),
        measured_on: date(2026, 10, 5),
        delivered_on: date(2026, 11, 20),
        shop: &shop,
        home: &home,
    };
    let history = history(&walnut(22.0), &schedule).unwrap();
    assert_eq!(history.delivery, 46);
    assert_eq!(history.first.days(), 46 + 365);
    assert_eq!(history.date(46), date(2026, 11, 20));
    assert_eq!(history.settled.days(), 365);
    // It gains in the damp shop, and the first winter at home dries it.
    close(history.first.mean_percent[0], 9.5, 0.3);
    assert!(history.first.mean_percent[45] > 10.5);
    let driest = history.first.driest_week().unwrap();
    let on = history.date(driest.first);
    assert!(on > date(2027, 1, 1) && on < date(2027, 4, 15), "{on}");
    let wettest = history.first.wettest_week().unwrap();
    assert!(history.date(wettest.first) < date(2026, 12, 1));
    // A year on, it is close to the settled year.
    let first_year = history.first_year_at_home();
    assert_eq!(first_year.days(), 365);
    let last = first_year.day_of_year(364);
    close(
        first_year.mean_percent[364],
        history.settled.mean_percent[last],
        0.1,
    );
}

#[test]
fn dates_that_make_no_history() {
    let air = home();
    let schedule = |measured_on, delivered_on| Schedule {
        moisture: percent(9.0),
        measured_on,
        delivered_on,
        shop: &air,
        home: &air,
    };
    let early = history(&walnut(20.0), &schedule(date(2026, 5, 2), date(2026, 5, 1))).unwrap_err();
    assert!(early.message().contains("comes before"), "{early}");
    assert!(early.to_string().contains("2026-05-01"), "{early}");
    let late = history(&walnut(20.0), &schedule(date(2026, 5, 2), date(2046, 5, 1))).unwrap_err();
    assert!(late.message().contains("more than ten years"), "{late}");
    // Delivered on the day of measuring: at home from the first entry.
    let at_once = history(&walnut(20.0), &schedule(date(2026, 5, 2), date(2026, 5, 2))).unwrap();
    assert_eq!((at_once.delivery, at_once.first.days()), (0, 365));
}

#[test]
fn weeks() {
    let mut track = MoistureTrack {
        first_day: 360,
        ..MoistureTrack::default()
    };
    assert_eq!(track.driest_week(), None);
    for day in 0..20 {
        track.push(f64::from((day + 3) % 20), 0.0);
    }
    // 3..19 then 0, 1, 2: a week that may run over the end finds 0..6 from index 17.
    assert_eq!(track.driest_week().unwrap().first, 0);
    assert_eq!(track.driest_week_of_year().unwrap().first, 17);
    close(
        track.driest_week_of_year().unwrap().mean_percent,
        3.0,
        1e-12,
    );
    assert_eq!(track.wettest_week().unwrap().first, 10);
    close(track.wettest_week().unwrap().mean_percent, 16.0, 1e-12);
    assert_eq!(track.day_of_year(7), 2);
}
