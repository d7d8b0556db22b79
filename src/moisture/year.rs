//! The moisture year: the home's year repeated until it closes on itself, and
//! what a board goes through from a measured start.

use super::cells::CELLS;
use super::profile::Profile;
use super::slab::Slab;
use super::state::{Lane, SlabState};
use super::surface::SurfaceAir;
use super::track::MoistureTrack;
use crate::air::{AirYear, DAYS_IN_YEAR, Hysteresis};
use crate::units::MoistureContent;
use multiversion::multiversion;

const DAY: f64 = 86_400.0;
/// Steps in which a day of one state is lived through.
const STEPS_OF_A_DAY: usize = 4;
/// A year has closed when beginning it again would move no cell by more than this, percent.
const CLOSED_PERCENT: f64 = 0.005;
/// What a year that exchanges nothing may still stir up by rounding, percent.
const STILL_PERCENT: f64 = 1e-7;
/// Years after which a board that has not closed is answered as it is.
const MOST_YEARS: usize = 60;

/// A stretch of days in one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stay<'a> {
    /// The air of the place.
    pub air: &'a AirYear,
    /// Day of the year on which the stay begins, 0 = 1 January.
    pub from_day_of_year: usize,
    /// Days of the stay; the air's year repeats as often as needed.
    pub days: usize,
    /// Whether the board's finish is not on yet.
    pub bare: bool,
}

/// A year of air made ready for time steps.
pub(super) struct Almanac {
    airs: Vec<SurfaceAir>,
    per_day: usize,
}

impl Almanac {
    pub(super) fn of(air: &AirYear) -> Self {
        Self {
            airs: air
                .states()
                .iter()
                .map(|state| SurfaceAir::of(*state))
                .collect(),
            per_day: air.states_per_day(),
        }
    }

    /// Only the days of a stay shorter than a year; the others stay empty.
    fn of_stay(stay: &Stay<'_>) -> Self {
        if stay.days >= DAYS_IN_YEAR || stay.air.is_constant() {
            return Self::of(stay.air);
        }
        let per_day = stay.air.states_per_day();
        let blank = SurfaceAir::of(stay.air.states()[0]);
        let mut airs = vec![blank; DAYS_IN_YEAR * per_day];
        for day in 0..stay.days {
            let day = (stay.from_day_of_year + day) % DAYS_IN_YEAR;
            let hours = day * per_day..(day + 1) * per_day;
            for (air, state) in airs[hours.clone()]
                .iter_mut()
                .zip(&stay.air.states()[hours])
            {
                *air = SurfaceAir::of(*state);
            }
        }
        Self { airs, per_day }
    }

    fn day(&self, day: usize) -> &[SurfaceAir] {
        let first = (day % DAYS_IN_YEAR) * self.per_day;
        &self.airs[first..first + self.per_day]
    }

    /// The year as a surface that remembers lives it once it repeats; the same where none remembers.
    fn remembered(&self, slab: &Slab) -> Option<Self> {
        let slope = slab.scanning?;
        let first = self.airs.first()?.equilibrium_percent;
        let mut memory = Hysteresis::at(slope, first, first);
        for air in &self.airs {
            memory.next(air.equilibrium_percent);
        }
        Some(Self {
            airs: self
                .airs
                .iter()
                .map(|air| air.settling_at(memory.next(air.equilibrium_percent)))
                .collect(),
            per_day: self.per_day,
        })
    }

    /// Mean equilibrium moisture over the year, percent.
    fn mean_percent(&self) -> f64 {
        self.airs
            .iter()
            .map(|air| air.equilibrium_percent)
            .sum::<f64>()
            / self.airs.len() as f64
    }
}

/// Lives through one day; gives the day's mean of the mean and of the slope of each lane. What it calls is always inlined, so that
/// all of it is compiled for wide vectors too.
#[multiversion(targets("x86_64+avx2"))]
fn live_day<const LANES: usize>(
    state: &mut SlabState<LANES>,
    airs: &[SurfaceAir],
    sums: &mut [[f64; LANES]],
) -> [[f64; LANES]; 2] {
    let steps = if airs.len() == 1 { STEPS_OF_A_DAY } else { 1 };
    let count = (steps * airs.len()) as f64;
    let seconds = DAY / count;
    let add = |sums: &mut [[f64; LANES]], state: &SlabState<LANES>, share: f64| {
        for (sum, cell) in sums.iter_mut().zip(state.cells()) {
            for (sum, m) in sum.iter_mut().zip(cell) {
                *sum += share * m;
            }
        }
    };
    // Trapezoid: half of the first and of the last moment, all between.
    sums.fill([0.0; LANES]);
    add(sums, state, 0.5);
    for (hour, air) in airs.iter().enumerate() {
        for step in 0..steps {
            // Over the steps of a day of one air, what moisture moves by hardly changes: beside hourly steps the daily mean of a bare
            // 22 mm board errs by 0.005 % of moisture (tests/it/moisture/grid.rs).
            if step == 0 {
                state.step_all(air, seconds);
            } else {
                state.step_again(air, seconds);
            }
            let last = hour + 1 == airs.len() && step + 1 == steps;
            add(sums, state, if last { 0.5 } else { 1.0 });
        }
    }
    [state.mean_of(sums), state.slope_of(sums)].map(|means| means.map(|mean| mean / count))
}

/// Puts a day at the end of each lane's track.
fn push<const LANES: usize>(
    tracks: &mut [MoistureTrack; LANES],
    [means, slopes]: [[f64; LANES]; 2],
) {
    for (lane, track) in tracks.iter_mut().enumerate() {
        track.push(means[lane], slopes[lane]);
    }
}

/// An empty track for each lane.
fn begun<const LANES: usize>(first_day: usize) -> [MoistureTrack; LANES] {
    std::array::from_fn(|_| MoistureTrack {
        first_day,
        ..MoistureTrack::default()
    })
}

/// The year of a board that has lived in this air for ever, 365 days from 1 January.
///
/// The year is repeated, starting from its mean equilibrium, each time from
/// where the change over the last two years points (Anderson's method), until
/// beginning it again moves no cell by more than 0.005 %. A board that exchanges nothing stays
/// at the mean equilibrium of the year.
#[must_use]
pub fn settled_year(slab: &Slab, air: &AirYear) -> MoistureTrack {
    let [track] = settled_in(slab, [Lane::ITSELF], &Almanac::of(air), CELLS);
    track
}

pub(super) fn settled_in<const LANES: usize>(
    slab: &Slab,
    lanes: [Lane; LANES],
    almanac: &Almanac,
    cells: usize,
) -> [MoistureTrack; LANES] {
    let remembered = almanac.remembered(slab);
    let almanac = remembered.as_ref().unwrap_or(almanac);
    let mean = MoistureContent::computed_percent(slab.equilibrium_factor * almanac.mean_percent());
    let mut state = SlabState::side_by_side(slab, lanes, cells, &Profile::uniform(mean));
    let n = state.cells().len();
    let mut sums = vec![[0.0; LANES]; n];
    let mut start = state.cells().to_vec();
    let mut last: Option<[Vec<[f64; LANES]>; 2]> = None;
    let mut tracks = begun(0);
    // A lane that has closed once lives on as it is while others still close.
    let mut closed = [false; LANES];
    for _ in 0..MOST_YEARS {
        tracks.iter_mut().for_each(|track| track.restart(0));
        for day in 0..DAYS_IN_YEAR {
            push(
                &mut tracks,
                live_day(&mut state, almanac.day(day), &mut sums),
            );
        }
        let end = state.cells().to_vec();
        let change = apart(&end, &start);
        let mut next = end.clone();
        for lane in 0..LANES {
            closed[lane] |= largest(&change, lane) < STILL_PERCENT;
            if closed[lane] {
                continue;
            }
            let Some([last_end, last_change]) = &last else {
                continue;
            };
            let (mut above, mut below) = (0.0, 0.0);
            for i in 0..n {
                let turn = change[i][lane] - last_change[i][lane];
                above += change[i][lane] * turn;
                below += turn * turn;
            }
            if below > 0.0 {
                let share = above / below;
                for i in 0..n {
                    next[i][lane] -= share * (end[i][lane] - last_end[i][lane]);
                }
            }
            closed[lane] = largest(&apart(&next, &start), lane) < CLOSED_PERCENT;
        }
        if closed.iter().all(|closed| *closed) {
            break;
        }
        state.restart_cells(&next);
        last = Some([end, change]);
        start = next;
    }
    tracks
}

/// By how much each cell of each lane is above another moment's, percent.
fn apart<const LANES: usize>(
    later: &[[f64; LANES]],
    earlier: &[[f64; LANES]],
) -> Vec<[f64; LANES]> {
    later
        .iter()
        .zip(earlier)
        .map(|(later, earlier)| std::array::from_fn(|lane| later[lane] - earlier[lane]))
        .collect()
}

/// The largest of a lane, without its sign.
fn largest<const LANES: usize>(cells: &[[f64; LANES]], lane: usize) -> f64 {
    cells
        .iter()
        .fold(0.0_f64, |most, cell| most.max(cell[lane].abs()))
}

/// A board followed through one stay after another from a uniform moisture.
///
/// The track's entries are daily means from the first day of the first stay.
#[must_use]
pub fn follow(slab: &Slab, initial: MoistureContent, stays: &[Stay<'_>]) -> MoistureTrack {
    follow_from(slab, &Profile::uniform(initial), stays, CELLS)
}

pub(super) fn follow_from(
    slab: &Slab,
    initial: &Profile,
    stays: &[Stay<'_>],
    cells: usize,
) -> MoistureTrack {
    follow_through(slab, 1.0, initial, &ready(stays), cells)
}

/// The same with the equilibrium of the air before the last stay multiplied by a factor.
pub(super) fn follow_through(
    slab: &Slab,
    earlier_equilibrium_factor: f64,
    initial: &Profile,
    stays: &[(Stay<'_>, Almanac)],
    cells: usize,
) -> MoistureTrack {
    let mut state = SlabState::new(slab, cells, initial);
    let mut sums = vec![[0.0]; state.cells().len()];
    let earlier = Slab {
        equilibrium_factor: slab.equilibrium_factor * earlier_equilibrium_factor,
        ..*slab
    };
    let [mut track] = begun(first_day(stays));
    each_day(slab, state.mean_percent(), stays, |bare, last, airs| {
        state.finish(if last { slab } else { &earlier }, bare);
        let [[mean], [slope]] = live_day(&mut state, airs, &mut sums);
        track.push(mean, slope);
    });
    track
}

/// Day of the year on which the first stay begins.
fn first_day(stays: &[(Stay<'_>, Almanac)]) -> usize {
    stays
        .first()
        .map_or(0, |(stay, _)| stay.from_day_of_year % DAYS_IN_YEAR)
}

/// Stays with their air made ready.
pub(super) fn ready<'a>(stays: &[Stay<'a>]) -> Vec<(Stay<'a>, Almanac)> {
    stays
        .iter()
        .map(|stay| (*stay, Almanac::of_stay(stay)))
        .collect()
}

/// The air of one day after another, stay after stay, as the surface that begins at a moisture lives it; with it whether
/// the finish is not on yet, and whether it is the last stay.
fn each_day(
    slab: &Slab,
    start_percent: f64,
    stays: &[(Stay<'_>, Almanac)],
    mut live: impl FnMut(bool, bool, &[SurfaceAir]),
) {
    // What the wood holds, on the table's scale.
    let start = slab
        .begun_percent
        .unwrap_or(start_percent / slab.equilibrium_factor);
    let mut memory: Option<Hysteresis> = None;
    let mut lived = Vec::new();
    for (index, (stay, almanac)) in stays.iter().enumerate() {
        let last = index + 1 == stays.len();
        for day in 0..stay.days {
            let airs = almanac.day(stay.from_day_of_year + day);
            let Some(slope) = slab.scanning else {
                live(stay.bare, last, airs);
                continue;
            };
            lived.clear();
            for air in airs {
                let table = air.equilibrium_percent;
                let memory = memory.get_or_insert_with(|| Hysteresis::at(slope, table, start));
                lived.push(air.settling_at(memory.next(table)));
            }
            live(stay.bare, last, &lived);
        }
    }
}

/// A change of one percent at the start is forgotten once it is less than this anywhere, percent.
const FORGOTTEN_PERCENT: f64 = 1e-3;

/// Boards beside others that differ a little, and what they add to each day.
struct Beside<const LANES: usize> {
    state: SlabState<LANES>,
    probe: f64,
    differs: bool,
    added: [MoistureTrack; LANES],
}

impl<const LANES: usize> Beside<LANES> {
    fn of(state: SlabState<LANES>, probe: f64, first_day: usize) -> Self {
        Self {
            state,
            probe,
            differs: true,
            added: begun(first_day),
        }
    }

    /// Lives a day beside the boards that have just lived it; `apart` says that the air of the day differs too.
    fn live(
        &mut self,
        boards: &SlabState<LANES>,
        day: &[[f64; LANES]; 2],
        airs: &[SurfaceAir],
        apart: bool,
        sums: &mut [[f64; LANES]],
    ) {
        let mut added = [[0.0; LANES]; 2];
        if self.differs {
            added = live_day(&mut self.state, airs, sums);
            for (own, theirs) in added.as_flattened_mut().iter_mut().zip(day.as_flattened()) {
                *own = (*own - theirs) / self.probe;
            }
            let forgotten = FORGOTTEN_PERCENT * self.probe;
            self.differs = apart
                || boards
                    .cells()
                    .as_flattened()
                    .iter()
                    .zip(self.state.cells().as_flattened())
                    .any(|(a, b)| (a - b).abs() > forgotten);
        }
        push(&mut self.added, added);
    }
}

/// What boards go through from a uniform moisture, and how they answer to a change, by lane.
pub(super) struct Followed<const LANES: usize> {
    /// The boards themselves.
    pub(super) tracks: [MoistureTrack; LANES],
    /// What a start wetter by 1 % adds to each day.
    pub(super) by_start: [MoistureTrack; LANES],
    /// What air before the last stay adds whose equilibrium is greater by its own whole.
    pub(super) by_earlier_air: [MoistureTrack; LANES],
}

/// Share by which the air before the last stay is made damper to learn how long that is remembered.
const EARLIER_PROBE: f64 = 0.05;

/// Boards followed from a uniform moisture, and how they answer to a change of their start, by `probe` percent, and of the air
/// before their last stay: nothing any more once that is forgotten.
pub(super) fn follow_with_memory<const LANES: usize>(
    slab: &Slab,
    lanes: [Lane; LANES],
    initial_percent: f64,
    probe: f64,
    stays: &[(Stay<'_>, Almanac)],
    cells: usize,
) -> Followed<LANES> {
    let at = |slab: &Slab, percent: f64| {
        let start = Profile::uniform(MoistureContent::computed_percent(percent));
        SlabState::side_by_side(slab, lanes, cells, &start)
    };
    let damper = Slab {
        equilibrium_factor: slab.equilibrium_factor * (1.0 + EARLIER_PROBE),
        ..*slab
    };
    let first = first_day(stays);
    let mut state = at(slab, initial_percent);
    let mut wetter = Beside::of(at(slab, initial_percent + probe), probe, first);
    let mut earlier = Beside::of(at(&damper, initial_percent), EARLIER_PROBE, first);
    earlier.differs = stays.len() > 1;
    let mut sums = vec![[0.0; LANES]; state.cells().len()];
    let mut tracks = begun(first);
    each_day(slab, initial_percent, stays, |bare, last, airs| {
        state.finish(slab, bare);
        wetter.state.finish(slab, bare);
        earlier
            .state
            .finish(if last { slab } else { &damper }, bare);
        let day = live_day(&mut state, airs, &mut sums);
        push(&mut tracks, day);
        wetter.live(&state, &day, airs, false, &mut sums);
        earlier.live(&state, &day, airs, !last, &mut sums);
    });
    Followed {
        tracks,
        by_start: wetter.added,
        by_earlier_air: earlier.added,
    }
}

/// The year of wood so thin that it is always in balance: the daily mean of the
/// equilibrium moisture, 365 days from 1 January, slope zero.
#[must_use]
pub fn equilibrium_year(air: &AirYear) -> MoistureTrack {
    let almanac = Almanac::of(air);
    let mut track = MoistureTrack::default();
    for day in 0..DAYS_IN_YEAR {
        let airs = almanac.day(day);
        let sum: f64 = airs.iter().map(|air| air.equilibrium_percent).sum();
        track.push(sum / airs.len() as f64, 0.0);
    }
    track
}
