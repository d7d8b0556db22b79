//! How near the moisture years read from the grids are to full solves: measured in every forecast on the job's own woods, finishes
//! and airs, and on the draws that its answers rest on.

use super::airs::Airs;
use super::draw_conditions::{DrawConditions, PartTrack};
use super::prepare::Prepared;
use super::sampling::Inputs;
use super::timeline::Timeline;
use crate::moisture::MoistureTrack;
use crate::moisture::Variation;
use rayon::prelude::*;

/// Most full solves.
const MOST: usize = 50;
/// Draws of a job for each full solve: fewer draws are checked by fewer solves.
const DRAWS_EACH: usize = 160;
/// One solve in so many is of the settled year, which takes four times as long as the first years.
const SETTLED_EACH: usize = 4;

/// The error of the moisture years that draws are read from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GridError {
    /// Full solves that stand behind it.
    pub solves: usize,
    /// Root mean square of the daily mean moisture's error over all their days, percent moisture.
    pub rms_percent: f64,
    /// The worst day of all, percent moisture.
    pub worst_percent: f64,
}

impl GridError {
    /// The error in words.
    #[must_use]
    pub fn words(&self) -> String {
        let solves = self.solves;
        format!(
            "against {solves} full solves of this job\u{2019}s own draws, spread over its parts, the daily mean is within {:.3} % moisture root mean square and {:.2} % on the worst day",
            self.rms_percent, self.worst_percent
        )
    }
}

/// Measures the error on the first draws of a job, each on another of its histories in turn; none for a job without parts.
pub(super) fn measure(
    prepared: &Prepared,
    inputs: &Inputs,
    airs: &Airs,
    seed: u64,
    draws: u32,
) -> Option<GridError> {
    let mut firsts: Vec<usize> = Vec::new();
    for (index, part) in prepared.parts.iter().enumerate() {
        if firsts
            .iter()
            .all(|first| prepared.parts[*first].stock != part.stock)
        {
            firsts.push(index);
        }
    }
    if firsts.is_empty() {
        return None;
    }
    let solves = (draws as usize / DRAWS_EACH).clamp(1, MOST);
    let timeline: Timeline = prepared.timeline;
    let off: Vec<(f64, usize, f64)> = inputs
        .first_draws(seed, solves)
        .into_par_iter()
        .enumerate()
        .map(|(number, draw)| {
            let index = firsts[number % firsts.len()];
            let part = &prepared.parts[index];
            let (drawn, place) = (&draw.parts[index], &draw.places[part.home.0]);
            let life = DrawConditions {
                variation: Variation {
                    diffusivity_log: drawn.diffusivity_log,
                    surface_log: place.surface_log,
                    equilibrium_factor: place.equilibrium,
                    earlier_equilibrium_factor: draw.places[part.shop.0].equilibrium,
                    start_offset_percent: drawn.moisture_offset_percent,
                },
                later_equilibrium: place.later_equilibrium,
                measured_percent: part.measured_percent,
            };
            let stock = &prepared.stocks[part.stock];
            let settled = (number / firsts.len()) % SETTLED_EACH == SETTLED_EACH - 1;
            let days: Vec<usize> = if settled {
                (timeline.settled()..timeline.days()).collect()
            } else {
                (part.measured..timeline.settled()).collect()
            };
            let (mut room, mut read) = (MoistureTrack::default(), PartTrack::default());
            stock.track(&days, &timeline, &life, &mut room, &mut read);
            let full = stock.full(part, airs, &timeline, &life, settled);
            let differences = read.mean_percent.iter().zip(&full).map(|(r, f)| r - f);
            let squares = differences.clone().map(|off| off * off).sum::<f64>();
            (
                squares,
                full.len(),
                differences.fold(0.0, |worst: f64, off| worst.max(off.abs())),
            )
        })
        .collect();
    let days: usize = off.iter().map(|(_, days, _)| days).sum();
    Some(GridError {
        solves,
        rms_percent: (off.iter().map(|(squares, ..)| squares).sum::<f64>() / days.max(1) as f64)
            .sqrt(),
        worst_percent: off.iter().fold(0.0, |worst, (.., one)| worst.max(*one)),
    })
}
