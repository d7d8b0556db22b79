//! The marks of an axis: round figures in the unit the maker reads.

use super::words::decimals;
use crate::units::{Length, UnitSystem, notation};
use std::ops::Range;

/// What an axis counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Measure {
    /// Percent, or any other plain number.
    Number,
    /// Millimetres underneath, shown in the chosen system.
    Length(UnitSystem),
}

/// One mark: where, and what stands beside it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tick {
    pub(super) value: f64,
    pub(super) label: String,
}

impl Measure {
    /// The unit's name.
    pub(super) fn unit(self) -> &'static str {
        match self {
            Measure::Number => "",
            Measure::Length(UnitSystem::Inch) => "inch",
            Measure::Length(UnitSystem::Metric) => "mm",
        }
    }

    /// A range that takes in all values with some air around, its ends on round figures, never empty.
    pub(super) fn range_of(self, values: impl IntoIterator<Item = f64>) -> Range<f64> {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values.into_iter().filter(|value| value.is_finite()) {
            low = low.min(value);
            high = high.max(value);
        }
        if low > high {
            (low, high) = (0.0, 1.0);
        }
        let min = match self {
            Measure::Number => 1.0,
            Measure::Length(_) => 0.5,
        };
        let air = ((high - low) * 0.08)
            .max((min - (high - low)) / 2.0)
            .max(0.0);
        let step = self.step(high - low + 2.0 * air, 5);
        let half = step / 2.0;
        ((low - air) / half).floor() * half..((high + air) / half).ceil() * half
    }

    fn step(self, span: f64, want: usize) -> f64 {
        let raw = span.abs().max(1e-9) / want.max(1) as f64;
        match self {
            Measure::Length(UnitSystem::Inch) => {
                let mut step: f64 = 25.4 / 64.0;
                while step < raw && step < 25.4 {
                    step *= 2.0;
                }
                if step < raw {
                    25.4 * round_step(raw / 25.4)
                } else {
                    step
                }
            }
            Measure::Number | Measure::Length(UnitSystem::Metric) => round_step(raw),
        }
    }

    /// About `want` marks inside a range.
    pub(super) fn ticks(self, range: &Range<f64>, want: usize) -> Vec<Tick> {
        let step = self.step(range.end - range.start, want);
        let (first, last) = (
            (range.start / step - 1e-9).ceil(),
            (range.end / step + 1e-9).floor(),
        );
        let count = (last - first).clamp(-1.0, 100.0) as i64;
        (0..=count)
            .map(|i| {
                let value = (first + i as f64) * step;
                Tick {
                    value,
                    label: self.label(value, step),
                }
            })
            .collect()
    }

    fn label(self, value: f64, step: f64) -> String {
        match self {
            Measure::Length(UnitSystem::Inch) => notation::inches(Length::from_mm_unchecked(value))
                .trim_end_matches(['"', '\u{2033}'])
                .trim_end()
                .to_owned(),
            Measure::Number | Measure::Length(UnitSystem::Metric) => {
                let places = (-libm::log10(step)).ceil().clamp(0.0, 4.0) as usize;
                decimals(value, places)
            }
        }
    }
}

fn round_step(raw: f64) -> f64 {
    let power = libm::pow(10f64, libm::log10(raw).floor());
    let lead = raw / power;
    power
        * if lead <= 1.0 {
            1.0
        } else if lead <= 2.0 {
            2.0
        } else if lead <= 5.0 {
            5.0
        } else {
            10.0
        }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn marks_lie_inside_and_are_few(low in -1e4f64..1e4, span in 0.0f64..1e4) {
            for measure in [Measure::Number, Measure::Length(UnitSystem::Metric), Measure::Length(UnitSystem::Inch)] {
                let range = measure.range_of([low, low + span]);
                prop_assert!(range.start <= low && range.end >= low + span);
                let ticks = measure.ticks(&range, 5);
                prop_assert!((2..=12).contains(&ticks.len()), "{:?} {}", range, ticks.len());
                for tick in ticks {
                    prop_assert!(tick.value >= range.start - 1e-6 && tick.value <= range.end + 1e-6);
                }
            }
        }
    }

    #[test]
    fn nothing_finite_still_makes_an_axis() {
        let range = Measure::Number.range_of([f64::NAN, f64::INFINITY]);
        assert!(range.start < range.end);
    }
}
