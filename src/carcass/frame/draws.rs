//! A frame under many draws of what is not known of it: bows as read, stiffness of its wood, and how much each joint gives.
//!
//! The equations are factored once. A joint that gives more or less than it did there acts as a gap of its own, `(c - c0) f` with `c` its give
//! and `f` its moment, so that a draw asks for one solve of the size of the sprung joints and not of the frame (exact: the frame
//! solved afresh gives the same, and a test holds it to that).

use super::error::not_held;
use super::solve::{OPEN_N_PER_MM, READ, Response};
use super::{Frame, JointForce, Responses};
use crate::numerics::{factor_lu, solve_complementarity, solve_lu};
use crate::units::Refusal;

/// Of the places of a stretch each so many is read in a draw.
const EVERY: usize = 2;

/// What one draw has in place of the frame's own values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrameDraw<'a> {
    /// For each board its bow over the one given: 1 as given, -1 turned over.
    pub bows: &'a [f64],
    /// Stiffness of the wood over that given, of boards and joints alike.
    pub stiffness: f64,
    /// For each joint its stiffness against turning over that given, beside that of the wood; those without a spring are not read.
    pub turning: &'a [f64],
}

/// The frame in one draw.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FrameSample {
    /// The largest height of each board over the chord of its ends, mm, without sign.
    pub residual_mm: Vec<f64>,
    /// What each joint gives.
    pub joints: Vec<JointForce>,
}

/// A frame made ready for draws.
#[derive(Debug, Clone)]
pub struct FrameDraws {
    responses: Responses,
    /// Places of the heights that are read, and the board of each.
    read: Vec<(usize, usize)>,
    /// Row, joint and give of each spring.
    springs: Vec<(usize, usize, f64)>,
    /// Rows of the contacts and the sign of an outward push.
    contacts: Vec<(usize, f64)>,
    /// Forces of the rows, then the heights read, for each cause: what loads do, the rest of what is fixed, each bow, each spring, each contact.
    loads: Vec<f64>,
    fixed: Vec<f64>,
    bows: Vec<Option<Vec<f64>>>,
    of_springs: Vec<Vec<f64>>,
    of_contacts: Vec<Vec<f64>>,
}

impl Frame {
    /// Makes the frame ready for draws.
    ///
    /// # Errors
    /// As [`Frame::responses`].
    pub fn draws(&self) -> Result<FrameDraws, Refusal> {
        let (responses, found) = self.responses_and_springs()?;
        let read: Vec<(usize, usize)> = responses
            .stretches
            .iter()
            .enumerate()
            .flat_map(|(index, stretch)| {
                (0..=READ)
                    .step_by(EVERY)
                    .map(move |k| (index * (READ + 1) + k, stretch.member))
            })
            .collect();
        let column = |response: &Response| -> Vec<f64> {
            let heights = read.iter().map(|(place, _)| response.left_over_mm[*place]);
            response.rows.iter().copied().chain(heights).collect()
        };
        let loads = column(&found.loads);
        let mut fixed = column(&responses.fixed);
        add(&mut fixed, -1.0, &loads);
        Ok(FrameDraws {
            springs: found
                .springs
                .iter()
                .filter_map(|(row, give, _)| Some((*row, responses.rows[*row].joint?, *give)))
                .collect(),
            contacts: responses
                .contacts
                .iter()
                .map(|(row, _)| (*row, responses.rows[*row].push.unwrap_or(1.0)))
                .collect(),
            loads,
            fixed,
            bows: responses
                .members
                .iter()
                .zip(&responses.bows)
                .map(|(member, bow)| (!member.shape.is_straight()).then(|| column(bow)))
                .collect(),
            of_springs: found.springs.iter().map(|(.., one)| column(one)).collect(),
            of_contacts: responses
                .contacts
                .iter()
                .map(|(_, one)| column(one))
                .collect(),
            read,
            responses,
        })
    }
}

fn add(sum: &mut [f64], share: f64, other: &[f64]) {
    for (x, y) in sum.iter_mut().zip(other) {
        *x += share * y;
    }
}

impl FrameDraws {
    /// The frame in one draw, written into `sample`.
    ///
    /// # Errors
    /// [`Refusal`] when a joint gives so much that something can move, or the contacts cannot be settled.
    pub fn fill(&self, draw: FrameDraw<'_>, sample: &mut FrameSample) -> Result<(), Refusal> {
        let n = self.springs.len();
        // Everything here is as if the wood had the stiffness given: loads count so much more where it has less.
        let mut sum = self.fixed.clone();
        add(&mut sum, 1.0 / draw.stiffness, &self.loads);
        for (share, bow) in draw.bows.iter().zip(&self.bows) {
            if let Some(bow) = bow {
                add(&mut sum, *share, bow);
            }
        }
        let more: Vec<f64> = self
            .springs
            .iter()
            .map(|(_, joint, give)| give * (1.0 / draw.turning[*joint] - 1.0))
            .collect();
        let mut matrix = vec![0.0; n * n];
        for (i, (row, ..)) in self.springs.iter().enumerate() {
            for (j, response) in self.of_springs.iter().enumerate() {
                let one = if i == j { 1.0 } else { 0.0 };
                matrix[i * n + j] = one - response[*row] * more[j];
            }
        }
        let mut pivots = vec![0; n];
        if !factor_lu(&mut matrix, &mut pivots) {
            return Err(not_held());
        }
        // The gap that each spring opens by, given its moment with every spring as given.
        let gaps = |of: &[f64]| -> Vec<f64> {
            let mut moments: Vec<f64> = self.springs.iter().map(|(row, ..)| of[*row]).collect();
            solve_lu(&matrix, &pivots, &mut moments);
            moments
                .iter()
                .zip(&more)
                .map(|(m, more)| m * more)
                .collect()
        };
        for (gap, response) in gaps(&sum).iter().zip(&self.of_springs) {
            add(&mut sum, *gap, response);
        }
        if self
            .contacts
            .iter()
            .any(|(row, outward)| outward * sum[*row] < 0.0)
        {
            self.open(gaps, &mut sum)?;
        }
        let rows = self.responses.rows.len();
        sample.joints.clear();
        sample
            .joints
            .resize(self.responses.joints, JointForce::default());
        for (row, force) in self.responses.rows.iter().zip(&sum) {
            let Some(joint) = row.joint else { continue };
            let (joint, force) = (&mut sample.joints[joint], draw.stiffness * force);
            match row.axis {
                0 => joint.x_n = force,
                1 => joint.y_n = force,
                _ => joint.moment_n_mm = force,
            }
        }
        sample.residual_mm.clear();
        sample.residual_mm.resize(self.bows.len(), 0.0);
        for ((_, board), height) in self.read.iter().zip(&sum[rows..]) {
            let largest = &mut sample.residual_mm[*board];
            *largest = largest.max(height.abs());
        }
        Ok(())
    }

    /// Opens the contacts that would pull.
    fn open(&self, gaps: impl Fn(&[f64]) -> Vec<f64>, sum: &mut [f64]) -> Result<(), Refusal> {
        let n = self.contacts.len();
        let opened: Vec<Vec<f64>> = self
            .of_contacts
            .iter()
            .map(|response| {
                let mut whole = response.clone();
                for (gap, spring) in gaps(response).iter().zip(&self.of_springs) {
                    add(&mut whole, *gap, spring);
                }
                whole
            })
            .collect();
        let mut matrix = Vec::with_capacity(n * n);
        for (i, (row, outward)) in self.contacts.iter().enumerate() {
            for (j, response) in opened.iter().enumerate() {
                let kept = if i == j { OPEN_N_PER_MM } else { 0.0 };
                matrix.push(outward * response[*row] + kept);
            }
        }
        let closed: Vec<f64> = self
            .contacts
            .iter()
            .map(|(row, outward)| outward * sum[*row])
            .collect();
        let shares = solve_complementarity(&matrix, &closed).ok_or_else(not_held)?;
        for (share, response) in shares.iter().zip(&opened) {
            if *share != 0.0 {
                add(sum, *share, response);
            }
        }
        Ok(())
    }
}
