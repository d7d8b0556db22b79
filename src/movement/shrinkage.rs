//! Size at a moisture content, and the strain between two moisture contents.

use crate::species::Species;
use crate::units::{MoistureContent, Strain};

/// A principal direction of the wood, seen in the end grain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Square to the rings.
    Radial,
    /// Along the rings.
    Tangential,
    /// Along the grain.
    Longitudinal,
}

/// What one wood shrinks: totals from green to oven-dry and the moisture
/// content at which shrinking starts.
///
/// Dimension at moisture content `m` below `F`, with `S` the total shrinkage in
/// percent: `L(m) = L_green (1 - (S/100) (F - m)/F)`; above `F` nothing
/// changes. The ratio of two such lengths is Eq. 13-3 of the Wood Handbook
/// (FPL-GTR-190), and its slope at 10 % is Table 13-5.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shrinkage {
    /// Total radial shrinkage, percent.
    pub radial_percent: f64,
    /// Total tangential shrinkage, percent.
    pub tangential_percent: f64,
    /// Total shrinkage along the grain, percent.
    pub longitudinal_percent: f64,
    /// Moisture content below which the wood shrinks, percent.
    pub fiber_saturation_percent: f64,
}

impl Shrinkage {
    /// What a wood of the tables shrinks. Where the tables have no figure along the grain or no fiber
    /// saturation point, the rule of [`Species::longitudinal_percent`] or [`Species::fiber_saturation`] stands
    /// in; [`Self::rules_used`] says so.
    #[must_use]
    pub fn of(species: &Species) -> Self {
        Self {
            radial_percent: species.radial_percent(),
            tangential_percent: species.tangential_percent(),
            longitudinal_percent: species.longitudinal_percent().value,
            fiber_saturation_percent: species.fiber_saturation().value,
        }
    }

    /// The rules that stand in for figures the tables do not have, in words for a maker: those of the
    /// movement across the grain, and with `along_too` that along it.
    #[must_use]
    pub fn rules_used(species: &Species, along_too: bool) -> Vec<&'static str> {
        let along = along_too.then(|| species.longitudinal_percent().rule);
        [species.fiber_saturation().rule, along.flatten()]
            .into_iter()
            .flatten()
            .collect()
    }

    /// Total shrinkage in one direction, percent.
    #[must_use]
    pub const fn total_percent(&self, direction: Direction) -> f64 {
        match direction {
            Direction::Radial => self.radial_percent,
            Direction::Tangential => self.tangential_percent,
            Direction::Longitudinal => self.longitudinal_percent,
        }
    }

    /// Size at a moisture content over green size; between `1 - S/100` and 1.
    #[must_use]
    pub fn size_ratio(&self, direction: Direction, moisture_percent: f64) -> f64 {
        let saturation = self.fiber_saturation_percent;
        let below = (saturation - moisture_percent.clamp(0.0, saturation)) / saturation;
        1.0 - self.total_percent(direction) / 100.0 * below
    }

    /// Strain of a piece measured at `from` once it is at `to`; swelling positive.
    #[must_use]
    pub fn strain(
        &self,
        direction: Direction,
        from: MoistureContent,
        to: MoistureContent,
    ) -> Strain {
        Strain::computed_ratio(
            self.size_ratio(direction, to.percent()) / self.size_ratio(direction, from.percent())
                - 1.0,
        )
    }

    /// Dimensional change coefficient: strain per 1 % moisture, based on the size at 10 %
    /// (Wood Handbook Table 13-5): `(S/100/F) / (1 - (S/100)(F - 10)/F)`.
    #[must_use]
    pub fn change_coefficient(&self, direction: Direction) -> f64 {
        let slope = self.total_percent(direction) / 100.0 / self.fiber_saturation_percent;
        slope / self.size_ratio(direction, 10.0)
    }
}
