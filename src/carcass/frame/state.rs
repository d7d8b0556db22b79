//! A frame in one state: what is left of each board's bow, and what each joint gives.

use super::Member;
use super::solve::{Response, Responses};
use crate::units::{Length, Refusal, Stress};

/// One board of a frame, held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoardState {
    /// The largest height over the chord of its own ends, signed.
    pub residual: Length,
    /// Where that is along the board.
    pub at: Length,
    /// Where it bends most, and how much: stress at the face, `|M| t/2I + |N|/A`.
    pub stress: Stress,
}

/// What the piece of a joint gives the board it enters.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct JointForce {
    /// Force to the right, N.
    pub x_n: f64,
    /// Force up, N.
    pub y_n: f64,
    /// Moment, counter-clockwise, N mm.
    pub moment_n_mm: f64,
    /// Whether a joint that only pushes stands off.
    pub open: bool,
}

impl JointForce {
    /// Size of the force, N.
    #[must_use]
    pub fn size_n(&self) -> f64 {
        libm::hypot(self.x_n, self.y_n)
    }
}

/// A frame in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// The boards, in their order.
    pub boards: Vec<BoardState>,
    /// The joints, in their order.
    pub joints: Vec<JointForce>,
    /// Forces of the rests on the frame are what the rows of the rests give, in their order, N.
    pub rests_n: Vec<f64>,
    shapes: Vec<Vec<(f64, f64)>>,
}

impl State {
    /// The largest residual bow of any board, without sign.
    #[must_use]
    pub fn largest_residual(&self) -> Length {
        self.boards
            .iter()
            .map(|board| board.residual.abs())
            .fold(Length::ZERO, Length::max)
    }

    /// Height of a board over its chord from place to place, mm; nothing for a board that is not there.
    #[must_use]
    pub fn shape_mm(&self, board: usize) -> &[(f64, f64)] {
        self.shapes.get(board).map_or(&[], Vec::as_slice)
    }
}

impl Responses {
    /// The frame with each board as it lies (1), turned over (-1), or bowed by any share of what it is.
    ///
    /// # Errors
    /// [`Refusal`] when the contacts cannot be settled.
    pub fn state(&self, shares: &[f64]) -> Result<State, Refusal> {
        Ok(self.read(&self.combined(shares)?))
    }

    /// The frame as it is given.
    ///
    /// # Errors
    /// [`Refusal`] when the contacts cannot be settled.
    pub fn as_given(&self) -> Result<State, Refusal> {
        self.state(&vec![1.0; self.members.len()])
    }

    fn read(&self, response: &Response) -> State {
        let count = self.members.len();
        let mut shapes: Vec<Vec<(f64, f64)>> = vec![Vec::new(); count];
        let mut stress = vec![0.0_f64; count];
        let places = response.left_over_mm.len() / self.stretches.len().max(1);
        for (index, stretch) in self.stretches.iter().enumerate() {
            let member = &self.members[stretch.member];
            let axial = response.axial_n[index].abs() / (member.width_mm * member.thickness_mm);
            for k in 0..places {
                let at = index * places + k;
                // The last place of a stretch is the first of the next.
                let shape = &mut shapes[stretch.member];
                if k > 0 || shape.is_empty() {
                    shape.push((stretch.read_at(k), response.left_over_mm[at]));
                }
                let here = face_stress(member, response.moment_n_mm[at]) + axial;
                stress[stretch.member] = stress[stretch.member].max(here);
            }
        }
        let boards = shapes
            .iter()
            .zip(&stress)
            .map(|(shape, &stress_mpa)| {
                let (at_mm, residual_mm) = largest(shape);
                BoardState {
                    residual: Length::from_mm_unchecked(residual_mm),
                    at: Length::from_mm_unchecked(at_mm),
                    stress: Stress::computed_mpa(stress_mpa),
                }
            })
            .collect();
        let mut joints = vec![JointForce::default(); self.joints];
        let mut rests_n = Vec::new();
        for (row, &force) in self.rows.iter().zip(&response.rows) {
            let Some(joint) = row.joint else {
                rests_n.push(-force);
                continue;
            };
            let joint = &mut joints[joint];
            match row.axis {
                0 => joint.x_n = force,
                1 => joint.y_n = force,
                _ => joint.moment_n_mm = force,
            }
            // An open contact keeps a trace of force, so that a loose piece has a place.
            joint.open |= row.push.is_some() && force.abs() < 1e-5;
        }
        State {
            boards,
            joints,
            rests_n,
            shapes,
        }
    }
}

fn face_stress(member: &Member, moment_n_mm: f64) -> f64 {
    6.0 * moment_n_mm.abs() / (member.width_mm * member.thickness_mm * member.thickness_mm)
}

/// The largest height and its place, on the parabola through three places read off.
fn largest(shape: &[(f64, f64)]) -> (f64, f64) {
    let worst = (0..shape.len()).max_by(|&a, &b| shape[a].1.abs().total_cmp(&shape[b].1.abs()));
    let Some(i) = worst else {
        return (0.0, 0.0);
    };
    let (x, y) = shape[i];
    let (Some(before), Some(after)) = (i.checked_sub(1).map(|k| shape[k]), shape.get(i + 1)) else {
        return (x, y);
    };
    let (left, right) = (x - before.0, after.0 - x);
    let (s0, s1) = ((y - before.1) / left, (after.1 - y) / right);
    let bend = 2.0 * (s1 - s0) / (left + right);
    let slope = (s0 * right + s1 * left) / (left + right);
    if bend == 0.0 {
        return (x, y);
    }
    let step = (-slope / bend).clamp(-left, right);
    (x + step, y + slope * step / 2.0)
}
