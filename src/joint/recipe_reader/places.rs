//! What follows for a joint from the places of its parts: axes, faces, lengths, what an opening leaves.

use super::RecipeReader;
use crate::joint::fit::Term;
use crate::joint::joined::{self, Between, Joined, Met};
use crate::joint::part::{Axis, PartId};
use crate::joint::plan::CutFace;
use crate::joint::recipes::words::{AxisWord, FaceWord};
use crate::piece::{Contact, Opening, SpaceAxis};
use crate::units::notation::millimetres;
use crate::units::spanned::Spanned;
use crate::units::{Bounds, Length};
use std::ops::Range;

/// A key that is given and follows from the places may differ by this much, mm: a pencil line (judgement).
const AGREES_MM: f64 = 0.5;

impl<'a> RecipeReader<'a> {
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
        given: Option<&Spanned<FaceWord>>,
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
}
