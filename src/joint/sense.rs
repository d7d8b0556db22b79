//! What makes no sense between joints: a part housed in itself, two parts each housed in the other, joints that leave
//! nothing of a part between its two ends.

use super::part::{Axis, PartFacts, PartId};
use super::plan::{Housing, JointPlan, Setting};
use crate::units::Length;
use crate::units::notation::millimetres;
use crate::units::spanned::Problems;

/// Joints at the two ends of a part that take more than this share of its length are cautioned (judgement: a housed or tenoned
/// end takes a few percent of most parts).
const MOST_IN_JOINTS: f64 = 0.5;
/// Joints whose piece enters by its end.
const BY_THE_END: [&str; 4] = [
    "dado",
    "mortise_and_tenon",
    "floating_tenons",
    "sliding_dovetail",
];

/// Notes every joint that cannot be meant, and adds a caution to those that hardly can.
pub(super) fn check(plans: &mut [JointPlan], parts: &[PartFacts], problems: &mut Problems) {
    let mut housed: Vec<(PartId, PartId, usize)> = Vec::new();
    for (index, plan) in plans.iter().enumerate() {
        if let Some(part) = in_itself(plan) {
            let name = &parts[part.0].name;
            problems.push(
                plan.span.clone(),
                format!("{}: `{name}` is joined to itself", plan.name),
                "name the other part; of parts that are alike give each its own [[parts]]",
            );
            continue;
        }
        for (piece, into) in pairs(plan) {
            let other = housed
                .iter()
                .find(|(a, b, _)| *a == into && *b == piece)
                .map(|(.., other)| *other);
            if let Some(other) = other {
                problems.push(
                    plan.span.clone(),
                    format!(
                        "{}: `{}` is housed in `{}`, which {} houses in it",
                        plan.name, parts[piece.0].name, parts[into.0].name, plans[other].name
                    ),
                    "take one of the two joints out, or turn `piece` and `into` round in it",
                );
                break;
            }
            housed.push((piece, into, index));
        }
    }
    for (part, facts) in parts.iter().enumerate() {
        let mut ends: Vec<(Length, usize)> = plans
            .iter()
            .enumerate()
            .filter(|(_, plan)| BY_THE_END.contains(&plan.kind))
            .flat_map(|(index, plan)| {
                plan.housings
                    .iter()
                    .filter(move |housing| housing.takes == Some(PartId(part)))
                    .filter_map(move |housing| Some((depth(housing)?, index)))
            })
            .collect();
        ends.sort_by(|a, b| b.0.mm().total_cmp(&a.0.mm()));
        let Some(&(deepest, index)) = ends.first() else {
            continue;
        };
        // A part housed at one place is housed alike at its other end where nothing else is said.
        let taken = deepest + ends.get(1).map_or(deepest, |(second, _)| *second);
        let left = facts.size(Axis::Length) - taken;
        if left.mm() <= 0.0 {
            problems.push(
                plans[index].span.clone(),
                format!(
                    "the joints take {} of `{}`, which is {} long: nothing of it is left between them",
                    millimetres(taken),
                    facts.name,
                    millimetres(facts.length)
                ),
                "cut them shallower, or check the length of the part",
            );
        } else if taken > facts.length * MOST_IN_JOINTS {
            let note = format!(
                "the joints at its ends take {} of the {} of `{}` and leave {} between them; check the depth of the cuts and the length of the part",
                millimetres(taken),
                millimetres(facts.length),
                facts.name,
                millimetres(left)
            );
            plans[index].notes.push(note);
        }
    }
}

fn depth(housing: &Housing) -> Option<Length> {
    match housing.depth {
        Setting::Known(depth) => Some(depth),
        Setting::OfFits { .. } | Setting::Before { .. } => None,
    }
}

/// What is housed in what.
fn pairs(plan: &JointPlan) -> Vec<(PartId, PartId)> {
    plan.housings
        .iter()
        .filter_map(|housing| Some((housing.takes?, housing.part)))
        .collect()
}

/// The part that a joint sets into itself, or glues across its own grain.
fn in_itself(plan: &JointPlan) -> Option<PartId> {
    let housed = pairs(plan)
        .into_iter()
        .find(|(piece, into)| piece == into)
        .map(|(piece, _)| piece);
    let crossed = plan
        .bonds
        .iter()
        .find(|bond| bond.moves.part == bond.holds.part && bond.moves.axis != bond.holds.axis)
        .map(|bond| bond.moves.part);
    housed.or(crossed)
}
