//! Missing hours filled by a straight line.

use super::AirState;
use super::psychrometrics::vapour_pressure_pa;
use super::year::{DAYS_IN_YEAR, MONTH_DAYS, mean_state};
use jiff::civil::Date;

/// Fills the missing hours of a year that repeats and tells their days; of a year without any hour
/// nothing can be filled, and no states come back.
pub(super) fn bridge_year(mut hours: Vec<Option<AirState>>) -> (Vec<AirState>, Vec<(Date, Date)>) {
    let holes = holes(&hours);
    if hours.iter().any(Option::is_some) {
        bridge(&mut hours, &holes);
    }
    let bridged = holes.iter().map(days_of).collect();
    (hours.into_iter().flatten().collect(), bridged)
}

/// First and last day of a stretch of hours of the year.
pub(super) fn days_of(&(from, count): &(usize, usize)) -> (Date, Date) {
    (date_in_year(from), date_in_year(from + count - 1))
}

/// Stretches of missing hours as first hour and count; in a year that repeats one may run over
/// New Year and then starts late in the year.
pub(super) fn holes(hours: &[Option<AirState>]) -> Vec<(usize, usize)> {
    let mut holes = Vec::new();
    let mut from = None;
    for (index, state) in hours.iter().enumerate() {
        match (state, from) {
            (None, None) => from = Some(index),
            (Some(_), Some(start)) => {
                holes.push((start, index - start));
                from = None;
            }
            _ => {}
        }
    }
    if let Some(start) = from {
        holes.push((start, hours.len() - start));
    }
    if holes.len() > 1
        && let (Some(&(0, early)), Some(&(late, count))) = (holes.first(), holes.last())
        && late + count == hours.len()
    {
        holes.remove(0);
        if let Some(hole) = holes.last_mut() {
            hole.1 += early;
        }
    }
    holes
}

/// Fills holes by a straight line between the mean air of the day before and of the day after.
fn bridge(hours: &mut [Option<AirState>], holes: &[(usize, usize)]) {
    let read = hours.to_vec();
    let count = hours.len();
    for &(from, length) in holes {
        let near = |ahead: bool| {
            let day: Vec<AirState> = (0..24)
                .filter_map(|step| {
                    let index = if ahead {
                        (from + length + step) % count
                    } else {
                        (from + count - 1 - step) % count
                    };
                    read[index]
                })
                .collect();
            mean_state(&day)
        };
        let (before, after) = (near(false), near(true));
        for step in 0..length {
            let share = (step as f64 + 1.0) / (length as f64 + 1.0);
            let line = |a: f64, b: f64| a + (b - a) * share;
            hours[(from + step) % count] = Some(AirState::of_vapour_pressure(
                line(before.temperature.celsius(), after.temperature.celsius()),
                line(vapour_pressure_pa(before), vapour_pressure_pa(after)),
            ));
        }
    }
}

/// Day of the year 2001 of an hour of the year.
fn date_in_year(hour: usize) -> Date {
    let mut day = hour / 24 % DAYS_IN_YEAR;
    let mut month = 0;
    while day >= MONTH_DAYS[month] {
        day -= MONTH_DAYS[month];
        month += 1;
    }
    jiff::civil::date(2001, month as i8 + 1, day as i8 + 1)
}
