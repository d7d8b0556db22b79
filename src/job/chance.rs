//! `[chance]`: how far things may lie off, and what was measured to narrow them.

use super::names::find_part;
use super::spreads::Spreads;
use crate::chance::NINE_IN_TEN;
use crate::joint::PartFacts;
use crate::units::notation::{NotationError, Number, Percent, one_of};
use crate::units::told::{Name, Placed, Problems, ReadNotation, Told};
use crate::units::{Bounds, Length, MoistureContent};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// An off-cut's sizes are right within this, unless told: what callipers read, nine times in ten.
const CALLIPERS: Length = Length::computed_mm(0.1);
/// An off-cut's moistures are right within this, unless told: by weighing, nine times in ten, percent.
const BY_WEIGHT: f64 = 0.3;
/// Less change of moisture than this tells nothing of how a board shrinks, percent.
const LEAST_CHANGE: f64 = 1.0;
/// Most pieces of meter or off-cut readings.
const MOST_READINGS: usize = 1_000;

/// How far everything that a maker cannot know may lie off, and what was measured to narrow it. Everything may be
/// left out; the usual figures stand in the report with their sources.
#[derive(Debug, Clone, Default, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct ChanceKeys {
    /// Coefficient of variation of shrinkage between boards of one wood; 15% unless told.
    shrinkage_cov: Option<Told<Percent>>,
    /// Correlation of radial with tangential shrinkage of one board; 0.7 unless told.
    radial_with_tangential: Option<Told<Number>>,
    /// The meter as a whole is right within this, nine times in ten; 0.8% unless told.
    meter_bias_within: Option<Told<Percent>>,
    /// Single readings scatter within this, nine times in ten; 0.6% unless told.
    meter_scatter_within: Option<Told<Percent>>,
    /// The diffusivity of a board is right within this factor, nine times in ten; 2.3 unless told.
    diffusivity_factor: Option<Told<Number>>,
    /// What air film and finish let through is right within this factor, nine times in ten; 1.5 unless told.
    exchange_factor: Option<Told<Number>>,
    /// Wood settles within this share of its equilibrium moisture, nine times in ten; 7% unless told.
    equilibrium_within: Option<Told<Percent>>,
    /// A room's mean humidity is right within this, nine times in ten; 4% unless told.
    humidity_within: Option<Told<Percent>>,
    /// One year's humidity is another's within this, nine times in ten; 3% unless told.
    humidity_year_within: Option<Told<Percent>>,
    /// The depth of the pith is right within this factor, nine times in ten; 1.28 unless told.
    pith_depth_factor: Option<Told<Number>>,
    /// Coefficient of variation of stiffness between pieces of one wood; 22% unless told.
    stiffness_cov: Option<Told<Percent>>,
    /// Coefficient of variation of strength across the grain; 25% unless told.
    strength_cov: Option<Told<Percent>>,
    /// Coefficient of variation of bending strength; 16% unless told.
    bending_strength_cov: Option<Told<Percent>>,
    /// How many times as far as is usual locked-in strain spreads about what the drying history, or what is told of a board,
    /// lets expect; 1 unless told.
    locked_in_spread: Option<Told<Number>>,
    /// The meter held against an oven-dried sample, once for each reading.
    #[serde(default)]
    meter_checks: Vec<Placed<MeterCheckKeys>>,
    /// Off-cuts measured at two moistures, which tell how their own board shrinks.
    #[serde(default)]
    offcuts: Vec<Placed<OffcutKeys>>,
}

/// The meter's reading of a sample whose moisture was then found by drying it in an oven.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct MeterCheckKeys {
    /// What the meter read.
    read: Told<MoistureContent>,
    /// What the oven found.
    oven: Told<MoistureContent>,
}

/// An off-cut of a part, measured at two moistures.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct OffcutKeys {
    /// The part whose board it was cut from.
    part: Told<Name>,
    /// Which way it was measured: "width" or "thickness" of the part, or "tangential" or "radial"; width unless told.
    direction: Option<Told<Direction>>,
    /// Its moisture at the first measuring.
    from: Told<MoistureContent>,
    /// Its moisture at the second.
    to: Told<MoistureContent>,
    /// Its size at the first.
    before: Told<Length>,
    /// Its size at the second.
    after: Told<Length>,
    /// Both sizes are right within this, nine times in ten; 0.1 mm unless told.
    within: Option<Told<Length>>,
    /// Both moistures are right within this, nine times in ten; 0.3% unless told.
    moisture_within: Option<Told<Percent>>,
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
    told: f64,
    span: Range<usize>,
    (least, greatest): (f64, f64),
    problems: &mut Problems,
) -> Option<f64> {
    if told >= least && told <= greatest {
        return Some(told);
    }
    problems.push(
        span,
        format!("{told} is outside {least} to {greatest}"),
        format!("give a number from {least} to {greatest}"),
    );
    None
}

/// Replaces a spread when it is told; false when it is told wrong.
fn share(
    told: Option<&Told<Percent>>,
    greatest: f64,
    per_told: f64,
    into: &mut f64,
    problems: &mut Problems,
) -> bool {
    let Some(told) = told else {
        return true;
    };
    let value = problems
        .take(told)
        .and_then(|Percent(value)| between(value, told.span(), (0.0, greatest), problems));
    if let Some(value) = value {
        *into = value * per_told;
    }
    value.is_some()
}

fn factor(told: Option<&Told<Number>>, into: &mut f64, problems: &mut Problems) -> bool {
    let Some(told) = told else {
        return true;
    };
    let value = problems
        .take(told)
        .and_then(|Number(value)| between(value, told.span(), (1.0, 20.0), problems));
    if let Some(value) = value {
        *into = value.ln() / NINE_IN_TEN;
    }
    value.is_some()
}

impl ChanceKeys {
    pub(super) fn read(
        &self,
        span: Range<usize>,
        parts: &[PartFacts],
        problems: &mut Problems,
    ) -> Option<Chance> {
        let mut spreads = Spreads::default();
        let nine = 1.0 / NINE_IN_TEN;
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
            (
                &self.humidity_within,
                40.0,
                nine,
                &mut spreads.humidity_percent,
            ),
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
        for (told, greatest, per_told, into) in shares {
            right &= share(told.as_ref(), greatest, per_told, into, problems);
        }
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
        if let Some(told) = &self.locked_in_spread {
            let value = problems
                .take(told)
                .and_then(|Number(value)| between(value, told.span(), (0.0, 4.0), problems));
            right &= value.is_some();
            spreads.locked_in = value.unwrap_or_default();
        }
        if let Some(told) = &self.radial_with_tangential {
            let value = problems
                .take(told)
                .and_then(|Number(value)| between(value, told.span(), (-0.99, 0.99), problems));
            right &= value.is_some();
            spreads.radial_with_tangential = value.unwrap_or_default();
        }
        if self.meter_checks.len().max(self.offcuts.len()) > MOST_READINGS {
            problems.push(
                span,
                format!("more than {MOST_READINGS} readings are told"),
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
    fn read(&self, parts: &[PartFacts], problems: &mut Problems) -> Option<Offcut> {
        let part = problems
            .take(&self.part)
            .and_then(|Name(name)| find_part(&name, self.part.span(), parts, problems));
        let direction = problems.take_optional(self.direction.as_ref());
        let (from, to) = (problems.take(&self.from), problems.take(&self.to));
        let size = |problems: &mut Problems, told: &Told<Length>| {
            problems.take_checked(
                told,
                |length| length.within(Bounds::WIDTH),
                "give the size of the off-cut itself",
            )
        };
        let (before, after) = (size(problems, &self.before), size(problems, &self.after));
        let within = problems.take_optional(self.within.as_ref());
        let moisture_within = problems.take_optional(self.moisture_within.as_ref());
        let (from, to) = (from?, to?);
        if (from - to).abs().percent() < LEAST_CHANGE {
            problems.push(
                self.to.span(),
                format!(
                    "from {}% to {}% the off-cut hardly moves, and tells nothing of how its board shrinks",
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
                self.within.as_ref().map_or(0..0, Told::span),
                "no reading is exact",
                "give how far the sizes may be off, such as \"0.1 mm\"",
            );
            return None;
        }
        Some(Offcut {
            part: part?,
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
