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

/// How the moisture that wood comes to remembers where it comes from.
///
/// With `E` the table's moisture in the air, `A = 0.904 E` on the gaining and `D = 1.096 E` on the losing curve, what a surface
/// settles at moves on a scanning slope between them: `m* <- clamp(m* + s (E_new - E_old), A(new), D(new))`.
/// [`Hysteresis::SLOPE`] is judgement near published scanning curves. Held against 21 blocks of spruce in logged air (M. Maas
/// and F. K. Wittel, ETH Zurich, CC BY 4.0) in the tests: nothing is fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hysteresis {
    slope: f64,
    table_percent: f64,
    settles_percent: f64,
}

impl Hysteresis {
    /// The middle of the scanning slope; 0.6 to 0.9 is within judgement.
    pub const SLOPE: f64 = 0.75;

    /// Wood that is at `moisture_percent` in air of the table's `table_percent`: between both curves where it is, else on the
    /// nearer one. Wood drier than its air gains, wetter wood loses.
    #[must_use]
    pub fn at(slope: f64, table_percent: f64, moisture_percent: f64) -> Self {
        let (gaining, losing) = (
            SorptionHistory::Gaining.factor(),
            SorptionHistory::Losing.factor(),
        );
        Self {
            slope,
            table_percent,
            settles_percent: moisture_percent
                .clamp(gaining * table_percent, losing * table_percent),
        }
    }

    /// What the surface settles at in the next air, percent.
    pub fn next(&mut self, table_percent: f64) -> f64 {
        let moved = self.settles_percent + self.slope * (table_percent - self.table_percent);
        *self = Self::at(self.slope, table_percent, moved);
        self.settles_percent
    }

    /// What it settles at now, percent.
    #[must_use]
    pub const fn settles_percent(&self) -> f64 {
        self.settles_percent
    }
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
