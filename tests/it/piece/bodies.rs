//! What holds for every piece: moved as a whole nothing changes, every loop sums to zero, any order of parts gives the same.

use super::{FLAT, UPRIGHT, case, part, resolved};
use heartside::piece::{BoxFace, Coordinate, PartPlan, Piece, Place, SpaceAxis};
use heartside::units::Length;
use proptest::prelude::*;

/// Every measure from the origin grows by the same: the whole piece moves.
fn moved(mut parts: Vec<PartPlan>, by: [Length; 3]) -> Vec<PartPlan> {
    for part in &mut parts {
        let copies = part.copies.iter_mut().map(|copy| &mut copy.places);
        for places in std::iter::once(&mut part.places).chain(copies) {
            for (face, place) in BoxFace::ALL.into_iter().zip(&mut places.faces) {
                if let Some(Place::From(at)) = place.as_mut().map(|at| &mut at.value) {
                    *at += by[face.axis() as usize];
                }
            }
        }
    }
    parts
}

fn same_but_for_the_boxes(a: &Piece, b: &Piece) -> bool {
    a.sizes == b.sizes
        && a.chains == b.chains
        && a.contacts.len() == b.contacts.len()
        && a.contacts.iter().zip(&b.contacts).all(|(one, other)| {
            (one.a, one.b, one.face, one.meeting, one.piece, one.depth())
                == (
                    other.a,
                    other.b,
                    other.face,
                    other.meeting,
                    other.piece,
                    other.depth(),
                )
        })
}

/// A frame of uprights and shelves: a part is housed by some sixty-fourths in what is beside it.
fn grid(bays: &[u32], levels: &[u32], housed: u32) -> Vec<PartPlan> {
    let into = |name: &str| format!("{housed}/64in into {name}");
    let mut parts = Vec::new();
    let mut at = 0;
    for (index, bay) in std::iter::once(&0).chain(bays).enumerate() {
        at += bay;
        parts.push(part(
            &format!("upright {index}"),
            UPRIGHT,
            ["2000mm", "300mm", "20mm"],
            &format!("left: {at}mm; front: 0mm; bottom: 0mm"),
        ));
    }
    for (level, height) in levels.iter().enumerate() {
        for bay in 0..bays.len() {
            parts.push(part(
                &format!("shelf {level} {bay}"),
                FLAT,
                ["-", "290mm", "20mm"],
                &format!(
                    "left: {}; right: {}; front: 2mm; bottom: {height}mm",
                    into(&format!("upright {bay}")),
                    into(&format!("upright {}", bay + 1)),
                ),
            ));
        }
    }
    parts
}

proptest! {
    #[test]
    fn moved_as_a_whole_only_the_boxes_move(x in -900.0..900.0_f64, y in -90.0..90.0_f64, z in 0.0..50.0_f64) {
        // To the nanometre, as positions are kept.
        let by = [x, y, z].map(|mm| Coordinate::of(Length::from_mm(mm).unwrap()).length());
        let still = resolved(&case(), &[]);
        let moved = resolved(&moved(case(), by), &[]);
        prop_assert!(same_but_for_the_boxes(&still, &moved));
        for (one, other) in still.bodies.iter().zip(&moved.bodies) {
            let by = by.map(Coordinate::of);
            for axis in SpaceAxis::ALL {
                let off = other.cuboid.low(axis) - one.cuboid.low(axis) - by[axis as usize];
                // The sum of two lengths in f64 may round to the next nanometre.
                prop_assert!(off.nanometres().abs() <= 2, "{}", off.nanometres());
            }
        }
    }

    #[test]
    fn every_loop_sums_to_nothing_and_every_shelf_has_one(
        bays in prop::collection::vec(200_u32..900, 1..5),
        levels in prop::collection::btree_set(1_u32..30, 2..5),
        housed in 1_u32..24,
    ) {
        let levels: Vec<u32> = levels.into_iter().map(|level| level * 60).collect();
        let piece = resolved(&grid(&bays, &levels, housed), &[]);
        for chain in &piece.chains {
            let around: i64 = chain.around.iter().map(|term| term.size.nanometres()).sum();
            prop_assert_eq!(around, chain.own.nanometres());
            prop_assert_eq!(chain.closing, Coordinate::ZERO);
        }
        let shelves = bays.len() * levels.len();
        prop_assert_eq!(piece.contacts.len(), 2 * shelves);
        let held: std::collections::BTreeSet<usize> = piece.chains.iter().flat_map(|chain| chain.bodies().collect::<Vec<_>>()).collect();
        prop_assert_eq!(held.len(), piece.bodies.len());
    }

    #[test]
    fn the_order_of_the_parts_does_not_matter(seed in prop::collection::vec(0_usize..100, 6)) {
        let mut order: Vec<usize> = (0..6).collect();
        order.sort_by_key(|index| seed[*index]);
        let parts = case();
        let shuffled: Vec<PartPlan> = order.iter().map(|index| parts[*index].clone()).collect();
        let (one, other) = (resolved(&parts, &[]), resolved(&shuffled, &[]));
        for body in &one.bodies {
            let same = other.bodies.iter().find(|known| known.name == body.name).unwrap();
            prop_assert_eq!(body.cuboid, same.cuboid);
        }
        prop_assert_eq!(one.contacts.len(), other.contacts.len());
    }
}
