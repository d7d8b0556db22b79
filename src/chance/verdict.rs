//! The judgement of a design, and the limits that it goes by.

use crate::units::Chance;
use serde::Serialize;

/// A design holds when it works in at least this share of the draws, percent (judgement).
pub const HOLDS_PERCENT: f64 = 90.0;
/// Below this share, percent, it is to be redone; between the two it is marginal (judgement).
pub const MARGINAL_PERCENT: f64 = 50.0;

/// A chance in words: `97 in 100`, never given as certain, and never rounded up to a limit that it does not reach.
///
/// ```
/// use heartside::chance::in_hundred;
/// use heartside::units::Chance;
///
/// let chance = Chance::computed_percent;
/// assert_eq!(in_hundred(chance(97.2)), "97 in 100");
/// assert_eq!(in_hundred(chance(49.7)), "49 in 100");
/// assert_eq!(in_hundred(chance(100.0)), "more than 99 in 100");
/// assert_eq!(in_hundred(chance(0.0)), "less than 1 in 100");
/// ```
#[must_use]
pub fn in_hundred(chance: Chance) -> String {
    let percent = chance.percent();
    if percent > 99.0 {
        return "more than 99 in 100".to_owned();
    }
    if percent < 1.0 {
        return "less than 1 in 100".to_owned();
    }
    let round = percent.round();
    let short_of = |limit: f64| percent < limit && round >= limit;
    let given = if short_of(HOLDS_PERCENT) || short_of(MARGINAL_PERCENT) {
        percent.floor()
    } else {
        round
    };
    format!("{given:.0} in 100")
}

/// The judgement of a design, the better first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// It works: in at least [`HOLDS_PERCENT`] of 100 draws, or well within what breaks it.
    Holds,
    /// It works more often than not, but not surely.
    Marginal,
    /// It fails too often: change the design.
    Fails,
}

impl Verdict {
    /// The verdict of a chance that a design works: by [`HOLDS_PERCENT`] and [`MARGINAL_PERCENT`].
    #[must_use]
    pub fn of_chance(holds: Chance) -> Self {
        if holds.percent() >= HOLDS_PERCENT {
            Self::Holds
        } else if holds.percent() >= MARGINAL_PERCENT {
            Self::Marginal
        } else {
            Self::Fails
        }
    }

    /// The verdict of a demand, such as a share of what breaks a joint or a chance that it breaks: it holds up to one limit
    /// and is to be redone above another.
    #[must_use]
    pub fn of_demand<T: PartialOrd>(demand: T, holds_up_to: T, fails_above: T) -> Self {
        if demand <= holds_up_to {
            Self::Holds
        } else if demand <= fails_above {
            Self::Marginal
        } else {
            Self::Fails
        }
    }

    /// The worse of two.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        self.max(other)
    }

    /// The word: `holds`, `marginal` or `fails`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Marginal => "marginal",
            Self::Fails => "fails",
        }
    }
}
