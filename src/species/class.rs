//! How much a wood moves, in plain words, and what to know of a record before its figures are used.

use super::record::{Kind, Species};

/// Moisture of solid wood at 90 and at 60 % humidity and 20 C, percent: the two ends of the British classification (Wood Handbook Eq. 4-5).
const FROM_PERCENT: f64 = 20.7;
const TO_PERCENT: f64 = 11.0;
/// A disagreement of sources that is worth a word, as a coefficient of variation.
const WORTH_A_WORD: f64 = 0.10;

/// How much a wood moves in use: the sum of its radial and tangential movement between 90 and 60 % humidity,
/// small below 3 %, medium up to 4.5 %, large above (the British classification of movement in service, from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MovementClass {
    /// Below 3 %.
    Small,
    /// 3 to 4.5 %.
    Medium,
    /// Above 4.5 %.
    Large,
}

impl MovementClass {
    /// The class in a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Small => "small",
            Self::Medium => "medium",
            Self::Large => "large",
        }
    }
}

impl Species {
    /// Radial and tangential movement from 90 to 60 % humidity, percent of the size at 90 %.
    #[must_use]
    pub fn movement_90_to_60_percent(&self) -> [f64; 2] {
        let share = self.equilibrium_share();
        let saturation = self.fiber_saturation().value;
        let along_and_across = match &self.kind {
            // A sheet moves alike both ways in its plane.
            Kind::Sheet(_) => [self.tangential_percent(); 2],
            _ => [self.radial_percent(), self.tangential_percent()],
        };
        let below = |moisture: f64| (saturation - (share * moisture).min(saturation)) / saturation;
        along_and_across.map(|total| {
            let size = |moisture: f64| 1.0 - total / 100.0 * below(moisture);
            100.0 * (1.0 - size(TO_PERCENT) / size(FROM_PERCENT))
        })
    }

    /// The class of movement in service.
    #[must_use]
    pub fn movement_class(&self) -> MovementClass {
        let sum: f64 = self.movement_90_to_60_percent().iter().sum();
        if sum < 3.0 {
            MovementClass::Small
        } else if sum <= 4.5 {
            MovementClass::Medium
        } else {
            MovementClass::Large
        }
    }

    /// What a maker should know of this record before its figures are used: that it is a group or a sheet, or that its sources disagree.
    #[must_use]
    pub fn cautions(&self) -> Vec<String> {
        match &self.kind {
            Kind::Group { members, ask } => {
                let list: Vec<String> = members
                    .iter()
                    .map(|member| format!("{} {:.0} %", member.species, 100.0 * member.share))
                    .collect();
                let spread = 100.0 * self.source_spread[0];
                vec![if *ask {
                    format!(
                        "which wood is the {}? The name does not decide between {}; until you say, their mean is used, and they differ by {spread:.0} %",
                        self.name,
                        list.join("; ")
                    )
                } else {
                    format!(
                        "{} is a yard's name for several woods, taken as their mean: {}; they differ by {spread:.0} %, and that widens the answer",
                        self.name,
                        list.join("; ")
                    )
                }]
            }
            Kind::Sheet(sheet) => vec![format!(
                "{} is a sheet: it moves alike both ways, {} % for 1 % of its own moisture, and may be glued across any of its directions; in the same air it holds {:.0} % of the moisture of solid wood",
                self.name,
                sheet.in_plane_percent_per_percent,
                100.0 * sheet.equilibrium_share
            )],
            Kind::Wood => {
                let spread = self.source_spread[0].max(self.source_spread[1]);
                if spread < WORTH_A_WORD {
                    return Vec::new();
                }
                vec![format!(
                    "the figures for {} differ by {:.0} % between sources or boards beyond the usual, and that widens the answer",
                    self.name,
                    100.0 * spread
                )]
            }
        }
    }
}
