//! The two parts of a joint and how they meet, where the piece says so.

use super::fit::{Size, Term};
use super::part::{Axis, PartId};
use super::plan::CutFace;
use crate::piece::{
    BoxFace, ChainTerm, Contact, Coordinate, Cuboid, Network, Occupant, Opening, Piece, SpaceAxis,
};
use crate::units::Length;

/// Which part of a joint goes into which, and where they meet.
#[derive(Debug, Clone, PartialEq)]
pub struct Joined {
    /// The part that goes in.
    pub piece: PartId,
    /// The part it goes into.
    pub into: PartId,
    /// Every part named that it goes into.
    pub all: Vec<PartId>,
    /// The bodies of the part that goes in; empty where it is not placed.
    pub piece_bodies: Vec<usize>,
    /// The bodies of the parts that it goes into.
    pub into_bodies: Vec<usize>,
    /// Where the first two of them meet.
    pub met: Option<Met>,
    /// The bodies that are joined alike: the one that goes in, and the one it goes into.
    pub bodies: Vec<[usize; 2]>,
    /// How many of them meet alike.
    pub count: u32,
}

/// A place where two bodies meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Met {
    /// The body that goes in.
    pub piece: usize,
    /// The body it goes into.
    pub into: usize,
    /// How they meet.
    pub contact: Contact,
}

/// How one entry of a job file finds its pairs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pairing {
    /// Each place where the two meet is a joint.
    Meeting,
    /// The piece is held between several parts: one joint for the piece.
    Between,
    /// The piece sits in an opening: one joint for the piece.
    InOpening,
}

/// The axis of a body's part that runs along an axis of the piece.
#[must_use]
pub fn part_axis(piece: &Piece, body: usize, along: SpaceAxis) -> Axis {
    let turned = piece.bodies[body].orientation;
    if turned.length() == along {
        Axis::Length
    } else if turned.width() == along {
        Axis::Width
    } else {
        Axis::Thickness
    }
}

/// The axis of the piece along which an axis of a body's part runs.
#[must_use]
pub fn space_axis(piece: &Piece, body: usize, axis: Axis) -> SpaceAxis {
    let turned = piece.bodies[body].orientation;
    match axis {
        Axis::Length => turned.length(),
        Axis::Width => turned.width(),
        Axis::Thickness => turned.thickness(),
    }
}

/// Thickness of a body of two thicknesses where another takes it, on a straight line between its ends; `None` for a board of one thickness,
/// and where the two meet along more than half its length.
#[must_use]
pub fn thickness_here(piece: &Piece, [body, other]: [usize; 2]) -> Option<Length> {
    let one = &piece.bodies[body];
    let [from, to] = one.thickness_from_to?;
    let along = one.orientation.length();
    let shared = piece.contact(body, other)?.shared;
    let length = one.cuboid.size(along).mm();
    if length <= 0.0 || shared.size(along).mm() > 0.5 * length {
        return None;
    }
    let share = (shared.middle(along) - one.cuboid.low(along)).mm() / length;
    Some(from + (to - from) * share.clamp(0.0, 1.0))
}

/// The box that a body belongs to: its group's, or the whole piece's.
fn whole_of(piece: &Piece, body: usize) -> Cuboid {
    let own = piece.bodies[body].cuboid;
    match piece.bodies[body].group {
        Some(group) => piece.groups[group].cuboid,
        None => piece.outer().unwrap_or(own),
    }
}

/// The face of a body's part that a face of its box is: of the two broad faces the inside is the one toward the middle of the whole.
#[must_use]
pub fn cut_face(piece: &Piece, body: usize, face: BoxFace) -> CutFace {
    match part_axis(piece, body, face.axis()) {
        Axis::Length => CutFace::End,
        Axis::Width => CutFace::Edge,
        Axis::Thickness => {
            let own = piece.bodies[body].cuboid.middle(face.axis());
            let inward_is_high = own <= whole_of(piece, body).middle(face.axis());
            if inward_is_high == face.is_high() {
                CutFace::Inside
            } else {
                CutFace::Outside
            }
        }
    }
}

/// Stretches of a chain as sizes of parts, those of one part and axis together; clearances are left out.
#[must_use]
pub fn terms(piece: &Piece, along: SpaceAxis, chain: &[ChainTerm]) -> Vec<Term> {
    let mut sums: Vec<(PartId, Axis, Coordinate)> = Vec::new();
    for term in chain {
        let Some(body) = term.body else { continue };
        let key = (
            PartId(piece.bodies[body].part),
            part_axis(piece, body, along),
        );
        match sums.iter_mut().find(|sum| (sum.0, sum.1) == key) {
            Some(sum) => sum.2 = sum.2 + term.size,
            None => sums.push((key.0, key.1, term.size)),
        }
    }
    sums.into_iter()
        .filter(|sum| sum.2 != Coordinate::ZERO)
        .map(|(part, axis, size)| Term {
            part,
            axis,
            size: Size::Known(size.length()),
        })
        .collect()
}

/// The sum of known sizes.
#[must_use]
pub fn sum(terms: &[Term]) -> Length {
    terms
        .iter()
        .fold(Length::ZERO, |sum, term| match term.size {
            Size::Known(size) => sum + size,
            Size::Cut => sum,
        })
}

/// The two parts on either side of a body along an axis, and the sizes between their facing faces.
#[derive(Debug, Clone, PartialEq)]
pub struct Between {
    /// The bodies on the low and on the high side.
    pub sides: [usize; 2],
    /// The sizes that make the distance.
    pub terms: Vec<Term>,
}

/// What is on either side of a body along an axis among some bodies, with the way around it.
#[must_use]
pub fn between(
    piece: &Piece,
    network: &Network<'_>,
    body: usize,
    along: SpaceAxis,
    among: &[usize],
) -> Option<Between> {
    let side = |face: BoxFace| {
        piece
            .contacts_of(body)
            .filter(|contact| contact.face_of(body) == face && among.contains(&contact.other(body)))
            .max_by(|a, b| a.area_mm2().total_cmp(&b.area_mm2()))
            .map(|contact| contact.other(body))
    };
    let (low, high) = (side(along.low())?, side(along.high())?);
    let edge = |side: usize, face: BoxFace| (side, piece.bodies[side].cuboid.face(face));
    let chain = network.chain(
        along,
        edge(low, along.high()),
        edge(high, along.low()),
        &[body],
    )?;
    Some(Between {
        sides: [low, high],
        terms: terms(piece, along, &chain),
    })
}

/// The opening in which one of these bodies sits.
#[must_use]
pub fn opening_of<'p>(piece: &'p Piece, bodies: &[usize]) -> Option<&'p Opening> {
    piece
        .openings
        .iter()
        .find(|opening| opening.bodies.iter().any(|body| bodies.contains(body)))
}

/// The sizes that make the occupant of an opening on an axis, its own clearances left out.
#[must_use]
pub fn occupant_terms(
    piece: &Piece,
    network: &Network<'_>,
    opening: &Opening,
    along: SpaceAxis,
) -> Option<Vec<Term>> {
    let reach = |face: BoxFace| {
        opening.bodies.iter().copied().max_by_key(|body| {
            let at = piece.bodies[*body].cuboid.face(face);
            (if face.is_high() { at } else { -at }, usize::MAX - *body)
        })
    };
    let (low, high) = (reach(along.low())?, reach(along.high())?);
    let at = |body: usize, face: BoxFace| (body, piece.bodies[body].cuboid.face(face));
    let outside: Vec<usize> = (0..piece.bodies.len())
        .filter(|body| !opening.bodies.contains(body))
        .collect();
    let chain = match opening.occupant {
        Occupant::Body(body) => vec![ChainTerm {
            body: Some(body),
            size: piece.bodies[body].cuboid.size(along),
        }],
        Occupant::Group(_) => network.chain(
            along,
            at(low, along.low()),
            at(high, along.high()),
            &outside,
        )?,
    };
    Some(terms(piece, along, &chain))
}

/// The part of the longest size along its grain.
#[must_use]
pub fn longest(terms: &[Term]) -> Option<PartId> {
    let size = |term: &Term| match term.size {
        Size::Known(size) if term.axis == Axis::Length => size.mm(),
        Size::Known(_) | Size::Cut => 0.0,
    };
    terms
        .iter()
        .max_by(|a, b| size(a).total_cmp(&size(b)))
        .filter(|term| size(term) > 0.0)
        .map(|term| term.part)
}
