//! A solid panel in the grooves of a frame: it floats, and must neither bottom out nor slip free.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Size, Term, When};
use crate::joint::joined::{longest, sum};
use crate::joint::plan::{
    Behind, BondPlan, BondSide, CutFace, Design, Housing, JointPlan, Loosened, Setting,
};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::{CutWord, HeldWord};
use crate::joint::{Axis, PartId, defaults};
use crate::units::notation::{shown, the};
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length, UnitSystem};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A solid panel floating in the grooves of a frame.
///
/// Held at its centre, both edges share the movement. Held at one edge, that edge stands at the bottom of its
/// groove and the other shows all of it.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FrameAndPanel {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The panel; its width runs across the opening.
    pub piece: Names,
    /// The part with the groove on either side, such as a stile.
    pub into: Names,
    /// The part whose length sets the opening, such as a rail; the frame part unless given.
    pub rail: Option<Spanned<Name>>,
    /// From the inner edge of one stile to the inner edge of the other, today; it follows from the places.
    pub opening: Option<Spanned<Length>>,
    /// How deep the groove is cut, to be judged; left out, the program says how deep.
    pub depth: Option<Spanned<Length>>,
    /// How wide the groove is; the panel's thickness unless given.
    pub groove_width: Option<Spanned<Length>>,
    /// What is still to be cut: "groove" or "panel" (then `depth` is needed).
    pub cut: Option<Spanned<CutWord>>,
    /// Where the panel is held: "centre" (a pin or a spot of glue) or "edge".
    pub held: Option<Spanned<HeldWord>>,
    /// Length of a spot of glue at the middle of the panel's ends, instead of a pin; judged as a bond.
    pub glue_spot: Option<Spanned<Length>>,
    /// Minimum clearance at the bottom of the groove, at the wettest.
    pub clearance: Option<Spanned<Length>>,
    /// Minimum wood still in the groove, at the driest.
    pub engagement: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for FrameAndPanel {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (panel, frame) = (site.piece(), site.into_part());
        let rail = self
            .rail
            .as_ref()
            .map_or(Some(None), |given| site.part(given).map(Some));
        let between = site.between(Axis::Width);
        let follows = between.as_ref().map(|(found, ..)| sum(&found.terms));
        let opening = site.length_of("opening", self.opening.as_ref(), Bounds::WIDTH, follows);
        let depth = site.length_or_none(self.depth.as_ref(), Bounds::CUT_DEPTH);
        let groove_width = site.length_or_none(self.groove_width.as_ref(), Bounds::THICKNESS);
        let cut = site.take_optional(self.cut.as_ref());
        let held = site.take_optional(self.held.as_ref());
        let glue_spot = site.length_or_none(self.glue_spot.as_ref(), Bounds::WIDTH);
        let clearance = site.length_or(
            self.clearance.as_ref(),
            Bounds::DEPTH,
            defaults::PANEL_CLEARANCE_MM,
        );
        let engagement = site.length_or(
            self.engagement.as_ref(),
            Bounds::DEPTH,
            defaults::PANEL_ENGAGEMENT_MM,
        );
        let cut_on = site.take_optional(self.on.as_ref());
        let (panel, frame, opening, depth, cut) = (panel?, frame?, opening?, depth?, cut?);
        let (clearance, engagement, glue_spot) = (clearance?, engagement?, glue_spot?);
        let rail_given = rail?;
        // By the places: the part on the low side has the groove, the longest of the others sets the opening.
        let frame = between.as_ref().map_or(frame, |(found, ..)| {
            PartId(site.placed().bodies[found.sides[0]].part)
        });
        let groove_axis = between.as_ref().map_or(Axis::Width, |(found, along, _)| {
            site.axis_of(found.sides[0], *along)
        });
        let opening_terms = between.map(|(found, ..)| found.terms);
        let longest = opening_terms.as_ref().and_then(|terms| longest(terms));
        let rail = rail_given.or(longest).unwrap_or(frame);
        let (facts, stile) = (site.facts(panel), site.facts(frame));
        let cuts_panel = cut.is_some_and(|word| word == CutWord::Part);
        let groove_face = if groove_axis == Axis::Thickness {
            CutFace::Inside
        } else {
            CutFace::Edge
        };
        if let (Some(given), Some(depth)) = (&self.depth, depth) {
            site.leaves_wood(Some(given), depth, "groove", frame, groove_face)?;
            if clearance + engagement > depth {
                site.problem(
                    given.span(),
                    format!(
                        "a groove {:.1} mm deep has no place for {:.1} mm of panel and {:.1} mm of room",
                        depth.mm(),
                        engagement.mm(),
                        clearance.mm()
                    ),
                    "deepen the groove, or give a smaller `engagement` or `clearance`",
                );
                return None;
            }
        }
        if cuts_panel && depth.is_none() {
            site.problem_here(
                "the panel is to be cut but the groove's depth is not given",
                "give `depth`, or leave `cut` out to be given the depth",
            );
            return None;
        }
        if !cuts_panel && facts.width <= opening {
            site.problem(
                self.piece.span(),
                format!(
                    "the panel is {:.1} mm wide today and the opening {:.1} mm: nothing of it is in the grooves",
                    facts.width.mm(),
                    opening.mm()
                ),
                "give the panel's width with the part that goes into both grooves, or write cut = \"panel\" and the depth",
            );
            return None;
        }
        let groove_width = groove_width?.unwrap_or(facts.thickness);
        if groove_width > stile.size(groove_face.across()) {
            site.problem(
                self.groove_width.as_ref().map_or_else(|| self.piece.span(), Spanned::span),
                format!(
                    "the groove is {:.1} mm wide but `{}` is {:.1} mm thick",
                    groove_width.mm(),
                    stile.name,
                    stile.thickness.mm()
                ),
                "give `groove_width` for the panel's edge thinned to a tongue, or take a thinner panel",
            );
            return None;
        }
        let centred = held?.is_none_or(|word| word == HeldWord::Centre);
        if !centred && glue_spot.is_some() {
            site.problem(
                self.glue_spot
                    .as_ref()
                    .map_or_else(|| site.span(), Spanned::span),
                "a spot of glue at the middle and `held = \"edge\"` contradict each other",
                "leave one of the two out",
            );
            return None;
        }
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} in grooves of {}", facts.name, stile.name),
        )?;
        let groove = |size| Term {
            part: frame,
            axis: groove_axis,
            size,
        };
        let (groove_size, panel_size) = if cuts_panel {
            (Size::Known(depth?), Size::Cut)
        } else {
            (Size::Cut, Size::Known(facts.width))
        };
        let fit = Fit {
            name: name.clone(),
            opening: opening_terms
                .unwrap_or_else(|| vec![Term::known(rail, Axis::Length, opening)])
                .into_iter()
                .chain([groove(groove_size), groove(groove_size)])
                .collect(),
            part: vec![Term {
                part: panel,
                axis: Axis::Width,
                size: panel_size,
            }],
            share: if centred { 0.5 } else { 1.0 },
            min: clearance,
            max: MaxGap::Holding {
                reach: groove(groove_size),
                min: engagement,
            },
            given: if cuts_panel { None } else { depth },
            aim: if cuts_panel { Aim::Middle } else { Aim::Min },
            when: When::Always,
            words: FitWords {
                cut: if cuts_panel { "panel" } else { "groove" },
                dimension: if cuts_panel { "wide" } else { "deep" },
                gap: format!(
                    "clearance between the edge of {} and the bottom of the groove",
                    the(&facts.name)
                ),
                too_tight: format!(
                    "{} swells to the bottom of the groove and pushes the frame apart",
                    the(&facts.name)
                ),
                too_loose: format!(
                    "{} shrinks out of the groove and its bare edge shows",
                    the(&facts.name)
                ),
            },
        };
        let depth_setting = match groove_size {
            Size::Known(length) => Setting::Known(length),
            Size::Cut => Setting::of_fit(0),
        };
        let bonds = glue_spot
            .map(|spot| BondPlan {
                name: format!("{name}, spot of glue"),
                moves: BondSide::on_face(panel, Axis::Width, facts),
                holds: BondSide::on_face(rail, Axis::Length, site.facts(rail)),
                both_faces: false,
                held_flat: false,
                width: spot.min(facts.width),
                band: engagement,
                design: Design::Glued,
                screw: Length::from_mm_unchecked(defaults::SCREW_MM),
                from_fixed: spot.min(facts.width) / 2.0,
                loosened: Loosened::Dry,
            })
            .into_iter()
            .collect();
        let held_by = match (centred, glue_spot) {
            (true, Some(spot)) => format!(
                "; a spot of glue {} long at the middle of each end keeps it centred",
                shown(spot, UnitSystem::Metric)
            ),
            (true, None) => "; a pin through the middle of each rail keeps it centred".to_owned(),
            (false, _) => {
                " but at the held edge, which stands at the bottom of its groove".to_owned()
            }
        };
        let grooved = |part, thickness: Length, count| Housing {
            part,
            what: "groove",
            face: groove_face,
            from_reference: Setting::Known((thickness - groove_width).max(Length::ZERO) / 2.0),
            width: Setting::Known(groove_width),
            depth: depth_setting,
            along: groove_face.across(),
            behind: Behind::Bottom,
            takes: Some(panel),
            count,
        };
        let held_in = site.held_in();
        let housings = if held_in.is_empty() {
            let mut two = vec![grooved(frame, stile.size(groove_face.across()), 2)];
            two.extend(rail_given.map(|rail| grooved(rail, site.facts(rail).thickness, 2)));
            two
        } else {
            // By the places every part of the frame is grooved as often as a panel is let into it.
            let wood = |part| site.facts(part).size(groove_face.across());
            held_in
                .into_iter()
                .map(|(part, count)| grooved(part, wood(part), count))
                .collect()
        };
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(
                Scheme::Grooves,
                frame,
                panel,
                if centred { Hold::Centre } else { Hold::Edge },
            ),
            trial: format!(
                "the edge of {} slides in a trial groove without force and without rattle",
                the(&facts.name)
            ),
            notes: vec![format!(
                "Do not glue {} into the grooves{held_by}.",
                the(&facts.name)
            )],
            name,
            kind: "frame_and_panel",
            span: site.span(),
            cut_on: cut_on?,
            fits: vec![fit],
            bonds,
            housings,
        })
    }
}
