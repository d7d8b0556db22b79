//! What follows once every body has its place: sizes that were not given, and the openings of the piece.

use super::body::Piece;
use super::chain::Network;
use super::cuboid::Cuboid;
use super::limits::CLOSES_WITHIN;
use super::opening::{Bound, Occupant, Opening};
use super::plan::PartPlan;
use super::resolve::Instance;
use super::solve::{Item, Names, Solved};
use super::space::{BoxFace, SpaceAxis};
use crate::units::notation::millimetres;
use crate::units::spanned::Problems;

/// Sizes of every part: as given, or as they follow; copies whose sizes follow must agree.
pub(super) fn find_sizes(parts: &[PartPlan], piece: &mut Piece, problems: &mut Problems) {
    piece.sizes = vec![None; parts.len()];
    let mut bodies_of = vec![Vec::new(); parts.len()];
    for (index, body) in piece.bodies.iter().enumerate() {
        bodies_of[body.part].push(index);
    }
    for (index, plan) in parts.iter().enumerate() {
        let Some(&first) = bodies_of[index].first() else {
            continue;
        };
        let mut sizes = piece.bodies[first].sizes();
        let axes = [
            plan.orientation.length(),
            plan.orientation.width(),
            plan.orientation.thickness(),
        ];
        for ((size, given), axis) in sizes.iter_mut().zip(&plan.sizes).zip(axes) {
            if let Some(given) = given {
                *size = given.value;
                continue;
            }
            let span = |body: &usize| piece.bodies[*body].cuboid.size(axis);
            let Some(shortest) = bodies_of[index]
                .iter()
                .min_by_key(|body| span(body))
                .copied()
            else {
                continue;
            };
            let Some(longest) = bodies_of[index]
                .iter()
                .max_by_key(|body| span(body))
                .copied()
            else {
                continue;
            };
            let (short, long) = (span(&shortest), span(&longest));
            if long - short > CLOSES_WITHIN {
                problems.push(
                    plan.copies
                        .get(piece.bodies[longest].copy)
                        .map_or_else(|| plan.span.clone(), |copy| copy.span.clone()),
                    format!(
                        "`{}` comes to {} and `{}` to {}, but they are copies of one part: {} apart",
                        piece.bodies[longest].name,
                        millimetres(long.length()),
                        piece.bodies[shortest].name,
                        millimetres(short.length()),
                        millimetres((long - short).length()),
                    ),
                    "make it a part of its own, or place both alike",
                );
                continue;
            }
            *size = short.length();
            if long != short {
                for body in &bodies_of[index] {
                    let body = &mut piece.bodies[*body];
                    if body.cuboid.size(axis) != short {
                        body.cut[axis as usize] = Some(short);
                    }
                }
            }
        }
        piece.sizes[index] = Some(sizes);
    }
}

fn bodies_of(piece: &Piece, occupant: Occupant) -> Vec<usize> {
    match occupant {
        Occupant::Body(body) => vec![body],
        Occupant::Group(group) => piece.groups[group].bodies.clone(),
    }
}

pub(super) fn find_openings(
    piece: &mut Piece,
    world: &[(Instance, Item, Option<Solved>)],
    occupants: &[Option<Occupant>],
    known: &Names,
) {
    let mut openings = Vec::new();
    for ((instance, item, place), occupant) in world.iter().zip(occupants) {
        let (Some(plan), Some(place), Some(occupant)) = (&item.opening, place, occupant) else {
            continue;
        };
        let bounds: [Option<Bound>; 6] = std::array::from_fn(|face| {
            let name = plan.bounds[face].as_ref()?.value.trim();
            let at = *known.get(name)?.first()?;
            let by = occupants[at]?;
            Some(Bound {
                by,
                name: world[at].0.name.clone(),
                bodies: bodies_of(piece, by),
            })
        });
        let edge = |face: BoxFace| {
            let name = plan.bounds[face as usize].as_ref()?.value.trim();
            let at = *known.get(name)?.first()?;
            Some(world[at].2.as_ref()?.cuboid.face(face.opposite()))
        };
        let corner = |high: bool| {
            SpaceAxis::ALL.map(|axis| {
                let face = if high { axis.high() } else { axis.low() };
                edge(face).unwrap_or_else(|| place.cuboid.face(face))
            })
        };
        openings.push(Opening {
            occupant: *occupant,
            name: instance.name.clone(),
            bodies: bodies_of(piece, *occupant),
            bounds,
            space: Cuboid::new(corner(false), corner(true)),
            filled: place.cuboid,
            sized: SpaceAxis::ALL.map(|axis| item.sizes[axis as usize].is_some()),
            front: plan.front,
            hinge: plan.hinge,
            chains: [Vec::new(), Vec::new(), Vec::new()],
        });
    }
    piece.openings = openings;
}

/// Leaves out the contacts of what sits in an opening with what bounds it: their clearance is the fit's question.
pub(super) fn leave_out_openings(piece: &mut Piece) {
    let mut pairs = std::collections::HashSet::new();
    for opening in &piece.openings {
        for bound in opening.bounds.iter().flatten() {
            for &a in &opening.bodies {
                for &b in &bound.bodies {
                    pairs.insert((a.min(b), a.max(b)));
                }
            }
        }
    }
    piece
        .contacts
        .retain(|contact| !pairs.contains(&(contact.a, contact.b)));
}

/// The chain of parts around an opening on an axis, from its low bound to its high one.
pub(super) fn opening_chain(
    network: &Network<'_>,
    piece: &Piece,
    opening: &Opening,
    axis: SpaceAxis,
) -> Option<Vec<super::ChainTerm>> {
    if !opening.is_bounded(axis) {
        return None;
    }
    let end = |face: BoxFace| {
        let bound = opening.bounds[face as usize].as_ref()?;
        let inner = face.opposite();
        let body = bound.bodies.iter().copied().max_by_key(|body| {
            let at = piece.bodies[*body].cuboid.face(inner);
            if inner.is_high() { at } else { -at }
        })?;
        Some((body, piece.bodies[body].cuboid.face(inner)))
    };
    network.chain(axis, end(axis.low())?, end(axis.high())?, &opening.bodies)
}
