//! Contacts: named joints by geometry, and the sweep against every pair.

use super::{FLAT, UPRIGHT, case, part, resolved};
use heartside::piece::{BoxFace, Contact, Coordinate, Cuboid, Meeting, SpaceAxis, contacts};
use heartside::units::Length;
use proptest::prelude::*;

fn cuboid(low: [i64; 3], high: [i64; 3]) -> Cuboid {
    let mm = |corner: [i64; 3]| corner.map(|at| Coordinate::from_nanometres(at * 1_000_000));
    Cuboid::new(mm(low), mm(high))
}

fn meet(a: Cuboid, b: Cuboid) -> Option<Contact> {
    Contact::between(0, &a, 1, &b)
}

#[test]
fn a_housed_end_a_touch_a_half_lap_and_a_plug_are_given_apart() {
    let side = cuboid([0, 0, 0], [20, 400, 800]);
    let shelf = cuboid([10, 10, 300], [700, 390, 320]);
    let housed = meet(shelf, side).unwrap();
    assert_eq!(
        (housed.meeting, housed.face, housed.piece),
        (Meeting::Enters, BoxFace::Left, Some(0))
    );
    assert!((housed.depth().mm() - 10.0).abs() < 1e-12);
    assert!((housed.area_mm2() - 380.0 * 20.0).abs() < 1e-9);
    assert_eq!(housed.face_of(1), BoxFace::Right);
    assert!((housed.edge_distance(&side, BoxFace::Bottom).mm() - 300.0).abs() < 1e-12);
    assert!((housed.edge_distance(&side, BoxFace::Front).mm() - 10.0).abs() < 1e-12);

    let top = cuboid([-10, 0, 800], [720, 400, 820]);
    let touch = meet(side, top).unwrap();
    assert_eq!(
        (touch.meeting, touch.face, touch.piece, touch.depth()),
        (Meeting::Touch, BoxFace::Top, Some(0), Length::ZERO)
    );

    let crossing = cuboid([100, 0, 300], [120, 400, 500]);
    let other = cuboid([0, 200, 300], [700, 220, 500]);
    let lap = meet(crossing, other).unwrap();
    assert_eq!(
        (lap.meeting, lap.axis(), lap.depth()),
        (
            Meeting::Crosses,
            SpaceAxis::Z,
            Length::from_mm(200.0).unwrap()
        )
    );

    let plug = cuboid([0, 50, 50], [6, 60, 60]);
    assert_eq!(meet(plug, side).unwrap().meeting, Meeting::Within);
    // A through tenon, flush with the far face, still comes from the right.
    let through = cuboid([0, 10, 300], [700, 390, 320]);
    let through = meet(through, side).unwrap();
    assert_eq!((through.axis(), through.piece), (SpaceAxis::X, Some(0)));
    // Edge on edge is no contact, and neither is a gap of a tenth.
    assert_eq!(meet(side, cuboid([20, 0, 800], [40, 400, 900])), None);
    let near = cuboid([0, 0, 0], [20, 400, 800]).moved([
        Coordinate::from_nanometres(20_100_000),
        Coordinate::ZERO,
        Coordinate::ZERO,
    ]);
    assert_eq!(meet(side, near), None);
}

#[test]
fn the_case_has_its_contacts_and_no_others() {
    let piece = resolved(&case(), &[]);
    let name = |index: usize| piece.bodies[index].name.as_str();
    let mut pairs: Vec<(&str, &str, Meeting)> = piece
        .contacts
        .iter()
        .map(|contact| (name(contact.a), name(contact.b), contact.meeting))
        .collect();
    pairs.sort_by_key(|pair| (pair.0, pair.1));
    assert_eq!(
        pairs,
        [
            ("bottom", "left side", Meeting::Enters),
            ("bottom", "right side", Meeting::Enters),
            ("divider", "bottom", Meeting::Enters),
            ("divider", "top", Meeting::Enters),
            ("left shelf", "divider", Meeting::Enters),
            ("left shelf", "left side", Meeting::Enters),
            ("right shelf", "divider", Meeting::Enters),
            ("right shelf", "right side", Meeting::Enters),
            ("top", "left side", Meeting::Touch),
            ("top", "right side", Meeting::Touch),
        ]
    );
}

#[test]
fn a_part_that_is_flush_with_its_neighbor_keeps_the_axis_of_its_end() {
    let parts = [
        part(
            "leg",
            UPRIGHT,
            ["700mm", "60mm", "60mm"],
            "left: 0mm; front: 0mm; bottom: 0mm",
        ),
        part(
            "rail",
            FLAT,
            ["800mm", "20mm", "60mm"],
            "left: 40mm into leg; front: 20mm; top: flush with leg",
        ),
    ];
    let piece = resolved(&parts, &[]);
    assert_eq!(piece.contacts[0].axis(), SpaceAxis::X);
    assert_eq!(piece.contacts[0].piece, Some(1));
}

prop_compose! {
    fn boxes()(corners in prop::collection::vec(([0_i64..12, 0_i64..12, 0_i64..12], [1_i64..5, 1_i64..5, 1_i64..5]), 0..40)) -> Vec<Cuboid> {
        corners
            .into_iter()
            .map(|(low, size)| cuboid(low, [low[0] + size[0], low[1] + size[1], low[2] + size[2]]))
            .collect()
    }
}

proptest! {
    #[test]
    fn the_sweep_finds_what_every_pair_shows(boxes in boxes()) {
        let mut every = Vec::new();
        for b in 0..boxes.len() {
            for a in 0..b {
                every.extend(Contact::between(a, &boxes[a], b, &boxes[b]));
            }
        }
        every.sort_by_key(|contact| (contact.a, contact.b));
        prop_assert_eq!(contacts(&boxes), every);
    }

    #[test]
    fn which_box_comes_first_only_turns_the_face_around(boxes in boxes()) {
        for pair in boxes.windows(2) {
            let forth = Contact::between(0, &pair[0], 1, &pair[1]);
            let back = Contact::between(0, &pair[1], 1, &pair[0]);
            prop_assert_eq!(forth.is_some(), back.is_some());
            if let (Some(forth), Some(back)) = (forth, back) {
                prop_assert_eq!(forth.axis(), back.axis());
                prop_assert_eq!(forth.meeting, back.meeting);
                prop_assert_eq!(forth.shared, back.shared);
                prop_assert_eq!(forth.piece.map(|piece| 1 - piece), back.piece);
            }
        }
    }
}
