//! Edge banding: a strip of solid wood glued along an edge, or across an end.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::plan::{BondPlan, BondSide, Design, JointPlan, Loosened};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::AxisWord;
use crate::joint::{Axis, defaults};
use crate::units::Length;
use crate::units::spanned::{Name, Names, Spanned};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A strip of solid wood glued on a panel's edge.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct EdgeBanding {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The panel.
    pub into: Names,
    /// The strip, its grain along the glued edge.
    pub piece: Names,
    /// The axis of the panel along the glued edge: "length" for a long edge (grain with grain), "width" across an end.
    pub along: Option<Spanned<AxisWord>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for EdgeBanding {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (panel, strip) = (site.into_part(), site.piece());
        let along = site.rim_axis(self.along.as_ref());
        let cut_on = site.take_optional(self.on.as_ref());
        let (panel, strip, axis) = (panel?, strip?, along?);
        site.axis_in(self.along.as_ref(), axis, &[Axis::Length, Axis::Width])?;
        let (facts, band) = (site.facts(panel), site.facts(strip));
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} on the edge of {}", band.name, facts.name),
        )?;
        let square = if axis == Axis::Length {
            Axis::Width
        } else {
            Axis::Length
        };
        let run = facts.size(axis).min(band.length);
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(
                Scheme::Rim {
                    along_grain: axis == Axis::Length,
                },
                panel,
                strip,
                Hold::Glue,
            ),
            trial: "a strip glued on an off-cut and planed flush".into(),
            kind: "edge_banding",
            span: site.span(),
            cut_on: cut_on?,
            fits: Vec::new(),
            bonds: vec![BondPlan {
                name: name.clone(),
                moves: BondSide::on_rim(panel, axis, square, facts, run),
                holds: BondSide::on_face(strip, Axis::Length, band),
                both_faces: false,
                held_flat: false,
                width: run,
                band: facts.thickness,
                design: Design::Glued,
                screw: Length::from_mm_unchecked(defaults::SCREW_MM),
                from_fixed: run / 2.0,
                loosened: Loosened::Dry,
            }],
            housings: Vec::new(),
            notes: Vec::new(),
            name,
        })
    }
}
