//! Drawer in its opening: it runs on its bottom edge, so that all the clearance shows above it.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::joined::sum;
use crate::joint::plan::JointPlan;
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::AxisWord;
use crate::joint::{Axis, defaults};
use crate::piece::SpaceAxis;
use crate::units::spanned::{Name, Names, Spanned};
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
    pub name: Option<Spanned<Name>>,
    /// The drawer's side, its width standing upright.
    pub piece: Names,
    /// The part whose size sets the height of the opening.
    pub into: Names,
    /// The axis of the frame part that stands upright: "length" unless given.
    pub into_axis: Option<Spanned<AxisWord>>,
    /// Height of the opening today; it follows from `in_opening` of the drawer.
    pub opening: Option<Spanned<Length>>,
    /// Height of the sides, to be judged; left out, the program says.
    pub height: Option<Spanned<Length>>,
    /// Minimum clearance above the drawer.
    pub min: Option<Spanned<Length>>,
    /// Maximum clearance above the drawer.
    pub max: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Drawer {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (side, frame) = (site.piece(), site.into_part());
        let axis = site.take_optional(self.into_axis.as_ref());
        let placed = site
            .opening()
            .filter(|opening| opening.is_bounded(SpaceAxis::Z));
        let around = placed.map(|opening| site.opening_terms(opening, SpaceAxis::Z));
        let follows = around.as_ref().map(|terms| sum(terms));
        let opening = site.length_of(
            "opening",
            self.opening.as_ref(),
            Bounds::BOARD_LENGTH,
            follows,
        );
        let given = site.length_or_none(self.height.as_ref(), Bounds::WIDTH);
        let min = site.length_or(self.min.as_ref(), Bounds::LENGTH, defaults::INSET.0);
        let max = site.length_or(self.max.as_ref(), Bounds::LENGTH, defaults::INSET.1);
        let cut_on = site.take_optional(self.on.as_ref());
        let (side, frame, opening, given, min, max) = (side?, frame?, opening?, given?, min?, max?);
        site.ordered(min, max)?;
        let axis = axis?.map_or(Axis::Length, |word| word.0);
        site.axis_in(self.into_axis.as_ref(), axis, &[Axis::Length, Axis::Width])?;
        if given.is_some_and(|height| height >= opening) {
            site.problem(
                self.height
                    .as_ref()
                    .map_or_else(|| site.span(), Spanned::span),
                format!(
                    "the sides are not lower than the opening of {:.1} mm",
                    opening.mm()
                ),
                "give a smaller height, or leave it out to be given one",
            );
            return None;
        }
        let facts = site.facts(side);
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} in the drawer opening", facts.name),
        )?;
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(Scheme::Opening, frame, side, Hold::Below),
            trial: "the empty drawer runs the whole way under one finger".into(),
            fits: vec![Fit {
                name: name.clone(),
                opening: around.unwrap_or_else(|| vec![Term::known(frame, axis, opening)]),
                part: vec![Term::cut(side, Axis::Width)],
                share: 1.0,
                min,
                max: MaxGap::Gap(max),
                given,
                aim: Aim::Middle,
                when: When::Always,
                words: FitWords {
                    cut: "drawer side",
                    dimension: "high",
                    gap: "clearance above the drawer".into(),
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
