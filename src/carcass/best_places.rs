//! The divider places that leave a panel straightest.

use super::beam::COINCIDENT_MM;
use super::three_moments::Line;
use super::{BowedPanel, Grip, Support, error, straighten};
use crate::units::{Length, Refusal};
use serde::Serialize;
use std::cell::Cell;

/// The places that leave a panel straightest.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BestPlaces {
    /// Places of the dividers.
    pub dividers: Vec<Length>,
    /// The residual bow left with them.
    pub leftover: Length,
    /// The residual bow left with the same number at equal spacing.
    #[serde(rename = "leftover_equal_spacing")]
    pub leftover_equal: Length,
    /// Whether the search was stopped by its limit: the places are then the best of those looked at.
    #[serde(rename = "search_stopped")]
    pub stopped: bool,
}

/// The places of `count` dividers between the outermost of the `fixed`
/// supports that leave the minimum residual bow.
///
/// The dividers hold both ways. `spacing` is the minimum distance between
/// neighbours, the narrowest compartment the maker wants. It matters: two
/// supports close together keep the panel from turning, so without a limit the
/// best places crowd to the ends, at great forces.
///
/// The worst residual bow has many hollows over the divider places, so every pattern of
/// narrow and wide compartments is tried, and from the best of them each
/// divider, each pair and each mirrored pair is moved at ever smaller steps until nothing
/// betters it. Checked against a search of every place on a grid for two and three dividers.
///
/// # Errors
/// [`Refusal`] when they do not fit, else as in [`straighten`].
pub fn best_places(
    panel: &BowedPanel,
    fixed: &[Support],
    count: usize,
    spacing: Length,
) -> Result<BestPlaces, Refusal> {
    if count == 0 {
        let judged = straighten(panel, fixed)?;
        return Ok(BestPlaces {
            dividers: Vec::new(),
            leftover: judged.leftover,
            leftover_equal: judged.leftover,
            stopped: false,
        });
    }
    if fixed.len() < 2 {
        return Err(error::not_held());
    }
    let no_room = error::no_room(count, spacing);
    let rig = Rig::new(panel, fixed, spacing.mm().max(COINCIDENT_MM));
    let equal = rig.equal(count).ok_or_else(|| no_room.clone())?;
    straighten(panel, &rig.with(&equal))?;
    let first = rig.residual_bow(&equal).ok_or(no_room)?;
    let mut best = (equal, first);
    for start in rig.starts(count) {
        let mut tried = start;
        rig.descend(&mut tried, rig.span() / (4 * (count + 1)) as f64);
        if tried.1 < best.1 {
            best = tried;
        }
    }
    Ok(BestPlaces {
        dividers: best.0.into_iter().map(Length::from_mm_unchecked).collect(),
        leftover: Length::from_mm_unchecked(best.1),
        leftover_equal: Length::from_mm_unchecked(first),
        stopped: rig.left.get() == 0,
    })
}

type Tried = (Vec<f64>, f64);

/// Supports looked at, over all tries, before the search stops: a second or so, and several times what a dozen dividers
/// ask for (judgement).
const MOST_LOOKED_AT: usize = 10_000_000;
/// What a support costs where some only push, in supports of the quick answer.
const SLOW_COST: usize = 100;

/// Starts that are followed to the bottom.
const STARTS: usize = 24;
/// Up to so many dividers every pattern of narrow and wide is tried.
const ALL_PATTERNS: usize = 9;

/// A panel on its fixed supports, ready for many sets of dividers.
struct Rig<'a> {
    panel: &'a BowedPanel,
    fixed: &'a [Support],
    /// The quick answer, where all fixed supports hold both ways.
    line: Option<Line>,
    places: Vec<f64>,
    min: f64,
    /// Supports that may still be looked at.
    left: Cell<usize>,
}

impl<'a> Rig<'a> {
    fn new(panel: &'a BowedPanel, fixed: &'a [Support], min: f64) -> Self {
        let mut places: Vec<f64> = fixed.iter().map(|support| support.at.mm()).collect();
        places.sort_by(f64::total_cmp);
        let plain = fixed.iter().all(|support| support.grip == Grip::BothWays);
        Self {
            panel,
            fixed,
            line: plain.then(|| Line::new(panel, fixed)).flatten(),
            places,
            min,
            left: Cell::new(MOST_LOOKED_AT),
        }
    }

    fn low(&self) -> f64 {
        self.places[0]
    }

    fn high(&self) -> f64 {
        self.places[self.places.len() - 1]
    }

    fn span(&self) -> f64 {
        self.high() - self.low()
    }

    fn crowded(&self, dividers: &[f64]) -> bool {
        let min = self.min * (1.0 - 1e-12);
        dividers.windows(2).any(|pair| pair[1] - pair[0] < min)
            || dividers.first().is_some_and(|x| *x < self.low())
            || dividers.last().is_some_and(|x| *x > self.high())
            || dividers
                .iter()
                .any(|x| self.places.iter().any(|at| (at - x).abs() < min))
    }

    fn with(&self, dividers: &[f64]) -> Vec<Support> {
        let added = dividers
            .iter()
            .map(|x| Support::at(Length::from_mm_unchecked(*x)));
        self.fixed.iter().cloned().chain(added).collect()
    }

    /// Takes the cost of a try from what is left; false when nothing is.
    fn may_look(&self, dividers: usize) -> bool {
        let each = if self.line.is_some() { 1 } else { SLOW_COST };
        let left = self.left.get();
        self.left
            .set(left.saturating_sub(each * (dividers + self.fixed.len())));
        left > 0
    }

    fn residual_bow(&self, dividers: &[f64]) -> Option<f64> {
        if !self.may_look(dividers.len()) || self.crowded(dividers) {
            return None;
        }
        if let Some(line) = &self.line {
            return line.residual_bow(dividers);
        }
        straighten(self.panel, &self.with(dividers))
            .ok()
            .map(|held| held.leftover.mm())
    }

    /// Equal spacing, nudged off the fixed supports in between.
    fn equal(&self, count: usize) -> Option<Vec<f64>> {
        self.shared_out(&vec![1.0; count + 1])
    }

    /// Dividers whose gaps share the span in these parts, pushed apart to the minimum spacing.
    fn shared_out(&self, parts: &[f64]) -> Option<Vec<f64>> {
        let whole: f64 = parts.iter().sum();
        let mut at = self.low();
        let mut last = self.low();
        let mut places = Vec::with_capacity(parts.len() - 1);
        for part in &parts[..parts.len() - 1] {
            at += part / whole * self.span();
            let mut place = at.max(last + self.min);
            while let Some(taken) = self
                .places
                .iter()
                .find(|taken| (**taken - place).abs() < self.min * (1.0 - 1e-12))
            {
                place = taken + self.min;
            }
            places.push(place);
            last = place;
        }
        (last <= self.high() - self.min * (1.0 - 1e-12)).then_some(places)
    }

    /// The best patterns of narrow and wide gaps, and equal spacing.
    fn starts(&self, count: usize) -> Vec<Tried> {
        let patterns = 1_usize << (count.min(ALL_PATTERNS) + 1);
        let mut starts: Vec<Tried> = Vec::new();
        for narrow_to in [self.min / self.span(), 0.45] {
            for pattern in 0..patterns {
                let parts = self.parts(pattern, count, narrow_to);
                if let Some(places) = self.shared_out(&parts)
                    && let Some(residual_bow) = self.residual_bow(&places)
                {
                    starts.push((places, residual_bow));
                }
            }
        }
        starts.sort_by(|a, b| a.1.total_cmp(&b.1));
        starts.dedup_by(|a, b| (a.1 - b.1).abs() <= 1e-9 * a.1);
        let few = if self.line.is_some() { STARTS } else { 2 };
        starts.truncate(few);
        starts
    }

    /// Shares of the gaps: where the pattern's bit is set a narrow one. With a
    /// narrow share of the span itself, wide gaps take what is left over.
    fn parts(&self, pattern: usize, count: usize, narrow: f64) -> Vec<f64> {
        let is_narrow = |gap: usize| pattern >> (gap % usize::BITS as usize) & 1 == 1;
        let narrow_ones = (0..=count).filter(|gap| is_narrow(*gap)).count();
        let wide_ones = count + 1 - narrow_ones;
        let min = self.min / self.span();
        let (thin, wide) = if narrow <= min * 1.000_001 && wide_ones > 0 {
            let left = 1.0 - narrow_ones as f64 * min;
            (min, left / wide_ones as f64)
        } else {
            (narrow, 1.0)
        };
        (0..=count)
            .map(|gap| if is_narrow(gap) { thin } else { wide })
            .collect()
    }

    /// Moves dividers one at a time, in pairs, and all on each side of the
    /// middle, at ever smaller steps.
    fn descend(&self, best: &mut Tried, first_step: f64) {
        let directions = directions(best.0.len());
        let mut step = first_step;
        let finest = 1e-4 * first_step;
        let mut tried = best.0.clone();
        while step > finest && self.left.get() > 0 {
            let before = best.1;
            for direction in &directions {
                if self.left.get() == 0 {
                    return;
                }
                for sign in [1.0, -1.0] {
                    tried.copy_from_slice(&best.0);
                    direction.shift(&mut tried, sign * step);
                    if let Some(residual_bow) = self.residual_bow(&tried)
                        && residual_bow < best.1
                    {
                        best.0.copy_from_slice(&tried);
                        best.1 = residual_bow;
                    }
                }
            }
            if best.1 >= before * (1.0 - 1e-6) {
                step /= 2.0;
            }
        }
    }
}

/// A way to move dividers.
#[derive(Debug, Clone, Copy)]
enum Direction {
    /// One alone.
    One(usize),
    /// Two, the second the same way or the other.
    Two(usize, usize, f64),
    /// All, those right of the middle the same way or the other.
    All(f64),
}

impl Direction {
    fn shift(self, places: &mut [f64], step: f64) {
        match self {
            Self::One(i) => places[i] += step,
            Self::Two(i, j, way) => {
                places[i] += step;
                places[j] += step * way;
            }
            Self::All(way) => {
                let count = places.len();
                for (i, place) in places.iter_mut().enumerate() {
                    *place += if 2 * i < count { step } else { step * way };
                }
            }
        }
    }
}

fn directions(count: usize) -> Vec<Direction> {
    let mut list = Vec::new();
    for i in 0..count {
        list.push(Direction::One(i));
        for j in i + 1..count {
            list.extend([Direction::Two(i, j, 1.0), Direction::Two(i, j, -1.0)]);
        }
    }
    list.extend([Direction::All(1.0), Direction::All(-1.0)]);
    list
}
