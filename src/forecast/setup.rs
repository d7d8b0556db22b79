//! The setup sheet: one line for each cut, the wood left behind it, and what is easily forgotten.

use super::findings::{FitFinding, SetupLine};
use super::prepare::Prepared;
use crate::joint::Size;
use crate::joint::depth::{Cut, Opposite, cuts};
use crate::joint::{Behind, JointPlan, Setting, WoodLeft};
use crate::units::notation::{shown, the};
use crate::units::{Length, UnitSystem};
use std::ops::Range;

/// Two settings of unlike joints nearer than this and not equal are easily taken for one.
const ALIKE_MM: f64 = 3.0;
/// Settings nearer than this are one setting.
const SAME_MM: f64 = 0.1;

/// The fits of one joint among all findings.
pub(super) type FitsOfJoint = Range<usize>;

/// The lines, and warnings of cuts that leave no wood.
#[must_use]
pub(super) fn lines(
    prepared: &Prepared,
    fits: &[FitFinding],
    by_joint: &[FitsOfJoint],
) -> (Vec<SetupLine>, Vec<String>) {
    let sizes: Vec<Vec<f64>> = by_joint
        .iter()
        .map(|range| {
            fits[range.clone()]
                .iter()
                .map(|fit| fit.size.mm())
                .collect()
        })
        .collect();
    let mut cuts = cuts(&prepared.joints, &sizes);
    let open: Vec<bool> = cuts
        .iter_mut()
        .map(|cut| keep_inside(cut, prepared, &sizes[cut.joint]))
        .collect();
    let opposite = Opposite::new(&cuts);
    let mut warnings = Vec::new();
    let mut sheet = Vec::with_capacity(cuts.len());
    for (index, cut) in cuts.iter().enumerate() {
        let part = &prepared.parts[cut.housing.part.0].facts;
        let plan = &prepared.joints[cut.joint];
        let left = cut.wood_left(&opposite, part);
        let warning = match left {
            Some(left) if left.is_through() => {
                warnings.push(through(cut, &left, prepared));
                Some("goes through: cut shallower or move it".to_owned())
            }
            Some(left) if left.is_thin() => Some(format!(
                "only {} of wood stays behind it",
                shown(left.left, prepared.units)
            )),
            _ => alike(&cuts[..index], cut, prepared),
        };
        sheet.push(SetupLine {
            joint: plan.name.clone(),
            part: part.name.clone(),
            cut: if open[index] {
                format!("{}, open at the edge", cut.housing.what)
            } else {
                cut.housing.what.to_owned()
            },
            face: cut.housing.face.word(),
            from_reference: cut.from,
            width: cut.width,
            depth: cut.depth,
            along: cut.housing.along,
            left_behind_mm: left.map(|left| left.left),
            opposite_depth_mm: left
                .map(|left| left.opposite)
                .filter(|depth| *depth > Length::ZERO),
            count: cut.housing.count,
            fit: fit_of(cut).map(|first| by_joint[cut.joint].start + first),
            trial: trial(
                plan,
                cut,
                &fits[by_joint[cut.joint].clone()],
                prepared.units,
            ),
            warning,
        });
    }
    (sheet, warnings)
}

/// The fit that sets the width or the depth of a cut, among those of its joint.
fn fit_of(cut: &Cut<'_>) -> Option<usize> {
    match (cut.housing.width, cut.housing.depth) {
        (Setting::OfFits { first, .. }, _) | (_, Setting::OfFits { first, .. }) => Some(first),
        _ => None,
    }
}

/// A slot whose end would be beyond its board ends at the board's edge, open: whether this one does.
fn keep_inside(cut: &mut Cut<'_>, prepared: &Prepared, sizes_mm: &[f64]) -> bool {
    if cut.housing.behind != Behind::Nothing || !matches!(cut.housing.width, Setting::OfFits { .. })
    {
        return false;
    }
    let part = &prepared.parts[cut.housing.part.0].facts;
    // The part itself may be cut by a fit of the same joint.
    let cut_to = prepared.joints[cut.joint]
        .fits
        .iter()
        .zip(sizes_mm)
        .find_map(|(fit, mm)| {
            let own = |term: &&crate::joint::Term| {
                term.size == Size::Cut
                    && term.part == cut.housing.part
                    && term.axis == cut.housing.along
            };
            fit.part
                .iter()
                .find(own)
                .map(|_| Length::from_mm_unchecked(*mm))
        });
    let wood = cut_to.unwrap_or_else(|| part.size(cut.housing.along));
    let (from, to) = (cut.from, cut.from + cut.width);
    cut.from = from.max(Length::ZERO);
    cut.width = to.min(wood) - cut.from;
    from.mm() < 0.0 || to > wood
}

/// What the trial shows, with the gap it must show on the day of the cut.
fn trial(plan: &JointPlan, cut: &Cut<'_>, fits: &[FitFinding], units: UnitSystem) -> String {
    let index = fit_of(cut).unwrap_or(0);
    fits.get(index).map_or_else(
        || plan.trial.clone(),
        |fit| {
            format!(
                "{}; on the day of the cut the {} is {}",
                plan.trial,
                fit.gap,
                shown(fit.gap_today, units)
            )
        },
    )
}

/// How far a cut reaches along the wood that it leaves.
fn cut_into(cut: &Cut<'_>) -> Length {
    match cut.housing.behind {
        Behind::Lip => cut.width,
        Behind::Bottom | Behind::Nothing => cut.depth,
    }
}

fn through(cut: &Cut<'_>, left: &WoodLeft, prepared: &Prepared) -> String {
    let plan = &prepared.joints[cut.joint];
    let part = &prepared.parts[cut.housing.part.0].facts;
    let with = left.opposite_joint.map_or_else(String::new, |other| {
        format!(
            ", with {} from the other face ({})",
            shown(left.opposite, prepared.units),
            prepared.joints[other].name
        )
    });
    format!(
        "the {} of {} goes through {}: {} deep{with} in {} of wood; cut shallower, or move one of the two cuts",
        cut.housing.what,
        plan.name,
        the(&part.name),
        shown(cut_into(cut), prepared.units),
        shown(left.wood, prepared.units)
    )
}

/// A setting that differs from an earlier one and could be forgotten between the two cuts: by any amount where
/// the same piece goes into both or the joint is the same, by a little where the cuts only look alike.
fn alike(before: &[Cut<'_>], cut: &Cut<'_>, prepared: &Prepared) -> Option<String> {
    before
        .iter()
        .filter(|other| {
            other.housing.what == cut.housing.what && other.housing.along == cut.housing.along
        })
        .find_map(|other| {
            let same_piece = other.joint == cut.joint
                || (cut.housing.takes.is_some() && cut.housing.takes == other.housing.takes);
            let differs = |a: Length, b: Length| {
                let apart = (a - b).abs().mm();
                (apart > SAME_MM && (same_piece || apart < ALIKE_MM)).then_some(apart)
            };
            let (what, apart) = differs(cut.width, other.width)
                .map(|apart| ("width", apart))
                .or_else(|| differs(cut.depth, other.depth).map(|apart| ("depth", apart)))?;
            let of = if other.joint == cut.joint {
                format!(
                    "the one before, in {}",
                    the(&prepared.parts[other.housing.part.0].facts.name)
                )
            } else {
                prepared.joints[other.joint].name.clone()
            };
            Some(format!(
                "reset the {what}: it differs by {} from that of {of}",
                shown(Length::from_mm_unchecked(apart), prepared.units)
            ))
        })
}
