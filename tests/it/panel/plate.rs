//! Coupled leaves: exact states, limits, and the values of finite elements and of the closed form of two opposed leaves.

use super::{in_order, mm, panel};
use approx::assert_relative_eq;
use heartside::panel::{
    FaceUp, Leaf, LeafMatch, LeafWood, PlateLeaf, coupled_leaves, force_to_hold_straight,
    forces_to_hold_flat, settle_woods,
};
use heartside::units::{Curvature, Stress};
use proptest::prelude::*;

/// Red oak, Wood Handbook Tables 5-1 and 5-3: E_T, G_LR and G_LT as shares of E_L.
fn red_oak() -> LeafWood {
    let share = |share: f64| Stress::computed_mpa(12_300.0 * share);
    LeafWood {
        modulus: share(1.0),
        shear_modulus: share(0.085),
        modulus_across: share(0.082),
        shear_modulus_lt: share(0.081),
        shear_modulus_lr: share(0.089),
        shrinkage: None,
    }
}

fn strip(width_mm: f64, thickness_mm: f64, along_per_mm: f64) -> PlateLeaf {
    PlateLeaf {
        width_mm,
        thickness_mm,
        wood: red_oak(),
        along_per_mm,
        across_per_mm: 0.0,
        twist_per_mm: 0.0,
    }
}

/// Share of one leaf's own bow that each edge and seam keeps.
fn kept(signs: &[f64], length: f64, width: f64, thickness: f64) -> Vec<f64> {
    let curvature = 1e-5;
    let leaf = width / signs.len() as f64;
    let leaves: Vec<PlateLeaf> = signs
        .iter()
        .map(|sign| strip(leaf, thickness, sign * curvature))
        .collect();
    let own = curvature * length * length / 8.0;
    coupled_leaves(&leaves, length)
        .unwrap()
        .bow_mm
        .into_iter()
        .map(|bow| bow / own)
        .collect()
}

/// Leaves that want the same shape take it, whatever they are made of: bow, cup and twist at once.
#[test]
fn leaves_that_want_the_same_shape_take_it() {
    let leaves: Vec<PlateLeaf> = [(80.0, 18.0), (140.0, 18.0), (60.0, 22.0)]
        .map(|(width, thickness)| PlateLeaf {
            across_per_mm: -3e-5,
            twist_per_mm: 2e-5,
            ..strip(width, thickness, 1.5e-5)
        })
        .to_vec();
    let shape = coupled_leaves(&leaves, 900.0).unwrap();
    assert_eq!(shape.at_mm, [0.0, 80.0, 220.0, 280.0]);
    for bow in &shape.bow_mm {
        assert_relative_eq!(*bow, 1.5e-5 * 900.0 * 900.0 / 8.0, max_relative = 1e-8);
    }
    assert_relative_eq!(shape.lift_mm, 2e-5 * 900.0 * 280.0, max_relative = 1e-8);
}

/// Reduced model and solid finite elements worked out apart from the program (derived): edges and inner seams of panels of red
/// oak, 1000 x 400 and 800 x 600 mm, 20 mm thick; the first value is the sheet's own reduced model, the second the solid's.
#[test]
fn opposed_leaves_against_solid_elements() {
    type Line = (usize, f64, f64);
    let cases: [(&[f64], f64, f64, &[Line]); 5] = [
        (&[1.0, -1.0], 1000.0, 400.0, &[(0, 0.406, 0.416)]),
        (
            &[1.0, -1.0, 1.0],
            1000.0,
            400.0,
            &[(0, 0.422, 0.428), (1, 0.297, 0.295)],
        ),
        (
            &[1.0, -1.0, -1.0, 1.0],
            1000.0,
            400.0,
            &[(0, 0.112, 0.120), (2, -0.089, -0.095)],
        ),
        (
            &[1.0, 1.0, 1.0, -1.0],
            1000.0,
            400.0,
            &[(0, 0.751, 0.757), (4, 0.137, 0.123)],
        ),
        (&[1.0, -1.0, 1.0, -1.0], 800.0, 600.0, &[(0, 0.457, 0.472)]),
    ];
    for (signs, length, width, lines) in cases {
        let kept = kept(signs, length, width, 20.0);
        for &(line, reduced, solid) in lines {
            assert!(
                (kept[line] - reduced).abs() <= 0.0015,
                "{signs:?} line {line}: {} for {reduced}",
                kept[line]
            );
            assert!((kept[line] - solid).abs() <= 0.021, "{signs:?} line {line}");
        }
    }
}

/// The closed form of two opposed thin leaves, with its spread against plate finite elements (derived):
/// `a = (L/w) sqrt(3 G/E)`, `S0 = 3/a^2 (1 - 1/cosh a)`, `S = S0/(1 + 0.17 S0^2)`.
#[test]
fn two_opposed_leaves_against_the_closed_form() {
    let published = [
        (2.0, 0.892),
        (3.0, 0.704),
        (4.0, 0.531),
        (6.0, 0.302),
        (8.0, 0.184),
        (12.0, 0.085),
    ];
    for (slender, share) in published {
        let a: f64 = slender * (3.0_f64 * 0.081).sqrt();
        let first = 3.0 / (a * a) * (1.0 - 1.0 / a.cosh());
        let closed = first / (1.0 + 0.17 * first * first);
        assert_relative_eq!(closed, share, epsilon = 0.003);
        let kept = kept(&[1.0, -1.0], slender * 200.0, 400.0, 0.2);
        assert_relative_eq!(kept[0], closed, max_relative = 0.06);
        assert_relative_eq!(kept[0], -kept[2], max_relative = 1e-6);
        assert!(kept[1].abs() < 1e-6);
    }
}

/// A long panel is a beam with the mean bow.
#[test]
fn a_long_panel_is_a_beam() {
    let shares = kept(&[1.0, 1.0, -1.0], 6000.0, 240.0, 20.0);
    for share in shares {
        assert_relative_eq!(share, 1.0 / 3.0, epsilon = 0.03);
    }
}

/// One leaf held flat by three cauls is the three-support beam within what the plate's width adds.
#[test]
fn holding_one_leaf_flat_is_near_the_beam() {
    let length = 1200.0;
    let forces = forces_to_hold_flat(&[strip(100.0, 20.0, 2e-5)], length).unwrap();
    let beam = force_to_hold_straight(
        12_300.0 * 100.0 * 20.0_f64.powi(3),
        Curvature::computed_per_mm(2e-5),
        mm(length),
    );
    assert_relative_eq!(
        forces.iter().sum::<f64>(),
        beam.newtons(),
        max_relative = 0.02
    );
    assert_relative_eq!(forces[0], forces[1], max_relative = 1e-6);
}

/// Opposed leaves need no force on the whole, and two opposite ones at the edges.
#[test]
fn opposed_leaves_are_held_flat_by_opposite_forces() {
    let forces = forces_to_hold_flat(
        &[strip(200.0, 20.0, 2e-5), strip(200.0, 20.0, -2e-5)],
        1000.0,
    )
    .unwrap();
    assert!(forces[0] > 10.0, "{forces:?}");
    assert_relative_eq!(forces[0], -forces[2], max_relative = 1e-6);
    assert!(forces.iter().sum::<f64>().abs() < 1e-6 * forces[0]);
}

/// The demo's pair of sugar maple, slip-matched: 1.24 and 0.84 mm by the closed form of two opposed leaves, which is within
/// some 3 % of plate elements (derived).
#[test]
fn the_demos_slip_matched_pair_keeps_bow_at_its_edges() {
    let table = heartside::species::SpeciesTable::built_in();
    let inch = 25.4;
    let leaf = |name: &str, bow: f64| {
        Leaf::new(
            name,
            mm(7.0 * inch),
            mm(0.5 * inch),
            mm(22.0 * inch),
            mm(bow * inch),
        )
    };
    let mut leaves = vec![leaf("A1", 1.0 / 16.0), leaf("A2", 3.0 / 64.0)];
    settle_woods(&mut leaves, Some("maple, sugar"), table).unwrap();
    let panel = panel(leaves, LeafMatch::SlipMatch);
    let shape = panel.shape(&in_order(&[FaceUp::Sawn, FaceUp::Back]));
    let edges = &shape.rows[0].line_bows;
    assert_relative_eq!(edges[0].mm(), 1.24, epsilon = 0.015);
    assert_relative_eq!(edges[2].mm(), -0.84, epsilon = 0.015);
    assert_relative_eq!(
        shape.bow.mm(),
        (1.0 / 16.0 - 3.0 / 64.0) * inch / 2.0,
        epsilon = 1e-9
    );
    assert_relative_eq!(shape.largest_bow.mm(), 1.24, epsilon = 0.015);
    assert!(shape.hold_flat.newtons() > 0.0);
}

#[test]
fn no_leaf_is_no_plate() {
    assert_eq!(coupled_leaves(&[], 900.0), None);
    assert_eq!(forces_to_hold_flat(&[], 900.0), None);
    let unnamed = Leaf::new("A", mm(0.0), mm(10.0), mm(900.0), mm(1.0));
    assert_eq!(unnamed.wood, LeafWood::default());
}

proptest! {
    /// Sums of wanted shapes give sums of shapes, and a mirrored panel the mirrored shape.
    #[test]
    fn linear_and_mirrored(
        bows in prop::collection::vec(-3e-5..3e-5_f64, 2..5),
        cup in -5e-5..5e-5_f64,
        length in 500.0..2000.0_f64,
    ) {
        let leaves: Vec<PlateLeaf> = bows.iter().map(|&bow| PlateLeaf { across_per_mm: cup * bow.signum(), ..strip(110.0, 20.0, bow) }).collect();
        let doubled: Vec<PlateLeaf> = leaves.iter().map(|leaf| PlateLeaf { along_per_mm: 2.0 * leaf.along_per_mm, across_per_mm: 2.0 * leaf.across_per_mm, ..*leaf }).collect();
        let mirrored: Vec<PlateLeaf> = leaves.iter().rev().copied().collect();
        let one = coupled_leaves(&leaves, length).unwrap().bow_mm;
        let two = coupled_leaves(&doubled, length).unwrap().bow_mm;
        let back = coupled_leaves(&mirrored, length).unwrap().bow_mm;
        for i in 0..one.len() {
            prop_assert!((two[i] - 2.0 * one[i]).abs() < 1e-6);
            prop_assert!((one[i] - back[one.len() - 1 - i]).abs() < 1e-6);
        }
    }
}
