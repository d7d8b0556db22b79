//! Water vapour against published values and its own limits.

use approx::assert_relative_eq;
use heartside::air::{
    AirState, STANDARD_PRESSURE_PA, dew_point, humidity_ratio, saturation_pressure_pa_at,
    saturation_temperature, vapour_pressure_pa,
};
use heartside::units::Temperature;
use proptest::prelude::*;

/// Buck (1996), enhancement left out, over liquid water; from memory.
fn buck(celsius: f64) -> f64 {
    611.21 * ((18.678 - celsius / 234.5) * (celsius / (257.14 + celsius))).exp()
}

#[test]
fn saturation_at_20_c_is_the_published_one() {
    // Hyland and Wexler 2338.80 Pa, Buck 2338.34 Pa, CoolProp 8.0 2339.3 Pa: within 0.05 %.
    assert_relative_eq!(
        saturation_pressure_pa_at(20.0),
        2338.80,
        max_relative = 5e-6
    );
    for published in [2338.34, 2339.3] {
        assert_relative_eq!(
            saturation_pressure_pa_at(20.0),
            published,
            max_relative = 5e-4
        );
    }
}

#[test]
fn saturation_follows_the_steam_tables() {
    // ASHRAE Handbook of Fundamentals, ch. 1, Table 3, kPa (from memory).
    for (celsius, kilopascals) in [
        (0.01, 0.6117),
        (25.0, 3.1698),
        (40.0, 7.3851),
        (60.0, 19.947),
    ] {
        assert_relative_eq!(
            saturation_pressure_pa_at(celsius),
            1000.0 * kilopascals,
            max_relative = 5e-4
        );
    }
}

#[test]
fn saturation_stays_over_liquid_water_below_freezing() {
    // Over ice the pressure at -20 C is 103 Pa, over supercooled water 125 Pa.
    for tenths in -400..=500 {
        let celsius = f64::from(tenths) / 10.0;
        assert_relative_eq!(
            saturation_pressure_pa_at(celsius),
            buck(celsius),
            max_relative = 7e-3
        );
    }
    assert!((saturation_pressure_pa_at(-20.0) - 125.5).abs() < 0.5);
}

#[test]
fn air_of_freezing_warmed_to_a_room_is_dry() {
    // 0 C, 80 % warmed to 21 C: 19.65 % (tolerance 0.02).
    let room = AirState::computed(0.0, 80.0).brought_to(Temperature::computed_celsius(21.0));
    assert!((room.humidity.percent() - 19.65).abs() < 0.02);
}

#[test]
fn dew_point_and_humidity_ratio_of_room_air() {
    // ASHRAE psychrometric chart, sea level: 20 C, 50 %: dew point 9.3 C, 7.26 g/kg (memory).
    let air = AirState::computed(20.0, 50.0);
    assert!((dew_point(air).unwrap().celsius() - 9.27).abs() < 0.05);
    assert!((1000.0 * humidity_ratio(air, STANDARD_PRESSURE_PA).unwrap() - 7.26).abs() < 0.02);
}

#[test]
fn bone_dry_air_has_no_dew_point_and_boiling_air_no_ratio() {
    assert_eq!(dew_point(AirState::computed(20.0, 0.0)), None);
    let steam = AirState::computed(110.0, 100.0);
    assert_eq!(humidity_ratio(steam, STANDARD_PRESSURE_PA), None);
}

#[test]
fn vapour_beyond_saturation_condenses() {
    let cold = AirState::computed(25.0, 90.0).brought_to(Temperature::computed_celsius(5.0));
    assert_eq!(cold.humidity.percent(), 100.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn dew_point_saturates(celsius in -60.0..130.0_f64, percent in 0.5..100.0_f64) {
        let air = AirState::computed(celsius, percent);
        let dew = dew_point(air).unwrap();
        prop_assert!(dew.celsius() <= celsius + 1e-9);
        let back = saturation_pressure_pa_at(dew.celsius());
        prop_assert!((back / vapour_pressure_pa(air) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn saturation_temperature_inverts(celsius in -119.0..139.0_f64) {
        let back = saturation_temperature(saturation_pressure_pa_at(celsius)).unwrap();
        prop_assert!((back.celsius() - celsius).abs() < 1e-7);
    }

    #[test]
    fn warming_and_cooling_back_changes_nothing(celsius in -30.0..40.0_f64, percent in 1.0..100.0_f64, by in 0.0..40.0_f64) {
        let air = AirState::computed(celsius, percent);
        let back = air
            .brought_to(Temperature::computed_celsius(celsius + by))
            .brought_to(air.temperature);
        prop_assert!((back.humidity.percent() - percent).abs() < 1e-9);
    }
}
