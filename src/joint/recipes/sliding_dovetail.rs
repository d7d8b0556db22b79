//! Sliding dovetail: glued at one end only, the other end drifts.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::plan::{
    Behind, BondPlan, BondSide, CutFace, Design, Housing, JointPlan, Loosened, Setting,
};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::{AxisWord, EndWord, FaceWord};
use crate::joint::{Axis, defaults};
use crate::units::notation::{Flag, shown, the};
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length, UnitSystem};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A dovetailed piece slid across a board and glued at one end.
///
/// A batten (its grain along the channel) keeps its length while the board moves; a shelf (its width along the
/// channel) moves with the board, to within their woods and rings.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SlidingDovetail {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The part with the dovetailed channel.
    pub into: Names,
    /// The part that slides in it.
    pub piece: Names,
    /// The axis of `piece` along the channel: "length" for a batten, "width" for a shelf.
    pub piece_axis: Option<Spanned<AxisWord>>,
    /// From the reference end of `into` to the near side of the channel.
    pub at: Option<Spanned<Length>>,
    /// How deep the channel is cut.
    pub depth: Option<Spanned<Length>>,
    /// The face of `into` that is cut.
    pub face: Option<Spanned<FaceWord>>,
    /// Length glued at the glued end; the whole length with `glued_whole`.
    pub glued: Option<Spanned<Length>>,
    /// Which end is glued: "front" unless given, so that the step shows at the back, or "back".
    pub glued_end: Option<Spanned<EndWord>>,
    /// Whether it is glued over its whole length instead.
    pub glued_whole: Option<Spanned<Flag>>,
    /// How far the free end stands back today, to be judged; left out, the program says.
    pub set_back: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for SlidingDovetail {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part(), site.piece());
        let axis = site.channel_axis(self.piece_axis.as_ref());
        let at = site.length_of(
            "at",
            self.at.as_ref(),
            Bounds::LENGTH,
            site.from_reference(Axis::Length),
        );
        let depth = site.length_of(
            "depth",
            self.depth.as_ref(),
            Bounds::CUT_DEPTH,
            site.reach(),
        );
        let face = site.face_or(self.face.as_ref(), CutFace::Inside);
        let glued = site.length_or(self.glued.as_ref(), Bounds::LENGTH, defaults::GLUED_SPOT_MM);
        let end = site.take_optional(self.glued_end.as_ref());
        let whole = site.take_optional(self.glued_whole.as_ref());
        let given = site.length_or_none(self.set_back.as_ref(), Bounds::DEPTH);
        let cut_on = site.take_optional(self.on.as_ref());
        let (into, piece, axis, at, depth, glued) = (into?, piece?, axis?, at?, depth?, glued?);
        site.axis_in(self.piece_axis.as_ref(), axis, &[Axis::Length, Axis::Width])?;
        let (into_facts, piece_facts) = (site.facts(into), site.facts(piece));
        let face = face?;
        site.leaves_wood(self.depth.as_ref(), depth, "dovetailed channel", into, face)?;
        if at.mm() < 0.0 || at + piece_facts.thickness > into_facts.length {
            site.problem(
                site.at_key(self.at.as_ref()),
                format!(
                    "the channel lies outside `{}`, which is {:.0} mm long",
                    into_facts.name,
                    into_facts.length.mm()
                ),
                "give `at` from the reference end of the part it is cut into",
            );
            return None;
        }
        let run = into_facts.width.min(piece_facts.size(axis));
        let whole = whole?.is_some_and(|flag| flag.0);
        let design = if whole {
            Design::Glued
        } else {
            Design::GluedOver(glued.min(run))
        };
        let end = end?.unwrap_or(EndWord::Front);
        let name = site.name_or(
            self.name.as_ref(),
            format!(
                "{} in a dovetailed channel of {}",
                piece_facts.name, into_facts.name
            ),
        )?;
        // Both are as long as the run today; the piece stands back by the cut so that its end never stands out.
        // A step at the front shows, so that less of it is allowed there.
        let most = if end == EndWord::Front {
            4.0 * defaults::FLUSH_MM
        } else {
            defaults::FLUSH_MM
        };
        let drift = Fit {
            name: format!("{name}, free end at the {}", end.other().word()),
            opening: vec![
                Term::known(into, Axis::Width, run),
                Term::cut(into, Axis::Width),
            ],
            part: vec![Term::known(piece, axis, run)],
            share: 1.0,
            min: Length::ZERO,
            max: MaxGap::Gap(Length::from_mm_unchecked(most)),
            given: given?,
            aim: Aim::Min,
            when: When::Always,
            words: FitWords {
                cut: "free end",
                dimension: "back",
                gap: "step by which the free end stands back".into(),
                too_tight: format!(
                    "the end of {} stands out of the board",
                    the(&piece_facts.name)
                ),
                too_loose: "the free end stands back so far that the channel shows".into(),
            },
        };
        let channel = Fit {
            name: format!("{name}, channel"),
            opening: vec![Term::cut(into, Axis::Length)],
            part: vec![Term::known(piece, Axis::Thickness, piece_facts.thickness)],
            share: 1.0,
            min: Length::from_mm_unchecked(defaults::GLUED_DADO.0),
            max: MaxGap::Gap(Length::from_mm_unchecked(defaults::GLUED_DADO.1)),
            given: None,
            aim: Aim::Middle,
            when: When::Assembly,
            words: FitWords {
                cut: "dovetailed channel",
                dimension: "wide at its bottom",
                gap: format!("clearance of {} in its channel", the(&piece_facts.name)),
                too_tight: format!("{} binds before it is home", the(&piece_facts.name)),
                too_loose: "the dovetail rattles and does not draw tight".into(),
            },
        };
        let (moves, holds) = if axis == Axis::Length {
            (
                BondSide::on_face(into, Axis::Width, into_facts),
                BondSide::on_face(piece, Axis::Length, piece_facts),
            )
        } else {
            (
                BondSide::on_rim(piece, axis, Axis::Length, piece_facts, run),
                BondSide::around(into, Axis::Width, into_facts, piece_facts.thickness, run),
            )
        };
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(
                Scheme::Slide,
                into,
                piece,
                if whole { Hold::Glue } else { Hold::Spot },
            ),
            trial: "the dry piece slides home with a hand push and a few taps".into(),
            kind: "sliding_dovetail",
            span: site.span(),
            cut_on: cut_on?,
            fits: vec![drift, channel],
            bonds: vec![BondPlan {
                name: name.clone(),
                moves,
                holds,
                both_faces: false,
                held_flat: false,
                width: run,
                band: piece_facts.thickness,
                design,
                screw: Length::from_mm_unchecked(defaults::SCREW_MM),
                from_fixed: run,
                loosened: Loosened::Dry,
            }],
            housings: vec![Housing {
                part: into,
                what: "dovetailed channel",
                face,
                from_reference: Setting::Known(at),
                width: Setting::of_fit(1),
                depth: Setting::Known(depth),
                along: Axis::Length,
                behind: Behind::Bottom,
                takes: Some(piece),
                count: site.count(),
            }],
            notes: vec![if whole {
                "Glued over its whole length: read what the bond says of it.".to_owned()
            } else {
                format!(
                    "Glue the last {} at the {} only, as it slides home; the {} end stays dry and drifts.",
                    shown(glued.min(run), UnitSystem::Metric),
                    end.word(),
                    end.other().word()
                )
            }],
            name,
        })
    }
}
