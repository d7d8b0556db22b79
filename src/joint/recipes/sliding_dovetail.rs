//! Sliding dovetail: glued at one end only, the other end drifts.

use super::Recipe;
use crate::joint::fit::{Aim, Fit, FitWords, Greatest, Term, When};
use crate::joint::plan::{BondPlan, CutFace, Design, Housing, JointPlan, Setting, Site};
use crate::joint::recipes::words::{AxisWord, FaceWord};
use crate::joint::{Axis, defaults};
use crate::units::notation::Flag;
use crate::units::told::{Name, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Deserialize;

/// A dovetailed piece slid across a board and glued at one end.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SlidingDovetail {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The part with the dovetailed channel.
    pub into: Told<Name>,
    /// The part that slides in it.
    pub piece: Told<Name>,
    /// The axis of `piece` along the channel: "length" for a batten, "width" for a shelf.
    pub piece_axis: Told<AxisWord>,
    /// From the reference end of `into` to the near side of the channel.
    pub at: Told<Length>,
    /// How deep the channel is cut.
    pub depth: Told<Length>,
    /// The face of `into` that is cut.
    pub face: Option<Told<FaceWord>>,
    /// Length glued at the front; the whole length with `glued_whole`.
    pub glued: Option<Told<Length>>,
    /// Whether it is glued over its whole length instead.
    pub glued_whole: Option<Told<Flag>>,
    /// How far the free end stands back today, to be judged; left out, the program says.
    pub set_back: Option<Told<Length>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for SlidingDovetail {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.part(&self.into), site.part(&self.piece));
        let axis = site.take(&self.piece_axis);
        let at = site.length(&self.at, Bounds::LENGTH);
        let depth = site.length(&self.depth, Bounds::DEPTH);
        let face = site.take_optional(self.face.as_ref());
        let glued = site.length_or(self.glued.as_ref(), Bounds::LENGTH, defaults::GLUED_SPOT_MM);
        let whole = site.take_optional(self.glued_whole.as_ref());
        let given = site.length_or_none(self.set_back.as_ref(), Bounds::DEPTH);
        let cut_on = site.take_optional(self.on.as_ref());
        let (into, piece, axis, at, depth, glued) = (into?, piece?, axis?.0, at?, depth?, glued?);
        let (host, guest) = (site.facts(into), site.facts(piece));
        let run = host.width.min(guest.size(axis));
        let design = if whole?.is_some_and(|flag| flag.0) { Design::Glued } else { Design::GluedOver(glued.min(run)) };
        let name = site.name_or(self.name.as_ref(), format!("{} in a dovetailed channel of {}", guest.name, host.name))?;
        // Both are as long as the run today; the piece stands back by the cut so that its end never stands out.
        let drift = Fit {
            name: format!("{name}, free end"),
            host: vec![Term::known(into, Axis::Width, run), Term::cut(into, Axis::Width)],
            guest: vec![Term::known(piece, axis, run)],
            share: 1.0,
            least: Length::ZERO,
            greatest: Greatest::Gap(Length::computed_mm(4.0 * defaults::FLUSH_MM)),
            given: given?,
            aim: Aim::Least,
            when: When::Always,
            words: FitWords {
                cut: "free end",
                dimension: "set back",
                gap: "step by which the free end stands back".into(),
                too_tight: format!("the end of {} stands out of the board", guest.name),
                too_loose: "the free end stands back so far that the channel shows".into(),
            },
        };
        let (moves, moves_axis, holds, holds_axis) = match axis {
            Axis::Length => (into, Axis::Width, piece, Axis::Length),
            Axis::Width | Axis::Thickness => (piece, axis, into, Axis::Width),
        };
        Some(JointPlan {
            trial: "the dry piece slides home with a hand push and a few taps".into(),
            kind: "sliding_dovetail",
            span: site.span(),
            cut_on: cut_on?,
            fits: vec![drift],
            bonds: vec![BondPlan {
                name: name.clone(),
                moves,
                moves_axis,
                moves_thickness: None,
                holds,
                holds_axis,
                width: run,
                band: guest.thickness,
                design,
                screw: Length::computed_mm(defaults::SCREW_MM),
                from_fixed: run,
            }],
            housings: vec![Housing {
                part: into,
                what: "dovetailed channel",
                face: face?.map_or(CutFace::Inside, |word| word.0),
                from_reference: at,
                width: Setting::Known(guest.thickness),
                depth: Setting::Known(depth),
                along: Axis::Length,
                through: false,
                count: 1,
            }],
            notes: vec!["Glue the front end last, as it slides home.".into()],
            name,
        })
    }
}
