//! Drawer in its opening: it runs on its bottom edge, so that all the play shows above it.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, Greatest, Term, When};
use crate::joint::plan::JointPlan;
use crate::joint::recipes::words::AxisWord;
use crate::joint::site::Site;
use crate::joint::{Axis, defaults};
use crate::units::told::{Name, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A drawer box in its opening: the height of its sides against the height of the opening.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Drawer {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The drawer's side, its width standing upright.
    pub side: Told<Name>,
    /// The part whose size sets the height of the opening.
    pub frame: Told<Name>,
    /// The axis of the frame part that stands upright: "length" unless told.
    pub frame_axis: Option<Told<AxisWord>>,
    /// Height of the opening today.
    pub opening: Told<Length>,
    /// Height of the sides, to be judged; left out, the program says.
    pub height: Option<Told<Length>>,
    /// Least play above the drawer.
    pub least: Option<Told<Length>>,
    /// Greatest play above the drawer.
    pub greatest: Option<Told<Length>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for Drawer {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (side, frame) = (site.part(&self.side), site.part(&self.frame));
        let axis = site.take_optional(self.frame_axis.as_ref());
        let opening = site.length(&self.opening, Bounds::BOARD_LENGTH);
        let given = site.length_or_none(self.height.as_ref(), Bounds::WIDTH);
        let least = site.length_or(self.least.as_ref(), Bounds::LENGTH, defaults::INSET.0);
        let greatest = site.length_or(self.greatest.as_ref(), Bounds::LENGTH, defaults::INSET.1);
        let cut_on = site.take_optional(self.on.as_ref());
        let (side, frame, opening, given, least, greatest) =
            (side?, frame?, opening?, given?, least?, greatest?);
        site.ordered(least, greatest)?;
        let axis = axis?.map_or(Axis::Length, |word| word.0);
        site.axis_in(self.frame_axis.as_ref(), axis, &[Axis::Length, Axis::Width])?;
        if given.is_some_and(|height| height >= opening) {
            site.problem(
                self.height.as_ref().map_or_else(|| site.span(), Told::span),
                format!(
                    "the sides are not lower than the opening of {:.1} mm",
                    opening.mm()
                ),
                "give a smaller height, or leave it out to be told one",
            );
            return None;
        }
        let facts = site.facts(side);
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} in the drawer opening", facts.name),
        )?;
        Some(JointPlan {
            drawing: Drawing::new(Scheme::Opening, frame, side, Hold::Below),
            trial: "the empty drawer runs the whole way under one finger".into(),
            fits: vec![Fit {
                name: name.clone(),
                host: vec![Term::known(frame, axis, opening)],
                guest: vec![Term::cut(side, Axis::Width)],
                share: 1.0,
                least,
                greatest: Greatest::Gap(greatest),
                given,
                aim: Aim::Middle,
                when: When::Always,
                words: FitWords {
                    cut: "drawer side",
                    dimension: "high",
                    gap: "play above the drawer".into(),
                    too_tight: "the drawer binds".into(),
                    too_loose: "the drawer tips when pulled out".into(),
                },
            }],
            name,
            kind: "drawer",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: Vec::new(),
            notes: Vec::new(),
        })
    }
}
