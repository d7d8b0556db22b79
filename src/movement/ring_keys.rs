//! The rings of a board as a job file tells them.

use super::{GivenRings, Sawn};
use crate::units::notation::RingAngles;
use crate::units::spanned::{Name, Problems, Spanned};
use crate::units::{Bounds, Length};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// Where the rings of a board are: give them in exactly one way. The section is seen bark side up;
/// places along the width run from the centre line, positive to the right.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RingsKeys {
    /// Heart-side face square down to the pith.
    pub pith_depth: Option<Spanned<Length>>,
    /// Centre line to the pith; with `pith_depth`.
    pub pith_offset: Option<Spanned<Length>>,
    /// Rise of one ring's arc over a chord; with `chord`.
    pub rise: Option<Spanned<Length>>,
    /// The chord of that arc.
    pub chord: Option<Spanned<Length>>,
    /// Radius of one ring, from a printed arc laid on the end grain.
    pub radius: Option<Spanned<Length>>,
    /// Height of that ring's crown above the heart face; with `rise` or `radius`, else mid-thickness.
    pub crown: Option<Spanned<Length>>,
    /// Place of that crown along the width; with `rise` or `radius`, else the centre line.
    pub centre: Option<Spanned<Length>>,
    /// The rings' angle at two or more places: `"-100mm:20deg, 100mm:-18deg"`.
    pub angles: Option<Spanned<RingAngles>>,
    /// Only the way the board was sawn: `flat`, `rift` or `quarter`.
    pub sawn: Option<Spanned<Sawn>>,
    /// A photo of the board's end, JPEG or PNG; its rings are read and so is how far they may be off.
    pub photo: Option<Spanned<Name>>,
    /// The corners of the end in that photo: x and y in pixels of top left, top right, bottom right, bottom left; found by color unless given.
    pub corners: Option<Spanned<Name>>,
    /// Which face is toward the bark in that photo, `up` or `down`; as the rings curve unless given.
    pub bark: Option<Spanned<Name>>,
}

/// Rings that a photo shows, as a job file gives them: `rings = { photo = "a1.jpg" }`.
#[derive(Debug, Clone, PartialEq)]
pub struct RingsInPhoto {
    /// The photo's file.
    pub photo: Spanned<Name>,
    /// The corners of the end in it.
    pub corners: Option<Spanned<Name>>,
    /// Which face is toward the bark in it.
    pub bark: Option<Spanned<Name>>,
}

const REMEDY: &str = "give the rings in one way: `pith_depth` (with `pith_offset`), `rise` and `chord`, `radius`, `angles`, `sawn` or `photo`";

impl RingsKeys {
    /// The telling, or `None` after its problems were noted. `span` is the place of the whole table, for
    /// problems that lie at no single key.
    pub fn read(&self, span: Range<usize>, problems: &mut Problems) -> Option<GivenRings> {
        let ways = [
            self.pith_depth.is_some() || self.pith_offset.is_some(),
            self.rise.is_some() || self.chord.is_some(),
            self.radius.is_some(),
            self.angles.is_some(),
            self.sawn.is_some(),
            self.photo.is_some() || self.corners.is_some() || self.bark.is_some(),
        ];
        match ways.iter().filter(|&&given| given).count() {
            0 => {
                problems.push(span, "the rings are not given", REMEDY);
                return None;
            }
            1 => {}
            _ => {
                problems.push(span, "the rings are given in more than one way", REMEDY);
                return None;
            }
        }
        if !(ways[1] || ways[2])
            && let Some(stray) = self.crown.as_ref().or(self.centre.as_ref())
        {
            problems.push(
                stray.span(),
                "a crown or centre belongs to one ring's arc",
                "take it out, or give the ring by `rise` and `chord` or by `radius`",
            );
            return None;
        }
        if ways[5] {
            let Some(photo) = &self.photo else {
                problems.push(
                    span,
                    "`corners` and `bark` belong to a photo",
                    "add photo = \"end.jpg\", or take them out",
                );
                return None;
            };
            problems.take(photo)?;
            return Some(GivenRings::Photo(Box::new(RingsInPhoto {
                photo: photo.clone(),
                corners: self.corners.clone(),
                bark: self.bark.clone(),
            })));
        }
        let crown = problems.take_optional(self.crown.as_ref());
        let centre = problems.take_optional(self.centre.as_ref());
        if let Some(sawn) = &self.sawn {
            return problems.take(sawn).map(GivenRings::Sawn);
        }
        if let Some(angles) = &self.angles {
            return problems
                .take(angles)
                .map(|RingAngles(angles)| GivenRings::RingAngles(angles));
        }
        if let Some(radius) = &self.radius {
            let radius = problems.take_checked(
                radius,
                |radius| radius.within(Bounds::RING_RADIUS),
                "measure the radius of one ring with a printed arc",
            );
            return Some(GivenRings::RingRadius {
                radius: radius?,
                crown: crown?,
                centre: centre?,
            });
        }
        if ways[1] {
            let (Some(rise), Some(chord)) = (&self.rise, &self.chord) else {
                problems.push(
                    span,
                    "an arc needs both its `rise` and its `chord`",
                    "measure how far one ring rises over the straight line between two of its points",
                );
                return None;
            };
            let (rise, chord) = (problems.take(rise), problems.take(chord));
            return Some(GivenRings::RingRise {
                rise: rise?,
                chord: chord?,
                crown: crown?,
                centre: centre?,
            });
        }
        let Some(depth) = &self.pith_depth else {
            problems.push(
                span,
                "`pith_offset` needs `pith_depth` beside it",
                "give the depth of the pith below the heart-side face too",
            );
            return None;
        };
        let depth = problems.take_checked(
            depth,
            |depth| depth.within(Bounds::PITH_DEPTH),
            "measure square from the heart-side face to the pith",
        );
        let offset = problems.take_optional(self.pith_offset.as_ref());
        Some(GivenRings::Pith {
            depth: depth?,
            offset: offset?.unwrap_or(Length::ZERO),
        })
    }
}
