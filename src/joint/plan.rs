//! What a recipe expands into: fits, bonds and the wood it takes away.

use super::fit::Fit;
use super::part::{Axis, PartFacts, PartId};
use crate::units::notation::nearest;
use crate::units::told::{Name, Problems, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
use std::ops::Range;

/// Which surface of a part a cut is made in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CutFace {
    /// The broad face turned inward.
    Inside,
    /// The broad face turned outward.
    Outside,
    /// The narrow long side.
    Edge,
    /// The end grain.
    End,
}

impl CutFace {
    /// What a maker calls it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            CutFace::Inside => "inside face",
            CutFace::Outside => "outside face",
            CutFace::Edge => "edge",
            CutFace::End => "end",
        }
    }
}

/// A size of a machine setting: told, or the cuts of the joint's fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Setting {
    /// A fixed size.
    Known(Length),
    /// The sum of the cuts of `count` fits of the plan from `first` on, and a constant.
    OfFits {
        /// Index of the first fit.
        first: usize,
        /// How many fits.
        count: usize,
        /// What is added, such as the screw's diameter.
        plus: Length,
    },
}

impl Setting {
    /// The cut of one fit.
    #[must_use]
    pub const fn of_fit(index: usize) -> Self {
        Self::OfFits {
            first: index,
            count: 1,
            plus: Length::ZERO,
        }
    }

    /// The room at both sides of a fastening of this size that travels, from the first of its two fits.
    #[must_use]
    pub const fn of_travel(first: usize, fastening: Length) -> Self {
        Self::OfFits {
            first,
            count: 2,
            plus: fastening,
        }
    }

    /// The size once the cuts are known.
    #[must_use]
    pub fn length(self, cuts_mm: &[f64]) -> Length {
        match self {
            Self::Known(length) => length,
            Self::OfFits { first, count, plus } => {
                plus + Length::computed_mm(cuts_mm.iter().skip(first).take(count).sum())
            }
        }
    }
}

/// Wood taken out of a part: a dado, a groove, a mortise, a rabbet, a slot.
#[derive(Debug, Clone, PartialEq)]
pub struct Housing {
    /// The part it is cut into.
    pub part: PartId,
    /// What the trade calls it.
    pub what: &'static str,
    /// The surface it is cut in.
    pub face: CutFace,
    /// From the reference end (or edge) of the part to the near side of the cut.
    pub from_reference: Length,
    /// Extent of the cut along that direction: the width of a dado, the width of a groove.
    pub width: Setting,
    /// Depth below the surface.
    pub depth: Setting,
    /// The axis of the part along which `from_reference` and `width` are measured.
    pub along: Axis,
    /// Whether it is meant to go through.
    pub through: bool,
    /// How many alike.
    pub count: u32,
}

/// A glued or fixed line between two parts.
#[derive(Debug, Clone, PartialEq)]
pub struct BondPlan {
    /// The joint's name, with the place where a joint has several bonds.
    pub name: String,
    /// The part that wants to move more along the line.
    pub moves: PartId,
    /// Its axis along the line.
    pub moves_axis: Axis,
    /// Its extent square to the glued line and the glue, where that is not its thickness.
    pub moves_thickness: Option<Length>,
    /// The part that holds it.
    pub holds: PartId,
    /// Its axis along the line.
    pub holds_axis: Axis,
    /// Length of the line.
    pub width: Length,
    /// How far the glued patch reaches along the other direction.
    pub band: Length,
    /// What was told to be done.
    pub design: Design,
    /// Diameter of the screws where it floats.
    pub screw: Length,
    /// From the point that stays fixed to the farthest screw.
    pub from_fixed: Length,
}

/// What a job says is done with a bond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Design {
    /// The program is asked; the line glued whole is judged.
    Asked,
    /// Glued over its whole length.
    Glued,
    /// Glued over this length at its middle or at its fixed end.
    GluedOver(Length),
    /// Not glued: slots or clearance carry the movement.
    Floating,
}

/// One joint, expanded.
#[derive(Debug, Clone, PartialEq)]
pub struct JointPlan {
    /// Its name in every answer.
    pub name: String,
    /// The key of its recipe: `dado`.
    pub kind: &'static str,
    /// Where the job file tells it.
    pub span: Range<usize>,
    /// The day it is cut; the job's first day when not told.
    pub cut_on: Option<Date>,
    /// What must keep room.
    pub fits: Vec<Fit>,
    /// What is glued or fixed.
    pub bonds: Vec<BondPlan>,
    /// What is cut away.
    pub housings: Vec<Housing>,
    /// What the trial in an off-cut should measure.
    pub trial: String,
    /// Things to tell the maker whatever the numbers say.
    pub notes: Vec<String>,
}

/// Where a recipe stands while it expands: the parts it may name and the problems it may find.
pub struct Site<'a> {
    parts: &'a [PartFacts],
    problems: &'a mut Problems,
    span: Range<usize>,
}

impl<'a> Site<'a> {
    /// A site for the joint told at `span`.
    pub const fn new(
        parts: &'a [PartFacts],
        problems: &'a mut Problems,
        span: Range<usize>,
    ) -> Self {
        Self {
            parts,
            problems,
            span,
        }
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
    pub fn part(&mut self, told: &Told<Name>) -> Option<PartId> {
        let name = self.problems.take(told)?;
        if let Some(index) = self.parts.iter().position(|part| part.name == name.0) {
            return Some(PartId(index));
        }
        let near = nearest(&name.0, self.parts.iter().map(|part| part.name.as_str()));
        let known = self
            .parts
            .iter()
            .map(|part| format!("`{}`", part.name))
            .collect::<Vec<_>>()
            .join(", ");
        let remedy = near.map_or_else(
            || format!("the parts are {known}; add one with [[parts]]"),
            |near| format!("did you mean `{near}`? The parts are {known}"),
        );
        self.problems
            .push(told.span(), format!("no part is named `{name}`"), remedy);
        None
    }

    /// A value, or a note of why it cannot be read.
    pub fn take<T: Clone>(&mut self, told: &Told<T>) -> Option<T> {
        self.problems.take(told)
    }

    /// A value that may be left out.
    pub fn take_optional<T: Clone>(&mut self, told: Option<&Told<T>>) -> Option<Option<T>> {
        self.problems.take_optional(told)
    }

    /// A length inside a row of the range table.
    pub fn length(&mut self, told: &Told<Length>, bounds: Bounds) -> Option<Length> {
        let remedy = format!("give a {} inside that range", bounds.label);
        self.problems
            .take_checked(told, |length| length.within(bounds), &remedy)
    }

    /// A length inside a row of the range table that may be left out.
    pub fn length_or_none(
        &mut self,
        told: Option<&Told<Length>>,
        bounds: Bounds,
    ) -> Option<Option<Length>> {
        told.map_or(Some(None), |told| self.length(told, bounds).map(Some))
    }

    /// A length that may be left out, with its stated default.
    pub fn length_or(
        &mut self,
        told: Option<&Told<Length>>,
        bounds: Bounds,
        default_mm: f64,
    ) -> Option<Length> {
        self.length_or_none(told, bounds)
            .map(|length| length.unwrap_or(Length::computed_mm(default_mm)))
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
    pub fn ordered(&mut self, least: Length, greatest: Length) -> Option<()> {
        if least < greatest {
            return Some(());
        }
        self.problem_here(
            format!(
                "the least gap, {:.2} mm, is not below the greatest, {:.2} mm",
                least.mm(),
                greatest.mm()
            ),
            "leave room between `least` and `greatest`",
        );
        None
    }

    /// The joint's own name if told, else the given one.
    pub fn name_or(&mut self, told: Option<&Told<Name>>, otherwise: String) -> Option<String> {
        self.take_optional(told)
            .map(|name| name.map_or(otherwise, |name| name.0))
    }
}
