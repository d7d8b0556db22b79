//! The answer of `[install]`.

use super::install::InstallPlan;
use crate::carcass::{
    Caution, FitDay, Levelled, Overhang, OverhangSide, PartMoves, PlanMark, Recess, SeasonStrains,
    Settling, SiteKind, WALL_GAP_MM, WallGaps, fasten, fit_days, gap_behind, level, overhang,
    standing_cautions, wall_gaps,
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
    /// What is around the piece.
    pub site: SiteKind,
    /// What sits on the floor, from left to right and from front to back.
    pub base: [Length; 2],
    /// The outer box of the piece, from left to right and from front to back; as the base in a job without places.
    pub outer: [Length; 2],
    /// Height of the piece.
    pub height: Length,
    /// Height of the plinth that is its base, where it has one.
    pub plinth: Option<Length>,
    /// Gap to leave at the wall behind it today; none where there is no wall, or nothing says what reaches back.
    pub gap_behind: Option<Length>,
    /// Gap to leave at the wall at its side, where there is one.
    pub gap_beside: Option<Length>,
    /// What to do on site, in its order.
    pub steps: Vec<&'static str>,
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
    /// What to do on site, in its order.
    fn steps(&self) -> Vec<&'static str> {
        let mut steps = Vec::new();
        if self.plinth.is_some() {
            steps.push(
                "Level the plinth first, with the shims under it, glue the shims and cut them off flush; or scribe it and leave them out",
            );
            steps.push(
                "Fix the plinth to the floor with cleats screwed inside it; look for pipes, cables and floor heating first, and on a floor that must not be drilled fix it to the wall",
            );
            steps.push(
                "Set the case on the level plinth and screw it down through its bottom last: the round hole first, the slots hand-tight under washers",
            );
        } else if self.floor.is_some() {
            steps.push("Level the piece with the shims under it, or scribe its feet, before anything is fastened");
        }
        match self.site {
            SiteKind::Free => steps.push(
                "No wall holds it: keep what is heavy low, and where it is tall or has drawers fix it to the floor",
            ),
            SiteKind::OneWall | SiteKind::TwoWalls | SiteKind::Niche => steps.push(
                "Anchor it to the framing of the wall behind it, through slots up and down where the back moves",
            ),
        }
        steps
    }

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
        let min = Length::from_mm_unchecked(WALL_GAP_MM);
        let growth = self
            .reach_back
            .iter()
            .map(|(part, axis)| {
                let most = motion
                    .ratios(*part, *axis)
                    .iter()
                    .copied()
                    .fold(1.0, f64::max);
                parts[part.0].size(*axis) * (most - 1.0)
            })
            .reduce(Length::max);
        Ok(InstallFinding {
            site: self.site,
            base: [self.length, self.depth],
            outer: self.outer.unwrap_or([self.length, self.depth]),
            height: self.height,
            plinth: self.plinth,
            gap_behind: growth
                .filter(|_| self.site != SiteKind::Free)
                .map(|growth| gap_behind(growth, min)),
            gap_beside: (self.site == SiteKind::TwoWalls).then_some(min),
            steps: self.steps(),
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
