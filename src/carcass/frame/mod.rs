//! A case as a plane frame of bowed boards.
//!
//! Horizontals and verticals hold one another straight. Seen from the front, each board is a slender beam on its centre line with the shape
//! it would take alone; the joints are rigid, turn against a spring, turn freely, or only push. The joints decide: the same
//! bowed bottom keeps a fifteenth of its bow in glued housings and a third in hinged ones.
//!
//! Euler-Bernoulli beams with stretching; the load of a free shape is exact, `k_e d0` with `d0` its heights and slopes at the ends of
//! each piece of a beam. Joints are rows `G u - C f = g` (piece less board), so that the force of a joint is an unknown and no
//! stiffness has to be invented for a rigid one; pushing contacts are settled by Murty's rule. Checked against a frame package
//! and worked cases (derived). Not covered: racking, friction, joints that fail one after another, and shear of short boards, a share
//! `1.2 (E/G) (t/l)^2` of their give.

mod case;
mod dividers;
mod draws;
mod joint;
mod member;
mod set;
mod solve;
mod state;
mod turning;
mod turns;

pub use case::{BodyJoint, Bonds, CaseBoard, CaseFrame, CaseJoint, Hold, MeasuredBond};
pub use dividers::DividerChange;
pub use draws::{FrameDraw, FrameDraws, FrameSample};
pub use joint::{Joint, Rest, Tie};
pub use member::{FreeShape, Member};
pub use set::{cut_to_the_bowed_opening, set_while_bowed};
pub use solve::{Frame, Responses};
pub use state::{BoardState, JointForce, State};
pub use turning::{BondQuality, END_GRAIN_MPA, JointCheck, TurningStiffness, face_modulus_mpa};
pub use turns::{BestTurns, MOST_TURNED, best_turns};

use std::fmt;

/// Why a frame cannot be answered.
#[derive(Debug, Clone, PartialEq)]
pub enum FrameError {
    /// A joint or a rest names a board that is not there.
    UnknownMember {
        /// The index given.
        index: usize,
    },
    /// A board of no length, width, thickness or stiffness.
    EmptyMember {
        /// Its index.
        index: usize,
    },
    /// Heights that do not make a shape.
    Heights,
    /// Something can still move.
    NotHeld,
}

impl fmt::Display for FrameError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownMember { index } => {
                write!(f, "board number {index} is not in the frame; count from 0")
            }
            Self::EmptyMember { index } => write!(
                f,
                "board number {index} has no length, width, thickness or stiffness; give all four above zero"
            ),
            Self::Heights => f.write_str(
                "the heights do not make a shape; give three or more, at places that ascend from one end of the board to the other",
            ),
            Self::NotHeld => f.write_str(
                "a board can still move freely; give it a joint at both ends, or a rest on the floor",
            ),
        }
    }
}

impl std::error::Error for FrameError {}
