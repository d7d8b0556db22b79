//! Panels and shelves over all sizes, stiffnesses and loads of the table.

use super::*;
use heartside::carcass::{
    AllowedSag, BowedPanel, JointHold, LoadedShelf, Shelf, ShelfBoard, ShelfLoad, ShelfSupport,
    Support, Turning, closing_forces, keeps_to, load_shelf, max_span, min_thickness,
    standing_cautions, straighten,
};
use heartside::units::{Force, LineLoad, Stress};

/// Places along a part, some off it, some together.
fn places() -> impl Strategy<Value = Vec<f64>> {
    proptest::collection::vec(
        prop_oneof![6 => 0.0..=1.0_f64, 1 => Just(0.0), 1 => Just(1.0), 1 => -0.5..1.5_f64],
        0..6,
    )
}

fn shelf(
    depth: f64,
    thickness: f64,
    modulus: f64,
    length: f64,
    places: &[f64],
    loads: Vec<ShelfLoad>,
) -> Shelf {
    Shelf {
        board: ShelfBoard::new(mm(depth), mm(thickness), Stress::computed_mpa(modulus)).unwrap(),
        length: mm(length),
        supports: places
            .iter()
            .map(|x| ShelfSupport::at(mm(x * length)))
            .collect(),
        loads,
        lasts: heartside::carcass::LoadLasts::Permanent,
    }
}

fn even(load: f64) -> ShelfLoad {
    ShelfLoad::Even(LineLoad::computed_newtons_per_mm(load))
}

fn figures(loaded: &LoadedShelf) -> [f64; 5] {
    [
        loaded.sag.mm(),
        loaded.sag_long_term.mm(),
        loaded.stress.mpa(),
        loaded.load.newtons(),
        loaded.span.mm(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    /// Any panel on any supports: finite forces that balance, or a named reason.
    #[test]
    fn any_panel_is_held_or_refused(
        length in inside(Bounds::BOARD_LENGTH), width in inside(Bounds::WIDTH), thickness in inside(Bounds::THICKNESS),
        modulus in inside(Bounds::MODULUS), bow in inside(Bounds::LENGTH), places in places(),
    ) {
        let panel = |bow: f64, width: f64| BowedPanel::new(mm(length), mm(width), mm(thickness), Stress::computed_mpa(modulus), mm(bow));
        let Ok(one) = panel(bow, width) else {
            prop_assert!(crate::refused(panel(bow, width), "give a size inside that range"));
            return Ok(());
        };
        let supports: Vec<Support> = places.iter().map(|x| Support::at(mm(x * length))).collect();
        match straighten(&one, &supports) {
            Err(reason) => prop_assert!(!reason.to_string().contains("NaN"), "{}", reason),
            Ok(held) => {
                let forces: Vec<f64> = held.supports.iter().map(|s| s.against_crown.newtons()).collect();
                prop_assert!(forces.iter().all(|force| force.is_finite()), "{:?}", forces);
                prop_assert!(held.leftover.mm().is_finite() && held.stress.mpa().is_finite() && held.energy_n_mm.is_finite());
                let size = forces.iter().fold(0.0_f64, |most, force| most.max(force.abs()));
                prop_assert!(forces.iter().sum::<f64>().abs() <= 1e-6 * size + 1e-9);
                // Forces go with the bow and with the width.
                if let (Ok(wide), Ok(flat)) = (panel(bow, 2.0 * width), panel(bow / 2.0, width)) {
                    let (wide, flat) = (straighten(&wide, &supports).unwrap(), straighten(&flat, &supports).unwrap());
                    for ((force, wide), flat) in forces.iter().zip(&wide.supports).zip(&flat.supports) {
                        prop_assert!((wide.against_crown.newtons() - 2.0 * force).abs() <= 1e-6 * size);
                        prop_assert!((2.0 * flat.against_crown.newtons() - force).abs() <= 1e-6 * size);
                    }
                }
                for closing in closing_forces(&one, &supports).unwrap_or_default() {
                    prop_assert!(closing.together.newtons().is_finite() && closing.alone.newtons().is_finite());
                }
            }
        }
    }

    /// Any shelf on any supports under any load: finite sags, or a named reason; linear in the load and in one over the stiffness.
    #[test]
    fn any_shelf_is_loaded_or_refused(
        depth in inside(Bounds::WIDTH), thickness in inside(Bounds::THICKNESS), modulus in inside(Bounds::MODULUS),
        length in inside(Bounds::BOARD_LENGTH), places in places(), load in inside(Bounds::LINE_LOAD), at in -0.2..1.2_f64,
        force in 0.0..1e4_f64,
    ) {
        let loads = |k: f64| vec![
            even(k * load),
            ShelfLoad::Point { at: mm(at * length), force: Force::computed_newtons(k * force) },
        ];
        match load_shelf(&shelf(depth, thickness, modulus, length, &places, loads(1.0))) {
            Err(reason) => prop_assert!(!reason.to_string().contains("NaN"), "{}", reason),
            Ok(one) => {
                prop_assert!(figures(&one).iter().all(|figure| figure.is_finite()));
                let carried: f64 = one.reactions.iter().map(|reaction| reaction.up.newtons()).sum();
                prop_assert!((carried - one.load.newtons()).abs() <= 1e-6 * one.load.newtons().abs() + 1e-6);
                prop_assert!(one.sag_long_term.abs() >= one.sag.abs());
                let half = load_shelf(&shelf(depth, thickness, modulus, length, &places, loads(0.5))).unwrap();
                prop_assert!((2.0 * half.sag.mm() - one.sag.mm()).abs() <= 1e-6 * one.sag.mm().abs() + 1e-12);
                if modulus * 2.0 <= Bounds::MODULUS.max {
                    let stiff = load_shelf(&shelf(depth, thickness, 2.0 * modulus, length, &places, loads(1.0))).unwrap();
                    prop_assert!((2.0 * stiff.sag.mm() - one.sag.mm()).abs() <= 1e-6 * one.sag.mm().abs() + 1e-12);
                }
            }
        }
    }

    /// On its two ends a shelf sags with the fourth power of the span and one over the cube of the thickness.
    #[test]
    fn sag_goes_with_span_to_the_fourth(
        depth in inside(Bounds::WIDTH), thickness in 0.1..250.0_f64, modulus in inside(Bounds::MODULUS),
        length in 1.0..15_000.0_f64, load in 0.001..100.0_f64,
    ) {
        let sag = |thickness: f64, length: f64| load_shelf(&shelf(depth, thickness, modulus, length, &[0.0, 1.0], vec![even(load)])).unwrap().sag.mm();
        let one = sag(thickness, length);
        prop_assert!(near(sag(thickness, 2.0 * length), 16.0 * one, 1e-6), "{} and {}", one, sag(thickness, 2.0 * length));
        prop_assert!(near(sag(2.0 * thickness, length), one / 8.0, 1e-6));
    }

    /// What is called the maximum span or the minimum thickness keeps to the sag, and a little beyond does not.
    #[test]
    fn limits_stand_at_the_limit(
        depth in inside(Bounds::WIDTH), thickness in inside(Bounds::THICKNESS), modulus in inside(Bounds::MODULUS),
        load in inside(Bounds::LINE_LOAD), length in inside(Bounds::BOARD_LENGTH), ends in prop_oneof![Just(Turning::Free), Just(Turning::Fixed), (0.0..=1.0_f64).prop_map(Turning::Housed)],
    ) {
        let board = ShelfBoard::new(mm(depth), mm(thickness), Stress::computed_mpa(modulus)).unwrap();
        let line = LineLoad::computed_newtons_per_mm(load);
        let allowed = AllowedSag::default();
        let at = |span: f64| load_shelf(&Shelf {
            board: board.clone(),
            length: mm(span),
            supports: [0.0, span].map(|x| ShelfSupport { turning: ends, ..ShelfSupport::at(mm(x)) }).to_vec(),
            loads: vec![ShelfLoad::Even(line)], lasts: heartside::carcass::LoadLasts::Permanent }).unwrap();
        match max_span(&board, (line, heartside::carcass::LoadLasts::Permanent), ends, allowed) {
            Ok(span) => {
                prop_assert!(keeps_to(&at(span.mm() * 0.999), allowed));
                // beyond the longest board there is nothing to ask
                if span.mm() * 1.001 <= Bounds::BOARD_LENGTH.max {
                    prop_assert!(!keeps_to(&at(span.mm() * 1.001), allowed));
                }
            }
            Err(reason) => prop_assert!(reason.message().contains("keeps to that sag"), "{reason}"),
        }
        let plain = shelf(depth, thickness, modulus, length, &[0.0, 1.0], vec![ShelfLoad::Even(line)]);
        match min_thickness(&plain, allowed) {
            Ok(thin) => {
                let with = |thickness: f64| load_shelf(&shelf(depth, thickness, modulus, length, &[0.0, 1.0], vec![ShelfLoad::Even(line)])).unwrap();
                prop_assert!(keeps_to(&with((thin.mm() * 1.001).min(Bounds::THICKNESS.max)), allowed));
                if thin.mm() * 0.999 >= Bounds::THICKNESS.min {
                    prop_assert!(!keeps_to(&with(thin.mm() * 0.999), allowed));
                }
            }
            Err(reason) => prop_assert!(["keeps to that sag", "at one place"].iter().any(|words| reason.message().contains(words)), "{reason}"),
        }
    }

    /// A joint's share of its load is a finite number; no joint at all breaks at once.
    #[test]
    fn a_joints_share_is_never_no_number(
        length in inside(Bounds::WIDTH), width in inside(Bounds::WIDTH), strength in 0.0..50.0_f64, pull in inside(Bounds::FORCE),
        height in inside(Bounds::BOARD_LENGTH), depth in inside(Bounds::BOARD_LENGTH),
    ) {
        let hold = JointHold::Glue { length: mm(length), width: mm(width), strength: Stress::computed_mpa(strength) };
        let load = hold.under(Force::computed_newtons(pull));
        prop_assert!(!load.share.is_nan() && load.share >= 0.0);
        let twice = JointHold::Glue { length: mm(2.0 * length), width: mm(width), strength: Stress::computed_mpa(strength) };
        prop_assert!(twice.under(Force::computed_newtons(pull)).share <= load.share);
        for caution in standing_cautions(mm(height), mm(depth)) {
            let words = format!("{caution:?}");
            prop_assert!(!words.contains("NaN"));
        }
    }
}
