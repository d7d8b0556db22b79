//! A piece lying in constant air: how far it has come, and how long it takes.

use super::cells::CELLS;
use super::diffusivity::{Diffusivity, diffusivity_m2_per_s};
use super::profile::Profile;
use super::slab::Slab;
use super::state::{Exchange, SlabState};
use super::surface::SurfaceAir;
use crate::units::{Duration, MoistureContent};

/// Longest rest that is looked at for the 90 %: 200 years.
const LONGEST_SECONDS: f64 = 200.0 * 365.0 * 86_400.0;
/// A step is at most this share of the time since the start.
const STEP_SHARE: f64 = 0.002;
/// The first step as a share of `h^2/D`.
const FIRST_SHARE: f64 = 1e-5;

/// How far a piece has come after lying in constant air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// Mean moisture after the rest.
    pub mean: MoistureContent,
    /// Share of the whole change of the mean that is done; 1 when there is none to do.
    pub fraction_done: f64,
    /// When 90 % of the change are done; `None` when they never are.
    pub to_ninety_percent: Option<Duration>,
    /// Best-fit slope after the rest, percent per mm, positive when the upper face is the moister.
    pub slope_percent_per_mm: f64,
    /// Moisture at which the piece settles.
    pub settles_at: MoistureContent,
}

/// Steps that grow with the time since the start.
struct Clock {
    now: f64,
    first: f64,
}

impl Clock {
    fn of(slab: &Slab, start: &Profile, air: &SurfaceAir) -> Self {
        let diffusivity = slab.diffusivity_factor
            * match slab.diffusivity {
                Diffusivity::Constant(value) => value,
                Diffusivity::OfWood => diffusivity_m2_per_s(
                    air.celsius,
                    start.mean().percent().clamp(1.0, 30.0),
                    slab.basic_gravity,
                ),
            };
        let thickness = slab.thickness.mm() / 1000.0;
        Self {
            now: 0.0,
            first: FIRST_SHARE * thickness * thickness / diffusivity,
        }
    }

    /// Goes on to at most `end`.
    fn step(&mut self, state: &mut SlabState, air: &SurfaceAir, end: f64) -> Exchange {
        let step = self.first.max(STEP_SHARE * self.now);
        let last = self.now + 1.5 * step >= end;
        let seconds = if last { end - self.now } else { step };
        self.now = if last { end } else { self.now + seconds };
        state.step(air, seconds)
    }
}

/// What a piece comes to that lies in constant air for `time`.
///
/// The change counted is that of the mean moisture, from the start's mean to the
/// equilibrium of the air.
#[must_use]
pub fn rest(slab: &Slab, start: &Profile, air: &SurfaceAir, time: Duration) -> Rest {
    let target = slab.equilibrium_factor * air.equilibrium().percent();
    let from = start.mean().percent();
    let whole = target - from;
    let done = |mean: f64| {
        if whole.abs() < 1e-9 {
            1.0
        } else {
            (mean - from) / whole
        }
    };
    let mut state = SlabState::new(slab, CELLS, start);
    let mut clock = Clock::of(slab, start, air);
    let mut ninety_percent = (whole.abs() < 1e-9).then_some(0.0);
    let mut share = done(from);
    let mut watch = |clock: &Clock, before: f64, share_before: f64, share: f64| {
        if ninety_percent.is_none() && share >= 0.9 {
            let part = (0.9 - share_before) / (share - share_before);
            ninety_percent = Some(before + part * (clock.now - before));
        }
        ninety_percent.is_some()
    };
    let end = time.seconds();
    while clock.now < end {
        let before = clock.now;
        clock.step(&mut state, air, end);
        let now = done(state.mean_percent());
        watch(&clock, before, share, now);
        share = now;
    }
    let (mean, slope) = (state.mean_percent(), state.slope_percent_per_mm());
    let fraction_done = done(mean);
    let mut found = watch(&clock, clock.now, share, share);
    while !found && clock.now < LONGEST_SECONDS {
        let before = clock.now;
        let exchange = clock.step(&mut state, air, LONGEST_SECONDS);
        if exchange == Exchange::default() {
            break;
        }
        let now = done(state.mean_percent());
        found = watch(&clock, before, share, now);
        share = now;
    }
    Rest {
        mean: MoistureContent::computed_percent(mean),
        fraction_done,
        to_ninety_percent: ninety_percent.map(Duration::computed_seconds),
        slope_percent_per_mm: slope,
        settles_at: MoistureContent::computed_percent(target),
    }
}
