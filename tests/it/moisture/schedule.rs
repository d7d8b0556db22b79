//! Days of the year and dates.

use heartside::moisture::{calendar_day, day_of_year};
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
