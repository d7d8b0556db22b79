//! The rest: against Crank's series, its start and its end, one face against two.

use super::{micro, mm, percent, plank, walnut};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use heartside::air::{AirState, equilibrium_moisture};
use heartside::moisture::meter::Reading;
use heartside::stock::{
    Board, BoardForecast, BoardOrder, Lying, ResawPlan, RestPlan, forecast_pack,
};
use heartside::units::Mass;

fn order(board: Board, air: AirState, lying: Lying) -> BoardOrder {
    let mut order = BoardOrder::plain(board, walnut(), ResawPlan::equal(2, mm(1.6)));
    order.locked_in = Some(micro(300.0));
    order.locked_in_across = Some(micro(2000.0));
    order.rest = Some(RestPlan {
        air,
        lying,
        days: 200,
        weight: None,
    });
    order
}

fn one(order: BoardOrder) -> BoardForecast {
    forecast_pack(&[order]).unwrap().remove(0)
}

fn wet_core() -> Board {
    Board {
        moisture: Reading::ShellAndCore {
            shell: percent(8.0),
            core: percent(12.0),
        },
        ..plank()
    }
}

/// Air that holds the board's own mean: only the gradient moves.
fn own_air() -> AirState {
    let mean = wet_core().moisture.mean();
    let humidity =
        heartside::air::humidity_for(mean, heartside::units::Temperature::computed_celsius(20.0))
            .unwrap();
    AirState::computed(20.0, humidity.percent())
}

#[test]
fn the_rest_starts_off_the_saw_and_ends_rested() {
    let forecast = one(order(wet_core(), own_air(), Lying::Stickered));
    for (leaf, rest) in forecast.leaves.iter().zip(&forecast.rests) {
        assert_abs_diff_eq!(
            rest.bow[0].middle.mm(),
            leaf.bow.off_saw.middle.mm(),
            epsilon = 1e-9
        );
        assert_abs_diff_eq!(
            rest.bow[0].low.mm(),
            leaf.bow.off_saw.low.mm(),
            epsilon = 1e-6
        );
        assert_abs_diff_eq!(
            rest.cup[0].middle.mm(),
            leaf.cup.off_saw.middle.mm(),
            epsilon = 1e-9
        );
        assert_relative_eq!(
            rest.bow[200].middle.mm(),
            leaf.bow.rested.middle.mm(),
            max_relative = 2e-3
        );
        assert_relative_eq!(
            rest.cup[200].high.mm(),
            leaf.cup.rested.high.mm(),
            max_relative = 2e-3
        );
        assert_abs_diff_eq!(
            rest.bow_to_come[0].mm(),
            leaf.bow.rested.middle.mm() - leaf.bow.off_saw.middle.mm(),
            epsilon = 1e-9
        );
        assert!(rest.bow_to_come[200].mm().abs() < 0.05);
    }
}

// Crank, The Mathematics of Diffusion: a slope (odd profile) in a plate whose faces are held at the mean dies by
// modes n = 1, 2, ... of rate (n pi)^2 D/h^2 (odd sine series of the linear profile). Slope of sin(2 pi z/h): the
// first mode leads, tau = h^2/(4 pi^2 D). The film of room air and D's own change slow it: between one and two
// of these tau must e-fold it. With D 3.7e-11 (walnut, 20 C, 10 %, from memory) and h 24.6 mm tau is 4.8 days.
#[test]
fn the_gradient_evens_out_at_the_pace_of_diffusion() {
    let forecast = one(order(wet_core(), own_air(), Lying::Stickered));
    let rest = &forecast.rests[0];
    let (start, end) = (
        rest.bow[0].middle.mm(),
        forecast.leaves[0].bow.rested.middle.mm(),
    );
    let left = |day: usize| (rest.bow[day].middle.mm() - end) / (start - end);
    let tau = 10.0 / (left(10) / left(20)).ln();
    assert!((4.8..9.6).contains(&tau), "tau {tau} days");
    // Once the first mode is alone the decay is a pure exponential.
    let later = 10.0 / (left(15) / left(25)).ln();
    assert_relative_eq!(later, tau, max_relative = 0.06);
}

// Crank: both faces exposed, fraction of the mean's change done at Fo = D t/a^2 is 0.9 at Fo 0.848 without a
// film; with D between that of the start and of the end and the room's film it takes a little longer.
#[test]
fn nine_tenths_take_as_long_as_diffusion_says() {
    let air = AirState::computed(20.0, 35.0);
    let forecast = one(order(plank(), air, Lying::Stickered));
    let rest = &forecast.rests[0];
    let settles = equilibrium_moisture(air).percent();
    assert_abs_diff_eq!(rest.settles_at.percent(), settles, epsilon = 1e-12);
    let done = |day: usize| (rest.mean_percent[day] - 9.0) / (settles - 9.0);
    let day = (0..200).find(|&day| done(day) >= 0.9).unwrap();
    let days_at = |d: f64| 0.848 * (24.6e-3_f64 / 2.0).powi(2) / d / 86_400.0;
    let fastest = days_at(3.7e-11);
    assert!(
        (day as f64) > fastest && (day as f64) < 2.0 * fastest,
        "{day} against {fastest}"
    );
    let told = rest.day_90.unwrap();
    assert!(told >= day && told < 2 * day + 2, "{told} and {day}");
}

#[test]
fn grams_follow_the_moisture() {
    let air = AirState::computed(20.0, 35.0);
    let forecast = one(order(plank(), air, Lying::Stickered));
    let rest = &forecast.rests[0];
    // Leaf 2400 x 200 x 24.6 mm, basic gravity 0.51 on the green volume: at 9 % the volume is smaller by
    // (1 - 0.055 x 0.7)(1 - 0.078 x 0.7)(1 - 0.0015 x 0.7) (Wood Handbook shrinkage, linear below 30 %).
    let green = 2400.0 * 200.0 * 24.6 / ((1.0 - 0.0385) * (1.0 - 0.0546) * (1.0 - 0.00105));
    assert_relative_eq!(
        rest.oven_dry.grams(),
        0.51 * green / 1000.0,
        max_relative = 1e-9
    );
    let lose = rest.oven_dry.grams() * (9.0 - rest.settles_at.percent()) / 100.0;
    assert_relative_eq!(rest.still_to_lose[0].grams(), lose, max_relative = 1e-9);
    assert!(rest.still_to_lose.windows(2).all(|day| day[1] < day[0]));
    // Weighed: 7000 g at 9 % are 7000/1.09 g without water.
    let mut weighed = order(plank(), air, Lying::Stickered);
    if let Some(rest) = &mut weighed.rest {
        rest.weight = Some(Mass::computed_grams(7000.0));
    }
    let rest = &one(weighed).rests[0];
    assert_relative_eq!(rest.oven_dry.grams(), 7000.0 / 1.09, max_relative = 1e-9);
}

// On the bench one face dries alone: the leaf cups away from it for a while (that face shrinks and turns hollow),
// and takes about four times as long.
#[test]
fn a_leaf_on_the_bench_cups_and_dries_slowly() {
    let air = AirState::computed(20.0, 30.0);
    let rest_of = |lying| one(order(plank(), air, lying)).rests.remove(0);
    let (stickered, up, down) = (
        rest_of(Lying::Stickered),
        rest_of(Lying::MarkedFaceUp),
        rest_of(Lying::MarkedFaceDown),
    );
    let passing =
        |rest: &heartside::stock::RestForecast| rest.cup[8].middle.mm() - rest.cup[0].middle.mm();
    assert!(
        passing(&up) > 0.3,
        "marked face dries and turns hollow: {}",
        passing(&up)
    );
    assert!(passing(&down) < -0.3, "{}", passing(&down));
    assert!(passing(&stickered).abs() < 0.02);
    assert!(up.day_90.unwrap() > 2 * stickered.day_90.unwrap());
}

#[test]
fn a_leaf_at_rest_in_its_own_air_has_nothing_to_wait_for() {
    let mut still = order(plank(), AirState::computed(20.0, 50.0), Lying::Stickered);
    let moisture = equilibrium_moisture(AirState::computed(20.0, 50.0));
    still.board.moisture = Reading::Single(moisture);
    let forecast = one(still);
    assert_eq!(forecast.rests[0].day_90, Some(0));
    assert!(forecast.rests[0].still_to_lose[0].grams().abs() < 1e-6);
    assert!(forecast.rests[0].bow_to_come[0].mm().abs() < 1e-9);
}
