//! Milling allowance, outturn of a rough thickness, and the assignment.

use super::{micro, mm, percent, plank, walnut};
use approx::assert_abs_diff_eq;
use heartside::chance::Verdict;
use heartside::stock::{
    Bend, Board, BoardOrder, Drying, FirstCut, Known, LockedIn, PartWanted, ResawPlan, Wanted,
    assign, forecast_pack, outturn, part_allowance, serve_boards,
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
        Verdict::Redo,
        "17 mm of bow leave no 20 mm"
    );
    assert!(!found[3].fits_outline);
    assert_eq!(found[3].verdict, Verdict::Redo);
    // The two rails are served, the long rail and the top are not.
    assert_eq!(forecast.serving.leaf_of.len(), 5);
    assert!(forecast.serving.proven);
    assert!(forecast.serving.leaf_of[0].is_some() && forecast.serving.leaf_of[1].is_some());
    assert_eq!(forecast.serving.leaf_of[3], None);
    assert_eq!(forecast.serving.leaf_of[4], None);
}

// Two boards, one straight and one bowed: the long part goes to the straight one, and the short ones, which lose
// little to bow, to the other.
#[test]
fn the_straight_board_serves_the_long_part() {
    let (mut bowed, mut straight) = (order(500.0), order(5.0));
    for order in [&mut bowed, &mut straight] {
        order.board.twist = Length::ZERO;
    }
    let parts = [
        part("short", 600.0, 100.0, 20.0, 4),
        part("long", 2000.0, 100.0, 20.0, 2),
    ];
    let orders = [bowed, straight];
    let forecasts = forecast_pack(&orders).unwrap();
    let (found, places) = serve_boards(&orders, &forecasts, &parts);
    assert_eq!(found.served, 6);
    assert!(found.proven);
    let board_of = |single: usize| places[found.leaf_of[single].unwrap()].0;
    assert!((0..4).all(|short| board_of(short) == 0));
    assert!((4..6).all(|long| board_of(long) == 1));
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
        told: None,
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
    let found = outturn(
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
    let worse = outturn(
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
    for order_of_work in outturn(
        &board,
        &walnut(),
        (&along, &across),
        0,
        &three,
        percent(8.0),
    )
    .unwrap()
    {
        assert_eq!(order_of_work.verdict, Verdict::Redo);
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

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

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
        // What is told is what was counted, and it fits.
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
