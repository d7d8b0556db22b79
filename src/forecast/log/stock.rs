//! Readings of boards before the saw, of their leaves, and of the leaves of a panel: the boards and panels as they then are.

use super::changes::{LeafChange, PanelChange};
use crate::chance::{Band, DOUBTED_DEVIATIONS, NINE_IN_TEN};
use crate::forecast::boards::BoardStudy;
use crate::forecast::panels::PanelStudy;
use crate::job::{Job, LogEntry, LogReading, LogSubject};
use crate::moisture::meter;
use crate::moisture::weight::at_moisture;
use crate::panel::{Leaf, LeavesFrom, PanelPlan};
use crate::stock::{BoardPlan, Leaves, MeasuredLeaf, Slice, WhenRead, oven_dry_of};
use crate::units::notation::{shown, the};
use crate::units::{Length, MoistureContent, UnitSystem};

/// How far a size, a bend or a moisture may have gone since it was given in the job: one standard deviation (judgement). They
/// find a wrong unit or a wrong board; within them the newest reading is believed.
mod usual {
    /// Of a width, planing and shrinking, as a share.
    pub(super) const WIDTH_SHARE: f64 = 0.02;
    /// Of a thickness, as a share.
    pub(super) const THICKNESS_SHARE: f64 = 0.05;
    /// Of a leaf off the saw, mm.
    pub(super) const LEAF_MM: f64 = 0.5;
    /// Of a bow, as a share of the length.
    pub(super) const BOW_SHARE: f64 = 0.002;
    /// Of a cup, as a share of the width.
    pub(super) const CUP_SHARE: f64 = 0.01;
    /// Of a moisture, percent.
    pub(super) const MOISTURE_PERCENT: f64 = 3.0;
    /// Of a weight that follows from the size and the wood's gravity, as a share (Wood Handbook ch. 4; from memory).
    pub(super) const WEIGHT_SHARE: f64 = 0.10;
    /// Moisture of a panel that does not say it, percent.
    pub(super) const PANEL_PERCENT: f64 = 9.0;
}

/// A kerf is no thinner than this, mm.
const THINNEST_KERF_MM: f64 = 0.05;
/// A bow that changed less, and is known no better than this, is not spoken of, mm.
const BOW_MM: f64 = 0.1;

/// The boards and panels of a job after its log.
#[derive(Debug, Clone)]
pub(in crate::forecast) struct StockPlans {
    pub(in crate::forecast) boards: Vec<BoardPlan>,
    pub(in crate::forecast) panels: Vec<PanelPlan>,
}

/// A reading beside what was and is expected of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::forecast) struct Compared {
    /// Before anything was logged.
    pub(super) expected: Band,
    /// After the log.
    pub(super) now: Band,
    /// How many deviations it is from what the others say, where it is doubted.
    pub(super) doubted: Option<f64>,
}

impl Compared {
    /// Nothing else is known of what was read.
    pub(super) fn alone(number: f64) -> Self {
        Self {
            expected: Band::exactly(number),
            now: Band::exactly(number),
            doubted: None,
        }
    }
}

/// The band of a normal belief.
fn band(middle: f64, deviation: f64) -> Band {
    let reach = NINE_IN_TEN * deviation;
    Band::new([middle - reach, middle + reach], middle)
}

impl StockPlans {
    /// Those of a job before its log.
    pub(in crate::forecast) fn of(job: &Job) -> Self {
        Self {
            boards: job.boards.clone(),
            panels: job.panels.clone(),
        }
    }

    /// The plans after readings in the order of days, and how each compares; `unlogged` are the boards as forecast without them,
    /// `scatter` is the meter's, percent.
    pub(super) fn after(
        job: &Job,
        entries: &[&LogEntry],
        unlogged: &[BoardStudy],
        scatter: f64,
    ) -> (Self, Vec<Compared>) {
        let mut plans = Self::of(job);
        let compared = entries
            .iter()
            .map(|entry| plans.take(entry, unlogged, scatter))
            .collect();
        (plans, compared)
    }

    /// Takes one reading in, unless it is doubted.
    fn take(&mut self, entry: &LogEntry, unlogged: &[BoardStudy], scatter: f64) -> Compared {
        let deviation = entry.deviation.unwrap_or(scatter);
        let number = entry.reading.number();
        let Some((middle, spread)) = self.expected(entry, unlogged) else {
            return Compared::alone(number);
        };
        let expected = band(middle, spread);
        let doubt = |deviations| Compared {
            expected,
            now: expected,
            doubted: Some(deviations),
        };
        let away = (number - middle).abs() / libm::hypot(spread, deviation);
        if away > DOUBTED_DEVIATIONS {
            return doubt(away);
        }
        let before = self.clone();
        if !self.believe(entry, deviation) {
            // No saw plan leaves such a leaf.
            *self = before;
            return doubt(f64::INFINITY);
        }
        // Two normal beliefs of one number.
        let share = spread.powi(2) / (spread.powi(2) + deviation.powi(2)).max(1e-12);
        let now = band(middle + share * (number - middle), share.sqrt() * deviation);
        Compared {
            expected,
            now,
            doubted: None,
        }
    }

    /// Middle and standard deviation of what is expected, in the unit of the reading's number.
    fn expected(&self, entry: &LogEntry, unlogged: &[BoardStudy]) -> Option<(f64, f64)> {
        let moisture = |percent: f64| (percent, usual::MOISTURE_PERCENT);
        let share = |length: Length, share: f64| (length.mm(), share * length.mm());
        let bent = |rise: Length, chord: Length, share: f64| (rise.mm(), share * chord.mm());
        match entry.subject {
            LogSubject::PanelLeaf { panel, leaf } => {
                let plan = self.panels.get(panel)?;
                let leaf = plan.leaves()?.get(leaf)?;
                Some(match entry.reading {
                    LogReading::Width(_) => share(leaf.width, usual::WIDTH_SHARE),
                    LogReading::Thickness(_) => share(leaf.thickness, usual::THICKNESS_SHARE),
                    LogReading::Bow(_) => bent(leaf.bow, leaf.length, usual::BOW_SHARE),
                    LogReading::Cup(_) => bent(leaf.cup, leaf.width, usual::CUP_SHARE),
                    _ => moisture(
                        plan.moisture
                            .map_or(usual::PANEL_PERCENT, MoistureContent::percent),
                    ),
                })
            }
            LogSubject::Board { stock, .. } => {
                let plan = self.boards.get(stock?)?;
                let board = &plan.board;
                Some(match entry.reading {
                    LogReading::Width(_) => share(board.width, usual::WIDTH_SHARE),
                    LogReading::Thickness(_) => share(board.thickness, usual::THICKNESS_SHARE),
                    LogReading::Bow(_) => bent(board.bow, board.length, usual::BOW_SHARE),
                    LogReading::Cup(_) => bent(board.cup, board.width, usual::CUP_SHARE),
                    LogReading::Weight(_) => {
                        weight(plan, &Slice::whole(board.thickness), unlogged)?
                    }
                    _ => moisture(board.moisture.mean().percent()),
                })
            }
            LogSubject::BoardLeaf { board, leaf, read } => {
                let plan = self.boards.get(board)?;
                let slice = *slices(plan)?.get(leaf.checked_sub(1)?)?;
                let study = study_of(plan, unlogged)?;
                let forecast = study.forecast.leaves.get(leaf - 1)?;
                Some(match entry.reading {
                    LogReading::Width(_) => share(plan.board.width, usual::WIDTH_SHARE),
                    LogReading::Thickness(_) => (slice.thickness().mm(), usual::LEAF_MM),
                    LogReading::Weight(_) => weight(plan, &slice, unlogged)?,
                    LogReading::Bow(_) | LogReading::Cup(_) => {
                        let warp = match entry.reading {
                            LogReading::Bow(_) => &forecast.bow,
                            _ => &forecast.cup,
                        };
                        let band = match read {
                            WhenRead::OffTheSaw => &warp.off_saw,
                            WhenRead::Rested => &warp.rested,
                        };
                        let width = (band.high - band.low).mm();
                        (band.middle.mm(), width / 2.0 / NINE_IN_TEN)
                    }
                    _ => moisture(plan.board.moisture.mean().percent()),
                })
            }
            LogSubject::Part(_) | LogSubject::Fit { .. } | LogSubject::Place(_) => None,
        }
    }

    /// Makes the plans what was read; `false` where no board gives that.
    fn believe(&mut self, entry: &LogEntry, deviation: f64) -> bool {
        match entry.subject {
            LogSubject::PanelLeaf { panel, leaf } => {
                if let Some(plan) = self.panels.get_mut(panel) {
                    believe_of_panel(plan, leaf, entry.reading);
                }
                true
            }
            LogSubject::Board {
                stock: Some(board), ..
            } => self.boards.get_mut(board).is_none_or(|plan| {
                believe_of_board(plan, entry.reading);
                slices(plan).is_some()
            }),
            LogSubject::BoardLeaf { board, leaf, read } => {
                self.boards.get_mut(board).is_none_or(|plan| {
                    let measured = |bow, cup| MeasuredLeaf {
                        leaf,
                        bow,
                        cup,
                        read,
                        error: Length::from_mm_unchecked(deviation),
                    };
                    match entry.reading {
                        LogReading::Bow(bow) => plan.measured.push(measured(Some(bow), None)),
                        LogReading::Cup(cup) => plan.measured.push(measured(None, Some(cup))),
                        LogReading::Thickness(thickness) => {
                            return leaf_is_thick(plan, leaf, thickness);
                        }
                        LogReading::Weight(weight) => plan.leaf_weight = Some(weight),
                        reading => believe_of_board(plan, reading),
                    }
                    slices(plan).is_some()
                })
            }
            _ => true,
        }
    }
}

fn slices(plan: &BoardPlan) -> Option<Vec<Slice>> {
    plan.plan.slices(plan.board.thickness).ok()
}

fn study_of<'a>(plan: &BoardPlan, studies: &'a [BoardStudy]) -> Option<&'a BoardStudy> {
    studies.iter().find(|study| study.name == plan.name)
}

/// Weight by the size and the wood.
fn weight(plan: &BoardPlan, slice: &Slice, unlogged: &[BoardStudy]) -> Option<(f64, f64)> {
    let now = plan.board.moisture.mean();
    let wood = &study_of(plan, unlogged)?.order.wood;
    let grams = at_moisture(oven_dry_of(slice, &plan.board, wood, now), now).grams();
    Some((grams, usual::WEIGHT_SHARE * grams))
}

fn believe_of_board(plan: &mut BoardPlan, reading: LogReading) {
    match reading {
        LogReading::Width(width) => plan.board.width = width,
        LogReading::Thickness(thickness) => plan.board.thickness = thickness,
        LogReading::Bow(bow) => plan.board.bow = bow,
        LogReading::Cup(cup) => plan.board.cup = cup,
        LogReading::Moisture(mean) => plan.board.moisture = with_mean(plan.board.moisture, mean),
        LogReading::Weight(weight) => {
            let first = slices(plan).and_then(|slices| slices.first().copied());
            plan.leaf_weight =
                first.map(|slice| weight * (slice.thickness() / plan.board.thickness));
        }
        LogReading::Gap(_) | LogReading::Air { .. } => {}
    }
}

/// The reading of a board with another mean and the same difference of core and shell.
fn with_mean(before: meter::Reading, mean: MoistureContent) -> meter::Reading {
    match before.core_minus_shell() {
        None => meter::Reading::Single(mean),
        Some(difference) => meter::Reading::MeanAndCore {
            mean,
            core: mean + difference / 3.0,
        },
    }
}

/// A leaf that was sawn is so thick: the leaves of one thickness all are, and the saw took what is missing.
fn leaf_is_thick(plan: &mut BoardPlan, leaf: usize, thickness: Length) -> bool {
    let room = plan.plan.room(plan.board.thickness);
    match &mut plan.plan.leaves {
        Leaves::Equal(count) if *count > 1 => {
            let count = *count as f64;
            let kerf = (room.mm() - count * thickness.mm()) / (count - 1.0);
            plan.plan.kerf = Length::from_mm_unchecked(kerf);
            kerf >= THINNEST_KERF_MM
        }
        Leaves::Equal(_) => {
            plan.plan.plane_other = plan.plan.plane_other + room - thickness;
            plan.plan.plane_other.mm() >= 0.0
        }
        Leaves::Thicknesses(list) => {
            if let Some(given) = list.get_mut(leaf - 1) {
                *given = thickness;
            }
            slices(plan).is_some()
        }
    }
}

fn believe_of_panel(plan: &mut PanelPlan, leaf: usize, reading: LogReading) {
    if let LogReading::Moisture(moisture) = reading {
        plan.moisture = Some(moisture);
    }
    let LeavesFrom::Spanned(leaves) = &mut plan.leaves else {
        return;
    };
    let Some(leaf) = leaves.get_mut(leaf) else {
        return;
    };
    let Leaf {
        width,
        thickness,
        bow,
        cup,
        ..
    } = leaf;
    match reading {
        LogReading::Width(read) => *width = read,
        LogReading::Thickness(read) => *thickness = read,
        LogReading::Bow(read) => *bow = read,
        LogReading::Cup(read) => *cup = read,
        _ => {}
    }
}

/// What a reading changed of the leaves of boards to resaw, those that changed most first.
pub(super) fn leaf_changes(
    before: &[BoardStudy],
    now: &[BoardStudy],
    units: UnitSystem,
) -> Vec<LeafChange> {
    let mut list = Vec::new();
    for (was, is) in before.iter().zip(now) {
        for (old, new) in was.forecast.leaves.iter().zip(&is.forecast.leaves) {
            let (a, b) = (&old.bow.rested, &new.bow.rested);
            let widths = [a.width(), b.width()];
            let moved = (a.middle - b.middle).mm().abs();
            if moved < BOW_MM && (widths[0] - widths[1]).mm().abs() < 2.0 * BOW_MM {
                continue;
            }
            let leaf = format!("leaf {} of {}", new.number, is.name);
            let length = |length: Length| shown(length.abs(), units);
            let words = format!(
                "{} will bow {} once rested, within {}, hollow on the {}; before this it was {} within {}",
                the(&leaf),
                length(b.middle),
                length(widths[1] / 2.0),
                new.bow.hollow_on.words(),
                length(a.middle),
                length(widths[0] / 2.0),
            );
            list.push(LeafChange {
                leaf,
                bow_before: *a,
                bow: *b,
                words,
            });
        }
    }
    let size = |one: &LeafChange| (one.bow.middle - one.bow_before.middle).abs();
    list.sort_by(|a, b| size(b).total_cmp(&size(a)));
    list
}

/// What a reading changed of the best layouts of panels.
pub(super) fn panel_changes(
    before: &[PanelStudy],
    now: &[PanelStudy],
    units: UnitSystem,
) -> Vec<PanelChange> {
    let mut list = Vec::new();
    for (was, is) in before.iter().zip(now) {
        let (Some(old), Some(new)) = (was.best.layouts.first(), is.best.layouts.first()) else {
            continue;
        };
        let (before, now) = (old.largest_bow, new.largest_bow);
        let other = old.layout != new.layout;
        if !other && (now - before).mm().abs() < BOW_MM {
            continue;
        }
        let length = |length: Length| shown(length.abs(), units);
        let again = if other {
            "; it is another layout now, so match the leaves again"
        } else {
            ""
        };
        list.push(PanelChange {
            panel: is.name.clone(),
            bow_before: before,
            bow: now,
            other_layout: other,
            words: format!(
                "{}: the best layout bows {} at most instead of {}{again}",
                is.name,
                length(now),
                length(before)
            ),
        });
    }
    list
}
