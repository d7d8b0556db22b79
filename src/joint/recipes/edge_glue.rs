//! Edge joint: two boards glued edge to edge.

use super::Recipe;
use super::fixed::Fixed;
use crate::joint::Axis;
use crate::joint::plan::JointPlan;
use crate::joint::recipe_reader::RecipeReader;
use crate::units::spanned::{Name, Names, Spanned};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// Two boards glued edge to edge, grain with grain.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct EdgeGlue {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// One board.
    pub piece: Names,
    /// The board beside it.
    pub into: Names,
    /// The day it is made.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for EdgeGlue {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part()?, site.piece()?);
        let (own, other) = (site.facts(piece), site.facts(into));
        Fixed {
            kind: "edge_glue",
            name: self.name.as_ref(),
            called: format!("{} glued to {}", own.name, other.name),
            axes: [Axis::Length, Axis::Length],
            square: [Axis::Width, Axis::Width],
            run: own.length.min(other.length),
            band: own.thickness.min(other.thickness),
            bonded: true,
            on: self.on.as_ref(),
            trial: "the two edges close without light between them, held by hand",
            notes: vec!["Grain with grain along the whole joint: it may be glued whole.".into()],
            hardware: Vec::new(),
        }
        .plan(site)
    }
}
