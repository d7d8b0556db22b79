//! Overlay door: it lies over the case, and the reveal beside it drifts with the year.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::joined::sum;
use crate::joint::plan::JointPlan;
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::{AxisWord, HeldWord};
use crate::joint::{Axis, defaults};
use crate::units::notation::{Whole, the};
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// Doors or fronts lying over the case, with a reveal beside each.
///
/// Fronts fixed at their middles share the movement among the reveals. A hinged door keeps the reveal at its
/// hinge and shows all movement at its free edge; two doors hinged outside show both of theirs where they meet.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Overlay {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The door.
    pub piece: Names,
    /// The axis of the door that is judged: "width" unless given.
    pub piece_axis: Option<Spanned<AxisWord>>,
    /// The part whose size sets the span that the doors cover.
    pub into: Names,
    /// The axis of the frame part along that span: "length" unless given.
    pub into_axis: Option<Spanned<AxisWord>>,
    /// The span that the doors and their reveals fill, today.
    pub span: Option<Spanned<Length>>,
    /// How many doors stand side by side in it; 1 unless given.
    pub doors: Option<Spanned<Whole>>,
    /// "centre" for fronts fixed at their middles; "edge" for doors hinged at the outside, one or two in a span.
    pub held: Option<Spanned<HeldWord>>,
    /// Reveal kept at each hinge, with held = "edge"; halfway between minimum and maximum unless given.
    pub hinge_reveal: Option<Spanned<Length>>,
    /// What the door is cut to, to be judged; left out, the program says.
    pub size: Option<Spanned<Length>>,
    /// Minimum reveal.
    pub min: Option<Spanned<Length>>,
    /// Maximum reveal.
    pub max: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Overlay {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (door, frame) = (site.piece(), site.into_part());
        let door_axis = site.take_optional(self.piece_axis.as_ref());
        let frame_axis = site.take_optional(self.into_axis.as_ref());
        let covered = site.covered_span(self.piece_axis.is_none());
        let follows = covered.as_ref().map(|terms| sum(terms));
        let span = site.length_of("span", self.span.as_ref(), Bounds::BOARD_LENGTH, follows);
        let doors = site.take_optional(self.doors.as_ref());
        let held = site.take_optional(self.held.as_ref());
        let hinge = site.length_or_none(self.hinge_reveal.as_ref(), Bounds::DEPTH);
        let given = site.length_or_none(self.size.as_ref(), Bounds::BOARD_LENGTH);
        let min = site.length_or(self.min.as_ref(), Bounds::LENGTH, defaults::REVEAL.0);
        let max = site.length_or(self.max.as_ref(), Bounds::LENGTH, defaults::REVEAL.1);
        let cut_on = site.take_optional(self.on.as_ref());
        let (door, frame, span, min, max) = (door?, frame?, span?, min?, max?);
        let (hinge, given) = (hinge?, given?);
        site.ordered(min, max)?;
        let axis = door_axis?.map_or(Axis::Width, |word| word.0);
        let frame_axis = frame_axis?.map_or(Axis::Length, |word| word.0);
        site.axis_in(self.piece_axis.as_ref(), axis, &[Axis::Width, Axis::Length])?;
        site.axis_in(
            self.into_axis.as_ref(),
            frame_axis,
            &[Axis::Length, Axis::Width],
        )?;
        let hinged = held?.is_some_and(|word| word == HeldWord::Edge);
        let doors = doors?.map_or(1, |count| count.0);
        let most = if hinged { 2 } else { 20 };
        if doors == 0 || doors > most {
            site.problem(
                self.doors
                    .as_ref()
                    .map_or_else(|| site.span(), Spanned::span),
                format!("{doors} doors stand side by side in one span"),
                if hinged {
                    "give 1 or 2 hinged doors, and a joint of its own for each further pair"
                        .to_owned()
                } else {
                    format!("give 1 to {most} doors")
                },
            );
            return None;
        }
        if given.is_some_and(|size| size * doors as f64 >= span) {
            site.problem(
                self.size
                    .as_ref()
                    .map_or_else(|| site.span(), Spanned::span),
                format!(
                    "{doors} such doors fill or exceed the span of {:.1} mm",
                    span.mm()
                ),
                "give a smaller size, or leave it out to be given one",
            );
            return None;
        }
        let facts = site.facts(door);
        let name = site.name_or(self.name.as_ref(), format!("reveal beside {}", facts.name))?;
        let mut part = vec![Term::cut(door, axis); doors as usize];
        if hinged {
            // The hinge keeps its reveal; the case beside it stands still along the span.
            let kept = hinge.unwrap_or((min + max) / 2.0);
            part.extend(vec![Term::known(frame, frame_axis, kept); doors as usize]);
        }
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(
                Scheme::Over {
                    count: doors as usize,
                },
                frame,
                door,
                if hinged { Hold::Edge } else { Hold::Centre },
            ),
            trial: "the reveal beside the hung door with feeler stock of the gap given for today"
                .into(),
            fits: vec![Fit {
                name: name.clone(),
                opening: covered.unwrap_or_else(|| vec![Term::known(frame, frame_axis, span)]),
                part,
                // Fixed at the middle: a reveal at each side of each front, the outer two half as wide, as many as there
                // are fronts. Hinged: one reveal, at the free edges.
                share: if hinged { 1.0 } else { 1.0 / doors as f64 },
                min,
                max: MaxGap::Gap(max),
                given,
                aim: Aim::Middle,
                when: When::Always,
                words: FitWords {
                    cut: "door",
                    dimension: if axis == Axis::Length { "long" } else { "wide" },
                    gap: match (hinged, doors) {
                        (true, 2) => "reveal where the two doors meet".into(),
                        (true, _) => format!("reveal at the free edge of {}", the(&facts.name)),
                        (false, _) => format!("reveal beside {}", the(&facts.name)),
                    },
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
