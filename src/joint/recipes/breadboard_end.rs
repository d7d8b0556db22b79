//! Breadboard end: a narrow board across the end of a wide top, fixed in the middle, pinned through slots toward the edges.

use super::Recipe;
use super::travel::Travel;
use crate::joint::fit::{Aim, Fit, FitWords, Greatest, Term, When};
use crate::joint::plan::{BondPlan, CutFace, Design, Housing, JointPlan, Setting, Site};
use crate::joint::{Axis, defaults};
use crate::units::notation::Lengths;
use crate::units::told::{Name, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Deserialize;

/// A narrow board across the end of a wide top.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BreadboardEnd {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The wide top whose width moves.
    pub top: Told<Name>,
    /// The end, its grain along the top's width.
    pub end: Told<Name>,
    /// Places of the pins, from the top's reference edge.
    pub pins: Told<Lengths>,
    /// The pin that stays fixed; the middle of the top unless told.
    pub fixed: Option<Told<Length>>,
    /// Diameter of the pins.
    pub pin: Option<Told<Length>>,
    /// Length glued at the fixed point.
    pub glued: Option<Told<Length>>,
    /// Depth of the groove in the end.
    pub depth: Told<Length>,
    /// Greatest step between the top's edge and the end, at either side.
    pub flush: Option<Told<Length>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for BreadboardEnd {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (top, end) = (site.part(&self.top), site.part(&self.end));
        let pins = site.take(&self.pins);
        let fixed = site.length_or_none(self.fixed.as_ref(), Bounds::LENGTH);
        let pin = site.length_or(self.pin.as_ref(), Bounds::THICKNESS, 6.0);
        let glued = site.length_or(self.glued.as_ref(), Bounds::LENGTH, defaults::GLUED_SPOT_MM);
        let depth = site.length(&self.depth, Bounds::DEPTH);
        let flush = site.length_or(self.flush.as_ref(), Bounds::DEPTH, defaults::FLUSH_MM);
        let cut_on = site.take_optional(self.on.as_ref());
        let (top, end, pins, pin, glued, depth, flush) = (top?, end?, pins?.0, pin?, glued?, depth?, flush?);
        let (wide, narrow) = (site.facts(top), site.facts(end));
        let fixed = fixed?.unwrap_or(wide.width / 2.0);
        if let Some(outside) = pins.iter().chain([&fixed]).find(|place| place.mm() < 0.0 || **place > wide.width) {
            site.problem(
                self.pins.span(),
                format!("{:.1} mm lies outside `{}`, which is {:.1} mm wide", outside.mm(), wide.name, wide.width.mm()),
                "give places from the reference edge of the top",
            );
            return None;
        }
        let name = site.name_or(self.name.as_ref(), format!("{} on {}", narrow.name, wide.name))?;
        let mut fits = vec![Fit {
            name: format!("{name}, step at each edge"),
            host: vec![Term::cut(end, Axis::Length)],
            guest: vec![Term::known(top, Axis::Width, wide.width)],
            share: 0.5,
            least: -flush,
            greatest: Greatest::Gap(flush),
            given: Some(narrow.length),
            aim: Aim::Middle,
            when: When::Always,
            words: FitWords {
                cut: "end",
                dimension: "long",
                gap: "step by which the end stands out beyond the top's edge".into(),
                too_tight: format!("{} stands out beyond its end", wide.name),
                too_loose: format!("the end stands out beyond {}", wide.name),
            },
        }];
        let mut housings = Vec::new();
        for (index, place) in pins.iter().enumerate() {
            let away = (*place - fixed).abs();
            if away.mm() < 0.5 {
                continue;
            }
            let travel = Travel {
                name: &format!("{name}, pin {}", index + 1),
                slotted: (top, Axis::Width),
                carrier: (end, Axis::Length),
                slot_moves: true,
                from_fixed: away,
                margin: Length::computed_mm(defaults::SCREW_CLEARANCE_MM),
                cut: "slot",
                what: "pin",
            };
            housings.push(Housing {
                part: top,
                what: "slot in the tenon",
                face: CutFace::End,
                from_reference: *place,
                width: Setting::of_travel(fits.len(), pin),
                depth: Setting::Known(depth),
                along: Axis::Width,
                through: false,
                count: 1,
            });
            fits.extend(travel.fits());
        }
        housings.push(Housing {
            part: end,
            what: "groove",
            face: CutFace::Edge,
            from_reference: narrow.thickness / 3.0,
            width: Setting::Known(wide.thickness / 3.0),
            depth: Setting::Known(depth),
            along: Axis::Thickness,
            through: false,
            count: 1,
        });
        let half = wide.width / 2.0;
        Some(JointPlan {
            trial: "the end slides on the dry tenon with a hand push".into(),
            kind: "breadboard_end",
            span: site.span(),
            cut_on: cut_on?,
            fits,
            bonds: vec![BondPlan {
                name: name.clone(),
                moves: top,
                moves_axis: Axis::Width,
                moves_thickness: None,
                holds: end,
                holds_axis: Axis::Length,
                width: wide.width,
                band: depth,
                design: Design::GluedOver(glued.min(wide.width)),
                screw: pin,
                from_fixed: fixed.max(wide.width - fixed).max(half),
            }],
            housings,
            notes: vec!["Glue at the fixed pin only.".into()],
            name,
        })
    }
}
