//! Floating tenons in a row: the one at the fixed end is tight, the others get room that grows with the distance.

use super::Recipe;
use super::travel::Travel;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::plan::{Behind, CutFace, Housing, JointPlan, Setting};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::{AxisWord, FaceWord};
use crate::joint::{Axis, PartId, defaults};
use crate::units::notation::{Lengths, shown, the};
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length, UnitSystem};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A row of loose tenons along a joint in which `piece` moves against `into`.
///
/// The mortises in `piece` are tight and the tenons glued into them; the room is in the mortises of `into`.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FloatingTenons {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The part that holds: its grain usually runs along the row.
    pub into: Names,
    /// The part whose width runs along the row.
    pub piece: Names,
    /// The axis of `into` along the row: "length" unless given.
    pub into_axis: Option<Spanned<AxisWord>>,
    /// Places of the tenons' middles, from the reference edge of `piece`: "20mm, 120mm, 220mm".
    pub at: Spanned<Lengths>,
    /// Where the joint is fixed, from the same edge; the first tenon unless given.
    pub fixed: Option<Spanned<Length>>,
    /// From the reference end of `into` to the reference edge of `piece`; 0 (flush) unless given.
    pub piece_at: Option<Spanned<Length>>,
    /// Width of one tenon along the row.
    pub tenon_width: Spanned<Length>,
    /// Depth of the mortises in `into`, and in `piece` unless given.
    pub depth: Spanned<Length>,
    /// Depth of the mortises in the end of `piece`.
    pub piece_depth: Option<Spanned<Length>>,
    /// The surface of `into` that is mortised: "inside" unless given.
    pub face: Option<Spanned<FaceWord>>,
    /// Minimum clearance at either side of a tenon that travels.
    pub margin: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for FloatingTenons {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part(), site.piece());
        let into_axis = site.take_optional(self.into_axis.as_ref());
        let at = site.take(&self.at);
        let fixed = site.length_or_none(self.fixed.as_ref(), Bounds::LENGTH);
        let into_axis = match site.row_axis() {
            Some(follows) if self.into_axis.is_none() => Some(Some(AxisWord(follows))),
            _ => into_axis,
        };
        let follows = into_axis
            .flatten()
            .and_then(|axis| site.from_reference(axis.0));
        let piece_at = site
            .length_of_or_none("piece_at", self.piece_at.as_ref(), Bounds::LENGTH, follows)
            .map(Option::unwrap_or_default);
        let tenon = site.length(&self.tenon_width, Bounds::WIDTH);
        let depth = site.length(&self.depth, Bounds::CUT_DEPTH);
        let piece_depth = site.length_or_none(self.piece_depth.as_ref(), Bounds::DEPTH);
        let face = site.face_or(self.face.as_ref(), CutFace::Inside);
        let margin = site.length_or(self.margin.as_ref(), Bounds::DEPTH, defaults::TENON_ROOM_MM);
        let cut_on = site.take_optional(self.on.as_ref());
        let (into, piece, at, tenon, depth, margin) =
            (into?, piece?, at?.0, tenon?, depth?, margin?);
        let (piece_at, piece_depth) = (piece_at?, piece_depth?.unwrap_or(depth));
        let into_axis = into_axis?.map_or(Axis::Length, |word| word.0);
        let face = face?;
        let (holder, mover) = (site.facts(into), site.facts(piece));
        if into_axis == face.square() {
            let given = self
                .into_axis
                .as_ref()
                .map_or_else(|| site.span(), Spanned::span);
            site.problem(
                given,
                format!(
                    "a row on the {} of `{}` does not run along its {}",
                    face.word(),
                    holder.name,
                    into_axis.word()
                ),
                "write an axis that lies in the mortised surface, usually \"length\"",
            );
            return None;
        }
        // A list of lengths holds one at least.
        let first = *at.first()?;
        let fixed = fixed?.unwrap_or(first);
        let fixed_span = self
            .fixed
            .as_ref()
            .map_or_else(|| self.at.span(), Spanned::span);
        site.inside(
            self.at.span(),
            "a tenon",
            at.iter().copied(),
            piece,
            Axis::Width,
        )?;
        site.inside(fixed_span, "the fixed point", [fixed], piece, Axis::Width)?;
        site.inside(
            self.at.span(),
            "a tenon",
            at.iter().map(|place| *place + piece_at),
            into,
            into_axis,
        )?;
        site.leaves_wood(Some(&self.depth), depth, "mortise", into, face)?;
        let name = site.name_or(
            self.name.as_ref(),
            format!("floating tenons of {} in {}", mover.name, holder.name),
        )?;
        let (mut fits, mut housings, mut notes) = (Vec::new(), Vec::new(), Vec::new());
        let tight =
            |part: PartId, place: Length, face: CutFace, along: Axis, depth: Length| Housing {
                part,
                what: "mortise, tight",
                face,
                from_reference: Setting::Known(place - tenon / 2.0),
                width: Setting::Known(tenon),
                depth: Setting::Known(depth),
                along,
                behind: if face == CutFace::End {
                    Behind::Nothing
                } else {
                    Behind::Bottom
                },
                takes: None,
                count: 1,
            };
        for (index, place) in at.iter().enumerate() {
            let number = index + 1;
            let travel = Travel {
                name: &format!("{name}, tenon {number}"),
                carrier: (piece, Axis::Width),
                slotted: (into, into_axis),
                slot_moves: false,
                at: *place + piece_at,
                fixed: fixed + piece_at,
                fastening: tenon,
                margin,
                cut: "mortise",
                what: "tenon",
            };
            if travel.is_fixed() {
                notes.push(format!(
                    "Tenon {number} at {} sits at the fixed point: cut its mortises tight and glue it on both sides.",
                    shown(*place, UnitSystem::Metric)
                ));
                housings.push(tight(into, *place + piece_at, face, into_axis, depth));
            } else {
                notes.push(format!(
                    "Tenon {number} at {} gets room in {}: glue it into {} only.",
                    shown(*place, UnitSystem::Metric),
                    the(&holder.name),
                    the(&mover.name)
                ));
                housings.push(travel.slot(fits.len(), "mortise, with room", face, depth));
                fits.extend(travel.fits());
            }
            housings.push(tight(piece, *place, CutFace::End, Axis::Width, piece_depth));
        }
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: vec![("loose tenons".into(), u32::try_from(at.len()).unwrap_or(0))],
            drawing: Drawing::new(
                Scheme::Travel {
                    places: at,
                    fixed,
                    width: mover.width,
                },
                into,
                piece,
                Hold::Spot,
            ),
            trial: "a tenon slides in a trial mortise by the room given, and no more".into(),
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
