//! Half-lap: two boards that cross and share the notch.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::joined;
use crate::joint::plan::{Behind, Housing, JointPlan, Setting};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::{Axis, PartId, defaults};
use crate::piece::{Contact, FaceName, Meeting};
use crate::units::notation::{Flag, millimetres, the};
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// Two boards that cross and share the notch: half-lapped rails, an egg-crate of dividers. Both must be placed.
///
/// Each notch is as wide as the other board is thick today, with the clearance; the two depths sum to what the boards overlap.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HalfLap {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The part whose notch opens toward `notch_from`.
    pub piece: Names,
    /// The part whose notch opens the other way.
    pub into: Names,
    /// The side from which `piece` is notched: "front", "top" and so on.
    pub notch_from: Option<Spanned<FaceName>>,
    /// Depth of the notch in `piece`; half of what the two overlap unless given.
    pub depth: Option<Spanned<Length>>,
    /// Whether the joint is glued; true unless given.
    pub glued: Option<Spanned<Flag>>,
    /// Minimum clearance, instead of the usual.
    pub min: Option<Spanned<Length>>,
    /// Maximum clearance, instead of the usual.
    pub max: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

/// One of the two notches.
struct Notch {
    part: PartId,
    body: usize,
    along: Axis,
    other: PartId,
    face: crate::piece::BoxFace,
    depth: Length,
}

impl Recipe for HalfLap {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part()?, site.piece()?);
        let from = site.take_optional(self.notch_from.as_ref())?;
        let given = site.length_or_none(self.depth.as_ref(), Bounds::CUT_DEPTH)?;
        let glued = site
            .take_optional(self.glued.as_ref())?
            .is_none_or(|flag| flag.0);
        let usual = if glued {
            defaults::GLUED_DADO
        } else {
            defaults::LOOSE_DADO
        };
        let min = site.length_or(self.min.as_ref(), Bounds::LENGTH, usual.0)?;
        let max = site.length_or(self.max.as_ref(), Bounds::LENGTH, usual.1)?;
        let cut_on = site.take_optional(self.on.as_ref())?;
        site.ordered(min, max)?;
        let Some(met) = site.met() else {
            site.problem_here(
                "a half-lap needs to know where both parts are",
                "place both parts: left, front, bottom and so on",
            );
            return None;
        };
        let contact: Contact = met.contact;
        if contact.meeting == Meeting::Touch {
            site.problem_here(
                "the two parts only touch, so that they share no notch",
                "place them so that they cross",
            );
            return None;
        }
        let face = match from {
            Some(FaceName(face)) => face,
            None => contact.axis().high(),
        };
        let overlap = contact.shared.size(face.axis()).length();
        let depth = given.unwrap_or(overlap / 2.0);
        if depth >= overlap {
            site.problem(
                site.at_key(self.depth.as_ref()),
                format!(
                    "the notch is {} deep and the two overlap by {}: nothing is left for the other",
                    millimetres(depth),
                    millimetres(overlap)
                ),
                "leave `depth` out for half of it",
            );
            return None;
        }
        let placed = site.placed();
        // A notch runs across its board: its width is along the axis that the other's thickness takes.
        let along = |own: usize, other: usize| {
            joined::part_axis(placed, own, placed.bodies[other].orientation.thickness())
        };
        let notches = [
            Notch {
                part: piece,
                body: met.piece,
                along: along(met.piece, met.into),
                other: into,
                face,
                depth,
            },
            Notch {
                part: into,
                body: met.into,
                along: along(met.into, met.piece),
                other: piece,
                face: face.opposite(),
                depth: overlap - depth,
            },
        ];
        let name = site.name_or(
            self.name.as_ref(),
            format!(
                "{} and {}, half-lapped",
                site.facts(piece).name,
                site.facts(into).name
            ),
        )?;
        let (mut fits, mut housings, mut notes) = (Vec::new(), Vec::new(), Vec::new());
        for (index, notch) in notches.iter().enumerate() {
            let (own, other) = (site.facts(notch.part), site.facts(notch.other));
            let space = joined::space_axis(placed, notch.body, notch.along);
            let near = contact.shared.low(space) - placed.bodies[notch.body].cuboid.low(space);
            fits.push(Fit {
                name: format!("{name}, notch in {}", own.name),
                opening: vec![Term::cut(notch.part, notch.along)],
                part: vec![Term::known(notch.other, Axis::Thickness, other.thickness)],
                share: 1.0,
                min,
                max: MaxGap::Gap(max),
                given: None,
                aim: Aim::Middle,
                when: if glued { When::Assembly } else { When::Always },
                words: FitWords {
                    cut: "notch",
                    dimension: "wide",
                    gap: format!("clearance of {} in its notch", the(&other.name)),
                    too_tight: "the two do not go together without force".into(),
                    too_loose: "the lap rattles and racks".into(),
                },
            });
            housings.push(Housing {
                part: notch.part,
                what: "notch",
                face: joined::cut_face(placed, notch.body, notch.face),
                from_reference: Setting::Known(near.length()),
                width: Setting::of_fit(index),
                depth: Setting::Known(notch.depth),
                along: notch.along,
                behind: Behind::Bottom,
                takes: None,
                count: site.count(),
            });
            notes.push(format!(
                "Notch {} from its {} side, {} deep: mark it before the two are stacked, so that the notches are not swapped.",
                the(&own.name),
                notch.face.word(),
                millimetres(notch.depth)
            ));
        }
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(
                Scheme::Crossing,
                into,
                piece,
                if glued { Hold::Glue } else { Hold::Dry },
            ),
            trial: "the two notches close by hand, and both boards are flush".into(),
            name,
            kind: "half_lap",
            span: site.span(),
            cut_on,
            fits,
            bonds: Vec::new(),
            housings,
            notes,
        })
    }
}
