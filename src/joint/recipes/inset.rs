//! A door or drawer front set inside an opening: an even gap all round, the whole year.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::plan::JointPlan;
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::{AxisWord, HeldWord};
use crate::joint::{Axis, defaults};
use crate::units::notation::{shown, the};
use crate::units::spanned::{Name, Spanned};
use crate::units::{Bounds, Length, UnitSystem};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A door or drawer front set inside an opening.
///
/// Held at its centre, both gaps share the movement. Held at one edge (a hinge), that gap is set by the hinge and
/// stays; all movement shows at the free edge, whose gap is the one judged.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Inset {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The door or drawer front.
    pub piece: Spanned<Name>,
    /// The axis of the part that is judged: "width" unless given.
    pub piece_axis: Option<Spanned<AxisWord>>,
    /// The part whose size sets the opening.
    pub into: Spanned<Name>,
    /// The axis of the frame part along the opening: "length" unless given.
    pub into_axis: Option<Spanned<AxisWord>>,
    /// The opening today, along that axis.
    pub opening: Spanned<Length>,
    /// What the part is cut to, to be judged; left out, the program says.
    pub size: Option<Spanned<Length>>,
    /// "centre": the gap is shared by both sides; "edge": hinged or fixed at one side, all movement shows at the other.
    pub held: Option<Spanned<HeldWord>>,
    /// The gap kept at the held edge, with held = "edge"; the minimum gap unless given.
    pub hinge_gap: Option<Spanned<Length>>,
    /// Minimum gap a side.
    pub min: Option<Spanned<Length>>,
    /// Maximum gap a side.
    pub max: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Inset {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (piece, into) = (site.part(&self.piece), site.part(&self.into));
        let opening = site.length(&self.opening, Bounds::BOARD_LENGTH);
        let given = site.length_or_none(self.size.as_ref(), Bounds::BOARD_LENGTH);
        let piece_axis = site.take_optional(self.piece_axis.as_ref());
        let into_axis = site.take_optional(self.into_axis.as_ref());
        let held = site.take_optional(self.held.as_ref());
        let hinge = site.length_or_none(self.hinge_gap.as_ref(), Bounds::DEPTH);
        let min = site.length_or(self.min.as_ref(), Bounds::LENGTH, defaults::INSET.0);
        let max = site.length_or(self.max.as_ref(), Bounds::LENGTH, defaults::INSET.1);
        let cut_on = site.take_optional(self.on.as_ref());
        let (piece, into, opening, given) = (piece?, into?, opening?, given?);
        let (min, max, hinge) = (min?, max?, hinge?);
        site.ordered(min, max)?;
        let piece_axis = piece_axis?.map_or(Axis::Width, |word| word.0);
        let into_axis = into_axis?.map_or(Axis::Length, |word| word.0);
        site.axis_in(
            self.piece_axis.as_ref(),
            piece_axis,
            &[Axis::Width, Axis::Length],
        )?;
        site.axis_in(
            self.into_axis.as_ref(),
            into_axis,
            &[Axis::Length, Axis::Width],
        )?;
        if given.is_some_and(|size| size >= opening) {
            site.problem(
                self.size
                    .as_ref()
                    .map_or_else(|| site.span(), Spanned::span),
                format!(
                    "the size given is not smaller than the opening of {:.1} mm",
                    opening.mm()
                ),
                "give a smaller size, or leave it out to be given one",
            );
            return None;
        }
        let facts = site.facts(piece);
        let name = site.name_or(
            self.name.as_ref(),
            format!(
                "{} in its opening, across its {}",
                facts.name,
                piece_axis.word()
            ),
        )?;
        let edge = held?.is_some_and(|word| word == HeldWord::Edge);
        let mut terms = vec![Term::cut(piece, piece_axis)];
        if edge {
            terms.push(Term::known(into, into_axis, hinge.unwrap_or(min)));
        }
        let fit = Fit {
            name: name.clone(),
            opening: vec![Term::known(into, into_axis, opening)],
            part: terms,
            share: if edge { 1.0 } else { 0.5 },
            min,
            max: MaxGap::Gap(max),
            given,
            aim: Aim::Middle,
            when: When::Always,
            words: FitWords {
                cut: "front",
                dimension: if piece_axis == Axis::Length {
                    "long"
                } else {
                    "wide"
                },
                gap: if edge {
                    format!("gap at the free edge of {}", the(&facts.name))
                } else {
                    format!("gap on each side of {}", the(&facts.name))
                },
                too_tight: format!("{} binds in its opening", the(&facts.name)),
                too_loose: format!("the gap beside {} looks wide", the(&facts.name)),
            },
        };
        Some(JointPlan {
            drawing: Drawing::new(
                Scheme::Opening,
                into,
                piece,
                if edge { Hold::Edge } else { Hold::Centre },
            ),
            trial: format!(
                "the gap beside {} with feeler stock of the gap given for today",
                the(&facts.name)
            ),
            name,
            kind: "inset",
            span: site.span(),
            cut_on: cut_on?,
            fits: vec![fit],
            bonds: Vec::new(),
            housings: Vec::new(),
            notes: if edge {
                vec![format!(
                    "The gap at the held edge of {} is {} and stays; all movement shows at the other.",
                    the(&facts.name),
                    shown(hinge.unwrap_or(min), UnitSystem::Metric)
                )]
            } else {
                Vec::new()
            },
        })
    }
}
