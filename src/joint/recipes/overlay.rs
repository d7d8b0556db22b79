//! Overlay door: it lies over the case, and the reveal beside it drifts with the year.

use super::Recipe;
use crate::joint::fit::{Aim, Fit, FitWords, Greatest, Term, When};
use crate::joint::plan::{JointPlan, Site};
use crate::joint::recipes::words::AxisWord;
use crate::joint::{Axis, defaults};
use crate::units::notation::Whole;
use crate::units::told::{Name, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Deserialize;

/// Doors or fronts lying over the case, with a reveal beside each.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Overlay {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The door.
    pub door: Told<Name>,
    /// The axis of the door that is judged: "width" unless told.
    pub door_axis: Option<Told<AxisWord>>,
    /// The part whose size sets the span that the doors cover.
    pub frame: Told<Name>,
    /// The axis of the frame part along that span: "length" unless told.
    pub frame_axis: Option<Told<AxisWord>>,
    /// The span that the doors and their reveals fill, today.
    pub span: Told<Length>,
    /// How many doors stand side by side in it; 1 unless told.
    pub doors: Option<Told<Whole>>,
    /// What the door is cut to, to be judged; left out, the program says.
    pub size: Option<Told<Length>>,
    /// Least reveal.
    pub least: Option<Told<Length>>,
    /// Greatest reveal.
    pub greatest: Option<Told<Length>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for Overlay {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (door, frame) = (site.part(&self.door), site.part(&self.frame));
        let door_axis = site.take_optional(self.door_axis.as_ref());
        let frame_axis = site.take_optional(self.frame_axis.as_ref());
        let span = site.length(&self.span, Bounds::BOARD_LENGTH);
        let doors = site.take_optional(self.doors.as_ref());
        let given = site.length_or_none(self.size.as_ref(), Bounds::BOARD_LENGTH);
        let least = site.length_or(self.least.as_ref(), Bounds::LENGTH, defaults::REVEAL.0);
        let greatest = site.length_or(self.greatest.as_ref(), Bounds::LENGTH, defaults::REVEAL.1);
        let cut_on = site.take_optional(self.on.as_ref());
        let (door, frame, span, least, greatest) = (door?, frame?, span?, least?, greatest?);
        site.ordered(least, greatest)?;
        let doors = doors?.map_or(1, |count| count.0);
        if doors == 0 || doors > 20 {
            site.problem_here(format!("{doors} doors stand side by side"), "give 1 to 20 doors");
            return None;
        }
        let axis = door_axis?.map_or(Axis::Width, |word| word.0);
        let facts = site.facts(door);
        let name = site.name_or(self.name.as_ref(), format!("reveal beside {}", facts.name))?;
        Some(JointPlan {
            trial: "the reveal beside the hung door with feeler stock of the gap told for today".into(),
            fits: vec![Fit {
                name: name.clone(),
                host: vec![Term::known(frame, frame_axis?.map_or(Axis::Length, |word| word.0), span)],
                guest: vec![Term::cut(door, axis); doors as usize],
                // one reveal at each side of each door, the outer two half as wide: as many as there are doors
                share: 1.0 / doors as f64,
                least,
                greatest: Greatest::Gap(greatest),
                given: given?,
                aim: Aim::Middle,
                when: When::Always,
                words: FitWords {
                    cut: "door",
                    dimension: if axis == Axis::Length { "long" } else { "wide" },
                    gap: format!("reveal beside {}", facts.name),
                    too_tight: "the doors touch".into(),
                    too_loose: "the reveal looks wide and the case shows".into(),
                },
            }],
            name,
            kind: "overlay",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: Vec::new(),
            notes: Vec::new(),
        })
    }
}
