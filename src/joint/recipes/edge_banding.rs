//! Edge banding: a strip of solid wood glued along an edge, or across an end.

use super::Recipe;
use crate::joint::plan::{BondPlan, Design, JointPlan, Site};
use crate::joint::recipes::words::AxisWord;
use crate::joint::{Axis, defaults};
use crate::units::told::{Name, Told};
use crate::units::Length;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Deserialize;

/// How deep into the panel a strip on its edge is felt, at most: judgement, some ten thicknesses.
const MOST_ENGAGED_MM: f64 = 200.0;

/// A strip of solid wood glued on a panel's edge.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EdgeBanding {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The panel.
    pub panel: Told<Name>,
    /// The strip, its grain along the glued edge.
    pub strip: Told<Name>,
    /// The axis of the panel along the glued edge: "length" for a long edge (grain with grain), "width" across an end.
    pub along: Told<AxisWord>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for EdgeBanding {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (panel, strip) = (site.part(&self.panel), site.part(&self.strip));
        let along = site.take(&self.along);
        let cut_on = site.take_optional(self.on.as_ref());
        let (panel, strip, axis) = (panel?, strip?, along?.0);
        let (facts, band) = (site.facts(panel), site.facts(strip));
        let name = site.name_or(self.name.as_ref(), format!("{} on the edge of {}", band.name, facts.name))?;
        let across = match axis {
            Axis::Length => facts.width,
            Axis::Width | Axis::Thickness => facts.length,
        };
        let run = facts.size(axis).min(band.length);
        Some(JointPlan {
            trial: "a strip glued on an off-cut and planed flush".into(),
            kind: "edge_banding",
            span: site.span(),
            cut_on: cut_on?,
            fits: Vec::new(),
            bonds: vec![BondPlan {
                name: name.clone(),
                moves: panel,
                moves_axis: axis,
                moves_thickness: Some(across.min(Length::computed_mm(MOST_ENGAGED_MM))),
                holds: strip,
                holds_axis: Axis::Length,
                width: run,
                band: facts.thickness,
                design: Design::Glued,
                screw: Length::computed_mm(defaults::SCREW_MM),
                from_fixed: run / 2.0,
            }],
            housings: Vec::new(),
            notes: Vec::new(),
            name,
        })
    }
}
