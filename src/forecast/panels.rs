//! Panels matched from leaves: the best layouts, what bookmatching does, and the panel through the year.

use super::evaluate::Workspace;
use super::memory::Memory;
use super::prepare::Prepared;
use crate::job::{Job, Part};
use crate::moisture::MoistureTrack;
use crate::movement::GluedBoard;
use crate::numerics::{Deadline, Stopped};
use crate::panel::{
    BestLayouts, BookmatchFlag, LeafMatch, MoistureChange, Panel, PanelPlan, PanelYear, Weights,
    settle_woods,
};
use crate::species::SpeciesTable;
use crate::units::MoistureContent;
use crate::units::spanned::Problems;

/// Moisture at which leaves are taken to be glued where neither the panel nor its part tells one.
const GLUED_AT_PERCENT: f64 = 9.0;
/// Driest moisture where the panel becomes no part of the job: that of a heated house in winter.
const DRIEST_PERCENT: f64 = 6.0;

/// What was found of one panel.
#[derive(Debug, Clone)]
pub struct PanelStudy {
    /// Its name.
    pub name: String,
    /// The part it becomes.
    pub part: Option<String>,
    /// The panel.
    pub panel: Panel,
    /// Its best layouts.
    pub best: BestLayouts,
    /// What bookmatching does against slip-matching.
    pub flag: Option<BookmatchFlag>,
    /// Rules that stood in for missing values.
    pub rules: Vec<String>,
    /// The best layout through the settled year at home, where the panel becomes a part of the job.
    pub year: Option<PanelYear>,
}

/// The layouts found of a panel.
#[derive(Debug, Clone)]
pub(super) struct Matched {
    pub best: BestLayouts,
    pub flag: Option<BookmatchFlag>,
}

impl Matched {
    /// Searches the best so many layouts, and for pairs what bookmatching does against slip-matching. A search that the
    /// deadline cut off is no answer: a deadline that is over stays so, and is asked after each.
    pub(super) fn of(panel: &Panel, count: usize, deadline: Deadline<'_>) -> Result<Self, Stopped> {
        let best = panel.best_within(count, deadline);
        deadline.check()?;
        let flag = match panel.leaf_match() {
            LeafMatch::Bookmatch | LeafMatch::SlipMatch => {
                panel.bookmatch_flag_within(&best, deadline)
            }
            LeafMatch::FourWay | LeafMatch::Random => None,
        };
        deadline.check()?;
        Ok(Self { best, flag })
    }
}

/// A panel whose leaves are known, before its best layouts are searched.
pub(super) struct LaidPanel {
    name: String,
    part: Option<String>,
    panel: Panel,
    best: usize,
    rules: Vec<String>,
    /// The settled year at home of the part it becomes.
    days: Option<MoistureTrack>,
}

/// Lays out every panel of a job by their plans, which are those of its file or those after its log, and notes unknown woods and leaves that cannot make the panel. `workspace` holds the middle
/// draw on every day.
pub(super) fn laid(
    job: &Job,
    plans: &[PanelPlan],
    species: &SpeciesTable,
    prepared: &Prepared,
    workspace: &Workspace,
    problems: &mut Problems,
) -> Vec<LaidPanel> {
    let mut found = Vec::with_capacity(plans.len());
    for plan in plans {
        let part = plan.part.as_ref().and_then(|(name, _)| {
            prepared
                .parts
                .iter()
                .position(|part| part.facts.name == *name)
        });
        let settled = prepared.timeline.settled();
        let track = part.map(|index| &workspace.tracks[index]);
        let driest = track.map_or(DRIEST_PERCENT, |track| {
            track.mean_percent[settled..]
                .iter()
                .copied()
                .fold(f64::INFINITY, f64::min)
        });
        let from = plan.moisture.unwrap_or_else(|| {
            part.map_or(
                MoistureContent::computed_percent(GLUED_AT_PERCENT),
                |index| job.parts[index].moisture,
            )
        });
        let change = MoistureChange {
            from,
            to: MoistureContent::computed_percent(driest),
        };
        let mut leaves = plan.leaves().unwrap_or_default().to_vec();
        // A panel that names no wood is of the wood of the part it becomes.
        let of_part = part.map(|index| job.parts[index].species.as_str());
        let wood = plan
            .species
            .as_ref()
            .map(|(name, _)| name.as_str())
            .or(of_part);
        let rules = match settle_woods(&mut leaves, wood, species) {
            Ok(rules) => rules,
            Err(error) => {
                let span = plan
                    .species
                    .as_ref()
                    .map_or(plan.span.clone(), |(_, span)| span.clone());
                problems.push(
                    span,
                    format!("panel `{}`: {}", plan.name, error.species.message()),
                    error.species.remedy(),
                );
                continue;
            }
        };
        let panel = match Panel::new(leaves, plan.leaf_match, change, Weights::default()) {
            Ok(panel) => panel,
            Err(error) => {
                problems.refuse(
                    plan.span.clone(),
                    &error.at(format!("panel `{}`", plan.name)),
                );
                continue;
            }
        };
        let days = track.map(|track| MoistureTrack {
            first_day: crate::moisture::day_of_year(prepared.timeline.date(settled)),
            mean_percent: track.mean_percent[settled..].to_vec(),
            slope_percent_per_mm: track.slope_percent_per_mm[settled..].to_vec(),
        });
        found.push(LaidPanel {
            name: plan.name.clone(),
            part: plan.part.as_ref().map(|(name, _)| name.clone()),
            panel,
            best: plan.best,
            rules,
            days,
        });
    }
    found
}

/// The boards of a part that is the best layout of a panel, as laid; `None` where leaves do not say where their rings are, or do not make
/// the panel, and after the deadline.
pub(super) fn boards_of(
    job: &Job,
    name: &str,
    part: &Part,
    species: &SpeciesTable,
    deadline: Deadline<'_>,
) -> Option<Vec<GluedBoard>> {
    let plan = job.panels.iter().find(|panel| panel.name == name)?;
    let mut leaves = plan.leaves()?.to_vec();
    let wood = plan
        .species
        .as_ref()
        .map_or(part.species.as_str(), |(name, _)| name.as_str());
    settle_woods(&mut leaves, Some(wood), species).ok()?;
    let change = MoistureChange {
        from: plan.moisture.unwrap_or(part.moisture),
        to: MoistureContent::computed_percent(DRIEST_PERCENT),
    };
    let panel = Panel::new(leaves, plan.leaf_match, change, Weights::default()).ok()?;
    let best = Matched::of(&panel, plan.best, deadline).ok()?.best;
    let row = best.layouts.first()?.layout.rows.first()?;
    row.iter()
        .map(|placed| {
            let leaf = &panel.leaves()[placed.leaf];
            Some(GluedBoard {
                section: leaf.section()?,
                bark_up: leaf.bark_up(placed.face_up),
            })
        })
        .collect()
}

/// Searches the best layouts of every panel.
pub(super) fn studies(
    laid: Vec<LaidPanel>,
    memory: &Memory,
    deadline: Deadline<'_>,
) -> Result<Vec<PanelStudy>, Stopped> {
    laid.into_iter()
        .map(|laid| {
            deadline.check()?;
            let matched = memory.matched(&laid.panel, laid.best, deadline)?;
            let year = laid
                .days
                .zip(matched.best.layouts.first())
                .map(|(days, first)| laid.panel.through_the_year(&first.layout, &days));
            Ok(PanelStudy {
                name: laid.name,
                part: laid.part,
                panel: laid.panel,
                best: matched.best.clone(),
                flag: matched.flag.clone(),
                rules: laid.rules,
                year,
            })
        })
        .collect()
}
