//! How far everything a maker cannot know may lie off, with where each figure comes from.

use super::climate::{AirKnown, MONTH_OF_LOGGING};
use crate::chance::NINE_IN_TEN;

/// Everything a maker cannot know and how it spreads. Deviations are standard deviations; a factor is spread in its logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spreads {
    /// Coefficient of variation of shrinkage between boards of one wood.
    pub shrinkage_cov: f64,
    /// Correlation of radial with tangential shrinkage of one board.
    pub radial_with_tangential: f64,
    /// Bias of the meter, percent moisture.
    pub meter_bias_percent: f64,
    /// Scatter of single readings about it, percent moisture.
    pub meter_scatter_percent: f64,
    /// Logarithm of the diffusivity of a board.
    pub diffusivity_log: f64,
    /// Logarithm of the exchange at the faces, by place.
    pub surface_log: f64,
    /// Equilibrium moisture, as a share: which way the stock comes to it.
    pub equilibrium: f64,
    /// The room's mean humidity against what was given, percent humidity; none: by how each place's air is known.
    pub humidity_percent: Option<f64>,
    /// One year's mean humidity against another's, percent humidity.
    pub humidity_year_percent: f64,
    /// Logarithm of the pith's depth.
    pub rings_log: f64,
    /// Coefficient of variation of stiffness between pieces of one wood.
    pub stiffness_cov: f64,
    /// Coefficient of variation of strength across the grain.
    pub strength_cov: f64,
    /// Coefficient of variation of bending strength.
    pub bending_strength_cov: f64,
    /// How far locked-in strain spreads about what is expected of its board, over what is usual.
    pub locked_in: f64,
}

impl Default for Spreads {
    fn default() -> Self {
        Self {
            shrinkage_cov: 0.15,
            radial_with_tangential: 0.7,
            meter_bias_percent: 1.5 / NINE_IN_TEN,
            meter_scatter_percent: 1.0 / NINE_IN_TEN,
            diffusivity_log: 0.5,
            surface_log: 0.557,
            equilibrium: 0.04 / NINE_IN_TEN,
            humidity_percent: None,
            humidity_year_percent: 3.0 / NINE_IN_TEN,
            rings_log: 0.15,
            stiffness_cov: 0.22,
            strength_cov: 0.25,
            bending_strength_cov: 0.16,
            locked_in: 1.0,
        }
    }
}

/// One spread in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpreadWords {
    /// The key of the job file that sets it.
    pub key: &'static str,
    /// What spreads, and how far.
    pub words: String,
    /// Where the figure comes from.
    pub source: &'static str,
}

/// A key, what spreads, how it is given, and where the usual figure comes from.
type Row = (
    &'static str,
    &'static str,
    How,
    fn(&Spreads) -> f64,
    &'static str,
);

enum How {
    /// Coefficient of variation.
    Varies,
    /// Within so many percent of moisture or humidity, nine times in ten.
    Points(&'static str),
    /// Within a share of itself, nine times in ten.
    Share,
    /// Within a factor either way, nine times in ten.
    Factor,
    /// A correlation.
    Together,
    /// So many times what is usual.
    Times,
}

const ROWS: [Row; 14] = [
    (
        "shrinkage_cov",
        "shrinkage differs between boards of one wood",
        How::Varies,
        |s| s.shrinkage_cov,
        "Wood Handbook ch. 4, from memory",
    ),
    (
        "radial_with_tangential",
        "a board that shrinks more along its rings does so across them",
        How::Together,
        |s| s.radial_with_tangential,
        "judgement",
    ),
    (
        "meter_bias_within",
        "the moisture meter as a whole is right",
        How::Points("moisture"),
        |s| s.meter_bias_percent,
        "judgement",
    ),
    (
        "meter_scatter_within",
        "single readings scatter about that",
        How::Points("moisture"),
        |s| s.meter_scatter_percent,
        "judgement",
    ),
    (
        "diffusivity_factor",
        "the diffusivity of a board",
        How::Factor,
        |s| s.diffusivity_log,
        "judgement; published measurements span 1e-11 to 3e-10 m2/s",
    ),
    (
        "exchange_factor",
        "what air film and finish let through",
        How::Factor,
        |s| s.surface_log,
        "judgement",
    ),
    (
        "equilibrium_within",
        "a wood settles at the moisture of the table, whichever way it comes to it,",
        How::Share,
        |s| s.equilibrium,
        "judgement, from wood to wood; which way it comes is followed",
    ),
    (
        "humidity_within",
        "a room's mean humidity is what was given",
        How::Points("humidity"),
        |s| s.humidity_percent.unwrap_or(0.0),
        "judgement; two houses of our own evidence are 4.3 and 7.1 points off, root mean square",
    ),
    (
        "humidity_year_within",
        "one year's humidity is like another's",
        How::Points("humidity"),
        |s| s.humidity_year_percent,
        "judgement",
    ),
    (
        "pith_depth_factor",
        "the depth of the pith as read from the rings",
        How::Factor,
        |s| s.rings_log,
        "judgement",
    ),
    (
        "stiffness_cov",
        "stiffness differs between pieces of one wood",
        How::Varies,
        |s| s.stiffness_cov,
        "Wood Handbook Table 5-6",
    ),
    (
        "strength_cov",
        "strength across the grain differs",
        How::Varies,
        |s| s.strength_cov,
        "Wood Handbook Table 5-6, tension",
    ),
    (
        "bending_strength_cov",
        "bending strength differs between pieces of one wood",
        How::Varies,
        |s| s.bending_strength_cov,
        "Wood Handbook Table 5-6",
    ),
    (
        "locked_in_spread",
        "strain locked in by drying spreads about what its board's history, or what is given of it, lets expect",
        How::Times,
        |s| s.locked_in,
        "judgement, with the histories",
    ),
];

impl Spreads {
    /// Deviation of the mean humidity of a place whose air is known in some way, percent humidity; `days_read`: for how many days
    /// a logger was left there, where one was.
    #[must_use]
    pub fn humidity_of(&self, known: AirKnown, days_read: u16) -> f64 {
        self.humidity_percent
            .unwrap_or(known.within_points(days_read) / NINE_IN_TEN)
    }

    /// Every spread in words, with its source.
    #[must_use]
    pub fn words(&self) -> Vec<SpreadWords> {
        let usual = Self::default();
        ROWS.iter()
            .map(|(key, what, how, of, source)| {
                let value = of(self);
                let words = match how {
                    How::Points(_) if self.humidity_percent.is_none() && *key == "humidity_within" => {
                        format!(
                            "{what} within {:.0} % where a logger was left for a year, {:.0} % for a month, {:.0} % as given, {:.0} % worked out from outdoor air, nine times in ten",
                            AirKnown::Logged.within_points(365),
                            AirKnown::Logged.within_points(MONTH_OF_LOGGING),
                            AirKnown::Given.within_points(0),
                            AirKnown::WorkedOut.within_points(0)
                        )
                    }
                    How::Varies => format!(
                        "{what} by {:.0} % (coefficient of variation)",
                        100.0 * value
                    ),
                    How::Points(of_what) => format!(
                        "{what} within {:.1} % {of_what}, nine times in ten",
                        NINE_IN_TEN * value
                    ),
                    How::Share => format!(
                        "{what} within {:.0} % of it, nine times in ten",
                        100.0 * NINE_IN_TEN * value
                    ),
                    How::Factor => format!(
                        "{what} within a factor of {:.2} either way, nine times in ten",
                        libm::exp(NINE_IN_TEN * value)
                    ),
                    How::Times => format!("{what} {value:.2} times as far as is usual"),
                    How::Together => format!("{what}, with a correlation of {value:.2}"),
                };
                let is_usual = (value - of(&usual)).abs() <= 1e-12;
                SpreadWords {
                    key,
                    words,
                    source: if is_usual {
                        source
                    } else {
                        "as the job file gives it"
                    },
                }
            })
            .collect()
    }
}
