//! What every draw predicts for every reading of a log, by the arithmetic of the forecast itself.

use crate::air::{equilibrium_percent, equilibrium_slope};
use crate::chance::{NINE_IN_TEN, Reading};
use crate::forecast::airs::Airs;
use crate::forecast::draw::Draw;
use crate::forecast::evaluate::{DaySet, Workspace, days_of, move_parts};
use crate::forecast::prepare::Prepared;
use crate::forecast::sampling::{Inputs, Kind};
use crate::job::{Job, LogEntry, LogReading, LogSubject};
use crate::joint::{Axis, Fit, PartId};
use crate::moisture::day_of_year;
use crate::moisture::weight::at_moisture;
use crate::numerics::Deadline;
use crate::units::notation::the;
use crate::units::{Length, Mass, MoistureContent};

/// Specific gravity of a board about its wood's, one standard deviation (Wood Handbook, ch. 4: a coefficient of variation of about
/// 10 %; from memory).
const GRAVITY_COV: f64 = 0.10;
/// A cut that is given is made within this, nine times in ten, mm (judgement).
const CUT_GIVEN_MM: f64 = 0.3;
/// A cut that is not given may be made otherwise than advised by this, nine times in ten, mm (judgement).
const CUT_NOT_GIVEN_MM: f64 = 2.0;
/// A size in the job file was measured within this, nine times in ten, mm, as the log's own readings are (judgement).
const SIZE_MM: [f64; 3] = [0.5, 0.2, 0.1];

/// The first reading of something that the log reads again: its error is part of every later difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FirstReading {
    /// A size of a part: 1 for the width, 2 for the thickness.
    Size(usize, u8),
    /// The weight of a part, known from its wood alone.
    Weight(usize),
    /// The cut of a fit of a joint.
    Cut(usize, usize),
}

impl FirstReading {
    /// Those of a job's log, in an order of their own.
    pub(in crate::forecast) fn of_log(job: &Job) -> Vec<Self> {
        let mut list: Vec<Self> = job.log.iter().filter_map(Self::of_entry).collect();
        list.sort_unstable();
        list.dedup();
        list
    }

    fn of_entry(entry: &LogEntry) -> Option<Self> {
        match (entry.subject, entry.reading) {
            (LogSubject::Part(part), LogReading::Width(_)) => Some(Self::Size(part, 1)),
            (LogSubject::Part(part), LogReading::Thickness(_)) => Some(Self::Size(part, 2)),
            (LogSubject::Part(part), LogReading::Weight(_)) => Some(Self::Weight(part)),
            (LogSubject::Fit { joint, fit }, _) => Some(Self::Cut(joint, fit)),
            _ => None,
        }
    }

    /// What it is, for a maker.
    pub(in crate::forecast) fn words(self, prepared: &Prepared) -> String {
        let part = |part: usize| the(&prepared.parts[part].facts.name);
        match self {
            Self::Size(of, 1) => format!("how wide {} was when it was measured", part(of)),
            Self::Size(of, _) => format!("how thick {} was when it was measured", part(of)),
            Self::Weight(of) => format!("how heavy the dry wood of {} is", part(of)),
            Self::Cut(joint, fit) => {
                format!("the cut of {}", the(&prepared.joints[joint].fits[fit].name))
            }
        }
    }

    fn deviation(self, prepared: &Prepared) -> f64 {
        let within = match self {
            Self::Size(_, axis) => SIZE_MM[usize::from(axis)],
            Self::Weight(_) => return GRAVITY_COV,
            Self::Cut(joint, fit) => match prepared.joints[joint].fits[fit].given {
                Some(_) => CUT_GIVEN_MM,
                None => CUT_NOT_GIVEN_MM,
            },
        };
        within / NINE_IN_TEN
    }
}

/// An input and what one standard deviation of it adds.
type Share = Option<(usize, f64)>;

/// How one reading is predicted.
enum Rule {
    Moisture {
        part: usize,
        bias: f64,
        meter: Share,
    },
    Size {
        part: usize,
        axis: Axis,
        first: Share,
    },
    Cup {
        part: usize,
    },
    Bow {
        part: usize,
    },
    Weight {
        part: usize,
        dry: Mass,
        first: Share,
    },
    Gap {
        fit: Box<Fit>,
        cut_at: usize,
        cut_mm: f64,
        first: Share,
    },
    Air {
        humidity_percent: f64,
        shares: [Share; 2],
    },
}

/// A log made ready: its readings in an order of their own, and what each is compared with.
pub(in crate::forecast) struct Predictor<'a> {
    inputs: &'a Inputs,
    thin: Prepared,
    set: DaySet,
    rules: Vec<(usize, Rule)>,
    readings: Vec<Reading>,
    entries: Vec<&'a LogEntry>,
    active: Vec<usize>,
    deadline: Deadline<'a>,
}

/// A log's order: by day, then by what was measured, so that the file's order does not matter.
fn ordered(job: &Job) -> Vec<&LogEntry> {
    let mut entries: Vec<&LogEntry> = job.log.iter().collect();
    entries.sort_by(|a, b| {
        (a.date, a.subject, a.reading.quantity())
            .cmp(&(b.date, b.subject, b.reading.quantity()))
            .then(a.reading.number().total_cmp(&b.reading.number()))
            .then(
                a.deviation
                    .unwrap_or(0.0)
                    .total_cmp(&b.deviation.unwrap_or(0.0)),
            )
    });
    entries
}

impl<'a> Predictor<'a> {
    /// Of a job with a log; `workspace` is its middle draw on every day before the log.
    pub(in crate::forecast) fn new(
        job: &'a Job,
        prepared: &Prepared,
        inputs: &'a Inputs,
        airs: &Airs,
        workspace: &Workspace,
    ) -> Self {
        let entries = ordered(job);
        let timeline = &prepared.timeline;
        let day = |entry: &LogEntry| timeline.day(entry.date);
        let mut days: Vec<usize> = entries.iter().map(|entry| day(entry)).collect();
        let mut parts: Vec<usize> = Vec::new();
        for entry in &entries {
            match entry.subject {
                LogSubject::Part(part) => parts.push(part),
                LogSubject::Fit { joint, fit } => {
                    let plan = &prepared.joints[joint];
                    parts.extend(plan.fits[fit].parts().map(|part| part.0));
                    days.push(prepared.cut_day(plan));
                }
                LogSubject::Place(_) => {}
            }
        }
        parts.sort_unstable();
        parts.dedup();
        let set = DaySet::new(days);
        let thin = Prepared {
            looked_at: parts.clone(),
            ..prepared.clone()
        }
        .on(&set);
        let mut active = inputs.behind(prepared, &parts);
        let all = DaySet::new((0..timeline.days()).collect());
        let mut rules = Vec::with_capacity(entries.len());
        let mut readings = Vec::with_capacity(entries.len());
        for entry in &entries {
            let mut share = |kind: Kind, deviation: f64| {
                let input = inputs.place_of(kind)?;
                active.push(input);
                Some((input, deviation))
            };
            let first = FirstReading::of_entry(entry)
                .and_then(|first| share(Kind::First(first), first.deviation(prepared)));
            let [bias, scatter] = inputs.meter_deviations();
            let mut value = entry.reading.number();
            let rule = match (entry.subject, entry.reading) {
                (LogSubject::Place(place), LogReading::Air { temperature, .. }) => {
                    let states = airs.year(place).daily();
                    let of_day = day_of_year(entry.date) % states.len().max(1);
                    let usual = states
                        .get(of_day)
                        .copied()
                        .unwrap_or_else(|| airs.year(place).mean());
                    if let Some(read) = temperature {
                        // Wood feels the humidity through its equilibrium: air as moist for wood at the usual temperature.
                        let celsius = usual.temperature.celsius();
                        let fraction = value / 100.0;
                        let off = equilibrium_percent(read.celsius(), fraction)
                            - equilibrium_percent(celsius, fraction);
                        value += off / equilibrium_slope(celsius, fraction).max(1e-3) * 100.0;
                    }
                    let year = if day(entry) < timeline.settled() {
                        Kind::FirstYear(place.0)
                    } else {
                        Kind::LaterYear(place.0)
                    };
                    Rule::Air {
                        humidity_percent: usual.humidity.percent(),
                        shares: [
                            share(Kind::Humidity(place.0), inputs.humidity_deviation(place.0)),
                            share(year, inputs.spreads().humidity_year_percent),
                        ],
                    }
                }
                (LogSubject::Fit { joint, fit }, _) => {
                    let plan = &prepared.joints[joint];
                    let fit = &plan.fits[fit];
                    let days = days_of(prepared, plan, fit, &all);
                    Rule::Gap {
                        cut_mm: fit.given.map_or_else(
                            || {
                                fit.cut_interval(&workspace.motion, &days)
                                    .choose(fit.aim)
                                    .unwrap_or(0.0)
                            },
                            Length::mm,
                        ),
                        cut_at: set.place(prepared.cut_day(plan)),
                        fit: Box::new(fit.clone()),
                        first,
                    }
                }
                (LogSubject::Part(part), LogReading::Thickness(_)) => Rule::Size {
                    part,
                    axis: Axis::Thickness,
                    first,
                },
                (LogSubject::Part(part), LogReading::Cup(_)) => Rule::Cup { part },
                (LogSubject::Part(part), LogReading::Bow(_)) => Rule::Bow { part },
                (LogSubject::Part(part), LogReading::Weight(_)) => {
                    let model = &prepared.parts[part];
                    let facts = &model.facts;
                    let cm3 = facts.length.mm() * facts.width.mm() * facts.thickness.mm() / 1_000.0;
                    Rule::Weight {
                        part,
                        dry: Mass::computed_grams(model.species.gravity_at_12() * cm3),
                        first,
                    }
                }
                (LogSubject::Part(part), LogReading::Moisture(_)) => Rule::Moisture {
                    part,
                    bias: if entry.deviation.is_some() {
                        0.0
                    } else {
                        prepared.meter.bias
                    },
                    meter: match entry.deviation {
                        Some(_) => None,
                        None => share(Kind::Meter, bias),
                    },
                },
                (LogSubject::Part(part), _) => Rule::Size {
                    part,
                    axis: Axis::Width,
                    first,
                },
                (LogSubject::Place(_), _) => Rule::Air {
                    humidity_percent: value,
                    shares: [None, None],
                },
            };
            rules.push((set.place(day(entry)), rule));
            readings.push(Reading {
                value,
                deviation: entry.deviation.unwrap_or(scatter).max(1e-6),
            });
        }
        active.sort_unstable();
        active.dedup();
        Self {
            inputs,
            thin,
            set,
            rules,
            readings,
            entries,
            active,
            deadline: Deadline::NEVER,
        }
    }

    /// The same, predicting nothing once a deadline is over.
    pub(super) fn before(self, deadline: Deadline<'a>) -> Self {
        Self { deadline, ..self }
    }

    /// Until when it predicts.
    pub(super) fn deadline(&self) -> Deadline<'a> {
        self.deadline
    }

    /// The inputs that the readings can say something of.
    pub(super) fn active(&self) -> &[usize] {
        &self.active
    }

    /// The readings, in the order of [`entries`](Self::entries).
    pub(super) fn readings(&self) -> &[Reading] {
        &self.readings
    }

    /// The entries in the order of the readings.
    pub(super) fn entries(&self) -> &[&'a LogEntry] {
        &self.entries
    }

    /// One thread's memory.
    pub(super) fn worker(&self) -> Worker<'_> {
        Worker {
            predictor: self,
            workspace: Workspace::new(&self.thin, &self.set),
            draw: Draw::middle(self.thin.parts.len(), self.inputs.place_count()),
        }
    }
}

/// One thread's memory while it predicts.
pub(super) struct Worker<'a> {
    predictor: &'a Predictor<'a>,
    workspace: Workspace,
    draw: Draw,
}

impl Worker<'_> {
    /// Adds what a draw predicts for the readings kept.
    pub(super) fn predict(&mut self, numbers: &[f64], kept: &[usize], out: &mut Vec<f64>) {
        let of = self.predictor;
        of.inputs.fill(numbers, &mut self.draw);
        move_parts(&of.thin, &self.draw, &of.set, &mut self.workspace);
        let off = |share: Share| share.map_or(0.0, |(input, each)| each * numbers[input]);
        let (workspace, parts) = (&self.workspace, &of.thin.parts);
        out.extend(kept.iter().map(|&one| {
            let (at, rule) = &of.rules[one];
            match rule {
                Rule::Moisture { part, bias, meter } => {
                    workspace.tracks[*part].mean_percent[*at] + bias - off(*meter)
                }
                Rule::Size { part, axis, first } => {
                    let size = parts[*part].facts.size(*axis).mm() + off(*first);
                    size * workspace.motion.ratio(PartId(*part), *axis, *at)
                }
                Rule::Cup { part } => workspace.cup_mm(&parts[*part], *part, *at),
                Rule::Bow { part } => workspace.bow_mm(&parts[*part], *part, *at),
                Rule::Weight { part, dry, first } => {
                    let percent = workspace.tracks[*part].mean_percent[*at];
                    let dry = *dry * (1.0 + off(*first));
                    at_moisture(dry, MoistureContent::computed_percent(percent)).grams()
                }
                Rule::Gap {
                    fit,
                    cut_at,
                    cut_mm,
                    first,
                } => fit.gap_mm(&workspace.motion, *at, *cut_at, cut_mm + off(*first)),
                Rule::Air {
                    humidity_percent,
                    shares,
                } => humidity_percent + shares.iter().map(|share| off(*share)).sum::<f64>(),
            }
        }));
    }
}
