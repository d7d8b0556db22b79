//! The setup sheet: one line for each cut, the wood left behind it, and what is easily forgotten.

use super::findings::SetupLine;
use super::prepare::Prepared;
use crate::joint::{Axis, CutFace, Housing};
use crate::units::Length;

/// Less wood than this behind a cut is warned of: judgement.
const THIN_MM: f64 = 5.0;
/// Two settings nearer than this and not equal are easily taken for one.
const ALIKE_MM: f64 = 3.0;
/// Settings nearer than this are one setting.
const SAME_MM: f64 = 0.1;

/// A cut with its sizes.
struct Cut<'a> {
    joint: usize,
    housing: &'a Housing,
    width: Length,
    depth: Length,
}

/// The lines, with whether any cut goes through wood that was meant to stay.
#[must_use]
pub fn lines(prepared: &Prepared, cuts_by_joint: &[Vec<f64>]) -> (Vec<SetupLine>, Vec<String>) {
    let cuts: Vec<Cut<'_>> = prepared
        .joints
        .iter()
        .enumerate()
        .flat_map(|(joint, plan)| {
            let sizes = &cuts_by_joint[joint];
            plan.housings.iter().map(move |housing| Cut {
                joint,
                housing,
                width: housing.width.length(sizes),
                depth: housing.depth.length(sizes),
            })
        })
        .collect();
    let mut warnings = Vec::new();
    let mut sheet: Vec<SetupLine> = Vec::with_capacity(cuts.len());
    for (index, cut) in cuts.iter().enumerate() {
        let part = &prepared.parts[cut.housing.part.0].facts;
        let plan = &prepared.joints[cut.joint];
        let opposite = cuts
            .iter()
            .filter(|other| overlaps(cut, other))
            .map(|other| other.depth)
            .fold(Length::ZERO, Length::max);
        let behind = match cut.housing.face {
            _ if cut.housing.through => None,
            CutFace::Inside | CutFace::Outside => Some(part.thickness - cut.depth - opposite),
            CutFace::Edge => Some(part.width - cut.depth),
            CutFace::End => None,
        };
        let warning = match behind {
            Some(left) if left.mm() <= 0.0 => {
                let words = format!(
                    "the {} of {} goes through {}: {:.1} mm deep{} in {:.1} mm of wood",
                    cut.housing.what,
                    plan.name,
                    part.name,
                    cut.depth.mm(),
                    if opposite.mm() > 0.0 {
                        format!(", with {:.1} mm from the other face", opposite.mm())
                    } else {
                        String::new()
                    },
                    part.thickness.mm()
                );
                warnings.push(format!(
                    "{words}; cut shallower, or move one of the two cuts"
                ));
                Some("goes through: cut shallower or move it".to_owned())
            }
            Some(left) if left.mm() < THIN_MM.min(part.thickness.mm() / 3.0) => {
                Some(format!("only {:.1} mm of wood stays behind it", left.mm()))
            }
            _ => alike(&cuts[..index], cut, prepared),
        };
        sheet.push(SetupLine {
            joint: plan.name.clone(),
            part: part.name.clone(),
            cut: cut.housing.what.to_owned(),
            face: cut.housing.face.word(),
            from_reference_mm: cut.housing.from_reference.mm(),
            width_mm: cut.width.mm(),
            depth_mm: cut.depth.mm(),
            left_behind_mm: behind.map(Length::mm),
            count: cut.housing.count,
            trial: plan.trial.clone(),
            warning,
        });
    }
    (sheet, warnings)
}

/// Whether the other cut takes wood from behind this one: same part, opposite broad faces, and the
/// stretches cross. Cuts along different axes always cross somewhere.
fn overlaps(cut: &Cut<'_>, other: &Cut<'_>) -> bool {
    let broad = |face| matches!(face, CutFace::Inside | CutFace::Outside);
    let (a, b) = (cut.housing, other.housing);
    if a.part != b.part || !broad(a.face) || !broad(b.face) || a.face == b.face || b.through {
        return false;
    }
    if a.along != b.along || a.along == Axis::Thickness {
        return true;
    }
    let end = |cut: &Cut<'_>| cut.housing.from_reference + cut.width;
    a.from_reference < end(other) && b.from_reference < end(cut)
}

/// A setting that differs a little from an earlier one of the same kind of cut.
fn alike(before: &[Cut<'_>], cut: &Cut<'_>, prepared: &Prepared) -> Option<String> {
    let differs = |a: Length, b: Length| {
        let apart = (a - b).abs().mm();
        apart > SAME_MM && apart < ALIKE_MM
    };
    before
        .iter()
        .filter(|other| other.housing.what == cut.housing.what)
        .find_map(|other| {
            let (what, apart) = if differs(cut.width, other.width) {
                ("width", (cut.width - other.width).abs())
            } else if differs(cut.depth, other.depth) {
                ("depth", (cut.depth - other.depth).abs())
            } else {
                return None;
            };
            Some(format!(
                "reset the {what}: it differs by {:.1} mm from that of {}",
                apart.mm(),
                prepared.joints[other.joint].name
            ))
        })
}
