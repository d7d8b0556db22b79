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
mod error;
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
