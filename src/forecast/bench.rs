//! What is cut at the bench: every cut and every final size with the job's counts, and which cuts share one setting of a tool.

use super::findings::{FitFinding, PartFinding, SetupLine};
use super::fits::holds;
use super::study::Study;
use crate::joint::{Axis, Size};
use crate::units::{Chance, Length, UnitSystem};
use jiff::civil::Date;
use rayon::prelude::*;
use serde::Serialize;

/// Cuts of one kind whose sizes lie within this are one setting, mm.
const ONE_SETTING_MM: f64 = 0.2;
/// A rounder size may cost so much chance (judgement).
const ROUND_COSTS: Chance = Chance::computed_percent(3.0);

/// One line of the bench sheet: a cut, or a part brought to its final size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BenchCut {
    /// The part that is cut.
    pub part: String,
    /// How many of this cut in all.
    pub count: u32,
    /// What is cut: `dado`, `final width`.
    pub what: String,
    /// The face, edge or end that is cut, and from which the place is measured.
    pub face: &'static str,
    /// From the reference end, edge or face to the near side; none for a final size.
    #[serde(rename = "from_reference_mm")]
    pub from_reference: Option<Length>,
    /// Its width, or the final size.
    pub size: Length,
    /// Its depth; none for a final size and where it goes through.
    #[serde(rename = "depth_mm")]
    pub depth: Option<Length>,
    /// Wood left behind it.
    #[serde(rename = "left_behind_mm")]
    pub left_behind: Option<Length>,
    /// The joint it is for.
    pub joint: String,
    /// Whether a fit follows from its size, so that thousandths count.
    pub sized_by_fit: bool,
    /// Chance that the fit holds at this size.
    pub holds_chance_percent: Option<Chance>,
    /// Number of its tool setting, from 1.
    pub setting: Option<usize>,
    /// Whether it is the trial cut: the first and most delicate one of its setting.
    pub trial_first: bool,
    /// What the trial should show.
    pub trial: Option<String>,
    /// The day of the cut.
    pub on: Date,
    /// Something to watch.
    pub watch: Option<String>,
}

/// Cuts made with one setting of a tool.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToolSetting {
    /// Its number, from 1.
    pub number: usize,
    /// What is cut.
    pub what: String,
    /// The size that serves all of them.
    pub size: Length,
    /// Chance that the joint least sure at this size holds.
    pub holds_chance: Chance,
    /// The joints, the trial cut's first.
    pub joints: Vec<String>,
}

/// What is cut, and the settings.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Bench {
    /// Every cut, by part.
    pub cuts: Vec<BenchCut>,
    /// Settings that serve several cuts.
    pub settings: Vec<ToolSetting>,
}

impl Study<'_> {
    /// The cuts of a job, from its setup sheet, its fits and its top.
    pub(super) fn bench(
        &self,
        setup: &[SetupLine],
        (fits, too_small): (&[FitFinding], &[String]),
        parts: &[PartFinding],
        top: Option<(usize, Length)>,
    ) -> Bench {
        let mut cuts: Vec<(BenchCut, Option<usize>)> = setup
            .iter()
            .map(|line| {
                let fit = line.fit.and_then(|index| fits.get(index));
                let depth_is_fit = fit.is_some_and(|fit| fit.dimension == "deep");
                let through = line.left_behind_mm.is_none() && line.cut.contains("hole");
                let cut = BenchCut {
                    part: line.part.clone(),
                    count: line.count,
                    what: line.cut.clone(),
                    face: line.face,
                    from_reference: Some(line.from_reference),
                    size: line.width,
                    depth: (!through).then_some(line.depth),
                    left_behind: line.left_behind_mm,
                    joint: line.joint.clone(),
                    sized_by_fit: fit.is_some() && !depth_is_fit,
                    holds_chance_percent: fit.map(|fit| fit.holds_chance),
                    setting: None,
                    trial_first: false,
                    trial: Some(line.trial.clone()),
                    on: fit.map_or_else(|| self.date(0), |fit| fit.cut_on),
                    watch: line.warning.clone(),
                };
                // A slot's length is the sum of two fits: no judge of one fit says what rounding costs.
                let grouped = line.fit.filter(|_| {
                    !depth_is_fit && !line.cut.contains("slot") && !line.cut.contains("hole")
                });
                (cut, grouped)
            })
            .collect();
        cuts.extend(self.final_sizes(fits, parts).map(|mut cut| {
            let own = format!("{}: ", cut.joint);
            let small = too_small.iter().find_map(|words| words.strip_prefix(&own));
            cut.watch = small.map(str::to_owned);
            (cut, None)
        }));
        if let Some((part, width)) = top {
            let finding = &parts[part];
            cuts.push((
                BenchCut {
                    joint: "overhang".to_owned(),
                    holds_chance_percent: None,
                    ..self.final_size(finding, Axis::Width, width)
                },
                None,
            ));
        }
        let place = |name: &str| parts.iter().position(|part| part.name == name);
        cuts.sort_by_key(|(cut, _)| place(&cut.part));
        let settings = self.settings(&mut cuts);
        Bench {
            cuts: cuts.into_iter().map(|(cut, _)| cut).collect(),
            settings,
        }
    }

    fn final_size(&self, part: &PartFinding, axis: Axis, size: Length) -> BenchCut {
        let (what, face) = match axis {
            Axis::Length => ("final length", "end"),
            Axis::Width => ("final width", "edge"),
            Axis::Thickness => ("final thickness", "face"),
        };
        BenchCut {
            part: part.name.clone(),
            count: part.count,
            what: what.to_owned(),
            face,
            from_reference: None,
            size,
            depth: None,
            left_behind: None,
            joint: String::new(),
            sized_by_fit: true,
            holds_chance_percent: None,
            setting: None,
            trial_first: false,
            trial: None,
            on: part.measured_on,
            watch: None,
        }
    }

    /// Parts that a fit brings to their size, and gaps that are set and not cut.
    fn final_sizes<'s>(
        &'s self,
        fits: &'s [FitFinding],
        parts: &'s [PartFinding],
    ) -> impl Iterator<Item = BenchCut> + 's {
        let plans = self.prepared.joints.iter().flat_map(|joint| &joint.fits);
        plans.zip(fits).filter_map(move |(plan, fit)| {
            let size = fit.size;
            let of_fit = |cut: BenchCut| BenchCut {
                joint: fit.joint.clone(),
                holds_chance_percent: Some(fit.holds_chance),
                on: fit.cut_on,
                ..cut
            };
            if fit.kind == "tongue_and_groove" {
                let part = &parts[plan.part.first()?.part.0];
                let set = BenchCut {
                    what: "gap to the next, set when fastening".to_owned(),
                    face: "edge",
                    count: part.count.saturating_sub(1).max(1),
                    ..self.final_size(part, Axis::Width, size)
                };
                return Some(of_fit(set));
            }
            let term = plan.part.iter().find(|term| term.size == Size::Cut)?;
            let part = &parts[term.part.0];
            let mut cut = of_fit(self.final_size(part, term.axis, size));
            // Of the two stiles of a door the one at the free edge is trimmed.
            if fit.cut == "outer stile" {
                cut.count = (part.count / 2).max(1);
                cut.what = "final width, outer one".to_owned();
            }
            Some(cut)
        })
    }

    /// Finds the cuts that are one setting, numbers them and marks the trial cut of each.
    fn settings(&self, cuts: &mut [(BenchCut, Option<usize>)]) -> Vec<ToolSetting> {
        let mut open: Vec<usize> = (0..cuts.len()).filter(|at| cuts[*at].1.is_some()).collect();
        open.sort_by(|a, b| {
            let (a, b) = (&cuts[*a].0, &cuts[*b].0);
            a.what
                .cmp(&b.what)
                .then(a.size.mm().total_cmp(&b.size.mm()))
        });
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for at in open {
            let fits_in = |group: &&mut Vec<usize>| {
                let first = &cuts[group[0]].0;
                first.what == cuts[at].0.what
                    && (cuts[at].0.size - first.size).mm() <= ONE_SETTING_MM
            };
            match groups.last_mut().filter(fits_in) {
                Some(group) => group.push(at),
                None => groups.push(vec![at]),
            }
        }
        let mut settings = Vec::new();
        for group in groups {
            let chance = |at: usize| cuts[at].0.holds_chance_percent.unwrap_or(Chance::CERTAIN);
            let Some(delicate) = group
                .iter()
                .copied()
                .min_by(|a, b| chance(*a).total_cmp(&chance(*b)).then(a.cmp(b)))
            else {
                continue;
            };
            cuts[delicate].0.trial_first = true;
            let mut fits: Vec<usize> = group.iter().filter_map(|at| cuts[*at].1).collect();
            fits.dedup();
            let sizes: Vec<f64> = group.iter().map(|at| cuts[*at].0.size.mm()).collect();
            let (size, holds) = self.round_size(&fits, &sizes);
            let number = settings.len() + 1;
            let mut joints = vec![cuts[delicate].0.joint.clone()];
            for at in group {
                let cut = &mut cuts[at].0;
                cut.setting = Some(number);
                if !joints.contains(&cut.joint) {
                    joints.push(cut.joint.clone());
                }
            }
            settings.push(ToolSetting {
                number,
                what: cuts[delicate].0.what.clone(),
                size,
                holds_chance: holds,
                joints,
            });
        }
        settings
    }

    /// The roundest size near the sizes of some fits that costs next to no chance, and the chance of the fit least sure at it.
    fn round_size(&self, fits: &[usize], sizes: &[f64]) -> (Length, Chance) {
        let low = sizes.iter().copied().fold(f64::INFINITY, f64::min);
        let high = sizes.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let middle = 0.5 * (low + high);
        let chance = |fit: usize, cut_mm: f64| holds(self.samples.fit(fit), cut_mm);
        let mut fits: Vec<(Chance, usize)> = fits
            .par_iter()
            .map(|fit| (chance(*fit, middle), *fit))
            .collect();
        // The least sure first: most sizes fail by it, and the others are then not asked.
        fits.sort_by(|a, b| a.0.total_cmp(&b.0));
        let at_middle = fits.first().map_or(Chance::CERTAIN, |fit| fit.0);
        let worst_from = |cut_mm: f64, least: Chance| {
            fits.iter().try_fold(Chance::CERTAIN, |worst, (_, fit)| {
                let worst = worst.min(chance(*fit, cut_mm));
                (worst >= least).then_some(worst)
            })
        };
        let mut sizes = sizes.to_vec();
        sizes.dedup();
        let best = sizes.iter().fold(at_middle, |best, size| {
            worst_from(*size, best).unwrap_or(best)
        });
        // Steps of a rule, then of a dial.
        let inch = 25.4;
        let steps: [f64; 4] = match self.prepared.units {
            UnitSystem::Inch => [inch / 16.0, inch / 64.0, 0.005 * inch, 0.001 * inch],
            UnitSystem::Metric => [0.5, 0.1, 0.05, 0.02],
        };
        steps
            .into_iter()
            .map(|step| (middle / step).round() * step)
            .find_map(|size_mm| {
                let worst = worst_from(size_mm, best - ROUND_COSTS)?;
                Some((Length::from_mm_unchecked(size_mm), worst))
            })
            .unwrap_or((Length::from_mm_unchecked(middle), at_middle))
    }
}
