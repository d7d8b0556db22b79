//! Dovetail: tails of one board in the pins of another, as at the corner of a drawer.

use super::Recipe;
use super::fixed::Fixed;
use crate::joint::Axis;
use crate::joint::plan::{Behind, CutFace, Housing, JointPlan, Setting};
use crate::joint::recipe_reader::RecipeReader;
use crate::units::Length;
use crate::units::notation::millimetres;
use crate::units::spanned::{Name, Names, Spanned};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// Tails of one board in the pins of another, as at the corner of a drawer or a chest. Their widths run the same way, so that the two move alike.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Dovetail {
    /// A name of its own for the answers.
    pub name: Option<Spanned<Name>>,
    /// The board with the tails.
    pub piece: Names,
    /// The board with the pins.
    pub into: Names,
    /// The day it is made.
    pub on: Option<Spanned<Date>>,
}

impl Recipe for Dovetail {
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part()?, site.piece()?);
        let (own, other) = (site.facts(piece), site.facts(into));
        // Half-blind where the tails reach less deep than the board with the pins is thick.
        let base = site.reach().unwrap_or(other.thickness);
        let cut = |part, what, width, depth, takes| Housing {
            part,
            what,
            face: CutFace::End,
            from_reference: Setting::Known(Length::ZERO),
            width: Setting::Known(width),
            depth: Setting::Known(depth),
            along: Axis::Width,
            behind: Behind::Nothing,
            takes,
            count: site.count(),
        };
        let housings = vec![
            cut(piece, "tails, base line", own.width, base, None),
            cut(
                into,
                "pins, base line",
                other.width,
                own.thickness,
                Some(piece),
            ),
        ];
        let plan = Fixed {
            kind: "dovetail",
            name: self.name.as_ref(),
            called: format!("{} dovetailed into {}", own.name, other.name),
            axes: [Axis::Width, Axis::Width],
            square: [Axis::Length, Axis::Length],
            run: site
                .shared(Axis::Width)
                .unwrap_or_else(|| own.width.min(other.width)),
            band: own.thickness,
            bonded: true,
            on: self.on.as_ref(),
            trial: "one tail goes into one socket of an off-cut with light taps",
            notes: vec![format!(
                "Gauge the base line of the tails to {} and that of the pins to {}, the sizes of the day.",
                millimetres(base),
                millimetres(own.thickness)
            )],
            hardware: Vec::new(),
        }
        .plan(site)?;
        Some(JointPlan { housings, ..plan })
    }
}
