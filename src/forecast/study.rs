//! A job studied: the middle draw on every day, all draws on the days that matter, and what they say put together.

use super::airs::Airs;
use super::client::AtHome;
use super::cloud::{Cloud, Share};
use super::curve::Curve;
use super::curves;
use super::evaluate::{self, DaySet, Outcome, Workspace, judge_moved};
use super::findings::{
    BondFinding, DrawnJoint, FitFinding, Forecast, JobFinding, PartFinding, PlaceFinding,
};
use super::fit_findings::FitView;
use super::fits::{self, FitJudgement};
use super::humidity::drawn_curve;
use super::kept::{self, Changed, Found, KeptDraws, Known, Premises};
use super::log::{self, LogRead};
use super::memory::Memory;
use super::not_modeled;
use super::part_findings::{self, PartView};
use super::piece_finding::{PieceFinding, piece_words};
use super::prepare::Prepared;
use super::ranking::RANKED;
use super::ready::Ready;
use super::remedies::{self, WhatIf};
use super::samples::{Made, Samples};
use super::sampling::Inputs;
use super::{BoardStudy, PanelStudy, Standing};
use super::{FORMAT, client, grid_check, premises, ranking, ready, screws, setup, standing};
use crate::air::equilibrium_moisture;
use crate::job::{Job, JobErrors, PlaceId};
use crate::joint::{Axis, Fit, PartId, Size};
use crate::moisture::ExclusionRow;
use crate::numerics::{Deadline, Stopped};
use crate::species::SpeciesTable;
use crate::units::Length;
use crate::units::UnitSystem;
use crate::units::notation::{shown, the};
use jiff::civil::Date;
use rayon::prelude::*;
use std::sync::{Arc, Mutex, OnceLock};

/// Days between two of those every draw looks at, beside the days that bind.
const STRIDE: usize = 14;
/// Monthly mean humidity above which a lived-in room is too damp, percent (judgement).
const DAMP_PERCENT: f64 = 65.0;
/// A part may be this much smaller than its cut before it is given, mm.
const TOO_SMALL_MM: f64 = 0.5;

/// The middle draw on every day and all draws on the days that matter.
pub(super) struct Study<'a> {
    pub(super) prepared: &'a Prepared,
    pub(super) inputs: &'a Inputs,
    pub(super) workspace: Workspace,
    pub(super) middle: Outcome,
    pub(super) set: DaySet,
    /// The job on the days of the set.
    pub(super) looked_at: Prepared,
    pub(super) samples: Samples,
    /// The draws as they are kept, and those before them that they were made from, with what was drawn again.
    kept: Arc<KeptDraws>,
    before: Option<(Arc<KeptDraws>, Changed)>,
    /// The cuts that the draws were made about, mm.
    pub(super) nominal_mm: Vec<f64>,
    pub(super) cuts_mm: Vec<f64>,
    pub(super) judged: Vec<FitJudgement>,
    pub(super) deadline: Deadline<'a>,
}

/// What is known before the draws.
struct Before {
    middle: Outcome,
    /// The cuts that draws are made about, mm.
    nominal: Vec<f64>,
    set: DaySet,
    looked_at: Prepared,
}

impl Before {
    fn of(
        prepared: &Prepared,
        inputs: &Inputs,
        workspace: &Workspace,
        deadline: Deadline<'_>,
    ) -> Result<Self, Stopped> {
        deadline.check()?;
        let all = DaySet::new((0..prepared.timeline.days()).collect());
        let fits = prepared
            .joints
            .iter()
            .flat_map(|joint| joint.fits.iter().map(move |fit| (joint, fit)));
        let mut middle = Outcome::default();
        let nominal: Vec<f64> = fits
            .map(|(joint, fit)| {
                let days = evaluate::days_of(prepared, joint, fit, &all);
                fit.given.map_or_else(
                    || {
                        fit.cut_interval(&workspace.motion, &days)
                            .choose(fit.aim)
                            .unwrap_or(0.0)
                    },
                    Length::mm,
                )
            })
            .collect();
        let draw = inputs.middle();
        judge_moved(prepared, &draw, &all, &nominal, workspace, &mut middle);
        let set = days_that_matter(prepared, &middle);
        let looked_at = prepared.on(&set);
        Ok(Self {
            middle,
            nominal,
            set,
            looked_at,
        })
    }

    /// All draws of a job about what is known.
    fn cloud<'a>(&'a self, inputs: &'a Inputs, job: &Job) -> Cloud<'a> {
        Cloud {
            inputs,
            prepared: &self.looked_at,
            set: &self.set,
            cuts_mm: &self.nominal,
            seed: job.seed,
            draws: job.draws,
        }
    }
}

/// One share of the draws of a job.
pub(super) fn share(
    ready: &Ready,
    job: &Job,
    share: Share,
    deadline: Deadline<'_>,
) -> Result<Made, Stopped> {
    let (prepared, inputs) = (&ready.prepared, &ready.inputs);
    let before = Before::of(prepared, inputs, &ready.workspace, deadline)?;
    before
        .cloud(inputs, job)
        .share(share, &|_| deadline.check())
}

impl<'a> Study<'a> {
    pub(super) fn new(
        prepared: &'a Prepared,
        inputs: &'a Inputs,
        workspace: Workspace,
        job: &Job,
        memory: &Memory,
        deadline: Deadline<'a>,
        tick: &(dyn Fn(u64) + Sync),
    ) -> Result<Self, Stopped> {
        let known = Before::of(prepared, inputs, &workspace, deadline)?;
        let whole = known.cloud(inputs, job);
        let tick = |done| {
            tick(done);
            deadline.check()
        };
        let mut now = KeptDraws {
            seed: job.seed,
            draws: job.draws,
            inputs: inputs.clone(),
            set: known.set.clone(),
            prepared: prepared.clone(),
            nominal_mm: known.nominal.clone(),
            samples: Samples::default(),
            judged: Vec::new(),
            found: OnceLock::new(),
        };
        let made = memory.take_made();
        let before = memory.draws(job.draws).and_then(|kept| {
            let changed = kept.changed(&now)?;
            Some((kept, changed))
        });
        let samples = match &before {
            Some((kept, changed)) if changed.is_nothing() => kept.samples.clone(),
            Some((kept, changed)) => {
                let cuts_mm: Vec<f64> = (changed.fits.iter())
                    .map(|fit| known.nominal[*fit])
                    .collect();
                let again = Cloud {
                    prepared: &changed.of(&known.looked_at),
                    cuts_mm: &cuts_mm,
                    ..whole
                };
                kept.samples.with(&again.all(made, &tick)?, changed)
            }
            None => whole.all(made, &tick)?,
        };
        let Before {
            mut middle,
            nominal,
            set,
            looked_at,
        } = known;
        let fits = prepared.joints.iter().flat_map(|joint| &joint.fits);
        let every: Vec<(usize, &Fit)> = fits.enumerate().collect();
        let judged: Vec<FitJudgement> = every
            .into_par_iter()
            .map(|(index, fit)| {
                let known = before
                    .as_ref()
                    .and_then(|(old, changed)| kept::kept(&old.judged, &changed.fits, index));
                if let Some(known) = known {
                    return known.clone();
                }
                let outcomes = samples.fit(index);
                let cut = fit
                    .given
                    .map_or_else(|| fits::choose_cut(fit, outcomes.clone()), Length::mm);
                fits::judge(outcomes, cut)
            })
            .collect();
        now.samples = samples.clone();
        now.judged = judged.clone();
        let kept = memory.keep_draws(now);
        let cuts_mm: Vec<f64> = judged.iter().map(|judged| judged.cut.mm()).collect();
        let all = DaySet::new((0..prepared.timeline.days()).collect());
        let draw = inputs.middle();
        judge_moved(prepared, &draw, &all, &cuts_mm, &workspace, &mut middle);
        Ok(Self {
            prepared,
            inputs,
            workspace,
            middle,
            set,
            looked_at,
            samples,
            kept,
            before,
            nominal_mm: nominal,
            cuts_mm,
            judged,
            deadline,
        })
    }

    pub(super) fn date(&self, day: usize) -> Date {
        self.prepared.timeline.date(day)
    }

    pub(super) fn forecast(
        &self,
        job: &Job,
        species: &SpeciesTable,
        airs: &Airs,
        memory: &Memory,
        read: Option<&LogRead>,
        (panels, boards, mut standing): (Vec<PanelStudy>, Vec<BoardStudy>, Standing),
    ) -> Result<Forecast, JobErrors> {
        let prepared = self.prepared;
        let on = || {
            self.deadline
                .check()
                .map_err(|stopped| super::stopped_early(job, stopped))
        };
        standing::spread(job, prepared, self.inputs, self.deadline, &mut standing)
            .map_err(|stopped| super::stopped_early(job, stopped))?;
        let premises = Premises::of(job, species, airs);
        let known: Option<Known<'_>> = self
            .before
            .as_ref()
            .and_then(|(before, changed)| before.known(&self.kept, changed, &premises));
        let known = known.as_ref();
        let middle = self.inputs.middle();
        let curves: Vec<Curve> = prepared
            .parts
            .iter()
            .zip(&middle.parts)
            .map(|(part, drawn)| drawn_curve(part, drawn))
            .collect();
        let bins = self.inputs.bins(job.seed, RANKED.min(self.samples.draws()));
        let what_if = WhatIf {
            prepared: &self.looked_at,
            middle: &middle,
            draws: self.inputs.first_draws(job.seed, remedies::DRAWS),
            inputs: self.inputs,
            airs,
            species,
            set: &self.set,
            wood_fixed: job.wood_fixed,
            finish_fixed: job.finish_fixed,
            memory,
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
                    bench: &what_if,
                });
            }
            by_joint.push(first..views.len());
            drawings.push(DrawnJoint {
                name: joint.name.clone(),
                drawing: joint.drawing.clone(),
                fits: first..views.len(),
                bonds: glued.len()..glued.len() + joint.bonds.len(),
                bodies: joint.bodies.clone(),
            });
            for bond in &joint.bonds {
                glued.push((glued.len(), joint, bond));
            }
        }
        let stopped = |stopped| super::stopped_early(job, stopped);
        let fits = || -> Result<Vec<FitFinding>, Stopped> {
            let fit = |view: &FitView<'_>| {
                self.deadline.check()?;
                let found = known.and_then(|known| known.fit(view.index));
                Ok(found.map_or_else(|| self.fit(view), Clone::clone))
            };
            views.par_iter().map(fit).collect()
        };
        let bonds = || -> Result<Vec<BondFinding>, Stopped> {
            let bond = |(index, joint, bond)| {
                self.deadline.check()?;
                let found = known.and_then(|known| known.bond(index));
                let find = || self.bond(joint, bond, index, &curves, &what_if);
                Ok(found.map_or_else(find, Clone::clone))
            };
            glued.into_par_iter().map(bond).collect()
        };
        let timeline = &prepared.timeline;
        let at_home = timeline.delivered()..timeline.days();
        let gaps = || -> Vec<AtHome> {
            let gap_at_home = |view: &FitView<'_>| {
                let cut = prepared.cut_day(view.joint);
                let cut_mm = self.cuts_mm[view.index];
                let gap = |day: usize| view.fit.gap_mm(&self.workspace.motion, day, cut, cut_mm);
                AtHome::over(at_home.clone(), gap, |day| self.date(day))
            };
            views.par_iter().map(gap_at_home).collect()
        };
        let parts = || -> Vec<PartFinding> {
            let part = |(index, given)| {
                if let Some(found) = known.and_then(|known| known.part(index, given)) {
                    return found.clone();
                }
                part_findings::finding(&PartView {
                    given,
                    prepared,
                    workspace: &self.workspace,
                    middle: &self.middle.parts[index],
                    samples: &self.samples,
                    index,
                })
            };
            job.parts.par_iter().enumerate().map(part).collect()
        };
        let grid_and_curves = || {
            rayon::join(
                || match known {
                    Some(known) => known.found.grid_error,
                    None => grid_check::measure(prepared, self.inputs, airs, job.seed, job.draws),
                },
                || curves::curves(self, job.seed, known),
            )
        };
        let piece_and_frame = || {
            rayon::join(
                || {
                    let mut piece = PieceFinding::today(job, species)?;
                    piece.through_the_year(job, prepared, self.inputs);
                    Some(piece)
                },
                || super::frame::finding(job, prepared),
            )
        };
        // None waits for another, so that no thread waits for the last of a kind.
        let ((fits, ((bonds, parts), gaps)), ((grid_error, drawn_curves), (piece, frame))) =
            rayon::join(
                || rayon::join(fits, || rayon::join(|| rayon::join(bonds, parts), gaps)),
                || rayon::join(grid_and_curves, piece_and_frame),
            );
        let (fits, bonds) = (fits.map_err(stopped)?, bonds.map_err(stopped)?);
        if memory.has_room_for(drawn_curves.bytes()) {
            let found = Found::new(premises, (&parts, &fits, &bonds), &drawn_curves, grid_error);
            // A forecast finds once.
            let _ = self.kept.found.set(found);
        }
        if let Some(install) = &mut standing.install {
            install
                .fastened
                .extend(screws::of_joints(prepared, &fits, &by_joint));
        }
        let (setup, mut warnings) = setup::lines(prepared, &fits, &by_joint);
        warnings.extend(prepared.narrowed.doubted.iter().cloned());
        let beside = log::Beside {
            fits: &fits,
            boards: &boards,
            panels: &panels,
            species,
            airs,
            memory,
        };
        let log = read
            .map(|read| log::finding(self, job, read, &beside))
            .transpose()
            .map_err(stopped)?;
        on()?;
        if let Some(log) = &log {
            warnings.extend(log.doubted.iter().cloned());
            warnings.extend(log.few_draws.iter().cloned());
        }
        warnings.extend(ready::warnings(job, prepared, airs));
        let plan = job
            .install
            .as_ref()
            .and_then(|install| install.overhang.as_ref());
        let found = standing
            .install
            .as_ref()
            .and_then(|install| install.overhang);
        let top = plan
            .zip(found)
            .map(|(plan, found)| (plan.top.0, found.top_width));
        let too_small = self.too_small();
        let bench = self.bench(&setup, (&fits, &too_small), &parts, top);
        let widths: Vec<AtHome> = prepared
            .parts
            .iter()
            .enumerate()
            .map(|(part, model)| {
                let ratios = self.workspace.motion.ratios(PartId(part), Axis::Width);
                let width = |day: usize| ratios[day] * model.facts.width.mm();
                AtHome::over(at_home.clone(), width, |day| self.date(day))
            })
            .collect();
        let client = client::finding((&fits, &gaps), &bonds, (&parts, &widths), job.units);
        warnings.extend(too_small);
        warnings.extend(self.damp_rooms(job, airs));
        let with_cuts = views
            .iter()
            .zip(&fits)
            .map(|(view, found)| (view.fit, self.cuts_mm[view.index], found));
        let not_modeled = not_modeled::not_modeled(prepared, airs, with_cuts, &panels);
        on()?;
        warnings.extend(piece.iter().flat_map(piece_words));
        let cautions = premises::cautions(&boards);
        on()?;
        warnings.extend(job.bare.iter().map(|bare| {
            format!(
                "`{}` has no unit and is read as {}",
                bare.text, bare.read_as
            )
        }));
        Ok(Forecast {
            format: FORMAT,
            job: self.job(job, airs),
            log,
            measure_next: ranking::measure_next(&fits),
            parts,
            piece,
            frame,
            assembly: standing.assembly.clone(),
            fits,
            bonds,
            panels,
            boards,
            standing,
            setup,
            bench,
            client,
            cautions,
            warnings,
            assumptions: premises::assumptions(
                self.inputs.spreads(),
                &prepared.narrowed,
                job.draws,
                grid_error,
            ),
            not_modeled,
            curves: drawn_curves,
            finishes: finishes(job),
            drawings,
            placed: job.piece.clone(),
            sections: prepared.parts.iter().map(|part| part.section).collect(),
            shrinkages: prepared.parts.iter().map(|part| part.shrinkage).collect(),
        })
    }

    fn job(&self, job: &Job, airs: &Airs) -> JobFinding {
        JobFinding {
            name: job.name.clone(),
            units: match job.units {
                UnitSystem::Inch => "inch",
                UnitSystem::Metric => "mm",
            },
            region: job.region,
            measured_on: self.date(0),
            assembled_on: job.schedule.assembled,
            finished_on: job
                .parts
                .iter()
                .filter_map(|part| part.finish.as_ref())
                .map(|finish| finish.on.unwrap_or(job.schedule.assembled))
                .max(),
            delivered_on: job.schedule.delivered,
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
                        air: place.given.clone(),
                        temperature: months.iter().map(|air| air.temperature).collect(),
                        humidity: months.iter().map(|air| air.humidity).collect(),
                        emc: months
                            .iter()
                            .map(|air| equilibrium_moisture(*air))
                            .collect(),
                    }
                })
                .collect(),
        }
    }

    /// Homes whose air is damp for months: wood swells there, and mold grows.
    fn damp_rooms(&self, job: &Job, airs: &Airs) -> Vec<String> {
        let mut homes: Vec<PlaceId> = self.prepared.parts.iter().map(|part| part.home).collect();
        homes.sort_unstable();
        homes.dedup();
        let mut words = Vec::new();
        for home in homes {
            let months = airs.year(home).monthly_means();
            let damp = months
                .iter()
                .filter(|air| air.humidity.percent() > DAMP_PERCENT)
                .count();
            if damp > 0 {
                words.push(format!(
                    "{}: the air is over {DAMP_PERCENT:.0} % in {damp} of 12 months, damper than a lived-in room should be: check the room's keys, or let a dehumidifier keep it lower",
                    job.place(home).name
                ));
            }
        }
        words
    }

    /// Parts that are smaller than the size to which they are to be cut.
    fn too_small(&self) -> Vec<String> {
        let prepared = self.prepared;
        let length = |mm: f64| shown(Length::from_mm_unchecked(mm), prepared.units);
        let mut cuts = self.cuts_mm.iter();
        let mut given = Vec::new();
        for joint in &prepared.joints {
            for fit in &joint.fits {
                let Some(&cut_mm) = cuts.next() else { continue };
                let Some(term) = fit.part.iter().find(|term| term.size == Size::Cut) else {
                    continue;
                };
                let part = &prepared.parts[term.part.0].facts;
                let day = prepared.cut_day(joint);
                let there = part.size(term.axis).mm()
                    * self.workspace.motion.ratio(term.part, term.axis, day);
                if there < cut_mm - TOO_SMALL_MM {
                    given.push(format!(
                        "{}: {} is to be cut {} {} but is only {}; with the part as it is the {} is {} today",
                        fit.name,
                        the(&part.name),
                        length(cut_mm),
                        fit.words.dimension,
                        length(there),
                        fit.words.gap,
                        length(fit.gap_mm(&self.workspace.motion, day, day, there))
                    ));
                }
            }
        }
        given
    }
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
    days.extend(middle.fits.iter().flat_map(|fit| [fit.min_at, fit.max_at]));
    days.extend(
        middle
            .bonds
            .iter()
            .flat_map(|bond| [bond.driest_at, bond.wettest_at]),
    );
    DaySet::new(days)
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
