//! Cleat (batten): a board screwed across a wide one to keep it flat, fixed in the middle and slotted outward.

use super::Recipe;
use super::travel::Travel;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::plan::{BondPlan, BondSide, Design, Housing, JointPlan, Loosened, Setting};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::DesignWord;
use crate::joint::{Axis, defaults};
use crate::units::notation::{Flag, Lengths, shown};
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length, UnitSystem};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A batten across a wide board, its grain along the wide board's width.
///
/// Screws through the batten's slots sit fast in the wide board, which carries them in and out.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Cleat {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The wide board whose width moves.
    pub into: Names,
    /// The batten, its grain along the wide board's width.
    pub piece: Names,
    /// Places of the screws along the batten, from the wide board's reference edge.
    pub screws: Spanned<Lengths>,
    /// From the wide board's reference edge to the batten's near end; centred unless given.
    pub cleat_at: Option<Spanned<Length>>,
    /// The place that stays fixed; the middle of the wide board unless given.
    pub fixed: Option<Spanned<Length>>,
    /// Diameter of the screws.
    pub screw: Option<Spanned<Length>>,
    /// "float" unless given: "glue" and "glue the middle" are judged as a bond.
    pub design: Option<Spanned<DesignWord>>,
    /// Whether something else holds the pair flat where it is glued, such as the case under a top; false unless given.
    pub held_flat: Option<Spanned<Flag>>,
    /// How much is glued about the fixed point, with "glue the middle"; 60 mm unless given.
    pub glue_over: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Cleat {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (part, cleat) = (site.into_part(), site.piece());
        let places = site.take(&self.screws);
        let follows = site
            .met()
            .map(|_| site.from_reference(Axis::Width))
            .unwrap_or_default();
        let cleat_at =
            site.length_of_or_none("cleat_at", self.cleat_at.as_ref(), Bounds::LENGTH, follows);
        let fixed = site.length_or_none(self.fixed.as_ref(), Bounds::LENGTH);
        let screw = site.length_or(self.screw.as_ref(), Bounds::THICKNESS, defaults::SCREW_MM);
        let design = site.take_optional(self.design.as_ref());
        let glue_over = site.length_or_none(self.glue_over.as_ref(), Bounds::WIDTH);
        let held_flat = site.take_optional(self.held_flat.as_ref());
        let cut_on = site.take_optional(self.on.as_ref());
        let (part, cleat, places, screw) = (part?, cleat?, places?.0, screw?);
        let (cleat_at, glue_over) = (cleat_at?, glue_over?);
        let (wide, batten) = (site.facts(part), site.facts(cleat));
        if batten.length > wide.width {
            site.problem(
                self.piece.span(),
                format!(
                    "`{}` is {:.1} mm long but `{}` is {:.1} mm wide: it stands out beyond the edges",
                    batten.name,
                    batten.length.mm(),
                    wide.name,
                    wide.width.mm()
                ),
                "make the batten shorter than the board is wide, or use [[joints.breadboard_end]]",
            );
            return None;
        }
        let cleat_at = cleat_at.unwrap_or((wide.width - batten.length) / 2.0);
        let fixed = fixed?.unwrap_or(wide.width / 2.0);
        let fixed_span = self
            .fixed
            .as_ref()
            .map_or_else(|| self.screws.span(), Spanned::span);
        site.inside(
            self.screws.span(),
            "a screw",
            places.iter().copied(),
            part,
            Axis::Width,
        )?;
        site.inside(fixed_span, "the fixed point", [fixed], part, Axis::Width)?;
        site.inside(
            self.screws.span(),
            "counted along the batten, a screw",
            places.iter().map(|place| *place - cleat_at),
            cleat,
            Axis::Length,
        )?;
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} across {}", batten.name, wide.name),
        )?;
        let run = batten.length;
        let design = match design? {
            None | Some(DesignWord::Float) => Design::Floating,
            Some(DesignWord::Glue) => Design::Glued,
            Some(DesignWord::Middle) => Design::GluedOver(
                glue_over
                    .unwrap_or(Length::from_mm_unchecked(defaults::GLUED_SPOT_MM))
                    .min(run),
            ),
        };
        // Where the batten is glued the screws cannot travel.
        let held_within = match design {
            Design::Floating | Design::Asked => Length::ZERO,
            Design::Glued => wide.width,
            Design::GluedOver(length) => length / 2.0,
        };
        let (mut fits, mut housings, mut notes) = (Vec::new(), Vec::new(), Vec::new());
        let mut farthest = Length::ZERO;
        for (index, place) in places.iter().enumerate() {
            let travel = Travel {
                name: &format!("{name}, screw {}", index + 1),
                carrier: (part, Axis::Width),
                slotted: (cleat, Axis::Length),
                slot_moves: false,
                at: *place - cleat_at,
                fixed: fixed - cleat_at,
                fastening: screw,
                margin: Length::from_mm_unchecked(defaults::SCREW_CLEARANCE_MM),
                cut: "slot",
                what: "screw",
            };
            let away = (*place - fixed).abs();
            if travel.is_fixed() || away < held_within {
                notes.push(format!(
                    "The screw at {} goes through a round hole.",
                    shown(*place, UnitSystem::Metric)
                ));
                housings.push(Housing {
                    what: "round hole",
                    from_reference: Setting::Known(*place - cleat_at - screw / 2.0),
                    width: Setting::Known(screw),
                    ..travel.through(0, batten.thickness)
                });
                continue;
            }
            farthest = farthest.max(away);
            housings.push(travel.through(fits.len(), batten.thickness));
            fits.extend(travel.fits());
        }
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: vec![(
                "screws with washers".into(),
                u32::try_from(places.len()).unwrap_or(0),
            )],
            drawing: Drawing::new(
                Scheme::Travel {
                    places,
                    fixed,
                    width: wide.width,
                },
                cleat,
                part,
                if design == Design::Glued {
                    Hold::Glue
                } else {
                    Hold::Spot
                },
            ),
            trial: "each screw slides in its slot under a hand-tight driver".into(),
            kind: "cleat",
            span: site.span(),
            cut_on: cut_on?,
            fits,
            bonds: vec![BondPlan {
                name: name.clone(),
                moves: BondSide::on_face(part, Axis::Width, wide),
                holds: BondSide::on_face(cleat, Axis::Length, batten),
                both_faces: false,
                held_flat: held_flat?.is_some_and(|answer| answer.0),
                width: run,
                band: batten.width,
                design,
                screw,
                from_fixed: if farthest.mm() > 0.0 {
                    farthest
                } else {
                    run / 2.0
                },
                loosened: Loosened::Slots,
            }],
            housings,
            notes,
            name,
        })
    }
}
