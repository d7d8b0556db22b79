//! Strength at another moisture content than 12 %.

use super::record::Species;
use super::sourced::Resolved;

/// Intersection moisture content `M_p`, percent, above which strength no longer changes, where the handbook names none.
const INTERSECTION_PERCENT: f64 = 25.0;

const TENSION_RULE: &str = "no green strength across the grain for this wood: dry wood taken 1.2 times as strong as green, the average";

impl Species {
    /// Strength in tension across the grain at a moisture content, MPa, above 12 %, and at 12 % below: dried spruce is no stronger
    /// across its grain, which is judged to hold for all woods.
    ///
    /// Eq. 5-3 of the Wood Handbook (from memory), `P = P12 (P12/Pg)^((12 - M)/(Mp - 12))`, from the figures dry and green;
    /// constant above the intersection moisture content `Mp`. A wood without a green figure changes as the average wood does.
    #[must_use]
    pub fn tension_across_at_mpa(&self, moisture_percent: f64) -> Resolved {
        let dry = self.tension_across_mpa();
        let intersection = self
            .intersection_percent
            .as_ref()
            .map_or(INTERSECTION_PERCENT, |sourced| sourced.value);
        let below = 12.0 - moisture_percent.max(12.0).clamp(0.0, intersection);
        let (ratio, rule) = match self.green.tension_across_mpa.as_ref() {
            Some(green) if dry.rule.is_none() => (dry.value / green.value, None),
            _ => (1.2, Some(TENSION_RULE)),
        };
        Resolved {
            value: dry.value * libm::pow(ratio, below / (intersection - 12.0)),
            rule: dry.rule.or(rule),
        }
    }
}
