//! Mortise and tenon: the tenon is glued across the grain of the stile, so its width is a bond.

use super::Recipe;
use crate::joint::fit::{Aim, Fit, FitWords, Greatest, Term, When};
use crate::joint::plan::{BondPlan, CutFace, Design, Housing, JointPlan, Setting, Site};
use crate::joint::recipes::words::FaceWord;
use crate::joint::{Axis, defaults};
use crate::units::notation::Flag;
use crate::units::told::{Name, Told};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Deserialize;

/// A tenon on the end of `piece` in a mortise of `into`.
///
/// The mortise's length runs along the grain of `into`, the tenon's width across the grain of `piece`.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MortiseAndTenon {
    /// A name of its own for the answers.
    pub name: Option<Told<Name>>,
    /// The part with the mortise.
    pub into: Told<Name>,
    /// The part with the tenon.
    pub piece: Told<Name>,
    /// From the reference end of `into` to the near end of the mortise.
    pub at: Told<Length>,
    /// Width of the tenon; the width of `piece` unless told.
    pub tenon_width: Option<Told<Length>>,
    /// Thickness of the tenon; a third of the thickness of `piece` unless told.
    pub tenon_thickness: Option<Told<Length>>,
    /// How deep the mortise is cut.
    pub depth: Told<Length>,
    /// The surface of `into` that is mortised: "edge" unless told.
    pub face: Option<Told<FaceWord>>,
    /// Whether the joint is glued; true unless told.
    pub glued: Option<Told<Flag>>,
    /// The day it is cut.
    pub on: Option<Told<Date>>,
}

impl Recipe for MortiseAndTenon {
    fn expand(&self, site: &mut Site<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.part(&self.into), site.part(&self.piece));
        let at = site.length(&self.at, Bounds::LENGTH);
        let tenon_width = site.length_or_none(self.tenon_width.as_ref(), Bounds::WIDTH);
        let tenon_thickness = site.length_or_none(self.tenon_thickness.as_ref(), Bounds::THICKNESS);
        let depth = site.length(&self.depth, Bounds::DEPTH);
        let face = site.take_optional(self.face.as_ref());
        let glued = site.take_optional(self.glued.as_ref());
        let cut_on = site.take_optional(self.on.as_ref());
        let (into, piece, at, depth) = (into?, piece?, at?, depth?);
        let (stile, rail) = (site.facts(into), site.facts(piece));
        let width = tenon_width?.unwrap_or(rail.width);
        let thickness = tenon_thickness?.unwrap_or(rail.thickness / 3.0);
        if width > rail.width || thickness > rail.thickness {
            site.problem_here(
                format!(
                    "the tenon, {:.1} x {:.1} mm, is larger than the end of `{}`, {:.1} x {:.1} mm",
                    width.mm(), thickness.mm(), rail.name, rail.width.mm(), rail.thickness.mm()
                ),
                "make the tenon smaller than the part it is cut on",
            );
            return None;
        }
        if at.mm() < 0.0 || at + width > stile.length {
            site.problem(
                self.at.span(),
                format!("the mortise lies outside `{}`, which is {:.0} mm long", stile.name, stile.length.mm()),
                "give `at` from the reference end of the part it is cut into",
            );
            return None;
        }
        let glued = glued?.is_none_or(|flag| flag.0);
        let name = site.name_or(self.name.as_ref(), format!("tenon of {} in {}", rail.name, stile.name))?;
        let limits = if glued { defaults::GLUED_DADO } else { defaults::LOOSE_DADO };
        let when = if glued { When::Assembly } else { When::Always };
        let fit = |name: String, host: Term, guest: Term, limits: (f64, f64), dimension, gap: &str| Fit {
            name,
            host: vec![host],
            guest: vec![guest],
            share: 1.0,
            least: Length::computed_mm(limits.0),
            greatest: Greatest::Gap(Length::computed_mm(limits.1)),
            given: None,
            aim: Aim::Middle,
            when,
            words: FitWords {
                cut: "mortise",
                dimension,
                gap: gap.into(),
                too_tight: "the tenon does not go in without splitting the mortise".into(),
                too_loose: "the glue line is too thick to hold".into(),
            },
        };
        let cheeks = fit(
            format!("{name}, cheeks"),
            Term::cut(into, Axis::Thickness),
            Term::known(piece, Axis::Thickness, thickness),
            limits,
            "wide",
            "play at the tenon's cheeks",
        );
        let edges = fit(
            format!("{name}, edges"),
            Term::cut(into, Axis::Length),
            Term::known(piece, Axis::Width, width),
            defaults::TENON_EDGE,
            "long",
            "room at the tenon's edges",
        );
        let bonds = if glued {
            vec![BondPlan {
                name: name.clone(),
                moves: piece,
                moves_axis: Axis::Width,
                moves_thickness: None,
                holds: into,
                holds_axis: Axis::Length,
                width,
                band: depth,
                design: Design::Glued,
                screw: Length::computed_mm(defaults::SCREW_MM),
                from_fixed: width / 2.0,
            }]
        } else {
            Vec::new()
        };
        Some(JointPlan {
            trial: "the tenon goes into a trial mortise by hand pressure and stays when lifted".into(),
            name,
            kind: "mortise_and_tenon",
            span: site.span(),
            cut_on: cut_on?,
            fits: vec![cheeks, edges],
            bonds,
            housings: vec![Housing {
                part: into,
                what: "mortise",
                face: face?.map_or(CutFace::Edge, |word| word.0),
                from_reference: at,
                width: Setting::of_fit(1),
                depth: Setting::Known(depth),
                along: Axis::Length,
                through: false,
                count: 1,
            }],
            notes: Vec::new(),
        })
    }
}
