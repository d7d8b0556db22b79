//! Boards, plans and strips over all sizes of the table.

use super::*;
use heartside::stock::{
    Board, BoardOrder, Leaves, ResawPlan, Slice, TestStrip, Wood, forecast_pack,
};

fn any_plan() -> impl Strategy<Value = ResawPlan> {
    let leaves = prop_oneof![
        (0..12_usize).prop_map(Leaves::Equal),
        proptest::collection::vec(inside(Bounds::THICKNESS).prop_map(mm), 0..5)
            .prop_map(Leaves::Thicknesses),
    ];
    (
        leaves,
        inside(Bounds::KERF),
        inside(Bounds::KERF),
        inside(Bounds::KERF),
    )
        .prop_map(|(leaves, kerf, marked, other)| ResawPlan {
            leaves,
            kerf: mm(kerf),
            plane_bark: mm(marked),
            plane_other: mm(other),
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    /// Leaves lie inside the board one under the other with a kerf between, or the plan is refused with a reason.
    #[test]
    fn leaves_lie_inside_the_board_or_the_plan_is_refused(plan in any_plan(), thickness in inside(Bounds::THICKNESS)) {
        match plan.slices(mm(thickness)) {
            Err(reason) => prop_assert!(!reason.to_string().contains("NaN")),
            Ok(slices) => {
                prop_assert!(!slices.is_empty());
                let mut top = thickness - plan.plane_bark.mm();
                for slice in &slices {
                    prop_assert!((slice.upper.mm() - top).abs() < 1e-9 * thickness);
                    prop_assert!(slice.thickness().mm() >= 0.5 - 1e-9);
                    prop_assert!(slice.lower.mm() >= plan.plane_other.mm() - 1e-6);
                    prop_assert!(slice.middle_share().abs() <= 1.0);
                    prop_assert!(slice.bend_of_locked_in().is_finite() && slice.bend_of_lopsided().is_finite());
                    top = slice.lower.mm() - plan.kerf.mm();
                }
            }
        }
    }

    /// One board of the same strains twice as thick, cut the same, bends half as much; over twice the length a bow is four times as deep.
    #[test]
    fn curvature_goes_with_one_over_the_thickness(
        board in inside(Bounds::THICKNESS), low in 0.0..0.9_f64, share in 0.01..1.0_f64,
    ) {
        let slice = |k: f64| Slice {
            board: mm(k * board),
            lower: mm(k * low * board),
            upper: mm(k * (low + share * (1.0 - low)) * board),
            lower_fresh: true,
            upper_fresh: false,
        };
        prop_assert!((slice(2.0).bend_of_locked_in() - slice(1.0).bend_of_locked_in() / 2.0).abs() < 1e-9 / board);
        prop_assert!((slice(2.0).bend_of_lopsided() - slice(1.0).bend_of_lopsided() / 2.0).abs() < 1e-9 / board);
    }

    #[test]
    fn strips_bow_with_the_length_squared(
        thickness in inside(Bounds::THICKNESS), length in inside(Bounds::BOARD_LENGTH), kerf in inside(Bounds::KERF),
        a in inside(Bounds::LOCKED_IN),
    ) {
        let gap = |length: f64, a: f64| TestStrip::of_gap(mm(length), mm(thickness), mm(kerf), Length::ZERO).gap_of(a * 1e-6);
        match (gap(length, a), gap(2.0 * length, a)) {
            (Ok(one), Ok(two)) => {
                prop_assert!(one.mm().is_finite() && near(two.mm(), 4.0 * one.mm(), 1e-12));
                // Positive strain in the shell opens the middle.
                prop_assert!(one.mm() * a >= 0.0);
                prop_assert!(near(gap(length, 2.0 * a).unwrap().mm(), 2.0 * one.mm(), 1e-12));
            }
            (one, two) => prop_assert!(one.is_err() && two.is_err()),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// A whole forecast of any board: finite bands in order, or a reason; bow with the length squared.
    #[test]
    fn any_board_is_forecast_or_refused(
        length in inside(Bounds::BOARD_LENGTH), width in inside(Bounds::WIDTH), thickness in inside(Bounds::THICKNESS),
        moisture in 0.0..60.0_f64, wood in any_wood(), gravity in inside(Bounds::SPECIFIC_GRAVITY), leaves in 1..6_usize,
        kerf in inside(Bounds::KERF), given in proptest::option::of(inside(Bounds::LOCKED_IN)),
    ) {
        let wood = Wood { shrinkage: wood, basic_gravity: gravity };
        let order = |length: f64| {
            let board = Board::plain(mm(length), mm(width), mm(thickness), percent(moisture));
            let mut order = BoardOrder::plain(board, wood, ResawPlan::equal(leaves, mm(kerf)));
            order.locked_in = given.map(|micro| strain(micro * 1e-6));
            order
        };
        let both = (forecast_pack(&[order(length)]), forecast_pack(&[order(2.0 * length)]));
        let (Ok(one), Ok(long)) = both else {
            prop_assert!(both.0.is_err() && both.1.is_err());
            return Ok(());
        };
        for (leaf, longer) in one[0].leaves.iter().zip(&long[0].leaves) {
            for warp in [&leaf.bow, &leaf.cup] {
                for band in [warp.off_saw, warp.rested] {
                    prop_assert!(band.low.mm().is_finite() && band.high.mm().is_finite());
                    prop_assert!(band.low <= band.middle && band.middle <= band.high, "{:?}", band);
                }
            }
            let (a, b) = (leaf.bow.off_saw, longer.bow.off_saw);
            let size = a.low.mm().abs().max(a.high.mm().abs());
            for (a, b) in [(a.low, b.low), (a.middle, b.middle), (a.high, b.high)] {
                prop_assert!((b.mm() - 4.0 * a.mm()).abs() <= 1e-6 * size, "{} and {}", a.mm(), b.mm());
            }
        }
    }
}
