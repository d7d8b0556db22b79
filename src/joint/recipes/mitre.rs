//! Miter: two ends cut at half the angle between them.

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

/// Two ends cut at half the angle between them, such as the corner of a frame. A part that gets wider opens a miter at its inside, a part that gets narrower at its outside.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Mitre {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// One part.
    pub piece: Names,
    /// The other.
    pub into: Names,
    /// The day it is made.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Mitre {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part()?, site.piece()?);
        let (own, other) = (site.facts(piece), site.facts(into));
        Fixed {
            kind: "mitre",
            name: self.name.as_ref(),
            called: format!("{} mitered to {}", own.name, other.name),
            axes: [Axis::Width, Axis::Width],
            square: [Axis::Length, Axis::Length],
            run: own.width.min(other.width) * std::f64::consts::SQRT_2,
            band: own.thickness.min(other.thickness),
            bonded: true,
            on: self.on.as_ref(),
            trial: "a frame of four short off-cuts closes at every corner",
            notes: vec!["A miter is end grain on end grain: size the ends with thinned glue, and key it with a spline or a loose tenon.".into()],
            hardware: Vec::new(),
        }
        .plan(site)
    }
}
