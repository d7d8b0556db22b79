//! A door or drawer front set inside an opening: an even gap all round, the whole year.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, Greatest, Term, When};
use crate::joint::plan::JointPlan;
use crate::joint::recipes::words::{AxisWord, HeldWord};
use crate::joint::site::Site;
use crate::joint::{Axis, defaults};
use crate::units::notation::{shown, the};
use crate::units::told::{Name, Told};
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
    pub name: Option<Told<Name>>,
    /// The door or drawer front.
    pub guest: Told<Name>,
    /// The axis of the guest that is judged: "width" unless told.
    pub guest_axis: Option<Told<AxisWord>>,
    /// The part whose size sets the opening.
    pub frame: Told<Name>,
    /// The axis of the frame part along the opening: "length" unless told.
    pub frame_axis: Option<Told<AxisWord>>,
    /// The opening today, along that axis.
    pub opening: Told<Length>,
    /// What the guest is cut to, to be judged; left out, the program says.
    pub size: Option<Told<Length>>,
    /// "centre": the gap is shared by both sides; "edge": hinged or fixed at one side, all movement shows at the other.
    pub held: Option<Told<HeldWord>>,
    /// The gap kept at the held edge, with held = "edge"; the least gap unless told.
    pub hinge_gap: Option<Told<Length>>,
    /// Least gap a side.
    pub least: Option<Told<Length>>,
    /// Greatest gap a side.
    pub greatest: Option<Told<Length>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for Inset {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (guest, frame) = (site.part(&self.guest), site.part(&self.frame));
        let opening = site.length(&self.opening, Bounds::BOARD_LENGTH);
        let given = site.length_or_none(self.size.as_ref(), Bounds::BOARD_LENGTH);
        let guest_axis = site.take_optional(self.guest_axis.as_ref());
        let frame_axis = site.take_optional(self.frame_axis.as_ref());
        let held = site.take_optional(self.held.as_ref());
        let hinge = site.length_or_none(self.hinge_gap.as_ref(), Bounds::DEPTH);
        let least = site.length_or(self.least.as_ref(), Bounds::LENGTH, defaults::INSET.0);
        let greatest = site.length_or(self.greatest.as_ref(), Bounds::LENGTH, defaults::INSET.1);
        let cut_on = site.take_optional(self.on.as_ref());
        let (guest, frame, opening, given) = (guest?, frame?, opening?, given?);
        let (least, greatest, hinge) = (least?, greatest?, hinge?);
        site.ordered(least, greatest)?;
        let guest_axis = guest_axis?.map_or(Axis::Width, |word| word.0);
        let frame_axis = frame_axis?.map_or(Axis::Length, |word| word.0);
        site.axis_in(
            self.guest_axis.as_ref(),
            guest_axis,
            &[Axis::Width, Axis::Length],
        )?;
        site.axis_in(
            self.frame_axis.as_ref(),
            frame_axis,
            &[Axis::Length, Axis::Width],
        )?;
        if given.is_some_and(|size| size >= opening) {
            site.problem(
                self.size.as_ref().map_or_else(|| site.span(), Told::span),
                format!(
                    "the size told is not smaller than the opening of {:.1} mm",
                    opening.mm()
                ),
                "give a smaller size, or leave it out to be told one",
            );
            return None;
        }
        let facts = site.facts(guest);
        let name = site.name_or(
            self.name.as_ref(),
            format!(
                "{} in its opening, across its {}",
                facts.name,
                guest_axis.word()
            ),
        )?;
        let edge = held?.is_some_and(|word| word == HeldWord::Edge);
        let mut terms = vec![Term::cut(guest, guest_axis)];
        if edge {
            terms.push(Term::known(frame, frame_axis, hinge.unwrap_or(least)));
        }
        let fit = Fit {
            name: name.clone(),
            host: vec![Term::known(frame, frame_axis, opening)],
            guest: terms,
            share: if edge { 1.0 } else { 0.5 },
            least,
            greatest: Greatest::Gap(greatest),
            given,
            aim: Aim::Middle,
            when: When::Always,
            words: FitWords {
                cut: "front",
                dimension: if guest_axis == Axis::Length {
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
                frame,
                guest,
                if edge { Hold::Edge } else { Hold::Centre },
            ),
            trial: format!(
                "the gap beside {} with feeler stock of the gap told for today",
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
                    shown(hinge.unwrap_or(least), UnitSystem::Metric)
                )]
            } else {
                Vec::new()
            },
        })
    }
}
