//! Moisture years for a whole cloud of draws: a few full solves over diffusivity and
//! exchange, and interpolation of every day between them.

use super::blocks::{Blocks, Number, sum_around};
use super::diffusivity::{Diffusivity, diffusivity_m2_per_s};
use super::grid_range::{GridRange, LogAxis};
use super::profile::Profile;
use super::slab::Slab;
use super::state::Lane;
use super::track::MoistureTrack;
use super::year::{Almanac, Stay, follow_through, follow_with_memory, ready, settled_in};
use crate::air::{AirState, AirYear, DAYS_IN_YEAR, equilibrium_moisture};
use crate::units::MoistureContent;
use rayon::prelude::*;

/// Cells of the grid's solves.
const GRID_CELLS: usize = 16;
/// Nodes that are solved side by side.
const LANES: usize = 8;
/// Of the last nodes, when they are few.
const HALF: usize = LANES / 2;
/// By how much the start is moved to learn how long it is remembered, percent.
const START_PROBE: f64 = 1.0;

/// What one draw changes; the neutral draw is [`Variation::NONE`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Variation {
    /// Natural logarithm of what multiplies the slab's diffusivity.
    pub diffusivity_log: f64,
    /// Natural logarithm of what multiplies the exchange of the slab's open faces.
    pub surface_log: f64,
    /// Multiplies the equilibrium moisture of the air of the last stay, or of a settled year.
    pub equilibrium_factor: f64,
    /// Multiplies the equilibrium moisture of the air of the stays before; without effect on a settled year.
    pub earlier_equilibrium_factor: f64,
    /// Added to the moisture at the start, percent; without effect on a settled year.
    pub start_offset_percent: f64,
}

impl Variation {
    /// The middle forecast.
    pub const NONE: Self = Self {
        diffusivity_log: 0.0,
        surface_log: 0.0,
        equilibrium_factor: 1.0,
        earlier_equilibrium_factor: 1.0,
        start_offset_percent: 0.0,
    };
}

/// Where a draw lies among the nodes of a grid.
#[derive(Debug, Clone, Copy)]
struct Nodes {
    diffusivity: LogAxis,
    surface: LogAxis,
    /// Moisture at the start, percent; `None` for a settled year.
    start: Option<f64>,
    /// By how much the logarithm of the diffusivity rises when all moisture rises in proportion.
    bend: f64,
}

impl Nodes {
    /// Puts the track of a draw into `out`, between those of all nodes: first the tracks of the boards themselves; from a start then
    /// what a start 1 % wetter adds, and what the air of the stays before the last adds for its own whole.
    fn draw<N: Number>(&self, draw: &Variation, tracks: &Blocks<N>, out: &mut [f64]) {
        let scale = draw.equilibrium_factor;
        let diffusivity = draw.diffusivity_log + self.bend * (scale - 1.0);
        let around = [
            self.surface.stencil(draw.surface_log),
            self.diffusivity.stencil(diffusivity),
        ];
        let Some(start) = self.start else {
            return sum_around(tracks, &around, [scale], out);
        };
        // M = scale (M1 - M0 g - h) + earlier h + (M0 + offset) g, with g what is left of the start and h what the air before the
        // last stay adds.
        let remembered = draw.start_offset_percent + (1.0 - scale) * start;
        let earlier = draw.earlier_equilibrium_factor - scale;
        sum_around(tracks, &around, [scale, remembered, earlier], out);
    }
}

/// Solved tracks over a grid of diffusivity and exchange factors.
#[derive(Debug, Clone)]
pub struct TrackGrid {
    nodes: Nodes,
    first_day: usize,
    days: usize,
    /// Mean moisture by day in every track of the nodes, in the order of [`Nodes::draw`], percent.
    means: Blocks<f64>,
    /// The same of the slope, percent per mm; of no length where both faces are alike.
    slopes: Blocks<f64>,
}

/// Some days of a grid, in single precision: what a cloud of draws looks at.
#[derive(Debug, Clone)]
pub struct PickedGrid {
    nodes: Nodes,
    /// Mean moisture on each day in every track of the nodes, in the order of [`Nodes::draw`], percent.
    means: Blocks<f32>,
    /// The same of the slope, percent per mm; of no length where both faces are alike.
    slopes: Blocks<f32>,
}

impl TrackGrid {
    /// The settled years of a slab in one air; see [`super::settled_year`].
    #[must_use]
    pub fn settled(slab: &Slab, air: &AirYear, diffusivity: GridRange, surface: GridRange) -> Self {
        let almanac = Almanac::of(&by_days(air));
        let nodes = Nodes {
            diffusivity: diffusivity.axis(),
            surface: surface.axis(),
            start: None,
            bend: bend_of(slab, air.mean()),
        };
        let tracks = Course::Settled(&almanac).tracks(slab, diffusivity, surface);
        Self::of(nodes, &tracks, 0)
    }

    /// The tracks of a slab from a measured start through its stays; see [`super::follow`].
    #[must_use]
    pub fn follow(
        slab: &Slab,
        initial: MoistureContent,
        stays: &[Stay<'_>],
        diffusivity: GridRange,
        surface: GridRange,
    ) -> Self {
        let years = years_by_days(stays);
        let stays = on_days(stays, &years);
        let nodes = Nodes {
            diffusivity: diffusivity.axis(),
            surface: surface.axis(),
            start: Some(initial.percent()),
            bend: stays
                .last()
                .map_or(0.0, |stay| bend_of(slab, stay.air.mean())),
        };
        let tracks = Course::From(initial, &ready(&stays)).tracks(slab, diffusivity, surface);
        let first_day = stays
            .first()
            .map_or(0, |stay| stay.from_day_of_year % DAYS_IN_YEAR);
        Self::of(nodes, &tracks, first_day)
    }

    /// Of the tracks of all nodes, in the order of [`Nodes::draw`].
    fn of(nodes: Nodes, tracks: &[MoistureTrack], first_day: usize) -> Self {
        let each = |values: fn(&MoistureTrack) -> &Vec<f64>| {
            Blocks::of(&tracks.iter().map(values).collect::<Vec<_>>())
        };
        Self {
            nodes,
            first_day,
            days: tracks.first().map_or(0, MoistureTrack::days),
            means: each(|track| &track.mean_percent),
            slopes: each(|track| &track.slope_percent_per_mm),
        }
    }

    /// What one draw makes of a slab, with the grid's cells and days but without its interpolation: the year of a board without stays,
    /// and with some what it goes through from a moisture.
    #[must_use]
    pub fn without_grid(
        slab: &Slab,
        draw: &Variation,
        from: Option<(MoistureContent, &[Stay<'_>])>,
        home: &AirYear,
    ) -> MoistureTrack {
        let slab = Slab {
            diffusivity_factor: slab.diffusivity_factor * libm::exp(draw.diffusivity_log),
            surface_factor: slab.surface_factor * libm::exp(draw.surface_log),
            equilibrium_factor: slab.equilibrium_factor * draw.equilibrium_factor,
            ..*slab
        };
        let Some((measured, stays)) = from else {
            let almanac = Almanac::of(&by_days(home));
            let [track] = settled_in(&slab, [Lane::ITSELF], &almanac, GRID_CELLS);
            return track;
        };
        let years = years_by_days(stays);
        let stays = on_days(stays, &years);
        let start = measured.percent() + draw.start_offset_percent;
        let start = Profile::uniform(MoistureContent::computed_percent(start));
        let earlier = draw.earlier_equilibrium_factor / draw.equilibrium_factor;
        follow_through(&slab, earlier, &start, &ready(&stays), GRID_CELLS)
    }

    /// Memory that the grid takes, bytes.
    #[must_use]
    pub fn bytes(&self) -> usize {
        self.means.bytes() + self.slopes.bytes()
    }

    /// Some of its days only, in the order given: what a cloud of draws looks at.
    ///
    /// # Panics
    /// On a day that the grid does not have: an error in the program.
    #[must_use]
    pub fn picked(&self, days: &[usize]) -> PickedGrid {
        PickedGrid {
            nodes: self.nodes,
            means: self.means.picked(days),
            slopes: self.slopes.picked(days),
        }
    }

    /// Days of each track.
    #[must_use]
    pub const fn days(&self) -> usize {
        self.days
    }

    /// The track at a diffusivity and a surface factor, written over `out`, which
    /// keeps its memory: nothing is allocated from the second call on.
    pub fn at(&self, diffusivity_factor: f64, surface_factor: f64, out: &mut MoistureTrack) {
        self.at_variation(
            &Variation {
                diffusivity_log: libm::log(diffusivity_factor),
                surface_log: libm::log(surface_factor),
                ..Variation::NONE
            },
            out,
        );
    }

    /// The track of one draw, written over `out`.
    ///
    /// Equilibrium factor and start offset enter as in a linear board: the
    /// answer to a start and to the air are added, each in its proportion. Wetter wood
    /// being the more permeable, the equilibrium factor also moves the diffusivity.
    pub fn at_variation(&self, draw: &Variation, out: &mut MoistureTrack) {
        out.first_day = self.first_day;
        for values in [&mut out.mean_percent, &mut out.slope_percent_per_mm] {
            values.clear();
            values.resize(self.days, 0.0);
        }
        self.nodes.draw(draw, &self.means, &mut out.mean_percent);
        self.nodes
            .draw(draw, &self.slopes, &mut out.slope_percent_per_mm);
    }
}

impl PickedGrid {
    /// The track of one draw: its days of `mean`, in percent, and of `slope`, in percent per mm, which is 0 where both faces are alike.
    pub(crate) fn fill_variation(&self, draw: &Variation, mean: &mut [f64], slope: &mut [f64]) {
        self.nodes.draw(draw, &self.means, mean);
        if self.slopes.length() > 0 {
            self.nodes.draw(draw, &self.slopes, slope);
        } else {
            slope.fill(0.0);
        }
    }
}

/// A grid works on days; hours are averaged as vapour pressure and temperature.
fn by_days(air: &AirYear) -> AirYear {
    if air.states_per_day() == 1 {
        return air.clone();
    }
    AirYear::by_days(air.daily()).unwrap_or_else(|_| air.clone())
}

fn years_by_days(stays: &[Stay<'_>]) -> Vec<AirYear> {
    stays.iter().map(|stay| by_days(stay.air)).collect()
}

/// The stays in these years of air.
fn on_days<'a>(stays: &[Stay<'_>], years: &'a [AirYear]) -> Vec<Stay<'a>> {
    let each = stays.iter().zip(years);
    each.map(|(stay, air)| Stay { air, ..*stay }).collect()
}

/// `M d(ln D)/dM` at the mean air.
fn bend_of(slab: &Slab, air: AirState) -> f64 {
    let (celsius, percent) = (
        air.temperature.celsius(),
        equilibrium_moisture(air).percent(),
    );
    match slab.diffusivity {
        Diffusivity::Constant(_) => 0.0,
        Diffusivity::OfWood => {
            let at = |percent: f64| diffusivity_m2_per_s(celsius, percent, slab.basic_gravity);
            10.0 * libm::log(at(1.05 * percent) / at(0.95 * percent))
        }
    }
}

/// What the boards of a grid go through.
enum Course<'a> {
    /// The year that repeats.
    Settled(&'a Almanac),
    /// Some stays from a measured moisture.
    From(MoistureContent, &'a [(Stay<'a>, Almanac)]),
}

impl Course<'_> {
    /// What [`Course::solve`] gives of every node, in the order of [`Nodes::draw`], with the slope only where there is one.
    fn tracks(
        &self,
        slab: &Slab,
        diffusivity: GridRange,
        surface: GridRange,
    ) -> Vec<MoistureTrack> {
        let count = diffusivity.nodes.max(1);
        let nodes: Vec<Lane> = (0..count * surface.nodes.max(1))
            .map(|node| Lane {
                diffusivity: diffusivity.factor(node % count),
                surface: surface.factor(node / count),
            })
            .collect();
        let solved: Vec<Vec<MoistureTrack>> = if let [one] = nodes[..] {
            self.solve(slab, [one]).into()
        } else {
            nodes
                .par_chunks(LANES)
                .flat_map_iter(|group| match group.len() {
                    ..=HALF => self.solve_beside::<HALF>(slab, group),
                    _ => self.solve_beside::<LANES>(slab, group),
                })
                .collect()
        };
        let kinds = solved.first().map_or(0, Vec::len);
        let mut of_nodes: Vec<_> = solved.into_iter().map(Vec::into_iter).collect();
        let mut tracks: Vec<MoistureTrack> = (0..kinds)
            .flat_map(|_| {
                of_nodes
                    .iter_mut()
                    .filter_map(Iterator::next)
                    .collect::<Vec<_>>()
            })
            .collect();
        if slab.is_symmetric() {
            for track in &mut tracks {
                track.slope_percent_per_mm.clear();
            }
        }
        tracks
    }

    /// [`Course::solve`] of at most as many nodes as there are lanes: the last node again in those that are left over.
    fn solve_beside<const SIDE_BY_SIDE: usize>(
        &self,
        slab: &Slab,
        nodes: &[Lane],
    ) -> Vec<Vec<MoistureTrack>> {
        let lanes = std::array::from_fn(|lane| nodes[lane.min(nodes.len() - 1)]);
        let mut solved = Vec::from(self.solve::<SIDE_BY_SIDE>(slab, lanes));
        solved.truncate(nodes.len());
        solved
    }

    /// In each lane the track itself; from a start also what a start 1 % wetter adds to it, and what the air of the stays before
    /// the last adds for its own whole.
    fn solve<const SIDE_BY_SIDE: usize>(
        &self,
        slab: &Slab,
        lanes: [Lane; SIDE_BY_SIDE],
    ) -> [Vec<MoistureTrack>; SIDE_BY_SIDE] {
        match self {
            Self::Settled(almanac) => {
                settled_in(slab, lanes, almanac, GRID_CELLS).map(|track| vec![track])
            }
            Self::From(initial, stays) => {
                let followed = follow_with_memory(
                    slab,
                    lanes,
                    initial.percent(),
                    START_PROBE,
                    stays,
                    GRID_CELLS,
                );
                let mut adds = followed.by_start.into_iter().zip(followed.by_earlier_air);
                followed.tracks.map(|track| {
                    let mut tracks = vec![track];
                    tracks.extend(adds.next().into_iter().flat_map(|(a, b)| [a, b]));
                    tracks
                })
            }
        }
    }
}
