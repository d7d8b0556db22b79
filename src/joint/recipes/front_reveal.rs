//! Front reveal: a front flush with the edge of its case, or stepped back from it, and how that drifts.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::plan::JointPlan;
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::{Axis, defaults};
use crate::units::notation::the;
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// Below this two measures of a job file are one, mm.
const READ_APART_MM: f64 = 0.01;

/// A drawer front or door flush with the front edge of its case, or stepped back from it.
///
/// What carries the front runs along its grain from a stop and keeps its length; the case side between that stop and
/// its front edge moves across its grain. A stop near the front keeps the reveal, one at the back lets it drift.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FrontReveal {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The case side, its width running from back to front.
    pub into: Names,
    /// The front, its thickness running from back to front.
    pub piece: Names,
    /// The part along whose grain the front is carried: a drawer side; the front's own for a hinged door.
    pub carrier: Option<Spanned<Name>>,
    /// From the case's front edge back to the stop or the hinge.
    pub stop: Option<Spanned<Length>>,
    /// How far the front stands back from the case's edge by design; 0 (flush) unless given, negative when it stands proud.
    pub step: Option<Spanned<Length>>,
    /// How far it is set back today, to be judged; left out, the program says where to set the stop.
    pub set_back: Option<Spanned<Length>>,
    /// Maximum drift from the step either way.
    pub drift: Option<Spanned<Length>>,
    /// The day the stop is set.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for FrontReveal {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (case, front) = (site.into_part(), site.piece());
        let carrier = self
            .carrier
            .as_ref()
            .map_or(Some(None), |given| site.part(given).map(Some));
        let follows = site.front_stop();
        let stop = site.length_of("stop", self.stop.as_ref(), Bounds::WIDTH, follows);
        let step = site.length_or(self.step.as_ref(), Bounds::LENGTH, 0.0);
        let given = site.length_or_none(self.set_back.as_ref(), Bounds::LENGTH);
        let drift = site.length_or(self.drift.as_ref(), Bounds::DEPTH, defaults::FRONT_DRIFT_MM);
        let cut_on = site.take_optional(self.on.as_ref());
        let (case, front, stop, step, drift) = (case?, front?, stop?, step?, drift?);
        let carrier = carrier?.unwrap_or(front);
        let (side, face) = (site.facts(case), site.facts(front));
        site.inside(
            site.at_key(self.stop.as_ref()),
            "the stop",
            [stop],
            case,
            Axis::Width,
        )?;
        // A door hinged at its back face has its stop there.
        let behind = (stop - face.thickness).mm();
        if behind < -READ_APART_MM {
            site.problem(
                site.at_key(self.stop.as_ref()),
                format!(
                    "the stop is {:.1} mm behind the edge but `{}` is {:.1} mm thick",
                    stop.mm(),
                    face.name,
                    face.thickness.mm()
                ),
                "give the distance from the case's front edge to what the drawer or door meets behind its front",
            );
            return None;
        }
        site.ordered(step - drift, step + drift)?;
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} against the edge of {}", face.name, side.name),
        )?;
        // What carries a drawer runs along its grain; a door carries itself, by its thickness.
        let along = if carrier == front {
            Axis::Thickness
        } else {
            Axis::Length
        };
        // From the stop forward: the case's edge stands at `stop`, the front's face at the carrier's length and the
        // front's thickness; the carrier is shorter by the set-back, which is the cut.
        let fit = Fit {
            name: name.clone(),
            opening: vec![
                Term::known(case, Axis::Width, stop),
                Term::cut(carrier, along),
            ],
            part: vec![
                Term::known(carrier, along, Length::from_mm_unchecked(behind.max(0.0))),
                Term::known(front, Axis::Thickness, face.thickness),
            ],
            share: 1.0,
            min: step - drift,
            max: MaxGap::Gap(step + drift),
            given: given?,
            aim: Aim::Middle,
            when: When::Always,
            words: FitWords {
                cut: "front",
                dimension: "back",
                gap: format!(
                    "step from the edge of {} back to {}",
                    the(&side.name),
                    the(&face.name)
                ),
                too_tight: format!("{} comes out past its step", the(&face.name)),
                too_loose: format!("{} sinks back past its step", the(&face.name)),
            },
        };
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(Scheme::Front, case, front, Hold::Edge),
            trial: "a straightedge across the case and the closed front, with feeler stock of the step given for today".into(),
            fits: vec![fit],
            name,
            kind: "front_reveal",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: Vec::new(),
            notes: vec!["A stop close behind the front keeps the reveal; a stop at the back of the case lets it drift.".into()],
        })
    }
}
