//! Where a recipe expands: reading its keys, and noting every problem at its place.

use super::fit::Term;
use super::joined::{self, Between, Joined, Met, Pairing};
use super::part::{Axis, PartFacts, PartId, Parts};
use super::plan::{CutFace, JointPlan};
use super::recipes::words::AxisWord;
use crate::piece::{Contact, Network, Opening, Piece, SpaceAxis};
use crate::units::notation::millimetres;
use crate::units::spanned::{Name, Names, Problems, ReadNotation, Spanned};
use crate::units::{Bounds, Length};
use std::ops::Range;

/// A key that is given and follows from the places may differ by this much, mm: a pencil line (judgement).
const AGREES_MM: f64 = 0.5;

/// What a recipe reads while it expands: the parts it may name, where they are, and the problems it may find.
pub struct RecipeReader<'a> {
    parts: &'a Parts<'a>,
    piece: &'a Piece,
    network: &'a Network<'a>,
    problems: &'a mut Problems,
    span: Range<usize>,
    joined: Option<Joined>,
}

/// A name of a job file with the part and the bodies it means.
struct Named {
    part: PartId,
    bodies: Vec<usize>,
}

impl<'a> RecipeReader<'a> {
    /// A reader for what is given at `span`, of parts whose places do not count.
    pub fn new(parts: &'a Parts<'a>, problems: &'a mut Problems, span: Range<usize>) -> Self {
        static NOTHING: Piece = Piece::EMPTY;
        static NO_WAYS: Network<'static> = Network::EMPTY;
        Self::in_piece(parts, &NOTHING, &NO_WAYS, problems, span)
    }

    /// A reader for the joint given at `span`, of parts that are placed.
    pub const fn in_piece(
        parts: &'a Parts<'a>,
        piece: &'a Piece,
        network: &'a Network<'a>,
        problems: &'a mut Problems,
        span: Range<usize>,
    ) -> Self {
        Self {
            parts,
            piece,
            network,
            problems,
            span,
            joined: None,
        }
    }

    /// Every pair of parts that one entry joins; in a job without places one for each pair of names.
    pub fn pairs(&mut self, piece: &Names, into: &Names, pairing: Pairing) -> Vec<Joined> {
        let pieces: Vec<Named> = piece
            .list()
            .iter()
            .flat_map(|name| self.named(name))
            .collect();
        let intos: Vec<Named> = into
            .list()
            .iter()
            .flat_map(|name| self.named(name))
            .collect();
        let mut pairs = Vec::new();
        for one in &pieces {
            if pairing == Pairing::Meeting {
                for other in &intos {
                    self.meetings(one, other, &mut pairs);
                }
                continue;
            }
            let all: Vec<PartId> = intos.iter().map(|named| named.part).collect();
            let into_bodies: Vec<usize> = intos
                .iter()
                .flat_map(|named| named.bodies.clone())
                .collect();
            let touching = one.bodies.iter().flat_map(|a| {
                into_bodies
                    .iter()
                    .filter(|b| self.piece.contact(*a, **b).is_some())
                    .map(|b| [*a, *b])
            });
            let bodies = touching.collect();
            pairs.extend(all.first().map(|first| Joined {
                bodies,
                piece: one.part,
                into: *first,
                all: all.clone(),
                piece_bodies: one.bodies.clone(),
                into_bodies,
                met: None,
                count: 1,
            }));
        }
        pairs
    }

    /// The places where two parts meet, those alike together.
    fn meetings(&mut self, one: &Named, other: &Named, pairs: &mut Vec<Joined>) {
        let joined = |met: Option<Met>| Joined {
            piece: one.part,
            into: other.part,
            all: vec![other.part],
            piece_bodies: one.bodies.clone(),
            into_bodies: other.bodies.clone(),
            met,
            bodies: Vec::new(),
            count: 1,
        };
        if one.bodies.is_empty() || other.bodies.is_empty() {
            pairs.push(joined(None));
            return;
        }
        let first = pairs.len();
        for &a in &one.bodies {
            for &b in &other.bodies {
                let Some(contact) = self.piece.contact(a, b) else {
                    continue;
                };
                let met = Met {
                    piece: a,
                    into: b,
                    contact: *contact,
                };
                let alike = pairs[first..]
                    .iter_mut()
                    .find(|pair| pair.met.is_some_and(|known| self.alike(&known, &met)));
                match alike {
                    Some(pair) => {
                        pair.count += 1;
                        pair.bodies.push([a, b]);
                    }
                    None => pairs.push(Joined {
                        bodies: vec![[a, b]],
                        ..joined(Some(met))
                    }),
                }
            }
        }
        if pairs.len() == first {
            let boxes = |bodies: &[usize]| {
                bodies
                    .iter()
                    .map(|body| self.piece.bodies[*body].cuboid)
                    .collect::<Vec<_>>()
            };
            let apart = boxes(&one.bodies)
                .iter()
                .flat_map(|a| {
                    boxes(&other.bodies)
                        .iter()
                        .map(|b| a.gap(b))
                        .collect::<Vec<_>>()
                })
                .min()
                .unwrap_or_default();
            let apart = if apart.nanometres() == 0 {
                "they meet at an edge or a corner only".to_owned()
            } else {
                format!("{} are between them", millimetres(apart.length()))
            };
            self.problem_here(
                format!(
                    "`{}` and `{}` do not meet: {apart}",
                    self.facts(one.part).name,
                    self.facts(other.part).name,
                ),
                "place one of them against or into the other, or take the joint out",
            );
        }
    }

    /// Whether two meetings are cut alike: on the same face, at the same place, equally deep.
    fn alike(&self, a: &Met, b: &Met) -> bool {
        let kind = |met: &Met| {
            let face = joined::cut_face(self.piece, met.into, met.contact.face_of(met.into));
            let along = joined::space_axis(self.piece, met.into, Axis::Length);
            let across = joined::space_axis(self.piece, met.into, Axis::Width);
            let from = |axis: SpaceAxis| {
                met.contact.shared.low(axis) - self.piece.bodies[met.into].cuboid.low(axis)
            };
            let axis = joined::part_axis(self.piece, met.piece, met.contact.axis());
            let thick = joined::thickness_here(self.piece, [met.piece, met.into]);
            (
                face,
                from(along),
                from(across),
                met.contact.shared.size(met.contact.axis()),
                axis,
                thick.map(Length::mm),
            )
        };
        kind(a) == kind(b)
    }

    /// The parts and bodies of a name: a part, with its copies that are parts of their own, a copy, or a group.
    fn named(&mut self, given: &Spanned<Name>) -> Vec<Named> {
        let Some(Name(name)) = self.problems.take(given) else {
            return Vec::new();
        };
        if let Some(part) = self.parts.find(&name) {
            let mut all: Vec<Named> = Vec::new();
            for body in self.piece.bodies_of(part.0) {
                let own = PartId(self.piece.bodies[body].part);
                match all.iter_mut().find(|known| known.part == own) {
                    Some(known) => known.bodies.push(body),
                    None => all.push(Named {
                        part: own,
                        bodies: vec![body],
                    }),
                }
            }
            if all.is_empty() {
                all.push(Named {
                    part,
                    bodies: Vec::new(),
                });
            }
            return all;
        }
        let inside = format!(": {name}");
        let copies: Vec<usize> = (0..self.piece.bodies.len())
            .filter(|body| {
                let known = &self.piece.bodies[*body].name;
                *known == name || known.ends_with(&inside)
            })
            .collect();
        if let Some(&first) = copies.first() {
            return vec![Named {
                part: PartId(self.piece.bodies[first].part),
                bodies: copies,
            }];
        }
        let groups = self
            .piece
            .groups
            .iter()
            .filter(|group| group.name == name || group.of == name);
        let bodies: Vec<usize> = groups.flat_map(|group| group.bodies.clone()).collect();
        if let Some(&first) = bodies.first() {
            return vec![Named {
                part: PartId(self.piece.bodies[first].part),
                bodies,
            }];
        }
        self.part(given)
            .map(|part| Named {
                part,
                bodies: Vec::new(),
            })
            .into_iter()
            .collect()
    }

    /// Takes up one pair.
    pub fn take_pair(&mut self, joined: Joined) {
        self.joined = Some(joined);
    }

    /// A plan sized for the thickness that its piece has where this joint takes it.
    pub(super) fn sized_here(&self, plan: JointPlan) -> JointPlan {
        let here = self.joined.as_ref().and_then(|joined| {
            let pair = *joined.bodies.first()?;
            let here = joined::thickness_here(self.piece, pair)?;
            Some((joined.piece, here, pair))
        });
        match here {
            Some((piece, here, [body, into])) => {
                let names = [body, into].map(|body| self.piece.bodies[body].name.as_str());
                plan.sized_for(piece, self.facts(piece).thickness, here, names)
            }
            None => plan,
        }
    }

    /// The part that goes in.
    #[must_use]
    pub fn piece(&self) -> Option<PartId> {
        self.joined.as_ref().map(|joined| joined.piece)
    }

    /// The part it goes into.
    #[must_use]
    pub fn into_part(&self) -> Option<PartId> {
        self.joined.as_ref().map(|joined| joined.into)
    }

    /// The pair.
    #[must_use]
    pub const fn joined(&self) -> Option<&Joined> {
        self.joined.as_ref()
    }

    /// How many alike the joint has: 1 in a job without places.
    #[must_use]
    pub fn count(&self) -> u32 {
        self.joined.as_ref().map_or(1, |joined| joined.count)
    }

    /// How many pieces the joint has: 1 in a job without places.
    #[must_use]
    pub fn pieces(&self) -> u32 {
        let bodies = self.joined.iter().flat_map(|joined| &joined.bodies);
        let mut pieces: Vec<usize> = bodies.map(|[piece, _]| *piece).collect();
        pieces.sort_unstable();
        pieces.dedup();
        u32::try_from(pieces.len()).unwrap_or(0).max(1)
    }

    /// Each part that holds the piece and how often the piece is let into it; empty in a job without places.
    #[must_use]
    pub fn held_in(&self) -> Vec<(PartId, u32)> {
        let mut parts: Vec<(PartId, u32)> = Vec::new();
        for [_, into] in self.joined.iter().flat_map(|joined| &joined.bodies) {
            let part = PartId(self.piece.bodies[*into].part);
            match parts.iter_mut().find(|(known, _)| *known == part) {
                Some((_, count)) => *count += 1,
                None => parts.push((part, 1)),
            }
        }
        parts
    }

    /// How many of the joint's pieces have another of their kind beside them, on the side to which their width counts, no more than
    /// a gap away; 1 in a job without places.
    #[must_use]
    pub fn with_a_neighbor(&self, gap: Length) -> u32 {
        let Some(joined) = self
            .joined
            .as_ref()
            .filter(|joined| !joined.bodies.is_empty())
        else {
            return 1;
        };
        let beside = |one: usize| {
            let along = joined::space_axis(self.piece, one, Axis::Width);
            let own = &self.piece.bodies[one];
            self.piece.bodies.iter().enumerate().any(|(other, body)| {
                let apart = body.cuboid.low(along) - own.cuboid.high(along);
                other != one
                    && body.part == own.part
                    && apart.length().mm() >= 0.0
                    && apart.length() <= gap
            })
        };
        let count = joined.bodies.iter().filter(|[one, _]| beside(*one)).count();
        u32::try_from(count).unwrap_or(0)
    }

    /// Where the two meet.
    #[must_use]
    pub fn met(&self) -> Option<Met> {
        self.joined.as_ref().and_then(|joined| joined.met)
    }

    /// How the two meet.
    #[must_use]
    pub fn contact(&self) -> Option<Contact> {
        self.met().map(|met| met.contact)
    }

    /// How deep the piece reaches in, where the places say so.
    #[must_use]
    pub fn reach(&self) -> Option<Length> {
        self.contact()
            .map(|contact| contact.depth())
            .filter(|depth| depth.mm() > 0.0)
    }

    /// The axis of one of the two parts that runs along an axis of the piece.
    #[must_use]
    pub fn axis_of(&self, body: usize, along: SpaceAxis) -> Axis {
        joined::part_axis(self.piece, body, along)
    }

    /// From the reference end (left, front or bottom) of the part that is cut to the near side of the contact, along an axis of it.
    #[must_use]
    pub fn from_reference(&self, axis: Axis) -> Option<Length> {
        let met = self.met()?;
        let along = joined::space_axis(self.piece, met.into, axis);
        let low = self.piece.bodies[met.into].cuboid.low(along);
        Some((met.contact.shared.low(along) - low).length())
    }

    /// How far the two run along one another, on an axis of the part that is cut.
    #[must_use]
    pub fn shared(&self, axis: Axis) -> Option<Length> {
        let met = self.met()?;
        let along = joined::space_axis(self.piece, met.into, axis);
        Some(met.contact.shared.size(along).length())
    }

    /// The surface of the part that is cut.
    #[must_use]
    pub fn cut_face(&self) -> Option<CutFace> {
        let met = self.met()?;
        Some(joined::cut_face(
            self.piece,
            met.into,
            met.contact.face_of(met.into),
        ))
    }

    /// The surface that is cut: given, or as it follows from the places; the two must be of one kind.
    pub fn face_or(
        &mut self,
        given: Option<&Spanned<super::recipes::words::FaceWord>>,
        usual: CutFace,
    ) -> Option<CutFace> {
        let follows = self.cut_face();
        let Some(spanned) = given else {
            return Some(follows.unwrap_or(usual));
        };
        let face = self.problems.take(spanned)?.0;
        match follows {
            Some(follows) if follows.square() != face.square() => {
                let part = self
                    .into_part()
                    .map_or("", |part| self.facts(part).name.as_str());
                self.problem(
                    spanned.span(),
                    format!(
                        "the {} of `{part}` is given, but by its places it is cut in its {}",
                        face.word(),
                        follows.word()
                    ),
                    "leave `face` out, or correct the places",
                );
                None
            }
            _ => Some(face),
        }
    }

    /// A length that is given or follows from the places; given and following it must agree.
    pub fn length_of(
        &mut self,
        key: &str,
        given: Option<&Spanned<Length>>,
        bounds: Bounds,
        follows: Option<Length>,
    ) -> Option<Length> {
        let Some(spanned) = given else {
            if follows.is_none() {
                self.problem_here(
                    format!("the joint has no `{key}`"),
                    format!("add {key} = \"...\", or place both parts so that it follows"),
                );
            }
            return follows;
        };
        let length = self.length(spanned, bounds)?;
        if let Some(follows) = follows
            && (length - follows).abs().mm() > AGREES_MM
        {
            self.problem(
                spanned.span(),
                format!(
                    "`{key}` is {} here, but by the places of the parts it is {}: {} apart",
                    millimetres(length),
                    millimetres(follows),
                    millimetres((length - follows).abs())
                ),
                format!("leave `{key}` out, or correct the places"),
            );
            return None;
        }
        Some(length)
    }

    /// The same for a length that needs not be given.
    pub fn length_of_or_none(
        &mut self,
        key: &str,
        given: Option<&Spanned<Length>>,
        bounds: Bounds,
        follows: Option<Length>,
    ) -> Option<Option<Length>> {
        if given.is_none() && follows.is_none() {
            return Some(None);
        }
        self.length_of(key, given, bounds, follows).map(Some)
    }

    /// What is on either side of the piece along an axis of it, with the sizes between.
    #[must_use]
    pub fn between(&self, axis: Axis) -> Option<(Between, SpaceAxis, usize)> {
        let joined = self.joined.as_ref()?;
        let body = *joined.piece_bodies.first()?;
        let along = joined::space_axis(self.piece, body, axis);
        let found = joined::between(self.piece, self.network, body, along, &joined.into_bodies)?;
        Some((found, along, body))
    }

    /// The opening that the piece sits in.
    #[must_use]
    pub fn opening(&self) -> Option<&'a Opening> {
        joined::opening_of(self.piece, &self.joined.as_ref()?.piece_bodies)
    }

    /// The sizes that make an opening on an axis.
    #[must_use]
    pub fn opening_terms(&self, opening: &Opening, along: SpaceAxis) -> Vec<Term> {
        joined::terms(self.piece, along, &opening.chains[along as usize])
    }

    /// The sizes that make what sits in an opening on an axis.
    #[must_use]
    pub fn occupant_terms(&self, opening: &Opening, along: SpaceAxis) -> Option<Vec<Term>> {
        joined::occupant_terms(self.piece, self.network, opening, along)
    }

    /// The sizes from the outer face of what bounds an overlay front on one side to that on the other.
    #[must_use]
    pub fn covered_span(&self, across: bool) -> Option<Vec<Term>> {
        let opening = self.opening()?;
        let along = if across { SpaceAxis::X } else { SpaceAxis::Z };
        let side = |face: crate::piece::BoxFace| {
            let bound = opening.bounds[face as usize].as_ref()?;
            let body = bound.bodies.first().copied()?;
            Some((body, self.piece.bodies[body].cuboid.face(face)))
        };
        let chain = self.network.chain(
            along,
            side(along.low())?,
            side(along.high())?,
            &opening.bodies,
        )?;
        Some(joined::terms(self.piece, along, &chain))
    }

    /// From the front edge of the case to the back of the front that closes it.
    #[must_use]
    pub fn front_stop(&self) -> Option<Length> {
        let joined = self.joined.as_ref()?;
        let front = self.piece.bodies.get(*joined.piece_bodies.first()?)?;
        let case = self.piece.bodies.get(*joined.into_bodies.first()?)?;
        let stop = front.cuboid.high(SpaceAxis::Y) - case.cuboid.low(SpaceAxis::Y);
        Some(stop.length()).filter(|stop| stop.mm() > 0.0)
    }

    /// From the near end of the piece to the outer face of a part behind it, from front to back.
    #[must_use]
    pub fn run_to(&self, back: PartId) -> Option<Length> {
        let met = self.met()?;
        let group = self.piece.bodies[met.piece].group;
        let behind = self
            .piece
            .bodies_of(back.0)
            .find(|body| self.piece.bodies[*body].group == group)?;
        let from = self.piece.bodies[met.piece].cuboid.low(SpaceAxis::Y);
        Some((self.piece.bodies[behind].cuboid.high(SpaceAxis::Y) - from).length())
    }

    /// From the middle of the piece's width to the near face of the part below it.
    #[must_use]
    pub fn middle_to_inner_face(&self) -> Option<Length> {
        let met = self.met()?;
        let along = joined::space_axis(self.piece, met.piece, Axis::Width);
        let middle = self.piece.bodies[met.piece].cuboid.middle(along);
        let below = self.piece.bodies[met.into].cuboid;
        let near = [below.low(along), below.high(along)]
            .into_iter()
            .map(|face| (face - middle).abs())
            .min()?;
        Some(near.length())
    }

    /// The part whose grain keeps the part below the piece and its twin on the other side apart.
    #[must_use]
    pub fn rail_between(&self) -> Option<PartId> {
        let met = self.met()?;
        let along = joined::space_axis(self.piece, met.piece, Axis::Width);
        self.piece
            .contacts_of(met.into)
            .flat_map(|contact| {
                let next = contact.other(met.into);
                let beyond = self.piece.contacts_of(next).map(move |one| one.other(next));
                std::iter::once(next).chain(beyond)
            })
            .filter(|body| *body != met.piece && *body != met.into)
            .find(|body| joined::part_axis(self.piece, *body, along) == Axis::Length)
            .map(|body| PartId(self.piece.bodies[body].part))
    }

    /// The bodies joined alike.
    #[must_use]
    pub fn bodies(&self) -> Vec<[usize; 2]> {
        self.joined
            .as_ref()
            .map_or_else(Vec::new, |joined| joined.bodies.clone())
    }

    /// The place of a key, or of the joint where the key is left out.
    #[must_use]
    pub fn at_key<T: Clone>(&self, given: Option<&Spanned<T>>) -> Range<usize> {
        given.map_or_else(|| self.span(), Spanned::span)
    }

    /// The axis of the piece that runs along a channel across the part that is cut: given, or as it follows.
    pub fn channel_axis(&mut self, given: Option<&Spanned<AxisWord>>) -> Option<Axis> {
        let follows = self.met().map(|met| {
            let along = joined::space_axis(self.piece, met.into, Axis::Width);
            joined::part_axis(self.piece, met.piece, along)
        });
        self.axis_or(given, "piece_axis", follows)
    }

    /// The axis of the part along whose rim the piece runs: given, or as it follows.
    pub fn rim_axis(&mut self, given: Option<&Spanned<AxisWord>>) -> Option<Axis> {
        let follows = self.met().map(|met| {
            match joined::part_axis(self.piece, met.into, met.contact.axis()) {
                Axis::Length => Axis::Width,
                Axis::Width | Axis::Thickness => Axis::Length,
            }
        });
        self.axis_or(given, "along", follows)
    }

    /// The axis of the part that is cut along which the width of the piece runs.
    #[must_use]
    pub fn row_axis(&self) -> Option<Axis> {
        let met = self.met()?;
        let along = joined::space_axis(self.piece, met.piece, Axis::Width);
        Some(joined::part_axis(self.piece, met.into, along))
    }

    /// The axes of the piece and of the part it goes into along the longer side of their contact.
    #[must_use]
    pub fn along_contact(&self) -> [Axis; 2] {
        let Some(met) = self.met() else {
            return [Axis::Length, Axis::Length];
        };
        let [first, second] = met.contact.axis().others();
        let shared = met.contact.shared;
        let along = if shared.size(first) >= shared.size(second) {
            first
        } else {
            second
        };
        [met.piece, met.into].map(|body| joined::part_axis(self.piece, body, along))
    }

    fn axis_or(
        &mut self,
        given: Option<&Spanned<AxisWord>>,
        key: &str,
        follows: Option<Axis>,
    ) -> Option<Axis> {
        let Some(spanned) = given else {
            if follows.is_none() {
                self.problem_here(
                    format!("the joint has no `{key}`"),
                    format!("add {key} = \"length\" or \"width\", or place both parts so that it follows"),
                );
            }
            return follows;
        };
        let axis = self.problems.take(spanned)?.0;
        match follows {
            Some(follows) if follows != axis => {
                self.problem(
                    spanned.span(),
                    format!(
                        "`{key}` is the {} here, but by the places of the parts it is the {}",
                        axis.word(),
                        follows.word()
                    ),
                    format!("leave `{key}` out, or correct the places"),
                );
                None
            }
            _ => Some(axis),
        }
    }

    /// The placed piece; empty in a job without places.
    #[must_use]
    pub const fn placed(&self) -> &'a Piece {
        self.piece
    }

    /// The joint's place in the file.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The sizes of a part.
    ///
    /// # Panics
    /// On an id that this site did not give out: an error in the program.
    #[must_use]
    pub fn facts(&self, part: PartId) -> &'a PartFacts {
        &self.parts[part.0]
    }

    /// Finds the part of a name, or notes that there is none, with the nearest name.
    pub fn part(&mut self, given: &Spanned<Name>) -> Option<PartId> {
        let name = self.problems.take(given)?;
        self.parts.named(&name.0, given.span(), self.problems)
    }

    /// A value, or a note of why it cannot be read.
    pub fn take<T: Clone + ReadNotation>(&mut self, given: &Spanned<T>) -> Option<T> {
        self.problems.take(given)
    }

    /// A value that may be left out.
    pub fn take_optional<T: Clone + ReadNotation>(
        &mut self,
        given: Option<&Spanned<T>>,
    ) -> Option<Option<T>> {
        self.problems.take_optional(given)
    }

    /// A length inside a row of the range table.
    pub fn length(&mut self, given: &Spanned<Length>, bounds: Bounds) -> Option<Length> {
        let remedy = format!("give a {} inside that range", bounds.label);
        self.problems
            .take_checked(given, |length| length.within(bounds), &remedy)
    }

    /// A length inside a row of the range table that may be left out.
    pub fn length_or_none(
        &mut self,
        given: Option<&Spanned<Length>>,
        bounds: Bounds,
    ) -> Option<Option<Length>> {
        given.map_or(Some(None), |given| self.length(given, bounds).map(Some))
    }

    /// A length that may be left out, with its stated default.
    pub fn length_or(
        &mut self,
        given: Option<&Spanned<Length>>,
        bounds: Bounds,
        default_mm: f64,
    ) -> Option<Length> {
        self.length_or_none(given, bounds)
            .map(|length| length.unwrap_or(Length::from_mm_unchecked(default_mm)))
    }

    /// Refuses a cut that leaves no wood in its part.
    pub fn leaves_wood(
        &mut self,
        given: Option<&Spanned<Length>>,
        depth: Length,
        what: &str,
        part: PartId,
        face: CutFace,
    ) -> Option<()> {
        let facts = self.facts(part);
        let square = face.square();
        let wood = facts.size(square);
        if depth < wood {
            return Some(());
        }
        let span = self.at_key(given);
        self.problems.push(
            span,
            format!(
                "the {what} is {:.1} mm deep but the {} of `{}` is {:.1} mm: no wood is left",
                depth.mm(),
                square.word(),
                facts.name,
                wood.mm()
            ),
            format!(
                "cut it shallower, {:.1} mm at most to keep a third of the wood, or make the part thicker",
                wood.mm() * 2.0 / 3.0
            ),
        );
        None
    }

    /// Refuses places outside a part, such as a fixed point or a screw.
    pub fn inside(
        &mut self,
        given: Range<usize>,
        what: &str,
        places: impl IntoIterator<Item = Length>,
        part: PartId,
        axis: Axis,
    ) -> Option<()> {
        let facts = self.facts(part);
        let size = facts.size(axis);
        let outside = places
            .into_iter()
            .find(|place| place.mm() < 0.0 || *place > size);
        let Some(outside) = outside else {
            return Some(());
        };
        self.problems.push(
            given,
            format!(
                "{what} at {:.1} mm lies outside `{}`, whose {} is {:.1} mm",
                outside.mm(),
                facts.name,
                axis.word(),
                size.mm()
            ),
            format!(
                "give places from the reference edge of `{}`, between 0 and {:.1} mm",
                facts.name,
                size.mm()
            ),
        );
        None
    }

    /// Refuses an axis that has no meaning in this joint.
    pub fn axis_in(
        &mut self,
        given: Option<&Spanned<AxisWord>>,
        axis: Axis,
        allowed: &[Axis],
    ) -> Option<()> {
        if allowed.contains(&axis) {
            return Some(());
        }
        let span = given.map_or_else(|| self.span(), Spanned::span);
        let words: Vec<String> = allowed
            .iter()
            .map(|axis| format!("\"{}\"", axis.word()))
            .collect();
        self.problems.push(
            span,
            format!(
                "this joint does not run along the {} of that part",
                axis.word()
            ),
            format!("write {}", words.join(" or ")),
        );
        None
    }

    /// Notes a problem at a place.
    pub fn problem(
        &mut self,
        span: Range<usize>,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.problems.push(span, message, remedy);
    }

    /// Notes a problem of the joint as a whole.
    pub fn problem_here(&mut self, message: impl Into<String>, remedy: impl Into<String>) {
        let span = self.span();
        self.problems.push(span, message, remedy);
    }

    /// Notes limits that contradict each other.
    pub fn ordered(&mut self, min: Length, max: Length) -> Option<()> {
        if min < max {
            return Some(());
        }
        self.problem_here(
            format!(
                "the minimum gap, {:.2} mm, is not below the maximum, {:.2} mm",
                min.mm(),
                max.mm()
            ),
            "leave room between `min` and `max`",
        );
        None
    }

    /// The joint's own name if given, else the given one.
    pub fn name_or(&mut self, given: Option<&Spanned<Name>>, otherwise: String) -> Option<String> {
        self.take_optional(given)
            .map(|name| name.map_or(otherwise, |name| name.0))
    }
}
