//! The fit: a opening dimension minus a part dimension through the year.
//!
//! `gap(t) = share * (sum of opening sizes(t) - sum of part sizes(t))`, every
//! size along an axis of its part. A dado's width runs along its opening's grain
//! and stays, while the thickness of the shelf in it moves; a groove's depth
//! runs across the grain of its stile and moves a little. One size may be
//! left open: it is the one to cut today, and since the gap is linear in it,
//! the sizes that hold all year form an interval.

use super::part::{Axis, Motion, PartId};
use crate::numerics::{add_times, ends};
use crate::units::Length;
use std::ops::Range;

/// A size as it is at the day of the cut: given, or the one that is to be cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// Known today.
    Known(Length),
    /// The size the fit asks for, or judges.
    Cut,
}

/// One dimension that counts in a fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Term {
    /// The part whose wood it is.
    pub part: PartId,
    /// The axis of that part it runs along.
    pub axis: Axis,
    /// How long it is today.
    pub size: Size,
}

impl Term {
    /// A size known today.
    #[must_use]
    pub const fn known(part: PartId, axis: Axis, size: Length) -> Self {
        Self {
            part,
            axis,
            size: Size::Known(size),
        }
    }

    /// The size that is to be cut.
    #[must_use]
    pub const fn cut(part: PartId, axis: Axis) -> Self {
        Self {
            part,
            axis,
            size: Size::Cut,
        }
    }
}

impl Term {
    /// The size when its part was measured, mm: given, or the cut brought back from its day.
    fn size_over_ratio(&self, ratios: &[f64], cut_day: usize, cut_mm: f64) -> f64 {
        match self.size {
            Size::Known(length) => length.mm(),
            Size::Cut => cut_mm / ratios[cut_day],
        }
    }
}

/// The maximum gap allowed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MaxGap {
    /// Nothing goes wrong however wide the gap.
    Any,
    /// A fixed number.
    Gap(Length),
    /// The part reaches `reach` into its opening and must stay in by `min`:
    /// gap <= reach - minimum.
    Holding {
        /// How deep the opening takes the part, such as a groove's depth.
        reach: Term,
        /// How much of it must stay filled.
        min: Length,
    },
}

/// Which of the sizes that hold all year is the one to cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// The smallest: a groove no deeper than it must be.
    Min,
    /// The maximum: a panel as wide as it may be.
    Max,
    /// The middle: the same room for error either way.
    Middle,
}

/// On which days a fit counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// From the day of assembly on, every day.
    Always,
    /// On the day of assembly only: afterwards glue holds it.
    Assembly,
}

/// The days of a motion on which a fit is judged, and the day its cut is made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Days {
    /// Day of the cut: the size cut is the size on this day.
    pub cut: usize,
    /// Days judged; never empty in a job that was read.
    pub judged: Range<usize>,
}

/// Words of a fit, in the trade's terms, ready to stand in a sentence; plain ones by [`Default`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FitWords {
    /// What is cut, set or left, as a noun: `groove`, `dado`, `front`.
    pub cut: &'static str,
    /// What follows its size: `deep`, `wide`, `long`, `past the screw`.
    pub dimension: &'static str,
    /// What the gap is: `clearance between the panel's edge and the bottom of the groove`.
    pub gap: String,
    /// What happens when the gap falls below its minimum.
    pub too_tight: String,
    /// What happens when the gap exceeds its maximum.
    pub too_loose: String,
}

impl Default for FitWords {
    fn default() -> Self {
        Self {
            cut: "size",
            dimension: "",
            gap: "gap".into(),
            too_tight: "the part jams".into(),
            too_loose: "the gap is too wide".into(),
        }
    }
}

/// One fit of a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The joint's name, with the place where a joint has several fits.
    pub name: String,
    /// Sizes that make room.
    pub opening: Vec<Term>,
    /// Sizes that fill it.
    pub part: Vec<Term>,
    /// The share of the difference that shows at the place judged: 1 for one gap,
    /// 0.5 for a part held at the centre of its opening.
    pub share: f64,
    /// Minimum gap allowed.
    pub min: Length,
    /// Maximum gap allowed.
    pub max: MaxGap,
    /// The size given for the cut, to be judged; `None` asks for it.
    pub given: Option<Length>,
    /// Which size to choose when none is given.
    pub aim: Aim,
    /// When it counts.
    pub when: When,
    /// The words.
    pub words: FitWords,
}

/// The sizes of a cut that keep a fit inside its limits on every day; empty when `minimum > maximum`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutInterval {
    /// No smaller than this, mm; may be minus infinity.
    pub min_mm: f64,
    /// No greater than this, mm; may be infinity.
    pub max_mm: f64,
}

/// The gap on one day, and how far it is from either limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapAt {
    /// Index of the day in the motion.
    pub day: usize,
    /// The gap, mm.
    pub gap_mm: f64,
}

/// The extremes of a fit over the days of a motion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapExtremes {
    /// The minimum gap.
    pub min: GapAt,
    /// The maximum gap.
    pub max: GapAt,
    /// Gap less its minimum allowed, at the worst day, mm; negative: too tight.
    pub spare_tight_mm: f64,
    /// Maximum allowed less the gap, at the worst day, mm; negative: too loose.
    pub spare_loose_mm: f64,
}

/// The gap of one day as a line in the cut: `at_zero + per_cut * u`.
#[derive(Debug, Clone, Copy)]
struct LineInCut {
    at_zero: f64,
    per_cut: f64,
}

impl LineInCut {
    const ZERO: Self = Self {
        at_zero: 0.0,
        per_cut: 0.0,
    };

    fn add(&mut self, term: &Term, motion: &Motion, day: usize, cut_day: usize, factor: f64) {
        let ratio = motion.ratio(term.part, term.axis, day);
        match term.size {
            Size::Known(length) => self.at_zero += factor * ratio * length.mm(),
            Size::Cut => {
                self.per_cut += factor * ratio / motion.ratio(term.part, term.axis, cut_day)
            }
        }
    }

    fn at(self, cut_mm: f64) -> f64 {
        self.at_zero + self.per_cut * cut_mm
    }
}

impl Fit {
    /// A gap between `opening` and `part` that may not fall below zero; the other fields are set with `..Fit::between(...)`.
    #[must_use]
    pub fn between(opening: Vec<Term>, part: Vec<Term>) -> Self {
        Self {
            name: String::new(),
            opening,
            part,
            share: 1.0,
            min: Length::ZERO,
            max: MaxGap::Any,
            given: None,
            aim: Aim::Middle,
            when: When::Always,
            words: FitWords::default(),
        }
    }

    fn gap_line(&self, motion: &Motion, day: usize, cut_day: usize) -> LineInCut {
        let mut line = LineInCut::ZERO;
        for term in &self.opening {
            line.add(term, motion, day, cut_day, self.share);
        }
        for term in &self.part {
            line.add(term, motion, day, cut_day, -self.share);
        }
        line
    }

    /// The maximum gap allowed on a day, as a line in the cut; `None` when any is.
    fn upper_line(&self, motion: &Motion, day: usize, cut_day: usize) -> Option<LineInCut> {
        let mut line = LineInCut::ZERO;
        match &self.max {
            MaxGap::Any => return None,
            MaxGap::Gap(length) => line.at_zero = length.mm(),
            MaxGap::Holding { reach, min } => {
                line.add(reach, motion, day, cut_day, 1.0);
                line.at_zero -= min.mm();
            }
        }
        Some(line)
    }

    /// The gap on a day for a cut of `cut_mm` made on `cut_day`, mm.
    #[must_use]
    pub fn gap_mm(&self, motion: &Motion, day: usize, cut_day: usize, cut_mm: f64) -> f64 {
        self.gap_line(motion, day, cut_day).at(cut_mm)
    }

    /// How much the gap of a day grows for a cut greater by 1 mm.
    #[must_use]
    pub fn gap_per_cut(&self, motion: &Motion, day: usize, cut_day: usize) -> f64 {
        self.gap_line(motion, day, cut_day).per_cut
    }

    /// The maximum gap allowed on a day for a cut of `cut_mm` made on `cut_day`, mm.
    #[must_use]
    pub fn upper_mm(
        &self,
        motion: &Motion,
        day: usize,
        cut_day: usize,
        cut_mm: f64,
    ) -> Option<f64> {
        self.upper_line(motion, day, cut_day)
            .map(|line| line.at(cut_mm))
    }

    /// How much the room below the maximum gap of a day grows for a cut greater by 1 mm; 0 where any gap is allowed.
    #[must_use]
    pub fn loose_per_cut(&self, motion: &Motion, day: usize, cut_day: usize) -> f64 {
        self.upper_line(motion, day, cut_day).map_or(0.0, |upper| {
            upper.per_cut - self.gap_per_cut(motion, day, cut_day)
        })
    }

    /// Adds one term to the gaps of the days judged: its part that is known and its part for each mm of the cut.
    fn spread(
        term: &Term,
        motion: &Motion,
        days: &Days,
        factor: f64,
        known: &mut [f64],
        cut: &mut [f64],
    ) {
        let ratios = motion.ratios(term.part, term.axis);
        let (size, out) = match term.size {
            Size::Known(length) => (factor * length.mm(), known),
            Size::Cut => (factor / ratios[days.cut], cut),
        };
        for (sum, ratio) in out.iter_mut().zip(&ratios[days.judged.clone()]) {
            *sum += size * ratio;
        }
    }

    /// Gaps of the days judged as lines in the cut: what is known, and what each mm of the cut adds.
    fn gap_lines(&self, motion: &Motion, days: &Days) -> (Vec<f64>, Vec<f64>) {
        let count = days.judged.len();
        let (mut known, mut cut) = (vec![0.0; count], vec![0.0; count]);
        for (terms, factor) in [(&self.opening, self.share), (&self.part, -self.share)] {
            for term in terms {
                Self::spread(term, motion, days, factor, &mut known, &mut cut);
            }
        }
        (known, cut)
    }

    /// The maximum gaps of the days judged as lines in the cut; `None` where any is allowed.
    fn upper_lines(&self, motion: &Motion, days: &Days) -> Option<(Vec<f64>, Vec<f64>)> {
        let count = days.judged.len();
        match &self.max {
            MaxGap::Any => None,
            MaxGap::Gap(length) => Some((vec![length.mm(); count], vec![0.0; count])),
            MaxGap::Holding { reach, min } => {
                let (mut known, mut cut) = (vec![-min.mm(); count], vec![0.0; count]);
                Self::spread(reach, motion, days, 1.0, &mut known, &mut cut);
                Some((known, cut))
            }
        }
    }

    /// The cuts that hold on every day judged.
    ///
    /// Each day gives two straight conditions in the cut; a condition that
    /// does not contain the cut (a deeper groove does not hold a panel that is too
    /// narrow) either is met or empties the interval.
    #[must_use]
    pub fn cut_interval(&self, motion: &Motion, days: &Days) -> CutInterval {
        const FLAT: f64 = 1e-6;
        let mut interval = CutInterval {
            min_mm: f64::NEG_INFINITY,
            max_mm: f64::INFINITY,
        };
        let mut met = true;
        // per_cut * u >= need
        let mut require = |per_cut: f64, need: f64| {
            if per_cut > FLAT {
                interval.min_mm = interval.min_mm.max(need / per_cut);
            } else if per_cut < -FLAT {
                interval.max_mm = interval.max_mm.min(need / per_cut);
            } else if need > 1e-9 {
                met = false;
            }
        };
        let (known, cut) = self.gap_lines(motion, days);
        let min = self.min.mm();
        for (known, cut) in known.iter().zip(&cut) {
            require(*cut, min - known);
        }
        if let Some((upper_known, upper_cut)) = self.upper_lines(motion, days) {
            for at in 0..known.len() {
                require(upper_cut[at] - cut[at], known[at] - upper_known[at]);
            }
        }
        if !met && interval.min_mm <= interval.max_mm {
            // Keep the end that can be met, so that the cut is still the best of those possible.
            interval.max_mm = f64::NEG_INFINITY;
            if interval.min_mm.is_infinite() {
                interval.min_mm = f64::INFINITY;
            }
        }
        interval
    }

    /// The extremes of the gap for a cut of `cut_mm`; `None` when no day is judged.
    #[must_use]
    pub fn extremes(&self, motion: &Motion, days: &Days, cut_mm: f64) -> Option<GapExtremes> {
        self.extremes_in(motion, days, cut_mm, &mut Vec::new())
    }

    /// The same in memory that keeps the gaps of the days judged.
    pub(crate) fn extremes_in(
        &self,
        motion: &Motion,
        days: &Days,
        cut_mm: f64,
        gaps: &mut Vec<f64>,
    ) -> Option<GapExtremes> {
        gaps.clear();
        gaps.resize(days.judged.len(), 0.0);
        self.fill_gaps(motion, days, cut_mm, gaps);
        let at = |place: usize| GapAt {
            day: days.judged.start + place,
            gap_mm: gaps[place],
        };
        let [min, max] = ends(gaps)?.map(at);
        let spare_loose_mm = match &self.max {
            MaxGap::Any => f64::INFINITY,
            MaxGap::Gap(length) => length.mm() - max.gap_mm,
            MaxGap::Holding { reach, min } => {
                let ratios = motion.ratios(reach.part, reach.axis);
                let size = reach.size_over_ratio(ratios, days.cut, cut_mm);
                ratios[days.judged.clone()]
                    .iter()
                    .zip(&*gaps)
                    .map(|(ratio, gap)| size * ratio - min.mm() - gap)
                    .fold(f64::INFINITY, f64::min)
            }
        };
        Some(GapExtremes {
            min,
            max,
            spare_tight_mm: min.gap_mm - self.min.mm(),
            spare_loose_mm,
        })
    }

    /// The gaps of the days judged for a cut, into `gaps`, which starts at zero and is as long as the days.
    fn fill_gaps(&self, motion: &Motion, days: &Days, cut_mm: f64, gaps: &mut [f64]) {
        for (terms, share) in [(&self.opening, self.share), (&self.part, -self.share)] {
            for term in terms {
                let ratios = motion.ratios(term.part, term.axis);
                let size = share * term.size_over_ratio(ratios, days.cut, cut_mm);
                add_times(gaps, size, &ratios[days.judged.clone()]);
            }
        }
    }

    /// Every size that counts in this fit.
    pub fn terms(&self) -> impl Iterator<Item = &Term> + '_ {
        let reach = match &self.max {
            MaxGap::Holding { reach, .. } => Some(reach),
            MaxGap::Any | MaxGap::Gap(_) => None,
        };
        self.opening.iter().chain(&self.part).chain(reach)
    }

    /// Every part that counts in this fit.
    pub fn parts(&self) -> impl Iterator<Item = PartId> + '_ {
        self.terms().map(|term| term.part)
    }
}

impl CutInterval {
    /// Whether any cut holds.
    #[must_use]
    pub fn is_possible(self) -> bool {
        self.min_mm <= self.max_mm
    }

    /// The cut to make: inside the interval by the aim, or, where it is empty, halfway
    /// between the two conditions that cannot both be met. Never below zero: where only less than nothing would hold, nothing is
    /// cut. `None` where nothing bounds the cut.
    #[must_use]
    pub fn choose(self, aim: Aim) -> Option<f64> {
        self.choose_any(aim).map(|cut| cut.max(0.0))
    }

    fn choose_any(self, aim: Aim) -> Option<f64> {
        let (low, high) = (self.min_mm, self.max_mm);
        match (low.is_finite(), high.is_finite()) {
            (true, true) if low > high => Some((low + high) / 2.0),
            (true, true) => Some(match aim {
                Aim::Min => low,
                Aim::Max => high,
                Aim::Middle => (low + high) / 2.0,
            }),
            (true, false) => Some(low),
            (false, true) => Some(high),
            (false, false) => None,
        }
    }
}
