//! Chains: which sizes, one after another, make a distance, and which loops of parts must close.

use super::body::Body;
use super::contact::{Contact, Meeting};
use super::cuboid::Coordinate;
use super::opening::Opening;
use super::space::SpaceAxis;
use crate::units::Length;
use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};

/// One stretch of a chain: so much of a body, along an axis of the piece, with a sign for the way it is walked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChainTerm {
    /// The body whose wood it is; `None` for a clearance.
    pub body: Option<usize>,
    /// The stretch, positive toward the right, the back or the top.
    pub size: Coordinate,
}

/// A body held between two others, and the other way round from one to the other: both must be equally long.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chain {
    /// The body held between.
    pub body: usize,
    /// The axis.
    pub axis: SpaceAxis,
    /// So much of that body is between the two.
    pub own: Coordinate,
    /// The other way round.
    pub around: Vec<ChainTerm>,
    /// What is missing today: positive where the body is too short for its place, negative where it is too long.
    pub closing: Coordinate,
}

impl Chain {
    /// Every body of the loop, the one held between first.
    pub fn bodies(&self) -> impl Iterator<Item = usize> + '_ {
        std::iter::once(self.body).chain(self.around.iter().filter_map(|term| term.body))
    }

    /// What is missing today as a length.
    #[must_use]
    pub fn closing_length(&self) -> Length {
        self.closing.length()
    }
}

/// Where one body goes over into another: a point of each.
#[derive(Debug, Clone, Copy)]
struct Link {
    to: usize,
    leaves: [Coordinate; 3],
    arrives: [Coordinate; 3],
}

/// Every way from one body to another.
#[derive(Debug, Clone)]
pub struct Network<'a> {
    bodies: &'a [Body],
    links: Vec<Vec<Link>>,
}

/// Cost of going through a body along its grain or its thickness; across its width it costs more, since a wide board is what floats.
const ALONG: u32 = 2;
const ACROSS: u32 = 3;

impl<'a> Network<'a> {
    /// The network of a piece of which nothing is placed.
    pub const EMPTY: Network<'static> = Network {
        bodies: &[],
        links: Vec::new(),
    };

    /// The network of bodies that meet, and of those that sit in an opening with what bounds it.
    #[must_use]
    pub fn new(bodies: &'a [Body], contacts: &[Contact], openings: &[Opening]) -> Self {
        let mut network = Self {
            bodies,
            links: vec![Vec::new(); bodies.len()],
        };
        for contact in contacts {
            let at = network.meeting_point(contact);
            network.join(contact.a, at, contact.b, at);
        }
        for opening in openings {
            for axis in SpaceAxis::ALL {
                for face in [axis.low(), axis.high()] {
                    let Some(bound) = &opening.bounds[face as usize] else {
                        continue;
                    };
                    let (Some(inner), Some(outer)) = (
                        network.outermost(&opening.bodies, face),
                        network.outermost(&bound.bodies, face.opposite()),
                    ) else {
                        continue;
                    };
                    let mut at = SpaceAxis::ALL.map(|axis| bodies[inner].cuboid.middle(axis));
                    let mut there = at;
                    at[axis as usize] = bodies[inner].cuboid.face(face);
                    there[axis as usize] = bodies[outer].cuboid.face(face.opposite());
                    network.join(inner, at, outer, there);
                }
            }
        }
        network
    }

    fn join(&mut self, a: usize, at_a: [Coordinate; 3], b: usize, at_b: [Coordinate; 3]) {
        self.links[a].push(Link {
            to: b,
            leaves: at_a,
            arrives: at_b,
        });
        self.links[b].push(Link {
            to: a,
            leaves: at_b,
            arrives: at_a,
        });
    }

    /// The body of several that reaches farthest toward a face.
    fn outermost(&self, of: &[usize], face: super::space::BoxFace) -> Option<usize> {
        let reach = |body: &usize| {
            let at = self.bodies[*body].cuboid.face(face);
            if face.is_high() { at } else { -at }
        };
        of.iter()
            .copied()
            .max_by_key(|body| (reach(body), Reverse(*body)))
    }

    /// The point where two bodies hold one another: on the axis of the contact the face that touches or the end that is
    /// inside the other; on the other axes the middle of what they share, where glue holds them on average.
    fn meeting_point(&self, contact: &Contact) -> [Coordinate; 3] {
        let mut at = SpaceAxis::ALL.map(|axis| contact.shared.middle(axis));
        if contact.meeting != Meeting::Crosses
            && let Some(piece) = contact.piece
        {
            let face = contact.face_of(piece);
            at[contact.axis() as usize] = self.bodies[piece].cuboid.face(face);
        }
        at
    }

    fn cost(&self, body: usize, axis: SpaceAxis) -> u32 {
        if self.bodies[body].orientation.width() == axis {
            ACROSS
        } else {
            ALONG
        }
    }

    /// The cheapest chain of stretches along an axis from a point of one body to a point of another, without going
    /// through the bodies of `without`; `None` where there is none. The stretches sum to the distance exactly.
    #[must_use]
    pub fn chain(
        &self,
        axis: SpaceAxis,
        from: (usize, Coordinate),
        to: (usize, Coordinate),
        without: &[usize],
    ) -> Option<Vec<ChainTerm>> {
        let mut best: Vec<Option<u32>> = vec![None; self.bodies.len()];
        let mut came_by: Vec<Option<(usize, Link)>> = vec![None; self.bodies.len()];
        let mut done = vec![false; self.bodies.len()];
        let mut heap = BinaryHeap::from([Reverse((0_u32, from.0))]);
        best[from.0] = Some(0);
        while let Some(Reverse((cost, body))) = heap.pop() {
            if done[body] {
                continue;
            }
            done[body] = true;
            if body == to.0 {
                break;
            }
            for link in &self.links[body] {
                if done[link.to] || without.contains(&link.to) {
                    continue;
                }
                let next = cost + self.cost(link.to, axis);
                if best[link.to].is_none_or(|known| next < known) {
                    best[link.to] = Some(next);
                    came_by[link.to] = Some((body, *link));
                    heap.push(Reverse((next, link.to)));
                }
            }
        }
        let mut steps = Vec::new();
        best[to.0]?;
        let mut at = to.0;
        while let Some((before, link)) = came_by[at] {
            steps.push(link);
            at = before;
        }
        let mut terms = Vec::new();
        let mut push = |body: Option<usize>, size: Coordinate| {
            // A body of the chain is named even where none of its wood counts on this axis.
            if body.is_some() || size != Coordinate::ZERO {
                terms.push(ChainTerm { body, size });
            }
        };
        let (mut body, mut position) = from;
        for link in steps.iter().rev() {
            let (leaves, arrives) = (link.leaves[axis as usize], link.arrives[axis as usize]);
            push(Some(body), leaves - position);
            push(None, arrives - leaves);
            (body, position) = (link.to, arrives);
        }
        push(Some(body), to.1 - position);
        Some(terms)
    }

    /// Every loop in which a body is held between two others that are joined some other way, each loop once for an axis.
    #[must_use]
    pub fn loops(&self, contacts: &[Contact]) -> Vec<Chain> {
        let mut ends: Vec<[Option<&Contact>; 6]> = vec![[None; 6]; self.bodies.len()];
        for contact in contacts {
            for body in [contact.a, contact.b] {
                let is_end = contact.meeting == Meeting::Touch
                    || (contact.meeting != Meeting::Crosses && contact.piece == Some(body));
                let known = &mut ends[body][contact.face_of(body) as usize];
                if is_end && known.is_none_or(|known| known.area_mm2() < contact.area_mm2()) {
                    *known = Some(contact);
                }
            }
        }
        let mut seen = BTreeSet::new();
        let mut chains = Vec::new();
        for (body, ends) in ends.iter().enumerate() {
            for axis in SpaceAxis::ALL {
                let (Some(low), Some(high)) =
                    (ends[axis.low() as usize], ends[axis.high() as usize])
                else {
                    continue;
                };
                let (a, b) = (low.other(body), high.other(body));
                let (start, stop) = (
                    self.meeting_point(low)[axis as usize],
                    self.meeting_point(high)[axis as usize],
                );
                if a == b {
                    continue;
                }
                let Some(around) = self.chain(axis, (a, start), (b, stop), &[body]) else {
                    continue;
                };
                let mut chain = Chain {
                    body,
                    axis,
                    own: stop - start,
                    around,
                    closing: Coordinate::ZERO,
                };
                let mut key: Vec<usize> = chain.bodies().collect();
                key.sort_unstable();
                key.dedup();
                if seen.insert((axis, key)) {
                    chain.closing = self.closing(&chain);
                    chains.push(chain);
                }
            }
        }
        chains
    }

    /// What is missing in a loop today: sizes as cut against the places.
    fn closing(&self, chain: &Chain) -> Coordinate {
        let excess = |body: usize| {
            let body = &self.bodies[body];
            body.cut[chain.axis as usize]
                .map_or(Coordinate::ZERO, |cut| cut - body.cuboid.size(chain.axis))
        };
        let mut missing = -excess(chain.body);
        for term in &chain.around {
            let Some(body) = term.body else { continue };
            // A size as cut counts where the chain goes through the body from end to end.
            let all = self.bodies[body].cuboid.size(chain.axis);
            if term.size.abs() + term.size.abs() > all {
                let excess = excess(body);
                missing = missing
                    + if term.size > Coordinate::ZERO {
                        excess
                    } else {
                        -excess
                    };
            }
        }
        missing
    }
}
