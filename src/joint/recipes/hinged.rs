//! Hinged: a door or lid on its hinges.

use super::Recipe;
use super::fixed::Fixed;
use crate::joint::Axis;
use crate::joint::plan::JointPlan;
use crate::joint::recipe_reader::RecipeReader;
use crate::units::notation::Whole;
use crate::units::spanned::{Name, Names, Spanned};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A door or lid on its hinges: it turns, and bonds nothing.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Hinged {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The door or lid.
    pub piece: Names,
    /// The part it hangs on.
    pub into: Names,
    /// How many hinges; 2 unless given.
    pub hinges: Option<Spanned<Whole>>,
    /// The day it is made.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Hinged {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part()?, site.piece()?);
        let (own, other) = (site.facts(piece), site.facts(into));
        let hinges = site
            .take_optional(self.hinges.as_ref())?
            .map_or(2, |count| count.0);
        Fixed {
            kind: "hinged",
            name: self.name.as_ref(),
            called: format!("{} hinged to {}", own.name, other.name),
            axes: [Axis::Length, Axis::Length],
            square: [Axis::Width, Axis::Width],
            run: own.length,
            band: own.thickness,
            bonded: false,
            on: self.on.as_ref(),
            trial: "one hinge in an off-cut: the leaf is flush and the knuckle clears",
            notes: Vec::new(),
            hardware: vec![("hinges".into(), u32::try_from(hinges).unwrap_or(2))],
        }
        .plan(site)
    }
}
