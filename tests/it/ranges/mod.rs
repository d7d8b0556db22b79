//! Whole ranges: what the table of ranges lets in comes out finite or as a named error, grows where physics says that
//! it grows, and scales as its formula scales. Sources stand in the rooms' own tests; here only their limits count.

mod air;
mod carcass;
mod edge;
mod joint;
mod moisture;
mod movement;
mod stock;
mod units;

use heartside::movement::Shrinkage;
use heartside::units::{Bounds, Length, MoistureContent, Strain};
use proptest::prelude::*;

/// A row of the table: all of it evenly, its small values as often as its large ones, and both ends.
fn inside(bounds: Bounds) -> BoxedStrategy<f64> {
    let Bounds { min, max, .. } = bounds;
    let floor = if min > 0.0 { min } else { max * 1e-9 };
    let sizes = (floor.ln()..=max.ln()).prop_map(move |log| log.exp().clamp(min, max));
    prop_oneof![
        6 => min..=max,
        6 => sizes,
        1 => Just(min),
        1 => Just(max),
        1 => Just(0.0_f64.clamp(min, max)),
    ]
    .boxed()
}

/// A wood whose figures are any that a table may hold.
fn any_wood() -> impl Strategy<Value = Shrinkage> {
    (
        inside(Bounds::SHRINKAGE),
        inside(Bounds::SHRINKAGE),
        inside(Bounds::SHRINKAGE),
        inside(Bounds::FIBER_SATURATION),
    )
        .prop_map(|(radial, tangential, longitudinal, saturation)| Shrinkage {
            radial_percent: radial,
            tangential_percent: tangential,
            longitudinal_percent: longitudinal,
            fiber_saturation_percent: saturation,
        })
}

fn mm(value: f64) -> Length {
    Length::from_mm_unchecked(value)
}

fn percent(value: f64) -> MoistureContent {
    MoistureContent::computed_percent(value)
}

fn strain(value: f64) -> Strain {
    Strain::computed_ratio(value)
}

fn near(a: f64, b: f64, share: f64) -> bool {
    (a - b).abs() <= share * a.abs().max(b.abs()) + 1e-300
}
