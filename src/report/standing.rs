//! The answers on the standing piece, for machines; `standing_words` tells them in plain words.

use super::keyed::keyed;
use super::standing_words::shorten_words;
use crate::carcass::keys::{InstallFinding, StraightenFinding};
use crate::carcass::{BestPlaces, Change, Hole, LoadedShelf};
use crate::chance::{Band, Verdict};
use crate::forecast::{AcrossSpread, InputShare, ShelfSpread, Standing, StraightenSpread};
use crate::joint::{PartFacts, PartId};
use crate::panel::felt;
use crate::units::notation::shown;
use crate::units::{Chance, Force, Length, Stress, UnitSystem};
use serde::Serialize;
use serde_json::{Value, json};

/// The standing piece with the names of its parts.
#[derive(Debug, Clone, Copy)]
pub struct StandingAnswer<'a> {
    /// What was found.
    pub standing: &'a Standing,
    /// The parts of the job.
    pub parts: &'a [PartFacts],
    /// Which way lengths are shown first.
    pub system: UnitSystem,
}

/// The answer on one loaded shelf.
#[derive(Debug, Serialize)]
pub struct ShelfAnswer<'a> {
    /// The part, in a job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<&'a str>,
    /// The shelf, loaded.
    #[serde(flatten)]
    pub loaded: &'a LoadedShelf,
    /// Sag allowed in the long run.
    pub sag_allowed: Length,
    /// Whether it keeps to that.
    pub verdict: Verdict,
    /// The thickness at which it just does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub min_thickness: Option<Length>,
    /// The clear span at which it just does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_span: Option<Length>,
    /// Bending strength of the wood.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bending_strength: Option<Stress>,
    /// How the answers spread.
    #[serde(flatten)]
    pub spread: Option<ShelfBands<'a>>,
}

/// How the answers on a shelf spread.
#[derive(Debug, Serialize)]
pub struct ShelfBands<'a> {
    sag: Band<Length>,
    sag_long_term: Band<Length>,
    stress: Band<Stress>,
    #[serde(skip_serializing_if = "Option::is_none")]
    thickness_that_holds: Option<Length>,
    keeps_chance: Chance,
    breaks_chance: Chance,
    matters_most: &'a [InputShare],
}

impl<'a> ShelfBands<'a> {
    fn of(loaded: &LoadedShelf, spread: &'a ShelfSpread) -> Self {
        Self {
            sag: spread.sag.about(loaded.sag),
            sag_long_term: spread.sag_long_term.about(loaded.sag_long_term),
            stress: spread.stress.about(loaded.stress),
            thickness_that_holds: spread.thickness_that_holds,
            keeps_chance: spread.keeps,
            breaks_chance: spread.breaks,
            matters_most: &spread.matters_most,
        }
    }
}

/// The answer on a panel held straight.
#[derive(Debug, Serialize)]
struct StraightenAnswer<'a> {
    part: &'a str,
    supports: Vec<SupportAnswer<'a>>,
    forces: Vec<Band<Force>>,
    leftover: Band<Length>,
    leftover_at: Length,
    stress: Band<Stress>,
    bending_strength: Stress,
    bow_if_freed_after_months_low: Length,
    bow_if_freed_after_months_high: Length,
    breaks_chance: Chance,
    verdict: Verdict,
    dividers: Vec<DividerAnswer<'a>>,
    closing: Vec<ClosingAnswer>,
    variations: Vec<VariationAnswer>,
    best: Option<&'a BestPlaces>,
    across: Option<AcrossSpread>,
    matters_most: &'a [InputShare],
}

#[derive(Debug, Serialize)]
struct SupportAnswer<'a> {
    name: Option<&'a str>,
    at: Length,
    force: Band<Force>,
    force_felt: String,
    force_after_months_low: Force,
    force_after_months_high: Force,
    lost_by_mm: Option<Length>,
    joint: Option<JointAnswer>,
}

#[derive(Debug, Serialize)]
struct JointAnswer {
    pull: Force,
    breaks_at: Force,
    share: f64,
    verdict: Verdict,
    #[serde(skip_serializing_if = "Option::is_none")]
    breaks_chance_percent: Option<Chance>,
}

#[derive(Debug, Serialize)]
struct DividerAnswer<'a> {
    name: Option<&'a str>,
    at: Length,
    push: Band<Force>,
    lost_by_mm: Option<Length>,
    joints_break_chance_percent: [Option<Chance>; 2],
}

#[derive(Debug, Serialize)]
struct ClosingAnswer {
    at: Length,
    together: Band<Force>,
    alone: Band<Force>,
}

#[derive(Debug, Serialize)]
struct VariationAnswer {
    change: String,
    leftover_mm: Option<Length>,
    stress_mpa: Option<Stress>,
    problem: Option<String>,
}

/// The verdict of one answer without draws.
pub(crate) const fn verdict(keeps: bool) -> Verdict {
    if keeps {
        Verdict::Holds
    } else {
        Verdict::Fails
    }
}

/// An answer of this room as JSON; all of them can be.
fn value(answer: &impl Serialize) -> Value {
    keyed(answer).unwrap_or_default()
}

impl StandingAnswer<'_> {
    pub(super) fn name(&self, part: PartId) -> &str {
        &self.parts[part.0].name
    }

    pub(super) fn length(&self, length: Length) -> String {
        shown(length, self.system)
    }

    /// `straighten`: one entry a panel.
    #[must_use]
    pub fn straighten(&self) -> Vec<Value> {
        let found = self.standing.straighten.iter();
        found
            .zip(&self.standing.straighten_spread)
            .map(|(found, spread)| value(&self.straightened(found, spread)))
            .collect()
    }

    fn straightened<'s>(
        &'s self,
        found: &'s StraightenFinding,
        spread: &'s StraightenSpread,
    ) -> StraightenAnswer<'s> {
        let held = &found.held;
        let supports: Vec<SupportAnswer<'_>> = held
            .supports
            .iter()
            .zip(&spread.supports)
            .map(|(support, spread)| SupportAnswer {
                name: support.name.as_deref(),
                at: support.at,
                force: spread.force.about(support.against_crown),
                force_felt: felt(support.against_crown),
                force_after_months_low: spread.after_months.low,
                force_after_months_high: spread.after_months.high,
                lost_by_mm: support.lost_by,
                joint: support.joint.map(|load| JointAnswer {
                    pull: load.pull,
                    breaks_at: load.breaks_at,
                    share: load.share,
                    verdict: load.verdict,
                    breaks_chance_percent: spread.breaks,
                }),
            })
            .collect();
        // A panel by itself asks of every clamp as many times more as it is stiffer.
        let stiffer = |force: Force| spread.stiffness.map(|factor| factor * force).about(force);
        StraightenAnswer {
            part: self.name(found.part),
            forces: supports.iter().map(|support| support.force).collect(),
            supports,
            leftover: spread.leftover.about(held.leftover),
            leftover_at: held.leftover_at,
            stress: spread.stress.about(held.stress),
            bending_strength: found.strength,
            bow_if_freed_after_months_low: spread.bow_if_freed.low,
            bow_if_freed_after_months_high: spread.bow_if_freed.high,
            breaks_chance: spread.breaks,
            verdict: spread.verdict,
            dividers: found
                .dividers
                .iter()
                .zip(&spread.dividers)
                .map(|(divider, spread)| DividerAnswer {
                    name: divider.name.as_deref(),
                    at: divider.at,
                    push: spread.push.about(divider.push),
                    lost_by_mm: divider.lost_by,
                    joints_break_chance_percent: spread.breaks,
                })
                .collect(),
            closing: found
                .closing
                .iter()
                .map(|one| ClosingAnswer {
                    at: one.at,
                    together: stiffer(one.together),
                    alone: stiffer(one.alone),
                })
                .collect(),
            variations: found
                .variations
                .iter()
                .map(|one| VariationAnswer {
                    change: self.change(&one.change),
                    leftover_mm: one.held.as_ref().ok().map(|held| held.leftover),
                    stress_mpa: one.held.as_ref().ok().map(|held| held.stress),
                    problem: one.held.as_ref().err().map(ToString::to_string),
                })
                .collect(),
            best: found.best.as_ref(),
            across: found
                .across
                .as_ref()
                .zip(spread.across.as_ref())
                .map(|(held, spread)| AcrossSpread {
                    leftover: spread.leftover.about(held.leftover),
                    stress: spread.stress.about(held.stress),
                    forces: held
                        .supports
                        .iter()
                        .zip(&spread.forces)
                        .map(|(support, force)| force.about(support.against_crown))
                        .collect(),
                }),
            matters_most: &spread.matters_most,
        }
    }

    fn change(&self, change: &Change) -> String {
        match change {
            Change::LeftOut(at) => format!("the support at {} left out", self.length(*at)),
            Change::Moved { from, to } => {
                format!(
                    "the support at {} moved to {}",
                    self.length(*from),
                    self.length(*to)
                )
            }
            Change::Added(at) => format!("one more support at {}", self.length(*at)),
        }
    }

    /// `shelves`: one entry a shelf.
    #[must_use]
    pub fn shelves(&self) -> Vec<Value> {
        self.standing
            .shelves
            .iter()
            .enumerate()
            .map(|(index, found)| {
                let spread = self.standing.shelf_spread.get(index);
                value(&ShelfAnswer {
                    part: Some(self.name(found.part)),
                    loaded: &found.loaded,
                    sag_allowed: found.allowed,
                    verdict: spread.map_or_else(|| verdict(found.keeps), |spread| spread.verdict),
                    min_thickness: found.min_thickness,
                    max_span: None,
                    bending_strength: Some(found.strength),
                    spread: spread.map(|spread| ShelfBands::of(&found.loaded, spread)),
                })
            })
            .collect()
    }

    /// `glueup`: the stages, or none.
    #[must_use]
    pub fn glueup(&self) -> Value {
        let Some((piece, stages)) = &self.standing.glueup else {
            return Value::Null;
        };
        let joints = |list: &[usize]| {
            list.iter()
                .map(|joint| piece.joints[*joint].name.clone())
                .collect::<Vec<_>>()
        };
        let parts = |list: &[usize]| {
            list.iter()
                .map(|part| piece.parts[*part].clone())
                .collect::<Vec<_>>()
        };
        json!({
            "open_time_s": stages.open_time.seconds(),
            "stage_time_s": stages.stage_time.seconds(),
            "at_min_stages": stages.at_least,
            "proven": stages.proven,
            "notes": stages.notes,
            "stages": stages.stages.iter().map(|stage| json!({
                "glued": joints(&stage.glued),
                "put_in_dry": joints(&stage.put_in_dry),
                "dry_fitted": parts(&stage.dry_fitted),
                "bodies": stage.bodies.iter().map(|body| parts(body)).collect::<Vec<_>>(),
                "takes_s": stage.takes.seconds(),
                "clamps": stage.clamps,
                "longest_joint": piece.joints[stage.longest].name,
                "shorten": stage.shorten.iter().map(shorten_words).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
        })
    }

    /// `install`: levelling, walls, fastenings, overhang and days, or none.
    #[must_use]
    pub fn install(&self) -> Value {
        self.standing
            .install
            .as_ref()
            .map_or(Value::Null, |found| self.install_object(found))
    }

    fn install_object(&self, found: &InstallFinding) -> Value {
        json!({
            "site": found.site.word(),
            "base": {
                "of": if found.plinth.is_some() { "plinth" } else { "piece" },
                "length_mm": found.base[0].mm(),
                "depth_mm": found.base[1].mm(),
                "plinth_height_mm": found.plinth.map(Length::mm),
            },
            "gap_behind_mm": found.gap_behind.map(Length::mm),
            "gap_beside_mm": found.gap_beside.map(Length::mm),
            "steps": found.steps,
            "level": value(&found.levelled),
            "walls": value(&found.walls),
            "fastenings": found.fastened.iter().map(|part| json!({
                "part": self.name(part.part),
                "width_mm": part.width.mm(),
                "holes": part.marks.iter().map(|mark| match mark.hole {
                    Hole::Round => json!({ "at_mm": mark.across.mm(), "along_mm": mark.along.mm(), "hole": "round" }),
                    Hole::Slot { length, width, travel, screw, fixed_toward_front } => json!({
                        "at_mm": mark.across.mm(),
                        "along_mm": mark.along.mm(),
                        "hole": "slot",
                        "slot_mm": length.mm(),
                        "slot_width_mm": width.mm(),
                        "travel_mm": travel.mm(),
                        "screw_today_mm": screw.today.mm(),
                        "fixed_toward": if fixed_toward_front { "front" } else { "back" },
                    }),
                }).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
            "overhang": found.overhang.map(|overhang| json!({
                "front_today_mm": overhang.front.today.mm(),
                "front_driest_mm": overhang.front.driest.mm(),
                "front_wettest_mm": overhang.front.wettest.mm(),
                "back_today_mm": overhang.back.today.mm(),
                "back_driest_mm": overhang.back.driest.mm(),
                "back_wettest_mm": overhang.back.wettest.mm(),
                "top_width_today_mm": overhang.top_width.mm(),
            })),
            "fit_days": found.fit_days.iter().map(|day| json!({
                "part": day.part,
                "days": day.days,
                "on": day.on.to_string(),
            })).collect::<Vec<_>>(),
            "cautions": found.cautions.iter().map(|caution| caution.text()).collect::<Vec<_>>(),
        })
    }
}
