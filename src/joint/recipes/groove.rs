//! Groove: a channel along the grain that takes a thickness: a drawer bottom, a panel, a tongue.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::plan::{Behind, CutFace, Housing, JointPlan, Setting};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::FaceWord;
use crate::joint::{Axis, defaults};
use crate::units::notation::the;
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A channel along the grain of `into` that takes the thickness of `piece`.
///
/// In a broad face the channel's width runs across the grain of `into`; in an edge it runs through its thickness.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Groove {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The part the groove is cut into.
    pub into: Names,
    /// The part whose thickness goes into it.
    pub piece: Names,
    /// The surface that is cut: "edge" unless given, or "inside", "outside".
    pub face: Option<Spanned<FaceWord>>,
    /// From the reference edge or face of `into` to the near side of the groove.
    pub from: Option<Spanned<Length>>,
    /// How deep it is cut.
    pub depth: Option<Spanned<Length>>,
    /// How wide it is cut, to be judged; left out, the program says how wide.
    pub width: Option<Spanned<Length>>,
    /// Minimum clearance, instead of the usual.
    pub min: Option<Spanned<Length>>,
    /// Maximum clearance, instead of the usual.
    pub max: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Groove {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part(), site.piece());
        let face = site.face_or(self.face.as_ref(), CutFace::Edge);
        let across = face.map(CutFace::across);
        let follows = across.and_then(|axis| site.from_reference(axis));
        let from = site.length_of("from", self.from.as_ref(), Bounds::WIDTH, follows);
        let depth = site.length_of(
            "depth",
            self.depth.as_ref(),
            Bounds::CUT_DEPTH,
            site.reach(),
        );
        let given = site.length_or_none(self.width.as_ref(), Bounds::THICKNESS);
        let cut_on = site.take_optional(self.on.as_ref());
        let min = site.length_or(self.min.as_ref(), Bounds::LENGTH, defaults::GROOVE.0);
        let max = site.length_or(self.max.as_ref(), Bounds::LENGTH, defaults::GROOVE.1);
        let (into, piece, from, depth, given) = (into?, piece?, from?, depth?, given?);
        let (min, max) = (min?, max?);
        site.ordered(min, max)?;
        let face = face?;
        let axis = face.across();
        site.leaves_wood(self.depth.as_ref(), depth, "groove", into, face)?;
        let (into_facts, piece_facts) = (site.facts(into), site.facts(piece));
        if from + piece_facts.thickness > into_facts.size(axis) {
            site.problem(
                site.at_key(self.from.as_ref()),
                format!(
                    "the groove lies outside the {} of `{}`, {:.1} mm",
                    axis.word(),
                    into_facts.name,
                    into_facts.size(axis).mm()
                ),
                "give `from` from the reference edge or face of the part it is cut into",
            );
            return None;
        }
        let name = site.name_or(
            self.name.as_ref(),
            format!("{} in a groove of {}", piece_facts.name, into_facts.name),
        )?;
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(Scheme::Channel, into, piece, Hold::Dry),
            trial: format!(
                "the edge of {} slides in a trial groove by hand and does not rattle",
                the(&piece_facts.name)
            ),
            fits: vec![Fit {
                name: name.clone(),
                opening: vec![Term::cut(into, axis)],
                part: vec![Term::known(piece, Axis::Thickness, piece_facts.thickness)],
                share: 1.0,
                min,
                max: MaxGap::Gap(max),
                given,
                aim: Aim::Middle,
                when: When::Always,
                words: FitWords {
                    cut: "groove",
                    dimension: "wide",
                    gap: format!("clearance of {} in the groove", the(&piece_facts.name)),
                    too_tight: format!(
                        "{} jams in the groove and cannot float",
                        the(&piece_facts.name)
                    ),
                    too_loose: format!("{} rattles in the groove", the(&piece_facts.name)),
                },
            }],
            name,
            kind: "groove",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: vec![Housing {
                part: into,
                what: "groove",
                face,
                from_reference: Setting::Known(from),
                width: Setting::of_fit(0),
                depth: Setting::Known(depth),
                along: axis,
                behind: Behind::Bottom,
                takes: Some(piece),
                count: site.count(),
            }],
            notes: Vec::new(),
        })
    }
}
