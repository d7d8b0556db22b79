//! Dado (housing): a board's end set into a channel across another board's grain.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Size, Term, When};
use crate::joint::plan::{
    Behind, BondPlan, BondSide, CutFace, Design, Housing, JointPlan, Loosened, Setting,
};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::FaceWord;
use crate::joint::{Axis, defaults};
use crate::units::notation::{Flag, the};
use crate::units::spanned::{Name, Names, Spanned};
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
    pub name: Option<Spanned<Name>>,
    /// The part the dado is cut into.
    pub into: Names,
    /// The part whose end goes into it.
    pub piece: Names,
    /// The face of `into` that is cut: inside or outside.
    pub face: Option<Spanned<FaceWord>>,
    /// From the reference end of `into` to the near side of the dado; it follows from the places.
    pub at: Option<Spanned<Length>>,
    /// How deep it is cut; it follows from the places.
    pub depth: Option<Spanned<Length>>,
    /// How wide it is cut, to be judged; left out, the program says how wide.
    pub width: Option<Spanned<Length>>,
    /// Whether the joint is glued; true unless given.
    pub glued: Option<Spanned<Flag>>,
    /// Minimum clearance, instead of the usual.
    pub min: Option<Spanned<Length>>,
    /// Maximum clearance, instead of the usual.
    pub max: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Dado {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part(), site.piece());
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
        let given = site.length_or_none(self.width.as_ref(), Bounds::WIDTH);
        let face = site.face_or(self.face.as_ref(), CutFace::Inside);
        let glued = site.take_optional(self.glued.as_ref());
        let cut_on = site.take_optional(self.on.as_ref());
        let (into, piece, at, depth, given) = (into?, piece?, at?, depth?, given?);
        let glued = glued?.is_none_or(|answer| answer.0);
        let usual = if glued {
            defaults::GLUED_DADO
        } else {
            defaults::LOOSE_DADO
        };
        let min = site.length_or(self.min.as_ref(), Bounds::LENGTH, usual.0)?;
        let max = site.length_or(self.max.as_ref(), Bounds::LENGTH, usual.1)?;
        site.ordered(min, max)?;
        let (into_facts, piece_facts) = (site.facts(into), site.facts(piece));
        let face = face?;
        if matches!(face, CutFace::Edge | CutFace::End) {
            site.problem(
                self.face
                    .as_ref()
                    .map_or_else(|| site.span(), Spanned::span),
                format!(
                    "a dado runs across a broad face, not the {} of `{}`",
                    face.word(),
                    into_facts.name
                ),
                "write \"inside\" or \"outside\"; for an edge take [[joints.groove]] or a mortise",
            );
            return None;
        }
        site.leaves_wood(self.depth.as_ref(), depth, "dado", into, face)?;
        if depth >= piece_facts.length {
            site.problem(
                site.at_key(self.depth.as_ref()),
                format!(
                    "the dado is {:.1} mm deep but `{}` is {:.1} mm long",
                    depth.mm(),
                    piece_facts.name,
                    piece_facts.length.mm()
                ),
                "cut it shallower than the piece is long",
            );
            return None;
        }
        if at.mm() < 0.0 || at + piece_facts.thickness > into_facts.length {
            site.problem(
                site.at_key(self.at.as_ref()),
                format!(
                    "the dado lies outside `{}`, which is {:.0} mm long",
                    into_facts.name,
                    into_facts.length.mm()
                ),
                "give `at` from the reference end of the part it is cut into",
            );
            return None;
        }
        let name = site.name_or(
            self.name.as_ref(),
            format!(
                "{} in {}, dado at {:.0} mm",
                piece_facts.name,
                into_facts.name,
                at.mm()
            ),
        )?;
        let fit = Fit {
            name: name.clone(),
            opening: vec![Term {
                part: into,
                axis: Axis::Length,
                size: Size::Cut,
            }],
            part: vec![Term {
                part: piece,
                axis: Axis::Thickness,
                size: Size::Known(piece_facts.thickness),
            }],
            share: 1.0,
            min,
            max: MaxGap::Gap(max),
            given,
            aim: Aim::Middle,
            when: if glued { When::Assembly } else { When::Always },
            words: FitWords {
                cut: "dado",
                dimension: "wide",
                gap: format!("clearance of {} in the dado", the(&piece_facts.name)),
                too_tight: format!("{} does not go in without force", the(&piece_facts.name)),
                too_loose: if glued {
                    "the glue line is too thick to hold".into()
                } else {
                    "it rattles and the gap shows".into()
                },
            },
        };
        let run = site
            .shared(Axis::Width)
            .unwrap_or_else(|| piece_facts.width.min(into_facts.width));
        let bonds = if glued {
            vec![BondPlan {
                name: name.clone(),
                moves: BondSide::on_rim(piece, Axis::Width, Axis::Length, piece_facts, run),
                holds: BondSide::around(into, Axis::Width, into_facts, piece_facts.thickness, run),
                both_faces: false,
                held_flat: false,
                width: run,
                band: piece_facts.thickness,
                design: Design::Glued,
                screw: Length::from_mm_unchecked(defaults::SCREW_MM),
                from_fixed: run / 2.0,
                loosened: Loosened::Dry,
            }]
        } else {
            Vec::new()
        };
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(
                Scheme::Channel,
                into,
                piece,
                if glued { Hold::Glue } else { Hold::Dry },
            ),
            trial: format!(
                "{} slides into a trial dado in an off-cut by hand, without clearance",
                the(&piece_facts.name)
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
                count: site.count(),
            }],
            notes: Vec::new(),
        })
    }
}
