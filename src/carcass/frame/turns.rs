//! Which boards to turn over.

use super::State;
use super::solve::Responses;
use crate::units::{Length, Refusal};

/// Boards of which every choice of faces is looked at.
pub const MOST_TURNED: usize = 14;
/// A change of the largest residual smaller than this is not worth turning a board for, mm.
const WORTH_MM: f64 = 0.01;

/// The best choice of faces.
#[derive(Debug, Clone, PartialEq)]
pub struct BestTurns {
    /// For each board whether it is turned over from how it lies.
    pub turn_over: Vec<bool>,
    /// The frame with those faces.
    pub state: State,
    /// The largest residual of it.
    pub residual: Length,
    /// Boards that are bowed.
    pub bowed: usize,
    /// Boards that were tried both ways: all that are bowed, or the [`MOST_TURNED`] worst.
    pub tried: Vec<usize>,
    /// Choices looked at.
    pub looked_at: u64,
}

impl BestTurns {
    /// Whether no other choice of faces leaves less: every one was looked at.
    #[must_use]
    pub fn proven(&self) -> bool {
        self.tried.len() == self.bowed
    }
}

/// Every choice of faces of up to [`MOST_TURNED`] boards, each by superposition; beyond, the worst bows are turned and the others
/// stay. Among choices that leave as little, the one that turns fewest boards.
///
/// # Errors
/// [`Refusal`] when the contacts of a choice cannot be settled.
pub fn best_turns(responses: &Responses) -> Result<BestTurns, Refusal> {
    let count = responses.members.len();
    let size = |board: usize| {
        responses.bows[board]
            .left_over_mm
            .iter()
            .fold(0.0_f64, |most, y| most.max(y.abs()))
    };
    let mut tried: Vec<usize> = (0..count)
        .filter(|&board| !responses.members[board].shape.is_straight())
        .collect();
    let bowed = tried.len();
    tried.sort_by(|&a, &b| size(b).total_cmp(&size(a)).then(a.cmp(&b)));
    tried.truncate(MOST_TURNED);
    tried.sort_unstable();
    let mut signs = vec![1.0; count];
    let mut search = Search::new(responses, &signs);
    let choices = 1_usize << tried.len();
    let mut left = Vec::with_capacity(choices);
    left.push(search.largest()?);
    for step in 1..choices {
        // A Gray code turns one board at a time.
        let board = tried[step.trailing_zeros() as usize];
        signs[board] = -signs[board];
        search.turn(board, signs[board]);
        left.push(search.largest()?);
    }
    let gray = |step: usize| step ^ (step >> 1);
    let smallest = left.iter().copied().fold(f64::INFINITY, f64::min);
    let best = (0..choices)
        .filter(|&step| left[step] <= smallest + WORTH_MM)
        .min_by(|&a, &b| {
            let turned = |step| gray(step).count_ones();
            turned(a).cmp(&turned(b)).then(left[a].total_cmp(&left[b]))
        })
        .map_or(0, gray);
    let mut turn_over = vec![false; count];
    for (bit, &board) in tried.iter().enumerate() {
        turn_over[board] = best >> bit & 1 == 1;
    }
    let signs: Vec<f64> = turn_over
        .iter()
        .map(|over| if *over { -1.0 } else { 1.0 })
        .collect();
    let state = responses.state(&signs)?;
    Ok(BestTurns {
        turn_over,
        residual: state.largest_residual(),
        state,
        bowed,
        tried,
        looked_at: choices as u64,
    })
}

/// The frame as the boards lie, kept up to date as one after another is turned.
struct Search<'r> {
    responses: &'r Responses,
    left_over_mm: Vec<f64>,
    /// Forces of the contacts with all of them closed.
    contacts_n: Vec<f64>,
}

impl<'r> Search<'r> {
    fn new(responses: &'r Responses, signs: &[f64]) -> Self {
        let mut search = Self {
            responses,
            left_over_mm: responses.fixed.left_over_mm.clone(),
            contacts_n: responses
                .contacts
                .iter()
                .map(|(row, _)| responses.fixed.rows[*row])
                .collect(),
        };
        for (board, sign) in signs.iter().enumerate() {
            search.add(board, *sign);
        }
        search
    }

    fn add(&mut self, board: usize, share: f64) {
        let bow = &self.responses.bows[board];
        for (y, own) in self.left_over_mm.iter_mut().zip(&bow.left_over_mm) {
            *y += share * own;
        }
        for (force, (row, _)) in self.contacts_n.iter_mut().zip(&self.responses.contacts) {
            *force += share * bow.rows[*row];
        }
    }

    fn turn(&mut self, board: usize, to: f64) {
        self.add(board, 2.0 * to);
    }

    fn largest(&self) -> Result<f64, Refusal> {
        if self.contacts_n.is_empty() {
            return Ok(largest(self.left_over_mm.iter().copied()));
        }
        let contacts = &self.responses.contacts;
        let opened = self.responses.opened(|row| {
            contacts
                .iter()
                .position(|(other, _)| *other == row)
                .map_or(0.0, |at| self.contacts_n[at])
        })?;
        Ok(largest(self.left_over_mm.iter().enumerate().map(
            |(place, y)| {
                let moved = opened.iter().zip(contacts);
                y + moved
                    .map(|(w, (_, response))| w * response.left_over_mm[place])
                    .sum::<f64>()
            },
        )))
    }
}

fn largest(heights: impl Iterator<Item = f64>) -> f64 {
    heights.fold(0.0, |most, y| most.max(y.abs()))
}
