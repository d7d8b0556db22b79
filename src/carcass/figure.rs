//! What the figures of this room show, as plain numbers.

use super::{CREEP_YEARS, GlueTerms};
use super::{HeldPanel, Hole, LoadedShelf, PanelFace, Piece, Stages};
use crate::units::{Duration, Force, Length};

/// A place along a bowed panel, heights toward the crown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeforeAfter {
    /// From the panel's reference end.
    pub at: Length,
    /// Height when free, over the straight line through its ends.
    pub free: Length,
    /// Height when held.
    pub held: Length,
}

/// A force on a panel, drawn as an arrow.
#[derive(Debug, Clone, PartialEq)]
pub struct ForceArrow {
    /// What the maker calls the support.
    pub name: Option<String>,
    /// From the panel's reference end.
    pub at: Length,
    /// Against the crown positive.
    pub force: Force,
    /// The face it acts on when it presses.
    pub face: PanelFace,
    /// Whether the support is not touched.
    pub lost: bool,
}

/// A place along a shelf, sag downward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShelfLine {
    /// From the shelf's reference end.
    pub at: Length,
    /// Sag at once.
    pub at_once: Length,
    /// Sag after years.
    pub after_years: Length,
}

/// One picture of an assembly: what stands, and the joints made new in it.
#[derive(Debug, Clone, PartialEq)]
pub struct StagePicture {
    /// The bodies that stand after it, each as names of its parts.
    pub bodies: Vec<Vec<String>>,
    /// Joints glued in it, with their times.
    pub new_joints: Vec<(String, Duration)>,
    /// Parts and joints put together dry in it.
    pub dry: Vec<String>,
}

/// One fastening in plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanMark {
    /// Place across the grain from the front edge.
    pub across: Length,
    /// Place along the grain from the middle.
    pub along: Length,
    /// Round hole, or slot with its screw.
    pub hole: Hole,
}

fn even(length: Length, points: usize) -> impl Iterator<Item = Length> {
    let last = points.max(2) - 1;
    (0..=last).map(move |i| length * (i as f64 / last as f64))
}

impl HeldPanel {
    /// The panel before and after at so many even places, heights toward the crown.
    #[must_use]
    pub fn before_after(&self, points: usize) -> Vec<BeforeAfter> {
        let up = if self.panel.bow().mm() < 0.0 {
            -1.0
        } else {
            1.0
        };
        even(self.panel.length(), points)
            .map(|at| BeforeAfter {
                at,
                free: self.panel.free_shape(at) * up,
                held: self.height_at(at) * up,
            })
            .collect()
    }

    /// The forces as arrows.
    #[must_use]
    pub fn arrows(&self) -> Vec<ForceArrow> {
        self.supports
            .iter()
            .map(|support| ForceArrow {
                name: support.name.clone(),
                at: support.at,
                force: support.against_crown,
                face: if support.against_crown.newtons() >= 0.0 {
                    PanelFace::Crown
                } else {
                    PanelFace::Hollow
                },
                lost: support.lost_by.is_some(),
            })
            .collect()
    }
}

impl LoadedShelf {
    /// The shelf's line at so many even places over its length.
    #[must_use]
    pub fn line(&self, length: Length, points: usize) -> Vec<ShelfLine> {
        even(length, points)
            .map(|at| {
                let sag = -self.height_at(at);
                ShelfLine {
                    at,
                    at_once: sag,
                    after_years: sag * CREEP_YEARS,
                }
            })
            .collect()
    }
}

/// The assembly as a sequence of pictures.
#[must_use]
pub fn stage_pictures(piece: &Piece, terms: &GlueTerms, stages: &Stages) -> Vec<StagePicture> {
    let name = |part: &usize| piece.parts[*part].clone();
    stages
        .stages
        .iter()
        .map(|stage| StagePicture {
            bodies: stage
                .bodies
                .iter()
                .map(|body| body.iter().map(name).collect())
                .collect(),
            new_joints: stage
                .glued
                .iter()
                .map(|joint| {
                    let joint = &piece.joints[*joint];
                    (joint.name.clone(), terms.joint_time(joint))
                })
                .collect(),
            dry: stage
                .put_in_dry
                .iter()
                .map(|joint| piece.joints[*joint].name.clone())
                .chain(stage.dry_fitted.iter().map(name))
                .collect(),
        })
        .collect()
}
