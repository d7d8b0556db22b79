//! One divider more, or one in another place: each is built into the frame, and the frame is solved again.

use super::{CaseFrame, CaseJoint, Frame, FreeShape, Joint, Member};
use crate::units::Length;
use rayon::prelude::*;

/// Places tried along a board, ends left out.
const PLACES: u32 = 23;
/// A new divider keeps so many thicknesses from an upright that is there (judgement: a hand must still get in).
const APART_THICKNESSES: f64 = 4.0;
/// Less gained than this share of the largest residual bow is not worth a word (judgement).
const WORTH_SHARE: f64 = 0.1;

/// What a divider more, or elsewhere, gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DividerChange {
    /// The upright that is moved, by its place among the members; none where one is added.
    pub moved: Option<usize>,
    /// The two boards it holds apart.
    pub between: [usize; 2],
    /// Where its middle is then, from left to right.
    pub at: Length,
    /// The largest residual bow then.
    pub residual: Length,
}

pub(super) fn is_upright(member: &Member) -> bool {
    (member.start_mm[0] - member.end_mm[0]).abs() < 0.5
}

/// A frame that is tried: the upright moved, the boards that it holds apart, its place, mm, and the frame.
type Tried = (Option<usize>, [usize; 2], f64, Frame);

impl CaseFrame {
    /// The best place for one divider more, held as those that are there, against the board that keeps most of its bow; `None` where
    /// it gives less than a tenth, or nothing lies over or under that board.
    #[must_use]
    pub fn one_more_divider(&self) -> Option<DividerChange> {
        let (worst, now) = self.worst()?;
        let board = &self.frame.members[worst];
        let (left, right) = (board.start_mm[0], board.end_mm[0]);
        let tried = places(left, right).filter_map(|x| {
            let other = self.neighbor(worst, x)?;
            let frame = self.with_divider([worst, other], x)?;
            Some((None, [worst, other], x, frame))
        });
        best(tried, now)
    }

    /// The best move of one divider along the boards that it holds apart; `None` where no move gives a tenth.
    #[must_use]
    pub fn best_move_of_a_divider(&self) -> Option<DividerChange> {
        let (_, now) = self.worst()?;
        let tried = (0..self.frame.members.len())
            .filter_map(|index| Some((index, self.held_apart(index)?)))
            .flat_map(|(index, [lower, upper])| {
                let (a, b) = (&self.frame.members[lower], &self.frame.members[upper]);
                let (left, right) = (
                    a.start_mm[0].max(b.start_mm[0]),
                    a.end_mm[0].min(b.end_mm[0]),
                );
                places(left, right).filter_map(move |x| {
                    let frame = self.with_moved(index, [lower, upper], x)?;
                    Some((Some(index), [lower, upper], x, frame))
                })
            });
        best(tried, now)
    }

    /// The horizontal that keeps most of its bow, and how much.
    fn worst(&self) -> Option<(usize, Length)> {
        let state = self.frame.responses().ok()?.as_given().ok()?;
        let (index, left) = state
            .boards
            .iter()
            .enumerate()
            .map(|(index, board)| (index, board.residual.abs()))
            .filter(|(index, _)| !is_upright(&self.frame.members[*index]))
            .max_by(|a, b| a.1.total_cmp(&b.1))?;
        (left > Length::ZERO).then_some((index, state.largest_residual()))
    }

    /// The nearest horizontal over a board at a place, or else under it.
    fn neighbor(&self, board: usize, x: f64) -> Option<usize> {
        let level = self.frame.members[board].start_mm[1];
        let beside = |up: bool| {
            self.frame
                .members
                .iter()
                .enumerate()
                .filter(|(index, member)| {
                    *index != board
                        && !is_upright(member)
                        && member.start_mm[0] < x
                        && x < member.end_mm[0]
                        && (member.start_mm[1] > level) == up
                })
                .map(|(index, member)| (index, (member.start_mm[1] - level).abs()))
                .min_by(|a, b| a.1.total_cmp(&b.1))
                .map(|(index, _)| index)
        };
        beside(true).or_else(|| beside(false))
    }

    /// The lower and the upper board that an upright stands between with its ends; none for a side that others enter.
    fn held_apart(&self, index: usize) -> Option<[usize; 2]> {
        let into = |at_end: bool| {
            self.frame
                .joints
                .iter()
                .find(|joint| joint.piece == index && joint.at_end == at_end)
                .map(|joint| joint.into)
                .filter(|into| !is_upright(&self.frame.members[*into]))
        };
        is_upright(&self.frame.members[index]).then_some(())?;
        Some([into(false)?, into(true)?])
    }

    /// Whether an upright at a place between two boards comes too near to another there; `own` is left out.
    fn too_near(&self, between: [usize; 2], x: f64, own: Option<usize>) -> bool {
        self.frame.members.iter().enumerate().any(|(index, other)| {
            Some(index) != own
                && is_upright(other)
                && between.iter().any(|board| {
                    self.frame.joints.iter().any(|joint| {
                        (joint.piece == index && joint.into == *board)
                            || (joint.piece == *board && joint.into == index)
                    })
                })
                && (other.start_mm[0] - x).abs() < APART_THICKNESSES * other.thickness_mm
        })
    }

    /// The frame with one divider more: as thick, as stiff and as well held as another, or as the sides where there is none.
    fn with_divider(&self, between: [usize; 2], x: f64) -> Option<Frame> {
        if self.too_near(between, x, None) {
            return None;
        }
        let mut frame = self.frame.clone();
        let model = (0..frame.members.len())
            .find(|index| self.held_apart(*index).is_some())
            .or_else(|| frame.members.iter().position(is_upright))?;
        let held = self
            .joints
            .iter()
            .zip(&frame.joints)
            .find(|(_, joint)| joint.piece == model || joint.into == model)
            .map(|(case, _)| *case)?;
        let (one, other) = (&frame.members[between[0]], &frame.members[between[1]]);
        let (lower, upper) = if one.start_mm[1] < other.start_mm[1] {
            (between[0], between[1])
        } else {
            (between[1], between[0])
        };
        let levels = [
            frame.members[lower].start_mm[1],
            frame.members[upper].start_mm[1],
        ];
        let model = frame.members[model].clone();
        let added = frame.members.len();
        let width_mm = model.width_mm.min(one.width_mm).min(other.width_mm);
        frame.members.push(Member {
            start_mm: [x, levels[0]],
            end_mm: [x, levels[1]],
            shape: FreeShape::bow(0.0, levels[1] - levels[0]),
            season_per_mm: 0.0,
            load_n_per_mm: 0.0,
            weight_n_per_mm: model.weight_n_per_mm * width_mm / model.width_mm,
            width_mm,
            ..model
        });
        for (at_end, into) in [(false, lower), (true, upper)] {
            let at = frame.members[into].place_of([x, levels[usize::from(at_end)]]);
            frame
                .joints
                .push(turning(&held, Joint::rigid(added, at_end, into, at)));
        }
        Some(frame)
    }

    /// The frame with a divider moved, and with it the ends of the boards that enter it.
    fn with_moved(&self, index: usize, between: [usize; 2], x: f64) -> Option<Frame> {
        let own = &self.frame.members[index];
        if !own.shape.is_straight()
            || (own.start_mm[0] - x).abs() < own.thickness_mm
            || self.too_near(between, x, Some(index))
        {
            return None;
        }
        let mut frame = self.frame.clone();
        frame.members[index].start_mm[0] = x;
        frame.members[index].end_mm[0] = x;
        for at in 0..frame.joints.len() {
            let joint = frame.joints[at];
            if joint.piece == index {
                let moved = &frame.members[index];
                let end = if joint.at_end {
                    moved.end_mm
                } else {
                    moved.start_mm
                };
                frame.joints[at].into_at_mm = frame.members[joint.into].place_of(end);
            } else if joint.into == index {
                // A bowed shelf cut to another length is another board.
                let shelf = &mut frame.members[joint.piece];
                if !shelf.shape.is_straight() {
                    return None;
                }
                if joint.at_end {
                    shelf.end_mm[0] = x;
                } else {
                    shelf.start_mm[0] = x;
                }
                if shelf.end_mm[0] - shelf.start_mm[0] < APART_THICKNESSES * shelf.thickness_mm {
                    return None;
                }
                shelf.shape = FreeShape::bow(0.0, shelf.length_mm());
            }
        }
        // What enters a shelf that got another start is no longer where it was.
        for joint in &mut frame.joints {
            let end = &frame.members[joint.piece];
            let end = if joint.at_end {
                end.end_mm
            } else {
                end.start_mm
            };
            joint.into_at_mm = frame.members[joint.into].place_of(end);
        }
        Some(frame)
    }
}

/// A joint held as another of the case, along a board and not at its corner.
fn turning(held: &CaseJoint, joint: Joint) -> Joint {
    if held.hold == super::Hold::Dry {
        return joint.dry();
    }
    let along = super::TurningStiffness {
        corner: false,
        ..held.turning
    };
    joint.with_turning(along.n_mm_per_radian(held.quality.usual))
}

fn places(left: f64, right: f64) -> impl Iterator<Item = f64> {
    (1..=PLACES).map(move |i| left + (right - left) * f64::from(i) / f64::from(PLACES + 1))
}

/// The change that leaves least; the first of several equal.
fn best(tried: impl Iterator<Item = Tried>, now: Length) -> Option<DividerChange> {
    let solved = |(moved, between, x, frame): Tried| {
        let state = frame.responses().ok()?.as_given().ok()?;
        Some(DividerChange {
            moved,
            between,
            at: Length::from_mm_unchecked(x),
            residual: state.largest_residual(),
        })
    };
    let tried: Vec<Tried> = tried.collect();
    let found: Vec<DividerChange> = tried.into_par_iter().filter_map(solved).collect();
    found
        .into_iter()
        .min_by(|a, b| a.residual.total_cmp(&b.residual))
        .filter(|change| change.residual < (1.0 - WORTH_SHARE) * now)
}
