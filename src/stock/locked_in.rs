//! What is believed to be locked in the boards of one pack, along or across the
//! grain.
//!
//! Of each board three numbers: `s`, the strain of its surface layer once the moisture has evened out;
//! `c`, the lop-sided strain; and `m`, what evening out adds. At the cut the surface layer holds
//! `a = s - m`: leaves and strips straight off the saw show `a`, rested ones show `s`.
//! Boards of one pack were dried together, so what one shows speaks for the others.

use super::belief::{Belief, Marginal, Seen};
use super::board::EveningOut;
use super::drying::{
    ACROSS_FACTOR, Bend, Drying, GIVEN_SPREAD, GIVEN_SPREAD_MIN_MICROSTRAIN,
    LOPSIDED_SPREAD_MICROSTRAIN, PACK_ALIKE, PACK_ALIKE_LOPSIDED, WIDE_FACTOR, WIDE_SHARE,
};
use super::plan::Slice;
use super::strip::{Contradiction, TestStrip, WhenRead};
use crate::units::{Curvature, Length, Refusal, Strain};
use statrs::distribution::{ChiSquared, ContinuousCDF};

/// Numbers believed of each board.
const EACH: usize = 3;

/// What is known of one board before anything is measured on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// How it was dried.
    pub drying: Drying,
    /// The strain of its surface layer at the cut, where a maker tells it.
    pub given: Option<Strain>,
    /// What evening out adds.
    pub evening: EveningOut,
}

/// The belief about all boards of one pack, in one direction.
#[derive(Debug, Clone, PartialEq)]
pub struct LockedIn {
    belief: Belief,
    piece: OnePiece,
}

/// How far one piece of a board is off the whole of it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct OnePiece {
    /// Over what is usual.
    times: f64,
    /// The minimum of a strain's spread.
    min: f64,
}

impl OnePiece {
    /// One standard deviation of the board's strain where a piece of it has `strain`.
    fn spread(self, strain: f64) -> f64 {
        self.times * (GIVEN_SPREAD * strain.abs()).max(self.min)
    }
}

impl LockedIn {
    /// What is believed before anything is measured.
    #[must_use]
    pub fn before(bend: Bend, boards: &[Known]) -> Self {
        Self::before_spread(bend, boards, 1.0)
    }

    /// The same where locked-in strain spreads `times` as far as is usual, about the same middles.
    #[must_use]
    pub fn before_spread(bend: Bend, boards: &[Known], times: f64) -> Self {
        let scale = 1e-6
            * match bend {
                Bend::Along => 1.0,
                Bend::Across => ACROSS_FACTOR,
            };
        let piece = OnePiece {
            times,
            min: scale * GIVEN_SPREAD_MIN_MICROSTRAIN,
        };
        let size = EACH * boards.len();
        let part = |wide: f64| {
            let wide = wide * times;
            let spread = |known: &Known| match known.given {
                None => wide * scale * known.drying.prior().spread_microstrain,
                Some(given) => piece.spread(given.ratio()),
            };
            let lopsided = wide * scale * LOPSIDED_SPREAD_MICROSTRAIN;
            let mut mean = vec![0.0; size];
            let mut covariance = vec![0.0; size * size];
            for (i, known) in boards.iter().enumerate() {
                let (s, c, m) = (EACH * i, EACH * i + 1, EACH * i + 2);
                let variance = known.evening.spread * known.evening.spread;
                mean[m] = known.evening.middle;
                covariance[m * size + m] = variance;
                mean[s] = scale * known.drying.prior().middle_microstrain;
                if let Some(given) = known.given {
                    // Given at the cut: s = a + m, so that the two go together.
                    mean[s] = given.ratio() + known.evening.middle;
                    covariance[s * size + s] = variance;
                    covariance[s * size + m] = variance;
                    covariance[m * size + s] = variance;
                }
                for (j, other) in boards.iter().enumerate() {
                    let (alike, alike_lopsided) = if i == j {
                        (1.0, 1.0)
                    } else {
                        (PACK_ALIKE, PACK_ALIKE_LOPSIDED)
                    };
                    covariance[s * size + EACH * j] += alike * spread(known) * spread(other);
                    covariance[c * size + EACH * j + 1] += alike_lopsided * lopsided * lopsided;
                }
            }
            (mean, covariance)
        };
        let (body, body_covariance) = part(1.0);
        let (wide, wide_covariance) = part(WIDE_FACTOR);
        Self {
            belief: Belief::of_parts(vec![
                (1.0 - WIDE_SHARE, body, body_covariance),
                (WIDE_SHARE, wide, wide_covariance),
            ]),
            piece,
        }
    }

    /// Takes in one reading of a board: curvature off the saw or rested, as `terms` of its three numbers.
    pub fn learn(&mut self, board: usize, seen: &Seen) {
        let shifted = Seen {
            terms: seen
                .terms
                .iter()
                .map(|&(i, coefficient)| (EACH * board + i, coefficient))
                .collect(),
            ..seen.clone()
        };
        self.belief.learn(&shifted);
    }

    /// Takes in the test strips of one board, whose own curvature before the cut each half inherits. A strip is one piece
    /// of its board: what it is off the board is one number that all its readings share, of the spread of
    /// a given strain ([`GIVEN_SPREAD`]). Strips that contradict each other are given, and both errors are widened until they
    /// agree (by the square root of chi-square over its degrees of freedom).
    ///
    /// For the other boards of the pack nothing is added: what is believed of them is wider than two fifths of its middle, nine
    /// times in ten, by [`PACK_ALIKE`] and the wide part of the histories.
    ///
    /// # Errors
    /// [`Refusal`] when a strip is not read or cannot be cut.
    pub fn learn_strips(
        &mut self,
        board: usize,
        strips: &[TestStrip],
        inherited: Curvature,
    ) -> Result<Option<Contradiction>, Refusal> {
        // One number more a strip, which all its readings share: what it is off its board, zero but for its spread.
        let (mut readings, mut off) = (Vec::new(), Vec::new());
        for (index, strip) in strips.iter().enumerate() {
            let mut of_strip = strip.readings(inherited)?;
            off.push(self.piece.spread(strain_shown(&of_strip)));
            for seen in &mut of_strip {
                let coefficient = of_strain(seen);
                seen.terms.push((EACH + index, coefficient));
            }
            readings.extend(of_strip);
        }
        let apart = off.iter().enumerate().map(|(index, off)| Seen {
            terms: vec![(EACH + index, 1.0)],
            value: 0.0,
            error: *off,
        });
        let all: Vec<Seen> = readings.iter().cloned().chain(apart).collect();
        let found = contradiction(&all);
        let widen = found.map_or(1.0, |found| {
            (found.chi_square / found.degrees as f64).sqrt().max(1.0)
        });
        off.iter_mut().for_each(|off| *off *= widen);
        let own = self.belief.size();
        self.belief.add_numbers(&off);
        for mut seen in readings {
            seen.error *= widen;
            for (number, _) in &mut seen.terms {
                *number = match number.checked_sub(EACH) {
                    Some(strip) => own + strip,
                    None => EACH * board + *number,
                };
            }
            self.belief.learn(&seen);
        }
        self.belief.keep_first(own);
        Ok(found)
    }

    /// Strain of a board's surface layer at the cut, `a`.
    #[must_use]
    pub fn at_the_cut(&self, board: usize) -> Marginal {
        let first = EACH * board;
        self.belief
            .marginal(&[(first, 1.0), (first + 2, -1.0)], 0.0)
    }

    /// The same once its moisture has evened out, `s`.
    #[must_use]
    pub fn rested(&self, board: usize) -> Marginal {
        self.belief.marginal(&[(EACH * board, 1.0)], 0.0)
    }

    /// A board's lop-sided strain, `c`.
    #[must_use]
    pub fn lopsided(&self, board: usize) -> Marginal {
        self.belief.marginal(&[(EACH * board + 1, 1.0)], 0.0)
    }

    /// What evening out adds to a board's `a`.
    #[must_use]
    pub fn evening_out(&self, board: usize) -> Marginal {
        self.belief.marginal(&[(EACH * board + 2, 1.0)], 0.0)
    }

    /// Change of curvature of a slice of a board once the share `evened` of its moisture has evened out (0 off the
    /// saw, 1 rested), plus a constant; 1/mm.
    #[must_use]
    pub fn curvature(&self, board: usize, slice: &Slice, evened: f64, constant: f64) -> Marginal {
        let (of_a, of_c) = (slice.bend_of_locked_in(), slice.bend_of_lopsided());
        let first = EACH * board;
        self.belief.marginal(
            &[
                (first, of_a),
                (first + 1, of_c),
                (first + 2, -(1.0 - evened) * of_a),
            ],
            constant,
        )
    }

    /// How far the free ends of two slices beside a cut close toward each other off the saw, millimetres.
    pub(super) fn closing(
        &self,
        board: usize,
        upper: &Slice,
        lower: &Slice,
        length: Length,
    ) -> Marginal {
        let rise = length.mm() * length.mm() / 2.0;
        let of_a = rise * (upper.bend_of_locked_in() - lower.bend_of_locked_in());
        let of_c = rise * (upper.bend_of_lopsided() - lower.bend_of_lopsided());
        let first = EACH * board;
        self.belief
            .marginal(&[(first, of_a), (first + 1, of_c), (first + 2, -of_a)], 0.0)
    }
}

/// What a reading gains per unit of its board's strain.
fn of_strain(seen: &Seen) -> f64 {
    seen.terms
        .iter()
        .filter(|(number, _)| *number == 0)
        .map(|(_, coefficient)| coefficient)
        .sum()
}

/// Size of the strain that the readings of one strip show, by least squares.
fn strain_shown(readings: &[Seen]) -> f64 {
    let (top, below) = readings.iter().fold((0.0, 0.0), |(top, below), seen| {
        let coefficient = of_strain(seen);
        (
            top + coefficient * seen.value,
            below + coefficient * coefficient,
        )
    });
    if below > 0.0 {
        (top / below).abs()
    } else {
        0.0
    }
}

/// A reading of the curvature of one slice, in terms of one board's three numbers.
#[must_use]
pub(super) fn seen_curvature(
    slice: &Slice,
    read: WhenRead,
    factor: f64,
    value: f64,
    error: f64,
) -> Seen {
    let (of_a, of_c) = (
        factor * slice.bend_of_locked_in(),
        factor * slice.bend_of_lopsided(),
    );
    let mut terms = vec![(0, of_a), (1, of_c)];
    if read == WhenRead::OffTheSaw {
        terms.push((2, -of_a));
    }
    Seen {
        terms,
        value,
        error,
    }
}

/// Whether readings of one board contradict each other: the least squares of what no values of `s`, `c`, `m` and the
/// numbers of their strips explain, against the 95 % point of chi-square. `None` when they agree or are too few to tell.
#[must_use]
pub fn contradiction(readings: &[Seen]) -> Option<Contradiction> {
    let n = readings.len();
    let mut left: Vec<f64> = readings
        .iter()
        .map(|seen| seen.value / seen.error)
        .collect();
    let mut basis: Vec<Vec<f64>> = Vec::new();
    let unknowns = readings
        .iter()
        .flat_map(|seen| &seen.terms)
        .map(|(number, _)| number + 1)
        .max()
        .unwrap_or(0);
    for unknown in 0..unknowns {
        let mut column: Vec<f64> = readings
            .iter()
            .map(|seen| {
                seen.terms
                    .iter()
                    .filter(|(i, _)| *i == unknown)
                    .map(|(_, coefficient)| coefficient / seen.error)
                    .sum()
            })
            .collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let size = dot(&column, &column).sqrt();
        for known in &basis {
            let along = dot(known, &column);
            for (value, known) in column.iter_mut().zip(known) {
                *value -= along * known;
            }
        }
        let rest = dot(&column, &column).sqrt();
        if rest > 1e-6 * size {
            column.iter_mut().for_each(|value| *value /= rest);
            let along = dot(&column, &left);
            for (value, known) in left.iter_mut().zip(&column) {
                *value -= along * known;
            }
            basis.push(column);
        }
    }
    let degrees = n.checked_sub(basis.len()).filter(|degrees| *degrees > 0)?;
    let chi_square: f64 = left.iter().map(|value| value * value).sum();
    let limit = ChiSquared::new(degrees as f64).ok()?.inverse_cdf(0.95);
    (chi_square > limit).then_some(Contradiction {
        chi_square,
        degrees,
        limit,
    })
}
