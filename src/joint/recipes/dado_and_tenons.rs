//! Housed with floating tenons: a dado, and loose tenons from its bottom on.

use super::{Dado, Recipe};
use crate::joint::Axis;
use crate::joint::plan::{Behind, CutFace, Housing, JointPlan, Setting};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::recipes::words::FaceWord;
use crate::units::notation::Lengths;
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A board's end in a dado, with loose tenons that go deeper: the dado keeps it straight, the tenons hold it.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DadoAndTenons {
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
    /// How deep the dado is; it follows from the places.
    pub depth: Option<Spanned<Length>>,
    /// Middles of the tenons, from the reference edge of `piece`: "2in, 7in, 12in".
    pub tenons: Spanned<Lengths>,
    /// Width of one tenon.
    pub tenon_width: Spanned<Length>,
    /// How far the mortises go beyond the bottom of the dado.
    pub tenon_depth: Spanned<Length>,
    /// Depth of the mortises in the end of `piece`; as `tenon_depth` unless given.
    pub piece_depth: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for DadoAndTenons {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let tenons = site.take(&self.tenons);
        let width = site.length(&self.tenon_width, Bounds::WIDTH);
        let beyond = site.length(&self.tenon_depth, Bounds::CUT_DEPTH);
        let piece_depth = site.length_or_none(self.piece_depth.as_ref(), Bounds::CUT_DEPTH);
        let dado = Dado {
            name: self.name.clone(),
            into: self.into.clone(),
            piece: self.piece.clone(),
            face: self.face.clone(),
            at: self.at.clone(),
            depth: self.depth.clone(),
            width: None,
            glued: None,
            min: None,
            max: None,
            on: self.on.clone(),
        };
        let mut plan = dado.expand(site)?;
        let (tenons, width, beyond) = (tenons?.0, width?, beyond?);
        let piece_depth = piece_depth?.unwrap_or(beyond);
        let (into, piece) = (site.into_part()?, site.piece()?);
        site.inside(
            self.tenons.span(),
            "a tenon",
            tenons.iter().copied(),
            piece,
            Axis::Width,
        )?;
        let cut = plan.housings.first()?.clone();
        let Setting::Known(dado_depth) = cut.depth else {
            return None;
        };
        let whole = dado_depth + beyond;
        site.leaves_wood(
            Some(&self.tenon_depth),
            whole,
            "mortise under the dado",
            into,
            cut.face,
        )?;
        let from = site.from_reference(Axis::Width).unwrap_or(Length::ZERO);
        for place in &tenons {
            let mortise = |part, what, face, near: Length, depth, behind| Housing {
                part,
                what,
                face,
                from_reference: Setting::Known(near - width / 2.0),
                width: Setting::Known(width),
                depth: Setting::Known(depth),
                along: Axis::Width,
                behind,
                takes: None,
                count: site.count(),
            };
            plan.housings.push(mortise(
                into,
                "mortise under the dado",
                cut.face,
                from + *place,
                whole,
                Behind::Bottom,
            ));
            plan.housings.push(mortise(
                piece,
                "mortise in the end",
                CutFace::End,
                *place,
                piece_depth,
                Behind::Nothing,
            ));
        }
        plan.kind = "dado_and_tenons";
        plan.hardware = vec![(
            "loose tenons".into(),
            u32::try_from(tenons.len()).unwrap_or(0),
        )];
        plan.notes.push(
            "Cut the dado first, then the mortises from its bottom; glue the tenons into the end before assembly.".into(),
        );
        Some(plan)
    }
}
