//! Moisture years for a whole cloud of draws: a few full solves over diffusivity and
//! exchange, and interpolation of every day between them.

use super::diffusivity::{Diffusivity, diffusivity_m2_per_s};
use super::grid_range::{GridRange, LogAxis, STENCIL};
use super::profile::Profile;
use super::shapes::{Blocks, MOST_SHAPES, Number, Shape, shapes};
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
const LANES: usize = 5;
/// How near the shapes come to every track on the days picked, percent of moisture: what a cloud of draws asks.
const PICKED_PERCENT: f64 = 1e-3;
/// Tracks of a node at most: its own, and what a start and the air before add.
const KINDS: usize = 3;
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

/// Solved tracks over a grid of diffusivity and exchange factors; its days picked for draws in single precision.
#[derive(Debug, Clone)]
pub struct TrackGrid<N = f64> {
    diffusivity: LogAxis,
    surface: LogAxis,
    first_day: usize,
    days: usize,
    /// Moisture at the start, percent; `None` for a settled year.
    start: Option<f64>,
    /// By how much the logarithm of the diffusivity rises when all moisture rises in proportion.
    bend: f64,
    /// How much of each shape the track of a node has, a row for each node: of the track itself; for a start also of what a start 1 %
    /// wetter adds, and of what the air of the stays before the last adds for its own whole.
    shares: Blocks<N>,
    /// The most that the shapes before each leave of any track, percent of moisture.
    leaves: Vec<f64>,
    /// What the tracks of all nodes are sums of, by day: mean moisture, percent.
    means: Blocks<N>,
    /// The same of the slope, percent per mm; of no length where both faces are alike.
    slopes: Blocks<N>,
}

/// The shares of the nodes and the shapes, in blocks.
fn in_blocks<N: Number>(
    nodes: usize,
    shares: &[f64],
    shapes: &[Shape],
) -> (Blocks<N>, Vec<f64>, Blocks<N>, Blocks<N>) {
    let of_node = (shares.len() / nodes.max(1)).max(1);
    let each = |values: fn(&Shape) -> &Vec<f64>| {
        Blocks::of(&shapes.iter().map(values).collect::<Vec<_>>())
    };
    (
        Blocks::of(&shares.chunks(of_node).collect::<Vec<_>>()),
        shapes.iter().map(|shape| shape.leaves).collect(),
        each(|shape| &shape.mean),
        each(|shape| &shape.slope),
    )
}

impl TrackGrid {
    /// The settled years of a slab in one air; see [`super::settled_year`].
    #[must_use]
    pub fn settled(slab: &Slab, air: &AirYear, diffusivity: GridRange, surface: GridRange) -> Self {
        let almanac = Almanac::of(&by_days(air));
        let tracks = Course::Settled(&almanac).tracks(slab, diffusivity, surface);
        let (shares, shapes) = shapes(&tracks, slab.thickness.mm());
        let (shares, leaves, means, slopes) = in_blocks(tracks.len(), &shares, &shapes);
        Self {
            diffusivity: diffusivity.axis(),
            surface: surface.axis(),
            first_day: 0,
            days: DAYS_IN_YEAR,
            start: None,
            bend: bend_of(slab, air.mean()),
            shares,
            leaves,
            means,
            slopes,
        }
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
        let tracks = Course::From(initial, &ready(&stays)).tracks(slab, diffusivity, surface);
        let (shares, shapes) = shapes(&tracks, slab.thickness.mm());
        let (shares, leaves, means, slopes) = in_blocks(tracks.len(), &shares, &shapes);
        Self {
            diffusivity: diffusivity.axis(),
            surface: surface.axis(),
            first_day: stays
                .first()
                .map_or(0, |stay| stay.from_day_of_year % DAYS_IN_YEAR),
            days: stays.iter().map(|stay| stay.days).sum(),
            start: Some(initial.percent()),
            bend: stays
                .last()
                .map_or(0.0, |stay| bend_of(slab, stay.air.mean())),
            shares,
            leaves,
            means,
            slopes,
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
        self.shares.bytes() + self.means.bytes() + self.slopes.bytes()
    }

    /// The same grid for some of its days only, in the order given: what a cloud of draws looks at.
    ///
    /// # Panics
    /// On a day that the grid does not have: an error in the program.
    #[must_use]
    pub fn picked(&self, days: &[usize]) -> TrackGrid<f32> {
        let count = self.leaves.len();
        let nodes = self.shares.rows();
        let kept = (self.leaves.iter())
            .take_while(|leaves| **leaves > PICKED_PERCENT)
            .count();
        let pick = |of: &Blocks<f64>, shape: usize| -> Vec<f64> {
            if of.length() == 0 {
                return Vec::new();
            }
            days.iter().map(|day| of.value(shape, *day)).collect()
        };
        let shapes: Vec<Shape> = (0..kept)
            .map(|shape| Shape {
                leaves: self.leaves[shape],
                mean: pick(&self.means, shape),
                slope: pick(&self.slopes, shape),
            })
            .collect();
        // By node and kind the shares of the shapes kept.
        let kinds = self.shares.length() / count.max(1);
        let shares: Vec<f64> = (0..nodes * kinds)
            .flat_map(|row| {
                let (node, kind) = (row / kinds, row % kinds);
                (0..kept).map(move |shape| self.shares.value(node, kind * count + shape))
            })
            .collect();
        let (shapes, shares) = by_day(&shapes, &shares, days.len()).unwrap_or((shapes, shares));
        let (shares, leaves, means, slopes) = in_blocks(nodes, &shares, &shapes);
        TrackGrid {
            diffusivity: self.diffusivity,
            surface: self.surface,
            first_day: self.first_day,
            days: days.len(),
            start: self.start,
            bend: self.bend,
            shares,
            leaves,
            means,
            slopes,
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
        self.fill_variation(draw, &mut out.mean_percent, &mut out.slope_percent_per_mm);
    }
}

impl<N: Number> TrackGrid<N> {
    /// The track of one draw: the days of `mean`, in percent, and of `slope`, in percent per mm, which stays as it is where both faces
    /// are alike.
    pub(crate) fn fill_variation(&self, draw: &Variation, mean: &mut [f64], slope: &mut [f64]) {
        if self.days == 0 {
            return;
        }
        let scale = draw.equilibrium_factor;
        let diffusivity = draw.diffusivity_log + self.bend * (scale - 1.0);
        let (first_d, weights_d, count_d) = self.diffusivity.weights(diffusivity);
        let (first_s, weights_s, count_s) = self.surface.weights(draw.surface_log);
        // M = scale (M1 - M0 g - h) + earlier h + (M0 + offset) g, with g what is left of the start and h what the air before the
        // last stay adds.
        let earlier = draw.earlier_equilibrium_factor - scale;
        let remembered = self
            .start
            .map(|start| draw.start_offset_percent + (1.0 - scale) * start);
        let count = self.leaves.len();
        let mut room = [N::default(); KINDS * MOST_SHAPES];
        let sums = &mut room[..self.shares.length()];
        let mut nodes = [(0, N::default()); STENCIL * STENCIL];
        let stencil = (0..count_s).flat_map(|s| (0..count_d).map(move |d| (s, d)));
        for (node, (s, d)) in nodes.iter_mut().zip(stencil) {
            let place = (first_s + s) * self.diffusivity.nodes + first_d + d;
            *node = (place, N::nearest(weights_s[s] * weights_d[d]));
        }
        self.shares.sum_of(&nodes[..count_s * count_d], sums);
        let (shares, others) = sums.split_at_mut(count);
        let scale = N::nearest(scale);
        for share in &mut *shares {
            *share = scale * *share;
        }
        if let Some(remembered) = remembered {
            let (remembered, earlier) = (N::nearest(remembered), N::nearest(earlier));
            let (by_start, by_earlier) = others.split_at(count);
            for ((share, start), before) in shares.iter_mut().zip(by_start).zip(by_earlier) {
                *share += remembered * *start;
                *share += earlier * *before;
            }
        }
        self.means.sum(shares, mean);
        if self.slopes.length() > 0 {
            self.slopes.sum(shares, slope);
        }
    }
}

/// A shape for each number that there is, where those are fewer than the shapes; with the shares of the rows.
fn by_day(shapes: &[Shape], shares: &[f64], days: usize) -> Option<(Vec<Shape>, Vec<f64>)> {
    let sloped = shapes.iter().any(|shape| !shape.slope.is_empty());
    let numbers = if sloped { 2 * days } else { days };
    let count = shapes.len();
    if numbers >= count {
        return None;
    }
    let one = |at: usize, of: usize| (0..of).map(|day| f64::from(u8::from(day == at))).collect();
    let value = |shape: &Shape, number: usize| {
        let numbers = shape.mean.iter().chain(&shape.slope);
        numbers.copied().nth(number).unwrap_or(0.0)
    };
    let shares = shares
        .chunks(count)
        .flat_map(|shares| {
            (0..numbers).map(move |number| {
                let parts = shares.iter().zip(shapes);
                parts
                    .map(|(share, shape)| share * value(shape, number))
                    .sum()
            })
        })
        .collect();
    let shapes = (0..numbers)
        .map(|number| Shape {
            leaves: f64::INFINITY,
            mean: one(number, days),
            slope: if sloped {
                one(number.wrapping_sub(days), days)
            } else {
                Vec::new()
            },
        })
        .collect();
    Some((shapes, shares))
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
    /// By node what [`Course::solve`] gives, with the slope only where there is one.
    fn tracks(
        &self,
        slab: &Slab,
        diffusivity: GridRange,
        surface: GridRange,
    ) -> Vec<Vec<MoistureTrack>> {
        let count = diffusivity.nodes.max(1);
        let nodes: Vec<Lane> = (0..count * surface.nodes.max(1))
            .map(|node| Lane {
                diffusivity: diffusivity.factor(node % count),
                surface: surface.factor(node / count),
            })
            .collect();
        let mut tracks = if let [one] = nodes[..] {
            self.solve(slab, [one]).into()
        } else {
            nodes
                .par_chunks(LANES)
                .flat_map_iter(|group| {
                    // The last node again in lanes that are left over.
                    let lanes: [Lane; LANES] =
                        std::array::from_fn(|lane| group[lane.min(group.len() - 1)]);
                    self.solve(slab, lanes).into_iter().take(group.len())
                })
                .collect::<Vec<_>>()
        };
        if slab.is_symmetric() {
            for track in tracks.iter_mut().flatten() {
                track.slope_percent_per_mm.clear();
            }
        }
        tracks
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
