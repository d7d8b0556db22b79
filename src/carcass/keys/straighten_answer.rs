//! The answers of `[[straighten]]`: panels alone, and panels tied by dividers as one system.

use super::straighten::StraightenPlan;
use super::wood::PartWood;
use crate::carcass::{
    BestPlaces, Closing, Divider, DividerForce, HeldCase, HeldPanel, Support, SupportedPanel,
    Variation, best_places, closing_forces, straighten, straighten_together, variations,
};
use crate::joint::{PartFacts, PartId};
use crate::numerics::Deadline;
use crate::units::{Length, Refusal, Stress};

/// The answer for one panel.
#[derive(Debug, Clone, PartialEq)]
pub struct StraightenFinding {
    /// The part.
    pub part: PartId,
    /// The panel, held.
    pub held: HeldPanel,
    /// The dividers that stand on it.
    pub dividers: Vec<DividerForce>,
    /// Clamp forces to close it; none for a panel tied to another.
    pub closing: Vec<Closing>,
    /// What moving, adding or leaving out a support does; none for a panel tied to another.
    pub variations: Vec<Variation>,
    /// The best places for its inner supports; none for a panel tied to another.
    pub best: Option<BestPlaces>,
    /// The cup, flattened at the support with the most panel to flatten.
    pub across: Option<HeldPanel>,
    /// Bending strength of the wood.
    pub strength: Stress,
}

/// The answers for all panels, in their order; panels tied by dividers are
/// solved as one system, and a fault in one system does not hide the others.
///
/// `wood` gives the wood of a part. The best places are searched until the deadline; after it there are none.
pub fn answer_straighten(
    plans: &[StraightenPlan],
    parts: &[PartFacts],
    wood: impl Fn(PartId) -> PartWood,
    deadline: Deadline<'_>,
) -> Vec<Result<StraightenFinding, Refusal>> {
    super::groups::each_system(&tied_panels(plans), |members| {
        answer_group(plans, members, parts, &wood, deadline)
    })
}

/// Panels tied to each other, and how they are held.
struct Held {
    panels: Vec<SupportedPanel>,
    dividers: Vec<Divider>,
    case: HeldCase,
}

fn hold_group(
    plans: &[StraightenPlan],
    members: &[usize],
    parts: &[PartFacts],
    wood: &dyn Fn(PartId) -> PartWood,
) -> Result<Held, Refusal> {
    let mut panels = Vec::new();
    let mut dividers = Vec::new();
    for member in members {
        let plan = &plans[*member];
        let own = wood(plan.part);
        panels.push(SupportedPanel {
            panel: plan.panel(&parts[plan.part.0], &own)?,
            start: Length::ZERO,
            supports: plan.supports(&own),
        });
    }
    for (lower, member) in members.iter().enumerate() {
        for divider in &plans[*member].dividers {
            let upper = members
                .iter()
                .position(|other| plans[*other].part == divider.to)
                .ok_or_else(|| crate::carcass::error::unknown_partner(divider.to.0, plans.len()))?;
            let held_by = |index: usize| {
                let wood = wood(plans[members[index]].part);
                divider.hold.map(|hold| hold.within(&wood))
            };
            dividers.push(Divider {
                name: divider.name.clone(),
                push_only: !divider.fastened,
                too_long: divider.too_long,
                upper_joint: held_by(upper),
                lower_joint: held_by(lower),
                ..Divider::between(lower, upper, divider.at)
            });
        }
    }
    let case = straighten_together(&panels, &dividers)?;
    Ok(Held {
        panels,
        dividers,
        case,
    })
}

/// The forces of the dividers that stand on one panel of a group.
fn standing_on(index: usize, dividers: &[Divider], forces: &[DividerForce]) -> Vec<DividerForce> {
    dividers
        .iter()
        .zip(forces)
        .filter(|(divider, _)| divider.lower == index)
        .map(|(_, force)| force.clone())
        .collect()
}

/// What holds one part, without the advice that goes with it.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldPart {
    /// The panel, held.
    pub held: HeldPanel,
    /// The dividers that stand on it.
    pub dividers: Vec<DividerForce>,
    /// The cup, flattened at the support with the most panel to flatten.
    pub across: Option<HeldPanel>,
}

/// All panels held, in their order, without advice: what many draws of their woods ask. `None` when one of them cannot be.
pub fn hold_parts(
    plans: &[StraightenPlan],
    parts: &[PartFacts],
    wood: &dyn Fn(PartId) -> PartWood,
) -> Option<Vec<HeldPart>> {
    let group = tied_panels(plans);
    let mut found: Vec<Option<HeldPart>> = vec![None; plans.len()];
    for leader in 0..plans.len() {
        let members: Vec<usize> = (0..plans.len()).filter(|i| group[*i] == leader).collect();
        if members.is_empty() {
            continue;
        }
        let Held {
            panels,
            dividers,
            case,
        } = hold_group(plans, &members, parts, wood).ok()?;
        for (index, (member, held)) in members.iter().zip(case.panels).enumerate() {
            let plan = &plans[*member];
            let across = match &plan.cup {
                Some((cup, places)) => {
                    Some(flatten(&panels[index], *cup, places, &wood(plan.part)).ok()?)
                }
                None => None,
            };
            found[*member] = Some(HeldPart {
                held,
                dividers: standing_on(index, &dividers, &case.dividers),
                across,
            });
        }
    }
    found.into_iter().collect()
}

/// For each panel the first of those it is tied to.
#[must_use]
pub fn tied_panels(plans: &[StraightenPlan]) -> Vec<usize> {
    let plan_of = |part: PartId| plans.iter().position(|plan| plan.part == part);
    let links = plans.iter().enumerate().flat_map(|(index, plan)| {
        plan.dividers
            .iter()
            .filter_map(move |divider| plan_of(divider.to).map(|to| (index, to)))
    });
    super::groups::groups(plans.len(), links)
}

fn answer_group(
    plans: &[StraightenPlan],
    members: &[usize],
    parts: &[PartFacts],
    wood: &impl Fn(PartId) -> PartWood,
    deadline: Deadline<'_>,
) -> Result<Vec<StraightenFinding>, Refusal> {
    let Held {
        panels,
        dividers,
        case,
    } = hold_group(plans, members, parts, wood)?;
    let alone = dividers.is_empty();
    let mut findings = Vec::new();
    for (index, (member, held)) in members.iter().zip(case.panels).enumerate() {
        let plan = &plans[*member];
        let own = wood(plan.part);
        let one = &panels[index];
        findings.push(StraightenFinding {
            part: plan.part,
            dividers: standing_on(index, &dividers, &case.dividers),
            closing: if alone {
                closing_forces(&one.panel, &one.supports)?
            } else {
                Vec::new()
            },
            variations: if alone {
                variations(&one.panel, &one.supports, one.panel.length() / 20.0)
            } else {
                Vec::new()
            },
            best: (alone && !deadline.is_over()).then(|| best(one)).flatten(),
            across: plan
                .cup
                .as_ref()
                .map(|(cup, places)| flatten(one, *cup, places, &own))
                .transpose()?,
            strength: own.bending_strength,
            held,
        });
    }
    Ok(findings)
}

/// The best places for as many inner supports as there are, compartments at
/// minimum half of equal ones.
fn best(one: &SupportedPanel) -> Option<BestPlaces> {
    let mut sorted = one.supports.clone();
    sorted.sort_by(|a, b| a.at.mm().total_cmp(&b.at.mm()));
    let inner = sorted.len().checked_sub(2).filter(|count| *count > 0)?;
    let ends = [sorted.first()?.clone(), sorted.last()?.clone()];
    let spacing = (ends[1].at - ends[0].at) / (2 * (inner + 1)) as f64;
    best_places(&one.panel, &ends, inner, spacing).ok()
}

/// The cup, flattened at the support that has the most panel to its share.
fn flatten(
    one: &SupportedPanel,
    cup: Length,
    places: &[Length],
    wood: &PartWood,
) -> Result<HeldPanel, Refusal> {
    let at: Vec<Length> = one.supports.iter().map(|support| support.at).collect();
    let strip = one.panel.max_share(&at);
    let strip = one.panel.strip_across(cup, wood.modulus_across, strip)?;
    let fastenings: Vec<Support> = places.iter().map(|at| Support::at(*at)).collect();
    straighten(&strip, &fastenings)
}
