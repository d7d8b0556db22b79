//! Cleat (batten): a board screwed across a wide one to keep it flat, fixed in the middle and slotted outward.

use super::Recipe;
use super::travel::Travel;
use crate::joint::plan::{BondPlan, CutFace, Design, Housing, JointPlan, Setting, Site};
use crate::joint::recipes::words::DesignWord;
use crate::joint::{Axis, defaults};
use crate::units::notation::Lengths;
use crate::units::told::{Name, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Deserialize;

/// A batten across a wide board.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cleat {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The wide board whose width moves.
    pub part: Told<Name>,
    /// The batten, its grain along the wide board's width.
    pub cleat: Told<Name>,
    /// Places of the screws along the batten, from the wide board's reference edge.
    pub screws: Told<Lengths>,
    /// The place that stays fixed; the middle of the wide board unless told.
    pub fixed: Option<Told<Length>>,
    /// Diameter of the screws.
    pub screw: Option<Told<Length>>,
    /// "float" unless told: "glue" is judged as a bond.
    pub design: Option<Told<DesignWord>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for Cleat {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (part, cleat) = (site.part(&self.part), site.part(&self.cleat));
        let places = site.take(&self.screws);
        let fixed = site.length_or_none(self.fixed.as_ref(), Bounds::LENGTH);
        let screw = site.length_or(self.screw.as_ref(), Bounds::THICKNESS, defaults::SCREW_MM);
        let design = site.take_optional(self.design.as_ref());
        let cut_on = site.take_optional(self.on.as_ref());
        let (part, cleat, places, screw) = (part?, cleat?, places?.0, screw?);
        let (wide, batten) = (site.facts(part), site.facts(cleat));
        let fixed = fixed?.unwrap_or(wide.width / 2.0);
        if let Some(outside) = places.iter().chain([&fixed]).find(|place| place.mm() < 0.0 || **place > wide.width) {
            site.problem(
                self.screws.span(),
                format!("{:.1} mm lies outside `{}`, which is {:.1} mm wide", outside.mm(), wide.name, wide.width.mm()),
                "give places from the reference edge of the wide board",
            );
            return None;
        }
        let name = site.name_or(self.name.as_ref(), format!("{} across {}", batten.name, wide.name))?;
        let design = match design? {
            None | Some(DesignWord::Float) => Design::Floating,
            Some(DesignWord::Glue) => Design::Glued,
            Some(DesignWord::Middle) => Design::GluedOver(Length::computed_mm(defaults::GLUED_SPOT_MM)),
        };
        let farthest = places.iter().map(|place| (*place - fixed).abs()).fold(Length::ZERO, Length::max);
        let (mut fits, mut housings, mut notes) = (Vec::new(), Vec::new(), Vec::new());
        for (index, place) in places.iter().enumerate() {
            let away = (*place - fixed).abs();
            if design != Design::Floating || away.mm() < 0.5 {
                notes.push(format!("The screw at {:.0} mm goes through a round hole.", place.mm()));
                continue;
            }
            let travel = Travel {
                name: &format!("{name}, screw {}", index + 1),
                carrier: (part, Axis::Width),
                slotted: (cleat, Axis::Length),
                slot_moves: false,
                from_fixed: away,
                margin: Length::computed_mm(defaults::SCREW_CLEARANCE_MM),
                cut: "slot",
                what: "screw",
            };
            housings.push(Housing {
                part: cleat,
                what: "slot",
                face: CutFace::Outside,
                from_reference: *place,
                width: Setting::of_travel(fits.len(), screw),
                depth: Setting::Known(batten.thickness),
                along: Axis::Length,
                through: true,
                count: 1,
            });
            fits.extend(travel.fits());
        }
        Some(JointPlan {
            trial: "each screw slides in its slot under a hand-tight driver".into(),
            kind: "cleat",
            span: site.span(),
            cut_on: cut_on?,
            fits,
            bonds: vec![BondPlan {
                name: name.clone(),
                moves: part,
                moves_axis: Axis::Width,
                moves_thickness: None,
                holds: cleat,
                holds_axis: Axis::Length,
                width: batten.length.min(wide.width),
                band: batten.width,
                design,
                screw,
                from_fixed: farthest,
            }],
            housings,
            notes,
            name,
        })
    }
}
