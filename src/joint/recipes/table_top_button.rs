//! Table-top button: screwed to the top, its tongue slides in a groove of the apron.

use super::Recipe;
use crate::joint::fit::{Aim, Fit, FitWords, Greatest, Term, When};
use crate::joint::plan::{CutFace, Housing, JointPlan, Setting, Site};
use crate::joint::{Axis, defaults};
use crate::units::told::{Name, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Deserialize;

/// A button screwed to the top whose tongue slides in a groove of the apron, across the top's grain.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TableTopButton {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The top, fixed at its middle unless told.
    pub top: Told<Name>,
    /// The rail along the top's width, whose length keeps the aprons apart.
    pub rail: Told<Name>,
    /// The apron with the groove.
    pub apron: Told<Name>,
    /// From the top's fixed point to the apron's inner face.
    pub from_fixed: Told<Length>,
    /// Length of the button's tongue.
    pub tongue: Told<Length>,
    /// Depth of the groove; left out, the program says.
    pub depth: Option<Told<Length>>,
    /// Least of the tongue still in the groove.
    pub engagement: Option<Told<Length>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for TableTopButton {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (top, rail, apron) = (site.part(&self.top), site.part(&self.rail), site.part(&self.apron));
        let from_fixed = site.length(&self.from_fixed, Bounds::WIDTH);
        let tongue = site.length(&self.tongue, Bounds::DEPTH);
        let given = site.length_or_none(self.depth.as_ref(), Bounds::DEPTH);
        let engagement = site.length_or(self.engagement.as_ref(), Bounds::DEPTH, defaults::BUTTON_ENGAGEMENT_MM);
        let cut_on = site.take_optional(self.on.as_ref());
        let (top, rail, apron, from_fixed, tongue, engagement) = (top?, rail?, apron?, from_fixed?, tongue?, engagement?);
        let (wide, rim) = (site.facts(top), site.facts(apron));
        if from_fixed > wide.width {
            site.problem(
                self.from_fixed.span(),
                format!("the apron is {:.0} mm from the fixed point but `{}` is {:.0} mm wide", from_fixed.mm(), wide.name, wide.width.mm()),
                "give the distance across the grain of the top",
            );
            return None;
        }
        let name = site.name_or(self.name.as_ref(), format!("button of {} in {}", wide.name, rim.name))?;
        // Set with its shoulder `half` off the apron: half of the tongue's spare length.
        let stand_off = (tongue - engagement) / 2.0;
        if stand_off.mm() <= 0.0 {
            site.problem(self.tongue.span(), "the tongue is no longer than what must stay in the groove", "make the tongue longer");
            return None;
        }
        // The button stands inside the apron and its tongue points outward: as the top grows the tongue goes in and the
        // shoulder nears the apron; as the top shrinks the tongue draws out.
        let shoulder = Fit {
            name: format!("{name}, shoulder"),
            host: vec![Term::known(rail, Axis::Length, from_fixed), Term::cut(rail, Axis::Length)],
            guest: vec![Term::known(top, Axis::Width, from_fixed)],
            share: 1.0,
            least: Length::computed_mm(0.3),
            greatest: Greatest::Holding { reach: Term::known(rail, Axis::Length, tongue), least: engagement },
            given: Some(stand_off),
            aim: Aim::Middle,
            when: When::Always,
            words: FitWords {
                cut: "button's shoulder",
                dimension: "off the apron",
                gap: "room between the button's shoulder and the apron".into(),
                too_tight: "the button's shoulder meets the apron and stops the top from swelling".into(),
                too_loose: "the tongue draws out of its groove and the top comes loose".into(),
            },
        };
        let bottom = Fit {
            name: format!("{name}, bottom of the groove"),
            host: vec![
                Term::cut(apron, Axis::Thickness),
                Term::known(rail, Axis::Length, from_fixed),
                Term::known(rail, Axis::Length, stand_off),
            ],
            guest: vec![Term::known(top, Axis::Width, from_fixed), Term::known(rail, Axis::Length, tongue)],
            share: 1.0,
            least: Length::computed_mm(defaults::SCREW_CLEARANCE_MM),
            greatest: Greatest::Any,
            given: given?,
            aim: Aim::Least,
            when: When::Always,
            words: FitWords {
                cut: "groove",
                dimension: "deep",
                gap: "room between the tongue and the bottom of the groove".into(),
                too_tight: "the tongue meets the bottom of the groove and stops the top from swelling".into(),
                too_loose: String::new(),
            },
        };
        Some(JointPlan {
            trial: "the button's tongue slides in the groove and draws the top down without rocking".into(),
            fits: vec![shoulder, bottom],
            name,
            kind: "table_top_button",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: vec![Housing {
                part: apron,
                what: "groove",
                face: CutFace::Inside,
                from_reference: Length::computed_mm(10.0).min(rim.width / 2.0),
                width: Setting::Known(tongue / 2.0),
                depth: Setting::of_fit(1),
                along: Axis::Width,
                through: false,
                count: 1,
            }],
            notes: vec!["Screw the buttons to the top, never to the apron.".into()],
        })
    }
}
