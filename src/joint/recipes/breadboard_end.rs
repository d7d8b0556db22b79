//! Breadboard end: a narrow board across the end of a wide top, fixed in the middle, pinned through slots toward the edges.

use super::Recipe;
use super::travel::Travel;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::plan::{
    Behind, BondPlan, BondSide, CutFace, Design, Housing, JointPlan, Loosened, Setting,
};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::{Axis, defaults};
use crate::units::notation::{Lengths, shown, the};
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length, UnitSystem};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A narrow board across the end of a wide top, its grain along the top's width.
///
/// The end keeps its length while the top's edges move in and out from the fixed pin: once or twice a year
/// they are flush. The pins sit fast in the end and in slots of the top's tenon.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BreadboardEnd {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The wide top whose width moves.
    pub piece: Names,
    /// The end, its grain along the top's width.
    pub into: Names,
    /// Places of the pins, from the top's reference edge.
    pub pins: Spanned<Lengths>,
    /// The pin that stays fixed; the middle of the top unless given.
    pub fixed: Option<Spanned<Length>>,
    /// Diameter of the pins.
    pub pin: Option<Spanned<Length>>,
    /// Length glued at the fixed point.
    pub glued: Option<Spanned<Length>>,
    /// Depth of the groove in the end, and length of the tenon.
    pub depth: Option<Spanned<Length>>,
    /// Thickness of the tenon; a third of the top unless given.
    pub tenon: Option<Spanned<Length>>,
    /// Length the end is cut to, to be judged; left out, the program says. It stands out alike at both edges of the top, or
    /// in proportion to their distances from the fixed pin.
    pub length: Option<Spanned<Length>>,
    /// Maximum step between the top's edge and the end, at either side.
    pub flush: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for BreadboardEnd {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (top, end) = (site.piece(), site.into_part());
        let pins = site.take(&self.pins);
        let fixed = site.length_or_none(self.fixed.as_ref(), Bounds::LENGTH);
        let pin = site.length_or(self.pin.as_ref(), Bounds::THICKNESS, defaults::PIN_MM);
        let glued = site.length_or(self.glued.as_ref(), Bounds::LENGTH, defaults::GLUED_SPOT_MM);
        let depth = site.length_of(
            "depth",
            self.depth.as_ref(),
            Bounds::CUT_DEPTH,
            site.reach(),
        );
        let tenon = site.length_or_none(self.tenon.as_ref(), Bounds::THICKNESS);
        let length = site.length_or_none(self.length.as_ref(), Bounds::BOARD_LENGTH);
        let flush = site.length_or(self.flush.as_ref(), Bounds::DEPTH, defaults::FLUSH_MM);
        let cut_on = site.take_optional(self.on.as_ref());
        let (top, end, pins, pin, glued, depth, flush) =
            (top?, end?, pins?.0, pin?, glued?, depth?, flush?);
        let (wide, narrow) = (site.facts(top), site.facts(end));
        let tenon = tenon?.unwrap_or(wide.thickness / 3.0);
        let fixed = fixed?.unwrap_or(wide.width / 2.0);
        let fixed_span = self
            .fixed
            .as_ref()
            .map_or_else(|| self.pins.span(), Spanned::span);
        site.inside(
            self.pins.span(),
            "a pin",
            pins.iter().copied(),
            top,
            Axis::Width,
        )?;
        site.inside(fixed_span, "the fixed pin", [fixed], top, Axis::Width)?;
        site.leaves_wood(self.depth.as_ref(), depth, "groove", end, CutFace::Edge)?;
        site.ordered(-flush, flush)?;
        if tenon >= narrow.thickness || tenon > wide.thickness {
            site.problem(
                self.tenon
                    .as_ref()
                    .map_or_else(|| self.into.span(), Spanned::span),
                format!(
                    "a tenon {:.1} mm thick has no place in `{}`, {:.1} mm thick",
                    tenon.mm(),
                    narrow.name,
                    narrow.thickness.mm()
                ),
                "give a thinner `tenon`; a third of the end is usual",
            );
            return None;
        }
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} on {}", narrow.name, wide.name),
        )?;
        // The end is cut to one length and lies about the fixed pin as the top does today, so that each side is
        // judged by its share of the end.
        let far = fixed.max(wide.width - fixed);
        let share = far / wide.width;
        let mut fits = vec![Fit {
            name: format!("{name}, step at the edge"),
            opening: vec![Term::cut(end, Axis::Length)],
            part: vec![Term::known(top, Axis::Width, wide.width)],
            share,
            min: -flush,
            max: MaxGap::Gap(flush),
            given: length?,
            aim: Aim::Middle,
            when: When::Always,
            words: FitWords {
                cut: "end",
                dimension: "long",
                gap: "step by which the end stands out beyond the top's edge".into(),
                too_tight: format!("{} stands out beyond its end", the(&wide.name)),
                too_loose: format!("the end stands out beyond {}", the(&wide.name)),
            },
        }];
        let mut housings = Vec::new();
        let mut farthest = Length::ZERO;
        let mut notes = vec![format!(
            "Glue {} at the fixed pin only.",
            shown(glued.min(wide.width), UnitSystem::Metric)
        )];
        for (index, place) in pins.iter().enumerate() {
            let travel = Travel {
                name: &format!("{name}, pin {}", index + 1),
                slotted: (top, Axis::Width),
                carrier: (end, Axis::Length),
                slot_moves: true,
                at: *place,
                fixed,
                fastening: pin,
                margin: Length::from_mm_unchecked(defaults::SCREW_CLEARANCE_MM),
                cut: "slot",
                what: "pin",
            };
            if travel.is_fixed() {
                notes.push(format!(
                    "Pin {} at {} goes through a round hole.",
                    index + 1,
                    shown(*place, UnitSystem::Metric)
                ));
                continue;
            }
            farthest = farthest.max((*place - fixed).abs());
            housings.push(Housing {
                behind: Behind::Nothing,
                ..travel.slot(fits.len(), "slot in the tenon", CutFace::Inside, tenon)
            });
            fits.extend(travel.fits());
        }
        housings.push(Housing {
            part: end,
            what: "groove",
            face: CutFace::Edge,
            from_reference: Setting::Known((narrow.thickness - tenon) / 2.0),
            width: Setting::Known(tenon),
            depth: Setting::Known(depth),
            along: Axis::Thickness,
            behind: Behind::Bottom,
            takes: Some(top),
            count: 1,
        });
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: vec![("pins".into(), u32::try_from(pins.len()).unwrap_or(0))],
            drawing: Drawing::new(
                Scheme::Travel {
                    places: pins,
                    fixed,
                    width: wide.width,
                },
                end,
                top,
                Hold::Spot,
            ),
            trial: "the end slides on the dry tenon with a hand push".into(),
            kind: "breadboard_end",
            span: site.span(),
            cut_on: cut_on?,
            fits,
            bonds: vec![BondPlan {
                name: name.clone(),
                moves: BondSide::on_rim(top, Axis::Width, Axis::Length, wide, wide.width),
                holds: BondSide {
                    part: end,
                    axis: Axis::Length,
                    square: Axis::Width,
                    extent: narrow.width,
                },
                both_faces: false,
                held_flat: false,
                width: wide.width,
                band: wide.thickness,
                design: Design::GluedOver(glued.min(wide.width)),
                screw: pin,
                from_fixed: if farthest.mm() > 0.0 { farthest } else { far },
                loosened: Loosened::Slots,
            }],
            housings,
            notes,
            name,
        })
    }
}
