//! The dates of a job.

use crate::units::spanned::{Problems, Spanned};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// Longest time from the first measuring to the delivery, days.
const LONGEST_DAYS: i32 = 3_650;

/// When the piece is made and when it moves. Dates are written bare: 2026-10-05.
#[derive(Debug, Clone, Default, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct ScheduleKeys {
    /// The day the parts were measured, for parts that give no day of their own: today, for today's cuts.
    pub(super) measured: Option<Spanned<Date>>,
    /// The day the piece is glued up; the day of delivery unless given.
    pub(super) assembled: Option<Spanned<Date>>,
    /// The day the piece moves from the shop to its home.
    pub(super) delivered: Option<Spanned<Date>>,
}

/// The checked dates of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Schedule {
    /// The day of measuring of parts that tell none.
    pub measured: Option<Date>,
    /// The day of gluing up.
    pub assembled: Date,
    /// The day the piece moves to its home.
    pub delivered: Date,
}

impl ScheduleKeys {
    pub(super) fn read(&self, span: Range<usize>, problems: &mut Problems) -> Option<Schedule> {
        let measured = problems.take_optional(self.measured.as_ref());
        let assembled = problems.take_optional(self.assembled.as_ref());
        let delivered = self.delivered.as_ref().map(|given| problems.take(given));
        let Some(delivered) = delivered else {
            problems.push(
                span,
                "the day of delivery is not given",
                "add under [schedule] the day the piece moves to its home: delivered = 2026-11-20",
            );
            return None;
        };
        let (measured, assembled, delivered) = (measured?, assembled?, delivered?);
        let assembled_on = assembled.unwrap_or(delivered);
        if let (Some(given), true) = (&self.assembled, assembled_on > delivered) {
            problems.push(
                given.span(),
                format!(
                    "the piece is glued up on {assembled_on}, after its delivery on {delivered}"
                ),
                "give an earlier day of gluing up, or a later delivery",
            );
            return None;
        }
        if let (Some(given), Some(day)) = (&self.measured, measured) {
            check_day(given, day, assembled_on, delivered, problems)?;
        }
        Some(Schedule {
            measured,
            assembled: assembled_on,
            delivered,
        })
    }
}

/// A day of measuring must come before gluing up, and not years before delivery.
pub(super) fn check_day(
    given: &Spanned<Date>,
    day: Date,
    assembled: Date,
    delivered: Date,
    problems: &mut Problems,
) -> Option<()> {
    if day > assembled {
        problems.push(
            given.span(),
            format!("measured on {day}, after the piece is glued up on {assembled}"),
            "give the day of measuring, or fix `assembled` and `delivered` under [schedule]",
        );
        return None;
    }
    let days = delivered
        .since(day)
        .map_or(i32::MAX, |span| span.get_days());
    if days > LONGEST_DAYS {
        problems.push(
            given.span(),
            format!("measured on {day}, more than ten years before the delivery on {delivered}"),
            "check both years",
        );
        return None;
    }
    Some(())
}
