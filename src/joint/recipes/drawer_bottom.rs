//! Drawer bottom: glued in the front groove, free to grow past the back.

use super::Recipe;
use super::travel::Travel;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::plan::{Housing, JointPlan};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::{Axis, defaults};
use crate::units::notation::the;
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A solid bottom whose grain runs from side to side: fixed at the front, free at the back.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DrawerBottom {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The bottom; its width runs from front to back.
    pub piece: Names,
    /// The drawer's side, along whose grain the bottom moves.
    pub into: Names,
    /// The drawer's back, under which the bottom passes.
    pub back: Spanned<Name>,
    /// From the bottom of the groove in the front to the outer face of the back, today.
    pub run: Option<Spanned<Length>>,
    /// Width the bottom is cut to, to be judged; left out, the program says.
    pub width: Option<Spanned<Length>>,
    /// Diameter of the screw through the slot at the back.
    pub screw: Option<Spanned<Length>>,
    /// Maximum length by which it may stand out behind the back.
    pub stand_out: Option<Spanned<Length>>,
    /// Minimum of it that stays under the back, at the driest.
    pub engagement: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for DrawerBottom {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (bottom, side, back) = (site.piece(), site.into_part(), site.part(&self.back));
        let follows = back.and_then(|back| site.run_to(back));
        let run = site.length_of("run", self.run.as_ref(), Bounds::WIDTH, follows);
        let given = site.length_or_none(self.width.as_ref(), Bounds::WIDTH);
        let screw = site.length_or(self.screw.as_ref(), Bounds::THICKNESS, defaults::SCREW_MM);
        let stand_out = site.length_or(self.stand_out.as_ref(), Bounds::DEPTH, defaults::FLUSH_MM);
        let engagement = site.length_or(
            self.engagement.as_ref(),
            Bounds::DEPTH,
            defaults::BOTTOM_ENGAGEMENT_MM,
        );
        let cut_on = site.take_optional(self.on.as_ref());
        let (bottom, side, back, run, screw, stand_out) =
            (bottom?, side?, back?, run?, screw?, stand_out?);
        let engagement = engagement?;
        let (facts, rear) = (site.facts(bottom), site.facts(back));
        let covered = rear.thickness;
        if covered >= run {
            site.problem(
                site.at_key(self.run.as_ref()),
                "the run is no longer than the back is thick",
                "give the run from the front groove to the back's outer face",
            );
            return None;
        }
        site.inside(
            site.at_key(self.run.as_ref()),
            "the back's outer face",
            [run],
            side,
            Axis::Length,
        )?;
        if engagement >= covered {
            site.problem(
                self.engagement
                    .as_ref()
                    .map_or_else(|| self.back.span(), Spanned::span),
                format!(
                    "{:.1} mm of the bottom cannot stay under a back {:.1} mm thick",
                    engagement.mm(),
                    covered.mm()
                ),
                "give a smaller `engagement`, or take a thicker back",
            );
            return None;
        }
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} under {}", facts.name, rear.name),
        )?;
        // The gap is the room from the bottom's rear edge to the back's outer face: positive, it ends hidden under
        // the back; negative, it stands out behind it.
        let edge = Fit {
            name: format!("{name}, rear edge"),
            opening: vec![Term::known(side, Axis::Length, run)],
            part: vec![Term::cut(bottom, Axis::Width)],
            share: 1.0,
            min: -stand_out,
            max: MaxGap::Gap(covered - engagement),
            given: given?,
            aim: Aim::Middle,
            when: When::Always,
            words: FitWords {
                cut: "drawer bottom",
                dimension: "wide",
                gap: "room from its rear edge to the back's outer face".into(),
                too_tight: format!(
                    "{} stands out behind and stops the drawer short",
                    the(&facts.name)
                ),
                too_loose: format!("{} shrinks out from under the back", the(&facts.name)),
            },
        };
        let travel = Travel {
            name: &format!("{name}, screw"),
            slotted: (bottom, Axis::Width),
            carrier: (side, Axis::Length),
            slot_moves: true,
            at: run - covered / 2.0,
            fixed: Length::ZERO,
            fastening: screw,
            margin: Length::from_mm_unchecked(defaults::SCREW_CLEARANCE_MM),
            cut: "slot",
            what: "screw",
        };
        let slot = Housing {
            count: site.pieces(),
            ..travel.through(1, facts.thickness)
        };
        let fits = std::iter::once(edge).chain(travel.fits()).collect();
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: vec![("screw".into(), 1)],
            drawing: Drawing::new(Scheme::Under, back, bottom, Hold::Edge),
            trial: "the bottom slides in the side grooves by hand".into(),
            fits,
            name,
            kind: "drawer_bottom",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: vec![slot],
            notes: vec![
                "Glue the bottom in the front groove only; its grain runs from side to side."
                    .into(),
            ],
        })
    }
}
