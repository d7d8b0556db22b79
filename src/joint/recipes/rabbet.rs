//! Rabbet (rebate): a back panel lying in steps cut along the edges of the case.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::joined::{longest, sum};
use crate::joint::plan::{Behind, CutFace, Housing, JointPlan, Setting};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::HeldWord;
use crate::joint::{Axis, defaults};
use crate::units::notation::the;
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A solid back lying in steps along the edges of the case.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Rabbet {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The back; its width runs across the opening.
    pub piece: Names,
    /// The part with the step on either side.
    pub into: Names,
    /// The part whose length sets the opening, such as the case bottom; the frame part unless given.
    pub rail: Option<Spanned<Name>>,
    /// From the inner face of one side to the inner face of the other, today.
    pub opening: Option<Spanned<Length>>,
    /// How wide the step is cut, to be judged; left out, the program says.
    pub width: Option<Spanned<Length>>,
    /// How deep the step is; the back's thickness unless given.
    pub depth: Option<Spanned<Length>>,
    /// Where the back is held: "centre" or "edge".
    pub held: Option<Spanned<HeldWord>>,
    /// Minimum clearance beside the back, at the wettest.
    pub clearance: Option<Spanned<Length>>,
    /// Minimum of the back lying on the step, at the driest.
    pub engagement: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Rabbet {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (back, frame) = (site.piece(), site.into_part());
        let rail = self
            .rail
            .as_ref()
            .map_or(Some(None), |given| site.part(given).map(Some));
        let between = site.between(Axis::Width);
        let terms = between.as_ref().map(|(found, ..)| found.terms.clone());
        let follows = terms.as_ref().map(|terms| sum(terms));
        let opening = site.length_of("opening", self.opening.as_ref(), Bounds::WIDTH, follows);
        let given = site.length_or_none(self.width.as_ref(), Bounds::DEPTH);
        let depth = site.length_or_none(self.depth.as_ref(), Bounds::CUT_DEPTH);
        let held = site.take_optional(self.held.as_ref());
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
        let (back, frame, opening, given, depth) = (back?, frame?, opening?, given?, depth?);
        let longest = terms.as_ref().and_then(|terms| longest(terms));
        let rail = rail?.or(longest).unwrap_or(frame);
        let (facts, side) = (site.facts(back), site.facts(frame));
        if facts.width <= opening {
            site.problem(
                self.piece.span(),
                format!(
                    "the back is {:.1} mm wide today and the opening {:.1} mm: it falls through",
                    facts.width.mm(),
                    opening.mm()
                ),
                "make the back wider than the opening, so that it lies on both steps",
            );
            return None;
        }
        if let (Some(given), Some(width)) = (&self.width, given)
            && width >= side.thickness
        {
            site.problem(
                given.span(),
                format!(
                    "the rabbet is {:.1} mm wide but `{}` is {:.1} mm thick: no lip is left",
                    width.mm(),
                    side.name,
                    side.thickness.mm()
                ),
                format!(
                    "cut it narrower, {:.1} mm at most to keep a third of the side",
                    side.thickness.mm() * 2.0 / 3.0
                ),
            );
            return None;
        }
        if let (Some(given), Some(depth)) = (&self.depth, depth) {
            site.leaves_wood(Some(given), depth, "rabbet", frame, CutFace::Edge)?;
        }
        let centred = held?.is_none_or(|word| word == HeldWord::Centre);
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} in rabbets of {}", facts.name, side.name),
        )?;
        let step = Term::cut(frame, Axis::Thickness);
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(
                Scheme::Rabbets,
                frame,
                back,
                if centred { Hold::Centre } else { Hold::Edge },
            ),
            trial: format!(
                "{} drops into both steps with the room given for today on each side",
                the(&facts.name)
            ),
            notes: vec![format!(
                "Fasten {} at its middle only, or through slots.",
                the(&facts.name)
            )],
            fits: vec![Fit {
                name: name.clone(),
                opening: terms
                    .unwrap_or_else(|| vec![Term::known(rail, Axis::Length, opening)])
                    .into_iter()
                    .chain([step, step])
                    .collect(),
                part: vec![Term::known(back, Axis::Width, facts.width)],
                share: if centred { 0.5 } else { 1.0 },
                min: clearance?,
                max: MaxGap::Holding {
                    reach: step,
                    min: engagement?,
                },
                given,
                aim: Aim::Min,
                when: When::Always,
                words: FitWords {
                    cut: "rabbet",
                    dimension: "wide",
                    gap: format!("clearance beside {} in the rabbet", the(&facts.name)),
                    too_tight: format!(
                        "{} swells against the sides and pushes them apart",
                        the(&facts.name)
                    ),
                    too_loose: format!("{} shrinks off the step and light shows", the(&facts.name)),
                },
            }],
            name,
            kind: "rabbet",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: vec![Housing {
                part: frame,
                what: "rabbet",
                face: CutFace::Edge,
                from_reference: Setting::Known(Length::ZERO),
                width: Setting::of_fit(0),
                depth: Setting::Known(depth.unwrap_or(facts.thickness)),
                along: Axis::Thickness,
                behind: Behind::Lip,
                takes: Some(back),
                count: site
                    .held_in()
                    .into_iter()
                    .find(|(part, _)| *part == frame)
                    .map_or(2, |(_, count)| count),
            }],
        })
    }
}
