//! What the glue sets: a frame whose parts mate as cut has one final state, whatever the order of clamping; only what differs at the moment
//! the glue hardens stays.

use super::dividers::is_upright;
use super::{Frame, Joint, Rest, Tie};
use crate::numerics::interpolate;

/// The frame with what the glue sets while the boards still lie bowed in loose housings. At the end of a board the joint keeps the angle at
/// which the two meet free. The housings along a board turn with it while they are loose, and set without a moment in
/// the shape that it then takes, which is the final one.
#[must_use]
pub fn set_while_bowed(frame: &Frame) -> Frame {
    let mut set = frame.clone();
    for joint in &mut set.joints {
        if is_along_a_horizontal(frame, joint) {
            joint.turning = Tie::Free;
            continue;
        }
        let (piece, into) = (&frame.members[joint.piece], &frame.members[joint.into]);
        let end = if joint.at_end { piece.length_mm() } else { 0.0 };
        joint.gap[2] += piece.shape.at(end).1 - into.shape.at(joint.into_at_mm).1;
    }
    set
}

/// Whether a joint is that of an upright that enters a horizontal between its ends.
fn is_along_a_horizontal(frame: &Frame, joint: &Joint) -> bool {
    let into = &frame.members[joint.into];
    is_upright(&frame.members[joint.piece])
        && !is_upright(into)
        && joint.into_at_mm > 1.0
        && joint.into_at_mm < into.length_mm() - 1.0
}

/// The frame with each upright that stands between two horizontals, in turn, cut to the opening as it is when the ends alone are
/// joined: the bowed boards are then held by their corners only. What enters such an upright is not there yet.
#[must_use]
pub fn cut_to_the_bowed_opening(frame: &Frame) -> Vec<Frame> {
    let inner = |index: usize, at_end: bool| {
        frame.joints.iter().position(|joint| {
            joint.piece == index && joint.at_end == at_end && is_along_a_horizontal(frame, joint)
        })
    };
    let between: Vec<(usize, usize)> = (0..frame.members.len())
        .filter_map(|index| Some((inner(index, false)?, inner(index, true)?)))
        .collect();
    let gone = between.iter().map(|(lower, _)| frame.joints[*lower].piece);
    let Some((ends, kept)) = without(frame, gone.collect()) else {
        return Vec::new();
    };
    let Ok(state) = ends.responses().and_then(|found| found.as_given()) else {
        return Vec::new();
    };
    let height = |joint: usize| {
        let joint = &frame.joints[joint];
        let board = kept.iter().position(|index| *index == joint.into)?;
        let (places, heights): (Vec<f64>, Vec<f64>) = state.shape_mm(board).iter().copied().unzip();
        Some(interpolate(&places, &heights, joint.into_at_mm))
    };
    between
        .into_iter()
        .filter_map(|(lower, upper)| {
            let mut cut = frame.clone();
            cut.joints[upper].gap[1] -= height(upper)? - height(lower)?;
            Some(cut)
        })
        .collect()
}

/// The frame without some boards and what enters them, and which boards are left.
fn without(frame: &Frame, mut gone: Vec<usize>) -> Option<(Frame, Vec<usize>)> {
    while let Some(joint) = frame
        .joints
        .iter()
        .find(|joint| gone.contains(&joint.into) && !gone.contains(&joint.piece))
    {
        gone.push(joint.piece);
    }
    let kept: Vec<usize> = (0..frame.members.len())
        .filter(|index| !gone.contains(index))
        .collect();
    let place = |old: usize| kept.iter().position(|index| *index == old);
    let joints = frame.joints.iter().filter_map(|joint| {
        Some(Joint {
            piece: place(joint.piece)?,
            into: place(joint.into)?,
            ..*joint
        })
    });
    let rests = frame.rests.iter().filter_map(|rest| {
        Some(Rest {
            member: place(rest.member)?,
            ..*rest
        })
    });
    let left = Frame {
        members: kept
            .iter()
            .map(|index| frame.members[*index].clone())
            .collect(),
        joints: joints.collect(),
        rests: rests.collect(),
    };
    (!gone.is_empty()).then_some((left, kept))
}
