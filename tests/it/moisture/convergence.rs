//! Observed order of convergence, and conservation to round-off.

use super::{close, keeping, uniform, walnut};
use heartside::moisture::{FaceExchange, Finish, SlabState};
use proptest::prelude::*;

/// Mean and slope after ten days in air that turns smoothly from 12 % to 7 %, film and nonlinear
/// diffusivity on, a slow finish on the lower face.
fn dry(cells: usize, steps: usize) -> (f64, f64) {
    let slow = FaceExchange::Open(Finish::of_permeance(1e-9));
    let slab = walnut(20.0).with_faces(slow, FaceExchange::Open(Finish::bare()));
    let mut state = SlabState::new(&slab, cells, &uniform(12.0));
    for step in 1..=steps {
        let share = step as f64 / steps as f64;
        let air = 9.5 + 2.5 * (share * std::f64::consts::PI).cos();
        state.step(&keeping(air), 10.0 * 86_400.0 / steps as f64);
    }
    (state.mean_percent(), state.slope_percent_per_mm())
}

/// Errors of four runs against a fine one, each with twice the resolution of the one before.
fn orders(errors: &[f64]) -> Vec<f64> {
    errors
        .windows(2)
        .map(|pair| (pair[0] / pair[1]).log2())
        .collect()
}

#[test]
fn second_order_in_space() {
    let steps = 200;
    let exact = dry(1024, steps);
    let runs: Vec<(f64, f64)> = [8, 16, 32, 64].map(|cells| dry(cells, steps)).to_vec();
    let mean: Vec<f64> = runs.iter().map(|run| (run.0 - exact.0).abs()).collect();
    let slope: Vec<f64> = runs.iter().map(|run| (run.1 - exact.1).abs()).collect();
    println!(
        "space: errors of the mean {mean:?}, order {:?}",
        orders(&mean)
    );
    println!(
        "space: errors of the slope {slope:?}, order {:?}",
        orders(&slope)
    );
    for order in orders(&mean).into_iter().chain(orders(&slope)) {
        assert!((1.7..2.4).contains(&order), "order {order}");
    }
    // What 32 cells cost: 0.006 % of moisture here, of a change of 3 %.
    assert!(mean[2] < 0.006, "{}", mean[2]);
}

#[test]
fn first_order_in_time() {
    let exact = dry(32, 32_768);
    let runs: Vec<(f64, f64)> = [40, 80, 160, 320].map(|steps| dry(32, steps)).to_vec();
    let mean: Vec<f64> = runs.iter().map(|run| (run.0 - exact.0).abs()).collect();
    let slope: Vec<f64> = runs.iter().map(|run| (run.1 - exact.1).abs()).collect();
    println!(
        "time: errors of the mean {mean:?}, order {:?}",
        orders(&mean)
    );
    println!(
        "time: errors of the slope {slope:?}, order {:?}",
        orders(&slope)
    );
    for order in orders(&mean).into_iter().chain(orders(&slope)) {
        assert!((0.85..1.15).contains(&order), "order {order}");
    }
    // Six-hour steps, as for a day of one state: ten days after a jump of 5 %.
    assert!(mean[0] < 0.05, "{}", mean[0]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]
    /// What comes in through the faces is the change of the mean, whatever the steps, the air, the faces.
    #[test]
    fn nothing_is_lost(
        thickness in 0.3..120.0_f64,
        gravity in 0.2..0.9_f64,
        start in 0.0..60.0_f64,
        permeance in prop::option::of(-14.0..-7.0_f64),
        air in prop::collection::vec((1.0..25.0_f64, -25.0..50.0_f64, 1.0..1e7_f64), 1..30),
    ) {
        let finish = permeance.map_or(Finish::bare(), |p| Finish::of_permeance(10_f64.powf(p)));
        let slab = heartside::moisture::Slab::bare(super::mm(thickness), gravity).unwrap()
            .with_faces(FaceExchange::Open(finish), FaceExchange::Open(Finish::bare()));
        let mut state = SlabState::new(&slab, 32, &uniform(start));
        let (mut min, mut most) = (start, start);
        let mut entered = 0.0;
        let mut size = 0.0;
        for (moisture, celsius, seconds) in air {
            let air = heartside::moisture::SurfaceAir::keeping(
                super::percent(moisture),
                heartside::units::Temperature::from_celsius(celsius).unwrap(),
            );
            let exchange = state.step(&air, seconds);
            entered += (exchange.lower_percent_mm + exchange.upper_percent_mm) / thickness;
            size += (exchange.lower_percent_mm.abs() + exchange.upper_percent_mm.abs()) / thickness;
            (min, most) = (min.min(moisture), most.max(moisture));
        }
        let change = state.mean_percent() - start;
        prop_assert!((change - entered).abs() < 1e-11 * (size + start + 1.0), "{change} {entered}");
        // No cell leaves the range of what it started from and of the air it met.
        for value in state.cells_percent().iter().chain(&state.faces_percent()) {
            prop_assert!(*value > min - 1e-9 && *value < most + 1e-9, "{value} {min} {most}");
        }
    }
}

/// Turning the board over turns the slope over and changes nothing else.
#[test]
fn turned_over() {
    let (slow, bare) = (
        FaceExchange::Open(Finish::of_permeance(1e-10)),
        FaceExchange::Open(Finish::bare()),
    );
    let mut states = [(slow, bare), (bare, slow)].map(|(lower, upper)| {
        SlabState::new(&walnut(25.0).with_faces(lower, upper), 33, &uniform(11.0))
    });
    for _ in 0..100 {
        for state in &mut states {
            state.step(&keeping(6.0), 7200.0);
        }
    }
    let [one, other] = states;
    close(one.mean_percent(), other.mean_percent(), 1e-12);
    close(
        one.slope_percent_per_mm(),
        -other.slope_percent_per_mm(),
        1e-12,
    );
    assert!(
        one.slope_percent_per_mm() < -0.02,
        "the bare upper face dries first"
    );
}
