//! What a forecast found, as data. Keys are metric and end in their unit;
//! `_low` and `_high` are the 5 and 95 % ends of a band. This is what
//! `forecast.json` holds.

use super::assembly::AssemblyFinding;
use super::bench::Bench;
use super::boards::BoardStudy;
use super::curves::Curves;
use super::frame::FrameFinding;
use super::log::LogFinding;
use super::panels::PanelStudy;
use super::piece_finding::PieceFinding;
use super::sampling::Inputs;
use super::standing::Standing;
use crate::chance::{Band, Contribution, Verdict, remaining_share};
use crate::joint::{Axis, Drawing};
use crate::moisture::ExclusionRow;
use crate::movement::{Section, Shrinkage};
use crate::units::Region;
use serde::Serialize;
use std::ops::Range;

/// A whole forecast.
#[derive(Debug, Clone, Serialize)]
pub struct Forecast {
    /// Version of this layout.
    pub format: u32,
    /// The job, its dates and places.
    pub job: JobFinding,
    /// Every part.
    pub parts: Vec<PartFinding>,
    /// Where the parts are and what follows from it; none in a job without places.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece: Option<PieceFinding>,
    /// The case as one frame; none without places and `[[bows]]`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub frame: Option<FrameFinding>,
    /// In which order the piece goes together; none without places.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub assembly: Option<AssemblyFinding>,
    /// What was measured on the way, and what that changed; none in a job without a log.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub log: Option<LogFinding>,
    /// Every fit.
    pub fits: Vec<FitFinding>,
    /// Every bond.
    pub bonds: Vec<BondFinding>,
    /// Panels matched from leaves; room `report` gives their JSON.
    #[serde(skip)]
    pub panels: Vec<PanelStudy>,
    /// Boards to resaw and their leaves; room `report` gives their JSON.
    #[serde(skip)]
    pub boards: Vec<BoardStudy>,
    /// Panels held straight, shelves, glue-up and installation; room `report` gives their JSON.
    #[serde(skip)]
    pub standing: Standing,
    /// One line for each cut.
    pub setup: Vec<SetupLine>,
    /// Every cut and final size, and the tool settings.
    pub bench: Bench,
    /// What the client must keep and may expect.
    pub client: ClientFinding,
    /// What the answers depend on most.
    pub measure_next: Vec<InputShare>,
    /// Safety: printed first.
    pub cautions: Vec<String>,
    /// What the maker should know about the answers.
    pub warnings: Vec<String>,
    /// Rules and sources the numbers rest on.
    pub assumptions: Vec<String>,
    /// What no draw holds, each with the size it may have in this job.
    pub not_modeled: Vec<String>,
    /// Day-by-day answers for the figures; not part of the JSON.
    #[serde(skip)]
    pub curves: Curves,
    /// The rows of the exclusion table behind the finishes of the parts, each once, for the figures.
    #[serde(skip)]
    pub finishes: Vec<&'static ExclusionRow>,
    /// The joints as they are drawn, for the figures.
    #[serde(skip)]
    pub drawings: Vec<DrawnJoint>,
    /// The boxes of the piece, for the figures.
    #[serde(skip)]
    pub placed: crate::piece::Piece,
    /// The parts' sections as measured, for the figures.
    #[serde(skip)]
    pub sections: Vec<Section>,
    /// What the parts' woods shrink, for the figures.
    #[serde(skip)]
    pub shrinkages: Vec<Shrinkage>,
}

/// A joint as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnJoint {
    /// The joint.
    pub name: String,
    /// How it is drawn.
    pub drawing: Drawing,
    /// Its fits among all fits.
    pub fits: Range<usize>,
    /// Its bonds among all bonds.
    pub bonds: Range<usize>,
    /// The bodies of the piece that it joins.
    pub bodies: Vec<[usize; 2]>,
}

/// The job itself.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobFinding {
    /// Name of the piece.
    pub name: String,
    /// `inch` or `mm`: which way lengths are shown first.
    pub units: &'static str,
    /// Where the maker works: which words its shops use.
    #[serde(skip)]
    pub region: Option<Region>,
    /// First day of measuring.
    pub measured_on: String,
    /// Day of gluing up.
    pub assembled_on: String,
    /// Day on which the last part is finished, where any is.
    pub finished_on: Option<String>,
    /// Day of delivery.
    pub delivered_on: String,
    /// Seed of the draws.
    pub seed: u64,
    /// How many draws stand behind the bands and chances.
    pub draws: u32,
    /// Version of the program.
    pub version: &'static str,
    /// The places.
    pub places: Vec<PlaceFinding>,
}

/// A place and its year.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlaceFinding {
    /// Its name.
    pub name: String,
    /// Its air in words.
    pub air: String,
    /// Mean temperature of each month.
    pub temperature_c: Vec<f64>,
    /// Mean relative humidity of each month.
    pub humidity_percent: Vec<f64>,
    /// Equilibrium moisture content of each month.
    pub emc_percent: Vec<f64>,
}

/// A part through the year.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartFinding {
    /// Its name.
    pub name: String,
    /// Its wood.
    pub species: String,
    /// How many alike.
    pub count: u32,
    /// Width on the day of measuring.
    pub width_mm: f64,
    /// Thickness on that day.
    pub thickness_mm: f64,
    /// Length on that day.
    pub length_mm: f64,
    /// Moisture on that day.
    pub moisture_percent: f64,
    /// That day.
    pub measured_on: String,
    /// Width at its narrowest at home.
    pub width_driest_mm: f64,
    /// Lower end of its band.
    pub width_driest_low_mm: f64,
    /// Upper end of its band.
    pub width_driest_high_mm: f64,
    /// The day.
    pub driest_on: String,
    /// Moisture on that day.
    pub moisture_driest_percent: f64,
    /// Lower end of its band.
    pub moisture_driest_low_percent: f64,
    /// Upper end of its band.
    pub moisture_driest_high_percent: f64,
    /// Width at its widest at home.
    pub width_wettest_mm: f64,
    /// Lower end of its band.
    pub width_wettest_low_mm: f64,
    /// Upper end of its band.
    pub width_wettest_high_mm: f64,
    /// The day.
    pub wettest_on: String,
    /// Moisture on that day.
    pub moisture_wettest_percent: f64,
    /// Lower end of its band.
    pub moisture_wettest_low_percent: f64,
    /// Upper end of its band.
    pub moisture_wettest_high_percent: f64,
    /// Thickness on the driest day.
    pub thickness_driest_mm: f64,
    /// Thickness on the wettest day.
    pub thickness_wettest_mm: f64,
    /// Cup of the bark-side face on the driest day, positive: hollow. Absent with the pith inside
    /// and where only the way of sawing is given.
    pub cup_driest_mm: Option<f64>,
    /// Lower end of its band.
    pub cup_driest_low_mm: Option<f64>,
    /// Upper end of its band.
    pub cup_driest_high_mm: Option<f64>,
    /// Cup of the bark-side face on the wettest day.
    pub cup_wettest_mm: Option<f64>,
    /// Maximum cup of the bark-side face that comes from one face drying faster, in the first year.
    pub cup_passing_mm: Option<f64>,
    /// Driest seven days of the settled year: first day.
    pub driest_week_from: String,
    /// Wettest seven days of the settled year: first day.
    pub wettest_week_from: String,
    /// Lowest moisture of the first year at home.
    pub first_year_driest_percent: f64,
    /// The day.
    pub first_year_driest_on: String,
    /// Whether the pith lies inside: it will check.
    pub pith_inside: bool,
    /// Whether the rings are given so that they tell the cup; `flat`, `rift` and `quarter` do not.
    pub cup_known: bool,
    /// Rules that stood in for missing values, and other things to know.
    pub notes: Vec<String>,
}

/// What a remedy asks of the maker, the nearest at hand first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RemedyKind {
    /// Another size of this cut or of its part.
    Cut,
    /// Less glue, a slot or a dry joint.
    Glue,
    /// Time: the part is cut later.
    Wait,
    /// Another finish.
    Finish,
    /// Wood of the same kind, sawn another way.
    Sawing,
    /// Another size of the design.
    Design,
    /// Another wood.
    Wood,
}

/// Something that would fix a joint, computed by forecasting it so.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Remedy {
    /// What it asks of the maker.
    pub kind: RemedyKind,
    /// What to do.
    pub what: String,
    /// Chance in percent that the joint then holds.
    pub holds_chance_percent: f64,
    /// The size to cut then.
    pub cut_mm: Option<f64>,
    /// The same as a change of the job, where one change of one part says it.
    #[serde(skip)]
    pub change: Option<PartChange>,
    /// The gaps that a fit then has; none for a bond.
    #[serde(skip)]
    pub gaps: Option<GapsThen>,
}

/// The gaps of a fit through the year, made as a remedy says.
#[derive(Debug, Clone, PartialEq)]
pub struct GapsThen {
    /// The smallest of all days.
    pub min_mm: Band,
    /// The widest.
    pub max_mm: Band,
    /// The maximum gap allowed; `None` where any is.
    pub allowed_max_mm: Option<f64>,
}

/// One change of one part of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct PartChange {
    /// The part.
    pub part: crate::joint::PartId,
    /// What becomes of it.
    pub to: PartChangeTo,
}

/// What a change makes of a part.
#[derive(Debug, Clone, PartialEq)]
pub enum PartChangeTo {
    /// It is cut at this moisture content, percent.
    MoisturePercent(f64),
    /// It gets this finish in so many coats.
    Finish(&'static str, u32),
    /// It is quartersawn.
    Quartersawn,
    /// It is of this wood.
    Species(String),
}

impl Remedy {
    /// Puts remedies in the order in which a maker would take them up: first those after which the joint holds, then those after
    /// which it is marginal, each by what they ask, the surest first.
    pub fn by_what_a_maker_would_do(remedies: &mut [Self]) {
        remedies.sort_by(|a, b| {
            let verdict = |remedy: &Self| Verdict::of_chance(remedy.holds_chance_percent);
            verdict(a)
                .cmp(&verdict(b))
                .then(a.kind.cmp(&b.kind))
                .then(b.holds_chance_percent.total_cmp(&a.holds_chance_percent))
        });
    }
}

/// A fit through the year.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FitFinding {
    /// The joint.
    pub joint: String,
    /// Key of its recipe.
    pub kind: &'static str,
    /// What is cut: `groove`.
    pub cut: &'static str,
    /// The dimension of the cut: `deep`.
    pub dimension: &'static str,
    /// The size to cut today, or the size given.
    pub cut_mm: f64,
    /// Whether the size was given and is judged.
    pub cut_given: bool,
    /// The day of the cut.
    pub cut_on: String,
    /// What the gap is, in words.
    pub gap: String,
    /// The gap on the day of the cut.
    pub gap_today_mm: f64,
    /// Minimum gap allowed.
    pub gap_allowed_min_mm: f64,
    /// Maximum gap allowed; absent where any is.
    pub gap_allowed_max_mm: Option<f64>,
    /// Minimum gap of all days.
    pub gap_min_mm: f64,
    /// Lower end of its band.
    pub gap_min_low_mm: f64,
    /// Upper end of its band.
    pub gap_min_high_mm: f64,
    /// The day.
    pub gap_min_on: String,
    /// Maximum gap of all days.
    pub gap_max_mm: f64,
    /// Lower end of its band.
    pub gap_max_low_mm: f64,
    /// Upper end of its band.
    pub gap_max_high_mm: f64,
    /// The day.
    pub gap_max_on: String,
    /// Where a part is held in by a depth: minimum of it still in on the worst day.
    pub held_min_mm: Option<f64>,
    /// Steady indoor humidity the fit survives, low and high; absent when none, or when only assembly counts.
    pub survives_humidity_percent: Option<[f64; 2]>,
    /// What happens when the gap is too small.
    #[serde(skip)]
    pub too_tight: String,
    /// What happens when it is too wide.
    #[serde(skip)]
    pub too_loose: String,
    /// What happens in steady air drier than that.
    pub fails_dry: Option<String>,
    /// What happens in steady air damper than that.
    pub fails_wet: Option<String>,
    /// Chance that the gap stays within its limits.
    pub holds_chance_percent: f64,
    /// Chance that it gets too tight.
    pub too_tight_chance_percent: f64,
    /// Chance that it gets too loose.
    pub too_loose_chance_percent: f64,
    /// The verdict.
    pub verdict: Verdict,
    /// Why.
    pub reason: String,
    /// The time of the year that binds it, with its day, in words; absent where only assembly counts.
    pub bound_by: Option<String>,
    /// What the first winter does, where it is worse than any later one.
    pub first_winter: Option<String>,
    /// How to fix it, best first; empty when it holds.
    pub remedies: Vec<Remedy>,
    /// The inputs that matter most to it.
    pub matters_most: Vec<InputShare>,
}

/// A bond.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BondFinding {
    /// The joint.
    pub joint: String,
    /// Key of its recipe.
    pub kind: &'static str,
    /// Length of the joint.
    pub width_mm: f64,
    /// Whether the grain of both parts runs the same way.
    pub same_grain: bool,
    /// How far both parts differ over the joint, the worse side.
    pub residue_mm: f64,
    /// Strain the moving part wants beyond the other at the driest.
    pub strain_driest: f64,
    /// The day.
    pub driest_on: String,
    /// Strain the moving part wants beyond the other at the wettest.
    pub strain_wettest: f64,
    /// The day.
    pub wettest_on: String,
    /// How much the moving part shrinks when free over the joint, driest against the day it is glued.
    pub shrinks_mm: f64,
    /// How much it swells when free.
    pub swells_mm: f64,
    /// Share of the wanted difference held at the middle, glued whole, before relaxation.
    pub strain_held_fraction: f64,
    /// Shear at the ends, glued whole, before relaxation.
    pub end_shear_mpa: f64,
    /// Relaxed end shear over rolling shear strength.
    pub end_shear_share: f64,
    /// Tension across the grain held in the design at the driest: a total strain.
    pub tension_strain: f64,
    /// The stress of it after a season.
    pub tension_mpa: f64,
    /// What the wood bears across its grain, by its table.
    pub tension_strength_mpa: f64,
    /// Compression across the grain in the design at the wettest; beyond 0.005 part of it stays.
    pub compression_strain: f64,
    /// How far the pair cups over its glued length where nothing holds it flat, relaxed.
    pub cup_free_mm: f64,
    /// What stays of the compression and opens as a gap or a check in the dry season.
    pub wet_set_mm: f64,
    /// Chance that the wood splits, as designed: the mean of the two that follow.
    pub split_chance_percent: f64,
    /// The same if only its stress against its strength counted.
    pub split_by_stress_chance_percent: f64,
    /// The same if only its total strain counted.
    pub split_by_strain_chance_percent: f64,
    /// Steady indoor humidity in which the design holds, low and high; absent when none, or when it floats.
    pub survives_humidity_percent: Option<[f64; 2]>,
    /// What to do: `glue`, `glue_middle` or `float`.
    pub advice: &'static str,
    /// Length of the middle to glue, when that is the advice.
    pub glue_middle_mm: Option<f64>,
    /// Length of the slot at the farthest screw, if the joint floats.
    pub slot_mm: f64,
    /// The slot being in the part that holds: from its end toward the fixed point to the screw's centre today.
    pub screw_in_slot_mm: f64,
    /// What to do in one sentence, lengths in the system that the job shows first; how it is loosened hangs on the joint.
    #[serde(skip)]
    pub to_do: String,
    /// The design that was judged.
    pub design: String,
    /// The verdict.
    pub verdict: Verdict,
    /// Why.
    pub reason: String,
    /// Bond length against chance of splitting and end shear.
    pub by_length: Vec<BondAtLength>,
    /// How to fix it.
    pub remedies: Vec<Remedy>,
}

/// One row of a bond's table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BondAtLength {
    /// Glued length.
    pub glued_mm: f64,
    /// Chance of splitting.
    pub split_chance_percent: f64,
    /// Relaxed end shear over rolling shear strength.
    pub end_shear_share: f64,
}

/// One line of the setup sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetupLine {
    /// The joint.
    pub joint: String,
    /// The part that is cut.
    pub part: String,
    /// What is cut.
    pub cut: String,
    /// The surface.
    pub face: &'static str,
    /// The axis of the part along which `from_reference_mm` and `width_mm` are measured, for the figures.
    #[serde(skip)]
    pub along: Axis,
    /// From the reference end, edge or face to the near side.
    pub from_reference_mm: f64,
    /// Width of the cut.
    pub width_mm: f64,
    /// Depth of the cut.
    pub depth_mm: f64,
    /// Wood left behind it, cuts from the other face counted.
    pub left_behind_mm: Option<f64>,
    /// Depth of the deepest cut from the other face that overlaps this one.
    pub opposite_depth_mm: Option<f64>,
    /// How many.
    pub count: u32,
    /// Index of the fit that sets its width or depth.
    #[serde(skip)]
    pub fit: Option<usize>,
    /// What the off-cut trial should measure.
    pub trial: String,
    /// Something to watch.
    pub warning: Option<String>,
}

/// The client's sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClientFinding {
    /// Humidity to keep, low and high; absent when nothing binds.
    pub keep_humidity_percent: Option<[f64; 2]>,
    /// The joint that goes first when the air is drier than that.
    pub goes_first_dry: Option<String>,
    /// The joint that goes first when it is damper.
    pub goes_first_wet: Option<String>,
    /// Which joint goes first on either side and what it does then, in plain words.
    pub if_not_kept: Vec<String>,
    /// What to expect and when, in plain words.
    pub expect: Vec<String>,
}

/// What one input contributes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InputShare {
    /// The input in words.
    pub input: String,
    /// What would narrow it.
    pub measure: String,
    /// Its share of the spread, percent.
    pub share_percent: f64,
    /// Width of the band that would be left by that measurement, percent of what it is.
    pub narrows_to_percent: f64,
}

/// Shares of the spread smaller than this are not given, percent.
pub(super) const GIVEN_SHARE: f64 = 3.0;

impl InputShare {
    /// The inputs worth telling of those ranked, in words.
    pub(super) fn given(ranked: Vec<Contribution>, inputs: &Inputs) -> Vec<Self> {
        ranked
            .into_iter()
            .filter(|found| 100.0 * found.share >= GIVEN_SHARE)
            .map(|found| {
                let input = &inputs.list()[found.input];
                Self {
                    input: input.words.clone(),
                    measure: input.measure.clone(),
                    share_percent: 100.0 * found.share,
                    narrows_to_percent: 100.0 * remaining_share(found.share, input.left),
                }
            })
            .collect()
    }
}
