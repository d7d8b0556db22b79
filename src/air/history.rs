//! Which way wood comes to its equilibrium.

use super::{AirState, equilibrium_moisture};
use crate::units::MoistureContent;

/// Moisture at which wood that takes up moisture settles, over that at which wood that loses it
/// settles in the same air: 0.80 to 0.85 (from memory); the middle is
/// taken.
const GAINING_OVER_LOSING: f64 = 0.825;

/// Which way a wood comes to the moisture of the air. The handbook's table is the curve between the
/// two, as rooms with their swings make it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SorptionHistory {
    /// Not known, or swinging both ways: the table itself.
    #[default]
    Between,
    /// Wood that is losing moisture, such as air-dried stock in a heated room: it stays moister.
    Losing,
    /// Wood that is taking up moisture, such as over-dried stock in a shop: it stays drier.
    Gaining,
}

impl SorptionHistory {
    /// What the table's moisture content is multiplied by: 1.096, 1 or 0.904, so that the curve of
    /// the table lies half-way between losing and gaining.
    #[must_use]
    pub const fn factor(self) -> f64 {
        match self {
            Self::Between => 1.0,
            Self::Losing => 2.0 / (1.0 + GAINING_OVER_LOSING),
            Self::Gaining => 2.0 * GAINING_OVER_LOSING / (1.0 + GAINING_OVER_LOSING),
        }
    }

    /// Moisture content at which wood of this history settles in the air.
    #[must_use]
    pub fn equilibrium(self, air: AirState) -> MoistureContent {
        equilibrium_moisture(air) * self.factor()
    }
}
