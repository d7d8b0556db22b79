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

/// Water still to lose from `now` to `end`: oven-dry mass times `(M_now - M_end)/100`.
/// Negative when the piece still takes up water.
#[must_use]
pub fn still_to_lose(weight_now: Mass, now: MoistureContent, end: MoistureContent) -> Mass {
    oven_dry(weight_now, now) * ((now.percent() - end.percent()) / 100.0)
}

/// Moisture content of wood that weighs `oven_dry` without water and `weight` now.
#[must_use]
pub fn moisture_of(weight: Mass, oven_dry: Mass) -> MoistureContent {
    MoistureContent::computed_percent(100.0 * (weight / oven_dry - 1.0))
}
