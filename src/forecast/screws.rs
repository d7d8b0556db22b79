//! The holes of screws on site, where a joint cuts them: one slot has one length, on the bench sheet as on site.

use super::findings::FitFinding;
use super::prepare::Prepared;
use super::setup::FitsOfJoint;
use crate::carcass::keys::FastenedPart;
use crate::carcass::{Hole, PlanMark, ScrewPlaces};
use crate::joint::{JointPlan, SCREWED_KINDS, Scheme, Setting};
use crate::units::Length;

/// The holes of every joint that screws a board down.
pub(super) fn of_joints(
    prepared: &Prepared,
    fits: &[FitFinding],
    by_joint: &[FitsOfJoint],
) -> Vec<FastenedPart> {
    prepared
        .joints
        .iter()
        .zip(by_joint)
        .filter(|(joint, _)| SCREWED_KINDS.contains(&joint.kind))
        .filter_map(|(joint, range)| of_joint(joint, &fits[range.clone()]))
        .collect()
}

fn of_joint(joint: &JointPlan, fits: &[FitFinding]) -> Option<FastenedPart> {
    let Scheme::Travel {
        places,
        fixed,
        width,
    } = &joint.drawing.scheme
    else {
        return None;
    };
    // A single slot has no cut for its fixed screw; a cleat has one for every screw, in their order.
    let without_cut = places.len() - joint.housings.len().min(places.len());
    let slot_moves = joint.kind == "screw_slot";
    let cuts: Vec<f64> = fits.iter().map(|fit| fit.size.mm()).collect();
    let marks = places
        .iter()
        .enumerate()
        .map(|(index, place)| {
            let cut = index
                .checked_sub(without_cut)
                .and_then(|cut| joint.housings.get(cut));
            let hole = match cut.map(|cut| cut.width) {
                Some(Setting::OfFits { first, plus, .. }) => {
                    let (away, toward) = (fits.get(first)?, fits.get(first + 1)?);
                    let screw_at = |gap: Length| gap + plus / 2.0;
                    // In the carrier's slot the screw is nearest to the fixed line when dry; in the board's own when wet.
                    let (driest, wettest) = if slot_moves {
                        (toward.gap_max.middle, toward.gap_min.middle)
                    } else {
                        (toward.gap_min.middle, toward.gap_max.middle)
                    };
                    Hole::Slot {
                        length: Setting::of_travel(first, plus).length(&cuts),
                        width: plus,
                        travel: away.gap_max.middle - away.gap_min.middle,
                        screw: ScrewPlaces {
                            driest: screw_at(driest),
                            today: screw_at(toward.gap_today),
                            wettest: screw_at(wettest),
                        },
                        fixed_toward_front: *place >= *fixed,
                    }
                }
                _ => Hole::Round,
            };
            Some(PlanMark {
                across: *place,
                along: Length::ZERO,
                hole,
            })
        })
        .collect::<Option<_>>()?;
    Some(FastenedPart {
        part: joint.drawing.piece,
        width: *width,
        marks,
    })
}
