//! A screw in a slot: how long the slot is, and where in it the screw sits today.

use super::Recipe;
use super::travel::Travel;
use crate::joint::plan::{CutFace, Housing, JointPlan, Setting, Site};
use crate::joint::recipes::words::AxisWord;
use crate::joint::{Axis, defaults};
use crate::units::told::{Name, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Deserialize;

/// A screw through a slot in `part` into `onto`.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SlottedScrew {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The part with the slot, which moves.
    pub part: Told<Name>,
    /// The part the screw is driven into.
    pub onto: Told<Name>,
    /// The axis of `onto` along the slot: "length" unless told.
    pub onto_axis: Option<Told<AxisWord>>,
    /// From the point where `part` is held to the screw.
    pub from_fixed: Told<Length>,
    /// Diameter of the screw's shank.
    pub screw: Option<Told<Length>>,
    /// Least distance of the shank from the ends of the slot.
    pub margin: Option<Told<Length>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for SlottedScrew {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (part, onto) = (site.part(&self.part), site.part(&self.onto));
        let axis = site.take_optional(self.onto_axis.as_ref());
        let from_fixed = site.length(&self.from_fixed, Bounds::LENGTH);
        let screw = site.length_or(self.screw.as_ref(), Bounds::THICKNESS, defaults::SCREW_MM);
        let margin = site.length_or(self.margin.as_ref(), Bounds::DEPTH, defaults::SCREW_CLEARANCE_MM);
        let cut_on = site.take_optional(self.on.as_ref());
        let (part, onto, from_fixed, screw, margin) = (part?, onto?, from_fixed?.abs(), screw?, margin?);
        let facts = site.facts(part);
        if from_fixed > facts.width {
            site.problem(
                self.from_fixed.span(),
                format!("the screw is {:.0} mm from the fixed point but `{}` is {:.0} mm wide", from_fixed.mm(), facts.name, facts.width.mm()),
                "give the distance across the grain of the part that moves",
            );
            return None;
        }
        let name = site.name_or(
            self.name.as_ref(),
            format!("slot in {}, {:.0} mm from its fixed point", facts.name, from_fixed.mm()),
        )?;
        let travel = Travel {
            name: &name,
            slotted: (part, Axis::Width),
            carrier: (onto, axis?.map_or(Axis::Length, |word| word.0)),
            slot_moves: true,
            from_fixed,
            margin,
            cut: "slot",
            what: "screw",
        };
        Some(JointPlan {
            trial: "the screw with its washer slides along the slot under a hand-tight driver".into(),
            fits: travel.fits().into(),
            kind: "slotted_screw",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: vec![Housing {
                part,
                what: "slot",
                face: CutFace::Inside,
                from_reference: from_fixed,
                width: Setting::of_travel(0, screw),
                depth: Setting::Known(facts.thickness),
                along: Axis::Width,
                through: true,
                count: 1,
            }],
            notes: vec!["A washer covers the slot; drive the screw only as tight as lets it slide.".into()],
            name,
        })
    }
}
