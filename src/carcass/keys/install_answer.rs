//! The answer of `[install]`.

use super::install::InstallPlan;
use crate::carcass::{
    Caution, FitDay, Levelled, Overhang, OverhangSide, PartMoves, PlanMark, Recess, SeasonStrains,
    Settling, WallGaps, fasten, fit_days, level, overhang, standing_cautions, wall_gaps,
};
use crate::joint::{Axis, Motion, PartFacts, PartId};
use crate::units::{Length, Refusal, Strain};
use jiff::civil::Date;

/// One part's holes.
#[derive(Debug, Clone, PartialEq)]
pub struct FastenedPart {
    /// The part.
    pub part: PartId,
    /// Its width today.
    pub width: Length,
    /// The holes, in the order of the screws.
    pub marks: Vec<PlanMark>,
}

/// The whole installation.
#[derive(Debug, Clone, PartialEq)]
pub struct InstallFinding {
    /// Shims and scribe line.
    pub levelled: Option<Levelled>,
    /// Gaps at the walls.
    pub walls: Option<WallGaps>,
    /// Holes of each fastened part.
    pub fastened: Vec<FastenedPart>,
    /// The overhang to cut.
    pub overhang: Option<OverhangSide>,
    /// When each part may be fitted.
    pub fit_days: Vec<FitDay>,
    /// What to beware of.
    pub cautions: Vec<Caution>,
}

impl PartMoves {
    /// How a part moves over all days of a motion, which counts from its day of measuring.
    #[must_use]
    pub fn of(motion: &Motion, part: PartId) -> Self {
        let season = |axis: Axis| {
            let ratios = motion.ratios(part, axis);
            let min = ratios.iter().copied().fold(1.0, f64::min);
            let most = ratios.iter().copied().fold(1.0, f64::max);
            SeasonStrains {
                driest: Strain::computed_ratio(min - 1.0),
                today: Strain::ZERO,
                wettest: Strain::computed_ratio(most - 1.0),
            }
        };
        Self {
            across: season(Axis::Width),
            along: season(Axis::Length),
        }
    }
}

impl InstallPlan {
    /// The whole installation.
    ///
    /// `motion` tells how the parts move through the year from their day of measuring,
    /// `settling` how long they take to come to the air of the place.
    ///
    /// # Errors
    /// [`Refusal`] for sizes or days out of range.
    pub fn answer(
        &self,
        parts: &[PartFacts],
        motion: &Motion,
        settling: &[Settling],
        delivered: Date,
    ) -> Result<InstallFinding, Refusal> {
        let moves = |part: PartId| PartMoves::of(motion, part);
        let fastened = self
            .fastenings
            .iter()
            .map(|plan| {
                let width = parts[plan.part.0].width;
                let holes = fasten(
                    width,
                    plan.fixed,
                    &moves(plan.part),
                    &plan.fixings,
                    plan.margin,
                )?;
                Ok(FastenedPart {
                    part: plan.part,
                    width,
                    marks: plan
                        .fixings
                        .iter()
                        .zip(holes)
                        .map(|(fixing, hole)| PlanMark {
                            across: fixing.across,
                            along: fixing.along,
                            hole,
                        })
                        .collect(),
                })
            })
            .collect::<Result<Vec<_>, Refusal>>()?;
        let walls = self.walls.as_ref().and_then(|walls| {
            let piece = parts[walls.part.0].size(walls.axis);
            let most = motion
                .ratios(walls.part, walls.axis)
                .iter()
                .copied()
                .fold(1.0, f64::max);
            wall_gaps(&Recess {
                widths: walls.widths.clone(),
                piece,
                growth: piece * (most - 1.0),
                held: walls.held,
                min: walls.gap,
            })
        });
        Ok(InstallFinding {
            levelled: self.floor.as_ref().map(level).transpose()?,
            walls,
            fastened,
            overhang: self
                .overhang
                .as_ref()
                .map(|over| {
                    overhang(&Overhang {
                        case_depth: parts[over.case.0].width,
                        fixed: over.fixed,
                        top: moves(over.top),
                        case: moves(over.case),
                        front_min: over.front,
                        back_min: over.back,
                    })
                })
                .transpose()?,
            fit_days: fit_days(delivered, settling)?,
            cautions: standing_cautions(self.height, self.depth),
        })
    }
}
