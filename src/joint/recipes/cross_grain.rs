//! Two boards fixed on each other with their grain crossing: glue, glue the middle, or let it float.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::plan::{BondPlan, BondSide, Design, JointPlan, Loosened};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::DesignWord;
use crate::joint::{Axis, defaults};
use crate::units::notation::Flag;
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// Two boards fixed on each other with their grain crossing.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CrossGrain {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The part whose width runs along the joint and moves.
    pub piece: Names,
    /// The part whose grain runs along the joint and holds.
    pub into: Names,
    /// Length of the joint; the width of `piece` unless given.
    pub width: Option<Spanned<Length>>,
    /// How far the joint reaches along the grain of `piece`; the width of `into` unless given.
    pub band: Option<Spanned<Length>>,
    /// What is meant to be done: "glue", "glue the middle" or "float"; left out, the program says.
    pub design: Option<Spanned<DesignWord>>,
    /// Whether something else holds the pair flat where it is glued, such as the case under a top; false unless given.
    pub held_flat: Option<Spanned<Flag>>,
    /// How much of the middle is glued, with "glue the middle".
    pub glue_over: Option<Spanned<Length>>,
    /// Diameter of the screws.
    pub screw: Option<Spanned<Length>>,
    /// From the fixed point to the farthest screw; half the joint unless given (fixed in the middle).
    pub from_fixed: Option<Spanned<Length>>,
    /// The day it is made.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for CrossGrain {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (part, onto) = (site.piece(), site.into_part());
        let width = site.length_or_none(self.width.as_ref(), Bounds::WIDTH);
        let band = site.length_or_none(self.band.as_ref(), Bounds::BOARD_LENGTH);
        let design = site.take_optional(self.design.as_ref());
        let glue_over = site.length_or_none(self.glue_over.as_ref(), Bounds::WIDTH);
        let screw = site.length_or(self.screw.as_ref(), Bounds::THICKNESS, defaults::SCREW_MM);
        let from_fixed = site.length_or_none(self.from_fixed.as_ref(), Bounds::WIDTH);
        let held_flat = site.take_optional(self.held_flat.as_ref());
        let cut_on = site.take_optional(self.on.as_ref());
        let (part, onto, width, glue_over) = (part?, onto?, width?, glue_over?);
        let (facts, holder) = (site.facts(part), site.facts(onto));
        let met = site.met();
        let width = width
            .or_else(|| site.shared(Axis::Length).filter(|_| met.is_some()))
            .unwrap_or(facts.width);
        if width > facts.width {
            site.problem_here(
                format!(
                    "the joint is {:.0} mm long but `{}` is {:.0} mm wide",
                    width.mm(),
                    facts.name,
                    facts.width.mm()
                ),
                "give a `width` within the part's own width",
            );
            return None;
        }
        if width > holder.length {
            site.problem(
                self.into.span(),
                format!(
                    "the joint is {:.0} mm long but `{}` is {:.0} mm long",
                    width.mm(),
                    holder.name,
                    holder.length.mm()
                ),
                "give the `width` over which the two really meet",
            );
            return None;
        }
        let from_fixed = from_fixed?.unwrap_or(width / 2.0);
        if from_fixed > width {
            site.problem(
                self.from_fixed
                    .as_ref()
                    .map_or_else(|| site.span(), Spanned::span),
                format!(
                    "a screw {:.0} mm from the fixed point lies outside a joint {:.0} mm long",
                    from_fixed.mm(),
                    width.mm()
                ),
                "give a distance within the joint",
            );
            return None;
        }
        let design = match (design?, glue_over) {
            (None, None) => Design::Asked,
            (Some(DesignWord::Glue), None) => Design::Glued,
            (Some(DesignWord::Float), None) => Design::Floating,
            (Some(DesignWord::Middle) | None, Some(over)) if over <= width => {
                Design::GluedOver(over)
            }
            (Some(DesignWord::Middle), None) => {
                site.problem_here(
                    "how much of the middle is glued is not given",
                    "give `glue_over`",
                );
                return None;
            }
            (_, Some(_)) => {
                site.problem_here(
                    "`glue_over` goes with design = \"glue the middle\" and is no longer than the joint",
                    "leave it out, or make it shorter than the joint",
                );
                return None;
            }
        };
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} across {}", holder.name, facts.name),
        )?;
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(
                Scheme::Crossing,
                onto,
                part,
                match design {
                    Design::Floating => Hold::Dry,
                    Design::GluedOver(_) => Hold::Spot,
                    Design::Asked | Design::Glued => Hold::Glue,
                },
            ),
            trial: "two off-cuts glued the same way and left a week beside the heater".into(),
            kind: "cross_grain",
            span: site.span(),
            cut_on: cut_on?,
            fits: Vec::new(),
            bonds: vec![BondPlan {
                name: name.clone(),
                moves: BondSide::on_face(part, Axis::Width, facts),
                holds: BondSide::on_face(onto, Axis::Length, holder),
                both_faces: false,
                held_flat: held_flat?.is_some_and(|answer| answer.0),
                width,
                band: band?.unwrap_or(holder.width),
                design,
                screw: screw?,
                from_fixed,
                loosened: Loosened::Slots,
            }],
            housings: Vec::new(),
            notes: Vec::new(),
            name,
        })
    }
}
