//! Sections and slopes over all sizes, rings, woods and moistures of the table.

use super::*;
use heartside::movement::{
    Direction, Face, GivenRings, Layer, MovedSection, RingStrains, Rings, Sawn, Section,
    curvature_of_layers, curvature_of_moisture_slope, parabola_slope_percent_per_mm,
    two_layer_curvature,
};
use heartside::units::{Angle, Stress};

const ACROSS: [Direction; 2] = [Direction::Radial, Direction::Tangential];

fn any_rings() -> impl Strategy<Value = Rings> {
    let straight = inside(Bounds::ANGLE).prop_map(|degrees| Rings::Straight {
        angle: Angle::computed_degrees(degrees),
    });
    let pith = (inside(Bounds::PITH_DEPTH), -20_000.0..20_000.0_f64, 0..3_u8).prop_map(
        |(depth, offset, far)| Rings::Pith {
            depth: mm(depth),
            // As often close beside the board as far away.
            offset: mm([offset, offset / 100.0, offset / 10_000.0][usize::from(far)]),
        },
    );
    prop_oneof![1 => straight, 3 => pith]
}

fn any_section() -> impl Strategy<Value = Section> {
    (
        inside(Bounds::WIDTH),
        inside(Bounds::THICKNESS),
        any_rings(),
    )
        .prop_map(|(width, thickness, rings)| Section {
            width: mm(width),
            thickness: mm(thickness),
            rings,
        })
}

fn scaled(section: Section, factor: f64) -> Section {
    Section {
        width: section.width * factor,
        thickness: section.thickness * factor,
        rings: match section.rings {
            Rings::Pith { depth, offset } => Rings::Pith {
                depth: depth * factor,
                offset: offset * factor,
            },
            straight => straight,
        },
    }
}

fn figures(moved: &MovedSection) -> [f64; 9] {
    let sizes = moved.sizes();
    let (left, right) = moved.edges_off_square();
    [
        sizes.width_bark_face.mm(),
        sizes.width_heart_face.mm(),
        sizes.thickness_left.mm(),
        sizes.thickness_middle.mm(),
        sizes.thickness_right.mm(),
        sizes.cup_bark_face.mm(),
        sizes.cup_heart_face.mm(),
        left.degrees(),
        right.degrees(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    /// Every board of every wood from any moisture to any other: no shape where the pith is inside, else finite figures,
    /// sizes that stay positive, and a cup no deeper than the board is wide.
    #[test]
    fn every_board_has_a_finite_shape_or_holds_its_pith(
        section in any_section(), wood in any_wood(), from in inside(Bounds::MOISTURE), to in inside(Bounds::MOISTURE),
    ) {
        let strains = RingStrains::of(&wood, percent(from), percent(to));
        let Some(moved) = section.moved(strains) else {
            prop_assert!(section.contains_pith());
            return Ok(());
        };
        let figures = figures(&moved);
        prop_assert!(figures.iter().all(|figure| figure.is_finite()), "{:?}", figures);
        prop_assert!(figures[..5].iter().all(|size| *size > 0.0), "{:?}", figures);
        // With the pith close beside it a wide board may bend round it, never farther than its own width.
        prop_assert!(figures[5].abs() <= section.width.mm() && figures[6].abs() <= section.width.mm());
        prop_assert!(moved.cup(Face::Bark).mm().is_finite());
        prop_assert!(moved.outline_mm(5).iter().all(|(x, z)| x.is_finite() && z.is_finite()));
        prop_assert!(section.width_coefficient(&wood).is_finite());
        if from == to || from.min(to) >= wood.fiber_saturation_percent {
            for (now, was) in [(figures[0], section.width), (figures[3], section.thickness)] {
                prop_assert!(near(now, was.mm(), 1e-9), "{} for {}", now, was.mm());
            }
        }
    }

    /// The map itself, by the law of cosines: two points at radii `r` and an angle `a` apart, seen from the pith, end at radii
    /// `(1 + e_R) r` and an angle `a (1 + e_T)/(1 + e_R)` apart, wherever the pith lies outside the board, below or beside it.
    #[test]
    fn corners_end_where_the_polar_map_puts_them(
        width in 5.0..600.0_f64, thickness in 2.0..200.0_f64, away in -3.0..3.0_f64, below in -0.5..20.0_f64,
        e_r in -0.1..0.1_f64, e_t in -0.2..0.2_f64,
    ) {
        let (x, depth) = (away * width, below * thickness);
        let section = Section {
            width: mm(width),
            thickness: mm(thickness),
            rings: Rings::Pith { depth: mm(depth), offset: mm(x) },
        };
        let Some(moved) = section.moved(RingStrains { radial: strain(e_r), tangential: strain(e_t) }) else {
            return Ok(());
        };
        let corners = [(-0.5, 0.0), (0.5, 0.0), (0.5, 1.0), (-0.5, 1.0)].map(|(u, v)| (u * width, v * thickness));
        for (i, a) in corners.iter().enumerate() {
            for b in &corners[..i] {
                let from = |p: &(f64, f64)| (p.0 - x, p.1 + depth);
                let ((ax, az), (bx, bz)) = (from(a), from(b));
                let (ra, rb) = ((1.0 + e_r) * ax.hypot(az), (1.0 + e_r) * bx.hypot(bz));
                let apart = (ax * bz - az * bx).atan2(ax * bx + az * bz);
                let half = (apart * (1.0 + e_t) / (1.0 + e_r) / 2.0).sin();
                let expected = ((ra - rb).powi(2) + 4.0 * ra * rb * half * half).sqrt();
                let (p, q) = (moved.point_mm(a.0, a.1), moved.point_mm(b.0, b.1));
                let found = (p.0 - q.0).hypot(p.1 - q.1);
                prop_assert!((found - expected).abs() < 1e-12 * (ra + rb + expected), "{} and {}", found, expected);
            }
        }
    }

    /// The cup is the maximum rise of the face, to a few millionths even with the pith close to the face: found here by narrowing on it from both sides.
    #[test]
    fn the_cup_is_the_max_rise(
        width in 5.0..600.0_f64, thickness in 2.0..100.0_f64, away in -2.0..2.0_f64, below in 0.01..10.0_f64,
        e_r in -0.05..0.05_f64, e_t in -0.11..0.11_f64,
    ) {
        let rings = Rings::Pith { depth: mm(below * width), offset: mm(away * width) };
        let section = Section { width: mm(width), thickness: mm(thickness), rings };
        let moved = section.moved(RingStrains { radial: strain(e_r), tangential: strain(e_t) }).unwrap();
        for face in [Face::Bark, Face::Heart] {
            let rise = |x: f64| moved.rise_at(face, mm(x)).mm().abs();
            let (mut low, mut high) = (-width / 2.0, width / 2.0);
            for _ in 0..80 {
                let third = (high - low) / 3.0;
                if rise(low + third) < rise(high - third) {
                    low += third;
                } else {
                    high -= third;
                }
            }
            let (max, cup) = (rise((low + high) / 2.0), moved.cup(face).mm().abs());
            prop_assert!((cup - max).abs() < 3e-6 * max + 2e-9, "{} and {}", cup, max);
        }
    }

    /// Angles read off rings that arch round a pith tell that pith; at any height the ring is square to the ray from it.
    #[test]
    fn angles_anywhere_tell_the_pith(
        width in 50.0..600.0_f64, thickness in 2.0..100.0_f64, away in -0.4..0.4_f64, below in 0.1..2.0_f64,
        places in proptest::collection::vec(-0.5..0.5_f64, 3),
    ) {
        prop_assume!((places[0] - places[1]).abs() > 0.2);
        let rings = Rings::Pith { depth: mm(below * width), offset: mm(away * width) };
        let read = |x: f64| (mm(x * width), rings.angle_at(x * width, thickness / 2.0));
        for (x, _) in places.iter().map(|x| read(*x)) {
            let angle = rings.angle_at(x.mm(), thickness / 2.0).radians();
            let (dx, dz) = (x.mm() - away * width, thickness / 2.0 + below * width);
            prop_assert!((angle.cos() * dx + angle.sin() * dz).abs() < 1e-9 * width);
        }
        let given = GivenRings::RingAngles(places.iter().map(|x| read(*x)).collect());
        let Ok(Rings::Pith { depth, offset }) = given.rings(mm(width), mm(thickness)) else {
            return Err(TestCaseError::fail("no pith"));
        };
        prop_assert!((depth.mm() - below * width).abs() < 1e-6 * width, "{} and {}", depth.mm(), below * width);
        prop_assert!((offset.mm() - away * width).abs() < 1e-6 * width);
    }

    /// Anywhere round a pith, above it too, the ring's angle is square to the ray and given between -90 and 90 degrees.
    #[test]
    fn ring_angles_are_square_to_the_ray_all_round(
        depth in inside(Bounds::PITH_DEPTH), offset in -2_000.0..2_000.0_f64, x in -1_000.0..1_000.0_f64, z in -500.0..1_000.0_f64,
    ) {
        let angle = Rings::Pith { depth: mm(depth), offset: mm(offset) }.angle_at(x, z);
        prop_assert!((-90.0..=90.0).contains(&angle.degrees()), "{}", angle.degrees());
        let (dx, dz) = (x - offset, z + depth);
        let (sin, cos) = angle.radians().sin_cos();
        prop_assert!((cos * dx + sin * dz).abs() < 1e-9 * (1.0 + dx.hypot(dz)));
        // Right of the pith and above its height a ring falls to the right, left of it it rises.
        if dz > 1.0 && dx.abs() > 1.0 {
            prop_assert!(angle.degrees() * dx < 0.0);
        }
    }

    /// A drawing twice as large moves twice as much, and turns by the same angles.
    #[test]
    fn twice_the_size_is_twice_the_change(
        section in any_section(), wood in any_wood(), from in 0.0..40.0_f64, to in 0.0..40.0_f64,
    ) {
        let strains = RingStrains::of(&wood, percent(from), percent(to));
        if let (Some(one), Some(two)) = (section.moved(strains), scaled(section, 2.0).moved(strains)) {
            let size = section.width.mm().max(section.thickness.mm());
            for (i, (a, b)) in figures(&one).into_iter().zip(figures(&two)).enumerate() {
                let expected = if i < 7 { 2.0 * a } else { a };
                prop_assert!((b - expected).abs() <= 2e-6 * expected.abs() + 1e-8 * (1.0 + size), "{}: {} and {}", i, a, b);
            }
        }
    }

    /// Straight rings: the change goes with the width, and drier is narrower in every direction.
    #[test]
    fn straight_rings_change_with_the_width_and_the_moisture(
        width in inside(Bounds::WIDTH), degrees in inside(Bounds::ANGLE), wood in any_wood(),
        from in 0.0..60.0_f64, to in 0.0..60.0_f64, drier in 0.0..20.0_f64,
    ) {
        let rings = Rings::Straight { angle: Angle::computed_degrees(degrees) };
        let width_at = |width: f64, to: f64| {
            let section = Section { width: mm(width), thickness: mm(20.0), rings };
            section.moved(RingStrains::of(&wood, percent(from), percent(to))).unwrap().width(Face::Bark).mm()
        };
        let change = width_at(width, to) - width;
        prop_assert!((width_at(2.0 * width, to) - 2.0 * width - 2.0 * change).abs() < 1e-9 * width);
        let dry = (to - drier).max(0.0);
        for direction in ACROSS {
            let strain = |to: f64| wood.strain(direction, percent(from), percent(to)).ratio();
            prop_assert!(strain(dry) <= strain(to) + 1e-15);
            prop_assert!(strain(to) > -1.0 && Bounds::STRAIN.check(strain(to)).is_ok());
        }
        prop_assert!(width_at(width, dry) <= width_at(width, to) * (1.0 + 1e-12));
    }

    /// Telling the rings in any way gives rings to reckon with or a reason.
    #[test]
    fn rings_given_in_any_way_are_rings_or_a_reason(
        width in inside(Bounds::WIDTH), thickness in inside(Bounds::THICKNESS),
        depth in inside(Bounds::PITH_DEPTH), radius in inside(Bounds::RING_RADIUS),
        any in proptest::collection::vec(inside(Bounds::LENGTH), 4), angles in proptest::collection::vec((-1.2..1.2_f64, inside(Bounds::ANGLE)), 0..5),
    ) {
        let near_board = |share: f64| mm(share / Bounds::LENGTH.max * width);
        let given = [
            GivenRings::Pith { depth: mm(depth), offset: mm(any[0]) },
            GivenRings::RingRise { rise: near_board(any[0]), chord: near_board(any[1]), crown: Some(near_board(any[2])), centre: None },
            GivenRings::RingRise { rise: mm(any[0]), chord: mm(any[1]), crown: None, centre: Some(mm(any[3])) },
            GivenRings::RingRadius { radius: mm(radius), crown: Some(near_board(any[2])), centre: Some(mm(any[3])) },
            GivenRings::RingAngles(angles.iter().map(|(x, b)| (mm(x * width / 2.0), Angle::computed_degrees(*b))).collect()),
            GivenRings::Sawn(Sawn::Rift),
        ];
        for given in given {
            match given.rings(mm(width), mm(thickness)) {
                Ok(rings) => {
                    let section = Section { width: mm(width), thickness: mm(thickness), rings };
                    prop_assert!(rings.angle_at(0.0, 0.0).degrees().is_finite());
                    if let Some(moved) = section.moved(RingStrains { radial: strain(-0.02), tangential: strain(-0.05) }) {
                        prop_assert!(figures(&moved).iter().all(|f| f.is_finite()), "{:?}", section);
                    }
                }
                Err(reason) => prop_assert!(!reason.to_string().contains("NaN"), "{}", reason),
            }
        }
    }

    /// Layers of any thickness and stiffness: symmetric in the layers, one over the thickness, none without a difference.
    #[test]
    fn two_layers_bend_as_one_over_their_thickness(
        a in inside(Bounds::THICKNESS), b in inside(Bounds::THICKNESS), ea in inside(Bounds::MODULUS), eb in inside(Bounds::MODULUS),
        wants in inside(Bounds::STRAIN),
    ) {
        let layer = |thickness: f64, modulus: f64| Layer { thickness: mm(thickness), modulus: Stress::computed_mpa(modulus) };
        let bend = |a: f64, b: f64, wants: f64| two_layer_curvature(layer(a, ea), layer(b, eb), strain(wants)).per_mm();
        let kappa = bend(a, b, wants);
        prop_assert!(kappa.is_finite());
        prop_assert!(kappa * wants >= 0.0);
        // At most what two equal layers of like stiffness do: 1.5 times the difference over the thickness.
        prop_assert!(kappa.abs() <= 1.5 * wants.abs() / (a + b) * (1.0 + 1e-9));
        prop_assert!(near(bend(2.0 * a, 2.0 * b, wants), kappa / 2.0, 1e-12));
        prop_assert!(near(bend(a, b, wants / 2.0), kappa / 2.0, 1e-12));
        let turned = two_layer_curvature(layer(b, eb), layer(a, ea), strain(wants)).per_mm();
        prop_assert!(near(turned, kappa, 1e-9));
    }

    /// Slopes: linear in what drives them; a profile stretched over twice the thickness bends half as much.
    #[test]
    fn slopes_scale_with_the_thickness(
        board in inside(Bounds::THICKNESS), low in 0.0..0.9_f64, share in 0.01..1.0_f64, drop in -30.0..30.0_f64,
        cells in proptest::collection::vec(-0.1..0.1_f64, 1..40), c in 0.0..0.02_f64, slope in -5.0..5.0_f64,
    ) {
        let (from, to) = (low * board, (low + share * (1.0 - low)) * board);
        let at = |k: f64| parabola_slope_percent_per_mm(mm(k * board), mm(k * from), mm(k * to), drop);
        prop_assert!(at(1.0).is_finite() && near(at(2.0), at(1.0) / 2.0, 1e-9) || at(1.0).abs() < 1e-9 / board);
        prop_assert_eq!(curvature_of_moisture_slope(c, slope).per_mm(), c * slope);
        let edges = |k: f64| -> Vec<f64> { (0..=cells.len()).map(|i| k * board * i as f64 / cells.len() as f64).collect() };
        let kappa = curvature_of_layers(&edges(1.0), &cells).per_mm();
        let wide = curvature_of_layers(&edges(2.0), &cells).per_mm();
        prop_assert!(kappa.is_finite() && (wide - kappa / 2.0).abs() < 1e-12 / board);
        let shifted: Vec<f64> = cells.iter().map(|cell| cell + 0.3).collect();
        prop_assert!((curvature_of_layers(&edges(1.0), &shifted).per_mm() - kappa).abs() < 1e-12 / board);
    }

    /// Green wood does not move, oven-dry wood has moved by its whole shrinkage.
    #[test]
    fn shrinkage_ends_at_saturation_and_at_zero(wood in any_wood(), above in 0.0..100.0_f64) {
        for direction in [Direction::Radial, Direction::Tangential, Direction::Longitudinal] {
            let green = wood.fiber_saturation_percent + above;
            prop_assert_eq!(wood.size_ratio(direction, green), 1.0);
            prop_assert!((1.0 - wood.size_ratio(direction, 0.0) - wood.total_percent(direction) / 100.0).abs() < 1e-12);
            let coefficient = wood.change_coefficient(direction);
            prop_assert!(coefficient.is_finite() && coefficient > 0.0);
        }
    }
}

/// A figure that no table holds is given with the rule that stands in for it.
#[test]
fn rules_that_stand_in_are_given() {
    let table = heartside::species::SpeciesTable::built_in();
    for name in ["oak, white", "maple, sugar"] {
        let wood = table.find(name).unwrap();
        let across = Shrinkage::rules_used(wood, false);
        let all = Shrinkage::rules_used(wood, true);
        assert_eq!(
            across.len(),
            usize::from(wood.fiber_saturation().rule.is_some()),
            "{name}"
        );
        assert_eq!(
            all.len(),
            across.len() + usize::from(wood.longitudinal_percent().rule.is_some()),
            "{name}"
        );
        assert!(all.iter().all(|rule| rule.len() > 10), "{all:?}");
        assert!(!all.is_empty());
    }
}
