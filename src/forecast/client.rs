//! The client's sheet: the humidity to keep, what goes first, the gaps to expect and when.

use super::findings::{ClientFinding, FitFinding, PartFinding};
use crate::units::Length;
use crate::units::UnitSystem;
use crate::units::notation::shown;

/// Movements smaller than this are not worth telling a client.
const TELL_MM: f64 = 0.4;

/// The sheet from all fits and parts.
#[must_use]
pub fn finding(fits: &[FitFinding], parts: &[PartFinding], show: UnitSystem) -> ClientFinding {
    let ranges = || {
        fits.iter()
            .filter_map(|fit| fit.survives_humidity_percent.map(|range| (fit, range)))
    };
    let low = ranges().max_by(|a, b| a.1[0].total_cmp(&b.1[0]));
    let high = ranges().min_by(|a, b| a.1[1].total_cmp(&b.1[1]));
    let keep = low
        .as_ref()
        .zip(high.as_ref())
        .map(|(low, high)| [low.1[0], high.1[1]])
        .filter(|range| range[0] < range[1]);
    let first = |found: Option<(&FitFinding, [f64; 2])>, open: f64, end: usize| {
        found
            .filter(|(_, range)| (range[end] - open).abs() > 0.5)
            .map(|(fit, _)| fit.joint.clone())
    };
    let length = |mm: f64| shown(Length::computed_mm(mm), show);
    let mut expect = Vec::new();
    for fit in fits
        .iter()
        .filter(|fit| fit.survives_humidity_percent.is_some())
    {
        let swing = fit.gap_greatest_mm - fit.gap_least_mm;
        if swing >= TELL_MM && fit.gap_allowed_greatest_mm.is_some() {
            expect.push(format!(
                "{}: the {} goes between {} around {} and {} around {}.",
                fit.joint,
                fit.gap,
                length(fit.gap_least_mm),
                fit.gap_least_on,
                length(fit.gap_greatest_mm),
                fit.gap_greatest_on
            ));
        }
    }
    for part in parts {
        let swing = part.width_wettest_mm - part.width_driest_mm;
        if swing >= 2.0 * TELL_MM {
            expect.push(format!(
                "{}: {} narrower around {} than around {}. This is how wood lives; it is no fault.",
                part.name,
                length(swing),
                part.driest_on,
                part.wettest_on
            ));
        }
    }
    ClientFinding {
        goes_first_dry: first(low, 0.0, 0),
        goes_first_wet: first(high, 100.0, 1),
        keep_humidity_percent: keep,
        expect,
    }
}
