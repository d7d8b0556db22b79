//! `[[straighten]]`: bowed panels and what holds them.

use super::joint_hold::{HoldKeys, HoldPlan};
use super::wood::PartWood;
use super::words::{CrownWord, GripWord};
use crate::carcass::{BowedPanel, Grip, PanelFace, Support};
use crate::joint::{PartFacts, PartId, Parts, RecipeReader};
use crate::units::notation::{Flag, Lengths};
use crate::units::spanned::{Name, Placed, Problems, Spanned};
use crate::units::{Bounds, Length, Refusal, Stress};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// A bowed panel forced straight by its supports.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct StraightenKeys {
    /// The part that is bowed.
    pub part: Spanned<Name>,
    /// Rise of its bow over its length.
    pub bow: Spanned<Length>,
    /// Which way its crown faces: up or down; up unless given.
    pub crown: Option<Spanned<CrownWord>>,
    /// Stiffness along the grain; that of its wood unless given.
    pub stiffness: Option<Spanned<Stress>>,
    /// Places from its reference end that hold it both ways, such as "0in, 28in, 56in".
    pub supports: Option<Spanned<Lengths>>,
    /// Supports about which more is known.
    #[serde(default)]
    pub support: Vec<Placed<SupportKeys>>,
    /// Dividers that stand on this part and reach up to another part that is straightened too.
    #[serde(default)]
    pub divider: Vec<Placed<DividerKeys>>,
    /// Rise of a cup over its width, flattened as well.
    pub cup: Option<Spanned<Length>>,
    /// Places of the fastenings across its width at each support.
    pub across: Option<Spanned<Lengths>>,
}

/// One support.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SupportKeys {
    /// What it is called.
    pub name: Option<Spanned<Name>>,
    /// Its place from the reference end.
    pub at: Spanned<Length>,
    /// What it can give: both ways, push on the crown, push on the hollow.
    pub grip: Option<Spanned<GripWord>>,
    /// Whether the part is kept from turning there; false unless given.
    pub turn_held: Option<Spanned<Flag>>,
    /// How far it is off the straight line, toward the crown.
    pub out_of_line: Option<Spanned<Length>>,
    /// Whether it stands above the part; below unless given.
    pub above: Option<Spanned<Flag>>,
    /// What holds the part to it.
    pub hold: Option<Placed<HoldKeys>>,
}

/// A divider between two parts that are straightened.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DividerKeys {
    /// What it is called.
    pub name: Option<Spanned<Name>>,
    /// Its place from the reference end.
    pub at: Spanned<Length>,
    /// The part above that it reaches up to.
    pub to: Spanned<Name>,
    /// Whether it is glued or screwed to both; true unless given.
    pub fastened: Option<Spanned<Flag>>,
    /// How much longer it is than the opening.
    pub too_long: Option<Spanned<Length>>,
    /// What holds it to both parts.
    pub hold: Option<Placed<HoldKeys>>,
}

/// A support, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportPlan {
    /// The support, its joint still without a wood.
    pub support: Support,
    /// What holds the part to it.
    pub hold: Option<HoldPlan>,
}

/// A divider, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct DividerPlan {
    /// What it is called.
    pub name: Option<String>,
    /// Its place.
    pub at: Length,
    /// The part above.
    pub to: PartId,
    /// Whether it is fastened to both.
    pub fastened: bool,
    /// How much longer it is than the opening.
    pub too_long: Length,
    /// What holds it.
    pub hold: Option<HoldPlan>,
}

/// A bowed panel and its supports, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct StraightenPlan {
    /// Where the file tells it.
    pub span: Range<usize>,
    /// The part.
    pub part: PartId,
    /// Bow, positive with the crown up.
    pub bow: Length,
    /// Stiffness where it is given.
    pub stiffness: Option<Stress>,
    /// The supports.
    pub supports: Vec<SupportPlan>,
    /// Dividers that stand on it.
    pub dividers: Vec<DividerPlan>,
    /// Cup and fastenings across, where given.
    pub cup: Option<(Length, Vec<Length>)>,
}

impl StraightenKeys {
    /// The checked plan, or `None` after noting every problem.
    pub fn read(
        &self,
        span: Range<usize>,
        parts: &Parts<'_>,
        problems: &mut Problems,
    ) -> Option<StraightenPlan> {
        let mut site = RecipeReader::new(parts, problems, span.clone());
        let part = site.part(&self.part);
        let bow = site.take(&self.bow);
        let crown = site.take_optional(self.crown.as_ref());
        let stiffness = modulus(&mut site, self.stiffness.as_ref());
        let plain = site.take_optional(self.supports.as_ref());
        let cup = site.take_optional(self.cup.as_ref());
        let across = site.take_optional(self.across.as_ref());
        let up = crown
            .as_ref()
            .is_some_and(|word| word.is_none_or(|word| word.0));
        let supports: Option<Vec<SupportPlan>> = self
            .support
            .iter()
            .map(|one| {
                let mut site = RecipeReader::new(parts, problems, one.span());
                one.get().read(up, &mut site)
            })
            .collect::<Vec<_>>()
            .into_iter()
            .collect();
        let dividers: Option<Vec<DividerPlan>> = self
            .divider
            .iter()
            .map(|one| {
                let mut site = RecipeReader::new(parts, problems, one.span());
                one.get().read(&mut site)
            })
            .collect::<Vec<_>>()
            .into_iter()
            .collect();
        let (part, bow, crown, mut supports) = (part?, bow?, crown?, supports?);
        if let Some(Lengths(places)) = plain? {
            supports.extend(places.into_iter().map(|at| SupportPlan {
                support: Support::at(at),
                hold: None,
            }));
        }
        let mut site = RecipeReader::new(parts, problems, span.clone());
        let cup = match (cup?, across?) {
            (Some(cup), Some(Lengths(places))) => Some((cup, places)),
            (None, None) => None,
            _ => {
                site.problem_here(
                    "a cup is flattened by fastenings across the width, and only one of the two is given",
                    "give both cup and across, or neither",
                );
                return None;
            }
        };
        let length = site.facts(part).length;
        for one in &supports {
            let at = one.support.at;
            if at.mm() < 0.0 || at > length {
                site.problem_here(
                    format!(
                        "a support at {:.1} mm is off the part, which is {:.1} mm long",
                        at.mm(),
                        length.mm()
                    ),
                    "measure its place from the part's reference end",
                );
                return None;
            }
        }
        let sign = if crown.is_none_or(|word| word.0) {
            1.0
        } else {
            -1.0
        };
        Some(StraightenPlan {
            span,
            part,
            bow: bow * sign,
            stiffness: stiffness?,
            supports,
            dividers: dividers?,
            cup,
        })
    }
}

/// A stiffness inside its row of the table.
pub(super) fn modulus(
    site: &mut RecipeReader<'_>,
    given: Option<&Spanned<Stress>>,
) -> Option<Option<Stress>> {
    let Some(given) = given else {
        return Some(None);
    };
    let stress = site.take(given)?;
    match Bounds::MODULUS.check(stress.mpa()) {
        Ok(_) => Some(Some(stress)),
        Err(error) => {
            site.problem(
                given.span(),
                error.to_string(),
                "give a stiffness such as \"11GPa\"",
            );
            None
        }
    }
}

impl SupportKeys {
    fn read(&self, crown_up: bool, site: &mut RecipeReader<'_>) -> Option<SupportPlan> {
        let name = site.take_optional(self.name.as_ref());
        let at = site.length(&self.at, Bounds::LENGTH);
        let grip = site.take_optional(self.grip.as_ref());
        let turn_held = site.take_optional(self.turn_held.as_ref());
        let out_of_line = site.length_or(self.out_of_line.as_ref(), Bounds::LENGTH, 0.0);
        let above = site.take_optional(self.above.as_ref());
        let hold = match &self.hold {
            Some(keys) => keys.get().read(site).map(Some),
            None => Some(None),
        };
        let above = above?.is_some_and(|flag| flag.0);
        let face = if above == crown_up {
            PanelFace::Crown
        } else {
            PanelFace::Hollow
        };
        let grip = grip?.map_or(Grip::BothWays, |word| word.0);
        Some(SupportPlan {
            support: Support {
                at: at?,
                turn_held: turn_held?.is_some_and(|flag| flag.0),
                out_of_line: out_of_line?,
                stands_on: Some(face),
                name: name?.map(|name| name.0),
                ..Support::default()
            }
            .with_grip(grip),
            hold: hold?,
        })
    }
}

impl DividerKeys {
    fn read(&self, site: &mut RecipeReader<'_>) -> Option<DividerPlan> {
        let name = site.take_optional(self.name.as_ref());
        let at = site.length(&self.at, Bounds::LENGTH);
        let to = site.part(&self.to);
        let fastened = site.take_optional(self.fastened.as_ref());
        let too_long = site.length_or(self.too_long.as_ref(), Bounds::LENGTH, 0.0);
        let hold = match &self.hold {
            Some(keys) => keys.get().read(site).map(Some),
            None => Some(None),
        };
        Some(DividerPlan {
            name: name?.map(|name| name.0),
            at: at?,
            to: to?,
            fastened: fastened?.is_none_or(|flag| flag.0),
            too_long: too_long?,
            hold: hold?,
        })
    }
}

impl StraightenPlan {
    pub(super) fn panel(&self, facts: &PartFacts, wood: &PartWood) -> Result<BowedPanel, Refusal> {
        BowedPanel::new(
            facts.length,
            facts.width,
            facts.thickness,
            self.stiffness.unwrap_or(wood.modulus),
            self.bow,
        )
    }

    pub(super) fn supports(&self, wood: &PartWood) -> Vec<Support> {
        self.supports
            .iter()
            .map(|one| Support {
                joint: one.hold.map(|hold| hold.within(wood)),
                ..one.support.clone()
            })
            .collect()
    }
}
