//! `[chance]`: how far things may lie off, and what was measured to narrow them.

use super::spreads::Spreads;
use crate::chance::NINE_IN_TEN;
use crate::joint::Parts;
use crate::units::notation::{NotationError, Number, Percent, one_of};
use crate::units::spanned::{Name, Placed, Problems, ReadNotation, Spanned};
use crate::units::{Bounds, Length, MoistureContent};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// An off-cut's sizes are right within this, unless given: what callipers read, nine times in ten.
const CALLIPERS: Length = Length::from_mm_unchecked(0.1);
/// An off-cut's moistures are right within this, unless given: by weighing, nine times in ten, percent.
const BY_WEIGHT: f64 = 0.3;
/// Less change of moisture than this tells nothing of how a board shrinks, percent.
const MIN_CHANGE: f64 = 1.0;
/// Most pieces of meter or off-cut readings.
const MOST_READINGS: usize = 1_000;

/// How far everything that a maker cannot know may be off, and what was measured to narrow it. Everything may be
/// left out; the report then gives the usual figures with their sources.
#[derive(Debug, Clone, Default, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct ChanceKeys {
    /// Coefficient of variation of shrinkage between boards of one wood; 15% unless given.
    shrinkage_cov: Option<Spanned<Percent>>,
    /// Correlation of radial with tangential shrinkage of one board; 0.7 unless given.
    radial_with_tangential: Option<Spanned<Number>>,
    /// The meter as a whole is right within this, nine times in ten; 1.5% unless given.
    meter_bias_within: Option<Spanned<Percent>>,
    /// Single readings scatter within this, nine times in ten; 1% unless given.
    meter_scatter_within: Option<Spanned<Percent>>,
    /// The diffusivity of a board is right within this factor, nine times in ten; 2.3 unless given.
    diffusivity_factor: Option<Spanned<Number>>,
    /// What air film and finish let through is right within this factor, nine times in ten; 2.5 unless given.
    exchange_factor: Option<Spanned<Number>>,
    /// Wood settles within this share of its equilibrium moisture, nine times in ten; 4% unless given.
    equilibrium_within: Option<Spanned<Percent>>,
    /// A room's mean humidity is right within this, nine times in ten; unless given 4% where a logger was left, 6% for seasons,
    /// months or a reading, 8% where it is worked out from outdoor air.
    humidity_within: Option<Spanned<Percent>>,
    /// One year's humidity is another's within this, nine times in ten; 3% unless given.
    humidity_year_within: Option<Spanned<Percent>>,
    /// The depth of the pith is right within this factor, nine times in ten; 1.28 unless given.
    pith_depth_factor: Option<Spanned<Number>>,
    /// Coefficient of variation of stiffness between pieces of one wood; 22% unless given.
    stiffness_cov: Option<Spanned<Percent>>,
    /// Coefficient of variation of strength across the grain; 25% unless given.
    strength_cov: Option<Spanned<Percent>>,
    /// Coefficient of variation of bending strength; 16% unless given.
    bending_strength_cov: Option<Spanned<Percent>>,
    /// How widely locked-in strain spreads about its expected value, as a multiple of the usual
    /// spread; 1 unless given.
    locked_in_spread: Option<Spanned<Number>>,
    /// The meter held against an oven-dried sample, once for each reading.
    #[serde(default)]
    meter_checks: Vec<Placed<MeterCheckKeys>>,
    /// Off-cuts measured at two moistures, which show how their own board shrinks.
    #[serde(default)]
    offcuts: Vec<Placed<OffcutKeys>>,
}

/// The meter's reading of a sample whose moisture was then found by drying it in an oven.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct MeterCheckKeys {
    /// What the meter read.
    read: Spanned<MoistureContent>,
    /// What the oven found.
    oven: Spanned<MoistureContent>,
}

/// An off-cut of a part, measured at two moistures.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct OffcutKeys {
    /// The part whose board it was cut from.
    part: Spanned<Name>,
    /// Which way it was measured: "width" or "thickness" of the part, or "tangential" or "radial"; width unless given.
    direction: Option<Spanned<Direction>>,
    /// Its moisture at the first measuring.
    from: Spanned<MoistureContent>,
    /// Its moisture at the second.
    to: Spanned<MoistureContent>,
    /// Its size at the first.
    before: Spanned<Length>,
    /// Its size at the second.
    after: Spanned<Length>,
    /// Both sizes are right within this, nine times in ten; 0.1 mm unless given.
    within: Option<Spanned<Length>>,
    /// Both moistures are right within this, nine times in ten; 0.3% unless given.
    moisture_within: Option<Spanned<Percent>>,
}

/// Which way an off-cut was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Direction {
    /// As the part's width lies.
    #[default]
    Width,
    /// As the part's thickness lies.
    Thickness,
    /// Along the rings.
    Tangential,
    /// Across the rings.
    Radial,
}

impl ReadNotation for Direction {
    const WHAT: &'static str = "\"width\", \"thickness\", \"tangential\" or \"radial\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a direction to measure in",
            &[
                ("width", Self::Width),
                ("thickness", Self::Thickness),
                ("tangential", Self::Tangential),
                ("radial", Self::Radial),
                ("along the rings", Self::Tangential),
                ("across the rings", Self::Radial),
            ],
        )
    }
}

/// The meter against the oven, once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeterCheck {
    /// What the meter read.
    pub read: MoistureContent,
    /// What the oven found.
    pub oven: MoistureContent,
}

/// An off-cut measured at two moistures.
#[derive(Debug, Clone, PartialEq)]
pub struct Offcut {
    /// The part, by its place in the job.
    pub part: usize,
    /// Which way it was measured.
    pub direction: Direction,
    /// Moisture at the first measuring.
    pub from: MoistureContent,
    /// Moisture at the second.
    pub to: MoistureContent,
    /// Size at the first.
    pub before: Length,
    /// Size at the second.
    pub after: Length,
    /// Standard deviation of a size.
    pub size_deviation: Length,
    /// Standard deviation of a moisture, percent.
    pub moisture_deviation_percent: f64,
}

/// What a job tells of chance.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Chance {
    /// How far things may lie off.
    pub spreads: Spreads,
    /// The meter against the oven.
    pub meter_checks: Vec<MeterCheck>,
    /// Off-cuts measured.
    pub offcuts: Vec<Offcut>,
}

/// A number that must lie between two others.
fn between(
    given: f64,
    span: Range<usize>,
    (min, max): (f64, f64),
    problems: &mut Problems,
) -> Option<f64> {
    if given >= min && given <= max {
        return Some(given);
    }
    problems.push(
        span,
        format!("{given} is outside {min} to {max}"),
        format!("give a number from {min} to {max}"),
    );
    None
}

/// Replaces a spread when it is given; false when it is given wrong.
fn share(
    given: Option<&Spanned<Percent>>,
    max: f64,
    per_given: f64,
    into: &mut f64,
    problems: &mut Problems,
) -> bool {
    let Some(given) = given else {
        return true;
    };
    let value = problems
        .take(given)
        .and_then(|Percent(value)| between(value, given.span(), (0.0, max), problems));
    if let Some(value) = value {
        *into = value * per_given;
    }
    value.is_some()
}

fn factor(given: Option<&Spanned<Number>>, into: &mut f64, problems: &mut Problems) -> bool {
    let Some(given) = given else {
        return true;
    };
    let value = problems
        .take(given)
        .and_then(|Number(value)| between(value, given.span(), (1.0, 20.0), problems));
    if let Some(value) = value {
        *into = libm::log(value) / NINE_IN_TEN;
    }
    value.is_some()
}

impl ChanceKeys {
    pub(super) fn read(
        &self,
        span: Range<usize>,
        parts: &Parts<'_>,
        problems: &mut Problems,
    ) -> Option<Chance> {
        let mut spreads = Spreads::default();
        let nine = 1.0 / NINE_IN_TEN;
        let mut humidity = 0.0;
        let shares = [
            (&self.shrinkage_cov, 60.0, 0.01, &mut spreads.shrinkage_cov),
            (
                &self.meter_bias_within,
                20.0,
                nine,
                &mut spreads.meter_bias_percent,
            ),
            (
                &self.meter_scatter_within,
                20.0,
                nine,
                &mut spreads.meter_scatter_percent,
            ),
            (
                &self.equilibrium_within,
                40.0,
                nine * 0.01,
                &mut spreads.equilibrium,
            ),
            (&self.humidity_within, 40.0, nine, &mut humidity),
            (
                &self.humidity_year_within,
                40.0,
                nine,
                &mut spreads.humidity_year_percent,
            ),
            (&self.stiffness_cov, 60.0, 0.01, &mut spreads.stiffness_cov),
            (&self.strength_cov, 60.0, 0.01, &mut spreads.strength_cov),
            (
                &self.bending_strength_cov,
                60.0,
                0.01,
                &mut spreads.bending_strength_cov,
            ),
        ];
        let mut right = true;
        for (given, max, per_given, into) in shares {
            right &= share(given.as_ref(), max, per_given, into, problems);
        }
        spreads.humidity_percent = self.humidity_within.as_ref().map(|_| humidity);
        right &= factor(
            self.diffusivity_factor.as_ref(),
            &mut spreads.diffusivity_log,
            problems,
        );
        right &= factor(
            self.exchange_factor.as_ref(),
            &mut spreads.surface_log,
            problems,
        );
        right &= factor(
            self.pith_depth_factor.as_ref(),
            &mut spreads.rings_log,
            problems,
        );
        if let Some(given) = &self.locked_in_spread {
            let value = problems
                .take(given)
                .and_then(|Number(value)| between(value, given.span(), (0.0, 4.0), problems));
            right &= value.is_some();
            spreads.locked_in = value.unwrap_or_default();
        }
        if let Some(given) = &self.radial_with_tangential {
            let value = problems
                .take(given)
                .and_then(|Number(value)| between(value, given.span(), (-0.99, 0.99), problems));
            right &= value.is_some();
            spreads.radial_with_tangential = value.unwrap_or_default();
        }
        if self.meter_checks.len().max(self.offcuts.len()) > MOST_READINGS {
            problems.push(
                span,
                format!("more than {MOST_READINGS} readings are given"),
                "leave the older ones out",
            );
            return None;
        }
        let checks: Vec<Option<MeterCheck>> = self
            .meter_checks
            .iter()
            .map(|check| {
                let keys = check.get();
                let (read, oven) = (problems.take(&keys.read), problems.take(&keys.oven));
                Some(MeterCheck {
                    read: read?,
                    oven: oven?,
                })
            })
            .collect();
        let offcuts: Vec<Option<Offcut>> = self
            .offcuts
            .iter()
            .map(|offcut| offcut.get().read(parts, problems))
            .collect();
        let chance = Chance {
            spreads,
            meter_checks: checks.into_iter().collect::<Option<_>>()?,
            offcuts: offcuts.into_iter().collect::<Option<_>>()?,
        };
        right.then_some(chance)
    }
}

impl OffcutKeys {
    fn read(&self, parts: &Parts<'_>, problems: &mut Problems) -> Option<Offcut> {
        let part = problems
            .take(&self.part)
            .and_then(|Name(name)| parts.named(&name, self.part.span(), problems));
        let direction = problems.take_optional(self.direction.as_ref());
        let (from, to) = (problems.take(&self.from), problems.take(&self.to));
        let size = |problems: &mut Problems, given: &Spanned<Length>| {
            problems.take_checked(
                given,
                |length| length.within(Bounds::WIDTH),
                "give the size of the off-cut itself",
            )
        };
        let (before, after) = (size(problems, &self.before), size(problems, &self.after));
        let within = problems.take_optional(self.within.as_ref());
        let moisture_within = problems.take_optional(self.moisture_within.as_ref());
        let (from, to) = (from?, to?);
        if (from - to).abs().percent() < MIN_CHANGE {
            problems.push(
                self.to.span(),
                format!(
                    "from {}% to {}% the off-cut hardly moves, and says nothing about how its board shrinks",
                    from.percent(),
                    to.percent()
                ),
                "measure it again once it has dried by some percent more",
            );
            return None;
        }
        let (before, after) = (before?, after?);
        let strain = after / before - 1.0;
        if strain.abs() > 0.2 {
            problems.push(
                self.after.span(),
                format!(
                    "the off-cut changed by {:.0} %, more than any wood does",
                    100.0 * strain
                ),
                "check `before` and `after`",
            );
            return None;
        }
        let within = within?.unwrap_or(CALLIPERS).abs();
        if within <= Length::ZERO {
            problems.push(
                self.within.as_ref().map_or(0..0, Spanned::span),
                "no reading is exact",
                "give how far the sizes may be off, such as \"0.1 mm\"",
            );
            return None;
        }
        Some(Offcut {
            part: part?.0,
            direction: direction?.unwrap_or_default(),
            from,
            to,
            before,
            after,
            size_deviation: within / NINE_IN_TEN,
            moisture_deviation_percent: moisture_within?.map_or(BY_WEIGHT, |Percent(p)| p.abs())
                / NINE_IN_TEN,
        })
    }
}
