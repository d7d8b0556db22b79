//! Floating tenons in a row: the one at the fixed end is tight, the others get room that grows with the distance.

use super::Recipe;
use super::travel::Travel;
use crate::joint::plan::{CutFace, Housing, JointPlan, Setting, Site};
use crate::joint::recipes::words::{AxisWord, FaceWord};
use crate::joint::{Axis, defaults};
use crate::units::notation::Lengths;
use crate::units::told::{Name, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Deserialize;

/// A row of loose tenons along a joint in which `piece` moves against `into`.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FloatingTenons {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The part that holds: its grain usually runs along the row.
    pub into: Told<Name>,
    /// The part whose width runs along the row.
    pub piece: Told<Name>,
    /// The axis of `into` along the row: "length" unless told.
    pub into_axis: Option<Told<AxisWord>>,
    /// Places of the tenons' middles, from the reference edge of `piece`: "20mm, 120mm, 220mm".
    pub at: Told<Lengths>,
    /// Where the joint is fixed, from the same edge; the first tenon unless told.
    pub fixed: Option<Told<Length>>,
    /// Width of one tenon along the row.
    pub tenon_width: Told<Length>,
    /// Depth of the mortises in `into`.
    pub depth: Told<Length>,
    /// The surface of `into` that is mortised: "inside" unless told.
    pub face: Option<Told<FaceWord>>,
    /// Least room at either side of a tenon that travels.
    pub margin: Option<Told<Length>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for FloatingTenons {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.part(&self.into), site.part(&self.piece));
        let into_axis = site.take_optional(self.into_axis.as_ref());
        let at = site.take(&self.at);
        let fixed = site.length_or_none(self.fixed.as_ref(), Bounds::LENGTH);
        let tenon = site.length(&self.tenon_width, Bounds::WIDTH);
        let depth = site.length(&self.depth, Bounds::DEPTH);
        let face = site.take_optional(self.face.as_ref());
        let margin = site.length_or(self.margin.as_ref(), Bounds::DEPTH, defaults::TENON_ROOM_MM);
        let cut_on = site.take_optional(self.on.as_ref());
        let (into, piece, at, tenon, depth, margin) = (into?, piece?, at?.0, tenon?, depth?, margin?);
        let into_axis = into_axis?.map_or(Axis::Length, |word| word.0);
        let face = face?.map_or(CutFace::Inside, |word| word.0);
        let (holder, mover) = (site.facts(into), site.facts(piece));
        let Some(first) = at.first().copied() else {
            site.problem(self.at.span(), "no place of a tenon is told", "write the places, such as \"20mm, 120mm\"");
            return None;
        };
        let fixed = fixed?.unwrap_or(first);
        let inside = |place: Length| place.mm() >= 0.0 && place <= mover.width;
        if let Some(outside) = at.iter().chain([&fixed]).find(|place| !inside(**place)) {
            site.problem(
                self.at.span(),
                format!("{:.1} mm lies outside `{}`, which is {:.1} mm wide", outside.mm(), mover.name, mover.width.mm()),
                "give places and the fixed point from the reference edge of the part that moves",
            );
            return None;
        }
        let name = site.name_or(self.name.as_ref(), format!("floating tenons of {} in {}", mover.name, holder.name))?;
        let (mut fits, mut housings, mut notes) = (Vec::new(), Vec::new(), Vec::new());
        for (index, place) in at.iter().enumerate() {
            let away = (*place - fixed).abs();
            let number = index + 1;
            let mortise = |width| Housing {
                part: into,
                what: "mortise",
                face,
                from_reference: *place - tenon / 2.0,
                width,
                depth: Setting::Known(depth),
                along: into_axis,
                through: false,
                count: 1,
            };
            if away.mm() < 0.5 {
                notes.push(format!("Tenon {number} at {:.0} mm sits at the fixed point: cut its mortise tight and glue it.", place.mm()));
                housings.push(mortise(Setting::Known(tenon)));
                continue;
            }
            let travel = Travel {
                name: &format!("{name}, tenon {number}"),
                carrier: (piece, Axis::Width),
                slotted: (into, into_axis),
                slot_moves: false,
                from_fixed: away,
                margin,
                cut: "mortise",
                what: "tenon",
            };
            housings.push(mortise(Setting::of_travel(fits.len(), tenon)));
            fits.extend(travel.fits());
        }
        notes.push("Glue the tenons with room into the moving part only.".into());
        Some(JointPlan {
            trial: "a tenon slides in a trial mortise by the room told, and no more".into(),
            name,
            kind: "floating_tenons",
            span: site.span(),
            cut_on: cut_on?,
            fits,
            bonds: Vec::new(),
            housings,
            notes,
        })
    }
}
