//! The rest after the cut: a leaf's own moisture evens out and comes to the air
//! it lies in, and its bow and cup with it.

use super::belief::Marginal;
use super::board::{Board, Wood};
use super::drying::Bend;
use super::leaf::{ring_cup, rise_band};
use super::locked_in::LockedIn;
use super::plan::{Side, Slice};
use super::{Band, error};
use crate::air::AirState;
use crate::moisture::{FaceExchange, Finish, Profile, Slab, SlabState, SurfaceAir, weight};
use crate::movement::Direction;
use crate::units::notation::{NotationError, one_of};
use crate::units::spanned::ReadNotation;
use crate::units::{Length, Mass, MoistureContent, Refusal};

/// How a leaf lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Lying {
    /// On stickers: air at both faces.
    #[default]
    Stickered,
    /// Flat on the bench, sawn face up: the other face sealed.
    SawnFaceUp,
    /// Flat on the bench, sawn face down.
    SawnFaceDown,
}

/// Where and how a leaf rests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RestPlan {
    /// The air around it, constant.
    pub air: AirState,
    /// How it lies.
    pub lying: Lying,
    /// For how many days the answer is wanted day by day.
    pub days: usize,
    /// Weight of the leaf on the scale now, where it was weighed.
    pub weight: Option<Mass>,
}

impl RestPlan {
    /// The air as the board's leaves meet it: a board that loses moisture stays moister in it than one that gains.
    #[must_use]
    pub fn air_for(&self, board: &Board) -> SurfaceAir {
        SurfaceAir::met_from(self.air, board.moisture.mean())
    }
}

/// A leaf day by day: entry `i` is after `i` days of rest.
#[derive(Debug, Clone, PartialEq)]
pub struct RestForecast {
    /// Bow, positive when the sawn face is hollow.
    pub bow: Vec<Band>,
    /// Cup likewise.
    pub cup: Vec<Band>,
    /// Mean moisture, percent.
    pub mean_percent: Vec<f64>,
    /// Day from which bow and cup have done 90 % of what they have to do, or the moisture where neither moves; `None` when that
    /// takes more than five years.
    pub day_90: Option<usize>,
    /// Moisture it settles at.
    pub settles_at: MoistureContent,
    /// Weight of the leaf without water, by the scale or by its size and specific gravity.
    pub oven_dry: Mass,
    /// Water still to lose on each day: the scale shows it going. Negative while it takes up water.
    pub still_to_lose: Vec<Mass>,
    /// What bow is still to come after each day, were the leaf milled flat then.
    pub bow_to_come: Vec<Length>,
    /// What cup is still to come after each day, were the leaf milled flat then.
    pub cup_to_come: Vec<Length>,
}

/// Longest rest that is looked at, days.
const LONGEST_DAYS: f64 = 5.0 * 365.0;
/// A step is at most this share of the time since the start.
const STEP_SHARE: f64 = 0.03;
const FIRST_STEP_SECONDS: f64 = 600.0;
const CELLS: usize = 24;
const DAY: f64 = 86_400.0;
/// Core less shell of the trial that tells how evening out goes, percent.
const TRIAL_PERCENT: f64 = 1.0;
/// Changes smaller than these do not count for the 90 %.
const MIN_RISE_MM: f64 = 0.05;
const MIN_PERCENT: f64 = 0.1;

struct Trace {
    seconds: Vec<f64>,
    mean: Vec<f64>,
    slope: Vec<f64>,
}

impl Trace {
    fn of(state: &mut SlabState, start: &Profile, air: &SurfaceAir) -> Self {
        state.restart(start);
        let mut trace = Self {
            seconds: vec![0.0],
            mean: vec![state.mean_percent()],
            slope: vec![state.slope_percent_per_mm()],
        };
        let mut now = 0.0;
        while now < LONGEST_DAYS * DAY {
            let step = FIRST_STEP_SECONDS.max(STEP_SHARE * now);
            state.step(air, step);
            now += step;
            trace.seconds.push(now);
            trace.mean.push(state.mean_percent());
            trace.slope.push(state.slope_percent_per_mm());
        }
        trace
    }

    /// A value after whole days.
    fn at(&self, values: &[f64], day: usize) -> f64 {
        crate::numerics::interpolate(&self.seconds, values, day as f64 * DAY)
    }
}

/// The whole course of one leaf, at the moments of its trace.
struct Course {
    level: Trace,
    /// Mean moisture at each moment, percent.
    mean: Vec<f64>,
    /// Share of the board's gradient that has evened out at each moment.
    evened: Vec<f64>,
}

fn course(slice: &Slice, board: &Board, wood: &Wood, plan: &RestPlan) -> Result<Course, Refusal> {
    let open = FaceExchange::Open(Finish::bare());
    let (lower, upper) = match (plan.lying, slice.sawn()) {
        (Lying::Stickered, _) => (open, open),
        (Lying::SawnFaceUp, Side::Upper) | (Lying::SawnFaceDown, Side::Lower) => {
            (FaceExchange::Sealed, open)
        }
        (Lying::SawnFaceUp, Side::Lower) | (Lying::SawnFaceDown, Side::Upper) => {
            (open, FaceExchange::Sealed)
        }
    };
    let mut slab = Slab::bare(slice.thickness(), wood.basic_gravity)
        .map_err(error::out_of_range)?
        .with_faces(lower, upper);
    slab.fiber_saturation =
        MoistureContent::computed_percent(wood.shrinkage.fiber_saturation_percent);
    let air = plan.air_for(board);
    let part = |core_minus_shell: f64| {
        Profile::parabola(
            board.moisture.mean(),
            MoistureContent::computed_percent(core_minus_shell),
        )
        .part(board.thickness, slice.lower, slice.upper)
    };
    // Moisture moves nearly linearly: the leaf at its mean, and beside it the gradient alone, from the
    // difference to a leaf that starts with it.
    let given = board.core_minus_shell().percent();
    let gradient = if given.abs() < TRIAL_PERCENT {
        TRIAL_PERCENT
    } else {
        given
    };
    let mean = part(given).mean();
    let uniform = Profile::uniform(mean);
    let mut state = SlabState::new(&slab, CELLS, &uniform);
    let level = Trace::of(&mut state, &uniform, &air);
    let tilted = part(gradient);
    let shifted = Profile::parabola(
        board.moisture.mean() + mean - tilted.mean(),
        MoistureContent::computed_percent(gradient),
    )
    .part(board.thickness, slice.lower, slice.upper);
    let trial = Trace::of(&mut state, &shifted, &air);
    let beside = |with: &[f64], without: &[f64], share: &dyn Fn(f64, f64) -> f64| -> Vec<f64> {
        let both = with.iter().zip(without);
        both.map(|(with, without)| share(*with, *without)).collect()
    };
    // A face that dries alone draws on the wet or the dry side of the gradient first.
    let mean = beside(&trial.mean, &level.mean, &|trial, level| {
        level + given / gradient * (trial - level)
    });
    let start = trial.slope[0];
    let evened = beside(&trial.slope, &level.slope, &|trial, level| {
        // A leaf out of the middle of the board has no slope to even out.
        if slice.middle_share().abs() < 1e-9 {
            1.0
        } else {
            1.0 - (trial - level) / start
        }
    });
    Ok(Course {
        level,
        mean,
        evened,
    })
}

/// The rest of one leaf of a board, day by day.
///
/// `locked_in` are the beliefs along and across the grain, `index` the board's place in them.
///
/// # Errors
/// [`Refusal`] for a leaf or a wood outside the range table.
pub fn rest_of_leaf(
    (along, across): (&LockedIn, &LockedIn),
    index: usize,
    slice: &Slice,
    board: &Board,
    wood: &Wood,
    plan: &RestPlan,
) -> Result<RestForecast, Refusal> {
    let course = course(slice, board, wood, plan)?;
    let settles_at = plan.air_for(board).equilibrium();
    let section = board.leaf_section(slice);
    let start = MoistureContent::computed_percent(course.mean[0]);
    let ring_cup_at = |percent: f64| {
        ring_cup(
            section,
            wood,
            slice,
            start,
            MoistureContent::computed_percent(percent),
        )
        .mm()
    };
    // Cup from rings is a smooth and nearly straight function of the moisture below fiber saturation: a
    // parabola through the start, the middle and the end tells it between them.
    let below = |percent: f64| percent.min(wood.shrinkage.fiber_saturation_percent);
    let (first, last) = (below(start.percent()), below(settles_at.percent()));
    let (half, whole) = (ring_cup_at((first + last) / 2.0), ring_cup_at(last));
    let rings = |percent: f64| {
        if (last - first).abs() < 1e-9 {
            return 0.0;
        }
        let done = (below(percent) - first) / (last - first);
        done * (4.0 * half * (1.0 - done) + whole * (2.0 * done - 1.0))
    };
    let bend = |bend: Bend| {
        let (locked_in, chord) = match bend {
            Bend::Along => (along, board.length),
            Bend::Across => (across, board.width),
        };
        Bending {
            locked_in,
            index,
            slice,
            factor: slice.sawn_sign() * chord.mm() * chord.mm() / 8.0,
            coefficient: board.coefficient(wood, bend),
            inherited: board.curvature(bend).per_mm(),
        }
    };
    let (bow, cup) = (bend(Bend::Along), bend(Bend::Across));
    let no_rings = 0.0;
    let bow_end = bow.at(1.0, 0.0, no_rings).mean();
    let cup_end = cup.at(1.0, 0.0, rings(settles_at.percent())).mean();
    let day_90 = day_90(
        &course,
        (&bow, bow_end),
        (&cup, cup_end),
        &rings,
        settles_at,
    );
    let oven_dry = match plan.weight {
        Some(now) => weight::oven_dry(now, start),
        None => oven_dry_of(slice, board, wood, start),
    };
    let mut forecast = RestForecast {
        bow: Vec::with_capacity(plan.days + 1),
        cup: Vec::with_capacity(plan.days + 1),
        mean_percent: Vec::with_capacity(plan.days + 1),
        day_90,
        settles_at,
        oven_dry,
        still_to_lose: Vec::with_capacity(plan.days + 1),
        bow_to_come: Vec::with_capacity(plan.days + 1),
        cup_to_come: Vec::with_capacity(plan.days + 1),
    };
    for day in 0..=plan.days {
        let evened = course.level.at(&course.evened, day);
        let slope = course.level.at(&course.level.slope, day);
        let mean = course.level.at(&course.mean, day);
        let bow = rise_band(&bow.at(evened, slope, no_rings));
        let cup = rise_band(&cup.at(evened, slope, rings(mean)));
        forecast
            .bow_to_come
            .push(Length::from_mm_unchecked(bow_end) - bow.middle);
        forecast
            .cup_to_come
            .push(Length::from_mm_unchecked(cup_end) - cup.middle);
        forecast.bow.push(bow);
        forecast.cup.push(cup);
        forecast.mean_percent.push(mean);
        forecast
            .still_to_lose
            .push(oven_dry * ((mean - settles_at.percent()) / 100.0));
    }
    Ok(forecast)
}

/// What bends a leaf one way.
struct Bending<'a> {
    locked_in: &'a LockedIn,
    index: usize,
    slice: &'a Slice,
    /// Curvature to rise of the sawn face.
    factor: f64,
    coefficient: f64,
    inherited: f64,
}

impl Bending<'_> {
    /// The rise in millimetres once the share `evened` has evened out, with a slope from the air on top.
    fn at(&self, evened: f64, slope: f64, rings: f64) -> Marginal {
        self.locked_in
            .curvature(
                self.index,
                self.slice,
                evened,
                self.inherited + self.coefficient * slope,
            )
            .scaled(self.factor, rings)
    }
}

fn day_90(
    course: &Course,
    (bow, bow_end): (&Bending<'_>, f64),
    (cup, cup_end): (&Bending<'_>, f64),
    rings: &impl Fn(f64) -> f64,
    settles_at: MoistureContent,
) -> Option<usize> {
    let trace = &course.level;
    let (mut bows, mut cups, mut means) = (Vec::new(), Vec::new(), Vec::new());
    for i in 0..trace.seconds.len() {
        let (evened, slope) = (course.evened[i], trace.slope[i]);
        bows.push((bow.at(evened, slope, 0.0).mean() - bow_end).abs());
        cups.push((cup.at(evened, slope, rings(course.mean[i])).mean() - cup_end).abs());
        means.push((course.mean[i] - settles_at.percent()).abs());
    }
    let moment = |left: &[f64], min: f64| -> Option<f64> {
        let most = left.iter().copied().fold(0.0, f64::max);
        if most < min {
            return Some(0.0);
        }
        let limit = 0.1 * most;
        let last_over = left.iter().rposition(|value| *value > limit);
        match last_over {
            None => Some(0.0),
            Some(i) if i + 1 < left.len() => {
                let part = (left[i] - limit) / (left[i] - left[i + 1]);
                Some(trace.seconds[i] + part * (trace.seconds[i + 1] - trace.seconds[i]))
            }
            Some(_) => None,
        }
    };
    // What matters for the cut is that it no longer bows or cups; moisture alone counts where neither does.
    let bends = moment(&bows, MIN_RISE_MM)?.max(moment(&cups, MIN_RISE_MM)?);
    let seconds = if bends > 0.0 {
        bends
    } else {
        moment(&means, MIN_PERCENT)?
    };
    Some((seconds / DAY).ceil() as usize)
}

/// Weight without water from the size now: specific gravity counts on the green size.
pub(crate) fn oven_dry_of(slice: &Slice, board: &Board, wood: &Wood, now: MoistureContent) -> Mass {
    let ratio = |direction| wood.shrinkage.size_ratio(direction, now.percent());
    let green = slice.thickness().mm() * board.width.mm() * board.length.mm()
        / (ratio(Direction::Radial)
            * ratio(Direction::Tangential)
            * ratio(Direction::Longitudinal));
    Mass::computed_grams(wood.basic_gravity * green / 1000.0)
}

impl ReadNotation for Lying {
    const WHAT: &'static str =
        "how a leaf lies: \"stickered\", \"sawn face up\" or \"sawn face down\"";

    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a way of lying",
            &[
                ("stickered", Self::Stickered),
                ("sawn face up", Self::SawnFaceUp),
                ("fresh face up", Self::SawnFaceUp),
                ("sawn face down", Self::SawnFaceDown),
                ("fresh face down", Self::SawnFaceDown),
            ],
        )
    }
}
