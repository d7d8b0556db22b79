//! Milling allowance, recovery of a rough thickness, and the assignment.

use super::{micro, mm, percent, plank, walnut};
use approx::assert_abs_diff_eq;
use heartside::air::AirState;
use heartside::chance::{Verdict, normal_chance};
use heartside::movement::{Direction, Rings};
use heartside::stock::{
    Bend, Board, BoardOrder, Drying, FirstCut, Known, Leaves, LockedIn, Lying, PartWanted,
    ResawPlan, RestPlan, Wanted, assign, assign_within, forecast_pack, milling, part_allowance,
    recovery, recovery_of,
};
use heartside::units::Length;
use proptest::prelude::*;

fn order(a: f64) -> BoardOrder {
    let board = Board {
        twist: mm(6.0),
        ..plank()
    };
    let mut order = BoardOrder::plain(board, walnut(), ResawPlan::equal(2, mm(1.6)));
    order.locked_in = Some(micro(a));
    order.locked_in_across = Some(micro(0.0));
    order
}

fn part(name: &str, length: f64, width: f64, thickness: f64, count: usize) -> PartWanted {
    PartWanted {
        name: name.to_owned(),
        length: mm(length),
        width: mm(width),
        thickness: mm(thickness),
        count,
    }
}

// Bow goes with length squared, twist with length times width, half the corner lift when levelled: by hand
// 17.54 (600/2400)^2 = 1.096, 6/2 x 600 x 100/(2400 x 200) = 0.375 mm, two clean-up cuts of 0.5 mm.
#[test]
fn a_short_piece_takes_its_share_of_bow_and_twist() {
    let forecast = forecast_pack(&[order(400.0)]).unwrap().remove(0);
    let leaf = &forecast.leaves[0];
    let whole = part_allowance(leaf, mm(2400.0), mm(200.0), mm(0.5));
    assert_abs_diff_eq!(whole.bow.mm(), 17.5435, epsilon = 1e-3);
    assert_abs_diff_eq!(whole.twist.mm(), 3.0, epsilon = 1e-12);
    let piece = part_allowance(leaf, mm(600.0), mm(100.0), mm(0.5));
    assert_abs_diff_eq!(piece.bow.mm(), 17.5435 / 16.0, epsilon = 1e-3);
    assert_abs_diff_eq!(piece.twist.mm(), 0.375, epsilon = 1e-12);
    assert_abs_diff_eq!(piece.clean_up.mm(), 1.0, epsilon = 1e-12);
    let left = 24.6 - 17.5435 / 16.0 - 0.375 - 1.0;
    // The median of the sizes of bow and cup lies a little beyond their middles.
    assert_abs_diff_eq!(piece.left.middle.mm(), left, epsilon = 0.2);
    assert!(piece.left.low <= piece.left.middle && piece.left.middle <= piece.left.high);
    assert!(whole.left.middle < piece.left.middle);
}

#[test]
fn cutting_first_saves_thickness_and_parts_are_judged() {
    let mut order = order(400.0);
    order.parts = vec![
        part("rail", 500.0, 60.0, 20.0, 2),
        part("panel", 900.0, 190.0, 22.0, 1),
        part("long rail", 2300.0, 60.0, 20.0, 1),
        part("top", 2500.0, 190.0, 12.0, 1),
    ];
    let forecast = forecast_pack(&[order]).unwrap().remove(0);
    let found = &forecast.milling[0];
    assert_eq!(found[0].verdict, Verdict::Holds);
    assert!(found[0].chance_cut_first > 0.95 && found[0].chance_flatten_first < 0.05);
    assert!(found[0].cut_first.left.middle > found[0].flatten_first.left.middle);
    assert_eq!(
        found[2].verdict,
        Verdict::Fails,
        "17 mm of bow leave no 20 mm"
    );
    assert!(!found[3].fits_outline);
    assert_eq!(found[3].verdict, Verdict::Fails);
    // The two rails are served, the long rail and the top are not.
    assert_eq!(forecast.serving.leaf_of.len(), 5);
    assert!(forecast.serving.proven);
    assert!(forecast.serving.leaf_of[0].is_some() && forecast.serving.leaf_of[1].is_some());
    assert_eq!(forecast.serving.leaf_of[3], None);
    assert_eq!(forecast.serving.leaf_of[4], None);
}

#[test]
fn crook_takes_its_share_of_the_width() {
    let mut order = order(0.0);
    order.board.crook = mm(16.0);
    order.parts = vec![
        part("short", 600.0, 198.0, 10.0, 1),
        part("long", 1800.0, 198.0, 5.0, 1),
    ];
    let forecast = forecast_pack(&[order]).unwrap().remove(0);
    // 16 (600/2400)^2 = 1 mm, 16 (1800/2400)^2 = 9 mm off 200 mm.
    assert_abs_diff_eq!(
        forecast.milling[0][0].straight_width.mm(),
        199.0,
        epsilon = 1e-9
    );
    assert!(forecast.milling[0][0].fits_outline);
    assert_abs_diff_eq!(
        forecast.milling[0][1].straight_width.mm(),
        191.0,
        epsilon = 1e-9
    );
    assert!(!forecast.milling[0][1].fits_outline);
}

fn beliefs(drying: Drying) -> (LockedIn, LockedIn) {
    let board = plank();
    let known = |bend| Known {
        drying,
        given: None,
        evening: board.evening_out(&walnut(), bend),
    };
    (
        LockedIn::before(Bend::Along, &[known(Bend::Along)]),
        LockedIn::before(Bend::Across, &[known(Bend::Across)]),
    )
}

#[test]
fn cross_cutting_first_saves_what_the_bow_costs() {
    let board = Board {
        bow: mm(4.0),
        cup: mm(1.0),
        ..plank()
    };
    let (along, across) = beliefs(Drying::KilnConditioned);
    let wanted = Wanted {
        leaves: 2,
        thickness: mm(19.0),
        length: mm(600.0),
        width: mm(150.0),
        kerf: mm(1.6),
        clean_up: mm(0.4),
    };
    let found = recovery(
        &board,
        &walnut(),
        (&along, &across),
        0,
        &wanted,
        percent(8.0),
    )
    .unwrap();
    let of = |first: FirstCut| found.iter().find(|o| o.first_cut == first).unwrap();
    // By hand: flattened whole 4 + 1 + 2 x 0.4; cross-cut to a quarter 4/16 + 1 + 0.8; ripped to 3/4 besides.
    assert_abs_diff_eq!(of(FirstCut::Whole).board_loss.mm(), 5.8, epsilon = 1e-9);
    assert_abs_diff_eq!(
        of(FirstCut::CrossCutBoard).board_loss.mm(),
        2.05,
        epsilon = 1e-9
    );
    assert_abs_diff_eq!(
        of(FirstCut::RipBoard).board_loss.mm(),
        4.0 + 0.5625 + 0.8,
        epsilon = 1e-9
    );
    assert_abs_diff_eq!(
        of(FirstCut::CrossCutBoard).rough_leaf.mm(),
        (50.8 - 2.05 - 1.6) / 2.0,
        epsilon = 1e-9
    );
    assert!(of(FirstCut::CutBoard).chance >= of(FirstCut::CrossCutBoard).chance);
    assert!(
        of(FirstCut::CrossCutBoard)
            .saves_over(of(FirstCut::Whole))
            .mm()
            > 1.5
    );
    assert!(of(FirstCut::Whole).chance < of(FirstCut::CutLeaves).chance);
    // Stock that was not conditioned yields worse.
    let (along, across) = beliefs(Drying::KilnUnconditioned);
    let worse = recovery(
        &board,
        &walnut(),
        (&along, &across),
        0,
        &wanted,
        percent(8.0),
    )
    .unwrap();
    for (good, bad) in found.iter().zip(&worse) {
        assert!(good.chance >= bad.chance - 1e-9);
    }
    // Three leaves of 19 mm never come out of 50.8 mm.
    let three = Wanted {
        leaves: 3,
        ..wanted
    };
    for order_of_work in recovery(
        &board,
        &walnut(),
        (&along, &across),
        0,
        &three,
        percent(8.0),
    )
    .unwrap()
    {
        assert_eq!(order_of_work.verdict, Verdict::Fails);
        assert!(order_of_work.chance < 1e-6);
    }
}

/// Every way to serve the parts, tried.
fn brute(costs: &[Vec<Option<f64>>], need: &[f64], have: &[f64], kerf: f64) -> (usize, f64) {
    fn go(
        part: usize,
        costs: &[Vec<Option<f64>>],
        need: &[f64],
        left: &mut Vec<f64>,
        kerf: f64,
    ) -> (usize, f64) {
        if part == costs.len() {
            return (0, 0.0);
        }
        let mut best = go(part + 1, costs, need, left, kerf);
        for leaf in 0..left.len() {
            if let Some(cost) = costs[part][leaf]
                && left[leaf] >= need[part] + kerf - 1e-9
            {
                left[leaf] -= need[part] + kerf;
                let (served, sum) = go(part + 1, costs, need, left, kerf);
                left[leaf] += need[part] + kerf;
                let found = (served + 1, sum + cost);
                if found.0 > best.0 || (found.0 == best.0 && found.1 < best.1 - 1e-12) {
                    best = found;
                }
            }
        }
        best
    }
    let mut left: Vec<f64> = have.iter().map(|have| have + kerf).collect();
    go(0, costs, need, &mut left, kerf)
}

/// Where every part may come from its own best leaf, the first try is the best, and what is left to gain proves it at once; leaves
/// that are alike in every way are tried once. Either way all the ways there are could not be tried.
#[test]
fn what_cannot_be_beaten_is_not_tried() {
    let unlike: Vec<Vec<Option<f64>>> = (0..16_u32)
        .map(|part| {
            (0..8_u32)
                .map(|leaf| Some(f64::from((part * 5 + leaf * 3) % 8) / 10.0 + 0.01))
                .collect()
        })
        .collect();
    let need = vec![mm(100.0); 16];
    let found = assign(&unlike, &need, &[mm(2000.0); 8], mm(3.0));
    assert!(found.proven);
    assert_eq!(found.served, 16);
    assert_abs_diff_eq!(found.cost, 0.16, epsilon = 1e-12);
    // Sixteen leaves all alike, each of one part's length.
    let alike = vec![vec![Some(0.5); 16]; 12];
    let found = assign(&alike, &need[..12], &[mm(150.0); 16], mm(3.0));
    assert!(found.proven);
    assert_eq!(found.served, 12);
    // Three parts of 100 mm and two kerfs of 3 mm fill 306 mm.
    let found = assign(&alike, &need[..12], &[mm(306.0); 16], mm(3.0));
    assert!(found.proven && found.leaf_of.iter().flatten().all(|leaf| *leaf < 4));
    // A dozen parts, none of which fits: nothing to try.
    let found = assign(&alike, &need[..12], &[mm(99.0); 16], mm(3.0));
    assert!(found.proven && found.served == 0 && found.cost == 0.0);
}

/// A search that is broken off says so, and gives the best it has found.
#[test]
fn a_search_that_is_broken_off_is_not_called_proven() {
    // Twenty parts of unlike lengths that cannot all lie on three leaves, each a little dearer on the next: no bound settles it.
    let costs: Vec<Vec<Option<f64>>> = (0..20_u32)
        .map(|part| {
            (0..3_u32)
                .map(|leaf| Some(f64::from((part * 7 + leaf * 11) % 13) / 100.0))
                .collect()
        })
        .collect();
    let need: Vec<Length> = (0..20_u32)
        .map(|part| mm(100.0 + f64::from(part * 37 % 50)))
        .collect();
    let have = [mm(700.0), mm(750.0), mm(800.0)];
    let (few, more) = (
        assign_within(&costs, &need, &have, mm(3.0), 500),
        assign_within(&costs, &need, &have, mm(3.0), 20_000),
    );
    assert!(!few.proven && !more.proven);
    assert!(few.served > 0 && more.served >= few.served);
    assert!(more.served > few.served || more.cost <= few.cost);
    let small = assign_within(&costs[..2], &need[..2], &have, mm(3.0), 500);
    assert!(small.proven && small.served == 2);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    // The same with leaves and parts of which many are alike in some ways and a few in all.
    #[test]
    fn leaves_that_are_alike_do_not_mislead(
        costs in proptest::collection::vec(proptest::collection::vec(proptest::option::weighted(0.9, 1..4_u32), 4), 1..6),
        need in proptest::collection::vec(2..5_u32, 6),
        have in proptest::collection::vec(4..9_u32, 4),
    ) {
        let costs: Vec<Vec<Option<f64>>> = costs
            .iter()
            .map(|row| row.iter().map(|cost| cost.map(f64::from)).collect())
            .collect();
        let scaled = |list: &[u32]| list.iter().map(|&l| 100.0 * f64::from(l)).collect::<Vec<f64>>();
        let (need, have) = (scaled(&need[..costs.len()]), scaled(&have));
        let lengths = |list: &[f64]| list.iter().map(|&l| mm(l)).collect::<Vec<Length>>();
        let found = assign(&costs, &lengths(&need), &lengths(&have), mm(3.0));
        let (served, cost) = brute(&costs, &need, &have, 3.0);
        prop_assert!(found.proven);
        prop_assert_eq!(found.served, served);
        prop_assert!((found.cost - cost).abs() < 1e-9, "{} against {cost}", found.cost);
    }

    #[test]
    fn the_assignment_is_the_best_of_all(
        costs in proptest::collection::vec(proptest::collection::vec(proptest::option::weighted(0.8, 0.0..1.0_f64), 3), 1..7),
        need in proptest::collection::vec(100.0..900.0_f64, 7),
        have in proptest::collection::vec(400.0..1500.0_f64, 3),
    ) {
        let need = &need[..costs.len()];
        let lengths = |list: &[f64]| list.iter().map(|&l| mm(l)).collect::<Vec<Length>>();
        let found = assign(&costs, &lengths(need), &lengths(&have), mm(3.0));
        let (served, cost) = brute(&costs, need, &have, 3.0);
        prop_assert!(found.proven);
        prop_assert_eq!(found.served, served);
        prop_assert!((found.cost - cost).abs() < 1e-9, "{} against {cost}", found.cost);
        // What is given is what was counted, and it fits.
        let mut used = [0.0; 3];
        let mut sum = 0.0;
        for (part, leaf) in found.leaf_of.iter().enumerate() {
            if let Some(leaf) = *leaf {
                used[leaf] += need[part] + 3.0;
                sum += costs[part][leaf].unwrap();
            }
        }
        prop_assert!((sum - found.cost).abs() < 1e-9);
        prop_assert!(used.iter().zip(&have).all(|(used, have)| *used <= have + 3.0 + 1e-6));
    }
}

// What is left with a chance of 95, 50 and 5 % is what a part of just that thickness is judged by: the same chance.
#[test]
fn the_thickness_left_is_the_one_that_has_its_chance() {
    for (a, across, twist) in [
        (Some(400.0), 0.0, 6.0),
        (Some(-150.0), 9000.0, 0.0),
        (Some(5.0), -40.0, -3.0),
        (None, 2000.0, 0.0),
    ] {
        let mut order = order(0.0);
        order.board.twist = mm(twist);
        order.locked_in = a.map(micro);
        order.locked_in_across = Some(micro(across));
        let forecast = forecast_pack(&[order]).unwrap().remove(0);
        let leaf = &forecast.leaves[0];
        for (length, width) in [
            (2400.0, 200.0),
            (700.0, 200.0),
            (400.0, 60.0),
            (60.0, 200.0),
        ] {
            let left = part_allowance(leaf, mm(length), mm(width), mm(0.5)).left;
            for (thickness, chance) in [(left.low, 0.95), (left.middle, 0.5), (left.high, 0.05)] {
                let part = PartWanted {
                    thickness,
                    ..part("one", length, width, 1.0, 1)
                };
                let found = milling(leaf, &[part], mm(0.5));
                if thickness.mm() <= 0.0 {
                    // No wood is left, which is never shown as less than none.
                    assert!(found[0].chance_cut_first <= chance + 2e-3);
                    continue;
                }
                assert_abs_diff_eq!(found[0].chance_cut_first, chance, epsilon = 2e-3);
                if length > 2000.0 {
                    assert_abs_diff_eq!(found[0].chance_flatten_first, chance, epsilon = 2e-3);
                }
            }
        }
    }
}

// A piece a hundredth of the leaf each way: the clean-up cuts are taken and nearly nothing else, whatever chance is asked for.
#[test]
fn a_tiny_piece_loses_only_its_clean_up_cuts() {
    let mut order = order(0.0);
    order.board.twist = mm(4.0);
    let forecast = forecast_pack(&[order]).unwrap().remove(0);
    let leaf = &forecast.leaves[0];
    let short = part_allowance(leaf, mm(24.0), mm(2.0), mm(0.5));
    // By hand: 24.6 - 2 x 0.5 - 4/2 x 0.01 x 0.01, and bow and cup fall with the square of a hundredth.
    for left in [short.left.low, short.left.middle, short.left.high] {
        assert_abs_diff_eq!(left.mm(), 23.5998, epsilon = 2e-3);
    }
}

// Bow and cup of a piece are independent, each a mixture of two Gaussians (the lop-sided strain spreads by 60 millionths along the
// grain, 600 across it, in four boards of five, three times that in the fifth; a given strain by 15 %, all stated judgement). The chance
// that flattening leaves a thickness is that of |bow| + |cup| being less than what is to spare: here a fine sum over the cup,
// beside which the fifteen places the room takes are good to half a
// place.
#[test]
fn the_chance_of_a_thickness_is_that_of_bow_and_cup_together() {
    let mut order = order(0.0);
    order.board.twist = Length::ZERO;
    order.locked_in_across = Some(micro(3000.0));
    let forecast = forecast_pack(&[order]).unwrap().remove(0);
    let leaf = &forecast.leaves[0];
    let um = 26.2 / 50.8;
    let of_a = 6.0 * um / 50.8;
    let of_c = (15.0 * um * um - 3.0 + 3.0 * (24.6_f64 / 50.8).powi(2)) / 50.8;
    let gradient = 2.0 / 3.0;
    // What evens out has a spread of 1 % moisture where one reading tells nothing of it.
    let evening = |coefficient: f64| gradient * coefficient;
    let shrinkage = walnut().shrinkage;
    let sizes = |length: f64, width: f64| {
        let sd = |chord: f64, share: f64, a: f64, m: f64, c: f64| {
            chord.powi(2) / 8.0 * share.powi(2) * (of_a * a.hypot(m)).hypot(of_c * c)
        };
        let along = evening(shrinkage.change_coefficient(Direction::Longitudinal));
        let across = evening(shrinkage.change_coefficient(Direction::Tangential));
        let middle = 200.0_f64.powi(2) / 8.0 * (width / 200.0).powi(2) * of_a * 3000e-6;
        [(0.8, 1.0), (0.2, 3.0)].map(|(weight, wide)| {
            (
                weight,
                sd(2400.0, length / 2400.0, 10e-6, along, 60e-6 * wide),
                middle,
                sd(200.0, width / 200.0, 450e-6, across, 600e-6 * wide),
            )
        })
    };
    for (length, width) in [(240.0, 200.0), (600.0, 200.0), (1200.0, 150.0)] {
        for spare in [0.3, 0.7, 0.95, 1.3, 2.0] {
            let mut by_hand = 0.0;
            for (weight_bow, bow, ..) in sizes(length, width) {
                for (weight_cup, _, middle, cup) in sizes(length, width) {
                    let n = 400;
                    for i in 0..n {
                        // Cells of equal width over six spreads either way.
                        let z = |i: i32| -6.0 + 12.0 * f64::from(i) / f64::from(n);
                        let weight = normal_chance(z(i + 1)) - normal_chance(z(i));
                        let size = (middle + cup * (z(i) + z(i + 1)) / 2.0).abs();
                        let left = spare - size;
                        if left > 0.0 {
                            by_hand += weight_bow
                                * weight_cup
                                * weight
                                * (2.0 * normal_chance(left / bow) - 1.0);
                        }
                    }
                }
            }
            let wanted = part("one", length, width, 24.6 - 1.0 - spare, 1);
            let found = milling(leaf, &[wanted], mm(0.5))[0].chance_cut_first;
            assert_abs_diff_eq!(found, by_hand, epsilon = 0.5 / 15.0 + 2e-3);
        }
    }
}

// What serving costs is the sum of the chances that a thickness is not there; the leaf that is more likely to have it serves.
#[test]
fn the_leaf_that_is_more_likely_to_yield_serves_first() {
    let mut pair = order(200.0);
    pair.plan = ResawPlan {
        leaves: Leaves::Thicknesses(vec![mm(22.0)]),
        ..pair.plan
    };
    pair.board.twist = Length::ZERO;
    // The second leaf is 27.2 mm thick and surely yields 21.2 mm, the first perhaps.
    pair.parts = vec![part("rail", 500.0, 60.0, 20.7, 1)];
    let forecast = forecast_pack(&[pair]).unwrap().remove(0);
    let chances: Vec<f64> = forecast
        .milling
        .iter()
        .map(|leaf| leaf[0].chance_cut_first.max(leaf[0].chance_flatten_first))
        .collect();
    assert!(
        (0.05..0.95).contains(&chances[0]) && chances[1] > 0.99,
        "{chances:?}"
    );
    assert_eq!(forecast.serving.leaf_of, [Some(1)]);
    assert_abs_diff_eq!(forecast.serving.cost, 1.0 - chances[1], epsilon = 1e-12);
}

// By hand: flattened whole, a bow of 50 mm takes 50 + 2 x 0.4 mm of 50.8 and nothing is left to saw: each leaf lacks (0 - 1.6)/2 mm. A
// tenth of the length takes 0.5 mm, and two leaves of (50.8 - 1.3 - 1.6)/2 mm come out of it.
#[test]
fn a_board_that_flattening_uses_up_yields_nothing() {
    let mut order = order(0.0);
    order.board = Board {
        bow: mm(-50.0),
        twist: Length::ZERO,
        ..plank()
    };
    let wanted = Wanted {
        leaves: 2,
        thickness: mm(19.0),
        length: mm(240.0),
        width: mm(200.0),
        kerf: mm(1.6),
        clean_up: mm(0.4),
    };
    let found = recovery_of(&order, &wanted).unwrap();
    for none in &found[..2] {
        assert_eq!((none.chance, none.verdict), (0.0, Verdict::Fails));
        assert_abs_diff_eq!(none.board_loss.mm(), 50.8, epsilon = 1e-9);
        assert_abs_diff_eq!(none.rough_leaf.mm(), -0.8, epsilon = 1e-9);
        assert_eq!(none.left.high, Length::ZERO);
    }
    let short = &found[2];
    assert_eq!(short.first_cut, FirstCut::CrossCutBoard);
    assert_abs_diff_eq!(short.board_loss.mm(), 1.3, epsilon = 1e-9);
    assert_abs_diff_eq!(
        short.rough_leaf.mm(),
        (50.8 - 1.3 - 1.6) / 2.0,
        epsilon = 1e-9
    );
    assert_eq!(short.verdict, Verdict::Holds);
    assert_abs_diff_eq!(
        short.saves_over(&found[0]).mm(),
        short.left.middle.mm(),
        epsilon = 1e-12
    );
    let cut_twice = &found[4];
    assert_abs_diff_eq!(
        cut_twice.saves_over(short).mm(),
        cut_twice.left.middle.mm() - short.left.middle.mm(),
        epsilon = 1e-12
    );
    // Leaves sawn out of a flattened board keep no bow of it: of 23.95 mm the two clean-up cuts are taken, and what is locked in.
    assert!((22.0..=23.15).contains(&short.left.middle.mm()));
    let none = Wanted {
        leaves: 0,
        ..wanted
    };
    assert!(recovery_of(&order, &none).is_err());
}

// Where the board needs no flattening the leaves of the recovery are those of the forecast, with all that bends them: what is locked in,
// what evens out, the rings; the worst of them is given.
#[test]
fn the_recovery_of_a_flat_board_is_the_forecast_of_its_leaves() {
    for (a, across, offset) in [
        (300.0, 1800.0, 0.0),
        (-300.0, -1800.0, 40.0),
        (150.0, -900.0, -20.0),
    ] {
        let mut order = order(a);
        order.board = Board {
            twist: Length::ZERO,
            rings: Some(Rings::Pith {
                depth: mm(45.0),
                offset: mm(offset),
            }),
            ..plank()
        };
        order.locked_in_across = Some(micro(across));
        order.rest = Some(RestPlan {
            air: AirState::computed(20.0, 30.0),
            lying: Lying::Stickered,
            days: 1,
            weight: None,
        });
        let forecast = forecast_pack(std::slice::from_ref(&order))
            .unwrap()
            .remove(0);
        let wanted = Wanted {
            leaves: 2,
            thickness: mm(15.0),
            length: mm(2400.0),
            width: mm(200.0),
            kerf: mm(1.6),
            clean_up: Length::ZERO,
        };
        let found = recovery_of(&order, &wanted).unwrap();
        let lefts: Vec<f64> = forecast
            .leaves
            .iter()
            .map(|leaf| {
                part_allowance(leaf, mm(2400.0), mm(200.0), Length::ZERO)
                    .left
                    .middle
                    .mm()
            })
            .collect();
        let worst = lefts.iter().copied().fold(f64::INFINITY, f64::min);
        assert_abs_diff_eq!(found[0].left.middle.mm(), worst, epsilon = 1e-3);
        assert!(
            (lefts[0] - lefts[1]).abs() > 0.05,
            "the rings tell them apart: {lefts:?}"
        );
    }
}

// By hand: twist is levelled on the diagonals, half the lift of the corner, and goes with length times width: 3 mm are 1.5 at full size,
// 0.375 over a quarter of the length, 1.125 over three quarters of the width.
#[test]
fn a_twisted_board_loses_half_its_lift_to_flattening() {
    let board = Board {
        twist: mm(-3.0),
        ..plank()
    };
    let (along, across) = beliefs(Drying::KilnConditioned);
    let wanted = Wanted {
        leaves: 2,
        thickness: mm(19.0),
        length: mm(600.0),
        width: mm(150.0),
        kerf: mm(1.6),
        clean_up: mm(0.4),
    };
    let losses = |board: &Board| -> Vec<(FirstCut, f64)> {
        recovery(
            board,
            &walnut(),
            (&along, &across),
            0,
            &wanted,
            percent(8.0),
        )
        .unwrap()
        .iter()
        .map(|found| (found.first_cut, found.board_loss.mm()))
        .collect()
    };
    let by_hand = [
        (FirstCut::Whole, 1.5),
        (FirstCut::CutLeaves, 1.5),
        (FirstCut::CrossCutBoard, 0.375),
        (FirstCut::RipBoard, 1.125),
        (FirstCut::CutBoard, 0.281_25),
    ];
    for (found, (first_cut, warp)) in losses(&board).iter().zip(by_hand) {
        assert_eq!(found.0, first_cut);
        assert_abs_diff_eq!(found.1, warp + 0.8, epsilon = 1e-9);
    }
    // Each order of work has words of its own that name what is cut first.
    for (first_cut, word) in [
        (FirstCut::Whole, "full length and width"),
        (FirstCut::CutLeaves, "resaw whole"),
        (FirstCut::CrossCutBoard, "cross-cut the board first"),
        (FirstCut::RipBoard, "rip the board first"),
        (FirstCut::CutBoard, "cross-cut and rip the board first"),
    ] {
        assert!(first_cut.words().contains(word));
    }
}
