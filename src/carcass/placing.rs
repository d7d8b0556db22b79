//! Where the dividers stand: what moving, adding or leaving one out does, and
//! the clamps that close the panel onto them.

use super::{BowedPanel, HeldPanel, Support, error, straighten};
use crate::units::{Force, Length, Refusal};
use serde::Serialize;

/// What was changed about the supports.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// The support at this place was left out.
    LeftOut(Length),
    /// A support was moved.
    Moved {
        /// From here.
        from: Length,
        /// To here.
        to: Length,
    },
    /// A support was added.
    Added(Length),
}

/// A changed set of supports and how the panel does on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Variation {
    /// The change.
    pub change: Change,
    /// The panel on the changed supports; the error when they no longer hold it.
    pub held: Result<HeldPanel, Refusal>,
}

/// Most changes that are tried: all of a dozen supports, and the first of more (judgement).
pub(super) const MOST_VARIATIONS: usize = 60;

/// Every support left out in turn, every inner one moved `step` either way,
/// and one added midway in every gap; of more than 60 the first.
#[must_use]
pub fn variations(panel: &BowedPanel, supports: &[Support], step: Length) -> Vec<Variation> {
    let mut places: Vec<Length> = supports.iter().map(|support| support.at).collect();
    places.sort_by(|a, b| a.mm().total_cmp(&b.mm()));
    let inner = |at: Length| places.first() != Some(&at) && places.last() != Some(&at);
    // Lazily: a changed set of supports is made only when it is tried.
    let left_out_or_moved = supports.iter().enumerate().flat_map(|(index, support)| {
        let from = support.at;
        let steps = if inner(from) { &[-1.0, 1.0][..] } else { &[] };
        let moved = steps.iter().map(move |way| {
            let to = from + step * *way;
            let mut moved = supports.to_vec();
            moved[index].at = to;
            (Change::Moved { from, to }, moved)
        });
        let fewer = std::iter::once_with(move || {
            let mut fewer = supports.to_vec();
            fewer.remove(index);
            (Change::LeftOut(from), fewer)
        });
        fewer.chain(moved)
    });
    let added = places.windows(2).map(|pair| {
        let middle = (pair[0] + pair[1]) / 2.0;
        let mut more = supports.to_vec();
        more.push(Support::at(middle));
        (Change::Added(middle), more)
    });
    left_out_or_moved
        .chain(added)
        .take(MOST_VARIATIONS)
        .map(|(change, changed)| Variation {
            change,
            held: straighten(panel, &changed),
        })
        .collect()
}

/// The clamp at one support that closes the panel onto it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Closing {
    /// Place of the support.
    pub at: Length,
    /// Clamp force with every support closed; negative pulls toward the crown.
    pub together: Force,
    /// Clamp force when this one alone is closed and only the two outermost hold.
    pub alone: Force,
}

/// Clamp force at each inner support to close the panel during assembly.
///
/// # Errors
/// [`Refusal`] as in [`straighten`].
pub fn closing_forces(panel: &BowedPanel, supports: &[Support]) -> Result<Vec<Closing>, Refusal> {
    let held = straighten(panel, supports)?;
    let outermost = |pick: fn(f64, f64) -> bool| {
        supports.iter().reduce(|best, support| {
            if pick(support.at.mm(), best.at.mm()) {
                support
            } else {
                best
            }
        })
    };
    let (Some(first), Some(last)) = (outermost(|a, b| a < b), outermost(|a, b| a > b)) else {
        return Err(error::not_held());
    };
    let mut list = Vec::new();
    for (support, force) in supports.iter().zip(&held.supports) {
        if support.at == first.at || support.at == last.at {
            continue;
        }
        let place = |one: &Support| Support {
            out_of_line: one.out_of_line,
            turn_held: one.turn_held,
            ..Support::at(one.at)
        };
        let one = straighten(panel, &[place(first), place(support), place(last)])?;
        list.push(Closing {
            at: support.at,
            together: force.against_crown,
            alone: one.supports[1].against_crown,
        });
    }
    Ok(list)
}
