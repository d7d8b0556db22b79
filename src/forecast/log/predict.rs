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
use crate::moisture::weight::{at_moisture, oven_dry};
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
/// What is thought of the size of a rough board before it is read beside that reading, mm, and of its weight as a share: much more
/// than a reading's error (judgement).
const BOARD_MM: [f64; 3] = [5.0, 3.0, 1.5];
const BOARD_WEIGHT: f64 = 0.05;

/// The first reading of something that the log reads again: its error is part of every later difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FirstReading {
    /// A size of a part: 1 for the width, 2 for the thickness.
    Size(usize, u8),
    /// The same of the board that a part is cut from: no more is known of it than what the log reads.
    BoardSize(usize, u8),
    /// The weight of that board.
    BoardWeight(usize),
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
            (LogSubject::Board { part, .. }, reading) => match reading {
                LogReading::Width(_) => Some(Self::BoardSize(part?, 1)),
                LogReading::Thickness(_) => Some(Self::BoardSize(part?, 2)),
                LogReading::Weight(_) => Some(Self::BoardWeight(part?)),
                _ => None,
            },
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
            Self::BoardSize(of, 1) => format!("how wide the board of {} was at first", part(of)),
            Self::BoardSize(of, _) => format!("how thick the board of {} was at first", part(of)),
            Self::BoardWeight(of) => {
                format!("how heavy the dry wood of the board of {} is", part(of))
            }
            Self::Weight(of) => format!("how heavy the dry wood of {} is", part(of)),
            Self::Cut(joint, fit) => {
                format!("the cut of {}", the(&prepared.joints[joint].fits[fit].name))
            }
        }
    }

    fn deviation(self, prepared: &Prepared) -> f64 {
        let within = match self {
            Self::Size(_, axis) => SIZE_MM[usize::from(axis)],
            Self::BoardSize(_, axis) => BOARD_MM[usize::from(axis)],
            Self::Weight(_) => return GRAVITY_COV,
            Self::BoardWeight(_) => return BOARD_WEIGHT,
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
        base_mm: f64,
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
        let mut entries = super::ordered(job);
        entries.retain(|entry| entry.subject.is_drawn());
        let timeline = &prepared.timeline;
        let day = |entry: &LogEntry| timeline.day(entry.date);
        let mut days: Vec<usize> = entries.iter().map(|entry| day(entry)).collect();
        let mut parts: Vec<usize> = Vec::new();
        for entry in &entries {
            match entry.subject {
                LogSubject::Part(_)
                | LogSubject::Board { .. }
                | LogSubject::BoardLeaf { .. }
                | LogSubject::PanelLeaf { .. } => parts.extend(entry.subject.part()),
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
        // A board is compared with its own first reading, carried back to the day on which its part was measured.
        let earliest = |entry: &LogEntry| {
            let same = |other: &&&LogEntry| {
                other.subject.part() == entry.subject.part()
                    && other.name == entry.name
                    && other.reading.quantity() == entry.reading.quantity()
            };
            let first = entries.iter().find(same);
            first.map_or((entry.reading.number(), day(entry)), |first| {
                (first.reading.number(), day(first))
            })
        };
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
                (subject, reading) => {
                    // Nothing else is drawn but a part or the board it is cut from.
                    let part = subject.part().unwrap_or(0);
                    let model = &prepared.parts[part];
                    let of_board = !matches!(subject, LogSubject::Part(_));
                    let size = |axis: Axis| {
                        if of_board {
                            let (number, at) = earliest(entry);
                            number / workspace.motion.ratio(PartId(part), axis, at)
                        } else {
                            model.facts.size(axis).mm()
                        }
                    };
                    match reading {
                        LogReading::Thickness(_) => Rule::Size {
                            part,
                            axis: Axis::Thickness,
                            base_mm: size(Axis::Thickness),
                            first,
                        },
                        LogReading::Cup(_) => Rule::Cup { part },
                        LogReading::Bow(_) => Rule::Bow { part },
                        LogReading::Weight(_) if of_board => {
                            let (grams, at) = earliest(entry);
                            let percent = workspace.tracks[part].mean_percent[at];
                            let moisture = MoistureContent::computed_percent(percent);
                            Rule::Weight {
                                part,
                                dry: oven_dry(Mass::computed_grams(grams), moisture),
                                first,
                            }
                        }
                        LogReading::Weight(_) => {
                            let facts = &model.facts;
                            let cm3 = facts.length.mm() * facts.width.mm() * facts.thickness.mm()
                                / 1_000.0;
                            Rule::Weight {
                                part,
                                dry: Mass::computed_grams(model.species.gravity_at_12() * cm3),
                                first,
                            }
                        }
                        LogReading::Moisture(_) => Rule::Moisture {
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
                        _ => Rule::Size {
                            part,
                            axis: Axis::Width,
                            base_mm: size(Axis::Width),
                            first,
                        },
                    }
                }
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
        }
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
                Rule::Size {
                    part,
                    axis,
                    base_mm,
                    first,
                } => {
                    let size = base_mm + off(*first);
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
