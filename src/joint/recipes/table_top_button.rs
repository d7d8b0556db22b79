//! Table-top button: screwed to the top, its tongue slides in a groove of the apron.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::plan::{Behind, CutFace, Housing, JointPlan, Setting};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::{Axis, defaults};
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A button screwed to the top whose tongue slides in a groove of the apron, across the top's grain.
///
/// The button stands inside the apron and its tongue points outward: as the top grows the tongue goes in and the
/// shoulder nears the apron; as the top shrinks the tongue draws out. Buttons at aprons across the top's grain
/// slide along their groove and need no fit.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TableTopButton {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The top, held at its middle unless `from_fixed` says otherwise.
    pub piece: Names,
    /// The rail along the top's width, whose length keeps the aprons apart.
    pub rail: Option<Spanned<Name>>,
    /// The apron with the groove.
    pub into: Names,
    /// From the top's fixed point to the apron's inner face.
    pub from_fixed: Option<Spanned<Length>>,
    /// Length of the button's tongue.
    pub tongue: Spanned<Length>,
    /// Thickness of the tongue; half its length unless given.
    pub tongue_thickness: Option<Spanned<Length>>,
    /// Depth of the groove; left out, it is as deep as the tongue and never bottoms.
    pub depth: Option<Spanned<Length>>,
    /// From the apron's upper edge to the groove; 10 mm unless given.
    pub groove_at: Option<Spanned<Length>>,
    /// How far the button's shoulder stands off the apron today, to be judged; left out, the program says.
    pub stand_off: Option<Spanned<Length>>,
    /// Minimum of the tongue still in the groove.
    pub engagement: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for TableTopButton {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (top, rail, apron) = (
            site.piece(),
            self.rail.as_ref().and_then(|rail| site.part(rail)),
            site.into_part(),
        );
        let follows = site.middle_to_inner_face();
        let from_fixed = site.length_of(
            "from_fixed",
            self.from_fixed.as_ref(),
            Bounds::WIDTH,
            follows,
        );
        let rail = rail.or_else(|| site.rail_between());
        if rail.is_none() && self.rail.is_none() {
            site.problem_here(
                "the joint has no `rail`",
                "name the rail whose length keeps the aprons apart",
            );
        }
        let tongue = site.length(&self.tongue, Bounds::CUT_DEPTH);
        let thick = site.length_or_none(self.tongue_thickness.as_ref(), Bounds::THICKNESS);
        let depth = site.length_or_none(self.depth.as_ref(), Bounds::CUT_DEPTH);
        let groove_at = site.length_or(self.groove_at.as_ref(), Bounds::DEPTH, 10.0);
        let given = site.length_or_none(self.stand_off.as_ref(), Bounds::DEPTH);
        let engagement = site.length_or(
            self.engagement.as_ref(),
            Bounds::DEPTH,
            defaults::BUTTON_ENGAGEMENT_MM,
        );
        let cut_on = site.take_optional(self.on.as_ref());
        let (top, rail, apron, from_fixed, tongue, engagement) =
            (top?, rail?, apron?, from_fixed?, tongue?, engagement?);
        let (thick, depth, groove_at) = (thick?.unwrap_or(tongue / 2.0), depth?, groove_at?);
        let (wide, rim) = (site.facts(top), site.facts(apron));
        site.inside(
            site.at_key(self.from_fixed.as_ref()),
            "the apron's face, counted from the fixed point,",
            [from_fixed],
            top,
            Axis::Width,
        )?;
        site.inside(
            self.groove_at
                .as_ref()
                .map_or_else(|| self.into.span(), Spanned::span),
            "the groove",
            [groove_at, groove_at + thick],
            apron,
            Axis::Width,
        )?;
        // With a groove shallower than the tongue is long, the tongue meets its bottom before the shoulder meets the
        // apron: the shoulder must then stand off by as much more.
        let clear = Length::from_mm_unchecked(defaults::BUTTON_SHOULDER_MM);
        let bottom = Length::from_mm_unchecked(defaults::SCREW_CLEARANCE_MM);
        let (depth, min) = match depth {
            Some(depth) => (depth, clear.max(tongue + bottom - depth)),
            None => (tongue + bottom - clear, clear),
        };
        let depth_given = self.depth.as_ref().unwrap_or(&self.tongue);
        site.leaves_wood(Some(depth_given), depth, "groove", apron, CutFace::Inside)?;
        if tongue - engagement <= min {
            site.problem(
                self.tongue.span(),
                format!(
                    "a tongue of {:.1} mm, of which {:.1} mm must stay in the groove, cannot draw out at all",
                    tongue.mm(),
                    engagement.mm()
                ),
                "make the tongue longer and the groove as deep, or give a smaller `engagement`",
            );
            return None;
        }
        let name = site.name_or(
            self.name.as_ref(),
            format!("button of {} in {}", wide.name, rim.name),
        )?;
        let shoulder = Fit {
            name: name.clone(),
            opening: vec![
                Term::known(rail, Axis::Length, from_fixed),
                Term::cut(rail, Axis::Length),
            ],
            part: vec![Term::known(top, Axis::Width, from_fixed)],
            share: 1.0,
            min,
            max: MaxGap::Holding {
                reach: Term::known(rail, Axis::Length, tongue),
                min: engagement,
            },
            given: given?,
            aim: Aim::Middle,
            when: When::Always,
            words: FitWords {
                cut: "button's shoulder",
                dimension: "off the apron",
                gap: "clearance between the button's shoulder and the apron".into(),
                too_tight: "the button meets the apron and stops the top from swelling".into(),
                too_loose: "the tongue draws out of its groove and the top comes loose".into(),
            },
        };
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: vec![("button with screw".into(), 1)],
            drawing: Drawing::new(Scheme::Button, apron, top, Hold::Dry),
            trial:
                "the button's tongue slides in the groove and draws the top down without rocking"
                    .into(),
            fits: vec![shoulder],
            name,
            kind: "table_top_button",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: vec![Housing {
                part: apron,
                what: "groove",
                face: CutFace::Inside,
                from_reference: Setting::Known(groove_at),
                width: Setting::Known(thick),
                depth: Setting::Known(depth),
                along: Axis::Width,
                behind: Behind::Bottom,
                takes: None,
                count: 1,
            }],
            notes: vec!["Screw the buttons to the top, never to the apron.".into()],
        })
    }
}
