//! Mortise and tenon: the tenon is glued across the grain of the stile, so its width is a bond.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::plan::{
    Behind, BondPlan, BondSide, CutFace, Design, Housing, JointPlan, Loosened, Setting,
};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::FaceWord;
use crate::joint::{Axis, defaults};
use crate::units::notation::Flag;
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A tenon on the end of `piece` in a mortise of `into`.
///
/// The mortise's length runs along the grain of `into`, the tenon's width across the grain of `piece`.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MortiseAndTenon {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The part with the mortise.
    pub into: Names,
    /// The part with the tenon.
    pub piece: Names,
    /// From the reference end of `into` to the near end of the mortise.
    pub at: Option<Spanned<Length>>,
    /// Width of the tenon; the width of `piece` unless given.
    pub tenon_width: Option<Spanned<Length>>,
    /// Thickness of the tenon; a third of the thickness of `piece` unless given.
    pub tenon_thickness: Option<Spanned<Length>>,
    /// How deep the mortise is cut.
    pub depth: Option<Spanned<Length>>,
    /// From the reference face (or edge) of `into` to the near cheek of the mortise; in the middle unless given.
    pub cheek: Option<Spanned<Length>>,
    /// Length of the tenon; short of the mortise's bottom unless given.
    pub tenon_length: Option<Spanned<Length>>,
    /// The surface of `into` that is mortised: "edge" unless given.
    pub face: Option<Spanned<FaceWord>>,
    /// Whether the joint is glued; true unless given.
    pub glued: Option<Spanned<Flag>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for MortiseAndTenon {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part(), site.piece());
        let tenon_width = site.length_or_none(self.tenon_width.as_ref(), Bounds::WIDTH);
        let tenon_thickness = site.length_or_none(self.tenon_thickness.as_ref(), Bounds::THICKNESS);
        let depth = site.length_of(
            "depth",
            self.depth.as_ref(),
            Bounds::CUT_DEPTH,
            site.reach(),
        );
        let face = site.face_or(self.face.as_ref(), CutFace::Edge);
        let cheek = site.length_or_none(self.cheek.as_ref(), Bounds::DEPTH);
        let long = site.length_or_none(self.tenon_length.as_ref(), Bounds::DEPTH);
        let glued = site.take_optional(self.glued.as_ref());
        let cut_on = site.take_optional(self.on.as_ref());
        let (into, piece, depth) = (into?, piece?, depth?);
        let (stile, rail) = (site.facts(into), site.facts(piece));
        let width = tenon_width?.unwrap_or(rail.width);
        let thickness = tenon_thickness?.unwrap_or(rail.thickness / 3.0);
        // A tenon narrower than its part is in the middle of it unless its offset is given.
        let near = site.from_reference(Axis::Length);
        let at = match &self.at {
            Some(at) => site.length(at, Bounds::LENGTH)?,
            None => site.length_of(
                "at",
                None,
                Bounds::LENGTH,
                near.map(|near| near + (rail.width - width) / 2.0),
            )?,
        };
        if width > rail.width || thickness > rail.thickness {
            site.problem_here(
                format!(
                    "the tenon, {:.1} x {:.1} mm, is larger than the end of `{}`, {:.1} x {:.1} mm",
                    width.mm(),
                    thickness.mm(),
                    rail.name,
                    rail.width.mm(),
                    rail.thickness.mm()
                ),
                "make the tenon smaller than the part it is cut on",
            );
            return None;
        }
        if at.mm() < 0.0 || at + width > stile.length {
            site.problem(
                site.at_key(self.at.as_ref()),
                format!(
                    "the mortise lies outside `{}`, which is {:.0} mm long",
                    stile.name,
                    stile.length.mm()
                ),
                "give `at` from the reference end of the part it is cut into",
            );
            return None;
        }
        let face = face?;
        if face == CutFace::End {
            site.problem(
                self.face
                    .as_ref()
                    .map_or_else(|| site.span(), Spanned::span),
                "a mortise runs along the grain, not in an end",
                "write \"edge\", \"inside\" or \"outside\"",
            );
            return None;
        }
        site.leaves_wood(self.depth.as_ref(), depth, "mortise", into, face)?;
        let across = face.across();
        let middle = site
            .from_reference(across)
            .zip(site.shared(across))
            .map_or(stile.size(across) / 2.0, |(from, shared)| {
                from + shared / 2.0
            });
        let cheek = cheek?.unwrap_or(middle - thickness / 2.0);
        if cheek.mm() < 0.0 || cheek + thickness >= stile.size(across) {
            site.problem(
                self.cheek.as_ref().map_or_else(|| self.into.span(), Spanned::span),
                format!(
                    "a mortise {:.1} mm wide, {:.1} mm from the reference, leaves no cheek in `{}`, {:.1} mm there",
                    thickness.mm(),
                    cheek.mm(),
                    stile.name,
                    stile.size(across).mm()
                ),
                "make the tenon thinner or move the mortise; a third of the wood is usual",
            );
            return None;
        }
        let long = long?.unwrap_or(
            depth - Length::from_mm_unchecked(defaults::TENON_BOTTOM_MM).min(depth / 4.0),
        );
        if long > depth {
            site.problem(
                self.tenon_length
                    .as_ref()
                    .map_or_else(|| site.span(), Spanned::span),
                format!(
                    "the tenon is {:.1} mm long but its mortise {:.1} mm deep",
                    long.mm(),
                    depth.mm()
                ),
                "make the tenon shorter than the mortise is deep, or leave it out",
            );
            return None;
        }
        let name = site.name_or(
            self.name.as_ref(),
            format!("tenon of {} in {}", rail.name, stile.name),
        )?;
        let glued = glued?.is_none_or(|flag| flag.0);
        let limits = if glued {
            defaults::GLUED_DADO
        } else {
            defaults::LOOSE_DADO
        };
        let when = if glued { When::Assembly } else { When::Always };
        let loose = if glued {
            "the glue line is too thick to hold"
        } else {
            "the tenon rattles"
        };
        let fit = |name: String,
                   opening: Term,
                   part: Term,
                   limits: (f64, f64),
                   dimension,
                   gap: &str,
                   loose: &str| Fit {
            name,
            opening: vec![opening],
            part: vec![part],
            share: 1.0,
            min: Length::from_mm_unchecked(limits.0),
            max: MaxGap::Gap(Length::from_mm_unchecked(limits.1)),
            given: None,
            aim: Aim::Middle,
            when,
            words: FitWords {
                cut: "mortise",
                dimension,
                gap: gap.into(),
                too_tight: "the tenon does not go in without splitting the mortise".into(),
                too_loose: loose.into(),
            },
        };
        let cheeks = fit(
            format!("{name}, cheeks"),
            Term::cut(into, across),
            Term::known(piece, Axis::Thickness, thickness),
            limits,
            "wide",
            "clearance at the tenon's cheeks",
            loose,
        );
        let edges = fit(
            format!("{name}, edges"),
            Term::cut(into, Axis::Length),
            Term::known(piece, Axis::Width, width),
            defaults::TENON_EDGE,
            "long",
            "clearance at the tenon's edges",
            "the joint can rack before the glue has set",
        );
        let bonds = if glued {
            vec![BondPlan {
                name: name.clone(),
                moves: BondSide {
                    extent: thickness,
                    ..BondSide::on_face(piece, Axis::Width, rail)
                },
                holds: BondSide {
                    part: into,
                    axis: Axis::Length,
                    square: across,
                    extent: stile.size(across) - thickness,
                },
                both_faces: true,
                held_flat: false,
                width,
                band: depth,
                design: Design::Glued,
                screw: Length::from_mm_unchecked(defaults::SCREW_MM),
                from_fixed: width / 2.0,
                loosened: Loosened::NarrowerTenon,
            }]
        } else {
            Vec::new()
        };
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(
                Scheme::Mortise,
                into,
                piece,
                if glued { Hold::Glue } else { Hold::Dry },
            ),
            trial: "the tenon goes into a trial mortise by hand pressure and stays when lifted"
                .into(),
            name,
            kind: "mortise_and_tenon",
            span: site.span(),
            cut_on: cut_on?,
            fits: vec![cheeks, edges],
            bonds,
            housings: vec![
                Housing {
                    part: into,
                    what: "mortise, its length",
                    face,
                    from_reference: Setting::Known(at),
                    width: Setting::of_fit(1),
                    depth: Setting::Known(depth),
                    along: Axis::Length,
                    behind: Behind::Bottom,
                    takes: Some(piece),
                    count: site.count(),
                },
                Housing {
                    part: into,
                    what: "mortise, its width",
                    face,
                    from_reference: Setting::Known(cheek),
                    width: Setting::of_fit(0),
                    depth: Setting::Known(depth),
                    along: across,
                    behind: Behind::Bottom,
                    takes: Some(piece),
                    count: site.count(),
                },
                Housing {
                    part: piece,
                    what: "tenon, left standing",
                    face: CutFace::End,
                    from_reference: Setting::Known((rail.thickness - thickness) / 2.0),
                    width: Setting::Known(thickness),
                    depth: Setting::Known(long),
                    along: Axis::Thickness,
                    behind: Behind::Nothing,
                    takes: None,
                    count: site.count(),
                },
            ],
            notes: Vec::new(),
        })
    }
}
