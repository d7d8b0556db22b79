//! Dowels: a row of round pins glued into both parts.

use super::Recipe;
use super::fixed::Fixed;
use crate::joint::Axis;
use crate::joint::plan::JointPlan;
use crate::joint::plan::{Behind, CutFace, Housing, Setting};
use crate::joint::recipe_reader::RecipeReader;
use crate::units::notation::Lengths;
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// A row of dowels glued into both parts.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Dowels {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The part with the holes in its end.
    pub piece: Names,
    /// The part with the holes in its face or edge.
    pub into: Names,
    /// Middles of the dowels along the width of `piece`, from its reference edge.
    pub at: Spanned<Lengths>,
    /// Diameter of a dowel.
    pub diameter: Spanned<Length>,
    /// Depth of the holes in `into`.
    pub depth: Spanned<Length>,
    /// Depth of the holes in the end of `piece`; as `depth` unless given.
    pub piece_depth: Option<Spanned<Length>>,
    /// The day it is made.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Dowels {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part()?, site.piece()?);
        let (own, other) = (site.facts(piece), site.facts(into));
        let at = site.take(&self.at);
        let diameter = site.length(&self.diameter, Bounds::THICKNESS);
        let depth = site.length(&self.depth, Bounds::CUT_DEPTH);
        let piece_depth = site.length_or_none(self.piece_depth.as_ref(), Bounds::CUT_DEPTH);
        let (at, diameter, depth) = (at?.0, diameter?, depth?);
        let piece_depth = piece_depth?.unwrap_or(depth);
        site.inside(
            self.at.span(),
            "a dowel",
            at.iter().copied(),
            piece,
            Axis::Width,
        )?;
        let face = site.cut_face().unwrap_or(CutFace::Inside);
        site.leaves_wood(Some(&self.depth), depth, "hole", into, face)?;
        let row = site.row_axis().unwrap_or(Axis::Width);
        let from = site.from_reference(row).unwrap_or_default();
        let hole = |part, face, near: Length, along, depth, behind| Housing {
            part,
            what: "dowel hole",
            face,
            from_reference: Setting::Known(near - diameter / 2.0),
            width: Setting::Known(diameter),
            depth: Setting::Known(depth),
            along,
            behind,
            takes: None,
            count: site.count(),
        };
        let housings: Vec<Housing> = at
            .iter()
            .flat_map(|place| {
                [
                    hole(into, face, from + *place, row, depth, Behind::Bottom),
                    hole(
                        piece,
                        CutFace::End,
                        *place,
                        Axis::Width,
                        piece_depth,
                        Behind::Nothing,
                    ),
                ]
            })
            .collect();
        let count = at.len();
        let mut plan = Fixed {
            kind: "dowels",
            name: self.name.as_ref(),
            called: format!("{} doweled to {}", own.name, other.name),
            axes: [Axis::Width, site.row_axis().unwrap_or(Axis::Width)],
            square: [Axis::Length, Axis::Thickness],
            run: at.last().copied().unwrap_or_default() - at.first().copied().unwrap_or_default(),
            band: diameter,
            bonded: at.len() > 1,
            on: self.on.as_ref(),
            trial: "a dowel goes into a trial hole by hand pressure",
            notes: Vec::new(),
            hardware: vec![("dowels".into(), u32::try_from(count).unwrap_or(0))],
        }
        .plan(site)?;
        plan.housings = housings;
        Some(plan)
    }
}
