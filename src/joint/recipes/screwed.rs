//! Screwed: two parts held by screws in round holes.

use super::Recipe;
use super::fixed::Fixed;
use crate::joint::Axis;
use crate::joint::plan::JointPlan;
use crate::joint::recipe_reader::RecipeReader;
use crate::units::notation::Lengths;
use crate::units::spanned::{Name, Names, Spanned};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// Two parts held by screws in round holes, which can be taken apart. Across the grain of a wide board take `screw_slot` instead.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Screwed {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The part the screws go through.
    pub piece: Names,
    /// The part they are driven into.
    pub into: Names,
    /// Places of the screws along the joint: "2in, 8in".
    pub screws: Spanned<Lengths>,
    /// The day it is made.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Screwed {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part()?, site.piece()?);
        let (own, other) = (site.facts(piece), site.facts(into));
        let screws = site.take(&self.screws)?.0;
        Fixed {
            kind: "screwed",
            name: self.name.as_ref(),
            called: format!("{} screwed to {}", own.name, other.name),
            axes: site.along_contact(),
            square: [Axis::Thickness, Axis::Thickness],
            run: screws.last().copied().unwrap_or_default()
                - screws.first().copied().unwrap_or_default(),
            band: own.thickness,
            bonded: screws.len() > 1,
            on: self.on.as_ref(),
            trial: "a screw in an off-cut draws the two together without splitting",
            notes: Vec::new(),
            hardware: vec![("screws".into(), u32::try_from(screws.len()).unwrap_or(0))],
        }
        .plan(site)
    }
}
