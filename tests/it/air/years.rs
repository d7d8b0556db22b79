//! The year that repeats.

use approx::assert_relative_eq;
use heartside::air::{AirState, AirYear, Hemisphere, MONTH_DAYS, vapour_pressure_pa};
use proptest::prelude::*;

fn driest_day(year: &AirYear) -> usize {
    let percent = |day: usize| year.states()[day].humidity.percent();
    (0..365)
        .min_by(|a, b| percent(*a).total_cmp(&percent(*b)))
        .unwrap()
}

#[test]
fn constant_air_has_no_year_and_says_so() {
    let year = AirYear::constant(AirState::computed(18.0, 58.0));
    assert!(year.is_constant());
    assert!(year.caution().unwrap().contains("no winter and no summer"));
    assert_eq!(year.states().len(), 365);
    assert_eq!(year.monthly_means(), [AirState::computed(18.0, 58.0); 12]);
}

#[test]
fn seasons_reach_winter_on_20_january_and_summer_half_a_year_later() {
    let (winter, summer) = (
        AirState::computed(20.0, 28.0),
        AirState::computed(24.0, 52.0),
    );
    let year = AirYear::seasons(winter, summer, Hemisphere::North);
    assert_eq!(driest_day(&year), 19);
    let states = year.states();
    assert_relative_eq!(states[19].humidity.percent(), 28.0, epsilon = 1e-3);
    assert_relative_eq!(states[19].temperature.celsius(), 20.0, epsilon = 1e-3);
    assert_relative_eq!(states[201].humidity.percent(), 52.0, epsilon = 1e-2);
    assert_relative_eq!(states[201].temperature.celsius(), 24.0, epsilon = 1e-2);
    assert!(!year.is_constant());
    assert_eq!(year.caution(), None);
}

#[test]
fn southern_seasons_are_the_northern_half_a_year_on() {
    let (winter, summer) = (
        AirState::computed(18.0, 35.0),
        AirState::computed(24.0, 60.0),
    );
    let year = AirYear::seasons(winter, summer, Hemisphere::South);
    assert!((200..=203).contains(&driest_day(&year)));
}

#[test]
fn equal_seasons_are_a_constant_air() {
    let air = AirState::computed(20.0, 45.0);
    assert!(AirYear::seasons(air, air, Hemisphere::North).is_constant());
}

#[test]
fn hours_average_to_days_by_vapour_pressure() {
    // Half the day 10 C saturated, half 20 C with the same vapour: the mean keeps that vapour.
    let cold = AirState::computed(10.0, 100.0);
    let warm = cold.brought_to(heartside::units::Temperature::computed_celsius(20.0));
    let day: Vec<_> = (0..24)
        .map(|hour| if hour < 12 { cold } else { warm })
        .collect();
    let year = AirYear::hourly(day.repeat(365)).unwrap();
    assert_eq!(year.states_per_day(), 24);
    for day in year.daily() {
        assert_relative_eq!(day.temperature.celsius(), 15.0, epsilon = 1e-9);
        assert_relative_eq!(
            vapour_pressure_pa(day),
            vapour_pressure_pa(cold),
            max_relative = 1e-12
        );
    }
}

#[test]
fn a_leap_years_29_february_is_left_out() {
    let of_day = |day: usize| AirState::computed(day as f64 / 10.0, 50.0);
    let year = AirYear::by_days((0..366).map(of_day).collect()).unwrap();
    assert_eq!(year.states()[58], of_day(58)); // 28 February
    assert_eq!(year.states()[59], of_day(60)); // 1 March
    let air = AirState::computed(0.0, 50.0);
    assert!(AirYear::hourly(vec![air; 8784]).is_ok());
    let words = |made: Result<AirYear, heartside::units::Refusal>| made.unwrap_err().message();
    assert_eq!(
        words(AirYear::hourly(vec![air; 8000])),
        "8000 hours are no year"
    );
    assert_eq!(words(AirYear::by_days(vec![])), "0 days are no year");
}

#[test]
fn months_make_a_smooth_year() {
    // A plain continental year: no step from day to day exceeds twice the mean slope between months.
    let months = std::array::from_fn(|month| {
        let angle = (month as f64 - 0.2) / 12.0 * std::f64::consts::TAU;
        AirState::computed(10.0 - 15.0 * angle.cos(), 70.0)
    });
    let year = AirYear::months(months);
    let states = year.states();
    let steepest = (0..365)
        .map(|day| {
            let next = states[(day + 1) % 365].temperature.celsius();
            (next - states[day].temperature.celsius()).abs()
        })
        .fold(0.0, f64::max);
    // The steepest slope of the sine itself is 15 x 2 pi / 365 = 0.258 K a day.
    assert!(steepest < 0.30, "{steepest}");
}

fn plausible_months() -> impl Strategy<Value = [AirState; 12]> {
    prop::array::uniform12((-30.0..35.0_f64, 5.0..90.0_f64))
        .prop_map(|months| months.map(|(celsius, percent)| AirState::computed(celsius, percent)))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn monthly_mean_temperatures_are_kept(months in plausible_months()) {
        let year = AirYear::months(months);
        for (kept, given) in year.monthly_means().iter().zip(&months) {
            prop_assert!((kept.temperature.celsius() - given.temperature.celsius()).abs() < 1e-9);
        }
        for state in year.states() {
            prop_assert!((0.0..=100.0).contains(&state.humidity.percent()));
        }
    }

    #[test]
    fn monthly_mean_vapour_pressures_are_kept(
        middle in 0.0..25.0_f64, swing in 0.0..15.0_f64, percent in 20.0..75.0_f64,
    ) {
        let months = std::array::from_fn(|month| {
            let angle = (month as f64 - 0.2) / 12.0 * std::f64::consts::TAU;
            AirState::computed(middle - swing * angle.cos(), percent)
        });
        let year = AirYear::months(months);
        for (month, (kept, given)) in year.monthly_means().iter().zip(&months).enumerate() {
            let (kept, given) = (vapour_pressure_pa(*kept), vapour_pressure_pa(*given));
            prop_assert!((kept / given - 1.0).abs() < 1e-9, "month {month}: {kept} {given}");
        }
    }

    #[test]
    fn months_of_the_year_count_their_own_days(months in plausible_months()) {
        let given = AirYear::months(months).months_of_the_year();
        for (month, days) in given.iter().zip(MONTH_DAYS) {
            prop_assert_eq!(month.hours, 24 * days);
        }
    }
}
