//! What holds a panel at one support, as given.

use super::wood::PartWood;
use crate::carcass::JointHold;
use crate::joint::RecipeReader;
use crate::units::notation::Whole;
use crate::units::spanned::Spanned;
use crate::units::{Bounds, Length};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;

/// The glue line or the screws of a joint: one of the two.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HoldKeys {
    /// Length of the glue line.
    pub glue_length: Option<Spanned<Length>>,
    /// Width of the glue line.
    pub glue_width: Option<Spanned<Length>>,
    /// How many screws.
    pub screws: Option<Spanned<Whole>>,
    /// Diameter of their shank.
    pub screw: Option<Spanned<Length>>,
    /// Length of thread in the wood that holds the point.
    pub threaded: Option<Spanned<Length>>,
}

/// A joint's hold, its wood still to be filled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HoldPlan {
    /// A glue line.
    Glue {
        /// Its length.
        length: Length,
        /// Its width.
        width: Length,
    },
    /// Screws.
    Screws {
        /// How many.
        count: u32,
        /// Diameter of the shank.
        diameter: Length,
        /// Length of thread.
        threaded: Length,
    },
}

impl HoldPlan {
    /// The hold in a wood.
    #[must_use]
    pub fn within(self, wood: &PartWood) -> JointHold {
        match self {
            Self::Glue { length, width } => JointHold::Glue {
                length,
                width,
                strength: wood.tension_across,
            },
            Self::Screws {
                count,
                diameter,
                threaded,
            } => JointHold::Screws {
                count,
                diameter,
                threaded,
                gravity: wood.gravity,
            },
        }
    }
}

impl HoldKeys {
    /// Reads the keys at a place of the file.
    pub(super) fn read(&self, site: &mut RecipeReader<'_>) -> Option<HoldPlan> {
        let glue = self.glue_length.as_ref().zip(self.glue_width.as_ref());
        let screws = self
            .screws
            .as_ref()
            .zip(self.screw.as_ref())
            .zip(self.threaded.as_ref());
        match (glue, screws) {
            (Some((length, width)), None) => {
                let length = site.length(length, Bounds::BOARD_LENGTH);
                let width = site.length(width, Bounds::WIDTH);
                Some(HoldPlan::Glue {
                    length: length?,
                    width: width?,
                })
            }
            (None, Some(((count, diameter), threaded))) => {
                let many = site.take(count);
                let diameter = site.length(diameter, Bounds::THICKNESS);
                let threaded = site.length(threaded, Bounds::THICKNESS);
                let many = many?.0;
                if !(1..=1000).contains(&many) {
                    site.problem(
                        count.span(),
                        format!("{many} screws are not a joint"),
                        "give 1 to 1000 screws",
                    );
                    return None;
                }
                Some(HoldPlan::Screws {
                    count: many as u32,
                    diameter: diameter?,
                    threaded: threaded?,
                })
            }
            _ => {
                site.problem_here(
                    "the joint is given neither wholly as a glue line nor wholly as screws",
                    "give glue_length and glue_width, or screws, screw and threaded",
                );
                None
            }
        }
    }
}
