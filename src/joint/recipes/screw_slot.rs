//! A screw in a slot: how long the slot is, and where in it the screw sits today.

use super::Recipe;
use super::travel::Travel;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::plan::JointPlan;
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::AxisWord;
use crate::joint::{Axis, defaults};
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A screw through a slot in `piece` into `into`, across the grain of `piece`.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ScrewSlot {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The part with the slot, which moves.
    pub piece: Names,
    /// The part the screw is driven into.
    pub into: Names,
    /// The axis of `into` along the slot: "length" unless given.
    pub into_axis: Option<Spanned<AxisWord>>,
    /// From the point where `piece` is held to the screw, positive away from the reference edge.
    pub from_fixed: Spanned<Length>,
    /// Where `piece` is held, from its reference edge; held at that edge unless given.
    pub fixed: Option<Spanned<Length>>,
    /// Diameter of the screw's shank.
    pub screw: Option<Spanned<Length>>,
    /// Minimum distance of the shank from the ends of the slot.
    pub margin: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for ScrewSlot {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (part, onto) = (site.piece(), site.into_part());
        let axis = site.take_optional(self.into_axis.as_ref());
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
            .map_or_else(|| self.from_fixed.span(), Spanned::span);
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
            bodies: site.bodies(),
            hardware: vec![("screw".into(), 1)],
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
            kind: "screw_slot",
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
