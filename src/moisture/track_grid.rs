//! Moisture years for a whole cloud of draws: a few full solves over diffusivity and
//! exchange, and interpolation of every day between them.

use super::diffusivity::{Diffusivity, diffusivity_m2_per_s};
use super::slab::Slab;
use super::state::Lane;
use super::track::MoistureTrack;
use super::year::{Almanac, Stay, follow_with_memory, settled_in};
use crate::air::{AirState, AirYear, DAYS_IN_YEAR, equilibrium_moisture};
use crate::units::MoistureContent;
use rayon::prelude::*;

/// Cells of the grid's solves.
const GRID_CELLS: usize = 16;
/// Nodes that are solved side by side.
const LANES: usize = 5;
/// Neighbouring nodes that carry one interpolated value, along each axis.
const STENCIL: usize = 4;
/// By how much the start is moved to learn how long it is remembered, percent.
const START_PROBE: f64 = 1.0;

/// The range of a factor and the nodes on it, evenly spaced in its logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GridRange {
    /// Minimum factor, above 0.
    pub min: f64,
    /// Maximum factor.
    pub max: f64,
    /// Nodes, at least 1.
    pub nodes: usize,
}

impl GridRange {
    /// For the diffusivity: a quarter to four times, five nodes, 1 among them (more bring it no nearer to full solves).
    pub const DIFFUSIVITY: Self = Self {
        min: 0.25,
        max: 4.0,
        nodes: 5,
    };
    /// For film and finish: a fifth to five times, five nodes.
    pub const SURFACE: Self = Self {
        min: 0.2,
        max: 5.0,
        nodes: 5,
    };

    fn factor(&self, node: usize) -> f64 {
        if self.nodes < 2 {
            return (self.min * self.max).sqrt();
        }
        let share = node as f64 / (self.nodes - 1) as f64;
        self.min * libm::pow(self.max / self.min, share)
    }

    /// First node of the stencil and Lagrange weights of its nodes; a factor
    /// outside the range is answered as the nearer end.
    fn weights(&self, factor: f64) -> (usize, [f64; STENCIL], usize) {
        let count = self.nodes.clamp(1, STENCIL);
        let mut weights = [0.0; STENCIL];
        if count == 1 {
            weights[0] = 1.0;
            return (0, weights, 1);
        }
        let factor = factor.clamp(self.min, self.max);
        let place =
            libm::log(factor / self.min) / libm::log(self.max / self.min) * (self.nodes - 1) as f64;
        let first = (place.floor() as usize)
            .saturating_sub((count - 1) / 2)
            .min(self.nodes - count);
        let x = place - first as f64;
        for (i, weight) in weights.iter_mut().enumerate().take(count) {
            *weight = (0..count)
                .filter(|j| *j != i)
                .map(|j| (x - j as f64) / (i as f64 - j as f64))
                .product();
        }
        (first, weights, count)
    }
}

/// What one draw changes; the neutral draw is [`Variation::NONE`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Variation {
    /// Multiplies the slab's diffusivity.
    pub diffusivity_factor: f64,
    /// Multiplies the exchange of the slab's open faces.
    pub surface_factor: f64,
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
        diffusivity_factor: 1.0,
        surface_factor: 1.0,
        equilibrium_factor: 1.0,
        earlier_equilibrium_factor: 1.0,
        start_offset_percent: 0.0,
    };
}

/// Solved tracks over a grid of diffusivity and exchange factors.
#[derive(Debug, Clone)]
pub struct TrackGrid {
    diffusivity: GridRange,
    surface: GridRange,
    first_day: usize,
    days: usize,
    /// Moisture at the start, percent; `None` for a settled year.
    start: Option<f64>,
    /// By how much the logarithm of the diffusivity rises when all moisture rises in proportion.
    bend: f64,
    /// Whether both faces are alike, so that no slope ever stands and none is summed.
    symmetric: bool,
    /// Per node: mean, slope, and for a start also what a start 1 % wetter adds to each, and what the air of the stays before the
    /// last adds to each for its own whole.
    nodes: Vec<Vec<f64>>,
}

impl TrackGrid {
    /// The settled years of a slab in one air; see [`super::settled_year`].
    #[must_use]
    pub fn settled(slab: &Slab, air: &AirYear, diffusivity: GridRange, surface: GridRange) -> Self {
        let almanac = Almanac::of(&by_days(air));
        let nodes = Course::Settled(&almanac).nodes(slab, diffusivity, surface);
        Self {
            diffusivity,
            surface,
            first_day: 0,
            days: DAYS_IN_YEAR,
            start: None,
            bend: bend_of(slab, air.mean()),
            symmetric: slab.is_symmetric(),
            nodes,
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
        let years: Vec<AirYear> = stays.iter().map(|stay| by_days(stay.air)).collect();
        let stays: Vec<Stay<'_>> = stays
            .iter()
            .zip(&years)
            .map(|(stay, air)| Stay { air, ..*stay })
            .collect();
        let nodes = Course::From(initial, &stays).nodes(slab, diffusivity, surface);
        Self {
            diffusivity,
            surface,
            first_day: stays
                .first()
                .map_or(0, |stay| stay.from_day_of_year % DAYS_IN_YEAR),
            days: stays.iter().map(|stay| stay.days).sum(),
            start: Some(initial.percent()),
            bend: stays
                .last()
                .map_or(0.0, |stay| bend_of(slab, stay.air.mean())),
            symmetric: slab.is_symmetric(),
            nodes,
        }
    }

    /// Memory that the grid takes, bytes.
    #[must_use]
    pub fn bytes(&self) -> usize {
        size_of::<f64>() * self.nodes.iter().map(Vec::len).sum::<usize>()
    }

    /// The same grid for some of its days only, in the order given: what a cloud of draws looks at.
    ///
    /// # Panics
    /// On a day that the grid does not have: an error in the program.
    #[must_use]
    pub fn picked(&self, days: &[usize]) -> Self {
        let nodes = self
            .nodes
            .iter()
            .map(|node| {
                node.chunks(self.days)
                    .flat_map(|values| days.iter().map(|day| values[*day]))
                    .collect()
            })
            .collect();
        Self {
            days: days.len(),
            nodes,
            ..self.clone_without_nodes()
        }
    }

    const fn clone_without_nodes(&self) -> Self {
        Self {
            diffusivity: self.diffusivity,
            surface: self.surface,
            first_day: self.first_day,
            days: self.days,
            start: self.start,
            bend: self.bend,
            symmetric: self.symmetric,
            nodes: Vec::new(),
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
                diffusivity_factor,
                surface_factor,
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
        let days = self.days;
        out.first_day = self.first_day;
        out.mean_percent.clear();
        out.mean_percent.resize(days, 0.0);
        out.slope_percent_per_mm.clear();
        out.slope_percent_per_mm.resize(days, 0.0);
        let scale = draw.equilibrium_factor;
        let diffusivity = draw.diffusivity_factor * libm::exp(self.bend * (scale - 1.0));
        let (first_d, weights_d, count_d) = self.diffusivity.weights(diffusivity);
        let (first_s, weights_s, count_s) = self.surface.weights(draw.surface_factor);
        // M = scale (M1 - M0 g - h) + earlier h + (M0 + offset) g, with g what is left of the start and h what the air before the
        // last stay adds.
        let earlier = draw.earlier_equilibrium_factor - scale;
        let remembered = self
            .start
            .map(|start| draw.start_offset_percent + (1.0 - scale) * start);
        for (s, weight_s) in weights_s.iter().enumerate().take(count_s) {
            for (d, weight_d) in weights_d.iter().enumerate().take(count_d) {
                let weight = weight_s * weight_d;
                let node = &self.nodes[(first_s + s) * self.diffusivity.nodes + first_d + d];
                let (mean, rest) = node.split_at(days);
                let (slope, rest) = rest.split_at(days);
                add(&mut out.mean_percent, weight * scale, mean);
                if !self.symmetric {
                    add(&mut out.slope_percent_per_mm, weight * scale, slope);
                }
                let Some(remembered) = remembered else {
                    continue;
                };
                let (by_start, by_earlier) = rest.split_at(2 * days);
                for (times, values) in [(remembered, by_start), (earlier, by_earlier)] {
                    if times.abs() > 0.0 {
                        let (mean, slope) = values.split_at(days);
                        add(&mut out.mean_percent, weight * times, mean);
                        if !self.symmetric {
                            add(&mut out.slope_percent_per_mm, weight * times, slope);
                        }
                    }
                }
            }
        }
    }
}

fn add(sums: &mut [f64], weight: f64, values: &[f64]) {
    for (sum, value) in sums.iter_mut().zip(values) {
        *sum += weight * value;
    }
}

/// A grid works on days; hours are averaged as vapour pressure and temperature.
fn by_days(air: &AirYear) -> AirYear {
    if air.states_per_day() == 1 {
        return air.clone();
    }
    AirYear::by_days(air.daily()).unwrap_or_else(|_| air.clone())
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
    From(MoistureContent, &'a [Stay<'a>]),
}

impl Course<'_> {
    fn nodes(&self, slab: &Slab, diffusivity: GridRange, surface: GridRange) -> Vec<Vec<f64>> {
        let count = diffusivity.nodes.max(1);
        let nodes: Vec<Lane> = (0..count * surface.nodes.max(1))
            .map(|node| Lane {
                diffusivity: diffusivity.factor(node % count),
                surface: surface.factor(node / count),
            })
            .collect();
        if let [one] = nodes[..] {
            return self.solve(slab, [one]).into();
        }
        nodes
            .par_chunks(LANES)
            .flat_map_iter(|group| {
                // The last node again in lanes that are left over.
                let lanes: [Lane; LANES] =
                    std::array::from_fn(|lane| group[lane.min(group.len() - 1)]);
                self.solve(slab, lanes).into_iter().take(group.len())
            })
            .collect()
    }

    fn solve<const SIDE_BY_SIDE: usize>(
        &self,
        slab: &Slab,
        lanes: [Lane; SIDE_BY_SIDE],
    ) -> [Vec<f64>; SIDE_BY_SIDE] {
        let joined =
            |track: &MoistureTrack| [&track.mean_percent[..], &track.slope_percent_per_mm].concat();
        match self {
            Self::Settled(almanac) => {
                settled_in(slab, lanes, almanac, GRID_CELLS).map(|track| joined(&track))
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
                std::array::from_fn(|lane| {
                    [
                        &followed.tracks,
                        &followed.by_start,
                        &followed.by_earlier_air,
                    ]
                    .map(|tracks| joined(&tracks[lane]))
                    .concat()
                })
            }
        }
    }
}
