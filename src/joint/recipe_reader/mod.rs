//! Where a recipe expands: reading its keys, and noting every problem at its place.

mod pairs;
mod places;

use super::joined::{self, Joined};
use super::part::{Axis, PartFacts, PartId, Parts};
use super::plan::{CutFace, JointPlan};
use super::recipes::words::AxisWord;
use crate::piece::{Network, Piece};
use crate::units::spanned::{Name, Problems, ReadNotation, Spanned};
use crate::units::{Bounds, Length};
use std::ops::Range;

/// What a recipe reads while it expands: the parts it may name, where they are, and the problems it may find.
pub struct RecipeReader<'a> {
    parts: &'a Parts<'a>,
    piece: &'a Piece,
    network: &'a Network<'a>,
    problems: &'a mut Problems,
    span: Range<usize>,
    joined: Option<Joined>,
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
