//! The closed form of a leaf's curvature against exact cases, the slope operator on the profile itself, a
//! brute sum over layers, and derived figures to all their digits.

use super::{given, mm, slice};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use heartside::movement::curvature_of_strain;
use heartside::numerics::{legendre_p2, legendre_p3};
use heartside::stock::{Leaves, ResawPlan, Slice};
use heartside::units::{Curvature, Length};
use proptest::prelude::*;

fn halves(thickness: f64, kerf: f64) -> Vec<Slice> {
    ResawPlan::equal(2, mm(kerf)).slices(mm(thickness)).unwrap()
}

fn bow(slice: &Slice, a: f64, length: f64) -> f64 {
    let kappa = slice.sawn_sign() * slice.bend_of_locked_in() * a;
    Curvature::computed_per_mm(kappa).rise_over(mm(length)).mm()
}

// Exact algebra, H 50.8, a = 400e-6, no kerf: kappa 2.36220e-5 1/mm; bow 1.063, 4.252, 17.008 mm over 600, 1200,
// 2400 mm; kerf 1.6: 2.43660e-5. Derived; these check the algebra, not nature.
#[test]
fn two_leaves_bow_by_three_a_h_plus_k_over_h_squared() {
    for leaf in halves(50.8, 0.0) {
        let kappa = leaf.sawn_sign() * leaf.bend_of_locked_in() * 400e-6;
        assert_relative_eq!(kappa, 3.0 * 400e-6 / 50.8, max_relative = 1e-12);
        assert_abs_diff_eq!(kappa, 2.36220e-5, epsilon = 5e-11);
        assert_abs_diff_eq!(bow(&leaf, 400e-6, 600.0), 1.063, epsilon = 5e-4);
        assert_abs_diff_eq!(bow(&leaf, 400e-6, 1200.0), 4.252, epsilon = 5e-4);
        assert_abs_diff_eq!(bow(&leaf, 400e-6, 2400.0), 17.008, epsilon = 5e-4);
    }
    for leaf in halves(50.8, 1.6) {
        let kappa = leaf.sawn_sign() * leaf.bend_of_locked_in() * 400e-6;
        assert_relative_eq!(
            kappa,
            3.0 * 400e-6 * 52.4 / 50.8_f64.powi(2),
            max_relative = 1e-12
        );
        assert_abs_diff_eq!(kappa, 2.43660e-5, epsilon = 5e-11);
    }
}

// Exact: c bends both leaves the same way by (c/H)(15 um^2 - 3 + 3 (h/H)^2); with no kerf um = 1/2, h/H = 1/2.
#[test]
fn a_lop_sided_strain_bends_both_leaves_the_same_way() {
    let leaves = halves(50.8, 0.0);
    for leaf in &leaves {
        assert_relative_eq!(leaf.bend_of_lopsided(), 1.5 / 50.8, max_relative = 1e-12);
    }
    // Seen from their fresh faces one is hollow and the other is round.
    assert_eq!(leaves[0].sawn_sign(), -leaves[1].sawn_sign());
}

#[test]
fn the_middle_leaf_of_three_stays_straight_and_the_lop_sided_strain_bends_it() {
    let leaves = ResawPlan::equal(3, mm(1.6)).slices(mm(50.8)).unwrap();
    assert_abs_diff_eq!(leaves[1].bend_of_locked_in(), 0.0, epsilon = 1e-15);
    assert!(leaves[1].bend_of_lopsided() < -1.0 / 50.8);
    assert!(leaves[1].lower_fresh && leaves[1].upper_fresh);
}

// The whole board is at rest in the shape it has: nothing left over bends it.
#[test]
fn an_unsawn_board_does_not_bend_and_a_planed_one_does() {
    let whole = Slice::whole(mm(50.8));
    assert_abs_diff_eq!(whole.bend_of_locked_in(), 0.0, epsilon = 1e-15);
    assert_abs_diff_eq!(whole.bend_of_lopsided(), 0.0, epsilon = 1e-15);
    let even = ResawPlan {
        plane_bark: mm(3.0),
        plane_other: mm(3.0),
        ..ResawPlan::equal(1, mm(0.0))
    };
    assert_abs_diff_eq!(
        even.slices(mm(50.8)).unwrap()[0].bend_of_locked_in(),
        0.0,
        epsilon = 1e-15
    );
    let uneven = ResawPlan {
        plane_bark: mm(6.0),
        ..ResawPlan::equal(1, mm(0.0))
    };
    let planed = uneven.slices(mm(50.8)).unwrap()[0];
    // Compressed wood was taken off the marked (upper) side: that face turns hollow.
    assert_relative_eq!(
        planed.bend_of_locked_in(),
        12.0 * -3.0 / 50.8_f64.powi(2),
        max_relative = 1e-12
    );
    assert!(planed.sawn_sign() * planed.bend_of_locked_in() > 0.0);
    assert!(!planed.lower_fresh && !planed.upper_fresh);
}

#[test]
fn leaves_of_given_thickness_count_from_the_marked_face_and_the_rest_is_a_leaf() {
    let plan = ResawPlan {
        leaves: Leaves::Thicknesses(vec![mm(20.0), mm(12.0)]),
        ..ResawPlan::equal(1, mm(1.5))
    };
    let leaves = plan.slices(mm(50.0)).unwrap();
    let edges: Vec<(f64, f64)> = leaves
        .iter()
        .map(|l| (l.upper.mm(), l.lower.mm()))
        .collect();
    assert_eq!(edges, [(50.0, 30.0), (28.5, 16.5), (15.0, 0.0)]);
    let too_much = ResawPlan {
        leaves: Leaves::Thicknesses(vec![mm(30.0), mm(30.0)]),
        ..plan
    };
    assert!(crate::refused(
        too_much.slices(mm(50.0)),
        "2 leaves do not come out of 50.0 mm"
    ));
    assert!(ResawPlan::equal(0, mm(1.5)).slices(mm(50.0)).is_err());
    assert!(ResawPlan::equal(40, mm(1.5)).slices(mm(50.0)).is_err());
}

// By hand: a face is fresh where a saw made it, also when what is left under the last leaf is too thin to be one, and not where it is
// the board's own planed face. Half a millimetre is the thinnest leaf.
#[test]
fn a_face_is_fresh_where_a_saw_made_it() {
    let fresh = |list: &[f64], planed: f64| -> Vec<(bool, bool)> {
        let plan = ResawPlan {
            leaves: Leaves::Thicknesses(list.iter().map(|leaf| mm(*leaf)).collect()),
            plane_bark: mm(planed),
            plane_other: mm(planed),
            ..ResawPlan::equal(1, mm(1.6))
        };
        let leaves = plan.slices(mm(50.8)).unwrap();
        leaves
            .iter()
            .map(|leaf| (leaf.upper_fresh, leaf.lower_fresh))
            .collect()
    };
    for planed in [0.0, 3.0] {
        let own = 50.8 - 2.0 * planed;
        let middle = own - 20.0 - 10.0 - 3.2;
        let three = [(false, true), (true, true), (true, false)];
        assert_eq!(fresh(&[20.0, 10.0, middle], planed), three);
        assert_eq!(fresh(&[20.0, 10.0], planed), three);
        assert_eq!(fresh(&[own], planed), [(false, false)]);
        // 1 mm is left: the kerf takes it all.
        assert_eq!(fresh(&[own - 1.0], planed), [(false, true)]);
        assert_eq!(
            fresh(&[own - 2.1], planed),
            [(false, true), (true, false)],
            "0.5 mm under a kerf of 1.6 mm"
        );
        assert_eq!(fresh(&[own - 2.0], planed), [(false, true)]);
    }
    let thin = |leaf: f64| ResawPlan {
        leaves: Leaves::Thicknesses(vec![mm(leaf), mm(20.0)]),
        ..ResawPlan::equal(1, mm(1.6))
    };
    assert!(thin(0.5).slices(mm(50.8)).is_ok());
    assert!(thin(0.49).slices(mm(50.8)).is_err());
}

// Published scale: acceptance of conditioned stock, 8 in wide, 24 to 30 in long, ripped in two, gap of a few
// thousandths of an inch: about 75e-6; a gap of 1/32 in: 578e-6 over 24 in (read in a cited text).
#[test]
fn ripping_is_the_same_formula_across_the_width() {
    let gap = |a: f64, length: f64| -> f64 {
        let strips = ResawPlan::equal(2, Length::ZERO).slices(mm(203.2)).unwrap();
        let crook = |strip: &Slice| strip.sawn_sign() * strip.bend_of_locked_in() * a;
        strips.iter().map(crook).sum::<f64>() * length * length / 8.0
    };
    let thousandths = |length: f64| gap(75e-6, length) / 0.0254;
    assert!(
        (3.0..5.0).contains(&thousandths(609.6)),
        "{}",
        thousandths(609.6)
    );
    assert!((5.0..7.0).contains(&thousandths(762.0)));
    assert_abs_diff_eq!(gap(578e-6, 609.6), 25.4 / 32.0, epsilon = 1e-3);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    // Random profiles, boards and leaves: closed form, slope operator on the profile, and 4000 layers one by one.
    #[test]
    fn the_closed_form_is_the_layer_sum(
        board in 10.0..120.0_f64, low in 0.0..0.8_f64, share in 0.05..1.0_f64,
        a in -2e-3..2e-3_f64, c in -1e-3..1e-3_f64,
    ) {
        let lower = low * board;
        let upper = lower + share * (board - lower);
        let leaf = slice(board, lower, upper);
        let closed = leaf.bend_of_locked_in() * a + leaf.bend_of_lopsided() * c;
        let strain = |z: f64| {
            let u = 2.0 * z / board - 1.0;
            a * legendre_p2(u) + c * legendre_p3(u)
        };
        let operator = curvature_of_strain(mm(lower), mm(upper), strain).per_mm();
        prop_assert!((closed - operator).abs() < 1e-9 * (a.abs() + c.abs()) + 1e-15, "{closed} {operator}");
        let (n, h) = (4000_u32, upper - lower);
        let sum: f64 = (0..n).map(|i| {
            let z = lower + h * (f64::from(i) + 0.5) / f64::from(n);
            strain(z) * (z - lower - h / 2.0)
        }).sum();
        let brute = 12.0 / h.powi(3) * sum * h / f64::from(n);
        prop_assert!((closed - brute).abs() < 1e-5 * closed.abs() + 1e-9, "{closed} {brute}");
    }

    // Turning the board over swaps the leaves; both see the same from their fresh faces, and c changes its sign.
    #[test]
    fn a_board_turned_over_gives_the_mirror_image(
        board in 10.0..120.0_f64, kerf in 0.0..3.0_f64, first in 0.2..0.6_f64,
    ) {
        let plan = |first: f64| ResawPlan {
            leaves: Leaves::Thicknesses(vec![mm(first)]),
            ..ResawPlan::equal(1, mm(kerf))
        };
        let leaves = plan(first * board).slices(mm(board)).unwrap();
        let turned = plan(board - kerf - first * board).slices(mm(board)).unwrap();
        prop_assume!(leaves.len() == 2 && turned.len() == 2);
        for (one, other) in [(&leaves[0], &turned[1]), (&leaves[1], &turned[0])] {
            let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
            prop_assert!(close(one.bend_of_locked_in(), -other.bend_of_locked_in()));
            prop_assert!(close(one.bend_of_lopsided(), other.bend_of_lopsided()));
            prop_assert!(close(one.sawn_sign(), -other.sawn_sign()));
        }
    }

    // All leaves of a plan and their kerfs fill the board.
    #[test]
    fn leaves_and_kerfs_fill_the_board(board in 20.0..120.0_f64, kerf in 0.0..3.0_f64, count in 1_usize..6) {
        let leaves = ResawPlan::equal(count, mm(kerf)).slices(mm(board)).unwrap();
        let filled: f64 = leaves.iter().map(|leaf| leaf.thickness().mm()).sum::<f64>()
            + kerf * (count as f64 - 1.0);
        prop_assert!((filled - board).abs() < 1e-9);
        prop_assert!((leaves[0].upper.mm() - board).abs() < 1e-9 && leaves[count - 1].lower.mm().abs() < 1e-9);
        // Equal leaves: the bows of a symmetric strain cancel in pairs, seen in board coordinates.
        let sum: f64 = leaves.iter().map(Slice::bend_of_locked_in).sum();
        prop_assert!(sum.abs() < 1e-9);
    }
}

// The belief about a curvature is linear in what is given.
#[test]
fn a_given_strain_carries_through_the_belief() {
    let leaf = halves(50.8, 1.6)[0];
    let kappa = given(400.0).curvature(0, &leaf, 1.0, 0.0);
    assert_abs_diff_eq!(kappa.mean(), 2.43660e-5, epsilon = 5e-11);
}
