//! The section map: exact cases, limits and symmetry, figures of an independent model, whole ranges.

use super::{board, cups, mm, moved, pith, straight, strains};
use approx::assert_abs_diff_eq;
use heartside::movement::{Direction, Face, Shrinkage, SizesRead};
use heartside::units::{Curvature, Length, MoistureContent};
use proptest::prelude::*;

// Exact: equal strains in every direction only scale the section.
#[test]
fn equal_strains_scale_the_section_and_keep_it_square() {
    let moved = moved(board(180.0, 32.0, pith(35.0, -60.0)), strains(-0.02, -0.02));
    let sizes = moved.sizes();
    for (size, before) in [
        (sizes.width_bark_face, 180.0),
        (sizes.width_heart_face, 180.0),
        (sizes.thickness_left, 32.0),
        (sizes.thickness_middle, 32.0),
        (sizes.thickness_right, 32.0),
    ] {
        assert_abs_diff_eq!(size.mm(), 0.98 * before, epsilon = 1e-10);
    }
    assert_abs_diff_eq!(sizes.cup_bark_face.mm(), 0.0, epsilon = 1e-9);
    assert_abs_diff_eq!(sizes.cup_heart_face.mm(), 0.0, epsilon = 1e-9);
    let (left, right) = moved.edges_off_square();
    assert_abs_diff_eq!(left.degrees(), 0.0, epsilon = 1e-10);
    assert_abs_diff_eq!(right.degrees(), 0.0, epsilon = 1e-10);
}

// Exact: a line through the pith stays a line, and a ring stays a ring whose arc length grew by e_T.
#[test]
fn rays_stay_straight_and_rings_grow_by_the_tangential_strain() {
    let (e_r, e_t) = (-0.05, -0.11);
    let moved = moved(board(200.0, 40.0, pith(0.0, -50.0)), strains(e_r, e_t));
    let on_ring = |degrees: f64| {
        let theta = degrees.to_radians();
        moved.point_mm(80.0 * theta.sin(), -50.0 + 80.0 * theta.cos())
    };
    let (a, b) = (on_ring(-20.0), on_ring(35.0));
    let angle = |p: (f64, f64)| p.0.atan2(p.1);
    assert_abs_diff_eq!(a.0.hypot(a.1), 80.0 * (1.0 + e_r), epsilon = 1e-10);
    assert_abs_diff_eq!(
        (angle(b) - angle(a)) * a.0.hypot(a.1),
        80.0 * 55_f64.to_radians() * (1.0 + e_t),
        epsilon = 1e-9
    );
    let (near, far) = (moved.point_mm(20.0, 0.0), moved.point_mm(28.0, 20.0));
    assert_abs_diff_eq!(near.0 * far.1 - near.1 * far.0, 0.0, epsilon = 1e-9);
    assert_abs_diff_eq!(
        (far.0 - near.0).hypot(far.1 - near.1),
        8_f64.hypot(20.0) * (1.0 + e_r),
        epsilon = 1e-10
    );
}

// Exact, point by point: r -> (1 + e_R) r and theta -> theta (1 + e_T)/(1 + e_R), theta counted from the line pith to middle of the section,
// in plain polar coordinates, to a few units of the last place; for small turns, which the room takes by their series, and large ones.
#[test]
fn every_point_follows_the_polar_map_to_the_last_places() {
    let cases = [
        ((0.0, -150.0), -0.0072, -0.0146),
        ((60.0, -80.0), -0.0072, -0.0146),
        ((40.0, -3.0), -0.01, -0.045),
        ((-25.0, -6.0), 0.02, 0.05),
        ((10.0, 45.0), -0.02, -0.4),
        ((-10.0, -12.0), -0.3, 0.1),
        ((160.0, 10.0), -0.005, -0.05),
    ];
    for ((px, pz), e_r, e_t) in cases {
        let section = moved(board(200.0, 30.0, pith(px, pz)), strains(e_r, e_t));
        let middle = (-px).atan2(15.0 - pz);
        let mut max = 0.0_f64;
        for i in 0..=40 {
            for z in [0.0, 7.5, 15.0, 30.0] {
                let x = -100.0 + 5.0 * f64::from(i);
                let (dx, dz) = (x - px, z - pz);
                let r = dx.hypot(dz);
                // The turn from the middle line, taken so that the cut lies behind the pith.
                let mut theta = dx.atan2(dz) - middle;
                if theta.abs() > std::f64::consts::PI {
                    theta -= theta.signum() * std::f64::consts::TAU;
                }
                let turned = middle + theta * (1.0 + e_t) / (1.0 + e_r);
                max = max.max((turned - middle - theta).abs());
                let (found_x, found_z) = section.point_mm(x, z);
                let (by_hand_x, by_hand_z) = (
                    (1.0 + e_r) * r * turned.sin(),
                    (1.0 + e_r) * r * turned.cos(),
                );
                assert_abs_diff_eq!(found_x, by_hand_x, epsilon = 2e-14 * (r + 10.0));
                assert_abs_diff_eq!(found_z, by_hand_z, epsilon = 2e-14 * (r + 10.0));
            }
        }
        // Cases on both sides of the twentieth of a radian at which the series ends.
        assert!(max > 0.004);
    }
}

// Exact: straight rings move by their own strain along and square to them.
#[test]
fn straight_rings_move_along_and_square_to_themselves() {
    let e = strains(-0.0072, -0.0146);
    let flat = moved(board(200.0, 25.0, straight(0.0)), e).sizes();
    assert_abs_diff_eq!(
        flat.width_bark_face.mm(),
        200.0 * (1.0 - 0.0146),
        epsilon = 1e-10
    );
    assert_abs_diff_eq!(
        flat.thickness_left.mm(),
        25.0 * (1.0 - 0.0072),
        epsilon = 1e-10
    );
    let quarter = moved(board(200.0, 25.0, straight(90.0)), e).sizes();
    assert_abs_diff_eq!(
        quarter.width_bark_face.mm(),
        200.0 * (1.0 - 0.0072),
        epsilon = 1e-10
    );
    assert_abs_diff_eq!(
        quarter.thickness_middle.mm(),
        25.0 * (1.0 - 0.0146),
        epsilon = 1e-10
    );
    let rift = moved(board(200.0, 25.0, straight(45.0)), e);
    // At 45 degrees: mean strain e along both axes, shear d between them.
    let (mean, half_difference) = (-0.0109, -0.0037_f64);
    assert_abs_diff_eq!(
        rift.width(Face::Bark).mm(),
        200.0 * (1.0_f64 + mean).hypot(half_difference),
        epsilon = 1e-10
    );
    assert_eq!(cups(&rift), (0.0, 0.0));
    // Rings that rise to the right shrink more along their rise: the section leans over.
    let (left, right) = rift.edges_off_square();
    assert!((left.degrees() + right.degrees()).abs() < 1e-9);
    assert_abs_diff_eq!(
        right.degrees().abs(),
        2.0 * (half_difference.abs() / (1.0 + mean)).atan().to_degrees(),
        epsilon = 1e-9
    );
}

// Figures derived with a plane finite-element model of a cylindrically orthotropic board
// (agreement of that model with the map: 0.4 %); no publication prints them.
#[test]
fn flat_sawn_board_over_its_pith_meets_the_independent_model() {
    let moved = moved(
        board(200.0, 25.0, pith(0.0, -150.0)),
        strains(-0.0072, -0.0146),
    );
    let sizes = moved.sizes();
    assert_abs_diff_eq!(sizes.cup_bark_face.mm(), 0.383, epsilon = 5e-4);
    assert!(
        sizes.cup_heart_face.mm() < 0.0,
        "the heart side bulges when it dries"
    );
    assert_abs_diff_eq!(sizes.width_bark_face.mm(), 197.214, epsilon = 5e-4);
    assert_abs_diff_eq!(sizes.width_heart_face.mm(), 197.253, epsilon = 5e-4);
    assert_abs_diff_eq!(sizes.thickness_middle.mm(), 24.820, epsilon = 5e-4);
    assert_abs_diff_eq!(sizes.thickness_left.mm(), 24.769, epsilon = 5e-4);
    assert_abs_diff_eq!(sizes.thickness_right.mm(), 24.769, epsilon = 5e-4);
}

#[test]
fn board_beside_its_pith_meets_the_independent_model() {
    let moved = moved(
        board(150.0, 30.0, pith(60.0, -80.0)),
        strains(-0.0072, -0.0146),
    );
    let sizes = moved.sizes();
    assert_abs_diff_eq!(sizes.width_bark_face.mm(), 148.087, epsilon = 5e-4);
    assert_abs_diff_eq!(sizes.width_heart_face.mm(), 148.197, epsilon = 5e-4);
    assert_abs_diff_eq!(
        -moved.rise_at(Face::Bark, mm(0.0)).mm(),
        0.228,
        epsilon = 5e-4
    );
    assert_abs_diff_eq!(sizes.cup_bark_face.mm(), 0.234, epsilon = 5e-4);
    let (left, right) = moved.edges_off_square();
    // The heart face stays the wider one by 0.110 mm: together the corners at the bark face are wider than square.
    assert_abs_diff_eq!(
        left.degrees() + right.degrees(),
        (0.110_f64 / 29.8).to_degrees(),
        epsilon = 3e-3
    );
    let mut off = [left.degrees().abs(), right.degrees().abs()];
    off.sort_by(f64::total_cmp);
    assert_abs_diff_eq!(off[0], 0.128, epsilon = 5e-4);
    assert_abs_diff_eq!(off[1], 0.337, epsilon = 5e-4);
}

// Northern red oak; derived figures of the same map at one face.
#[test]
fn red_oak_faces_meet_the_derived_figures() {
    let oak = strains(-0.00632, -0.01476);
    for (y0, cup, width) in [(100.0, 0.661, 197.41), (50.0, 0.932, 197.79)] {
        let face = moved(board(200.0, 25.0, pith(0.0, -(y0 - 25.0))), oak);
        let face = face.sizes();
        assert_abs_diff_eq!(face.cup_bark_face.mm(), cup, epsilon = 5e-4);
        assert_abs_diff_eq!(face.width_bark_face.mm(), width, epsilon = 5e-3);
    }
    for (y0, cup, width) in [(100.0, 0.567, 197.309), (50.0, 0.780, 197.556)] {
        let face = moved(board(200.0, 25.0, pith(0.0, -y0)), oak).sizes();
        assert_abs_diff_eq!(face.cup_bark_face.mm(), cup, epsilon = 5e-4);
        assert_abs_diff_eq!(face.width_bark_face.mm(), width, epsilon = 5e-4);
    }
}

// Common practice, no source: a dried flat-sawn board is hollow on the bark side; one that swells is
// hollow on the heart side.
#[test]
fn drying_hollows_the_bark_side_and_swelling_the_heart_side() {
    let section = board(240.0, 20.0, pith(10.0, -70.0));
    let (bark, heart) = cups(&moved(section, strains(-0.006, -0.014)));
    assert!(bark > 0.5 && heart < -0.5);
    let (bark, heart) = cups(&moved(section, strains(0.006, 0.014)));
    assert!(bark < -0.5 && heart > 0.5);
}

// Limit: a small cup is an arc of curvature 2 (e_T - e_R)/y0, y0 = pith to that face.
#[test]
fn a_narrow_face_bends_by_the_small_cup_limit() {
    let (e_r, e_t, width) = (-1e-4, -3e-4, 4.0);
    for y0 in [60.0, 150.0, 900.0] {
        let moved = moved(board(width, 10.0, pith(0.0, -y0 + 10.0)), strains(e_r, e_t));
        let curvature = -8.0 * moved.rise_at(Face::Bark, mm(0.0)).mm() / (width * width);
        let limit = -2.0 * (e_t - e_r) / y0;
        assert!(
            (curvature / limit - 1.0).abs() < 3e-3,
            "y0 {y0}: {curvature} against {limit}"
        );
    }
}

// Limit: a pith far away is straight rings.
#[test]
fn a_far_pith_is_flat_sawn() {
    let e = strains(-0.0072, -0.0146);
    let far = moved(board(200.0, 25.0, pith(0.0, -2.0e7)), e).sizes();
    let flat = moved(board(200.0, 25.0, straight(0.0)), e).sizes();
    assert_abs_diff_eq!(
        far.width_bark_face.mm(),
        flat.width_bark_face.mm(),
        epsilon = 1e-5
    );
    assert_abs_diff_eq!(
        far.thickness_right.mm(),
        flat.thickness_right.mm(),
        epsilon = 1e-5
    );
    assert_abs_diff_eq!(far.cup_bark_face.mm(), 0.0, epsilon = 1e-5);
    let side = moved(board(200.0, 25.0, pith(-2.0e7, 12.5)), e).sizes();
    let quarter = moved(board(200.0, 25.0, straight(90.0)), e).sizes();
    assert_abs_diff_eq!(
        side.width_bark_face.mm(),
        quarter.width_bark_face.mm(),
        epsilon = 1e-5
    );
}

#[test]
fn doubling_the_width_doubles_the_movement_of_straight_rings() {
    for degrees in [0.0, 45.0, 90.0] {
        let e = strains(-0.0072, -0.0146);
        let change = |width: f64| {
            moved(board(width, 25.0, straight(degrees)), e)
                .width(Face::Bark)
                .mm()
                - width
        };
        assert_abs_diff_eq!(change(400.0), 2.0 * change(200.0), epsilon = 1e-10);
    }
}

#[test]
fn a_board_with_its_pith_inside_has_no_stress_free_shape() {
    let e = strains(-0.0072, -0.0146);
    for (x, z, inside) in [
        (0.0, 12.0, true),
        (100.0, 25.0, true),
        (100.1, 12.0, false),
        (0.0, -0.1, false),
        (0.0, 25.1, false),
    ] {
        let section = board(200.0, 25.0, pith(x, z));
        assert_eq!(section.contains_pith(), inside, "pith at ({x}, {z})");
        assert_eq!(section.moved(e).is_none(), inside);
    }
}

#[test]
fn a_moisture_slope_adds_its_arc_to_the_ring_cup() {
    let moved = moved(
        board(200.0, 25.0, pith(0.0, -150.0)),
        strains(-0.0072, -0.0146),
    );
    let kappa = Curvature::computed_per_mm(1e-4);
    let (bark, heart) = cups(&moved);
    let arc = |face| 1e-4 * moved.width(face).mm().powi(2) / 8.0;
    // Bark face moister: upper layers longer, the heart face turns hollow.
    assert_abs_diff_eq!(
        moved.cup_with(Face::Heart, kappa).mm(),
        heart + arc(Face::Heart),
        epsilon = 1e-12
    );
    assert_abs_diff_eq!(
        moved.cup_with(Face::Bark, kappa).mm(),
        bark - arc(Face::Bark),
        epsilon = 1e-12
    );
}

#[test]
fn the_width_coefficient_is_the_slope_of_the_width() {
    let wood = Shrinkage {
        radial_percent: 4.0,
        tangential_percent: 8.6,
        longitudinal_percent: 0.1,
        fiber_saturation_percent: 30.0,
    };
    let moisture = |percent: f64| MoistureContent::from_percent(percent).unwrap();
    for rings in [
        straight(0.0),
        straight(90.0),
        straight(45.0),
        pith(20.0, -60.0),
        pith(90.0, -40.0),
    ] {
        let section = board(160.0, 20.0, rings);
        let e = heartside::movement::RingStrains::of(&wood, moisture(9.99), moisture(10.01));
        let after = moved(section, e);
        let mean = (after.width(Face::Bark).mm() + after.width(Face::Heart).mm()) / 2.0;
        assert_abs_diff_eq!(
            section.width_coefficient(&wood),
            (mean / 160.0 - 1.0) / 0.02,
            epsilon = 3e-5
        );
    }
    assert_abs_diff_eq!(
        board(160.0, 20.0, straight(0.0)).width_coefficient(&wood),
        wood.change_coefficient(Direction::Tangential),
        epsilon = 1e-15
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    // The cup found by its bracketed slope is the maximum rise of 2001 places; all sizes at once are the
    // sizes one by one; the outline has the chord and the cup too.
    #[test]
    fn sizes_agree_with_a_walk_along_the_faces(
        width in 30.0..400.0_f64, thickness in 5.0..80.0_f64,
        x in -400.0..400.0_f64, z in -400.0..-1.0_f64,
        e_r in -0.05..0.05_f64, e_t in -0.11..0.11_f64,
    ) {
        let moved = moved(board(width, thickness, pith(x, z)), strains(e_r, e_t));
        let sizes = moved.sizes();
        for (face, cup, sign) in [(Face::Bark, sizes.cup_bark_face, -1.0), (Face::Heart, sizes.cup_heart_face, 1.0)] {
            let max = (0..=2000)
                .map(|i| sign * moved.rise_at(face, mm(width * (f64::from(i) / 2000.0 - 0.5))).mm())
                .max_by(|a, b| a.abs().total_cmp(&b.abs()))
                .unwrap();
            prop_assert!((cup.mm() - max).abs() < 2e-5 * max.abs() + 1e-9, "{} against {max}", cup.mm());
            prop_assert!((moved.cup(face).mm() - cup.mm()).abs() < 1e-9 + 1e-12);
        }
        prop_assert_eq!(sizes.width_bark_face, moved.width(Face::Bark));
        prop_assert!((sizes.thickness_left.mm() - moved.thickness_at(mm(-width / 2.0)).mm()).abs() < 1e-9);
        let outline = moved.outline_mm(33);
        prop_assert_eq!(outline.len(), 66);
        prop_assert!((outline[32].0 - outline[0].0 - sizes.width_heart_face.mm()).abs() < 1e-9);
        prop_assert!(outline[0].1.abs() < 1e-9 && outline[32].1.abs() < 1e-9);
        prop_assert!((outline[0].0 + outline[32].0).abs() < 1e-9);
    }

    // Mirror: the pith on the other side swaps left and right and nothing else.
    #[test]
    fn a_mirrored_board_moves_as_the_mirror_image(
        width in 30.0..400.0_f64, thickness in 5.0..80.0_f64,
        x in 0.0..400.0_f64, z in -400.0..-1.0_f64,
        e_r in -0.05..0.05_f64, e_t in -0.11..0.11_f64,
    ) {
        let e = strains(e_r, e_t);
        let (here, there) = (moved(board(width, thickness, pith(x, z)), e), moved(board(width, thickness, pith(-x, z)), e));
        let (a, b) = (here.sizes(), there.sizes());
        for (one, other) in [
            (a.width_bark_face, b.width_bark_face), (a.width_heart_face, b.width_heart_face),
            (a.thickness_left, b.thickness_right), (a.thickness_right, b.thickness_left),
            (a.thickness_middle, b.thickness_middle),
            (a.cup_bark_face, b.cup_bark_face), (a.cup_heart_face, b.cup_heart_face),
        ] {
            prop_assert!((one.mm() - other.mm()).abs() < 1e-8, "{} and {}", one.mm(), other.mm());
        }
        let ((la, ra), (lb, rb)) = (here.edges_off_square(), there.edges_off_square());
        prop_assert!((la.degrees() - rb.degrees()).abs() < 1e-8);
        prop_assert!((ra.degrees() - lb.degrees()).abs() < 1e-8);
    }

    // The map undoes itself: strains that bring the sizes back, bring every point back.
    #[test]
    fn the_area_grows_by_both_strains(
        width in 30.0..400.0_f64, thickness in 5.0..80.0_f64,
        x in -400.0..400.0_f64, z in -400.0..-1.0_f64,
        e_r in -0.05..0.05_f64, e_t in -0.11..0.11_f64,
    ) {
        let moved = moved(board(width, thickness, pith(x, z)), strains(e_r, e_t));
        // Shoelace over a fine outline, with the edges subdivided too since they bend.
        let n = 400;
        let (w, t) = (width / 2.0, thickness);
        let at = |i: usize| f64::from(u32::try_from(i).unwrap()) / n as f64;
        let path: Vec<_> = (0..n).map(|i| moved.point_mm(-w + width * at(i), 0.0))
            .chain((0..n).map(|i| moved.point_mm(w, t * at(i))))
            .chain((0..n).map(|i| moved.point_mm(w - width * at(i), t)))
            .chain((0..n).map(|i| moved.point_mm(-w, t - t * at(i))))
            .collect();
        let area: f64 = (0..path.len()).map(|i| {
            let (a, b) = (path[i], path[(i + 1) % path.len()]);
            (a.0 * b.1 - a.1 * b.0) / 2.0
        }).sum();
        let exact = width * thickness * (1.0 + e_r) * (1.0 + e_t);
        prop_assert!((area / exact - 1.0).abs() < 1e-4, "{area} against {exact}");
    }
}

/// What is read at once is what is read one by one.
#[test]
fn sizes_read_at_once_are_those_read_alone() {
    for section in [
        board(200.0, 30.0, pith(60.0, -80.0)),
        board(200.0, 30.0, straight(35.0)),
    ] {
        let drying = strains(-0.0072, -0.0146);
        let moved = moved(section, drying);
        for x in [-100.0, -37.0, 0.0, 88.0] {
            let read = SizesRead::of(section, mm(x)).unwrap().after(drying);
            let alone = [
                moved.width(Face::Bark),
                moved.rise_at(Face::Bark, mm(x)),
                moved.thickness_at(Length::ZERO),
            ];
            for (read, alone) in read.into_iter().zip(alone) {
                assert!((read - alone).mm().abs() < 1e-12, "{read:?} for {alone:?}");
            }
        }
        assert!(moved.width(Face::Bark).mm() > 190.0);
    }
}

// The cup is the top of the rise, whatever way it is found: here by halving about the maximum of a hundred points, for piths near and far,
// beside and under the board.
#[test]
fn the_cup_is_the_max_rise_of_the_face() {
    let mut worst = 0.0_f64;
    for depth in [0.2, 3.0, 20.0, 90.0, 700.0] {
        for offset in [0.0, 35.0, -99.0, 160.0, -600.0] {
            for e in [strains(-0.0072, -0.0146), strains(0.02, 0.07)] {
                let moved = moved(board(200.0, 30.0, pith(offset, -depth)), e);
                for (face, found) in [Face::Bark, Face::Heart]
                    .into_iter()
                    .zip([cups(&moved).0, cups(&moved).1])
                {
                    let height = |x: f64| moved.rise_at(face, mm(x)).mm().abs();
                    let at = |i: i32| -100.0 + 2.0 * f64::from(i);
                    let best = (0..=100)
                        .max_by(|a, b| height(at(*a)).total_cmp(&height(at(*b))))
                        .unwrap();
                    let (mut low, mut high) = (at(best) - 2.0, at(best) + 2.0);
                    for _ in 0..80 {
                        let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
                        if height(a) < height(b) {
                            low = a;
                        } else {
                            high = b;
                        }
                    }
                    let top = height((low + high) / 2.0);
                    worst = worst.max((found.abs() - top).abs() / top.max(1e-3));
                }
            }
        }
    }
    assert!(worst < 1e-6, "{worst}");
}
