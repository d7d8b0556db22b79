//! Tongue and groove: boards side by side, each fastened at its middle, with a gap that opens and closes.

use super::Recipe;
use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::plan::{Behind, CutFace, Housing, JointPlan, Setting};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::{Axis, defaults};
use crate::units::spanned::{Name, Names, Spanned};
use crate::units::{Bounds, Length};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// Boards side by side, each fastened at its middle.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TongueAndGroove {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// One of the boards; its face width without the tongue counts.
    pub piece: Names,
    /// The part the boards are fastened to, along whose grain they stand side by side.
    pub into: Names,
    /// Length of the tongue.
    pub tongue: Spanned<Length>,
    /// Thickness of the tongue; a third of the board unless given.
    pub tongue_thickness: Option<Spanned<Length>>,
    /// The gap left between two boards today, to be judged; left out, the program says.
    pub gap: Option<Spanned<Length>>,
    /// Minimum gap, at the wettest.
    pub min: Option<Spanned<Length>>,
    /// Minimum of the tongue still in its groove, at the driest.
    pub engagement: Option<Spanned<Length>>,
    /// The day it is cut.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for TongueAndGroove {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (board, onto) = (site.piece(), site.into_part());
        let tongue = site.length(&self.tongue, Bounds::CUT_DEPTH);
        let thick = site.length_or_none(self.tongue_thickness.as_ref(), Bounds::THICKNESS);
        let given = site.length_or_none(self.gap.as_ref(), Bounds::DEPTH);
        let min = site.length_or(self.min.as_ref(), Bounds::DEPTH, defaults::BOARD_GAP_MM);
        let engagement = site.length_or(
            self.engagement.as_ref(),
            Bounds::DEPTH,
            defaults::TONGUE_ENGAGEMENT_MM,
        );
        let cut_on = site.take_optional(self.on.as_ref());
        let (board, onto, tongue) = (board?, onto?, tongue?);
        let facts = site.facts(board);
        let (min, engagement) = (min?, engagement?);
        let thick = thick?.unwrap_or(facts.thickness / 3.0);
        if thick >= facts.thickness {
            site.problem(
                self.tongue_thickness
                    .as_ref()
                    .map_or_else(|| self.piece.span(), Spanned::span),
                format!(
                    "a tongue {:.1} mm thick leaves no cheeks on a board {:.1} mm thick",
                    thick.mm(),
                    facts.thickness.mm()
                ),
                "make the tongue thinner; a third of the board is usual",
            );
            return None;
        }
        if min + engagement > tongue {
            site.problem(
                self.tongue.span(),
                format!(
                    "a tongue {:.1} mm long has no place for a gap of {:.1} mm and {:.1} mm in the groove",
                    tongue.mm(),
                    min.mm(),
                    engagement.mm()
                ),
                "make the tongue longer, or give a smaller `min` or `engagement`",
            );
            return None;
        }
        let groove = tongue + Length::from_mm_unchecked(defaults::TONGUE_BOTTOM_MM);
        site.leaves_wood(Some(&self.tongue), groove, "groove", board, CutFace::Edge)?;
        let name = site.name_or(
            self.name.as_ref(),
            format!("tongue and groove of {}", facts.name),
        )?;
        // The outer edges of the row have neither tongue nor groove.
        let pairs = site.with_a_neighbor(tongue + facts.thickness);
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: Vec::new(),
            drawing: Drawing::new(Scheme::Row, onto, board, Hold::Centre),
            trial: "two off-cuts pushed together slide without force, the tongue short of the groove's bottom".into(),
            fits: vec![Fit {
                name: name.clone(),
                opening: vec![Term::known(onto, Axis::Length, facts.width), Term::cut(onto, Axis::Length)],
                part: vec![Term::known(board, Axis::Width, facts.width)],
                share: 1.0,
                min,
                max: MaxGap::Holding { reach: Term::known(board, Axis::Width, tongue), min: engagement },
                given: given?,
                aim: Aim::Min,
                when: When::Always,
                words: FitWords {
                    cut: "gap between two boards",
                    dimension: "wide",
                    gap: "gap between two boards".into(),
                    too_tight: "the boards meet, push and buckle".into(),
                    too_loose: "the tongue leaves its groove and light shows".into(),
                },
            }],
            name,
            kind: "tongue_and_groove",
            span: site.span(),
            cut_on: cut_on?,
            bonds: Vec::new(),
            housings: ["groove", "tongue"]
                .into_iter()
                .zip([groove, tongue])
                .map(|(what, depth)| Housing {
                    part: board,
                    what,
                    face: CutFace::Edge,
                    from_reference: Setting::Known((facts.thickness - thick) / 2.0),
                    width: Setting::Known(thick),
                    depth: Setting::Known(depth),
                    along: Axis::Thickness,
                    behind: if what == "groove" { Behind::Bottom } else { Behind::Nothing },
                    takes: None,
                    count: pairs,
                })
                .filter(|cut| cut.count > 0)
                .collect(),
            notes: vec!["Fasten each board at its middle only.".into()],
        })
    }
}
