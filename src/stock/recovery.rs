//! Before the cut: will this rough thickness yield the leaves wanted, flat, and
//! what does cross-cutting or ripping first save?

use super::belief::Marginal;
use super::board::{Board, Wood};
use super::forecast::BoardOrder;
use super::locked_in::LockedIn;
use super::milling::Warped;
use super::plan::{ResawPlan, Slice};
use super::{Band, error};
use crate::chance::Verdict;
use crate::units::{Chance, Length, MoistureContent, Refusal};

/// What is wanted of a board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// How many leaves.
    pub leaves: usize,
    /// Thickness of each, flat on both faces.
    pub thickness: Length,
    /// Length of the pieces wanted from them.
    pub length: Length,
    /// Width of the pieces wanted from them.
    pub width: Length,
    /// Wood lost to each resaw cut.
    pub kerf: Length,
    /// Clean-up cut of each face.
    pub clean_up: Length,
}

/// How far the board is cut up before which step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirstCut {
    /// Board and leaves are flattened at full length and width.
    Whole,
    /// The board is flattened and resawn whole, the leaves cut to length and width before they are flattened.
    CutLeaves,
    /// The board is cross-cut first, then flattened, resawn, and the leaves ripped before flattening.
    CrossCutBoard,
    /// The board is ripped first, the leaves cross-cut before flattening.
    RipBoard,
    /// The board is cut to length and width before anything else.
    CutBoard,
}

/// What one order of work yields.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recovery {
    /// The order of work.
    pub first_cut: FirstCut,
    /// Taken to flatten the board before it is resawn, clean-up cuts included.
    pub board_loss: Length,
    /// Thickness of each leaf off the saw; zero or less where nothing is left.
    pub rough_leaf: Length,
    /// Thickness left of the worst leaf, flat on both faces.
    pub left: Band,
    /// Chance that the worst leaf still has the thickness wanted.
    pub chance: f64,
    /// The chance in a word.
    pub verdict: Verdict,
}

impl FirstCut {
    /// Every order of work.
    pub const ALL: [Self; 5] = [
        Self::Whole,
        Self::CutLeaves,
        Self::CrossCutBoard,
        Self::RipBoard,
        Self::CutBoard,
    ];

    /// What a maker calls it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Whole => "flatten everything at full length and width",
            Self::CutLeaves => "resaw whole, cut the leaves to size before flattening",
            Self::CrossCutBoard => "cross-cut the board first",
            Self::RipBoard => "rip the board first",
            Self::CutBoard => "cross-cut and rip the board first",
        }
    }
}

/// What each order of work yields of the leaves wanted.
///
/// The board is flattened on both faces before it is resawn, which takes its own bow, cup and twist over
/// the size it then has; after that the leaves inherit none of them. What is locked in it is kept where it was: the
/// formula counts heights in the board as it is now.
///
/// # Errors
/// [`Refusal`] when a leaf cannot be sawn at all.
pub fn recovery(
    board: &Board,
    wood: &Wood,
    (along, across): (&LockedIn, &LockedIn),
    index: usize,
    wanted: &Wanted,
    settles_at: MoistureContent,
) -> Result<Vec<Recovery>, Refusal> {
    let (long, wide) = (board.length, board.width);
    let (short, narrow) = (wanted.length.min(long), wanted.width.min(wide));
    FirstCut::ALL
        .into_iter()
        .map(|first_cut| {
            let (board_size, leaf_size) = match first_cut {
                FirstCut::Whole => ((long, wide), (long, wide)),
                FirstCut::CutLeaves => ((long, wide), (short, narrow)),
                FirstCut::CrossCutBoard => ((short, wide), (short, narrow)),
                FirstCut::RipBoard => ((long, narrow), (short, narrow)),
                FirstCut::CutBoard => ((short, narrow), (short, narrow)),
            };
            let (l, b) = (board_size.0 / long, board_size.1 / wide);
            let warp = board.bow.mm().abs() * l * l
                + board.cup.mm().abs() * b * b
                + board.twist.mm().abs() / 2.0 * l * b;
            let board_loss = Length::from_mm_unchecked(warp) + wanted.clean_up * 2.0;
            let plan = ResawPlan {
                plane_bark: board_loss / 2.0,
                plane_other: board_loss / 2.0,
                ..ResawPlan::equal(wanted.leaves, wanted.kerf)
            };
            let slices = match plan.slices(board.thickness) {
                Ok(slices) => slices,
                Err(_) if wanted.leaves > 0 => {
                    let room = plan.room(board.thickness);
                    let rough =
                        (room - wanted.kerf * (wanted.leaves as f64 - 1.0)) / wanted.leaves as f64;
                    return Ok(nothing_left(first_cut, board_loss, rough));
                }
                Err(error) => return Err(error),
            };
            let worst = slices
                .iter()
                .map(|slice| {
                    let warped = warped(
                        slice,
                        board,
                        wood,
                        (along, across),
                        index,
                        leaf_size,
                        wanted,
                        settles_at,
                    );
                    (warped.chance_of(wanted.thickness.mm()), warped)
                })
                .min_by(|a, b| a.0.total_cmp(&b.0));
            let Some((chance, warped)) = worst else {
                return Err(error::no_leaves());
            };
            Ok(Recovery {
                first_cut,
                board_loss,
                rough_leaf: slices[0].thickness(),
                left: warped.left(),
                chance,
                verdict: Verdict::of_chance(Chance::of_fraction(chance)),
            })
        })
        .collect()
}

/// The same for an order, with what is believed of its board after its strips and leaves.
///
/// # Errors
/// As [`recovery`], and [`Refusal`] when a strip makes no sense.
pub fn recovery_of(order: &BoardOrder, wanted: &Wanted) -> Result<Vec<Recovery>, Refusal> {
    let (along, across) = order.beliefs()?;
    let settles_at = order
        .settles_at()
        .unwrap_or_else(|| order.board.moisture.mean());
    recovery(
        &order.board,
        &order.wood,
        (&along, &across),
        0,
        wanted,
        settles_at,
    )
}

fn nothing_left(first_cut: FirstCut, board_loss: Length, rough_leaf: Length) -> Recovery {
    Recovery {
        first_cut,
        board_loss,
        rough_leaf,
        left: Band::exactly(Length::ZERO),
        chance: 0.0,
        verdict: Verdict::Fails,
    }
}

#[expect(
    clippy::too_many_arguments,
    reason = "what a leaf's rise hangs on, each given once"
)]
fn warped(
    slice: &Slice,
    board: &Board,
    wood: &Wood,
    (along, across): (&LockedIn, &LockedIn),
    index: usize,
    (length, width): (Length, Length),
    wanted: &Wanted,
    settles_at: MoistureContent,
) -> Warped {
    let rise = |locked_in: &LockedIn, chord: Length, rings: f64| -> Marginal {
        locked_in
            .curvature(index, slice, 1.0, 0.0)
            .scaled(slice.sawn_sign() * chord.mm() * chord.mm() / 8.0, rings)
    };
    let now = slice.mean_moisture(board.moisture.mean(), board.core_minus_shell());
    let rings = super::leaf::ring_cup(board.leaf_section(slice), wood, slice, now, settles_at);
    Warped::piece(
        (&rise(along, board.length, 0.0), board.length),
        (&rise(across, board.width, rings.mm()), board.width),
        Length::ZERO,
        slice.thickness(),
        (length, width),
        wanted.clean_up,
    )
}

impl Recovery {
    /// Thickness that this order of work saves over another.
    #[must_use]
    pub fn saves_over(&self, other: &Self) -> Length {
        self.left.middle - other.left.middle
    }
}
