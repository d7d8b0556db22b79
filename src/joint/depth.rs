//! The depth budget: what the cuts of all joints leave of a part.
//!
//! Wood left = the part's size square to the cut, less the cut's depth, less the
//! deepest cut from the opposite broad face that overlaps it. A rabbet leaves its
//! lip. Cuts that leave nothing are refused when a job is read; thin wood is a
//! warning on the setup sheet ([`THIN_MM`], judgement).

use super::part::{Axis, Motion, PartFacts, PartId};
use super::plan::{Behind, CutFace, Housing, JointPlan, Setting};
use crate::units::Length;
use crate::units::spanned::Problems;
use std::collections::HashMap;

/// Less wood than this behind a cut is warned of; in a part thinner than three times this, less than a third of it
/// (judgement). Millimetres.
pub const THIN_MM: f64 = 5.0;

/// A cut with its sizes known.
#[derive(Debug, Clone, Copy)]
pub struct Cut<'a> {
    /// Index of its joint.
    pub joint: usize,
    /// The cut.
    pub housing: &'a Housing,
    /// From the reference to its near side.
    pub from: Length,
    /// Its extent along the reference direction.
    pub width: Length,
    /// Its depth.
    pub depth: Length,
}

/// What a cut leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WoodLeft {
    /// The wood that stays; zero where the cut goes through.
    pub left: Length,
    /// The size it is taken from.
    pub wood: Length,
    /// How deep the deepest overlapping cut from the opposite face is; zero without one.
    pub opposite: Length,
    /// The joint that cut belongs to.
    pub opposite_joint: Option<usize>,
}

/// All cuts of all joints, `cuts_mm` being the sizes of each joint's fits.
#[must_use]
pub fn cuts<'a>(joints: &'a [JointPlan], cuts_mm: &[Vec<f64>]) -> Vec<Cut<'a>> {
    joints
        .iter()
        .zip(cuts_mm)
        .enumerate()
        .flat_map(|(joint, (plan, sizes))| {
            plan.housings.iter().map(move |housing| Cut {
                joint,
                housing,
                from: housing.from_reference.length(sizes),
                width: housing.width.length(sizes),
                depth: housing.depth.length(sizes),
            })
        })
        .collect()
}

/// Cuts by the part and the broad face they are made in, to find those that may meet another from behind.
#[derive(Debug, Clone, Default)]
pub struct Opposite<'a> {
    by_face: HashMap<(PartId, bool), Vec<&'a Cut<'a>>>,
}

impl<'a> Opposite<'a> {
    /// The cuts of a job.
    #[must_use]
    pub fn new(all: &'a [Cut<'a>]) -> Self {
        let mut by_face: HashMap<_, Vec<&Cut<'_>>> = HashMap::new();
        for cut in all {
            if let Some(inside) = broad_side(cut.housing.face) {
                by_face
                    .entry((cut.housing.part, inside))
                    .or_default()
                    .push(cut);
            }
        }
        Self { by_face }
    }

    /// The cuts in the face opposite to that of a housing.
    fn of(&self, housing: &Housing) -> impl Iterator<Item = &'a Cut<'a>> {
        broad_side(housing.face)
            .and_then(|inside| self.by_face.get(&(housing.part, !inside)))
            .into_iter()
            .flatten()
            .copied()
    }
}

/// Whether a broad face is the inside one; `None` for edges and ends.
const fn broad_side(face: CutFace) -> Option<bool> {
    match face {
        CutFace::Inside => Some(true),
        CutFace::Outside => Some(false),
        CutFace::Edge | CutFace::End => None,
    }
}

impl Cut<'_> {
    /// What this cut leaves of its part beside all others; `None` where it is meant to go through.
    #[must_use]
    pub fn wood_left(&self, all: &Opposite<'_>, part: &PartFacts) -> Option<WoodLeft> {
        let none = Length::ZERO;
        match self.housing.behind {
            Behind::Nothing => None,
            Behind::Lip => {
                let wood = part.size(self.housing.along);
                Some(WoodLeft {
                    left: (wood - self.width).max(none),
                    wood,
                    opposite: none,
                    opposite_joint: None,
                })
            }
            Behind::Bottom => {
                let wood = part.size(self.housing.face.square());
                let deepest = all
                    .of(self.housing)
                    .filter(|other| self.meets(other))
                    .max_by(|a, b| a.depth.mm().total_cmp(&b.depth.mm()));
                let opposite = deepest.map_or(none, |other| other.depth);
                Some(WoodLeft {
                    left: (wood - self.depth - opposite).max(none),
                    wood,
                    opposite,
                    opposite_joint: deepest.map(|other| other.joint),
                })
            }
        }
    }

    /// Whether the other cut, in the opposite broad face, takes wood from behind this one: stretches that overlap.
    /// Cuts along different axes always cross somewhere.
    fn meets(&self, other: &Cut<'_>) -> bool {
        let (a, b) = (self.housing, other.housing);
        if b.behind == Behind::Nothing {
            return false;
        }
        if a.along != b.along || a.along == Axis::Thickness {
            return true;
        }
        self.from < other.from + other.width && other.from < self.from + self.width
    }
}

/// The minimum wood that a cut may leave of this much without a warning; see [`THIN_MM`].
#[must_use]
pub fn min_left(wood: Length) -> Length {
    Length::from_mm_unchecked(THIN_MM).min(wood / 3.0)
}

impl WoodLeft {
    /// Whether no wood is left.
    #[must_use]
    pub fn is_through(&self) -> bool {
        self.left.mm() <= 0.0
    }

    /// Whether so little is left that it breaks out easily.
    #[must_use]
    pub fn is_thin(&self) -> bool {
        self.left < min_left(self.wood)
    }
}

/// Notes every cut of known depth that leaves no wood together with cuts from the opposite face.
pub(super) fn check(plans: &[JointPlan], parts: &[PartFacts], problems: &mut Problems) {
    let still = Motion::still(parts.len(), 1);
    let sizes: Vec<Vec<f64>> = plans
        .iter()
        .map(|plan| plan.still_cuts_mm(&still))
        .collect();
    let all = cuts(plans, &sizes);
    let opposite = Opposite::new(&all);
    for cut in &all {
        let part = &parts[cut.housing.part.0];
        let given = matches!(cut.housing.depth, Setting::Known(_));
        let Some(left) = cut
            .wood_left(&opposite, part)
            .filter(|left| given && left.is_through())
        else {
            continue;
        };
        // A cut that goes through alone was refused where it is given.
        let Some(other) = left.opposite_joint.filter(|other| *other < cut.joint) else {
            continue;
        };
        problems.push(
            plans[cut.joint].span.clone(),
            format!(
                "{} and {} meet in `{}`: {:.1} mm and {:.1} mm deep from opposite faces in {:.1} mm of wood",
                plans[cut.joint].name,
                plans[other].name,
                part.name,
                cut.depth.mm(),
                left.opposite.mm(),
                left.wood.mm()
            ),
            "cut one or both shallower, move one along the part, or make the part thicker",
        );
    }
}
