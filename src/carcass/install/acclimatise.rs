//! When to fit what: days until each part has come to the air of its place.

use super::error;
use crate::units::Refusal;
use jiff::ToSpan;
use jiff::civil::Date;

/// A part and the days it takes to settle.
#[derive(Debug, Clone, PartialEq)]
pub struct Settling {
    /// The part.
    pub part: String,
    /// Days until 90 % of its change are done.
    pub days: f64,
}

/// The day from which a part may be fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct FitDay {
    /// The part.
    pub part: String,
    /// Days it must lie in the air of its place first, whole days upward.
    pub days: u32,
    /// The day.
    pub on: Date,
}

/// The day from which each part may be fitted, soonest first.
///
/// # Errors
/// [`Refusal`] past the end of the calendar or for a time that is no number of days.
pub fn fit_days(delivered: Date, settling: &[Settling]) -> Result<Vec<FitDay>, Refusal> {
    let mut list = settling
        .iter()
        .map(|one| {
            let days = one.days.max(0.0).ceil();
            if !days.is_finite() || days > 3_000_000.0 {
                return Err(error::no_such_day());
            }
            let days = days as u32;
            let on = delivered
                .checked_add(i64::from(days).days())
                .map_err(|_| error::no_such_day())?;
            Ok(FitDay {
                part: one.part.clone(),
                days,
                on,
            })
        })
        .collect::<Result<Vec<_>, Refusal>>()?;
    list.sort_by(|a, b| a.on.cmp(&b.on).then_with(|| a.part.cmp(&b.part)));
    Ok(list)
}
