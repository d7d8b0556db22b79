//! A piece on the scale: moisture content from weight and back.

use crate::units::{Mass, MoistureContent};

/// Weight of the wood without any water: `m/(1 + M/100)`.
#[must_use]
pub fn oven_dry(weight: Mass, moisture: MoistureContent) -> Mass {
    weight / (1.0 + moisture.percent() / 100.0)
}

/// Weight at a moisture content of wood that weighs `oven_dry` without water.
#[must_use]
pub fn at_moisture(oven_dry: Mass, moisture: MoistureContent) -> Mass {
    oven_dry * (1.0 + moisture.percent() / 100.0)
}
