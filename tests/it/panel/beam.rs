//! Composite bow, force factor, twist and forces.

use super::{in_order, leaf, mm, panel};
use approx::assert_relative_eq;
use heartside::panel::{
    CLAMP_NEWTONS, FaceUp, Leaf, LeafMatch, LeafWood, Strip, adds_bows, clamps,
    composite_curvature, felt, force_factor, force_to_close_seam, force_to_hold_straight,
    panel_twist,
};
use heartside::units::{Curvature, Force, Length, Stress};
use proptest::prelude::*;

const MARKED: [FaceUp; 8] = [FaceUp::Sawn; 8];

/// Plate finite elements, recorded with the script and its versions: a conforming orthotropic plate glued flat of strips that
/// want different curvatures, let go. It may bend across too, which the strip formula leaves out.
#[test]
fn bow_and_twist_agree_with_plate_finite_elements() {
    let fixture = include_str!("../../fixtures/panel_strips.csv");
    let mut seen = 0;
    for line in fixture
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("case"))
    {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |text: &str| text.parse::<f64>().unwrap();
        let mut max = (0.0_f64, 0.0_f64);
        let leaves: Vec<Leaf> = cells[1]
            .split('/')
            .enumerate()
            .map(|(i, strip)| {
                let v: Vec<f64> = strip.split('|').map(number).collect();
                max = (max.0.max(v[3].abs()), max.1.max(v[4].abs()));
                Leaf {
                    twist: mm(v[4]),
                    wood: LeafWood {
                        modulus: Stress::computed_mpa(v[2]),
                        shear_modulus: Stress::computed_mpa(0.065 * v[2]),
                        ..LeafWood::default()
                    },
                    ..Leaf::new(format!("L{i}"), mm(v[0]), mm(v[1]), mm(900.0), mm(v[3]))
                }
            })
            .collect();
        let count = leaves.len();
        let shape = panel(leaves, LeafMatch::Random).shape(&in_order(&MARKED[..count]));
        let (whole, middle, twist) = (number(cells[2]), number(cells[3]), number(cells[4]));
        // Clear of the ends 3 % of the largest bow; with the bare ends, where strips are not yet one, 5 %.
        assert!(
            (shape.bow.mm() - middle).abs() <= 0.03 * max.0,
            "{}: {} against {middle}",
            cells[0],
            shape.bow.mm()
        );
        assert!(
            (shape.bow.mm() - whole).abs() <= 0.05 * max.0,
            "{}",
            cells[0]
        );
        assert!(
            (shape.twist.mm() - twist).abs() <= 0.02 * max.1 * count as f64,
            "{}: twist {} against {twist}",
            cells[0],
            shape.twist.mm()
        );
        seen += 1;
    }
    assert_eq!(seen, 6);
}

/// Two strips by hand: `sum(E w h^3 s kappa) / sum(E w h^3)` with weights 2 : 1, bows 3 and -6.
#[test]
fn composite_bow_by_hand() {
    let leaves = vec![leaf("A", 200.0, 3.0), leaf("B", 100.0, -6.0)];
    let panel = panel(leaves, LeafMatch::Random);
    let book = panel.shape(&in_order(&[FaceUp::Sawn, FaceUp::Sawn]));
    assert!(book.bow.mm().abs() < 1e-12);
    assert_relative_eq!(book.force_factor, 0.0, epsilon = 1e-12);
    let slip = panel.shape(&in_order(&[FaceUp::Sawn, FaceUp::Back]));
    assert_relative_eq!(slip.bow.mm(), (2.0 * 3.0 + 6.0) / 3.0, epsilon = 1e-12);
    assert_relative_eq!(slip.force_factor, 2.0, epsilon = 1e-12);
}

/// Pairs worked by hand: bows (3, 3): book 2, slip 0; (3, -3): book 0, slip 2.
#[test]
fn force_factors_of_the_two_pairs() {
    for (other, book, slip) in [(3.0, 2.0, 0.0), (-3.0, 0.0, 2.0)] {
        let panel = panel(
            vec![leaf("A", 150.0, 3.0), leaf("B", 150.0, other)],
            LeafMatch::Random,
        );
        let factor = |second| panel.shape(&in_order(&[FaceUp::Sawn, second])).force_factor;
        assert_relative_eq!(factor(FaceUp::Sawn), book, epsilon = 1e-12);
        assert_relative_eq!(factor(FaceUp::Back), slip, epsilon = 1e-12);
    }
}

/// A beam 300 x 12 mm of 11 GPa, 900 mm long, bowed 6 mm, held by its ends and one divider: 187.73 N
/// (three-support beam, exact).
#[test]
fn force_to_hold_flat_is_the_three_support_beam() {
    let length = mm(900.0);
    let force = force_to_hold_straight(
        11_000.0 * 300.0 * 12.0_f64.powi(3),
        Curvature::of_rise(mm(6.0), length),
        length,
    );
    assert_relative_eq!(force.newtons(), 187.73, epsilon = 0.01);
    let wide = Leaf {
        thickness: mm(12.0),
        wood: LeafWood {
            modulus: Stress::computed_mpa(11_000.0),
            ..LeafWood::default()
        },
        ..leaf("A", 300.0, 6.0)
    };
    let shape = panel(vec![wide], LeafMatch::Random).shape(&in_order(&[FaceUp::Back]));
    assert_relative_eq!(shape.hold_flat.newtons(), 187.73, epsilon = 0.01);
    assert_relative_eq!(shape.bow.mm(), -6.0, epsilon = 1e-9);
    assert!(!shape.adds_bows);
}

/// Two alike leaves bowed against each other close halfway: each is pressed straight, with the force that takes.
#[test]
fn seam_force_between_opposite_leaves_presses_each_straight() {
    let leaves = vec![leaf("A", 150.0, 2.0), leaf("B", 150.0, -2.0)];
    let panel = panel(leaves, LeafMatch::Random);
    let shape = panel.shape(&in_order(&[FaceUp::Sawn, FaceUp::Sawn]));
    assert_relative_eq!(shape.seam_misfit.mm(), 4.0, epsilon = 1e-12);
    let alone = panel.shape(&in_order(&[FaceUp::Sawn])).hold_flat;
    assert_relative_eq!(
        shape.caul_force.newtons(),
        alone.newtons(),
        max_relative = 1e-12
    );
}

/// Where nothing is stiff or nothing is bowed there is nothing to hold: no bow, no twist, no force.
#[test]
fn nothing_has_no_bow_and_takes_no_force() {
    let strip = |weight: f64, bow: f64| Strip {
        bending_weight: weight,
        curvature: Curvature::of_rise(mm(bow), mm(900.0)),
    };
    for none in [
        &[][..],
        &[strip(0.0, 3.0)],
        &[strip(0.0, 3.0), strip(0.0, -1.0)],
    ] {
        assert_eq!(composite_curvature(none).per_mm(), 0.0);
        assert_eq!(force_factor(none), 0.0);
    }
    assert_eq!(force_factor(&[strip(5.0, 0.0), strip(2.0, 0.0)]), 0.0);
    assert_eq!(panel_twist(&[], mm(900.0), mm(300.0)), mm(0.0));
    assert_eq!(panel_twist(&[(0.0, 1e-6)], mm(900.0), mm(300.0)), mm(0.0));
    for (one, other) in [(0.0, 5.0), (5.0, 0.0), (0.0, 0.0)] {
        let force = force_to_close_seam(strip(one, 3.0), strip(other, -3.0), mm(900.0));
        assert_eq!(force, Force::ZERO);
    }
    assert!(force_to_close_seam(strip(5.0, 3.0), strip(5.0, -3.0), mm(900.0)).newtons() > 0.0);
    assert!(!adds_bows(1.0) && adds_bows(1.001));
}

#[test]
fn a_leaf_of_no_width_changes_nothing() {
    let two = vec![leaf("A", 120.0, 3.0), leaf("B", 90.0, -1.0)];
    let mut three = two.clone();
    three.push(Leaf {
        cup: mm(1.0),
        ..leaf("C", 0.0, 9.0)
    });
    let before = panel(two, LeafMatch::Random).shape(&in_order(&MARKED[..2]));
    let after = panel(three, LeafMatch::Random).shape(&in_order(&MARKED[..3]));
    assert_eq!(before.bow, after.bow);
    assert_eq!(before.cup, after.cup);
    assert_eq!(before.twist, after.twist);
    assert_relative_eq!(before.force_factor, after.force_factor);
    assert_eq!(before.rows[0].width, after.rows[0].width);
}

#[test]
fn crook_comes_off_the_width_and_out_of_the_stiffness() {
    let crooked = Leaf {
        crook: mm(-20.0),
        ..leaf("A", 120.0, 3.0)
    };
    let shape = panel(vec![crooked, leaf("B", 100.0, -3.0)], LeafMatch::Random)
        .shape(&in_order(&MARKED[..2]));
    assert_relative_eq!(shape.rows[0].width.mm(), 200.0);
    assert_relative_eq!(shape.rows[0].width_lost.mm(), 20.0);
    assert!(shape.bow.mm().abs() < 1e-12);
}

/// The seam of two leaves of unlike hand: at either end their edges stand `t (tau_1 - tau_2) L/2` off parallel.
#[test]
fn unlike_twists_open_the_seam_at_its_ends() {
    let twisted = |name, lift| Leaf {
        twist: mm(lift),
        ..leaf(name, 100.0, 0.0)
    };
    let panel = panel(
        vec![twisted("A", 3.0), twisted("B", -3.0)],
        LeafMatch::Random,
    );
    let shape = panel.shape(&in_order(&MARKED[..2]));
    assert_relative_eq!(
        shape.rows[0].seams[0].edge_gap.mm(),
        10.0 * (6.0 / 100.0) / 2.0,
        epsilon = 1e-12
    );
    assert!(shape.twist.mm().abs() < 1e-12);
}

#[test]
fn forces_are_felt_in_rising_steps() {
    let words: Vec<String> = [0.1, 10.0, 50.0, 100.0, 300.0, 1_000.0, 4_000.0]
        .map(|newtons| felt(Force::computed_newtons(newtons)))
        .to_vec();
    assert_eq!(
        words,
        [
            "no force",
            "a finger's push",
            "a light hand push",
            "a firm hand push",
            "both hands and some body weight",
            "one clamp",
            "3 clamps"
        ]
    );
    assert_eq!(clamps(Force::computed_newtons(CLAMP_NEWTONS)), 1);
    assert_eq!(clamps(Force::computed_newtons(CLAMP_NEWTONS + 1.0)), 2);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// However leaves are turned over or end for end, the panel's twist is the same; equal twists grow with the width.
    #[test]
    fn turning_keeps_the_hand_of_twist(
        twists in prop::collection::vec(-5.0..5.0_f64, 1..6),
        faces in prop::collection::vec(any::<bool>(), 6),
    ) {
        let leaves: Vec<Leaf> = twists.iter().enumerate().map(|(i, &lift)| Leaf {
            twist: mm(lift),
            ..leaf(&format!("L{i}"), 100.0, 1.0)
        }).collect();
        let count = leaves.len();
        let panel = panel(leaves, LeafMatch::Random);
        let turned: Vec<FaceUp> = faces[..count].iter()
            .map(|&back| if back { FaceUp::Back } else { FaceUp::Sawn }).collect();
        let twist = |faces: &[FaceUp]| panel.shape(&in_order(faces)).twist.mm();
        prop_assert_eq!(twist(&turned), twist(&MARKED[..count]));
        // Equal widths: mean lift over the leaf's width, times the panel's width.
        let sum: f64 = twists.iter().sum();
        prop_assert!((twist(&turned) - sum).abs() < 1e-9);
    }

    /// Turned over whole, a panel's bow changes its sign and nothing else of it; turned half round it is the same panel.
    #[test]
    fn a_mirrored_panel_is_the_same_panel(
        bows in prop::collection::vec(-6.0..6.0_f64, 1..6),
        widths in prop::collection::vec(50.0..200.0_f64, 6),
    ) {
        let leaves: Vec<Leaf> = bows.iter().zip(&widths).enumerate()
            .map(|(i, (&bow, &width))| leaf(&format!("L{i}"), width, bow)).collect();
        let count = leaves.len();
        let panel = panel(leaves, LeafMatch::Random);
        let up = panel.shape(&in_order(&MARKED[..count]));
        let down = panel.shape(&in_order(&[FaceUp::Back; 6][..count]));
        prop_assert!((up.bow + down.bow).abs() < Length::from_mm_unchecked(1e-12));
        prop_assert_eq!(up.force_factor, down.force_factor);
        prop_assert_eq!(up.seam_misfit, down.seam_misfit);
        let round = panel.shape(&up.layout.turned_round());
        prop_assert!((up.bow - round.bow).abs() < Length::from_mm_unchecked(1e-12));
        prop_assert!((up.score - round.score).abs() < 1e-12);
    }

    /// The composite lies between the flattest and the most bowed leaf.
    #[test]
    fn the_panel_bows_no_more_than_its_worst_leaf(
        bows in prop::collection::vec(-6.0..6.0_f64, 1..6),
        widths in prop::collection::vec(50.0..200.0_f64, 6),
    ) {
        let worst = bows.iter().fold(f64::NEG_INFINITY, |a, &b| a.max(b));
        let min = bows.iter().fold(f64::INFINITY, |a, &b| a.min(b));
        let leaves: Vec<Leaf> = bows.iter().zip(&widths).enumerate()
            .map(|(i, (&bow, &width))| leaf(&format!("L{i}"), width, bow)).collect();
        let count = leaves.len();
        let bow = panel(leaves, LeafMatch::Random).shape(&in_order(&MARKED[..count])).bow.mm();
        prop_assert!(bow <= worst + 1e-9 && bow >= min - 1e-9);
    }
}
