//! Findings on the bonds.

use super::curve::Curve;
use super::evaluate::BondOutcome;
use super::findings::{BondAtLength, BondFinding, Remedy, RemedyKind};
use super::prepare::Prepared;
use crate::chance::{Verdict, in_hundred};
use crate::joint::bond::{SHORTEST_GLUE_MM, SPLIT_FAILS, SPLIT_HOLDS, SURELY_GLUED, cup_verdict};
use crate::joint::{
    Across, Advice, Axis, BondJudgement, BondLine, BondPlan, BondSide, Design, FreePair, JointPlan,
    Loosened, Ply, ShearLag, Slot, SplitChance, defaults,
};
use crate::movement::Layer;
use crate::units::notation::shown;
use crate::units::{Chance, Curvature, Length, RelativeHumidity, Strain, Stress, UnitSystem};
use jiff::civil::Date;

/// The two criteria are both given where their chances are farther apart than this.
const CRITERIA_APART: f64 = 0.1;
/// Below this strain both parts move as one.
const SAME_MOVEMENT: f64 = 0.001;

/// One side of a bond as a ply.
fn ply(prepared: &Prepared, bond: &BondPlan, side: &BondSide) -> Ply {
    let part = &prepared.parts[side.part.0];
    // Glued on both faces, each half of the part is a ply of its own against half of what holds it.
    let extent = if bond.both_faces {
        side.extent / 2.0
    } else {
        side.extent
    };
    Ply::of(&part.species, side.axis, side.square, &part.section, extent)
}

/// The glued line of a bond, for the moisture of the moving and of the holding part on the driest day.
#[must_use]
pub(super) fn line(
    prepared: &Prepared,
    bond: &BondPlan,
    driest_percent: [f64; 2],
    own_cup: [Curvature; 2],
) -> BondLine {
    let shear = |side: &BondSide| {
        prepared.parts[side.part.0]
            .species
            .shear_strength_mpa()
            .value
    };
    let across = |side: &BondSide| side.axis != Axis::Length;
    let mut shear_strength = shear(&bond.moves);
    if across(&bond.holds) {
        shear_strength = shear_strength.min(shear(&bond.holds));
    }
    let plies = [&bond.moves, &bond.holds].map(|side| ply(prepared, bond, side));
    let split = |side: &BondSide, at: usize| {
        let part = &prepared.parts[side.part.0];
        Across::of(
            &part.species,
            side.axis,
            &plies[at],
            &part.section,
            driest_percent[at],
        )
    };
    BondLine {
        lag: ShearLag::new(plies[0], plies[1], 0.0),
        width: bond.width,
        moving: split(&bond.moves, 0),
        holding: split(&bond.holds, 1),
        stiffer: [1.0; 2],
        spread: prepared.split_spread,
        free: free_pair(bond, plies, own_cup),
        band: bond.band,
        reach: if bond.moves.square == Axis::Thickness {
            prepared.parts[bond.moves.part.0].facts.length
        } else {
            bond.band
        },
        shear_strength: Stress::computed_mpa(shear_strength),
    }
}

/// The two boards of a bond where they are face to face and nothing else holds them flat.
fn free_pair(bond: &BondPlan, plies: [Ply; 2], own: [Curvature; 2]) -> Option<FreePair> {
    let on_face = |side: &BondSide| side.square == Axis::Thickness;
    let free = !bond.both_faces && !bond.held_flat && on_face(&bond.moves) && on_face(&bond.holds);
    free.then(|| FreePair {
        layers: plies.map(|ply| Layer {
            thickness: ply.thickness,
            modulus: ply.modulus,
        }),
        own,
    })
}

/// The curvature that a board's rings give it between the moisture at which it is glued and the one that bends it most; zero where its rings give none.
#[must_use]
pub fn own_cup(curve: &Curve, width: Length, glued_percent: f64, later: [f64; 2]) -> Curvature {
    let glued = curve.cup_mm(glued_percent);
    let most = later
        .map(|percent| (curve.cup_mm(percent) - glued).abs())
        .into_iter()
        .filter(|cup| cup.is_finite())
        .fold(0.0, f64::max);
    Curvature::of_rise(Length::from_mm_unchecked(most), width)
}

/// Whether the grain of both parts runs the same way past the glue.
#[must_use]
pub(super) fn grain_with_grain(bond: &BondPlan) -> bool {
    (bond.moves.axis == Axis::Length) == (bond.holds.axis == Axis::Length)
}

/// A bond as it is asked: by a job or by a single command.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AskedBond {
    /// The glued line.
    pub line: BondLine,
    /// What is meant to be done.
    pub design: Design,
    /// Whether the grain of both parts runs the same way.
    pub same_grain: bool,
    /// How it is loosened.
    pub loosened: Loosened,
    /// Diameter of the screws.
    pub screw: Length,
    /// From the fixed point to the farthest screw.
    pub from_fixed: Length,
    /// Whether the rings of the moving board are given, so that its own cup is known beside that of the pair.
    pub rings_known: bool,
    /// Which way lengths are shown first in what is said of it.
    pub units: UnitSystem,
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
    /// Chance that the wood splits as designed, over the draws, by either criterion.
    pub split: SplitChance,
    /// Whether it holds glued whole (99 in 100).
    pub surely_glued: bool,
    /// The verdict of the design.
    pub verdict: Verdict,
    /// What to do.
    pub advice: Advice,
    /// Length of the middle to glue, when that is the advice.
    pub glue_middle: Option<Length>,
    /// The slot at the farthest screw, if the joint floats.
    pub slot: Slot,
    /// How far both parts differ over the whole joint, the worse side.
    pub residue: Length,
    /// How far the pair cups over its glued length where nothing holds it flat, relaxed, the worse side.
    pub cup_free: Length,
    /// The set the wet side leaves in the design, which opens as a gap in the dry season.
    pub wet_set: Length,
    /// Why.
    pub reason: String,
    /// Bond length against chance.
    pub by_length: Vec<BondAtLength>,
    /// How to fix it.
    pub remedies: Vec<Remedy>,
}

impl AskedBond {
    /// How much of the line is glued.
    #[must_use]
    pub fn glued(&self) -> Length {
        match self.design {
            Design::Asked | Design::Glued => self.line.width,
            Design::GluedOver(length) => length.min(self.line.width),
            Design::Floating => Length::ZERO,
        }
    }

    /// Mean chance over the draws that its wood splits as it is designed; none where it floats.
    #[must_use]
    pub fn split(&self, outcomes: &[BondOutcome]) -> SplitChance {
        if self.design == Design::Floating {
            SplitChance::NONE
        } else {
            split_chance(&self.line, self.glued(), outcomes)
        }
    }

    fn shown(&self, length: Length) -> String {
        shown(length, self.units)
    }

    /// How to glue only so much of it, as its joint allows: a middle between slots, an end of a channel, a part of a tenon.
    fn partly_glued(&self, length: Length) -> String {
        let length = self.shown(length);
        match self.loosened {
            Loosened::Slots => {
                format!("glue only the middle {length} and let the ends float on slots")
            }
            Loosened::Dry => format!("glue only {length} of it and leave the rest dry"),
            Loosened::NarrowerTenon => format!(
                "glue only {length} of the tenon's width and give the rest of it room in its mortise"
            ),
        }
    }

    /// How to let it float, as its joint allows.
    fn floating(&self, slot: &Slot) -> String {
        let margin = Length::from_mm_unchecked(2.0 * defaults::SCREW_CLEARANCE_MM);
        let room = self.shown(slot.travel + margin);
        match self.loosened {
            Loosened::Slots => format!(
                "let it float: one round hole, the other screws in slots, {} long at {} from it",
                self.shown(slot.length),
                self.shown(self.from_fixed)
            ),
            Loosened::Dry => format!(
                "leave it dry: hold it at one place and give it {room} of room in all at the other end"
            ),
            Loosened::NarrowerTenon => format!(
                "leave the tenon dry, with {room} of clearance at its edges in all, and peg it through a slotted hole"
            ),
        }
    }

    /// What to do about what was judged of it, in one sentence.
    #[must_use]
    pub fn to_do(&self, judged: &JudgedBond) -> String {
        let words = match (judged.advice, judged.glue_middle) {
            (Advice::Glue, _) if self.design == Design::Floating && judged.surely_glued => format!(
                "it floats; it could be glued over its whole {} as well",
                self.shown(self.line.width)
            ),
            (Advice::Glue | Advice::GlueMiddle, _) if self.design == Design::Floating => {
                "it floats: leave it so".to_owned()
            }
            (Advice::Glue, _) => {
                format!(
                    "it may be glued over its whole {}",
                    self.shown(self.line.width)
                )
            }
            (Advice::GlueMiddle, Some(length)) => self.partly_glued(length),
            _ if self.loosened == Loosened::Slots => format!(
                "{}; today the screw sits {} from the slot's end toward the round hole",
                self.floating(&judged.slot),
                self.shown(judged.slot.screw_from_dry_end)
            ),
            _ => self.floating(&judged.slot),
        };
        let mut letters = words.chars();
        let first: String = letters
            .next()
            .into_iter()
            .flat_map(char::to_uppercase)
            .collect();
        format!("{first}{}.", letters.as_str())
    }
}

/// Judges a bond from its line, its design, the middle draw, all draws and how its wood splits in these.
#[must_use]
pub(super) fn judge(
    asked: &AskedBond,
    middle: &BondOutcome,
    samples: &[BondOutcome],
    split: SplitChance,
) -> JudgedBond {
    let line = &asked.line;
    let (driest, wettest) = (middle.driest, middle.wettest);
    let glued = asked.glued();
    let designed = line.judge(glued, driest, wettest);
    let floats = asked.design == Design::Floating;
    let most = driest.abs().max(wettest.abs());
    // The residue of grain on grain is judged like any other strain; below the limit there is nothing to judge.
    let still = most.ratio() < SAME_MOVEMENT;
    let by_chance = Verdict::of_demand(split.chance(), SPLIT_HOLDS, SPLIT_FAILS);
    let verdict = if floats {
        Verdict::Holds
    } else {
        let sheared = !still && designed.end_shear_share > 1.0;
        by_chance
            .and(if sheared {
                Verdict::Marginal
            } else {
                Verdict::Holds
            })
            .and(cup_verdict(designed.cup, glued))
    };
    let few = &samples[..samples.len().min(TABLE_DRAWS)];
    let whole = line.judge(line.width, driest, wettest);
    let advice_length = longest_glue(line, driest, wettest, few);
    let shortest = Length::from_mm_unchecked(SHORTEST_GLUE_MM).min(line.width);
    let torn_off = !still && line.judge(shortest, driest, wettest).end_shear_share > 1.0;
    let advice = match advice_length {
        Some(_) if torn_off => Advice::Float,
        Some(length) if length >= line.width => Advice::Glue,
        Some(_) => Advice::GlueMiddle,
        None => Advice::Float,
    };
    let longest = advice_length.filter(|_| advice == Advice::GlueMiddle);
    let surely_glued = advice == Advice::Glue && (still || whole.end_shear_share <= 1.0) && {
        let whole = if glued < line.width {
            split_chance(line, line.width, samples)
        } else {
            split
        };
        whole.chance() <= SURELY_GLUED
    };
    let glue_middle = longest;
    let margin = Length::from_mm_unchecked(2.0 * defaults::SCREW_CLEARANCE_MM);
    let slot = Slot::new(asked.from_fixed, driest, wettest, asked.screw, margin);
    let residue = line.width * most.ratio();
    let wet_set = if floats {
        Length::ZERO
    } else {
        designed.set_over(glued)
    };
    let cup_free = if floats { Length::ZERO } else { designed.cup };
    let remedies = if verdict == Verdict::Holds {
        Vec::new()
    } else {
        loosenings(asked, glue_middle, &slot, samples)
    };
    JudgedBond {
        held_fraction: line.lag.held_fraction(line.width),
        whole,
        reason: reason(asked, split, &designed, [residue, wet_set, cup_free]),
        designed,
        split,
        surely_glued,
        verdict,
        advice,
        glue_middle,
        slot,
        residue,
        cup_free,
        wet_set,
        by_length: table(line, driest, wettest, few),
        remedies,
    }
}

/// The ways to loosen a bond, in the words of its joint.
fn loosenings(
    asked: &AskedBond,
    glue_middle: Option<Length>,
    slot: &Slot,
    samples: &[BondOutcome],
) -> Vec<Remedy> {
    let mut remedies = Vec::new();
    if let Some(length) = glue_middle {
        remedies.push(Remedy {
            kind: RemedyKind::Glue,
            what: asked.partly_glued(length),
            holds_chance: split_chance(&asked.line, length, samples)
                .chance()
                .otherwise(),
            cut_mm: Some(length),
            change: None,
            gaps: None,
        });
    }
    remedies.push(Remedy {
        kind: RemedyKind::Glue,
        what: asked.floating(slot),
        holds_chance: Chance::CERTAIN,
        cut_mm: Some(slot.length),
        change: None,
        gaps: None,
    });
    remedies
}

/// Draws behind a chance of splitting. It is a mean of chances that vary smoothly, the strength being averaged in each: so many
/// evenly filling draws are within a few hundredths of a point.
pub(super) const SPLIT_DRAWS: usize = 2048;
/// Draws behind the rows of a table and the search for a length: within a tenth of a point.
const TABLE_DRAWS: usize = 1024;

/// Mean chance of splitting over the draws, for a glued length.
#[must_use]
pub(super) fn split_chance(
    line: &BondLine,
    glued: Length,
    outcomes: &[BondOutcome],
) -> SplitChance {
    let mut sums = [0.0; 2];
    for outcome in outcomes {
        let split =
            line.with_boards(outcome.stiffness)
                .split(glued, outcome.driest, outcome.wettest);
        sums[0] += split.by_stress;
        sums[1] += split.by_strain;
    }
    let count = outcomes.len().max(1) as f64;
    SplitChance {
        by_stress: sums[0] / count,
        by_strain: sums[1] / count,
    }
}

/// A bond of a job as it is asked.
#[must_use]
pub(super) fn asked(
    prepared: &Prepared,
    bond: &BondPlan,
    driest_percent: [f64; 2],
    own_cup: [Curvature; 2],
) -> AskedBond {
    AskedBond {
        line: line(prepared, bond, driest_percent, own_cup),
        design: bond.design,
        same_grain: grain_with_grain(bond),
        loosened: bond.loosened,
        screw: bond.screw,
        from_fixed: bond.from_fixed,
        rings_known: prepared.parts[bond.moves.part.0].cup_known,
        units: prepared.units,
    }
}

/// The finding on one bond: `better_wood` are the remedies that were forecast again, `middle` is the middle draw, `samples` all of them, `split` how its wood splits in these.
#[must_use]
pub(super) fn finding(
    asked: &AskedBond,
    joint: &JointPlan,
    bond: &BondPlan,
    (middle, samples, split): (&BondOutcome, &[BondOutcome], SplitChance),
    better_wood: Vec<Remedy>,
    survives: Option<[RelativeHumidity; 2]>,
    date: &dyn Fn(usize) -> Date,
) -> BondFinding {
    let mut judged = judge(asked, middle, samples, split);
    if judged.verdict != Verdict::Holds {
        judged.remedies.extend(better_wood);
        Remedy::by_what_a_maker_would_do(&mut judged.remedies);
    }
    let change = |strain: Strain| strain.ratio().abs() * bond.width;
    BondFinding {
        joint: bond.name.clone(),
        kind: joint.kind,
        width: bond.width,
        same_grain: asked.same_grain,
        residue: judged.residue,
        strain_driest: middle.driest,
        driest_on: date(middle.driest_at),
        strain_wettest: middle.wettest,
        wettest_on: date(middle.wettest_at),
        shrinks: change(middle.driest),
        swells: change(middle.wettest),
        strain_held_fraction: judged.held_fraction,
        end_shear: judged.whole.end_shear,
        end_shear_share: judged.designed.end_shear_share,
        tension_strain: judged.designed.tension,
        compression_strain: judged.designed.compression,
        cup_free: judged.cup_free,
        wet_set: judged.wet_set,
        tension: judged.designed.stress,
        tension_strength: judged.designed.strength,
        split_chance: judged.split.chance(),
        split_by_stress_chance: Chance::of_fraction(judged.split.by_stress),
        split_by_strain_chance: Chance::of_fraction(judged.split.by_strain),
        survives_humidity_percent: survives,
        to_do: asked.to_do(&judged),
        advice: judged.advice.key(),
        glue_middle_mm: judged.glue_middle,
        slot: judged.slot.length,
        screw_in_slot: judged.slot.screw_from_dry_end,
        design: design_words(bond.design, asked.units),
        verdict: judged.verdict,
        reason: judged.reason,
        by_length: judged.by_length,
        remedies: judged.remedies,
    }
}

fn design_words(design: Design, units: UnitSystem) -> String {
    match design {
        Design::Asked => "glued whole (asked)".into(),
        Design::Glued => "glued whole".into(),
        Design::GluedOver(length) => format!("glued over {}", shown(length, units)),
        Design::Floating => "floating".into(),
    }
}

fn reason(
    asked: &AskedBond,
    split: SplitChance,
    judged: &BondJudgement,
    [residue, wet_set, cup_free]: [Length; 3],
) -> String {
    if asked.design == Design::Floating {
        return match asked.loosened {
            Loosened::Slots => "it floats: the slots take the movement",
            Loosened::Dry => "it is left dry: the free end takes the movement",
            Loosened::NarrowerTenon => {
                "it is left dry: the clearance at the tenon's edges takes the movement"
            }
        }
        .into();
    }
    let mut words = if asked.same_grain {
        format!(
            "grain runs with grain: both parts move together to within {}",
            asked.shown(residue)
        )
    } else {
        String::new()
    };
    let mut add = |more: String| {
        if !words.is_empty() {
            words.push_str("; ");
        }
        words.push_str(&more);
    };
    let chance = split.chance();
    if !asked.same_grain || chance > SPLIT_HOLDS {
        add(format!("the wood splits (chance {})", in_hundred(chance)));
        if (split.by_stress - split.by_strain).abs() > CRITERIA_APART {
            add(format!(
                "by its stress {}, by its strain {}: the two published criteria disagree, and both count",
                in_hundred(Chance::of_fraction(split.by_stress)),
                in_hundred(Chance::of_fraction(split.by_strain))
            ));
        }
    }
    if judged.end_shear_share > 1.0 {
        add(
            "the ends of the glue line are sheared beyond what the wood holds and work loose: ease them, or use a glue that gives"
                .into(),
        );
    }
    if cup_verdict(cup_free, asked.glued()) != Verdict::Holds {
        add(format!(
            "where nothing else holds the pair flat it cups by some {}",
            asked.shown(cup_free)
        ));
    }
    if asked.line.free.is_some() && !asked.rings_known {
        add(
            "the cup that its own rings bring comes on top of the pair's and is not known: give the rings"
                .into(),
        );
    }
    if judged.takes_set() {
        let (season, back) = if judged.pressed_dry {
            ("dry", "damp")
        } else {
            ("wet", "dry")
        };
        add(format!(
            "the {season} side presses the wood by {:.1} %, beyond what springs back: some {} come back as a gap or a check in the {back} season",
            100.0 * judged.compression.ratio(),
            asked.shown(wet_set)
        ));
    }
    words
}

/// The longest middle whose wood does not split (95 in 100) and whose cup holds; `None` when not even the shortest does.
fn longest_glue(
    line: &BondLine,
    driest: Strain,
    wettest: Strain,
    samples: &[BondOutcome],
) -> Option<Length> {
    let worse = driest.abs().max(wettest.abs());
    let holds = |length: Length| {
        cup_verdict(line.cup_over(length, worse), length) == Verdict::Holds
            && split_chance(line, length, samples).chance() <= SPLIT_HOLDS
    };
    if holds(line.width) {
        return Some(line.width);
    }
    let shortest = Length::from_mm_unchecked(SHORTEST_GLUE_MM).min(line.width);
    if !holds(shortest) {
        return None;
    }
    let (mut low, mut high) = (shortest, line.width);
    for _ in 0..16 {
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
    samples: &[BondOutcome],
) -> Vec<BondAtLength> {
    const LENGTHS_MM: [f64; 8] = [25.0, 50.0, 75.0, 100.0, 150.0, 200.0, 300.0, 450.0];
    LENGTHS_MM
        .into_iter()
        .filter(|mm| *mm < line.width.mm())
        .chain([line.width.mm()])
        .map(|mm| {
            let glued = Length::from_mm_unchecked(mm);
            BondAtLength {
                glued,
                split_chance: split_chance(line, glued, samples).chance(),
                end_shear_share: line.judge(glued, driest, wettest).end_shear_share,
            }
        })
        .collect()
}
