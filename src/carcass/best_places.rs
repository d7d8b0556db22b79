//! The divider places that leave a panel straightest.

use super::beam::COINCIDENT_MM;
use super::three_moments::Line;
use super::{BowedPanel, Grip, Support, error, straighten};
use crate::units::{Length, Refusal};
use serde::Serialize;

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
    })
}

type Tried = (Vec<f64>, f64);

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

    fn residual_bow(&self, dividers: &[f64]) -> Option<f64> {
        if self.crowded(dividers) {
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
        while step > finest {
            let before = best.1;
            for direction in &directions {
                for sign in [1.0, -1.0] {
                    for ((to, from), way) in tried.iter_mut().zip(&best.0).zip(direction) {
                        *to = from + sign * step * way;
                    }
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

fn directions(count: usize) -> Vec<Vec<f64>> {
    let mut list = Vec::new();
    for i in 0..count {
        let mut one = vec![0.0; count];
        one[i] = 1.0;
        list.push(one);
        for j in i + 1..count {
            for sign in [1.0, -1.0] {
                let mut pair = vec![0.0; count];
                pair[i] = 1.0;
                pair[j] = sign;
                list.push(pair);
            }
        }
    }
    for sign in [1.0, -1.0] {
        list.push(
            (0..count)
                .map(|i| if 2 * i < count { 1.0 } else { sign })
                .collect(),
        );
    }
    list
}
