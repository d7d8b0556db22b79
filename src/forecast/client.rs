//! The client's sheet: the humidity to keep, what goes first, the gaps to expect and when.

use super::findings::{BondFinding, ClientFinding, FitFinding, PartFinding};
use crate::chance::{Verdict, in_hundred};
use crate::units::notation::shown;
use crate::units::{Length, RelativeHumidity, UnitSystem};
use jiff::civil::Date;

/// Movements smaller than this are not worth telling a client.
const TELL_MM: f64 = 0.4;

/// Humidity that people keep in rooms: a range that has nothing of it is no advice to a client (judgement).
const LIVED_IN: [RelativeHumidity; 2] = [
    RelativeHumidity::computed_percent(30.0),
    RelativeHumidity::computed_percent(55.0),
];

/// One joint's range of steady humidity and what it does beyond it.
struct Bound<'a> {
    joint: &'a str,
    range: [RelativeHumidity; 2],
    /// What happens below the range and above it.
    fails: [&'a str; 2],
}

/// Minimum and maximum of a size from delivery on, the middle draw, with their days.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct AtHome {
    /// Both sizes.
    pub sizes: [Length; 2],
    /// The day of each.
    pub on: [Date; 2],
}

impl AtHome {
    /// The extremes of what a size is on some days.
    #[must_use]
    pub(super) fn over(
        days: std::ops::Range<usize>,
        size_mm: impl Fn(usize) -> f64,
        date: impl Fn(usize) -> Date,
    ) -> Self {
        let sizes: Vec<(usize, f64)> = days.clone().map(|day| (day, size_mm(day))).collect();
        let by_size = |a: &&(usize, f64), b: &&(usize, f64)| a.1.total_cmp(&b.1);
        let first = (days.start, f64::NAN);
        let min = *sizes.iter().min_by(by_size).unwrap_or(&first);
        let max = *sizes.iter().max_by(by_size).unwrap_or(&first);
        Self {
            sizes: [min, max].map(|(_, size)| Length::from_mm_unchecked(size)),
            on: [min, max].map(|(day, _)| date(day)),
        }
    }

    fn swing(&self) -> Length {
        self.sizes[1] - self.sizes[0]
    }
}

/// The sheet from all fits, bonds and parts; a client's figures begin with delivery: `gaps` those of the fits, `widths` those of
/// the parts.
#[must_use]
pub(super) fn finding(
    (fits, gaps): (&[FitFinding], &[AtHome]),
    bonds: &[BondFinding],
    (parts, widths): (&[PartFinding], &[AtHome]),
    units: UnitSystem,
) -> ClientFinding {
    // A joint that fails is changed before it goes to a client, and so is one that no room that people live in would suit.
    let kept = |verdict: Verdict, range: [RelativeHumidity; 2]| {
        let [low, high] = LIVED_IN;
        verdict != Verdict::Fails && range[0] <= high && range[1] >= low
    };
    let of_fits = fits.iter().filter_map(|fit| {
        let range = fit.survives_humidity_percent?;
        kept(fit.verdict, range).then_some(Bound {
            joint: &fit.joint,
            range,
            fails: [&fit.fails_dry, &fit.fails_wet].map(|words| words.as_deref().unwrap_or("")),
        })
    });
    let of_bonds = bonds.iter().filter_map(|bond| {
        let range = bond.survives_humidity_percent?;
        kept(bond.verdict, range).then_some(Bound {
            joint: &bond.joint,
            range,
            fails: ["the glued wood splits or works loose at the ends of the joint"; 2],
        })
    });
    let bounds: Vec<Bound<'_>> = of_fits.chain(of_bonds).collect();
    let low = bounds
        .iter()
        .max_by(|a, b| a.range[0].total_cmp(&b.range[0]));
    let high = bounds
        .iter()
        .min_by(|a, b| a.range[1].total_cmp(&b.range[1]));
    let keep = low
        .zip(high)
        .map(|(low, high)| [low.range[0], high.range[1]])
        .filter(|range| range[0] < range[1]);
    let dry = low.filter(|bound| bound.range[0].percent() > 0.5);
    let wet = high.filter(|bound| bound.range[1].percent() < 99.5);
    let mut if_not_kept: Vec<String> = fits
        .iter()
        .map(|fit| (&fit.joint, fit.verdict, fit.holds_chance))
        .chain(
            bonds
                .iter()
                .map(|bond| (&bond.joint, bond.verdict, bond.split_chance.otherwise())),
        )
        .filter(|(_, verdict, _)| *verdict != Verdict::Holds)
        .map(|(joint, _, chance)| {
            format!(
                "{joint}: even so, the chance that it holds is {}.",
                in_hundred(chance)
            )
        })
        .collect();
    for (bound, end, side) in [(dry, 0, "drier"), (wet, 1, "damper")] {
        if let Some(bound) = bound {
            if_not_kept.push(format!(
                "In air kept {side} than {:.0} % the first to go is {}: {}.",
                bound.range[end].percent(),
                bound.joint,
                bound.fails[end]
            ));
        }
    }
    let length = |length| shown(length, units);
    let mut expect = Vec::new();
    for (fit, gap) in fits.iter().zip(gaps) {
        let judged_at_home = fit.survives_humidity_percent.is_some();
        if judged_at_home && gap.swing().mm() >= TELL_MM && fit.gap_allowed_max_mm.is_some() {
            expect.push(format!(
                "{}: the {} goes between {} around {} and {} around {}.",
                fit.joint,
                fit.gap,
                length(gap.sizes[0]),
                gap.on[0],
                length(gap.sizes[1]),
                gap.on[1]
            ));
        }
    }
    let joints = expect.len();
    for (part, width) in parts.iter().zip(widths) {
        if width.swing().mm() >= 2.0 * TELL_MM {
            expect.push(format!(
                "{}: {} narrower around {} than around {}.",
                part.name,
                length(width.swing()),
                width.on[0],
                width.on[1]
            ));
        }
    }
    if expect.len() > joints {
        expect.push(
            "That parts grow narrower and wider is how wood lives; it is no fault.".to_owned(),
        );
    }
    ClientFinding {
        goes_first_dry: dry.map(|bound| bound.joint.to_owned()),
        goes_first_wet: wet.map(|bound| bound.joint.to_owned()),
        if_not_kept,
        keep_humidity_percent: keep,
        expect,
    }
}
