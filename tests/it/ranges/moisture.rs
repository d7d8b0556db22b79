//! Moisture over all thicknesses, woods, airs and finishes of the table.

use super::*;
use heartside::air::{AirState, AirYear, Hemisphere, equilibrium_percent};
use heartside::moisture::{
    FaceExchange, Finish, Profile, RADIAL_OVER_TANGENTIAL, Slab, SlabState, Stay, SurfaceAir,
    diffusivity_m2_per_s, ends, equilibrium_year, follow, meter, rest, settled_year, sorption,
    weight,
};
use heartside::units::{Duration, Mass};

fn any_slab() -> impl Strategy<Value = Slab> {
    let face = prop_oneof![
        Just(FaceExchange::Open(Finish::bare())),
        Just(FaceExchange::Sealed),
        (-14.0..-7.0_f64)
            .prop_map(|log| FaceExchange::Open(Finish::of_permeance(10.0_f64.powf(log)))),
    ];
    (
        inside(Bounds::THICKNESS),
        inside(Bounds::SPECIFIC_GRAVITY),
        inside(Bounds::FIBER_SATURATION),
        [face.clone(), face],
        0.3..3.0_f64,
    )
        .prop_map(|(thickness, gravity, saturation, faces, factor)| Slab {
            fiber_saturation: percent(saturation),
            diffusivity_factor: factor,
            ..Slab::bare(mm(thickness), gravity)
                .unwrap()
                .with_faces(faces[0], faces[1])
        })
}

fn year(winter: f64, summer: f64, cold: f64, warm: f64) -> AirYear {
    AirYear::seasons(
        AirState::computed(cold, winter),
        AirState::computed(warm, summer),
        Hemisphere::North,
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    /// Diffusivity is a positive number for every wood in every state, and greater in warmer and in lighter wood.
    #[test]
    fn diffusivity_is_positive_and_grows_with_warmth(
        celsius in inside(Bounds::TEMPERATURE), moisture in inside(Bounds::MOISTURE), gravity in inside(Bounds::SPECIFIC_GRAVITY),
    ) {
        let d = diffusivity_m2_per_s(celsius, moisture, gravity);
        prop_assert!(d.is_finite() && d > 0.0, "{}", d);
        let (humidity, slope) = sorption(celsius, moisture);
        prop_assert!((0.0..=1.0).contains(&humidity) && slope.is_finite() && slope > 0.0);
        // Within the range the formula is meant for: -30 to 60 C, to fiber saturation.
        if (-30.0..50.0).contains(&celsius) && (2.0..25.0).contains(&moisture) && (0.3..0.8).contains(&gravity) {
            prop_assert!(diffusivity_m2_per_s(celsius + 5.0, moisture, gravity) > d);
            prop_assert!(diffusivity_m2_per_s(celsius, moisture, gravity + 0.1) < d);
        }
        prop_assert!(RADIAL_OVER_TANGENTIAL * d > d);
    }

    /// The sorption curve undoes the equilibrium.
    #[test]
    fn sorption_undoes_the_equilibrium(celsius in inside(Bounds::TEMPERATURE), fraction in 0.0..=1.0_f64) {
        let (back, _) = sorption(celsius, equilibrium_percent(celsius, fraction));
        prop_assert!((back - fraction).abs() < 1e-6, "{} for {}", back, fraction);
    }

    /// Weights: water taken out and put back.
    #[test]
    fn weights_there_and_back(
        grams in inside(Bounds::MASS), now in inside(Bounds::MOISTURE),
    ) {
        let dry = weight::oven_dry(Mass::computed_grams(grams), percent(now));
        prop_assert!(dry.grams() > 0.0 && dry.grams() <= grams);
        prop_assert!(near(weight::at_moisture(dry, percent(now)).grams(), grams, 1e-12));
    }

    /// A meter's two readings, a board cut in two, the ends: finite, means kept.
    #[test]
    fn readings_profiles_and_ends(
        shell in inside(Bounds::MOISTURE), core in inside(Bounds::MOISTURE), thickness in inside(Bounds::THICKNESS),
        cut in 0.05..0.95_f64, done in -0.1..1.1_f64, seconds in inside(Bounds::DURATION), d in inside(Bounds::DIFFUSIVITY),
    ) {
        let reading = meter::Reading::ShellAndCore { shell: percent(shell), core: percent(core) };
        prop_assert!((reading.core_minus_shell().unwrap().percent() - (core - shell)).abs() < 1e-9);
        let profile = reading.profile();
        prop_assert!((profile.mean().percent() - reading.mean().percent()).abs() < 1e-9);
        prop_assert!((profile.percent_at(1.0) - shell).abs() < 1e-9 && (profile.percent_at(0.0) - core).abs() < 1e-9);
        let saw = mm(cut * thickness);
        let below = profile.part(mm(thickness), Length::ZERO, saw).mean().percent();
        let above = profile.part(mm(thickness), saw, mm(thickness)).mean().percent();
        let together = cut * below + (1.0 - cut) * above;
        prop_assert!((together - profile.mean().percent()).abs() < 1e-9, "{}", together);
        let reach = ends::reach(d, Duration::computed_seconds(seconds), done);
        prop_assert!(reach.mm().is_finite() && reach >= Length::ZERO);
        let later = ends::reach(d, Duration::computed_seconds(4.0 * seconds), done);
        prop_assert!(near(later.mm(), 2.0 * reach.mm(), 1e-9));
    }

    /// One step of any length in any air leaves every cell between what it was and what the air makes of it.
    #[test]
    fn a_step_of_any_length_stays_between_wood_and_air(
        slab in any_slab(), start in inside(Bounds::MOISTURE), celsius in inside(Bounds::TEMPERATURE),
        humid in inside(Bounds::HUMIDITY), seconds in inside(Bounds::DURATION), cells in 4..40_usize,
    ) {
        let air = SurfaceAir::of(AirState::computed(celsius, humid));
        let mut state = SlabState::new(&slab, cells, &Profile::uniform(percent(start)));
        state.step(&air, seconds);
        let target = air.equilibrium().percent();
        for value in state.cells_percent() {
            prop_assert!(value.is_finite());
            prop_assert!(*value >= start.min(target) - 1e-6 && *value <= start.max(target) + 1e-6, "{} from {} to {}", value, start, target);
        }
        prop_assert!(state.slope_percent_per_mm().is_finite());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    /// A year of any board in any smooth year of air: finite, and inside the year of its equilibrium.
    #[test]
    fn a_settled_year_keeps_inside_the_years_equilibrium(
        slab in any_slab(), winter in inside(Bounds::HUMIDITY), summer in inside(Bounds::HUMIDITY),
        cold in -60.0..40.0_f64, warmer in 0.0..60.0_f64,
    ) {
        let air = year(winter, summer, cold, cold + warmer);
        let track = settled_year(&slab, &air);
        let limits = equilibrium_year(&air).mean_percent;
        let min = limits.iter().copied().fold(f64::INFINITY, f64::min);
        let most = limits.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        prop_assert_eq!(track.mean_percent.len(), 365);
        for value in &track.mean_percent {
            prop_assert!(*value >= min - 1e-6 && *value <= most + 1e-6, "{} outside {} to {}", value, min, most);
        }
        prop_assert!(track.slope_percent_per_mm.iter().all(|slope| slope.is_finite()));
        let stay = Stay { air: &air, from_day_of_year: 100, days: 50, bare: false };
        let follow = follow(&slab, percent(12.0), &[stay]);
        prop_assert!(follow.mean_percent.iter().all(|value| value.is_finite() && *value >= 0.0));
    }

    /// Thicker boards and denser finishes swing less.
    #[test]
    fn thicker_and_better_finished_boards_swing_less(thickness in 2.0..40.0_f64, log in -11.0..-9.5_f64) {
        let air = year(30.0, 60.0, 20.0, 22.0);
        let swing = |slab: &Slab| {
            let track = settled_year(slab, &air);
            let most = track.mean_percent.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            most - track.mean_percent.iter().copied().fold(f64::INFINITY, f64::min)
        };
        let bare = Slab::bare(mm(thickness), 0.5).unwrap();
        let thick = Slab::bare(mm(1.3 * thickness), 0.5).unwrap();
        prop_assert!(swing(&thick) < swing(&bare) + 1e-3);
        let one = bare.finished(Finish::of_permeance(10.0_f64.powf(log)));
        let two = bare.finished(Finish::of_permeance(0.5 * 10.0_f64.powf(log)));
        prop_assert!(swing(&two) < swing(&one) && swing(&one) < swing(&bare) + 1e-3);
    }

    /// Lying in constant air, wood comes nearer and nearer and not past it.
    #[test]
    fn rest_comes_nearer_and_not_past(
        slab in any_slab(), start in 0.0..40.0_f64, humid in inside(Bounds::HUMIDITY), celsius in -30.0..60.0_f64,
        days in 0.0..60.0_f64,
    ) {
        let air = SurfaceAir::of(AirState::computed(celsius, humid));
        let profile = Profile::uniform(percent(start));
        let one = rest(&slab, &profile, &air, Duration::computed_days(days));
        let more = rest(&slab, &profile, &air, Duration::computed_days(2.0 * days));
        prop_assert!((-1e-9..=1.0 + 1e-9).contains(&one.fraction_done), "{}", one.fraction_done);
        prop_assert!(more.fraction_done >= one.fraction_done - 1e-6);
        prop_assert!(one.mean.percent().is_finite() && one.slope_percent_per_mm.is_finite());
        if let Some(time) = one.to_ninety_percent {
            prop_assert!(time.seconds().is_finite() && time.seconds() >= 0.0);
        }
    }
}
