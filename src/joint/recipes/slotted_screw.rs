//! A screw in a slot: how long the slot is, and where in it the screw sits today.

use super::Recipe;
use super::travel::Travel;
use crate::joint::drawing::{Drawing, Hold, Scheme};
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

/// A screw through a slot in `part` into `onto`, across the grain of `part`.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
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
    /// From the point where `part` is held to the screw, positive away from the reference edge.
    pub from_fixed: Told<Length>,
    /// Where `part` is held, from its reference edge; held at that edge unless told.
    pub fixed: Option<Told<Length>>,
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
        let fixed = site.length_or(self.fixed.as_ref(), Bounds::LENGTH, 0.0);
        let screw = site.length_or(self.screw.as_ref(), Bounds::THICKNESS, defaults::SCREW_MM);
        let margin = site.length_or(
            self.margin.as_ref(),
            Bounds::DEPTH,
            defaults::SCREW_CLEARANCE_MM,
        );
        let cut_on = site.take_optional(self.on.as_ref());
        let (part, onto, from_fixed, fixed) = (part?, onto?, from_fixed?, fixed?);
        let (screw, margin) = (screw?, margin?);
        let facts = site.facts(part);
        let fixed_span = self
            .fixed
            .as_ref()
            .map_or_else(|| self.from_fixed.span(), Told::span);
        site.inside(fixed_span, "the fixed point", [fixed], part, Axis::Width)?;
        site.inside(
            self.from_fixed.span(),
            "the screw",
            [fixed + from_fixed],
            part,
            Axis::Width,
        )?;
        let name = site.name_or(
            self.name.as_ref(),
            format!(
                "slot in {}, {:.0} mm from its fixed point",
                facts.name,
                from_fixed.abs().mm()
            ),
        )?;
        let travel = Travel {
            name: &name,
            slotted: (part, Axis::Width),
            carrier: (onto, axis?.map_or(Axis::Length, |word| word.0)),
            slot_moves: true,
            at: fixed + from_fixed,
            fixed,
            fastening: screw,
            margin,
            cut: "slot",
            what: "screw",
        };
        Some(JointPlan {
            drawing: Drawing::new(
                Scheme::Travel {
                    places: vec![fixed, fixed + from_fixed],
                    fixed,
                    width: facts.width,
                },
                onto,
                part,
                Hold::Spot,
            ),
            trial: "the screw with its washer slides along the slot under a hand-tight driver"
                .into(),
            fits: travel.fits().into(),
            kind: "slotted_screw",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: vec![travel.through(0, facts.thickness)],
            notes: vec![
                "A washer covers the slot; drive the screw only as tight as lets it slide.".into(),
            ],
            name,
        })
    }
}
