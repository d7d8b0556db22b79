//! Stiffness and strength at another moisture content than 12 %.

use super::record::Species;
use super::sourced::{Resolved, Sourced};

const INTERSECTION_PERCENT: f64 = 25.0;

const ANC_RULE: &str = "no green figure for this wood: changed by its percentage for each 1 % of moisture in ANC-18 (1951)";
const MODULUS_RULE: &str =
    "no green stiffness for this wood: dry wood taken 1.25 times as stiff as green, the average";
const BENDING_RULE: &str = "no green bending strength for this wood: dry wood taken 1.68 times as strong as green, the average";
const SHEAR_RULE: &str = "no green shear strength for this wood: dry wood taken 1.5 times as strong as green in shear, the average";
const TENSION_RULE: &str = "no green strength across the grain for this wood: dry wood taken 1.2 times as strong as green, the average";

/// A property dry and green, with what stands in for a missing green figure.
struct Course<'a> {
    dry: Resolved,
    green: Option<&'a Sourced>,
    change_percent: Option<&'a Sourced>,
    average_ratio: f64,
    average_rule: &'static str,
}

impl Species {
    /// Intersection moisture content `M_p`, percent, above which strength no
    /// longer changes: 25 where the handbook names none.
    fn intersection(&self) -> f64 {
        self.intersection_percent
            .as_ref()
            .map_or(INTERSECTION_PERCENT, |sourced| sourced.value)
    }

    /// `P = P12 (P12/Pg)^((12 - M)/(Mp - 12))`.
    fn at(&self, moisture_percent: f64, course: &Course<'_>) -> Resolved {
        let intersection = self.intersection();
        let below = 12.0 - moisture_percent.clamp(0.0, intersection);
        let range = intersection - 12.0;
        let (factor, rule) = match (course.green, course.change_percent) {
            (Some(green), _) if course.dry.rule.is_none() => (
                libm::pow(course.dry.value / green.value, below / range),
                None,
            ),
            (_, Some(change)) => (libm::pow(1.0 + change.value / 100.0, below), Some(ANC_RULE)),
            _ => (
                libm::pow(course.average_ratio, below / range),
                Some(course.average_rule),
            ),
        };
        Resolved {
            value: course.dry.value * factor,
            rule: course.dry.rule.or(rule),
        }
    }

    /// Stiffness along the grain at a moisture content, MPa.
    ///
    /// Eq. 5-3 of the Wood Handbook (from memory),
    /// `P = P12 (P12/Pg)^((12 - M)/(Mp - 12))`, from the figures dry and green;
    /// constant above the intersection moisture content `Mp`. A wood without
    /// a green figure changes by its percentage in ANC-18 (1951), or else as
    /// the average wood does. Meant for 0 to 25 % moisture.
    #[must_use]
    pub fn modulus_at_mpa(&self, moisture_percent: f64) -> Resolved {
        let course = Course {
            dry: self.modulus_mpa(),
            green: self.green.modulus_mpa.as_ref(),
            change_percent: self.moisture_effects.modulus.as_ref(),
            average_ratio: 1.25,
            average_rule: MODULUS_RULE,
        };
        self.at(moisture_percent, &course)
    }

    /// Bending strength at a moisture content, MPa; as [`Species::modulus_at_mpa`].
    #[must_use]
    pub fn bending_strength_at_mpa(&self, moisture_percent: f64) -> Resolved {
        let course = Course {
            dry: self.bending_strength_mpa(),
            green: self.green.bending_strength_mpa.as_ref(),
            change_percent: self.moisture_effects.bending_strength.as_ref(),
            average_ratio: 1.68,
            average_rule: BENDING_RULE,
        };
        self.at(moisture_percent, &course)
    }

    /// Shear strength along the grain at a moisture content, MPa; as [`Species::modulus_at_mpa`].
    #[must_use]
    pub fn shear_strength_at_mpa(&self, moisture_percent: f64) -> Resolved {
        let course = Course {
            dry: self.shear_strength_mpa(),
            green: self.green.shear_mpa.as_ref(),
            change_percent: self.moisture_effects.shear.as_ref(),
            average_ratio: 1.5,
            average_rule: SHEAR_RULE,
        };
        self.at(moisture_percent, &course)
    }

    /// Strength in tension across the grain at a moisture content, MPa; as [`Species::modulus_at_mpa`] above 12 %, and at
    /// 12 % below: dried spruce is no stronger across its grain, which is judged to hold for all woods.
    #[must_use]
    pub fn tension_across_at_mpa(&self, moisture_percent: f64) -> Resolved {
        let course = Course {
            dry: self.tension_across_mpa(),
            green: self.green.tension_across_mpa.as_ref(),
            change_percent: None,
            average_ratio: 1.2,
            average_rule: TENSION_RULE,
        };
        self.at(moisture_percent.max(12.0), &course)
    }
}
