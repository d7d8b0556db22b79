//! What is believed of the boards and the meter of a job before it is drawn, and what was measured to narrow it.

use crate::chance::{Instrument, JointBelief, NINE_IN_TEN};
use crate::job::{Direction, Job, Offcut, Spreads};
use crate::movement::{Direction as Wood, Face, RingStrains, Section, Shrinkage};
use crate::units::Length;

/// An off-cut that lies farther than this from what was expected, in standard deviations, is doubted.
const DOUBTED: f64 = 3.0;
/// A board that shrinks nothing or backwards does not exist: no factor falls below this.
const MIN_FACTOR: f64 = 0.2;

/// How the tangential and radial shrinkage of one board spread about their middles: standard normal numbers in,
/// factors of the middles out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShrinkageSpread {
    /// Middle of the tangential and of the radial shrinkage over the table's.
    pub middle: [f64; 2],
    /// Lower triangle of the covariance's root: tangential; radial with it; radial apart.
    root: [f64; 3],
}

impl ShrinkageSpread {
    /// What is believed of a board of which nothing was measured: the spread between boards of one wood, and how far the
    /// sources of its tangential and radial figures disagree, added as independent.
    #[must_use]
    pub fn of_wood(spreads: &Spreads, source_spread: [f64; 2]) -> Self {
        let together = spreads.radial_with_tangential;
        let [tangential, radial] = source_spread.map(|own| libm::hypot(spreads.shrinkage_cov, own));
        Self {
            middle: [1.0, 1.0],
            root: [
                tangential,
                radial * together,
                radial * (1.0 - together * together).max(0.0).sqrt(),
            ],
        }
    }

    fn belief(&self) -> JointBelief {
        let [tangential, with, apart] = self.root;
        let radial = libm::hypot(with, apart);
        let belief = |mean, deviation| crate::chance::Belief { mean, deviation };
        JointBelief::independent(&[
            belief(self.middle[0], tangential),
            belief(self.middle[1], radial),
        ])
        .correlated(0, 1, if radial > 0.0 { with / radial } else { 0.0 })
    }

    fn from(belief: &JointBelief) -> Self {
        let of = |place| {
            belief
                .of(place)
                .map_or((1.0, 0.0), |b| (b.mean, b.deviation))
        };
        let ((mean_t, tangential), (mean_r, radial)) = (of(0), of(1));
        let with = if tangential > 0.0 {
            belief.covariance(0, 1).unwrap_or(0.0) / tangential
        } else {
            0.0
        };
        Self {
            middle: [mean_t.max(MIN_FACTOR), mean_r.max(MIN_FACTOR)],
            root: [
                tangential,
                with,
                (radial * radial - with * with).max(0.0).sqrt(),
            ],
        }
    }

    /// Standard deviations of the tangential and the radial factor.
    #[must_use]
    pub fn deviations(&self) -> [f64; 2] {
        [self.root[0], libm::hypot(self.root[1], self.root[2])]
    }

    /// Factors of the middle tangential and radial shrinkage where two standard normal numbers stand.
    #[must_use]
    pub fn at(&self, normals: [f64; 2]) -> [f64; 2] {
        let [tangential, with, apart] = self.root;
        let factor = |middle: f64, off: f64| (1.0 + off / middle).max(MIN_FACTOR);
        [
            factor(self.middle[0], tangential * normals[0]),
            factor(self.middle[1], with * normals[0] + apart * normals[1]),
        ]
    }

    /// The belief after an off-cut was measured at two moistures.
    #[must_use]
    pub fn after(self, offcut: &Offcut, section: Section, table: &Shrinkage) -> Self {
        let reading = Reading::of(offcut, section, table);
        let belief = self.belief();
        Self::from(&belief.after(&reading.weights, reading.value, reading.deviation))
    }
}

/// An off-cut as a reading of a weighted sum of the two factors.
struct Reading {
    weights: [f64; 2],
    value: f64,
    deviation: f64,
}

/// Strain of an off-cut of a board whose shrinkages are the table's times two factors.
fn strain(offcut: &Offcut, section: Section, table: &Shrinkage, factors: [f64; 2]) -> f64 {
    let board = Shrinkage {
        tangential_percent: table.tangential_percent * factors[0],
        radial_percent: table.radial_percent * factors[1],
        ..*table
    };
    let along = |direction| board.strain(direction, offcut.from, offcut.to).ratio();
    let section = super::curve::section_for_sizes(section);
    let moved = || section.moved(RingStrains::of(&board, offcut.from, offcut.to));
    match offcut.direction {
        Direction::Tangential => along(Wood::Tangential),
        Direction::Radial => along(Wood::Radial),
        Direction::Width => {
            moved().map_or(0.0, |moved| moved.width(Face::Bark) / section.width - 1.0)
        }
        Direction::Thickness => moved().map_or(0.0, |moved| {
            moved.thickness_at(Length::ZERO) / section.thickness - 1.0
        }),
    }
}

impl Reading {
    /// Linear about the table's values, which the strain is to within its square.
    fn of(offcut: &Offcut, section: Section, table: &Shrinkage) -> Self {
        const STEP: f64 = 0.05;
        let at = |t: f64, r: f64| strain(offcut, section, table, [t, r]);
        let weights = [
            (at(1.0 + STEP, 1.0) - at(1.0 - STEP, 1.0)) / (2.0 * STEP),
            (at(1.0, 1.0 + STEP) - at(1.0, 1.0 - STEP)) / (2.0 * STEP),
        ];
        let expected = at(1.0, 1.0);
        let seen = offcut.after / offcut.before - 1.0;
        let of_size = 2.0_f64.sqrt() * (offcut.size_deviation / offcut.before);
        let per_percent = expected / (offcut.to - offcut.from).percent();
        let of_moisture = 2.0_f64.sqrt() * per_percent * offcut.moisture_deviation_percent;
        Self {
            weights,
            value: seen - expected + weights[0] + weights[1],
            deviation: libm::hypot(of_size, of_moisture),
        }
    }
}

/// The meter of a job, as far as it was held against the oven.
#[must_use]
pub(super) fn meter(job: &Job) -> Instrument {
    let spreads = &job.chance.spreads;
    let off: Vec<f64> = job
        .chance
        .meter_checks
        .iter()
        .map(|check| (check.read - check.oven).percent())
        .collect();
    Instrument::new(spreads.meter_bias_percent, spreads.meter_scatter_percent).after(&off)
}

/// What was measured and what it narrowed, in words, and what is to be doubted.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Narrowed {
    /// What each measurement narrowed.
    pub given: Vec<String>,
    /// Measurements that do not fit.
    pub doubted: Vec<String>,
}

/// Says what the meter checks made of the meter.
pub(super) fn tell_meter(job: &Job, meter: &Instrument, into: &mut Narrowed) {
    let count = job.chance.meter_checks.len();
    if count == 0 {
        return;
    }
    let before = Instrument::new(
        job.chance.spreads.meter_bias_percent,
        job.chance.spreads.meter_scatter_percent,
    );
    let within = |deviation: f64| NINE_IN_TEN * deviation;
    let reads = if meter.bias >= 0.0 { "high" } else { "low" };
    into.given.push(format!(
        "The meter, held against the oven {count} times, reads {:.1} % {reads}: every moisture given is corrected by that. As a whole it is now right within {:.1} % instead of {:.1} %, and single readings scatter within {:.1} % instead of {:.1} %, nine times in ten.",
        meter.bias.abs(),
        within(meter.bias_deviation()),
        within(before.bias_deviation()),
        within(meter.scatter),
        within(before.scatter),
    ));
}

/// Narrows a board's belief by an off-cut, and says so. `name` is the part, or the board with its parts.
pub(super) fn narrow(
    spread: ShrinkageSpread,
    offcut: &Offcut,
    section: Section,
    table: &Shrinkage,
    name: &str,
    into: &mut Narrowed,
) -> ShrinkageSpread {
    let reading = Reading::of(offcut, section, table);
    let expected = spread.belief().sum(&reading.weights);
    let spare = libm::hypot(expected.deviation, reading.deviation);
    let percent = |value: f64| 100.0 * value;
    let seen = percent(offcut.after / offcut.before - 1.0);
    let awaited = seen + percent(expected.mean - reading.value);
    if (reading.value - expected.mean).abs() > DOUBTED * spare {
        into.doubted.push(format!(
            "the off-cut of {name} changed by {seen:.2} % from {}% to {}%, where {awaited:.2} % was expected within {:.2} %: check its two moistures, its sizes and the direction it was measured in",
            offcut.from.percent(),
            offcut.to.percent(),
            percent(NINE_IN_TEN * spare),
        ));
    }
    let after = spread.after(offcut, section, table);
    let (before_within, after_within) = (spread.deviations(), after.deviations());
    let within = |middle: f64, deviation: f64| percent(NINE_IN_TEN * deviation / middle);
    into.given.push(format!(
        "An off-cut of {name} went from {:.2} mm to {:.2} mm between {}% and {}% moisture, {seen:.2} % where {awaited:.2} % was expected. The board's shrinkage is now taken as {:.2} of the table's along the rings, within {:.0} % instead of {:.0} %, and {:.2} across them, within {:.0} % instead of {:.0} %, nine times in ten (conjugate normal update).",
        offcut.before.mm(),
        offcut.after.mm(),
        offcut.from.percent(),
        offcut.to.percent(),
        after.middle[0],
        within(after.middle[0], after_within[0]),
        within(spread.middle[0], before_within[0]),
        after.middle[1],
        within(after.middle[1], after_within[1]),
        within(spread.middle[1], before_within[1]),
    ));
    after
}

/// Share of a board's own spread that a new off-cut of a part would leave, tangential and radial: `width` across, read
/// by callipers at two moistures 6 % apart that are known within 0.3 %.
#[must_use]
pub(super) fn left_by_offcut(spread: &ShrinkageSpread, width: Length, table: &Shrinkage) -> f64 {
    use crate::units::MoistureContent;
    let percent = MoistureContent::computed_percent;
    let offcut = Offcut {
        part: 0,
        direction: Direction::Tangential,
        from: percent(12.0),
        to: percent(6.0),
        before: width,
        after: width,
        size_deviation: Length::from_mm_unchecked(0.1 / NINE_IN_TEN),
        moisture_deviation_percent: 0.3 / NINE_IN_TEN,
    };
    let section = Section {
        width,
        thickness: width,
        rings: crate::movement::Sawn::Flat.rings(),
    };
    let reading = Reading::of(&offcut, section, table);
    let belief = spread.belief();
    let deviation = |belief: &JointBelief| belief.of(0).map_or(0.0, |belief| belief.deviation);
    let before = deviation(&belief);
    // The reading itself moves the mean alone; what is left of the spread does not depend on it.
    let after = deviation(&belief.after(&reading.weights, 1.0, reading.deviation));
    if before > 0.0 { after / before } else { 1.0 }
}
