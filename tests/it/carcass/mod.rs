//! Tests of the room `carcass`.

mod assembly;
mod commands;
mod errors;
mod frame;
mod given;
mod glueup;
mod install;
mod shelf;
mod straighten;
mod whole_frame;

use heartside::carcass::{BowedPanel, Support};
use heartside::units::{Length, Stress};

/// Millimetres.
fn mm(value: f64) -> Length {
    Length::from_mm(value).unwrap()
}

fn panel(length: f64, width: f64, thickness: f64, modulus: f64, bow: f64) -> BowedPanel {
    BowedPanel::new(
        mm(length),
        mm(width),
        mm(thickness),
        Stress::from_mpa(modulus).unwrap(),
        mm(bow),
    )
    .unwrap()
}

fn supports(places: &[f64]) -> Vec<Support> {
    places.iter().map(|x| Support::at(mm(*x))).collect()
}
