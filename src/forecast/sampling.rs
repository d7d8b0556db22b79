//! From standard normal numbers to draws: which inputs a job has, what each
//! does, and all draws of a job in parallel, the same whatever the threads.

use super::draw::{Draw, PartDraw, PlaceDraw, Spreads};
use super::evaluate::{DaySet, Desk, Outcome, evaluate};
use super::prepare::{Airs, Prepared};
use crate::air::{equilibrium_percent, equilibrium_slope};
use crate::chance::Draws;
use crate::job::{Job, PlaceId};
use crate::movement::Rings;
use rayon::prelude::*;

/// What an uncertain input is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Meter,
    Humidity(usize),
    Sorption(usize),
    Surface(usize),
    Shrinkage(usize),
    RadialApart(usize),
    Diffusivity(usize),
    Rings(usize),
}

/// One uncertain input of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    kind: Kind,
    /// What it is, for a maker.
    pub words: String,
    /// What would narrow it, for a maker.
    pub measure: String,
}

/// The uncertain inputs of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Inputs {
    list: Vec<Input>,
    parts: usize,
    places: usize,
    spreads: Spreads,
    /// Relative change of the equilibrium moisture for 1 % humidity, by place.
    per_humidity: Vec<f64>,
}

/// All draws of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Cloud {
    /// By draw.
    pub outcomes: Vec<Outcome>,
    /// By input, then by draw: the standard normal numbers behind them.
    pub numbers: Vec<Vec<f64>>,
}

impl Inputs {
    /// The inputs of a job.
    #[must_use]
    pub fn of(job: &Job, prepared: &Prepared, airs: &Airs) -> Self {
        let mut list = vec![Input {
            kind: Kind::Meter,
            words: "the moisture meter".into(),
            measure: "check the meter against an oven-dried off-cut".into(),
        }];
        let mut lives: Vec<PlaceId> = job.parts.iter().map(|part| part.stands_in).collect();
        lives.sort_unstable();
        lives.dedup();
        for PlaceId(place) in lives {
            let name = &job.places[place].name;
            let mut push = |kind, words: String, measure: String| {
                list.push(Input {
                    kind,
                    words,
                    measure,
                })
            };
            push(
                Kind::Humidity(place),
                format!("the humidity of {name}"),
                format!("leave a logger in {name} through a winter"),
            );
            push(
                Kind::Sorption(place),
                format!("which way the stock comes to the moisture of {name}"),
                "weigh an off-cut that has stood there until it is still".into(),
            );
            push(
                Kind::Surface(place),
                format!("how fast air and finish let moisture through in {name}"),
                "weigh a finished off-cut for a fortnight".into(),
            );
        }
        for (index, part) in prepared.parts.iter().enumerate() {
            let name = &part.facts.name;
            let mut push = |kind, words: String, measure: String| {
                list.push(Input {
                    kind,
                    words,
                    measure,
                })
            };
            push(
                Kind::Shrinkage(index),
                format!("how much the wood of {name} shrinks"),
                format!("measure an off-cut of {name} at two moistures"),
            );
            push(
                Kind::RadialApart(index),
                format!("how {name} shrinks across its rings against along them"),
                format!("measure an off-cut of {name} both ways"),
            );
            push(
                Kind::Diffusivity(index),
                format!("how fast moisture moves in {name}"),
                format!("weigh an off-cut of {name} daily as it dries"),
            );
            if matches!(part.section.rings, Rings::Pith { depth, .. } if depth.mm() > 0.0) {
                push(
                    Kind::Rings(index),
                    format!("where the pith of {name} lies"),
                    format!("lay an arc template on the end grain of {name}"),
                );
            }
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
            parts: prepared.parts.len(),
            places: job.places.len(),
            spreads: Spreads::default(),
            per_humidity,
        }
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

    /// The middle draw.
    #[must_use]
    pub fn middle(&self) -> Draw {
        Draw::middle(self.parts, self.places)
    }

    /// The draw of standard normal numbers, one for each input.
    pub fn fill(&self, numbers: &[f64], draw: &mut Draw) {
        let spreads = &self.spreads;
        let neutral = (
            PartDraw {
                tangential: 1.0,
                radial: 1.0,
                moisture_offset_percent: 0.0,
                diffusivity: 1.0,
                pith_depth: 1.0,
            },
            PlaceDraw {
                equilibrium: 1.0,
                surface: 1.0,
            },
        );
        draw.parts.fill(neutral.0);
        draw.places.fill(neutral.1);
        // A board that shrinks nothing or backwards does not exist: both factors stay above a fifth.
        let factor = |z: f64| (1.0 + spreads.shrinkage_cov * z).max(0.2);
        let rho = spreads.radial_with_tangential;
        let mut shared = 0.0;
        for (input, &z) in self.list.iter().zip(numbers) {
            match input.kind {
                Kind::Meter => {
                    for part in &mut draw.parts {
                        part.moisture_offset_percent = spreads.meter_percent * z;
                    }
                }
                Kind::Humidity(place) => {
                    draw.places[place].equilibrium *=
                        (1.0 + self.per_humidity[place] * spreads.humidity_percent * z).max(0.2);
                }
                Kind::Sorption(place) => {
                    draw.places[place].equilibrium *= (1.0 + spreads.equilibrium * z).max(0.2)
                }
                Kind::Surface(place) => {
                    draw.places[place].surface = (spreads.surface_log * z).exp()
                }
                Kind::Shrinkage(part) => {
                    draw.parts[part].tangential = factor(z);
                    shared = z;
                }
                // stands right after the shrinkage of the same part
                Kind::RadialApart(part) => {
                    draw.parts[part].radial = factor(rho * shared + (1.0 - rho * rho).sqrt() * z);
                }
                Kind::Diffusivity(part) => {
                    draw.parts[part].diffusivity = (spreads.diffusivity_log * z).exp()
                }
                Kind::Rings(part) => draw.parts[part].pith_depth = (spreads.rings_log * z).exp(),
            }
        }
    }

    /// All draws of a job for some cuts, in the order of their numbers.
    #[must_use]
    pub fn cloud(
        &self,
        prepared: &Prepared,
        set: &DaySet,
        cuts_mm: &[f64],
        seed: u64,
        draws: u32,
        tick: &(dyn Fn(u64) + Sync),
    ) -> Cloud {
        const BATCH: usize = 64;
        let source = Draws::sobol(seed, self.list.len());
        let count = draws as usize;
        let batches: Vec<Vec<(Vec<f64>, Outcome)>> = (0..count.div_ceil(BATCH))
            .into_par_iter()
            .map(|batch| {
                let mut desk = Desk::new(prepared, set);
                let mut draw = self.middle();
                let mut done = Vec::with_capacity(BATCH);
                for index in batch * BATCH..((batch + 1) * BATCH).min(count) {
                    let mut numbers = vec![0.0; self.list.len()];
                    source.fill_normals(index, &mut numbers);
                    self.fill(&numbers, &mut draw);
                    let mut outcome = Outcome::default();
                    evaluate(prepared, &draw, set, cuts_mm, &mut desk, &mut outcome);
                    done.push((numbers, outcome));
                }
                tick(done.len() as u64);
                done
            })
            .collect();
        let mut cloud = Cloud {
            outcomes: Vec::with_capacity(count),
            numbers: vec![Vec::with_capacity(count); self.list.len()],
        };
        for (numbers, outcome) in batches.into_iter().flatten() {
            for (column, number) in cloud.numbers.iter_mut().zip(numbers) {
                column.push(number);
            }
            cloud.outcomes.push(outcome);
        }
        cloud
    }
}
