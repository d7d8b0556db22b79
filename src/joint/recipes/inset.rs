//! A door or drawer front set inside an opening: an even gap all round, the whole year.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::Size;
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::joined::sum;
use crate::joint::plan::JointPlan;
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::{AxisWord, HeldWord};
use crate::joint::{Axis, defaults};
use crate::piece::{Occupant, Opening, SpaceAxis};
use crate::units::notation::millimetres;
use crate::units::notation::{shown, the};
use crate::units::spanned::{Name, Names, Spanned};
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
    pub piece: Names,
    /// The axis of the part that is judged: "width" unless given.
    pub piece_axis: Option<Spanned<AxisWord>>,
    /// The part whose size sets the opening.
    pub into: Names,
    /// The axis of the frame part along the opening: "length" unless given.
    pub into_axis: Option<Spanned<AxisWord>>,
    /// The opening today, along that axis; it follows from `in_opening` of the part.
    pub opening: Option<Spanned<Length>>,
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
        if let Some(opening) = site.opening() {
            return self.expand_placed(site, opening);
        }
        let (piece, into) = (site.piece(), site.into_part());
        let opening = site.length_of("opening", self.opening.as_ref(), Bounds::BOARD_LENGTH, None);
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
            bodies: site.bodies(),
            hardware: Vec::new(),
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

impl Inset {
    /// The joint of a part or group that sits in an opening: a fit for each axis that is bounded.
    fn expand_placed(&self, site: &mut RecipeReader<'_>, opening: &Opening) -> Option<JointPlan> {
        let given = site.length_or_none(self.size.as_ref(), Bounds::BOARD_LENGTH);
        let only = site.take_optional(self.piece_axis.as_ref());
        let held = site.take_optional(self.held.as_ref());
        let hinge = site.length_or_none(self.hinge_gap.as_ref(), Bounds::DEPTH);
        let min = site.length_or(self.min.as_ref(), Bounds::LENGTH, defaults::INSET.0);
        let max = site.length_or(self.max.as_ref(), Bounds::LENGTH, defaults::INSET.1);
        let cut_on = site.take_optional(self.on.as_ref());
        let (piece, into, given, only, held) =
            (site.piece()?, site.into_part()?, given?, only?, held?);
        let (min, max, hinge) = (min?, max?, hinge?);
        site.ordered(min, max)?;
        let single = matches!(opening.occupant, Occupant::Body(_));
        let named = |body: &&usize| {
            site.joined()
                .is_some_and(|joined| joined.piece_bodies.contains(body))
        };
        let body = *opening
            .bodies
            .iter()
            .find(named)
            .or(opening.bodies.first())?;
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} in its opening", opening.name),
        )?;
        let (mut fits, mut notes) = (Vec::new(), Vec::new());
        let mut held_at = Hold::Centre;
        for along in [SpaceAxis::X, SpaceAxis::Z] {
            let own_axis = site.axis_of(body, along);
            if !opening.is_bounded(along) || only.is_some_and(|word| word.0 != own_axis) {
                continue;
            }
            let around = site.opening_terms(opening, along);
            let width = sum(&around);
            let follows = self.opening.as_ref().filter(|_| {
                only.is_some_and(|word| word.0 == own_axis)
                    || only.is_none() && own_axis == Axis::Width
            });
            if follows.is_some() {
                site.length_of("opening", follows, Bounds::BOARD_LENGTH, Some(width))?;
            }
            let across = if along == SpaceAxis::X {
                "across"
            } else {
                "upright"
            };
            let (mut part, cut, dimension, design) = if single {
                let size = given;
                let dimension = if own_axis == Axis::Length {
                    "long"
                } else {
                    "wide"
                };
                (vec![Term::cut(piece, own_axis)], "front", dimension, size)
            } else {
                let mut terms = site.occupant_terms(opening, along)?;
                let last = terms
                    .iter()
                    .rposition(|term| term.axis == Axis::Width)
                    .unwrap_or(terms.len().checked_sub(1)?);
                let trimmed = terms.remove(last);
                let Size::Known(total) = trimmed.size else {
                    return None;
                };
                let one = site.facts(trimmed.part).size(trimmed.axis).min(total);
                if total > one {
                    terms.push(Term::known(trimmed.part, trimmed.axis, total - one));
                }
                terms.push(Term::cut(trimmed.part, trimmed.axis));
                let cut = match (terms.len(), trimmed.axis) {
                    (1, _) => "front",
                    (_, Axis::Width) if along == SpaceAxis::X => "outer stile",
                    (_, Axis::Width) => "front",
                    _ => "door",
                };
                let dimension = if trimmed.axis == Axis::Length {
                    "long"
                } else {
                    "wide"
                };
                (
                    terms,
                    cut,
                    dimension,
                    given.map(|size| size - (opening.filled.size(along).length() - one)),
                )
            };
            let hinged = opening.hinge.map(|side| side.0);
            let edge = hinged.is_some_and(|side| side.axis() == along)
                || (hinged.is_none() && held == Some(HeldWord::Edge));
            if edge {
                held_at = Hold::Edge;
                let kept = hinge.unwrap_or(min);
                // What runs along the opening carries the hinge: the part that moves least where there is a choice.
                let carries = around
                    .iter()
                    .find(|term| term.axis == Axis::Length)
                    .or(around.first());
                let (of, axis) = carries.map_or((into, own_axis), |term| (term.part, term.axis));
                part.push(Term::known(of, axis, kept));
                let side = hinged.map_or("held", |side| side.word());
                notes.push(format!(
                    "The gap at the {side} edge of {} is {} and stays; all movement across shows at the other.",
                    the(&opening.name),
                    shown(kept, UnitSystem::Metric)
                ));
            }
            if design.is_some_and(|size| single && size >= width) {
                site.problem(
                    site.at_key(self.size.as_ref()),
                    format!(
                        "{} is {} {dimension} and its opening {}: it does not go in",
                        the(&opening.name),
                        millimetres(design.unwrap_or_default()),
                        millimetres(width)
                    ),
                    "give a smaller size, or leave the size out to be given one",
                );
                return None;
            }
            fits.push(Fit {
                name: if only.is_some() {
                    name.clone()
                } else {
                    format!("{name}, {across}")
                },
                opening: around,
                part,
                share: if edge { 1.0 } else { 0.5 },
                min,
                max: MaxGap::Gap(max),
                given: design,
                aim: Aim::Middle,
                when: When::Always,
                words: FitWords {
                    cut,
                    dimension,
                    gap: if edge {
                        format!("gap at the free edge of {}", the(&opening.name))
                    } else if along == SpaceAxis::Z {
                        format!("gap above and below {}", the(&opening.name))
                    } else {
                        format!("gap on each side of {}", the(&opening.name))
                    },
                    too_tight: format!("{} binds in its opening", the(&opening.name)),
                    too_loose: format!("the gap beside {} looks wide", the(&opening.name)),
                },
            });
        }
        if fits.is_empty() {
            site.problem_here(
                format!("the opening of `{}` is not bounded on both sides of any axis", opening.name),
                "name what bounds it: in_opening = { left = ..., right = ..., bottom = ..., top = ... }",
            );
            return None;
        }
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(Scheme::Opening, into, piece, held_at),
            trial: format!(
                "the gap beside {} with feeler stock of the gap given for today",
                the(&opening.name)
            ),
            name,
            kind: "inset",
            span: site.span(),
            cut_on: cut_on?,
            fits,
            bonds: Vec::new(),
            housings: Vec::new(),
            notes,
        })
    }
}
