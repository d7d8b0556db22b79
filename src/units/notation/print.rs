//! Quantities as text: shop fractions with the metric beside.

use super::load::{POUND_FORCE, PSI};
use crate::units::{Force, Length, LineLoad, Mass, Stress, Temperature, UnitSystem};

/// Parts of an inch that a shop rule shows.
const PARTS: f64 = 64.0;

/// Sign, and the size in whole 64ths.
fn sixty_fourths(length: Length) -> (&'static str, u64) {
    let parts = (length.inches() * PARTS).round();
    // A checked length is far below 2^53 parts, and a cast saturates.
    (if parts < 0.0 { "-" } else { "" }, parts.abs() as u64)
}

/// `6 1/2`, `3/8`, `0`.
fn mixed(parts: u64) -> String {
    let (whole, mut over, mut under) = (parts / 64, parts % 64, 64);
    while over > 0 && over % 2 == 0 {
        over /= 2;
        under /= 2;
    }
    match (whole, over) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{over}/{under}"),
        _ => format!("{whole} {over}/{under}"),
    }
}

/// Smallest size given in 64ths; below it a rule shows nothing and feeler stock is read in thousandths.
const MIN_PARTS: f64 = 0.999;

/// Inches to the nearest 1/64, the fraction reduced: `16 1/2"`; smaller sizes to the nearest
/// thousandth, as feeler stock is marked: `0.006"`.
#[must_use]
pub fn inches(length: Length) -> String {
    if length.inches().abs() * PARTS < MIN_PARTS {
        return format!("{}\"", trimmed(length.inches(), 3));
    }
    let (sign, parts) = sixty_fourths(length);
    format!("{sign}{}\"", mixed(parts))
}

/// Inches as they are set at a machine: to the nearest 1/64, and what is left of them in thousandths: `3/4in + 0.005`.
#[must_use]
pub fn setting_inches(length: Length) -> String {
    let (sign, parts) = sixty_fourths(length);
    let rest = length.inches().abs() - parts as f64 / PARTS;
    let thousandths = (rest * 1000.0).round() as i64;
    let whole = format!("{sign}{}in", mixed(parts));
    match thousandths {
        0 => whole,
        over if over > 0 => format!("{whole} + 0.{over:03}"),
        under => format!("{whole} - 0.{:03}", -under),
    }
}

/// A number without a needless zero at its end or a negative zero.
fn trimmed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" { "0" } else { text }.to_owned()
}

/// Millimetres: to 0.01 below 10 mm, to 0.1 below 1 m, then to 1 mm.
#[must_use]
pub fn millimetres(length: Length) -> String {
    let decimals = match length.mm().abs() {
        size if size < 10.0 => 2,
        size if size < 1000.0 => 1,
        _ => 0,
    };
    format!("{} mm", trimmed(length.mm(), decimals))
}

fn both(system: UnitSystem, inch: &str, metric: &str) -> String {
    match system {
        UnitSystem::Inch => format!("{inch} ({metric})"),
        UnitSystem::Metric => format!("{metric} ({inch})"),
    }
}

/// The chosen system first, the other in brackets: `16 1/2" (419.1 mm)`.
#[must_use]
pub fn shown(length: Length, system: UnitSystem) -> String {
    both(system, &inches(length), &millimetres(length))
}

/// Both scales, the chosen one first: `64 F (17.8 C)`.
#[must_use]
pub fn temperature_shown(temperature: Temperature, system: UnitSystem) -> String {
    both(
        system,
        &format!("{} F", trimmed(temperature.fahrenheit(), 0)),
        &format!("{} C", trimmed(temperature.celsius(), 1)),
    )
}

/// A part as a sentence names it: with the article where its maker gave it a plain noun (`the drawer front`), bare where the name
/// stands by itself (`A1`, `Left side`, `shelf 2`, `my top`).
///
/// ```
/// use heartside::units::notation::the;
///
/// assert_eq!(the("drawer front"), "the drawer front");
/// assert_eq!(the("shelf 2"), "shelf 2");
/// assert_eq!(the("A1"), "A1");
/// ```
#[must_use]
pub fn the(name: &str) -> String {
    let plain = name.starts_with(char::is_lowercase) && !name.ends_with(|c: char| c.is_numeric());
    let first = name.split(' ').next().unwrap_or_default();
    if plain && !["the", "a", "an", "my", "our", "one"].contains(&first) {
        format!("the {name}")
    } else {
        name.to_owned()
    }
}

/// Percent to one decimal: `9.5 %`.
#[must_use]
pub fn percent_shown(percent: f64) -> String {
    format!("{} %", trimmed(percent, 1))
}

/// A force in pounds-force and newtons: `45 lbf (200 N)`.
#[must_use]
pub fn force_shown(force: Force, system: UnitSystem) -> String {
    let newtons = force.newtons();
    let pounds = newtons / POUND_FORCE;
    let digits = |value: f64| usize::from(value.abs() < 10.0);
    both(
        system,
        &format!("{} lbf", trimmed(pounds, digits(pounds))),
        &format!("{} N", trimmed(newtons, digits(newtons))),
    )
}

/// A stress or stiffness in psi, from 100 000 on in millions of them, and MPa: `1.6 million psi (11000 MPa)`.
#[must_use]
pub fn stress_shown(stress: Stress, system: UnitSystem) -> String {
    let mpa = stress.mpa();
    let psi = mpa / PSI;
    let psi = if psi.abs() >= 1.0e5 {
        format!("{} million psi", trimmed(psi / 1.0e6, 2))
    } else {
        format!("{} psi", trimmed(psi, 0))
    };
    let decimals = if mpa.abs() < 100.0 { 2 } else { 0 };
    both(system, &psi, &format!("{} MPa", trimmed(mpa, decimals)))
}

/// A load along a length in lb/ft and N/mm: `25 lb/ft (0.365 N/mm)`.
#[must_use]
pub fn line_load_shown(load: LineLoad, system: UnitSystem) -> String {
    let newtons = load.newtons_per_mm();
    both(
        system,
        &format!("{} lb/ft", trimmed(newtons * 304.8 / POUND_FORCE, 1)),
        &format!("{} N/mm", trimmed(newtons, 3)),
    )
}

/// A mass in ounces and grams: `64.9 oz (1840 g)`.
#[must_use]
pub fn mass_shown(mass: Mass, system: UnitSystem) -> String {
    let grams = mass.grams();
    let ounces = grams * 16.0 / 453.592_37;
    let decimals = if grams < 100.0 { 1 } else { 0 };
    both(
        system,
        &format!("{} oz", trimmed(ounces, decimals + 1)),
        &format!("{} g", trimmed(grams, decimals)),
    )
}
