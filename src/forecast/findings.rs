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
use crate::units::{
    Chance, Length, MoistureContent, Region, RelativeHumidity, Share, Strain, Stress, Temperature,
};
use jiff::civil::Date;
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
    pub measured_on: Date,
    /// Day of gluing up.
    pub assembled_on: Date,
    /// Day on which the last part is finished, where any is.
    pub finished_on: Option<Date>,
    /// Day of delivery.
    pub delivered_on: Date,
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
    pub temperature: Vec<Temperature>,
    /// Mean relative humidity of each month.
    pub humidity: Vec<RelativeHumidity>,
    /// Equilibrium moisture content of each month.
    pub emc: Vec<MoistureContent>,
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
    pub width: Length,
    /// Thickness on that day.
    pub thickness: Length,
    /// Length on that day.
    pub length: Length,
    /// Moisture on that day.
    pub moisture: MoistureContent,
    /// That day.
    pub measured_on: Date,
    /// Width at its narrowest at home.
    pub width_driest: Band<Length>,
    /// The day.
    pub driest_on: Date,
    /// Moisture on that day.
    pub moisture_driest: Band<MoistureContent>,
    /// Width at its widest at home.
    pub width_wettest: Band<Length>,
    /// The day.
    pub wettest_on: Date,
    /// Moisture on that day.
    pub moisture_wettest: Band<MoistureContent>,
    /// Thickness on the driest day.
    pub thickness_driest: Length,
    /// Thickness on the wettest day.
    pub thickness_wettest: Length,
    /// Cup of the bark-side face on the driest day, positive: hollow. Absent with the pith inside
    /// and where only the way of sawing is given.
    pub cup_driest_mm: Option<Length>,
    /// Lower end of its band.
    pub cup_driest_low_mm: Option<Length>,
    /// Upper end of its band.
    pub cup_driest_high_mm: Option<Length>,
    /// Cup of the bark-side face on the wettest day.
    pub cup_wettest_mm: Option<Length>,
    /// Maximum cup of the bark-side face that comes from one face drying faster, in the first year.
    pub cup_passing_mm: Option<Length>,
    /// Driest seven days of the settled year: first day.
    pub driest_week_from: Date,
    /// Wettest seven days of the settled year: first day.
    pub wettest_week_from: Date,
    /// Lowest moisture of the first year at home.
    pub first_year_driest: MoistureContent,
    /// The day.
    pub first_year_driest_on: Date,
    /// Whether the pith lies inside: it will check.
    pub pith_inside: bool,
    /// Whether the rings are given so that they tell the cup; `flat`, `rift` and `quarter` do not.
    pub cup_known: bool,
    /// Rules that stood in for missing values, and other things to know.
    pub notes: Vec<String>,
}

impl PartFinding {
    /// How far its width goes through the year.
    #[must_use]
    pub fn width_swing(&self) -> Length {
        self.width_wettest.middle - self.width_driest.middle
    }
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
    /// Chance that the joint then holds.
    pub holds_chance: Chance,
    /// The size to cut then.
    pub cut_mm: Option<Length>,
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
    pub min: Band<Length>,
    /// The widest.
    pub max: Band<Length>,
    /// The maximum gap allowed; `None` where any is.
    pub allowed_max: Option<Length>,
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
    /// It is cut at this moisture content.
    Moisture(MoistureContent),
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
            let verdict = |remedy: &Self| Verdict::of_chance(remedy.holds_chance);
            verdict(a).cmp(&verdict(b)).then(a.kind.cmp(&b.kind)).then(
                b.holds_chance
                    .percent()
                    .total_cmp(&a.holds_chance.percent()),
            )
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
    #[serde(rename = "cut_mm")]
    pub size: Length,
    /// Whether the size was given and is judged.
    pub cut_given: bool,
    /// The day of the cut.
    pub cut_on: Date,
    /// What the gap is, in words.
    pub gap: String,
    /// The gap on the day of the cut.
    pub gap_today: Length,
    /// Minimum gap allowed.
    pub gap_allowed_min: Length,
    /// Maximum gap allowed; absent where any is.
    pub gap_allowed_max_mm: Option<Length>,
    /// Minimum gap of all days.
    pub gap_min: Band<Length>,
    /// The day.
    pub gap_min_on: Date,
    /// Maximum gap of all days.
    pub gap_max: Band<Length>,
    /// The day.
    pub gap_max_on: Date,
    /// Where a part is held in by a depth: minimum of it still in on the worst day.
    pub held_min_mm: Option<Length>,
    /// Steady indoor humidity the fit survives, low and high; absent when none, or when only assembly counts.
    pub survives_humidity_percent: Option<[RelativeHumidity; 2]>,
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
    pub holds_chance: Chance,
    /// Chance that it gets too tight.
    pub too_tight_chance: Chance,
    /// Chance that it gets too loose.
    pub too_loose_chance: Chance,
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
    pub width: Length,
    /// Whether the grain of both parts runs the same way.
    pub same_grain: bool,
    /// How far both parts differ over the joint, the worse side.
    pub residue: Length,
    /// Strain the moving part wants beyond the other at the driest.
    pub strain_driest: Strain,
    /// The day.
    pub driest_on: Date,
    /// Strain the moving part wants beyond the other at the wettest.
    pub strain_wettest: Strain,
    /// The day.
    pub wettest_on: Date,
    /// How much the moving part shrinks when free over the joint, driest against the day it is glued.
    pub shrinks: Length,
    /// How much it swells when free.
    pub swells: Length,
    /// Share of the wanted difference held at the middle, glued whole, before relaxation.
    pub strain_held_fraction: f64,
    /// Shear at the ends, glued whole, before relaxation.
    pub end_shear: Stress,
    /// Relaxed end shear over rolling shear strength.
    pub end_shear_share: f64,
    /// Tension across the grain held in the design at the driest: a total strain.
    pub tension_strain: Strain,
    /// The stress of it after a season.
    pub tension: Stress,
    /// What the wood bears across its grain, by its table.
    pub tension_strength: Stress,
    /// Compression across the grain in the design at the wettest; beyond 0.005 part of it stays.
    pub compression_strain: Strain,
    /// How far the pair cups over its glued length where nothing holds it flat, relaxed.
    pub cup_free: Length,
    /// What stays of the compression and opens as a gap or a check in the dry season.
    pub wet_set: Length,
    /// Chance that the wood splits, as designed: the mean of the two that follow.
    pub split_chance: Chance,
    /// The same if only its stress against its strength counted.
    pub split_by_stress_chance: Chance,
    /// The same if only its total strain counted.
    pub split_by_strain_chance: Chance,
    /// Steady indoor humidity in which the design holds, low and high; absent when none, or when it floats.
    pub survives_humidity_percent: Option<[RelativeHumidity; 2]>,
    /// What to do: `glue`, `glue_middle` or `float`.
    pub advice: &'static str,
    /// Length of the middle to glue, when that is the advice.
    pub glue_middle_mm: Option<Length>,
    /// Length of the slot at the farthest screw, if the joint floats.
    pub slot: Length,
    /// The slot being in the part that holds: from its end toward the fixed point to the screw's centre today.
    pub screw_in_slot: Length,
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
    pub glued: Length,
    /// Chance of splitting.
    pub split_chance: Chance,
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
    /// The axis of the part along which `from_reference` and `width` are measured, for the figures.
    #[serde(skip)]
    pub along: Axis,
    /// From the reference end, edge or face to the near side.
    pub from_reference: Length,
    /// Width of the cut.
    pub width: Length,
    /// Depth of the cut.
    pub depth: Length,
    /// Wood left behind it, cuts from the other face counted.
    pub left_behind_mm: Option<Length>,
    /// Depth of the deepest cut from the other face that overlaps this one.
    pub opposite_depth_mm: Option<Length>,
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
    pub keep_humidity_percent: Option<[RelativeHumidity; 2]>,
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
    /// Its share of the spread.
    pub share: Share,
    /// Width of the band that would be left by that measurement, as a share of what it is.
    pub narrows_to: Share,
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
                    share: Share::computed_percent(100.0 * found.share),
                    narrows_to: Share::computed_percent(
                        100.0 * remaining_share(found.share, input.left),
                    ),
                }
            })
            .collect()
    }
}
