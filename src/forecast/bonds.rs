//! Findings on the bonds.

use super::Verdict;
use super::evaluate::{BondOutcome, Outcome};
use super::findings::{BondAtLength, BondFinding, Remedy};
use super::prepare::{PartModel, Prepared};
use crate::joint::bond::{SHORTEST_GLUE_MM, SPLIT_HOLDS_PERCENT, SPLIT_REDO_PERCENT};
use crate::joint::{
    Advice, BondJudgement, BondLine, BondPlan, Design, JointPlan, Ply, ShearLag, Slot, defaults,
};
use crate::units::{Length, Strain, Stress};

/// Strains below this are one movement: grain runs with grain.
const SAME_MOVEMENT: f64 = 0.001;

/// The glued line of a bond.
#[must_use]
pub fn line(prepared: &Prepared, bond: &BondPlan) -> BondLine {
    let (moves, holds) = (&prepared.parts[bond.moves.0], &prepared.parts[bond.holds.0]);
    let ply = |part: &PartModel, axis, thickness| {
        let middle = part.section.thickness.mm() / 2.0;
        let angle = part.section.rings.angle_at(0.0, middle).degrees();
        Ply::of(&part.species, axis, angle, thickness)
    };
    let thickness = bond.moves_thickness.unwrap_or(moves.facts.thickness);
    BondLine {
        lag: ShearLag::new(
            ply(moves, bond.moves_axis, thickness),
            ply(holds, bond.holds_axis, holds.facts.thickness),
            0.0,
        ),
        width: bond.width,
        thickness,
        band: bond.band,
        shear_strength: Stress::computed_mpa(moves.species.shear_strength_mpa().value),
    }
}

/// What is judged of a bond, whoever asks: a job or a single command.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedBond {
    /// Share of the wanted difference held at the middle, glued whole, before relaxation.
    pub held_fraction: f64,
    /// The line glued whole, at the middle draw.
    pub whole: BondJudgement,
    /// The line as designed, at the middle draw.
    pub designed: BondJudgement,
    /// Chance that the wood splits as designed, over the draws, percent.
    pub split_percent: f64,
    /// The verdict of the design.
    pub verdict: Verdict,
    /// What to do.
    pub advice: Advice,
    /// Length of the middle to glue, when that is the advice.
    pub glue_middle: Option<Length>,
    /// The slot at the farthest screw, were it to float.
    pub slot: Slot,
    /// Why.
    pub reason: String,
    /// Bond length against chance.
    pub by_length: Vec<BondAtLength>,
    /// What would mend it.
    pub remedies: Vec<Remedy>,
}

/// Judges a bond from its line, its design, the middle draw and all draws.
#[must_use]
pub fn judge(
    line: &BondLine,
    design: Design,
    screw: Length,
    from_fixed: Length,
    middle: &BondOutcome,
    cloud: &[BondOutcome],
) -> JudgedBond {
    let (driest, wettest) = (middle.driest, middle.wettest);
    let glued = match design {
        Design::Asked | Design::Glued => line.width,
        Design::GluedOver(length) => length.min(line.width),
        Design::Floating => Length::ZERO,
    };
    let designed = line.judge(glued, driest, wettest);
    let floats = design == Design::Floating;
    let split = if floats {
        0.0
    } else {
        split_percent(line, glued, cloud)
    };
    let same = driest.ratio().abs().max(wettest.ratio().abs()) < SAME_MOVEMENT;
    let verdict =
        if floats || same || (split <= SPLIT_HOLDS_PERCENT && designed.end_shear_share <= 1.0) {
            Verdict::Holds
        } else if split > SPLIT_REDO_PERCENT {
            Verdict::Redo
        } else {
            Verdict::Marginal
        };
    let longest = longest_glue(line, driest, wettest, cloud);
    let advice = match longest {
        _ if same => Advice::Glue,
        Some(length) if length >= line.width => Advice::Glue,
        Some(_) => Advice::GlueMiddle,
        None => Advice::Float,
    };
    let glue_middle = (advice == Advice::GlueMiddle).then_some(longest).flatten();
    let margin = Length::computed_mm(2.0 * defaults::SCREW_CLEARANCE_MM);
    let slot = Slot::new(from_fixed, driest, wettest, screw, margin);
    let residue = driest.ratio().abs().max(wettest.ratio().abs()) * line.width.mm();
    let mut remedies = Vec::new();
    if verdict != Verdict::Holds {
        if let Some(length) = glue_middle {
            remedies.push(Remedy {
                what: format!(
                    "glue only the middle {:.0} mm and let the ends float",
                    length.mm()
                ),
                holds_chance_percent: 100.0 - split_percent(line, length, cloud),
                cut_mm: Some(length.mm()),
            });
        }
        remedies.push(Remedy {
            what: format!(
                "let it float: one round hole, the other screws in slots, {:.0} mm long at {:.0} mm from it",
                slot.length.mm().ceil(),
                from_fixed.mm()
            ),
            holds_chance_percent: 100.0,
            cut_mm: Some(slot.length.mm()),
        });
    }
    JudgedBond {
        held_fraction: line.lag.held_fraction(line.width),
        whole: line.judge(line.width, driest, wettest),
        reason: reason(same, floats, split, &designed, residue),
        designed,
        split_percent: split,
        verdict,
        advice,
        glue_middle,
        slot,
        by_length: table(line, driest, wettest, cloud),
        remedies,
    }
}

/// Mean chance of splitting over the draws, percent, for a glued length.
fn split_percent(line: &BondLine, glued: Length, outcomes: &[BondOutcome]) -> f64 {
    let sum: f64 = outcomes
        .iter()
        .map(|outcome| {
            line.judge(glued, outcome.driest, outcome.wettest)
                .split_chance_percent
        })
        .sum();
    sum / outcomes.len().max(1) as f64
}

/// The finding on one bond: `middle` is the middle draw, `cloud` all of them.
#[must_use]
pub fn finding(
    prepared: &Prepared,
    joint: &JointPlan,
    bond: &BondPlan,
    middle: &BondOutcome,
    cloud: &[BondOutcome],
    date: &dyn Fn(usize) -> String,
) -> BondFinding {
    let line = line(prepared, bond);
    let judged = judge(
        &line,
        bond.design,
        bond.screw,
        bond.from_fixed,
        middle,
        cloud,
    );
    let move_mm = |strain: Strain| strain.ratio().abs() * bond.width.mm();
    BondFinding {
        joint: bond.name.clone(),
        kind: joint.kind,
        width_mm: bond.width.mm(),
        strain_driest: middle.driest.ratio(),
        driest_on: date(middle.driest_at),
        strain_wettest: middle.wettest.ratio(),
        wettest_on: date(middle.wettest_at),
        shrinks_mm: move_mm(middle.driest),
        swells_mm: move_mm(middle.wettest),
        strain_held_fraction: judged.held_fraction,
        end_shear_mpa: judged.whole.end_shear.mpa(),
        end_shear_share: judged.designed.end_shear_share,
        split_chance_percent: judged.split_percent,
        advice: judged.advice.key(),
        glue_middle_mm: judged.glue_middle.map(Length::mm),
        slot_mm: judged.slot.length.mm(),
        screw_in_slot_mm: judged.slot.screw_from_dry_end.mm(),
        design: design_words(bond.design),
        verdict: judged.verdict,
        reason: judged.reason,
        by_length: judged.by_length,
        remedies: judged.remedies,
    }
}

fn design_words(design: Design) -> String {
    match design {
        Design::Asked => "glued whole (asked)".into(),
        Design::Glued => "glued whole".into(),
        Design::GluedOver(length) => format!("glued over {:.0} mm", length.mm()),
        Design::Floating => "floating".into(),
    }
}

fn reason(same: bool, floats: bool, split: f64, judged: &BondJudgement, residue_mm: f64) -> String {
    if same {
        return format!(
            "grain runs with grain: both parts move together to within {residue_mm:.2} mm"
        );
    }
    if floats {
        return "it floats: the slots take the movement".into();
    }
    let mut words = format!("in {split:.0} of 100 such joints the wood splits");
    if judged.end_shear_share > 1.0 {
        words.push_str(
            "; the ends of the glue line are sheared beyond what the wood holds and work loose",
        );
    }
    if judged.takes_set() {
        words.push_str("; the wet side crushes the wood for good, so that it comes back as a gap in the dry season");
    }
    words
}

/// The longest middle that holds over the draws.
fn longest_glue(
    line: &BondLine,
    driest: Strain,
    wettest: Strain,
    cloud: &[BondOutcome],
) -> Option<Length> {
    let longest = line.longest_glue(driest, wettest)?;
    let holds = |length: Length| split_percent(line, length, cloud) <= SPLIT_HOLDS_PERCENT;
    if holds(longest) {
        return Some(longest);
    }
    let shortest = Length::computed_mm(SHORTEST_GLUE_MM).min(line.width);
    if !holds(shortest) {
        return None;
    }
    let (mut low, mut high) = (shortest, longest);
    for _ in 0..12 {
        let middle = (low + high) / 2.0;
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(low)
}

fn table(
    line: &BondLine,
    driest: Strain,
    wettest: Strain,
    cloud: &[BondOutcome],
) -> Vec<BondAtLength> {
    const LENGTHS_MM: [f64; 8] = [25.0, 50.0, 75.0, 100.0, 150.0, 200.0, 300.0, 450.0];
    LENGTHS_MM
        .into_iter()
        .filter(|mm| *mm < line.width.mm())
        .chain([line.width.mm()])
        .map(|mm| {
            let glued = Length::computed_mm(mm);
            BondAtLength {
                glued_mm: mm,
                split_chance_percent: split_percent(line, glued, cloud),
                end_shear_share: line.judge(glued, driest, wettest).end_shear_share,
            }
        })
        .collect()
}

/// The outcomes of one bond over all draws.
#[must_use]
pub fn column(outcomes: &[Outcome], index: usize) -> Vec<BondOutcome> {
    outcomes
        .iter()
        .filter_map(|outcome| outcome.bonds.get(index).copied())
        .collect()
}
