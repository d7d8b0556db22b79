//! Air over all temperatures and humidities of the table.

use super::*;
use heartside::air::indoor::{Heating, HouseMoisture, Indoor, Occupancy};
use heartside::air::{
    AirState, AirYear, Hemisphere, SorptionHistory, dew_point, equilibrium_moisture,
    equilibrium_percent, humidity_for, humidity_ratio, saturation_pressure_pa, vapour_pressure_pa,
};
use heartside::units::Temperature;

fn any_air() -> impl Strategy<Value = AirState> {
    (inside(Bounds::TEMPERATURE), inside(Bounds::HUMIDITY))
        .prop_map(|(celsius, percent)| AirState::computed(celsius, percent))
}

fn is_air(air: &AirState) -> bool {
    let celsius = air.temperature.celsius();
    let percent = air.humidity.percent();
    celsius.is_finite() && (0.0..=100.0).contains(&percent)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn every_figure_of_air_is_finite_and_on_its_side(air in any_air(), pressure in 20_000.0..120_000.0_f64) {
        let saturation = saturation_pressure_pa(air.temperature);
        prop_assert!(saturation.is_finite() && saturation > 0.0);
        let vapour = vapour_pressure_pa(air);
        prop_assert!(vapour >= 0.0 && vapour <= saturation);
        if let Some(dew) = dew_point(air) {
            prop_assert!(dew.celsius() <= air.temperature.celsius() + 1e-6);
        }
        match humidity_ratio(air, pressure) {
            Some(ratio) => prop_assert!(ratio.is_finite() && ratio >= 0.0),
            None => prop_assert!(vapour >= pressure),
        }
        let moisture = equilibrium_moisture(air).percent();
        prop_assert!((0.0..40.0).contains(&moisture), "{}", moisture);
        prop_assert!(Bounds::MOISTURE.check(moisture).is_ok());
        for history in [SorptionHistory::Between, SorptionHistory::Losing, SorptionHistory::Gaining] {
            let moisture = history.equilibrium(air).percent();
            prop_assert!(moisture.is_finite() && moisture >= 0.0);
        }
        let back = humidity_for(equilibrium_moisture(air), air.temperature).unwrap();
        prop_assert!((back.percent() - air.humidity.percent()).abs() < 1e-3);
    }

    /// Warmer air holds more; moister air has more vapour and a higher dew point; warmed air is drier.
    #[test]
    fn vapour_grows_with_warmth_and_humidity(air in any_air(), warmer in 0.01..30.0_f64, moister in 0.01..30.0_f64) {
        let warm = Temperature::computed_celsius((air.temperature.celsius() + warmer).min(130.0));
        prop_assert!(saturation_pressure_pa(warm) >= saturation_pressure_pa(air.temperature));
        let moist = AirState::computed(air.temperature.celsius(), air.humidity.percent() + moister);
        prop_assert!(vapour_pressure_pa(moist) >= vapour_pressure_pa(air));
        if let (Some(a), Some(b)) = (dew_point(air), dew_point(moist)) {
            prop_assert!(b.celsius() >= a.celsius() - 1e-9);
        }
        let brought = air.brought_to(warm);
        prop_assert!(is_air(&brought) && brought.humidity.percent() <= air.humidity.percent() + 1e-9);
    }

    /// A room made of any outdoor air is air, whatever the house does to it.
    #[test]
    fn a_room_of_any_air_is_air(
        outdoor in any_air(), heat in inside(Bounds::TEMPERATURE), excess in 0.0..3000.0_f64, warmer in -20.0..20.0_f64,
        min in 0.0..100.0_f64, more in 0.0..100.0_f64,
    ) {
        let heat_to = Temperature::computed_celsius(heat);
        for heating in [
            Heating::Unheated { warmer_by_kelvin: warmer },
            Heating::HeatTo { heat_to, cool_to: None },
            Heating::HeatTo { heat_to, cool_to: Some(Temperature::computed_celsius(heat + 3.0)) },
            Heating::En15026,
        ] {
            for moisture in [
                HouseMoisture::None,
                HouseMoisture::Excess { pascals_at_freezing: excess },
                HouseMoisture::En15026(Occupancy::Normal),
            ] {
                let plain = Indoor::new(heating, moisture);
                prop_assert!(is_air(&plain.air(outdoor)), "{:?} of {:?}", plain.air(outdoor), plain);
                let humidify = heartside::units::RelativeHumidity::computed_percent(min);
                let dehumidify = heartside::units::RelativeHumidity::computed_percent((min + more).min(100.0));
                let set = plain.with_set_points(Some(humidify), Some(dehumidify)).unwrap();
                let air = set.air(outdoor);
                prop_assert!(is_air(&air));
                prop_assert!(air.humidity.percent() >= min - 1e-9);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// Years made in any way keep to air, and to the range of what they were made of.
    #[test]
    fn years_of_any_air_are_air(a in any_air(), b in any_air(), months in proptest::collection::vec(any_air(), 12)) {
        let twelve: [AirState; 12] = months.clone().try_into().unwrap();
        let days: Vec<AirState> = months.iter().cycle().take(365).copied().collect();
        let hours: Vec<AirState> = months.iter().cycle().take(8760).copied().collect();
        for (year, per_day) in [
            (AirYear::constant(a), 1),
            (AirYear::seasons(a, b, Hemisphere::North), 1),
            (AirYear::seasons(a, b, Hemisphere::South), 1),
            (AirYear::months(twelve), 1),
            (AirYear::by_days(days).unwrap(), 1),
            (AirYear::hourly(hours).unwrap(), 24),
        ] {
            prop_assert_eq!(year.states().len() % 365, 0);
            prop_assert!(year.states().len() >= 365 * per_day);
            prop_assert!(year.states().iter().all(is_air));
            prop_assert!(year.daily().iter().all(is_air));
            prop_assert!(year.monthly_means().iter().all(is_air));
            prop_assert!(is_air(&year.mean()));
        }
        prop_assert!(AirYear::hourly(months.clone()).is_err());
        prop_assert!(AirYear::by_days(months).is_err());
    }

    /// Warmth dries: at one humidity wood is drier in warmer air, over the range of the handbook's table (FPL-GTR-282
    /// Table 4-2: -1.1 to 132.2 C).
    #[test]
    fn wood_is_drier_in_warmer_air(celsius in 30.0..120.0_f64, warmer in 0.1..10.0_f64, fraction in 0.05..0.95_f64) {
        prop_assert!(equilibrium_percent(celsius + warmer, fraction) < equilibrium_percent(celsius, fraction));
    }
}
