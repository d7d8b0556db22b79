//! The forecast: a pure function from a job, its woods and its airs to findings.
//!
//! A job is made ready once ([`Prepared`]): woods found, sections laid,
//! moisture solved over a small grid of diffusivity and surface exchange.
//! Then one [`evaluate`] turns a draw of everything a maker cannot know into
//! widths, gaps and strains: first the middle draw on every day, then all draws
//! on the days that matter. The cut of each fit is chosen so that it
//! holds in as many draws as it can, and the verdict is the chance that it
//! does: [`HOLDS_PERCENT`] and [`MARGINAL_PERCENT`] are the limits.
//!
//! Nothing here reads a file or a clock: the same job and airs give the same
//! forecast, to the byte, whatever the number of threads.

mod belief;
mod boards;
mod bonds;
mod client;
mod curve;
mod curves;
mod draw;
mod evaluate;
mod findings;
mod fits;
mod humidity;
mod panels;
mod part_findings;
mod prepare;
mod remedies;
mod sampling;
mod setup;
mod single;
mod standing;
mod timeline;

pub use belief::{Narrowed, ShrinkageSpread};
pub use boards::BoardStudy;
pub use bonds::{AskedBond, JudgedBond};
pub use curve::{Curve, crown};
pub use curves::{Curves, FitCurve, PartCurve};
pub use draw::{Draw, PartDraw, PlaceDraw};
pub use evaluate::{
    BondOutcome, DaySet, Desk, FitOutcome, Outcome, PartOutcome, evaluate, move_parts,
};
pub use findings::{
    BondAtLength, BondFinding, ClientFinding, DrawnJoint, FitFinding, Forecast, InputShare,
    JobFinding, PartFinding, PlaceFinding, Remedy, SetupLine, Verdict,
};
pub use fits::FitJudgement;
pub use panels::PanelStudy;
pub use prepare::{Airs, Life, PartModel, PartTrack, Prepared, Stock};
pub use sampling::{Cloud, Input, Inputs};
pub use single::{SingleFit, SinglePart, ThreeMoistures, single_bond, single_fit};
pub use standing::Standing;
pub use timeline::{Phase, Timeline};

use crate::air::equilibrium_moisture;
use crate::chance::{InputBins, remaining_share};
use crate::job::{Job, JobErrors, PlaceId, Spreads};
use crate::joint::bond::SPLIT_HOLDS_PERCENT;
use crate::joint::{Axis, BondPlan, Design, Fit, JointPlan, PartId, Size};
use crate::moisture::ExclusionRow;
use crate::species::SpeciesTable;
use crate::units::UnitSystem;
use humidity::{Steady, middle_curve};
use part_findings::PartView;
use rayon::prelude::*;
use remedies::Bench;
use std::sync::Mutex;

/// Version of the layout of a forecast.
pub const FORMAT: u32 = 1;
/// A design holds when it works in at least this share of the draws, percent.
pub const HOLDS_PERCENT: f64 = 90.0;
/// Below this share, percent, it is to be redone; between the two it is marginal.
pub const MARGINAL_PERCENT: f64 = 50.0;
/// Days between two of those every draw looks at, beside the days that bind.
const STRIDE: usize = 14;
/// A part may be this much smaller than its cut before it is told, mm.
const TOO_SMALL_MM: f64 = 0.5;
/// Shares of the spread smaller than this are not told, percent.
const TOLD_SHARE: f64 = 3.0;

/// Forecasts a job.
///
/// # Errors
/// [`JobErrors`] at the places of unknown woods and finishes.
pub fn forecast(job: &Job, species: &SpeciesTable, airs: &Airs) -> Result<Forecast, JobErrors> {
    forecast_with(job, species, airs, &|_| ())
}

/// Forecasts a job, telling `tick` how many draws were done since it was last told.
///
/// # Errors
/// [`JobErrors`] at the places of unknown woods and finishes.
pub fn forecast_with(
    job: &Job,
    species: &SpeciesTable,
    airs: &Airs,
    tick: &(dyn Fn(u64) + Sync),
) -> Result<Forecast, JobErrors> {
    let prepared = Prepared::new(job, species, airs)?;
    let inputs = Inputs::of(job, &prepared, airs);
    let study = Study::new(&prepared, &inputs, job, tick);
    study.forecast(job, species, airs)
}

/// Answers only the sections of a job on the standing piece, by the middle draw.
///
/// # Errors
/// [`JobErrors`] at the places of unknown woods and finishes, and at sections that cannot be answered.
pub fn standing_piece(
    job: &Job,
    species: &SpeciesTable,
    airs: &Airs,
) -> Result<Standing, JobErrors> {
    let prepared = Prepared::new(job, species, airs)?;
    let inputs = Inputs::of(job, &prepared, airs);
    let all = DaySet::new((0..prepared.timeline.days()).collect());
    let mut desk = Desk::new(&prepared, &all);
    move_parts(&prepared, &inputs.middle(), &all, &mut desk);
    standing::standing(job, &prepared, &desk.motion, &|part| {
        desk.tracks[part].mean_percent.clone()
    })
}

/// The middle draw on every day and all draws on the days that matter.
struct Study<'a> {
    prepared: &'a Prepared,
    inputs: &'a Inputs,
    desk: Desk,
    middle: Outcome,
    set: DaySet,
    cloud: Cloud,
    cuts_mm: Vec<f64>,
    judged: Vec<FitJudgement>,
}

impl<'a> Study<'a> {
    fn new(
        prepared: &'a Prepared,
        inputs: &'a Inputs,
        job: &Job,
        tick: &(dyn Fn(u64) + Sync),
    ) -> Self {
        let all = DaySet::new((0..prepared.timeline.days()).collect());
        let fits = || {
            prepared
                .joints
                .iter()
                .flat_map(|joint| joint.fits.iter().map(move |fit| (joint, fit)))
        };
        let mut desk = Desk::new(prepared, &all);
        let mut middle = Outcome::default();
        move_parts(prepared, &inputs.middle(), &all, &mut desk);
        let nominal: Vec<f64> = fits()
            .map(|(joint, fit)| {
                let days = evaluate::days_of(prepared, joint, fit, &all);
                fit.given.map_or_else(
                    || {
                        fit.cut_interval(&desk.motion, &days)
                            .choose(fit.aim)
                            .unwrap_or(0.0)
                    },
                    crate::units::Length::mm,
                )
            })
            .collect();
        evaluate(
            prepared,
            &inputs.middle(),
            &all,
            &nominal,
            &mut desk,
            &mut middle,
        );
        let set = days_that_matter(prepared, &middle);
        let cloud = inputs.cloud(
            &prepared.on(&set),
            &set,
            &nominal,
            job.seed,
            job.draws,
            tick,
        );
        let every: Vec<(usize, &Fit)> = fits().map(|(_, fit)| fit).enumerate().collect();
        let judged: Vec<FitJudgement> = every
            .into_par_iter()
            .map(|(index, fit)| {
                let outcomes = fits::column(&cloud.outcomes, index);
                let cut = fit.given.map_or_else(
                    || fits::choose_cut(fit, &outcomes),
                    crate::units::Length::mm,
                );
                fits::judge(&outcomes, cut)
            })
            .collect();
        let cuts_mm: Vec<f64> = judged.iter().map(|judged| judged.cut_mm).collect();
        evaluate(
            prepared,
            &inputs.middle(),
            &all,
            &cuts_mm,
            &mut desk,
            &mut middle,
        );
        Self {
            prepared,
            inputs,
            desk,
            middle,
            set,
            cloud,
            cuts_mm,
            judged,
        }
    }

    fn date(&self, day: usize) -> String {
        self.prepared.timeline.date(day).to_string()
    }

    fn forecast(
        &self,
        job: &Job,
        species: &SpeciesTable,
        airs: &Airs,
    ) -> Result<Forecast, JobErrors> {
        let prepared = self.prepared;
        let panels = panels::studies(job, species, prepared, &self.desk)?;
        let standing = standing::standing(job, prepared, &self.desk.motion, &|part| {
            self.desk.tracks[part].mean_percent.clone()
        })?;
        let boards = boards::studies(job, species, airs, prepared.timeline.date(0))?;
        let parts: Vec<PartFinding> = job
            .parts
            .iter()
            .enumerate()
            .map(|(index, told)| {
                part_findings::finding(&PartView {
                    told,
                    prepared,
                    desk: &self.desk,
                    middle: &self.middle.parts[index],
                    cloud: &self.cloud.outcomes,
                    index,
                })
            })
            .collect();
        let curves: Vec<Curve> = prepared.parts.iter().map(middle_curve).collect();
        let bins = InputBins::new(self.cloud.numbers.iter().map(Vec::as_slice));
        let bench = Bench {
            prepared,
            inputs: self.inputs,
            airs,
            species,
            set: &self.set,
            seed: job.seed,
            solved: Mutex::default(),
        };
        let mut views = Vec::new();
        let mut glued = Vec::new();
        let mut by_joint = Vec::new();
        let mut drawings = Vec::new();
        for joint in &prepared.joints {
            let first = views.len();
            for fit in &joint.fits {
                views.push(FitView {
                    joint,
                    fit,
                    index: views.len(),
                    curves: &curves,
                    bins: &bins,
                    bench: &bench,
                });
            }
            by_joint.push(first..views.len());
            drawings.push(DrawnJoint {
                name: joint.name.clone(),
                drawing: joint.drawing.clone(),
                fits: first..views.len(),
                bonds: glued.len()..glued.len() + joint.bonds.len(),
            });
            for bond in &joint.bonds {
                glued.push((glued.len(), joint, bond));
            }
        }
        let fits: Vec<FitFinding> = views.par_iter().map(|view| self.fit(view)).collect();
        let bonds: Vec<BondFinding> = glued
            .into_par_iter()
            .map(|(index, joint, bond)| self.bond(joint, bond, index, &curves, &bench))
            .collect();
        let (setup, mut warnings) = setup::lines(prepared, &fits, &by_joint);
        warnings.extend(self.too_small());
        warnings.extend(prepared.narrowed.doubted.iter().cloned());
        warnings.extend(airs.notes().map(str::to_owned));
        warnings.extend(prepared.joints.iter().flat_map(|joint| {
            joint
                .notes
                .iter()
                .map(move |note| format!("{}: {note}", joint.name))
        }));
        let client = client::finding(&fits, &bonds, &parts, job.show);
        let cautions = cautions(&boards);
        Ok(Forecast {
            format: FORMAT,
            job: self.job(job, airs),
            measure_next: measure_next(&fits),
            parts,
            fits,
            bonds,
            panels,
            boards,
            standing,
            setup,
            client,
            cautions,
            warnings,
            assumptions: assumptions(self.inputs.spreads(), &prepared.narrowed, job.draws),
            curves: curves::curves(prepared, self.inputs, &self.cuts_mm, job.seed),
            finishes: finishes(job),
            drawings,
            sections: prepared.parts.iter().map(|part| part.section).collect(),
            shrinkages: prepared.parts.iter().map(|part| part.shrinkage).collect(),
        })
    }

    fn job(&self, job: &Job, airs: &Airs) -> JobFinding {
        JobFinding {
            name: job.name.clone(),
            show: match job.show {
                UnitSystem::Inch => "inch",
                UnitSystem::Metric => "metric",
            },
            measured_on: self.date(0),
            assembled_on: job.schedule.assembled.to_string(),
            delivered_on: job.schedule.delivered.to_string(),
            seed: job.seed,
            draws: job.draws,
            version: env!("CARGO_PKG_VERSION"),
            places: job
                .places
                .iter()
                .enumerate()
                .map(|(index, place)| {
                    let months = airs.year(PlaceId(index)).monthly_means();
                    PlaceFinding {
                        name: place.name.clone(),
                        air: place.told.clone(),
                        temperature_c: months.iter().map(|air| air.temperature.celsius()).collect(),
                        humidity_percent: months.iter().map(|air| air.humidity.percent()).collect(),
                        emc_percent: months
                            .iter()
                            .map(|air| equilibrium_moisture(*air).percent())
                            .collect(),
                    }
                })
                .collect(),
        }
    }

    fn fit(&self, view: &FitView<'_>) -> FitFinding {
        let FitView {
            joint, fit, index, ..
        } = *view;
        let prepared = self.prepared;
        let outcome = &self.middle.fits[index];
        let judged = &self.judged[index];
        let cut_mm = judged.cut_mm;
        let cut_day = prepared.cut_day(joint);
        let verdict = Verdict::of_chance(judged.holds_percent);
        let always = fit.when == crate::joint::When::Always;
        let home = fit.guest.first().map(|term| {
            view.bench
                .airs
                .year(prepared.parts[term.part.0].home)
                .mean()
        });
        let at_cut = |part: PartId, axis: Axis| self.desk.motion.ratio(part, axis, cut_day);
        let steady = home
            .filter(|_| always)
            .map(|home| Steady::new(view.curves, fit, cut_mm, &at_cut, home));
        let survives = steady.as_ref().and_then(Steady::survives);
        let fails = |end: usize| {
            let (steady, range) = (steady.as_ref()?, survives?);
            steady.fails(range[end], end == 1).map(str::to_owned)
        };
        let remedies = if verdict == Verdict::Holds {
            Vec::new()
        } else {
            view.bench
                .remedies(joint, fit, cut_mm, judged.holds_percent)
        };
        FitFinding {
            joint: fit.name.clone(),
            kind: joint.kind,
            cut: fit.words.cut,
            dimension: fit.words.dimension,
            cut_mm,
            cut_told: fit.given.is_some(),
            cut_on: self.date(cut_day),
            gap: fit.words.gap.clone(),
            gap_today_mm: fit.gap_mm(&self.desk.motion, cut_day, cut_day, cut_mm),
            gap_allowed_least_mm: fit.least.mm(),
            gap_allowed_greatest_mm: fits::allowed_greatest_mm(fit, cut_mm),
            gap_least_mm: outcome.least_mm,
            gap_least_low_mm: judged.least.low,
            gap_least_high_mm: judged.least.high,
            gap_least_on: self.date(outcome.least_at),
            gap_greatest_mm: outcome.greatest_mm,
            gap_greatest_low_mm: judged.greatest.low,
            gap_greatest_high_mm: judged.greatest.high,
            gap_greatest_on: self.date(outcome.greatest_at),
            held_least_mm: fits::held_least_mm(fit, outcome, cut_mm),
            survives_humidity_percent: survives,
            fails_dry: fails(0),
            fails_wet: fails(1),
            holds_chance_percent: judged.holds_percent,
            too_tight_chance_percent: judged.tight_percent,
            too_loose_chance_percent: judged.loose_percent,
            verdict,
            reason: self.fit_reason(fit, judged, outcome),
            bound_by: self.bound_by(fit, judged, outcome),
            first_winter: self.first_winter(view, cut_mm),
            remedies,
            matters_most: self.matters_most(view, cut_mm),
        }
    }

    fn bond(
        &self,
        joint: &JointPlan,
        bond: &BondPlan,
        index: usize,
        curves: &[Curve],
        bench: &Bench<'_>,
    ) -> BondFinding {
        let prepared = self.prepared;
        let asked = bonds::asked(prepared, bond);
        let cloud = bonds::column(&self.cloud.outcomes, index);
        let glued_on = prepared.assembled.max(prepared.cut_day(joint));
        let ratio =
            |side: &crate::joint::BondSide| self.desk.motion.ratio(side.part, side.axis, glued_on);
        let home = bench
            .airs
            .year(prepared.parts[bond.moves.part.0].home)
            .mean();
        let survives = (bond.design != Design::Floating)
            .then(|| {
                humidity::bond_survives(
                    curves,
                    bond,
                    &asked.line,
                    asked.glued(),
                    ratio(&bond.moves) / ratio(&bond.holds),
                    home,
                )
            })
            .flatten();
        let split = bonds::split_percent(&asked.line, asked.glued(), &cloud);
        let better_wood = if split > SPLIT_HOLDS_PERCENT && bond.design != Design::Floating {
            bench.bond_remedies(joint, bond, split)
        } else {
            Vec::new()
        };
        bonds::finding(
            prepared,
            joint,
            bond,
            (&self.middle.bonds[index], &cloud),
            better_wood,
            survives,
            &|day| self.date(day),
        )
    }

    /// Parts that are smaller than the size to which they are to be cut.
    fn too_small(&self) -> Vec<String> {
        let prepared = self.prepared;
        let mut cuts = self.cuts_mm.iter();
        let mut told = Vec::new();
        for joint in &prepared.joints {
            for fit in &joint.fits {
                let Some(&cut_mm) = cuts.next() else { continue };
                let Some(term) = fit.guest.iter().find(|term| term.size == Size::Cut) else {
                    continue;
                };
                let part = &prepared.parts[term.part.0].facts;
                let day = prepared.cut_day(joint);
                let there =
                    part.size(term.axis).mm() * self.desk.motion.ratio(term.part, term.axis, day);
                if there < cut_mm - TOO_SMALL_MM {
                    told.push(format!(
                        "{}: {} is to be cut {cut_mm:.1} mm {} but is only {there:.1} mm; with the part as it is the {} is {:.1} mm today",
                        fit.name,
                        part.name,
                        fit.words.dimension,
                        fit.words.gap,
                        fit.gap_mm(&self.desk.motion, day, day, there)
                    ));
                }
            }
        }
        told
    }

    fn fit_reason(&self, fit: &Fit, judged: &FitJudgement, outcome: &FitOutcome) -> String {
        let chance = |percent: f64| format!("in {percent:.0} of 100 such joints");
        let words = &fit.words;
        let mut told = Vec::new();
        if judged.tight_percent >= 100.0 - HOLDS_PERCENT {
            told.push(format!(
                "{} {}, worst around {}",
                chance(judged.tight_percent),
                words.too_tight,
                self.date(outcome.least_at)
            ));
        }
        if judged.loose_percent >= 100.0 - HOLDS_PERCENT && !words.too_loose.is_empty() {
            told.push(format!(
                "{} {}, worst around {}",
                chance(judged.loose_percent),
                words.too_loose,
                self.date(outcome.greatest_at)
            ));
        }
        if told.is_empty() {
            format!(
                "it stays within its limits in {:.0} of 100 such joints",
                judged.holds_percent
            )
        } else {
            told.join("; ")
        }
    }

    /// The time that binds a fit: the day on which it is nearest to failing, named after the moisture of its guest.
    fn bound_by(&self, fit: &Fit, judged: &FitJudgement, outcome: &FitOutcome) -> Option<String> {
        if fit.when == crate::joint::When::Assembly {
            return None;
        }
        let tight = match judged.tight_percent.total_cmp(&judged.loose_percent) {
            std::cmp::Ordering::Equal => outcome.spare_tight_mm <= outcome.spare_loose_mm,
            order => order.is_gt(),
        };
        let day = if tight {
            outcome.least_at
        } else {
            outcome.greatest_at
        };
        let track = &self.desk.tracks[fit.guest.first()?.part.0].mean_percent;
        let settled = &track[self.prepared.timeline.settled()..];
        let mean = settled.iter().sum::<f64>() / settled.len() as f64;
        let season = if track[day] < mean {
            "driest"
        } else {
            "wettest"
        };
        let phase = match self.prepared.timeline.phase(day) {
            Phase::Shop => "before delivery",
            Phase::FirstYear => "in the first year at home",
            Phase::Settled => "every year",
        };
        Some(format!(
            "the {season} time, {phase}, around {}",
            self.date(day)
        ))
    }

    /// What the first year at home does that later ones do not.
    fn first_winter(&self, view: &FitView<'_>, cut_mm: f64) -> Option<String> {
        const WORTH_MM: f64 = 0.1;
        let FitView { joint, fit, .. } = *view;
        if fit.when == crate::joint::When::Assembly {
            return None;
        }
        let timeline = &self.prepared.timeline;
        let cut = self.prepared.cut_day(joint);
        let extremes = |judged: std::ops::Range<usize>| {
            fit.extremes(
                &self.desk.motion,
                &crate::joint::Days { cut, judged },
                cut_mm,
            )
        };
        let first = extremes(timeline.delivered().max(cut)..timeline.settled())?;
        let later = extremes(timeline.settled()..timeline.days())?;
        let wider = first.greatest.gap_mm - later.greatest.gap_mm;
        let tighter = later.least.gap_mm - first.least.gap_mm;
        if wider.max(tighter) < WORTH_MM {
            return None;
        }
        let (mm, day, how) = if wider > tighter {
            (wider, first.greatest.day, "wider")
        } else {
            (tighter, first.least.day, "tighter")
        };
        Some(format!(
            "in the first year the gap goes {mm:.1} mm {how} than in any later one, around {}",
            self.date(day)
        ))
    }

    fn matters_most(&self, view: &FitView<'_>, cut_mm: f64) -> Vec<InputShare> {
        let FitView {
            fit, index, bins, ..
        } = *view;
        let outcomes = fits::column(&self.cloud.outcomes, index);
        let judged = &self.judged[index];
        let binding: fn(&FitOutcome, f64) -> f64 = if judged.loose_percent > judged.tight_percent
            && fit.greatest != crate::joint::Greatest::Any
        {
            FitOutcome::loose_for
        } else {
            FitOutcome::tight_for
        };
        let answers: Vec<f64> = outcomes
            .iter()
            .map(|outcome| binding(outcome, cut_mm))
            .collect();
        if answers.iter().any(|answer| !answer.is_finite()) {
            return Vec::new();
        }
        let parts: Vec<usize> = fit.parts().map(|part| part.0).collect();
        bins.rank_of(self.inputs.behind(self.prepared, &parts), &answers)
            .into_iter()
            .take(3)
            .filter(|part| part.share * 100.0 >= TOLD_SHARE)
            .map(|part| {
                let input = &self.inputs.list()[part.input];
                InputShare {
                    input: input.words.clone(),
                    measure: input.measure.clone(),
                    share_percent: 100.0 * part.share,
                    narrows_to_percent: 100.0 * remaining_share(part.share, input.left),
                }
            })
            .collect()
    }
}

/// What the finding of one fit is made of.
struct FitView<'a> {
    joint: &'a JointPlan,
    fit: &'a Fit,
    index: usize,
    curves: &'a [Curve],
    bins: &'a InputBins,
    bench: &'a Bench<'a>,
}

/// The days every draw looks at: every fortnight, the days of cutting, gluing and delivery, and those on which the
/// middle draw's parts, fits and bonds are at their ends.
pub fn days_that_matter(prepared: &Prepared, middle: &Outcome) -> DaySet {
    let timeline = &prepared.timeline;
    let mut days: Vec<usize> = (0..timeline.days()).step_by(STRIDE).collect();
    days.extend([
        0,
        prepared.assembled,
        timeline.delivered(),
        timeline.settled(),
        timeline.days() - 1,
    ]);
    for joint in &prepared.joints {
        let cut = prepared.cut_day(joint);
        days.extend([cut, prepared.assembled.max(cut)]);
    }
    days.extend(
        middle
            .parts
            .iter()
            .flat_map(|part| [part.driest_at, part.wettest_at]),
    );
    days.extend(
        middle
            .fits
            .iter()
            .flat_map(|fit| [fit.least_at, fit.greatest_at]),
    );
    days.extend(
        middle
            .bonds
            .iter()
            .flat_map(|bond| [bond.driest_at, bond.wettest_at]),
    );
    DaySet::new(days)
}

/// A measurement that leaves more of a band than this is not worth taking, percent.
const WORTH_MEASURING: f64 = 98.0;

/// The measurements worth taking next: each input by what it contributes to the fits that are not sure, and how far
/// measuring it would narrow their bands on the whole. What no measurement narrows is not among them.
fn measure_next(fits: &[FitFinding]) -> Vec<InputShare> {
    let mut shares: Vec<InputShare> = Vec::new();
    let unsure = |fit: &FitFinding| (100.0 - fit.holds_chance_percent).max(0.0) / 100.0;
    let whole: f64 = fits.iter().map(unsure).sum();
    if whole <= 0.0 {
        return shares;
    }
    for fit in fits {
        let weight = unsure(fit) / whole;
        for share in &fit.matters_most {
            // A fit that does not hang on an input keeps its band.
            let (adds, narrows) = (
                weight * share.share_percent,
                weight * (share.narrows_to_percent - 100.0),
            );
            match shares.iter_mut().find(|known| known.input == share.input) {
                Some(known) => {
                    known.share_percent += adds;
                    known.narrows_to_percent += narrows;
                }
                None => shares.push(InputShare {
                    share_percent: adds,
                    narrows_to_percent: 100.0 + narrows,
                    ..share.clone()
                }),
            }
        }
    }
    shares.retain(|share| {
        share.share_percent >= TOLD_SHARE && share.narrows_to_percent <= WORTH_MEASURING
    });
    shares.sort_by(|a, b| a.narrows_to_percent.total_cmp(&b.narrows_to_percent));
    shares.truncate(5);
    shares
}

/// The finishes of a job's parts that come from the exclusion table, each once.
fn finishes(job: &Job) -> Vec<&'static ExclusionRow> {
    let mut rows: Vec<&'static ExclusionRow> = Vec::new();
    for row in job
        .parts
        .iter()
        .filter_map(|part| part.finish.as_ref()?.finish.row())
    {
        if !rows.contains(&row) {
            rows.push(row);
        }
    }
    rows
}

/// The cautions that apply, the pressing ones first.
fn cautions(boards: &[BoardStudy]) -> Vec<String> {
    let mut list: Vec<String> = boards
        .iter()
        .flat_map(|board| {
            board.forecast.cautions.iter().map(move |caution| {
                format!(
                    "{}: {}",
                    board.name,
                    caution.words().trim_start_matches("Caution: ")
                )
            })
        })
        .collect();
    list.extend([
        "Tall or heavy furniture can tip: anchor it to the framing of the wall, as your local code and the maker of the anchor say; ask a licensed trade where in doubt.",
        "Shelf and fastening figures are no structural design: where people could be hurt, ask a licensed engineer.",
        "Wood dust and finishes: follow the safety data sheets of their makers.",
    ]
    .map(str::to_owned));
    list
}

/// What the answers rest on: the draws, every spread with its source, what was measured, and the rules.
fn assumptions(spreads: &Spreads, narrowed: &Narrowed, draws: u32) -> Vec<String> {
    let mut list = vec![format!(
        "Bands and chances rest on {draws} draws of everything that cannot be known for sure. A design holds when it works in {HOLDS_PERCENT:.0} of 100 draws and is to be redone below {MARGINAL_PERCENT:.0}; between the two it is marginal (judgement)."
    )];
    list.extend(
        spreads
            .words()
            .into_iter()
            .map(|spread| format!("Taken: {} ({}).", spread.words, spread.source)),
    );
    list.extend(narrowed.told.iter().cloned());
    list.extend([
        "Equilibrium moisture: Hailwood-Horrobin with the coefficients of the Wood Handbook, Eq. 4-5.",
        "Shrinkage: straight line below fibre saturation, Wood Handbook Tables 4-3 and 4-4; sections by the stress-free map of a ring-wise shrinking board.",
        "Moisture through time: one-dimensional diffusion through the thickness, diffusivity after Siau (1984, from memory), finishes fitted to Wood Handbook Table 16-3. Within about two thicknesses of a bare end the wood is ahead of these figures.",
        "Moisture years of the draws are read from a grid of 15 solved ones for each thickness, wood, finish and place; against 100 full solves the daily mean is within 0.02 % moisture root mean square and 0.15 % on the worst day.",
        "Bonds: shear-lag, half of the stress relaxed by slow drying (judgement), rupture from 0.009 strain across the grain (Getty Conservation Institute 1998).",
    ].map(str::to_owned));
    list
}
