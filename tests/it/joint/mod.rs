//! Tests of the room `joint`.
//!
//! Limits and the trade's rules in these tests are common practice, no source, unless one is named. The hand
//! computations use a motion made by hand: three days, today, the driest and the wettest.

mod bad_input;
mod bond;
mod bond_plans;
mod command;
mod depth;
mod drawings;
mod experience;
mod fit;
mod recipes_held;
mod recipes_travel;
mod signs;

use heartside::joint::{Axis, Days, JointPlan, Joints, Motion, PartFacts, PartId, Parts};
use heartside::units::Length;
use heartside::units::spanned::{Problem, Problems};
use serde::Deserialize;

/// Millimetres.
pub(crate) fn mm(value: f64) -> Length {
    Length::from_mm_unchecked(value)
}

#[derive(Deserialize)]
struct File {
    joints: Joints,
}

/// A part: name, length along the grain, width, thickness.
pub(crate) fn part(name: &str, length: f64, width: f64, thickness: f64) -> PartFacts {
    PartFacts {
        name: name.into(),
        length: mm(length),
        width: mm(width),
        thickness: mm(thickness),
    }
}

/// The joints of a text, or what is wrong with them.
pub(crate) fn read(text: &str, parts: &[PartFacts]) -> Result<Vec<JointPlan>, Vec<Problem>> {
    let file: File = toml::from_str(text).unwrap();
    let mut problems = Problems::new();
    let plans = file.joints.read(
        &Parts::new(parts),
        &heartside::piece::Piece::EMPTY,
        &mut problems,
    );
    if problems.is_empty() {
        Ok(plans)
    } else {
        Err(problems.into_sorted())
    }
}

/// The one joint of a text.
pub(crate) fn plan(text: &str, parts: &[PartFacts]) -> JointPlan {
    let mut plans = read(text, parts).unwrap_or_else(|problems| panic!("{problems:#?}"));
    assert_eq!(plans.len(), 1);
    plans.remove(0)
}

/// Today, the driest day, the wettest day.
pub(crate) const TODAY: usize = 0;
/// The driest day.
pub(crate) const DRY: usize = 1;
/// The wettest day.
pub(crate) const WET: usize = 2;

/// Every day counts; the cut is made today.
pub(crate) const DAYS: Days = Days {
    cut: TODAY,
    judged: 0..3,
};

/// A motion of three days: for each part and axis named, its size over today's at the driest and the wettest.
pub(crate) fn motion(parts: usize, moves: &[(usize, Axis, f64, f64)]) -> Motion {
    let mut motion = Motion::still(parts, 3);
    for &(part, axis, dry, wet) in moves {
        let ratios = motion.ratios_mut(PartId(part), axis);
        ratios[DRY] = dry;
        ratios[WET] = wet;
    }
    motion
}

/// The cuts that hold all three days, mm.
pub(crate) fn interval(plan: &JointPlan, fit: usize, motion: &Motion) -> (f64, f64) {
    let found = plan.fits[fit].cut_interval(motion, &DAYS);
    (found.min_mm, found.max_mm)
}

/// The cut the fit asks for, mm.
pub(crate) fn cut(plan: &JointPlan, fit: usize, motion: &Motion) -> f64 {
    let fit = &plan.fits[fit];
    fit.cut_interval(motion, &DAYS).choose(fit.aim).unwrap()
}

/// The gap of a day for a cut, mm.
pub(crate) fn gap(plan: &JointPlan, fit: usize, motion: &Motion, day: usize, cut: f64) -> f64 {
    plan.fits[fit].gap_mm(motion, day, TODAY, cut)
}

/// Near to a thousandth of a millimetre, which is how far the hand computations are written out.
#[track_caller]
pub(crate) fn near(found: f64, hand: f64) {
    assert!(
        (found - hand).abs() < 1e-3,
        "computed {found}, by hand {hand}"
    );
}
