//! What becomes of the boards of one pack.

use super::board::{Board, Wood};
use super::cautions::{Caution, pinch};
use super::drying::{Bend, Drying};
use super::leaf::{LeafForecast, leaf, ring_cup};
use super::locked_in::{Known, LockedIn, seen_curvature};
use super::milling::{MillingForecast, PartWanted, milling};
use super::plan::{ResawPlan, Slice};
use super::rest::{RestForecast, RestPlan, rest_of_leaf};
use super::serving::{Assignment, assign};
use super::strip::{Contradiction, READING_ERROR, TestStrip, WhenRead};
use super::{Marginal, error};
use crate::units::{Length, MoistureContent, Refusal, Share, Strain};

/// A leaf that was sawn and measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredLeaf {
    /// Its number, from 1 at the board's bark face.
    pub leaf: usize,
    /// Its bow over the board's length, positive when its sawn face is hollow.
    pub bow: Option<Length>,
    /// Its cup over the board's width likewise.
    pub cup: Option<Length>,
    /// When it was read.
    pub read: WhenRead,
    /// Standard deviation of a reading.
    pub error: Length,
}

/// All that is asked about one board.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardOrder {
    /// As measured.
    pub board: Board,
    /// Its wood.
    pub wood: Wood,
    /// How it is split.
    pub plan: ResawPlan,
    /// How it was dried.
    pub drying: Drying,
    /// Strain of its surface layer along the grain at the cut, where it is given.
    pub locked_in: Option<Strain>,
    /// The same across the grain.
    pub locked_in_across: Option<Strain>,
    /// How far locked-in strain spreads, over what is usual.
    pub locked_in_spread: f64,
    /// Its test strips.
    pub strips: Vec<TestStrip>,
    /// Leaves already sawn and measured, of this plan.
    pub measured: Vec<MeasuredLeaf>,
    /// How its leaves rest.
    pub rest: Option<RestPlan>,
    /// Parts wanted from its leaves.
    pub parts: Vec<PartWanted>,
    /// Clean-up cut of each face.
    pub clean_up: Length,
    /// Wood lost to a cross-cut.
    pub cross_cut: Length,
}

/// A strain as low (5 %), middle and high (95 %), millionths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrainBand {
    /// Below it in one case of twenty.
    pub low_microstrain: f64,
    /// Middle.
    pub middle_microstrain: f64,
    /// Above it in one case of twenty.
    pub high_microstrain: f64,
}

/// What is believed to be locked in one board, one way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LockedInFinding {
    /// Surface layer at the cut.
    pub at_the_cut: StrainBand,
    /// Surface layer once the moisture has evened out.
    pub rested: StrainBand,
    /// Lop-sided strain.
    pub lopsided: StrainBand,
    /// Surface layer at the cut, as believed before any strip or leaf was measured.
    pub before: StrainBand,
    /// By how much measuring made the band at the cut narrower, percent of its width before.
    pub narrowed: Share,
    /// Strips of this board that contradict each other.
    pub contradiction: Option<Contradiction>,
}

/// What becomes of one board.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardForecast {
    /// Its leaves, from the bark face.
    pub leaves: Vec<LeafForecast>,
    /// The same as foreseen before any strip or leaf was measured.
    pub leaves_before: Vec<LeafForecast>,
    /// Locked in along the grain.
    pub along: LockedInFinding,
    /// Locked in across it.
    pub across: LockedInFinding,
    /// Each leaf's rest, where one was asked for.
    pub rests: Vec<RestForecast>,
    /// For each leaf, each part wanted.
    pub milling: Vec<Vec<MillingForecast>>,
    /// Which leaf serves which part best: one entry for each single part, in the order of the list and its counts.
    pub serving: Assignment,
    /// Cautions, the pressing ones first.
    pub cautions: Vec<Caution>,
}

impl StrainBand {
    fn of(marginal: &Marginal) -> Self {
        let band = marginal.band().map(|strain| strain * 1e6);
        Self {
            low_microstrain: band.low,
            middle_microstrain: band.middle,
            high_microstrain: band.high,
        }
    }

    fn width(&self) -> f64 {
        self.high_microstrain - self.low_microstrain
    }
}

impl BoardOrder {
    /// A board of which nothing is given but its plan.
    #[must_use]
    pub fn plain(board: Board, wood: Wood, plan: ResawPlan) -> Self {
        Self {
            board,
            wood,
            plan,
            drying: Drying::Unknown,
            locked_in: None,
            locked_in_across: None,
            locked_in_spread: 1.0,
            strips: Vec::new(),
            measured: Vec::new(),
            rest: None,
            parts: Vec::new(),
            clean_up: Length::from_mm_unchecked(0.5),
            cross_cut: Length::from_mm_unchecked(3.0),
        }
    }

    /// Moisture its leaves settle at, where they rest somewhere.
    #[must_use]
    pub fn settles_at(&self) -> Option<MoistureContent> {
        self.rest
            .map(|rest| rest.air_for(&self.board).equilibrium())
    }

    /// Whether the cup of its rested leaves is known: the rings' part is none where the moisture stays.
    #[must_use]
    pub const fn knows_rested_cup(&self) -> bool {
        self.rest.is_none() || self.board.knows_ring_cup()
    }

    /// What is believed of this board alone, along and across the grain, after its strips and leaves.
    ///
    /// # Errors
    /// [`Refusal`] when its plan, a strip or a measured leaf makes no sense.
    pub fn beliefs(&self) -> Result<(LockedIn, LockedIn), Refusal> {
        let orders = std::slice::from_ref(self);
        let slices = [self.plan.slices(self.board.thickness)?];
        Ok((
            learn(orders, &slices, Bend::Along)?.after,
            learn(orders, &slices, Bend::Across)?.after,
        ))
    }

    fn known(&self, bend: Bend) -> Known {
        Known {
            drying: self.drying,
            given: match bend {
                Bend::Along => self.locked_in,
                Bend::Across => self.locked_in_across,
            },
            evening: self.board.evening_out(&self.wood, bend),
        }
    }
}

/// The belief of a pack one way: before, and after its strips and leaves.
struct Learned {
    before: LockedIn,
    after: LockedIn,
    contradictions: Vec<Option<Contradiction>>,
}

fn learn(orders: &[BoardOrder], slices: &[Vec<Slice>], bend: Bend) -> Result<Learned, Refusal> {
    let known: Vec<Known> = orders.iter().map(|order| order.known(bend)).collect();
    // Boards of one pack are drawn by one spread: the first board's.
    let times = orders.first().map_or(1.0, |order| order.locked_in_spread);
    let before = LockedIn::before_spread(bend, &known, times);
    let mut after = before.clone();
    let mut contradictions = Vec::with_capacity(orders.len());
    for (index, order) in orders.iter().enumerate() {
        let inherited = order.board.curvature(bend);
        let strips: Vec<TestStrip> = order
            .strips
            .iter()
            .filter(|strip| strip.bend == bend)
            .cloned()
            .collect();
        contradictions.push(after.learn_strips(index, &strips, inherited)?);
        let chord = match bend {
            Bend::Along => order.board.length,
            Bend::Across => order.board.width,
        };
        for measured in &order.measured {
            let slice = measured
                .leaf
                .checked_sub(1)
                .and_then(|i| slices[index].get(i))
                .ok_or_else(|| error::no_such_leaf(measured.leaf, slices[index].len()))?;
            let (rise, rings) = match bend {
                Bend::Along => (measured.bow, 0.0),
                Bend::Across => (measured.cup, rings_of(order, slice, measured.read)),
            };
            let Some(rise) = rise else { continue };
            if rise.mm().abs() > chord.mm() / 4.0 {
                return Err(error::gap_too_wide(rise, chord));
            }
            let factor = slice.sawn_sign() * chord.mm() * chord.mm() / 8.0;
            let own = rise.mm() - factor * inherited.per_mm() - rings;
            let error = measured.error.mm();
            after.learn(
                index,
                &seen_curvature(slice, measured.read, factor, own, error),
            );
        }
    }
    Ok(Learned {
        before,
        after,
        contradictions,
    })
}

/// Ring cup in a rested reading, mm.
fn rings_of(order: &BoardOrder, slice: &Slice, read: WhenRead) -> f64 {
    let (WhenRead::Rested, Some(to)) = (read, order.settles_at()) else {
        return 0.0;
    };
    let board = &order.board;
    let now = slice.mean_moisture(board.moisture.mean(), board.core_minus_shell());
    ring_cup(board.leaf_section(slice), &order.wood, slice, now, to).mm()
}

impl Learned {
    fn finding(&self, index: usize) -> LockedInFinding {
        let (before, now) = (
            StrainBand::of(&self.before.at_the_cut(index)),
            StrainBand::of(&self.after.at_the_cut(index)),
        );
        LockedInFinding {
            at_the_cut: now,
            rested: StrainBand::of(&self.after.rested(index)),
            lopsided: StrainBand::of(&self.after.lopsided(index)),
            before,
            narrowed: Share::computed_percent(
                100.0 * (1.0 - now.width() / before.width().max(1e-12)),
            ),
            contradiction: self.contradictions[index],
        }
    }
}

/// What becomes of the boards of one pack: boards that were dried together speak for each other, so what a
/// strip or a leaf of one shows narrows the forecast of all.
///
/// # Errors
/// [`Refusal`] when a plan, a strip or a measured leaf makes no sense.
pub fn forecast_pack(orders: &[BoardOrder]) -> Result<Vec<BoardForecast>, Refusal> {
    let slices: Vec<Vec<Slice>> = orders
        .iter()
        .map(|order| order.plan.slices(order.board.thickness))
        .collect::<Result<_, _>>()?;
    let along = learn(orders, &slices, Bend::Along)?;
    let across = learn(orders, &slices, Bend::Across)?;
    orders
        .iter()
        .enumerate()
        .map(|(index, order)| {
            let leaves_by = |along: &LockedIn, across: &LockedIn| -> Vec<LeafForecast> {
                slices[index]
                    .iter()
                    .enumerate()
                    .map(|(i, slice)| {
                        leaf(
                            i + 1,
                            slice,
                            index,
                            &order.board,
                            &order.wood,
                            (along, across),
                            order.settles_at(),
                        )
                    })
                    .collect()
            };
            let leaves = leaves_by(&along.after, &across.after);
            let leaves_before = leaves_by(&along.before, &across.before);
            let rests = match &order.rest {
                None => Vec::new(),
                Some(plan) => slices[index]
                    .iter()
                    .map(|slice| {
                        rest_of_leaf(
                            (&along.after, &across.after),
                            index,
                            slice,
                            &order.board,
                            &order.wood,
                            plan,
                        )
                    })
                    .collect::<Result<_, _>>()?,
            };
            let milling: Vec<Vec<MillingForecast>> = leaves
                .iter()
                .map(|leaf| milling(leaf, &order.parts, order.clean_up))
                .collect();
            let lengths: Vec<Length> = leaves.iter().map(|leaf| leaf.bow.chord).collect();
            let serving = serve(&order.parts, &lengths, &milling, order.cross_cut);
            let mut cautions: Vec<Caution> = pinch(
                &along.after,
                index,
                &slices[index],
                order.board.length,
                order.plan.kerf,
            )
            .into_iter()
            .collect();
            if slices[index].len() > 1 {
                cautions.push(Caution::Dust);
            }
            Ok(BoardForecast {
                leaves,
                leaves_before,
                along: along.finding(index),
                across: across.finding(index),
                rests,
                milling,
                serving,
                cautions,
            })
        })
        .collect()
}

/// Serves every single part from the leaves, by the chance that its thickness is not there.
fn serve(
    parts: &[PartWanted],
    lengths: &[Length],
    milling: &[Vec<MillingForecast>],
    cross_cut: Length,
) -> Assignment {
    let (mut costs, mut need) = (Vec::new(), Vec::new());
    for (i, part) in parts.iter().enumerate() {
        for _ in 0..part.count {
            costs.push(
                milling
                    .iter()
                    .map(|of_leaf| {
                        let found = &of_leaf[i];
                        let chance = found.chance_cut_first.max(found.chance_flatten_first);
                        (found.fits_outline && chance >= 0.05).then_some(1.0 - chance)
                    })
                    .collect(),
            );
            need.push(part.length);
        }
    }
    assign(&costs, &need, lengths, cross_cut)
}

impl MeasuredLeaf {
    /// A leaf whose bow alone was read, straight off the saw.
    #[must_use]
    pub const fn of_bow(leaf: usize, bow: Length) -> Self {
        Self {
            leaf,
            bow: Some(bow),
            cup: None,
            read: WhenRead::OffTheSaw,
            error: READING_ERROR,
        }
    }
}
