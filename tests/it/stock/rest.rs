//! The rest: against Crank's series, its start and its end, one face against two.

use super::{micro, mm, percent, plank, walnut};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use heartside::air::{AirState, SorptionHistory, equilibrium_moisture};
use heartside::moisture::meter::Reading;
use heartside::moisture::{FaceExchange, Finish, Profile, Slab, SlabState, SurfaceAir};
use heartside::movement::{Direction, Face, RingStrains, Rings};
use heartside::stock::{
    Bend, Board, BoardForecast, BoardOrder, Lying, ResawPlan, RestPlan, Side, forecast_pack,
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
fn ninety_percent_take_as_long_as_diffusion_says() {
    let air = AirState::computed(20.0, 35.0);
    let forecast = one(order(plank(), air, Lying::Stickered));
    let rest = &forecast.rests[0];
    let settles = SorptionHistory::Losing.equilibrium(air).percent();
    assert_abs_diff_eq!(rest.settles_at.percent(), settles, epsilon = 1e-12);
    let done = |day: usize| (rest.mean_percent[day] - 9.0) / (settles - 9.0);
    let day = (0..200).find(|&day| done(day) >= 0.9).unwrap();
    let days_at = |d: f64| 0.848 * (24.6e-3_f64 / 2.0).powi(2) / d / 86_400.0;
    let fastest = days_at(3.7e-11);
    assert!(
        (day as f64) > fastest && (day as f64) < 2.0 * fastest,
        "{day} against {fastest}"
    );
    let given = rest.day_90.unwrap();
    assert!(given >= day && given < 2 * day + 2, "{given} and {day}");
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
        rest_of(Lying::SawnFaceUp),
        rest_of(Lying::SawnFaceDown),
    );
    let passing =
        |rest: &heartside::stock::RestForecast| rest.cup[8].middle.mm() - rest.cup[0].middle.mm();
    assert!(
        passing(&up) > 0.3,
        "sawn face dries and turns hollow: {}",
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
    // Rings cup on the way to another moisture, and there is none.
    still.board.rings = Some(Rings::Pith {
        depth: mm(30.0),
        offset: mm(15.0),
    });
    let forecast = one(still);
    assert_eq!(forecast.rests[0].day_90, Some(0));
    assert!(forecast.rests[0].still_to_lose[0].grams().abs() < 1e-6);
    assert!(forecast.rests[0].bow_to_come[0].mm().abs() < 1e-9);
    for rest in &forecast.rests {
        assert!(
            rest.cup_to_come
                .iter()
                .all(|to_come| to_come.mm().abs() < 1e-6)
        );
    }
}

fn close(found: f64, by_hand: f64, share: f64, whole: f64) {
    assert!(
        (found - by_hand).abs() < share * whole.abs(),
        "{found} against {by_hand}, of {whole}"
    );
}

// The rest without the shortcut of its superposition: the leaf's own parabola of moisture is followed in small steps, and the
// slope operator bends it: kappa = 3 a (H + k)/H^2 with what evening out adds in it, and the wood's coefficient times the slope of
// the moisture. On stickers and on the bench, where the air dries one face only.
#[test]
fn the_rest_follows_the_leafs_own_moisture() {
    let board = wet_core();
    let wood = walnut();
    for lying in [Lying::Stickered, Lying::SawnFaceUp, Lying::SawnFaceDown] {
        let air = AirState::computed(20.0, 45.0);
        let given = order(board, air, lying);
        let forecast = one(given.clone());
        for (i, rest) in forecast.rests.iter().enumerate() {
            let slice = forecast.leaves[i].slice;
            let open = FaceExchange::Open(Finish::bare());
            let faces = match (lying, slice.sawn()) {
                (Lying::Stickered, _) => (open, open),
                (Lying::SawnFaceUp, Side::Upper) | (Lying::SawnFaceDown, Side::Lower) => {
                    (FaceExchange::Sealed, open)
                }
                _ => (open, FaceExchange::Sealed),
            };
            let slab = Slab::bare(slice.thickness(), wood.basic_gravity)
                .unwrap()
                .with_faces(faces.0, faces.1);
            let start = Profile::parabola(board.moisture.mean(), board.core_minus_shell()).part(
                board.thickness,
                slice.lower,
                slice.upper,
            );
            let mut state = SlabState::new(&slab, 48, &start);
            let air = SurfaceAir::met_from(air, board.moisture.mean());
            let half = 2400.0_f64.powi(2) / 8.0 * slice.sawn_sign();
            let across = 200.0_f64.powi(2) / 8.0 * slice.sawn_sign();
            let bends = [
                (Bend::Along, half, 300e-6, Direction::Longitudinal),
                (Bend::Across, across, 2000e-6, Direction::Tangential),
            ];
            for day in 0..=60 {
                for (bend, factor, at_the_cut, direction) in bends {
                    let rested = at_the_cut + board.evening_out(&wood, bend).middle;
                    let by_hand = factor
                        * (slice.bend_of_locked_in() * rested
                            + wood.shrinkage.change_coefficient(direction)
                                * state.slope_percent_per_mm());
                    let (found, start) = match bend {
                        Bend::Along => (rest.bow[day].middle.mm(), rest.bow[0].middle.mm()),
                        Bend::Across => (rest.cup[day].middle.mm(), rest.cup[0].middle.mm()),
                    };
                    close(found, by_hand, 0.03, start);
                }
                close(rest.mean_percent[day], state.mean_percent(), 0.003, 9.0);
                for _ in 0..96 {
                    state.step(&air, 900.0);
                }
            }
        }
    }
}

// The cup from the rings on the way is that of the section map at the leaf's moisture of the day, also for a board that starts
// wetter than fiber saturation, above which nothing moves.
#[test]
fn the_rings_cup_follows_the_section_map_day_by_day() {
    let wood = walnut();
    for (start, humidity) in [(12.0, 30.0), (6.0, 70.0), (36.0, 40.0)] {
        let ringed = |rings| {
            let board = Board {
                moisture: Reading::Single(percent(start)),
                rings,
                ..plank()
            };
            let mut given = order(board, AirState::computed(20.0, humidity), Lying::Stickered);
            given.board = board;
            given
        };
        let given = ringed(Some(Rings::Pith {
            depth: mm(30.0),
            offset: mm(15.0),
        }));
        let (with, without) = (one(given.clone()), one(ringed(None)));
        for (i, leaf) in with.leaves.iter().enumerate() {
            let section = given.board.leaf_section(&leaf.slice).unwrap();
            let face = match leaf.slice.sawn() {
                Side::Upper => Face::Bark,
                Side::Lower => Face::Heart,
            };
            let whole = leaf.cup.shares.rings.mm();
            assert!(whole.abs() > 0.3);
            for day in [0, 1, 3, 8, 20, 60, 200] {
                let rest = &with.rests[i];
                let moved = section
                    .moved(RingStrains::of(
                        &wood.shrinkage,
                        percent(start),
                        percent(rest.mean_percent[day]),
                    ))
                    .unwrap();
                let rings = rest.cup[day].middle.mm() - without.rests[i].cup[day].middle.mm();
                close(rings, moved.cup(face).mm(), 0.01, whole);
                close(
                    rest.cup_to_come[day].mm(),
                    leaf.cup.rested.middle.mm() - rest.cup[day].middle.mm(),
                    1e-6,
                    whole,
                );
            }
        }
    }
}

// 90 %: on the day given, a tenth at most of the maximum that was to come is still to come, of bow and cup alike; the
// day before, more of one of them. The moisture of the leaf may go on changing; where neither moves, it is the moisture's day.
#[test]
fn ninety_percent_are_done_on_the_day_given_and_not_before() {
    let cases = [
        (wet_core(), own_air(), Lying::Stickered),
        (wet_core(), AirState::computed(20.0, 30.0), Lying::Stickered),
        (plank(), AirState::computed(20.0, 70.0), Lying::Stickered),
        (plank(), AirState::computed(20.0, 30.0), Lying::SawnFaceUp),
    ];
    for (board, air, lying) in cases {
        let mut given = order(board, air, lying);
        if let Some(plan) = &mut given.rest {
            plan.days = 400;
        }
        for rest in one(given).rests {
            let day = rest.day_90.unwrap();
            assert!((2..400).contains(&day), "{day}");
            let left = |day: usize| {
                let share = |values: &dyn Fn(usize) -> f64, min: f64| {
                    let most = (0..=400).map(values).fold(0.0, f64::max);
                    if most < min { 0.0 } else { values(day) / most }
                };
                let bow = |day: usize| rest.bow_to_come[day].mm().abs();
                let cup = |day: usize| rest.cup_to_come[day].mm().abs();
                let moves = (0..=400).any(|day| bow(day).max(cup(day)) >= 0.05);
                if moves {
                    share(&bow, 0.05).max(share(&cup, 0.05))
                } else {
                    let end = rest.settles_at.percent();
                    share(&|day| (rest.mean_percent[day] - end).abs(), 0.1)
                }
            };
            assert!(left(day) < 0.1005, "{} on day {day}", left(day));
            assert!(
                left(day - 1) > 0.0995,
                "{} on the day before",
                left(day - 1)
            );
        }
    }
}

// Crank: 90 % at Fo 0.848, t = 0.848 a^2/D. With D 3.7e-11 (walnut at 20 C, 10 %, from memory) 50 mm to the middle take 1.8 years and a
// little more with the film of the room, 120 mm take ten, which is longer than is looked at.
#[test]
fn thick_stock_rests_for_years_and_thicker_is_not_waited_for() {
    let thick = |mm_thick: f64| {
        let mut given = order(
            Board {
                thickness: mm(mm_thick),
                ..plank()
            },
            AirState::computed(20.0, 35.0),
            Lying::Stickered,
        );
        given.plan = ResawPlan::equal(1, mm(1.6));
        one(given).rests.remove(0).day_90
    };
    let days = |a: f64| 0.848 * a * a / 3.7e-11 / 86_400.0;
    let found = thick(100.0).unwrap() as f64;
    assert!((days(0.05)..1.6 * days(0.05)).contains(&found), "{found}");
    assert!(days(0.12) > 5.0 * 365.0);
    assert_eq!(thick(240.0), None);
}

// The middle leaf of three lies even about the board's middle: its gradient has no slope to even out, and neither has a board of one
// reading.
#[test]
fn a_leaf_without_a_slope_keeps_its_bow() {
    let mut three = order(wet_core(), own_air(), Lying::Stickered);
    three.plan = ResawPlan::equal(3, mm(1.6));
    for rest in [
        &one(three).rests[1],
        &one(order(plank(), own_air(), Lying::Stickered)).rests[0],
    ] {
        for day in 0..=200 {
            assert_abs_diff_eq!(
                rest.bow[day].middle.mm(),
                rest.bow[0].middle.mm(),
                epsilon = 1e-6
            );
            assert!(rest.bow[day].low.mm().is_finite() && rest.cup[day].high.mm().is_finite());
        }
    }
}

/// A leaf that loses settles on the losing curve, one that gains on the gaining one (0.80 to 0.85 of it, from memory; the middle),
/// and one whose board is between the two has nothing to lose or to gain: it only evens out.
#[test]
fn a_leaf_settles_on_the_curve_of_its_way() {
    let at = |moisture: f64, humidity: f64| {
        let board = Board::plain(mm(1000.0), mm(200.0), mm(50.8), percent(moisture));
        let air = AirState::computed(20.0, humidity);
        let rest = one(order(board, air, Lying::Stickered)).rests.remove(0);
        (rest, equilibrium_moisture(air).percent())
    };
    let (loses, table) = at(12.0, 40.0);
    assert_relative_eq!(
        loses.settles_at.percent(),
        1.096 * table,
        max_relative = 1e-3
    );
    let (gains, table) = at(5.0, 40.0);
    assert_relative_eq!(
        gains.settles_at.percent(),
        0.904 * table,
        max_relative = 1e-3
    );
    let ratio = gains.settles_at.percent() / loses.settles_at.percent();
    assert!((0.80..0.85).contains(&ratio), "{ratio}");
    let (stays, table) = at(8.0, 42.0);
    assert!((table / 8.0 - 1.0).abs() < 0.09, "{table}");
    assert_eq!(stays.settles_at.percent(), 8.0);
    assert_eq!(stays.day_90, Some(0));
}
