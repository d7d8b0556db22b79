//! Every way to tell the rings.

use super::{board, cups, mm, moved, straight, strains};
use approx::assert_abs_diff_eq;
use heartside::movement::{GivenRings, Rings, RingsKeys, Sawn};
use heartside::units::spanned::{Problems, ReadNotation};
use heartside::units::{Angle, Length};
use proptest::prelude::*;

fn angles(list: &[(f64, f64)]) -> GivenRings {
    GivenRings::RingAngles(
        list.iter()
            .map(|&(x, degrees)| (mm(x), Angle::computed_degrees(degrees)))
            .collect(),
    )
}

fn read(given: &GivenRings) -> Result<Rings, heartside::units::Refusal> {
    given.rings(mm(300.0), mm(25.0))
}

fn pith_of(given: &GivenRings) -> (f64, f64) {
    match read(given).unwrap() {
        Rings::Pith { depth, offset } => (offset.mm(), -depth.mm()),
        Rings::Straight { .. } => panic!("straight"),
    }
}

// Exact: a ring of radius 110 whose crown is 10 mm above the heart face has its pith 100 mm below it.
#[test]
fn one_ring_tells_the_pith_by_radius_or_by_arc() {
    let (radius, crown, centre) = (110.0, 10.0, -15.0);
    let by_radius = GivenRings::RingRadius {
        radius: mm(radius),
        crown: Some(mm(crown)),
        centre: Some(mm(centre)),
    };
    assert_eq!(pith_of(&by_radius), (-15.0, -100.0));
    let chord = 90.0_f64;
    let rise = radius - (radius * radius - chord * chord / 4.0).sqrt();
    let by_arc = GivenRings::RingRise {
        rise: mm(rise),
        chord: mm(chord),
        crown: Some(mm(crown)),
        centre: Some(mm(centre)),
    };
    let (x, z) = pith_of(&by_arc);
    assert_abs_diff_eq!(x, -15.0, epsilon = 1e-9);
    assert_abs_diff_eq!(z, -100.0, epsilon = 1e-9);
    let bare = GivenRings::RingRadius {
        radius: mm(radius),
        crown: None,
        centre: None,
    };
    assert_eq!(pith_of(&bare), (0.0, 12.5 - 110.0));
}

// Exact: the two lines square to the rings meet in the pith.
#[test]
fn two_angles_meet_in_the_pith() {
    let (px, pz) = (20.0, -90.0);
    let angle = |x: f64| (-(x - px)).atan2(12.5 - pz).to_degrees();
    let (x, z) = pith_of(&angles(&[(-100.0, angle(-100.0)), (100.0, angle(100.0))]));
    assert_abs_diff_eq!(x, px, epsilon = 1e-9);
    assert_abs_diff_eq!(z, pz, epsilon = 1e-9);
    let places = [-140.0, -60.0, 10.0, 75.0, 150.0];
    let (x, z) = pith_of(&angles(&places.map(|x| (x, angle(x)))));
    assert_abs_diff_eq!(x, px, epsilon = 1e-9);
    assert_abs_diff_eq!(z, pz, epsilon = 1e-9);
    // A degree of misreading at five places moves the pith by no more than its share.
    let misread = [0.5, -0.4, 0.3, -0.5, 0.4];
    let noisy: Vec<_> = places
        .iter()
        .zip(misread)
        .map(|(&x, error)| (x, angle(x) + error))
        .collect();
    let (x, z) = pith_of(&angles(&noisy));
    assert!((x - px).abs() < 2.0 && (z - pz).abs() < 2.0, "({x}, {z})");
}

#[test]
fn equal_angles_and_the_way_of_sawing_are_straight_rings() {
    for degrees in [0.0, 12.0, 45.0, 89.0, -30.0] {
        let Rings::Straight { angle } =
            read(&angles(&[(-100.0, degrees), (90.0, degrees)])).unwrap()
        else {
            panic!("not straight");
        };
        assert_abs_diff_eq!(angle.degrees(), degrees, epsilon = 1e-9);
    }
    let e = strains(-0.0072, -0.0146);
    for (sawn, degrees) in [(Sawn::Flat, 0.0), (Sawn::Rift, 45.0), (Sawn::Quarter, 90.0)] {
        let rings = read(&GivenRings::Sawn(sawn)).unwrap();
        assert_eq!(rings, straight(degrees));
        assert_eq!(cups(&moved(board(300.0, 25.0, rings), e)), (0.0, 0.0));
    }
}

#[test]
fn what_is_no_ring_is_refused_with_its_reason() {
    let arc = |rise: f64, chord: f64| GivenRings::RingRise {
        rise: mm(rise),
        chord: mm(chord),
        crown: None,
        centre: None,
    };
    let cases = [
        (arc(12.0, 0.0), "chord"),
        (arc(0.0, 90.0), "bark side up"),
        (arc(-4.0, 90.0), "bark side up"),
        (arc(90.0, 12.0), "swapped"),
        (arc(60.0, 90.0), "swapped"),
        (arc(45.001, 90.0), "swapped"),
        (arc(1e-5, 100.0), "radius"),
        (angles(&[(0.0, 3.0)]), "second place"),
        (angles(&[(0.0, 3.0), (0.0, 9.0)]), "well apart"),
        (angles(&[(0.0, 3.0), (0.29, 9.0)]), "well apart"),
        (angles(&[(-160.0, 3.0), (0.0, 0.0)]), "off the board"),
        (
            angles(&[(0.0, 3.0), (150.5, 0.0)]),
            "150.5 mm, off the board; places run from the centre line, 150.0 mm to either side",
        ),
        (
            GivenRings::Pith {
                depth: mm(100.0),
                offset: mm(-20_001.0),
            },
            "-20001 mm beside the board",
        ),
        (
            GivenRings::Pith {
                depth: mm(20_001.0),
                offset: mm(0.0),
            },
            "20001 mm below",
        ),
        (
            angles(&[(-100.0, -20.0), (100.0, 20.0)]),
            "turn the section",
        ),
        (angles(&[(-100.0, 0.04), (100.0, -0.04)]), "pith"),
        (
            GivenRings::Pith {
                depth: mm(-30.0),
                offset: Length::ZERO,
            },
            "turn the section",
        ),
    ];
    for (given, word) in cases {
        let error = read(&given).unwrap_err().to_string();
        assert!(error.contains(word), "{given:?}: {error}");
    }
}

/// The last that is taken: places 0.3 mm apart on 300 mm and on the very edges, a pith 20 m off.
#[test]
fn the_limits_themselves_are_taken() {
    assert!(read(&angles(&[(0.0, 3.0), (0.31, 9.0)])).is_ok());
    assert!(read(&angles(&[(-150.0, 9.0), (150.0, -9.0)])).is_ok());
    assert!(
        read(&GivenRings::Pith {
            depth: mm(20_000.0),
            offset: mm(-20_000.0),
        })
        .is_ok()
    );
    // The pith on the bark face itself is still a pith in the board.
    assert_eq!(
        read(&GivenRings::Pith {
            depth: mm(-25.0),
            offset: mm(0.0),
        })
        .unwrap(),
        super::pith(0.0, 25.0)
    );
}

/// A half circle is the most that an arc may be: rise 45 over a chord of 90 is a ring of radius 45 about its middle.
#[test]
fn a_half_circle_is_still_a_ring() {
    let rings = read(&GivenRings::RingRise {
        rise: mm(45.0),
        chord: mm(90.0),
        crown: Some(mm(25.0)),
        centre: Some(mm(7.0)),
    });
    assert_eq!(rings.unwrap(), super::pith(7.0, -20.0));
}

#[test]
fn a_pith_in_the_board_is_a_finding_and_no_error() {
    let rings = read(&GivenRings::RingRadius {
        radius: mm(8.0),
        crown: None,
        centre: None,
    })
    .unwrap();
    assert!(board(300.0, 25.0, rings).contains_pith());
}

fn keys(text: &str) -> (Option<GivenRings>, Vec<String>) {
    let keys: RingsKeys = toml::from_str(text).unwrap();
    let mut problems = Problems::default();
    let given = keys.read(0..text.len(), &mut problems);
    let words = problems
        .into_sorted()
        .into_iter()
        .map(|problem| format!("{}; {}", problem.message, problem.remedy))
        .collect();
    (given, words)
}

#[test]
fn a_job_tells_the_rings_in_exactly_one_way() {
    assert_eq!(
        keys("pith_depth = '4in'").0,
        Some(GivenRings::Pith {
            depth: mm(101.6),
            offset: Length::ZERO
        })
    );
    assert_eq!(
        keys("rise = '12 mm'\nchord = '90 mm'\ncrown = '10 mm'").0,
        Some(GivenRings::RingRise {
            rise: mm(12.0),
            chord: mm(90.0),
            crown: Some(mm(10.0)),
            centre: None
        })
    );
    assert_eq!(
        keys("angles = '-100mm:20deg, 100mm:-18deg'").0,
        Some(angles(&[(-100.0, 20.0), (100.0, -18.0)]))
    );
    assert_eq!(
        keys("sawn = 'Quarter-sawn'").0,
        Some(GivenRings::Sawn(Sawn::Quarter))
    );
    assert!(matches!(
        keys("radius = '110 mm'\ncentre = '-5 mm'").0,
        Some(GivenRings::RingRadius { .. })
    ));
    for (text, word) in [
        ("", "not given"),
        ("sawn = 'flat'\nradius = '110 mm'", "more than one way"),
        ("pith_offset = '3 mm'", "pith_depth"),
        (
            "rise = '3 mm'",
            "an arc needs both its `rise` and its `chord`",
        ),
        (
            "chord = '30 mm'",
            "an arc needs both its `rise` and its `chord`",
        ),
        (
            "pith_offset = '3 mm'\nradius = '90 mm'",
            "more than one way",
        ),
        ("chord = '30 mm'\nradius = '90 mm'", "more than one way"),
        ("sawn = 'flat'\ncrown = '3 mm'", "crown"),
        ("sawn = 'quarte'", "quarter"),
        ("radius = '0 mm'", "ring radius"),
        ("pith_depth = 100", "unit"),
    ] {
        let (given, words) = keys(text);
        assert!(given.is_none(), "{text}");
        assert!(words.concat().contains(word), "{text}: {words:?}");
    }
    assert!(Sawn::read("plain sawn").is_ok());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn angles_read_off_the_rings_tell_them_back(
        px in -140.0..140.0_f64, depth in 5.0..900.0_f64, a in -150.0..-20.0_f64, b in 20.0..150.0_f64,
    ) {
        let rings = Rings::Pith { depth: mm(depth), offset: mm(px) };
        let given = angles(&[a, b].map(|x| (x, rings.angle_at(x, 12.5).degrees())));
        let (x, z) = pith_of(&given);
        prop_assert!((x - px).abs() < 1e-5 * depth && (z + depth).abs() < 1e-5 * depth, "({x}, {z})");
    }
}
