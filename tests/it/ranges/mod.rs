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
    let Bounds {
        least, greatest, ..
    } = bounds;
    let floor = if least > 0.0 { least } else { greatest * 1e-9 };
    let sizes = (floor.ln()..=greatest.ln()).prop_map(move |log| log.exp().clamp(least, greatest));
    prop_oneof![
        6 => least..=greatest,
        6 => sizes,
        1 => Just(least),
        1 => Just(greatest),
        1 => Just(0.0_f64.clamp(least, greatest)),
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
    Length::computed_mm(value)
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
