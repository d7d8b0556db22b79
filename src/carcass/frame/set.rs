//! What the glue sets: a frame whose parts mate as cut has one final state, whatever the order of clamping; only what differs at the moment
//! the glue hardens stays.

use super::Frame;

/// The frame with what the glue sets while the boards still lie bowed in loose housings: each joint keeps the angle at which its two
/// boards meet free.
#[must_use]
pub fn set_while_bowed(frame: &Frame) -> Frame {
    let mut set = frame.clone();
    for joint in &mut set.joints {
        let (piece, into) = (&frame.members[joint.piece], &frame.members[joint.into]);
        let end = if joint.at_end { piece.length_mm() } else { 0.0 };
        joint.gap[2] += piece.shape.at(end).1 - into.shape.at(joint.into_at_mm).1;
    }
    set
}

/// The frame with every upright between two horizontals cut to the opening between them as they lie free.
#[must_use]
pub fn cut_to_the_bowed_opening(frame: &Frame) -> Frame {
    let mut cut = frame.clone();
    for (index, member) in frame.members.iter().enumerate() {
        let free = |at_end: bool| {
            let joint = frame
                .joints
                .iter()
                .position(|joint| joint.piece == index && joint.at_end == at_end)?;
            let one = &frame.joints[joint];
            let length = frame.members[one.into].length_mm();
            // At a corner the opening is the same, bowed or not.
            let inner = one.into_at_mm > 1.0 && one.into_at_mm < length - 1.0;
            let height = frame.members[one.into].shape.at(one.into_at_mm).0;
            Some((joint, if inner { height } else { 0.0 }))
        };
        let upright = (member.start_mm[0] - member.end_mm[0]).abs() < 0.5;
        if let (true, Some((_, low)), Some((upper, high))) = (upright, free(false), free(true)) {
            cut.joints[upper].gap[1] -= high - low;
        }
    }
    cut
}
