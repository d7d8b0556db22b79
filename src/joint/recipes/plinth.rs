//! Plinth: the base screwed under a case, fixed at its front and free behind.

use super::{Cleat, Recipe};
use crate::joint::plan::JointPlan;
use crate::joint::recipe_reader::RecipeReader;
use crate::units::Length;
use crate::units::notation::Lengths;
use crate::units::spanned::{Name, Names, Spanned};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// The base screwed under a case: fixed at its front, with slots behind, so that the case moves over it.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PlinthJoint {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The rail of the plinth that runs from front to back.
    pub piece: Names,
    /// The bottom that it is screwed to, its width running from front to back.
    pub into: Names,
    /// Places of the screws, from the front edge of the bottom.
    pub screws: Spanned<Lengths>,
    /// The place that stays fixed; the first screw unless given.
    pub fixed: Option<Spanned<Length>>,
    /// Diameter of the screws.
    pub screw: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for PlinthJoint {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let screws = site.take(&self.screws)?;
        let first = screws.0.first().copied()?;
        let fixed = self
            .fixed
            .clone()
            .or_else(|| Some(Spanned::from_text(&format!("{} mm", first.mm()))));
        let cleat = Cleat {
            name: self.name.clone(),
            piece: self.piece.clone(),
            into: self.into.clone(),
            screws: self.screws.clone(),
            cleat_at: None,
            fixed,
            screw: self.screw.clone(),
            design: None,
            glue_over: None,
            held_flat: None,
            on: self.on.clone(),
        };
        let mut plan = cleat.expand(site)?;
        plan.kind = "plinth";
        plan.notes.push("Level the plinth with shims on the floor before the case is set on it, and screw it down last.".into());
        Some(plan)
    }
}
