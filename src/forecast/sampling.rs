//! From standard normal numbers to draws: which inputs a job has, and what each does.

use super::airs::Airs;
use super::belief::left_by_offcut;
use super::draw::{Draw, PartDraw, PlaceDraw};
use super::log::{FirstReading, Posterior};
use super::prepare::Prepared;
use crate::air::{equilibrium_percent, equilibrium_slope};
use crate::chance::{Belief, Draws, InputBins, Instrument, NINE_IN_TEN, normal_chance};
use crate::job::{AirKnown, Job, MONTH_OF_LOGGING, PlaceId, Spreads};
use crate::joint::Design;
use crate::movement::{PithSpread, Rings};
use crate::panel::{KEPT_MIN, KEPT_MOST};
use crate::units::notation::the;
use rayon::prelude::*;
use std::sync::Arc;

/// Deviations that ordinary measurements have; judgement where nothing else is said.
mod measured {
    use super::NINE_IN_TEN;

    /// Equilibrium moisture by weighing an off-cut: within 2 % of it.
    pub(super) const BY_WEIGHT: f64 = 0.02 / NINE_IN_TEN;
    /// How fast an off-cut dries, given by its daily weight: within a quarter.
    pub(super) const DRYING_LOG: f64 = 0.223 / NINE_IN_TEN;
    /// The pith's depth by an arc template: within a tenth.
    pub(super) const TEMPLATE_LOG: f64 = 0.095 / NINE_IN_TEN;
    /// Stiffness by loading a board: within a twentieth.
    pub(super) const LOADING: f64 = 0.05 / NINE_IN_TEN;
    /// Checks of a meter against the oven.
    pub(super) const OVEN_CHECKS: usize = 3;
    /// Readings of one part, averaged.
    pub(super) const READINGS: f64 = 4.0;
}

/// What an uncertain input is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Meter,
    Humidity(usize),
    FirstYear(usize),
    LaterYear(usize),
    Sorption,
    Surface(usize),
    /// By board.
    Shrinkage(usize),
    /// By board.
    RadialApart(usize),
    /// By board.
    Diffusivity(usize),
    Reading(usize),
    Rings(usize),
    Stiffness(usize),
    Relaxation,
    /// The error of the first reading of a size that the log reads again.
    First(FirstReading),
}

/// One uncertain input of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    pub(super) kind: Kind,
    /// What it is, for a maker.
    pub words: String,
    /// What would narrow it, for a maker.
    pub measure: String,
    /// Share of its own spread that would be left then, 0 to 1; 1 where nothing narrows it.
    pub left: f64,
}

/// The uncertain inputs of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Inputs {
    list: Vec<Input>,
    /// The parts of each board, by its first part.
    boards: Vec<Vec<usize>>,
    places: usize,
    /// Where the pith of each part may be, where a photo gives that.
    piths: Vec<Option<PithSpread>>,
    spreads: Spreads,
    meter: Instrument,
    /// Relative change of the equilibrium moisture for 1 % humidity, by place.
    per_humidity: Vec<f64>,
    /// Deviation of the mean humidity, percent, by place.
    humidity: Vec<f64>,
    /// What the job's log made of them; nothing without a log.
    posterior: Option<Arc<Posterior>>,
}

/// Share of a spread that is left after a reading.
fn left(deviation: f64, reading: f64) -> f64 {
    let belief = Belief {
        mean: 0.0,
        deviation,
    };
    if deviation > 0.0 {
        belief.left_in(belief.after(0.0, reading))
    } else {
        1.0
    }
}

/// The parts of a job that are held straight or loaded.
fn bent_parts(job: &Job) -> Vec<usize> {
    let held = job.straighten.iter().map(|plan| plan.part.0);
    held.chain(job.shelves.iter().map(|plan| plan.part.0))
        .collect()
}

/// What remains of a stress along the grain after months, where a standard normal number stands: the two ends that are given
/// of it are its 5 and 95 %.
fn remains(z: f64) -> f64 {
    let reach = 0.5 * (KEPT_MOST - KEPT_MIN) / NINE_IN_TEN;
    f64::midpoint(KEPT_MIN, KEPT_MOST) + reach * z
}

impl Inputs {
    /// The inputs of a job.
    #[must_use]
    pub fn of(job: &Job, prepared: &Prepared, airs: &Airs) -> Self {
        let spreads = job.chance.spreads;
        let meter = prepared.meter;
        let mut list = Vec::new();
        let mut push = |kind, words: String, measure: String, left: f64| {
            list.push(Input {
                kind,
                words,
                measure,
                left,
            });
        };
        let by_oven = meter.scatter / (measured::OVEN_CHECKS as f64).sqrt();
        push(
            Kind::Meter,
            "the moisture meter".into(),
            format!(
                "check the meter {} times against an oven-dried off-cut",
                measured::OVEN_CHECKS
            ),
            left(meter.bias_deviation(), by_oven),
        );
        let sorted = |mut places: Vec<PlaceId>| {
            places.sort_unstable();
            places.dedup();
            places
        };
        let homes = sorted(job.parts.iter().map(|part| part.stands_in).collect());
        let shops = sorted(job.parts.iter().map(|part| part.made_in).collect());
        let humidity: Vec<f64> = job
            .places
            .iter()
            .enumerate()
            .map(|(place, given)| {
                let days = airs.year(PlaceId(place)).days_read().unwrap_or(0);
                spreads.humidity_of(given.known, days)
            })
            .collect();
        // A month of a logger is what there is time for before the cut.
        let logged = spreads.humidity_of(AirKnown::Logged, MONTH_OF_LOGGING);
        for &PlaceId(place) in shops.iter().filter(|shop| !homes.contains(shop)) {
            let name = the(&job.places[place].name);
            push(
                Kind::Humidity(place),
                format!("the humidity of {name}"),
                format!("leave a logger in {name} for a month before the cut"),
                (logged / humidity[place].max(1e-9)).min(1.0),
            );
            push(
                Kind::FirstYear(place),
                format!("how dry or damp this season in {name} is"),
                "a season is not known before it has passed".into(),
                1.0,
            );
        }
        push(
            Kind::Sorption,
            "how much moisture the wood holds in a given air".into(),
            "weigh an off-cut that was in the shop until its weight stayed".into(),
            left(spreads.equilibrium, measured::BY_WEIGHT),
        );
        for PlaceId(place) in homes {
            let name = the(&job.places[place].name);
            push(
                Kind::Humidity(place),
                format!("the humidity of {name}"),
                format!("have a logger left in {name} for a month before the cut"),
                (logged / humidity[place].max(1e-9)).min(1.0),
            );
            let years = "a year is not known before it has passed: a humidifier or dehumidifier evens years out";
            push(
                Kind::FirstYear(place),
                format!("how dry or damp the first year in {name} is"),
                years.into(),
                1.0,
            );
            push(
                Kind::LaterYear(place),
                format!("how dry or damp a later year in {name} is"),
                years.into(),
                1.0,
            );
            push(
                Kind::Surface(place),
                format!("how fast air and finish let moisture through in {name}"),
                "weigh a finished off-cut for a fortnight".into(),
                left(spreads.surface_log, measured::DRYING_LOG),
            );
        }
        let mut boards = vec![Vec::new(); prepared.parts.len()];
        for (index, part) in prepared.parts.iter().enumerate() {
            boards[part.board].push(index);
            let name = the(&part.facts.name);
            push(
                Kind::Reading(index),
                format!("the one reading of {name}'s moisture"),
                format!("read {name} at four places and take the mean"),
                1.0 / measured::READINGS.sqrt(),
            );
            if part.board == index {
                let off_cut = left_by_offcut(&part.spread, part.facts.width, &part.shrinkage);
                push(
                    Kind::Shrinkage(index),
                    format!("how much the wood of {name} shrinks"),
                    format!("measure an off-cut of {name} at two moistures"),
                    off_cut,
                );
                push(
                    Kind::RadialApart(index),
                    format!("how much {name} shrinks across its rings beside along them"),
                    format!("measure an off-cut of {name} both ways"),
                    off_cut,
                );
                push(
                    Kind::Diffusivity(index),
                    format!("how fast moisture moves in {name}"),
                    format!("weigh an off-cut of {name} daily as it dries"),
                    left(spreads.diffusivity_log, measured::DRYING_LOG),
                );
            }
            let drawn = part.pith.is_some()
                || part
                    .boards
                    .iter()
                    .map(|(board, _)| board.section.rings)
                    .chain([part.section.rings])
                    .any(|rings| matches!(rings, Rings::Pith { depth, .. } if depth.mm() > 0.0));
            if drawn {
                let depth_log = part
                    .pith
                    .as_ref()
                    .map_or(Some(spreads.rings_log), PithSpread::depth_log);
                push(
                    Kind::Rings(index),
                    format!("where the pith of {name} lies"),
                    format!("lay an arc template on the end grain of {name}"),
                    depth_log.map_or(1.0, |log| left(log, measured::TEMPLATE_LOG)),
                );
            }
        }
        let mut glued: Vec<usize> = prepared
            .joints
            .iter()
            .flat_map(|joint| &joint.bonds)
            .filter(|bond| bond.design != Design::Floating)
            .flat_map(|bond| [bond.moves.part.0, bond.holds.part.0])
            .collect();
        glued.sort_unstable();
        glued.dedup();
        let mut bent: Vec<usize> = bent_parts(job)
            .into_iter()
            .filter(|part| !glued.contains(part))
            .collect();
        bent.sort_unstable();
        bent.dedup();
        glued.append(&mut bent);
        for index in glued {
            let name = the(&prepared.parts[index].facts.name);
            push(
                Kind::Stiffness(index),
                format!("how stiff {name} is"),
                format!(
                    "lay a board of the wood of {name} on two supports, load it and read how far it sags"
                ),
                left(spreads.stiffness_cov, measured::LOADING),
            );
        }
        if !job.straighten.is_empty() {
            push(
                Kind::Relaxation,
                "how far wood that is held straight relaxes".into(),
                "it cannot be known beforehand".into(),
                1.0,
            );
        }
        for first in FirstReading::of_log(job) {
            push(
                Kind::First(first),
                first.words(prepared),
                "measure it at three places and take the mean".into(),
                1.0,
            );
        }
        let per_humidity = (0..job.places.len())
            .map(|place| {
                let air = airs.year(PlaceId(place)).mean();
                let (celsius, share) = (air.temperature.celsius(), air.humidity.fraction());
                equilibrium_slope(celsius, share)
                    / 100.0
                    / equilibrium_percent(celsius, share).max(0.5)
            })
            .collect();
        Self {
            list,
            boards,
            places: job.places.len(),
            piths: prepared
                .parts
                .iter()
                .map(|part| part.pith.clone())
                .collect(),
            spreads,
            meter,
            per_humidity,
            humidity,
            posterior: None,
        }
    }

    /// Whether draws of these are those of others. What would narrow an input, and by how much, is in no draw.
    pub(super) fn draws_as(&self, other: &Self) -> bool {
        let kinds = |inputs: &[Input]| inputs.iter().map(|input| input.kind).collect::<Vec<_>>();
        kinds(&self.list) == kinds(&other.list)
            && self.boards == other.boards
            && self.places == other.places
            && self.piths == other.piths
            && self.spreads == other.spreads
            && self.meter == other.meter
            && self.per_humidity == other.per_humidity
            && self.humidity == other.humidity
            && self.posterior == other.posterior
    }

    /// The places of those of which something else is said than of others that draw the same.
    pub(super) fn said_otherwise(&self, other: &Self) -> Vec<usize> {
        let pairs = self.list.iter().zip(&other.list);
        let differ = pairs.enumerate().filter(|(_, (one, other))| one != other);
        differ.map(|(place, _)| place).collect()
    }

    /// The same inputs after a log.
    pub(super) fn after(&self, posterior: Posterior) -> Self {
        Self {
            posterior: Some(Arc::new(posterior)),
            ..self.clone()
        }
    }

    /// What the log made of the inputs.
    pub(super) fn posterior(&self) -> Option<&Posterior> {
        self.posterior.as_deref()
    }

    /// The place of an input in the list.
    pub(super) fn place_of(&self, kind: Kind) -> Option<usize> {
        self.list.iter().position(|input| input.kind == kind)
    }

    /// How many places a draw has.
    pub(super) const fn place_count(&self) -> usize {
        self.places
    }

    /// Deviation of the mean humidity of a place, percent.
    pub(super) fn humidity_deviation(&self, place: usize) -> f64 {
        self.humidity[place]
    }

    /// Deviations of the meter's bias and of one reading of it, percent.
    pub(super) fn meter_deviations(&self) -> [f64; 2] {
        [self.meter.bias_deviation(), self.meter.scatter]
    }

    /// The standard normal numbers of one draw as [`fill`](Self::fill) takes them: those of the source, after the log where there is
    /// one.
    pub fn numbers(&self, source: &Draws, draw: usize, numbers: &mut [f64]) {
        source.fill_normals(self.drawn(draw), numbers);
        if let Some(posterior) = &self.posterior {
            posterior.place(numbers);
        }
    }

    /// The draw of the source that a draw stands for.
    fn drawn(&self, draw: usize) -> usize {
        self.posterior
            .as_ref()
            .map_or(draw, |posterior| posterior.drawn(draw))
    }

    /// The inputs.
    #[must_use]
    pub fn list(&self) -> &[Input] {
        &self.list
    }

    /// The spreads.
    #[must_use]
    pub const fn spreads(&self) -> &Spreads {
        &self.spreads
    }

    /// The inputs that the sizes of some parts can hang on, by their places in the list.
    #[must_use]
    pub fn behind(&self, prepared: &Prepared, parts: &[usize]) -> Vec<usize> {
        let any = |is: &dyn Fn(usize) -> bool| parts.iter().any(|part| is(*part));
        let touches = |kind: Kind| match kind {
            Kind::Meter | Kind::Sorption => true,
            Kind::Humidity(place) | Kind::FirstYear(place) => any(&|part| {
                let part = &prepared.parts[part];
                part.home.0 == place || part.shop.0 == place
            }),
            Kind::LaterYear(place) | Kind::Surface(place) => {
                any(&|part| prepared.parts[part].home.0 == place)
            }
            Kind::Shrinkage(board) | Kind::RadialApart(board) | Kind::Diffusivity(board) => {
                any(&|part| prepared.parts[part].board == board)
            }
            Kind::Reading(one) | Kind::Rings(one) => parts.contains(&one),
            Kind::Stiffness(_) | Kind::Relaxation | Kind::First(_) => false,
        };
        (0..self.list.len())
            .filter(|input| touches(self.list[*input].kind))
            .collect()
    }

    /// Room for a draw.
    pub(super) fn blank(&self) -> Draw {
        Draw::middle(self.boards.len(), self.places)
    }

    /// The middle draw.
    #[must_use]
    pub fn middle(&self) -> Draw {
        let mut draw = self.blank();
        if let Some(posterior) = &self.posterior {
            let mut numbers = vec![0.0; self.list.len()];
            posterior.middle(&mut numbers);
            self.fill(&numbers, &mut draw);
            // Rings from a photo keep their middle where the log says nothing of them.
            for (input, number) in self.list.iter().zip(&numbers) {
                if let (Kind::Rings(part), true) = (input.kind, number.abs() < f64::EPSILON) {
                    draw.parts[part].rings = None;
                }
            }
        }
        draw
    }

    /// The draw of standard normal numbers, one for each input.
    pub fn fill(&self, numbers: &[f64], draw: &mut Draw) {
        let spreads = &self.spreads;
        draw.parts.fill(PartDraw::MIDDLE);
        draw.places.fill(PlaceDraw::MIDDLE);
        draw.remains = remains(0.0);
        // Wood at no moisture does not exist in a room: a factor stays above a fifth.
        let share = |off: f64| (1.0 + off).max(0.2);
        for (input, &z) in self.list.iter().zip(numbers) {
            match input.kind {
                Kind::Meter => {
                    for part in &mut draw.parts {
                        part.moisture_offset_percent += self.meter.bias_deviation() * z;
                    }
                }
                Kind::Reading(part) => {
                    draw.parts[part].moisture_offset_percent += self.meter.scatter * z;
                }
                Kind::Humidity(place) => {
                    let factor = share(self.per_humidity[place] * self.humidity[place] * z);
                    draw.places[place].equilibrium *= factor;
                    draw.places[place].later_equilibrium *= factor;
                }
                Kind::FirstYear(place) => {
                    draw.places[place].equilibrium *=
                        share(self.per_humidity[place] * spreads.humidity_year_percent * z);
                }
                Kind::LaterYear(place) => {
                    draw.places[place].later_equilibrium *=
                        share(self.per_humidity[place] * spreads.humidity_year_percent * z);
                }
                Kind::Sorption => {
                    let factor = share(spreads.equilibrium * z);
                    for place in &mut draw.places {
                        place.equilibrium *= factor;
                        place.later_equilibrium *= factor;
                    }
                }
                Kind::Surface(place) => {
                    draw.places[place].surface_log = spreads.surface_log * z;
                }
                Kind::Shrinkage(board) => {
                    for part in &self.boards[board] {
                        draw.parts[*part].shrinkage[0] = z;
                    }
                }
                Kind::RadialApart(board) => {
                    for part in &self.boards[board] {
                        draw.parts[*part].shrinkage[1] = z;
                    }
                }
                Kind::Diffusivity(board) => {
                    for part in &self.boards[board] {
                        draw.parts[*part].diffusivity_log = spreads.diffusivity_log * z;
                    }
                }
                Kind::Rings(part) => match &self.piths[part] {
                    Some(spread) => draw.parts[part].rings = Some(spread.at(normal_chance(z))),
                    None => draw.parts[part].pith_depth = libm::exp(spreads.rings_log * z),
                },
                Kind::Stiffness(part) => {
                    draw.parts[part].stiffness = libm::exp(spreads.stiffness_cov * z);
                }
                Kind::Relaxation => draw.remains = remains(z),
                Kind::First(_) => {}
            }
        }
    }

    /// The first draws of a job, in the order of their numbers: the same as those of its cloud.
    #[must_use]
    pub fn first_draws(&self, seed: u64, count: usize) -> Vec<Draw> {
        let source = Draws::sobol(seed, self.list.len());
        (0..count)
            .into_par_iter()
            .map_init(
                || vec![0.0; self.list.len()],
                |numbers, index| {
                    self.numbers(&source, index, numbers);
                    let mut draw = self.blank();
                    self.fill(numbers, &mut draw);
                    draw
                },
            )
            .collect()
    }

    /// The inputs of the first draws in bins, to rank them.
    #[must_use]
    pub fn bins(&self, seed: u64, draws: usize) -> InputBins {
        let source = Draws::sobol(seed, self.list.len());
        let Some(posterior) = &self.posterior else {
            return InputBins::of_draws(&source, draws);
        };
        let mut bins = InputBins::of_draws_at(&source, draws, |draw| posterior.drawn(draw));
        let mut columns = vec![Vec::with_capacity(draws); posterior.active().len()];
        let mut numbers = vec![0.0; self.list.len()];
        for draw in 0..draws {
            self.numbers(&source, draw, &mut numbers);
            for (column, &input) in columns.iter_mut().zip(posterior.active()) {
                column.push(numbers[input]);
            }
        }
        for (column, &input) in columns.iter().zip(posterior.active()) {
            bins.set(input, column);
        }
        bins
    }

    /// The places in the list of how stiff some parts are.
    #[must_use]
    pub fn stiffness_of(&self, parts: &[usize]) -> Vec<usize> {
        (0..self.list.len())
            .filter(|input| {
                matches!(self.list[*input].kind, Kind::Stiffness(part) if parts.contains(&part))
            })
            .collect()
    }
}
