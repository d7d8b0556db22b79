//! One draw of a job, from its moisture to every gap and strain.

use super::curve::{Curve, ratios};
use super::draw::Draw;
use super::draw_conditions::{DrawConditions, PartTrack};
use super::part_model::PartModel;
use super::prepare::Prepared;
use crate::joint::{Axis, BondPlan, Days, Fit, JointPlan, Motion, PartId, When};
use crate::moisture::{MoistureTrack, Variation};
use crate::movement::{
    Direction, GluedBoard, Rings, Section, Shrinkage, curvature_of_moisture_slope,
};
use crate::numerics::ends;
use crate::units::{Curvature, Length, MoistureContent, Strain};

/// The days of the timeline that are looked at, in order: all of them, or those that matter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DaySet {
    days: Vec<usize>,
}

impl DaySet {
    /// Days, put in order.
    #[must_use]
    pub fn new(mut days: Vec<usize>) -> Self {
        days.sort_unstable();
        days.dedup();
        Self { days }
    }

    /// The days.
    #[must_use]
    pub fn days(&self) -> &[usize] {
        &self.days
    }

    /// Place of the first day looked at that is not before `day`.
    #[must_use]
    pub fn place(&self, day: usize) -> usize {
        self.days
            .partition_point(|looked| *looked < day)
            .min(self.days.len().saturating_sub(1))
    }
}

/// How a fit fares in one draw, for a cut near the one made, so that another cut can be judged from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FitOutcome {
    /// The cut for which the gaps hold, mm.
    pub cut_mm: f64,
    /// Minimum gap, mm.
    pub min_mm: f64,
    /// Place of its day in the day set.
    pub min_at: usize,
    /// Maximum gap, mm.
    pub max_mm: f64,
    /// Place of its day in the day set.
    pub max_at: usize,
    /// Minimum gap less its limit, mm; negative: too tight.
    pub spare_tight_mm: f64,
    /// Limit less the maximum gap, mm; negative: too loose; infinite without a limit.
    pub spare_loose_mm: f64,
    /// Change of the gap for a cut 1 mm greater.
    pub gap_per_cut: f64,
    /// Change of the loose spare for a cut 1 mm greater.
    pub loose_per_cut: f64,
}

/// How a bond fares in one draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BondOutcome {
    /// Strain wanted beyond the other part at the driest.
    pub driest: Strain,
    /// Place of its day.
    pub driest_at: usize,
    /// Strain wanted beyond the other part at the wettest.
    pub wettest: Strain,
    /// Place of its day.
    pub wettest_at: usize,
    /// How stiff the moving and the holding part are over what their woods are in the middle.
    pub stiffness: [f64; 2],
}

/// How a part fares in one draw, from the day of measuring on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartOutcome {
    /// Place of the day of its minimum width.
    pub driest_at: usize,
    /// Place of the day of its maximum width.
    pub wettest_at: usize,
    /// Moisture at the driest, percent.
    pub driest_percent: f64,
    /// Moisture at the wettest, percent.
    pub wettest_percent: f64,
    /// Minimum width, mm.
    pub min_width_mm: f64,
    /// Maximum width, mm.
    pub max_width_mm: f64,
    /// Cup of the bark face at the driest, mm; not a number with the pith inside.
    pub cup_driest_mm: f64,
    /// Cup of the bark face at the wettest, mm; not a number with the pith inside.
    pub cup_wettest_mm: f64,
}

/// Everything one draw gives.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Outcome {
    /// By part; none in a trial of one joint.
    pub parts: Vec<PartOutcome>,
    /// By fit, in the order of the joints.
    pub fits: Vec<FitOutcome>,
    /// By bond, in the order of the joints.
    pub bonds: Vec<BondOutcome>,
}

/// Memory to work in: one for each thread.
#[derive(Debug, Clone)]
pub struct Workspace {
    /// Motion of the parts on the days looked at.
    pub motion: Motion,
    /// Moisture of the parts.
    pub tracks: Vec<PartTrack>,
    /// Sizes of the parts by their moisture.
    curves: Vec<Option<Curve>>,
    /// By part the axes along which it is moved.
    axes: Vec<Vec<Axis>>,
    /// By joint the days on which each of its fits is judged.
    judged: Vec<Vec<Days>>,
    /// By joint the place of the day from which its bonds hold.
    glued: Vec<usize>,
    room: MoistureTrack,
}

impl Workspace {
    /// Memory for a job and its days.
    #[must_use]
    pub fn new(prepared: &Prepared, days: &DaySet) -> Self {
        Self {
            motion: Motion::still(prepared.parts.len(), days.days().len()),
            tracks: vec![PartTrack::default(); prepared.parts.len()],
            curves: vec![None; prepared.parts.len()],
            axes: vec![Axis::ALL.to_vec(); prepared.parts.len()],
            judged: prepared
                .joints
                .iter()
                .map(|joint| {
                    let days_of = |fit| days_of(prepared, joint, fit, days);
                    joint.fits.iter().map(days_of).collect()
                })
                .collect(),
            glued: prepared
                .joints
                .iter()
                .map(|joint| days.place(prepared.assembled.max(prepared.cut_day(joint))))
                .collect(),
            room: MoistureTrack::default(),
        }
    }

    /// The same that moves parts along those axes only on which an outcome hangs.
    pub(super) fn judging(prepared: &Prepared, days: &DaySet) -> Self {
        let mut asked = vec![[false; Axis::ALL.len()]; prepared.parts.len()];
        let mut ask = |part: PartId, axis: Axis| asked[part.0][axis as usize] = true;
        for joint in &prepared.joints {
            let terms = joint.fits.iter().flat_map(Fit::terms);
            terms.for_each(|term| ask(term.part, term.axis));
            let sides = joint
                .bonds
                .iter()
                .flat_map(|bond| [&bond.moves, &bond.holds]);
            sides.for_each(|side| ask(side.part, side.axis));
        }
        for part in &prepared.asked {
            ask(PartId(*part), Axis::Width);
        }
        let along = |asked: &[bool; 3]| -> Vec<Axis> {
            let axes = Axis::ALL.into_iter();
            axes.filter(|axis| asked[*axis as usize]).collect()
        };
        let axes = asked.iter().map(along).collect();
        Self {
            axes,
            ..Self::new(prepared, days)
        }
    }

    /// Cup of a part's bark face on a day looked at, mm: that of the rings and the arc of the moisture's slope over the face as
    /// it then is; not a number with the pith inside.
    pub(super) fn cup_mm(&self, part: &PartModel, index: usize, at: usize) -> f64 {
        let track = &self.tracks[index];
        let width = part.facts.width * self.motion.ratio(PartId(index), Axis::Width, at);
        let of_slope =
            curvature_of_moisture_slope(part.width_coefficient, track.slope_percent_per_mm[at]);
        self.curves[index].map_or(f64::NAN, |curve| {
            curve.cup_mm(track.mean_percent[at]) - of_slope.rise_over(width).mm()
        })
    }

    /// Bow of a part's bark face from the slope of its moisture on a day looked at, mm.
    pub(super) fn bow_mm(&self, part: &PartModel, index: usize, at: usize) -> f64 {
        let percent = MoistureContent::computed_percent;
        let along = part
            .shrinkage
            .strain(Direction::Longitudinal, percent(8.0), percent(9.0))
            .ratio();
        let slope = self.tracks[index].slope_percent_per_mm[at];
        let length = part.facts.length * self.motion.ratio(PartId(index), Axis::Length, at);
        -curvature_of_moisture_slope(along, slope)
            .rise_over(length)
            .mm()
    }
}

/// The shrinkage of a part as a draw has it.
#[must_use]
pub(super) fn drawn_shrinkage(part: &PartModel, draw: &super::draw::PartDraw) -> Shrinkage {
    let [tangential, radial] = part.spread.at(draw.shrinkage);
    Shrinkage {
        radial_percent: part.shrinkage.radial_percent * radial,
        tangential_percent: part.shrinkage.tangential_percent * tangential,
        ..part.shrinkage
    }
}

/// The section of a part as a draw has it.
#[must_use]
pub(super) fn drawn_section(part: &PartModel, draw: &super::draw::PartDraw) -> Section {
    if let Some(rings) = draw.rings {
        return Section {
            rings,
            ..part.section
        };
    }
    with_pith_depth(part.section, draw.pith_depth)
}

/// The curve of a part as a draw has it, of all its boards where it is glued up from several.
#[must_use]
pub(super) fn drawn_curve_at(
    part: &PartModel,
    draw: &super::draw::PartDraw,
    measured: MoistureContent,
) -> Curve {
    let shrinkage = drawn_shrinkage(part, draw);
    let boards: Vec<(GluedBoard, Curve)> = part
        .boards
        .iter()
        .map(|(board, rises_at)| {
            let section = with_pith_depth(board.section, draw.pith_depth);
            let curve = Curve::with_crown(section, &shrinkage, measured, *rises_at);
            (*board, curve)
        })
        .collect();
    Curve::glued(&boards).unwrap_or_else(|| {
        Curve::with_crown(drawn_section(part, draw), &shrinkage, measured, part.crown)
    })
}

/// A section whose pith is so many times as deep.
fn with_pith_depth(section: Section, times: f64) -> Section {
    match section.rings {
        Rings::Pith { depth, offset } if depth.mm() > 0.0 => Section {
            rings: Rings::Pith {
                depth: depth * times,
                offset,
            },
            ..section
        },
        _ => section,
    }
}

/// The days on which a fit of a joint is judged.
#[must_use]
pub(super) fn days_of(prepared: &Prepared, joint: &JointPlan, fit: &Fit, set: &DaySet) -> Days {
    let cut = prepared.cut_day(joint);
    let assembled = prepared.assembled.max(cut);
    let judged = match fit.when {
        When::Always => set.place(assembled)..set.days().len(),
        When::Assembly => set.place(assembled)..set.place(assembled) + 1,
    };
    Days {
        cut: set.place(cut),
        judged,
    }
}

/// Fills the desk's tracks and motion for a draw: of the parts that are looked at.
pub fn move_parts(prepared: &Prepared, draw: &Draw, set: &DaySet, workspace: &mut Workspace) {
    for &index in &prepared.looked_at {
        let (part, drawn) = (&prepared.parts[index], &draw.parts[index]);
        let place = draw.places[part.home.0];
        let variation = Variation {
            diffusivity_log: drawn.diffusivity_log,
            surface_log: place.surface_log,
            equilibrium_factor: place.equilibrium,
            earlier_equilibrium_factor: draw.places[part.shop.0].equilibrium,
            start_offset_percent: drawn.moisture_offset_percent,
        };
        let track = &mut workspace.tracks[index];
        prepared.stocks[part.stock].track(
            set.days(),
            &prepared.timeline,
            &DrawConditions {
                variation,
                later_equilibrium: place.later_equilibrium,
                measured_percent: part.measured_percent,
            },
            &mut workspace.room,
            track,
        );
        let measured = part.measured_percent + drawn.moisture_offset_percent;
        let measured = MoistureContent::computed_percent(measured.max(0.0));
        let curve = drawn_curve_at(part, drawn, measured);
        workspace.curves[index] = Some(curve);
        for &axis in &workspace.axes[index] {
            let moved = workspace.motion.ratios_mut(PartId(index), axis);
            ratios(&curve, axis, &track.mean_percent, moved);
        }
    }
}

/// One draw: every part, fit and bond. `cuts_mm` are the cuts the fits are judged for.
pub fn evaluate(
    prepared: &Prepared,
    draw: &Draw,
    set: &DaySet,
    cuts_mm: &[f64],
    workspace: &mut Workspace,
    outcome: &mut Outcome,
) {
    move_parts(prepared, draw, set, workspace);
    judge_moved(prepared, draw, set, cuts_mm, workspace, outcome);
}

/// One draw whose parts were moved: every part, fit and bond.
pub(super) fn judge_moved(
    prepared: &Prepared,
    draw: &Draw,
    set: &DaySet,
    cuts_mm: &[f64],
    workspace: &Workspace,
    outcome: &mut Outcome,
) {
    outcome.parts.clear();
    outcome.fits.clear();
    outcome.bonds.clear();
    for &index in &prepared.asked {
        let part = &prepared.parts[index];
        let measured = set.place(part.measured);
        outcome
            .parts
            .push(part_outcome(part, index, measured, workspace));
    }
    let mut gaps = Vec::with_capacity(set.days().len());
    let mut cuts = cuts_mm.iter();
    let of_joints = workspace.judged.iter().zip(&workspace.glued);
    for (joint, (judged, &glued)) in prepared.joints.iter().zip(of_joints) {
        for (fit, days) in joint.fits.iter().zip(judged) {
            let cut_mm = cuts.next().copied().unwrap_or(0.0);
            outcome.fits.push(fit_outcome_in(
                fit,
                &workspace.motion,
                days,
                cut_mm,
                &mut gaps,
            ));
        }
        for bond in &joint.bonds {
            let stiffness =
                [&bond.moves, &bond.holds].map(|side| draw.parts[side.part.0].stiffness);
            outcome.bonds.push(bond_outcome(
                bond,
                &workspace.motion,
                glued,
                stiffness,
                &mut gaps,
            ));
        }
    }
}

/// A part from the day of measuring on: its stay in the shop, where it is often at its widest, and its years at home.
fn part_outcome(part: &PartModel, index: usize, from: usize, workspace: &Workspace) -> PartOutcome {
    let widths = workspace.motion.ratios(PartId(index), Axis::Width);
    let [driest_at, wettest_at] = ends(&widths[from..])
        .unwrap_or([0; 2])
        .map(|place| from + place);
    let track = &workspace.tracks[index];
    let cup = |at: usize| workspace.cup_mm(part, index, at);
    PartOutcome {
        driest_at,
        wettest_at,
        driest_percent: track.mean_percent[driest_at],
        wettest_percent: track.mean_percent[wettest_at],
        min_width_mm: widths[driest_at] * part.facts.width.mm(),
        max_width_mm: widths[wettest_at] * part.facts.width.mm(),
        cup_driest_mm: cup(driest_at),
        cup_wettest_mm: cup(wettest_at),
    }
}

/// One fit in one motion, for a cut.
#[must_use]
pub(super) fn fit_outcome(fit: &Fit, motion: &Motion, days: &Days, cut_mm: f64) -> FitOutcome {
    fit_outcome_in(fit, motion, days, cut_mm, &mut Vec::new())
}

/// The same in memory that keeps the gaps.
fn fit_outcome_in(
    fit: &Fit,
    motion: &Motion,
    days: &Days,
    cut_mm: f64,
    gaps: &mut Vec<f64>,
) -> FitOutcome {
    let blank = FitOutcome {
        cut_mm,
        min_mm: 0.0,
        min_at: days.cut,
        max_mm: 0.0,
        max_at: days.cut,
        spare_tight_mm: f64::INFINITY,
        spare_loose_mm: f64::INFINITY,
        gap_per_cut: 0.0,
        loose_per_cut: 0.0,
    };
    let Some(found) = fit.extremes_in(motion, days, cut_mm, gaps) else {
        return blank;
    };
    let gap_per_cut = fit.gap_per_cut(motion, found.min.day, days.cut);
    let loose_per_cut = fit.loose_per_cut(motion, found.max.day, days.cut);
    FitOutcome {
        cut_mm,
        min_mm: found.min.gap_mm,
        min_at: found.min.day,
        max_mm: found.max.gap_mm,
        max_at: found.max.day,
        spare_tight_mm: found.spare_tight_mm,
        spare_loose_mm: found.spare_loose_mm,
        gap_per_cut,
        loose_per_cut,
    }
}

fn bond_outcome(
    bond: &BondPlan,
    motion: &Motion,
    glued: usize,
    stiffness: [f64; 2],
    apart: &mut Vec<f64>,
) -> BondOutcome {
    let moves = motion.ratios(bond.moves.part, bond.moves.axis);
    let holds = motion.ratios(bond.holds.part, bond.holds.axis);
    apart.clear();
    let days = moves[glued..].iter().zip(&holds[glued..]);
    apart.extend(days.map(|(moves, holds)| moves / holds));
    let [driest, wettest] = ends(apart).unwrap_or([0; 2]);
    let strain = |day: usize| Strain::computed_ratio(apart[day] / apart[0] - 1.0);
    BondOutcome {
        driest: strain(driest),
        driest_at: glued + driest,
        wettest: strain(wettest),
        wettest_at: glued + wettest,
        stiffness,
    }
}

impl FitOutcome {
    /// Minimum gap for another cut, mm.
    #[must_use]
    pub fn min_for(&self, cut_mm: f64) -> f64 {
        self.min_mm + self.gap_per_cut * (cut_mm - self.cut_mm)
    }

    /// Maximum gap for another cut, mm.
    #[must_use]
    pub fn max_for(&self, cut_mm: f64) -> f64 {
        self.max_mm + self.gap_per_cut * (cut_mm - self.cut_mm)
    }

    /// Spare on the tight side for another cut, mm.
    #[must_use]
    pub fn tight_for(&self, cut_mm: f64) -> f64 {
        self.spare_tight_mm + self.gap_per_cut * (cut_mm - self.cut_mm)
    }

    /// Spare on the loose side for another cut, mm.
    #[must_use]
    pub fn loose_for(&self, cut_mm: f64) -> f64 {
        self.spare_loose_mm + self.loose_per_cut * (cut_mm - self.cut_mm)
    }
}

/// Passing cup over a width from a moisture slope alone.
#[must_use]
pub(super) fn slope_cup(part: &PartModel, slope_percent_per_mm: f64) -> Length {
    let curvature: Curvature =
        curvature_of_moisture_slope(part.width_coefficient, slope_percent_per_mm);
    curvature.rise_over(part.facts.width)
}
