//! Dado (housing): a board's end set into a channel across another board's grain.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, Greatest, Size, Term, When};
use crate::joint::plan::{
    Behind, BondPlan, BondSide, CutFace, Design, Housing, JointPlan, Loosened, Setting,
};
use crate::joint::recipes::words::FaceWord;
use crate::joint::site::Site;
use crate::joint::{Axis, defaults};
use crate::units::notation::{Flag, the};
use crate::units::told::{Name, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A board's end set into a channel across another board.
///
/// The channel's width runs along the grain of `into` and stays; the thickness of `piece` moves in it.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Dado {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The part the dado is cut into.
    pub into: Told<Name>,
    /// The part whose end goes into it.
    pub piece: Told<Name>,
    /// The face of `into` that is cut: inside or outside.
    pub face: Option<Told<FaceWord>>,
    /// From the reference end of `into` to the near side of the dado.
    pub at: Told<Length>,
    /// How deep it is cut.
    pub depth: Told<Length>,
    /// How wide it is cut, to be judged; left out, the program says how wide.
    pub width: Option<Told<Length>>,
    /// Whether the joint is glued; true unless told.
    pub glued: Option<Told<Flag>>,
    /// Least play, instead of the usual.
    pub least: Option<Told<Length>>,
    /// Greatest play, instead of the usual.
    pub greatest: Option<Told<Length>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for Dado {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.part(&self.into), site.part(&self.piece));
        let at = site.length(&self.at, Bounds::LENGTH);
        let depth = site.length(&self.depth, Bounds::DEPTH);
        let given = site.length_or_none(self.width.as_ref(), Bounds::WIDTH);
        let face = site.take_optional(self.face.as_ref());
        let glued = site.take_optional(self.glued.as_ref());
        let cut_on = site.take_optional(self.on.as_ref());
        let (into, piece, at, depth, given) = (into?, piece?, at?, depth?, given?);
        let glued = glued?.is_none_or(|answer| answer.0);
        let usual = if glued {
            defaults::GLUED_DADO
        } else {
            defaults::LOOSE_DADO
        };
        let least = site.length_or(self.least.as_ref(), Bounds::LENGTH, usual.0)?;
        let greatest = site.length_or(self.greatest.as_ref(), Bounds::LENGTH, usual.1)?;
        site.ordered(least, greatest)?;
        let (host, guest) = (site.facts(into), site.facts(piece));
        let face = face?.map_or(CutFace::Inside, |word| word.0);
        if matches!(face, CutFace::Edge | CutFace::End) {
            site.problem(
                self.face.as_ref().map_or_else(|| site.span(), Told::span),
                format!(
                    "a dado runs across a broad face, not the {} of `{}`",
                    face.word(),
                    host.name
                ),
                "write \"inside\" or \"outside\"; for an edge take [[joints.groove]] or a mortise",
            );
            return None;
        }
        site.leaves_wood(&self.depth, depth, "dado", into, face)?;
        if depth >= guest.length {
            site.problem(
                self.depth.span(),
                format!(
                    "the dado is {:.1} mm deep but `{}` is {:.1} mm long",
                    depth.mm(),
                    guest.name,
                    guest.length.mm()
                ),
                "cut it shallower than the piece is long",
            );
            return None;
        }
        if at.mm() < 0.0 || at + guest.thickness > host.length {
            site.problem(
                self.at.span(),
                format!(
                    "the dado lies outside `{}`, which is {:.0} mm long",
                    host.name,
                    host.length.mm()
                ),
                "give `at` from the reference end of the part it is cut into",
            );
            return None;
        }
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} in {}, dado at {:.0} mm", guest.name, host.name, at.mm()),
        )?;
        let fit = Fit {
            name: name.clone(),
            host: vec![Term {
                part: into,
                axis: Axis::Length,
                size: Size::Cut,
            }],
            guest: vec![Term {
                part: piece,
                axis: Axis::Thickness,
                size: Size::Known(guest.thickness),
            }],
            share: 1.0,
            least,
            greatest: Greatest::Gap(greatest),
            given,
            aim: Aim::Middle,
            when: if glued { When::Assembly } else { When::Always },
            words: FitWords {
                cut: "dado",
                dimension: "wide",
                gap: format!("play of {} in the dado", the(&guest.name)),
                too_tight: format!("{} does not go in without force", the(&guest.name)),
                too_loose: if glued {
                    "the glue line is too thick to hold".into()
                } else {
                    "it rattles and the gap shows".into()
                },
            },
        };
        let run = guest.width.min(host.width);
        let bonds = if glued {
            vec![BondPlan {
                name: name.clone(),
                moves: BondSide::on_rim(piece, Axis::Width, Axis::Length, guest, run),
                holds: BondSide::around(into, Axis::Width, host, guest.thickness, run),
                both_faces: false,
                width: run,
                band: guest.thickness,
                design: Design::Glued,
                screw: Length::computed_mm(defaults::SCREW_MM),
                from_fixed: run / 2.0,
                loosened: Loosened::Dry,
            }]
        } else {
            Vec::new()
        };
        Some(JointPlan {
            drawing: Drawing::new(
                Scheme::Channel,
                into,
                piece,
                if glued { Hold::Glue } else { Hold::Dry },
            ),
            trial: format!(
                "{} slides into a trial dado in an off-cut by hand, without play",
                the(&guest.name)
            ),
            name,
            kind: "dado",
            span: site.span(),
            cut_on: cut_on?,
            fits: vec![fit],
            bonds,
            housings: vec![Housing {
                part: into,
                what: "dado",
                face,
                from_reference: Setting::Known(at),
                width: Setting::of_fit(0),
                depth: Setting::Known(depth),
                along: Axis::Length,
                behind: Behind::Bottom,
                takes: Some(piece),
                count: 1,
            }],
            notes: Vec::new(),
        })
    }
}
