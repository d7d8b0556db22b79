//! Round holes and slots: a part fastened along one line and free to move from it.

use super::error;
use crate::units::{Length, Refusal, Strain};

/// A part along one axis in the driest time, today and in the wettest, as
/// strains from any one state.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SeasonStrains {
    /// In the driest time.
    pub driest: Strain,
    /// Today.
    pub today: Strain,
    /// In the wettest time.
    pub wettest: Strain,
}

impl SeasonStrains {
    pub(super) fn check(self) -> Result<Self, Refusal> {
        let slack = 1e-9;
        let (dry, today, wet) = (
            self.driest.ratio(),
            self.today.ratio(),
            self.wettest.ratio(),
        );
        if dry <= today + slack
            && today <= wet + slack
            && [dry, today, wet].iter().all(|e| e.is_finite())
        {
            Ok(self)
        } else {
            Err(error::seasons_out_of_order())
        }
    }

    /// From the driest to the wettest.
    fn range(self) -> f64 {
        self.wettest.ratio() - self.driest.ratio()
    }

    /// Where today lies between the driest (0) and the wettest (1).
    fn share(self) -> f64 {
        let range = self.range();
        if range <= 0.0 {
            return 0.5;
        }
        ((self.today.ratio() - self.driest.ratio()) / range).clamp(0.0, 1.0)
    }

    /// Size over today's size in the driest and in the wettest time.
    pub(super) fn ratios(self) -> [f64; 2] {
        let today = 1.0 + self.today.ratio();
        [
            (1.0 + self.driest.ratio()) / today,
            (1.0 + self.wettest.ratio()) / today,
        ]
    }
}

/// How a part moves across and along its grain.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PartMoves {
    /// Across the grain.
    pub across: SeasonStrains,
    /// Along it.
    pub along: SeasonStrains,
}

/// The line along which a part is fastened tight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FixedLine {
    /// Its front edge.
    Front,
    /// Its back edge.
    Back,
    /// Its middle: it moves half as far to either side.
    Middle,
    /// So far from its front edge.
    At(Length),
}

impl FixedLine {
    /// Its place from the front edge of a part of this width.
    #[must_use]
    pub fn place(self, width: Length) -> Length {
        match self {
            Self::Front => Length::ZERO,
            Self::Back => width,
            Self::Middle => width / 2.0,
            Self::At(place) => place,
        }
    }
}

/// Which of the two has the slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SlotIn {
    /// The rail, cleat or wall bracket that stays: the screw moves with the part.
    #[default]
    Support,
    /// The part that moves: the screw stays.
    MovingPart,
}

/// A screw to be driven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fixing {
    /// Place across the grain, from the part's front edge.
    pub across: Length,
    /// Place along the grain, from the part's middle.
    pub along: Length,
    /// Diameter of its shank.
    pub screw: Length,
    /// Which of the two has the slot.
    pub slot_in: SlotIn,
}

/// Where a screw sits in its slot: from the slot's end nearer the fixed line to the screw's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScrewPlaces {
    /// In the driest time.
    pub driest: Length,
    /// Today.
    pub today: Length,
    /// In the wettest time.
    pub wettest: Length,
}

/// The hole for a screw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hole {
    /// A round hole that fits the screw.
    Round,
    /// A slot across the grain.
    Slot {
        /// Its length, across the grain.
        length: Length,
        /// Its width: the screw and what the part moves along the grain.
        width: Length,
        /// How far the screw travels in it.
        travel: Length,
        /// Where the screw sits; the washer covers the slot and slides.
        screw: ScrewPlaces,
        /// Whether the fixed line lies toward the front edge.
        fixed_toward_front: bool,
    },
}

/// Travel that the clearance of an ordinary round hole takes up (judgement).
pub const ROUND_PLAY_MM: f64 = 0.3;
/// Room in a slot beyond the travel and the screw: 1 mm at either end (judgement).
pub const SLOT_MARGIN_MM: f64 = 2.0;

/// The hole for each screw of a part of this width, fastened tight along one line.
///
/// A slot is `x (e_wet - e_dry)` long, with the screw's diameter and `margin`
/// added, `x` the distance from the fixed line; from its dry end the screw sits today at
/// `(e_today - e_dry) / (e_wet - e_dry)` of the travel.
///
/// # Errors
/// [`Refusal`] for a screw off the part, and
/// [`Refusal`].
pub fn fasten(
    width: Length,
    fixed: FixedLine,
    moves: &PartMoves,
    fixings: &[Fixing],
    margin: Length,
) -> Result<Vec<Hole>, Refusal> {
    let across = moves.across.check()?;
    let along = moves.along.check()?;
    let line = fixed.place(width);
    fixings
        .iter()
        .map(|fixing| {
            let at = fixing.across;
            if at.mm() < 0.0 || at > width {
                return Err(error::screw_off_the_part(at, width));
            }
            let from_fixed = at - line;
            let travel = from_fixed.abs() * across.range();
            let sideways = fixing.along.abs() * along.range();
            if travel.mm() <= ROUND_PLAY_MM && sideways.mm() <= ROUND_PLAY_MM {
                return Ok(Hole::Round);
            }
            let end = (fixing.screw + margin) / 2.0;
            let place = |share: f64| {
                end + travel
                    * match fixing.slot_in {
                        SlotIn::Support => share,
                        SlotIn::MovingPart => 1.0 - share,
                    }
            };
            Ok(Hole::Slot {
                length: travel + fixing.screw + margin,
                width: fixing.screw + sideways,
                travel,
                screw: ScrewPlaces {
                    driest: place(0.0),
                    today: place(across.share()),
                    wettest: place(1.0),
                },
                fixed_toward_front: from_fixed.mm() >= 0.0,
            })
        })
        .collect()
}
