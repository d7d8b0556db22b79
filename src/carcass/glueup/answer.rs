//! The stages of a glue-up.

use super::chemistry::GlueKind;
use super::explain;
use super::lattice::{Lattice, Load, MOST, Standing, bits};
use super::piece::{GlueTerms, Piece};
use super::search::{Found, PATIENCE, Schedule, Search};
use crate::units::{Duration, Refusal};

/// What would shorten a stage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shorten {
    /// A chemistry that stays open longer.
    SlowerGlue(GlueKind),
    /// So many pairs of hands in all.
    Helpers(u32),
    /// This joint glued in a stage of its own before.
    PreGlue(String),
}

/// One stage: one spreading.
#[derive(Debug, Clone, PartialEq)]
pub struct GlueStage {
    /// Joints glued in it.
    pub glued: Vec<usize>,
    /// Floating joints that must be put together in it.
    pub put_in_dry: Vec<usize>,
    /// Parts set in dry, unglued, to keep the work true.
    pub dry_fitted: Vec<usize>,
    /// The bodies it makes, each as its parts.
    pub bodies: Vec<Vec<usize>>,
    /// How long it takes.
    pub takes: Duration,
    /// How many clamps it takes.
    pub clamps: u64,
    /// The joint that takes longest.
    pub longest: usize,
    /// What would shorten it, where it takes more than 90 % of its time.
    pub shorten: Vec<Shorten>,
}

/// The whole glue-up.
#[derive(Debug, Clone, PartialEq)]
pub struct Stages {
    /// The stages in order.
    pub stages: Vec<GlueStage>,
    /// Open time at the room's warmth.
    pub open_time: Duration,
    /// What a stage may take: the open time less the reserve.
    pub stage_time: Duration,
    /// No fewer stages than this can do, whatever the order.
    pub at_least: usize,
    /// Whether fewer stages are proven impossible.
    pub proven: bool,
    /// Things to tell the maker: where the open time comes from, a room too cold for the glue.
    pub notes: Vec<String>,
}

/// Share of the stage time above which a stage is tight (judgement).
pub(in crate::carcass) const TIGHT: f64 = 0.9;

/// The fewest stages in which a piece can be glued up; among those, stages as
/// even as a short search makes them.
///
/// Exact: a lower bound from the joints' times alone, an upper bound from a greedy order, and
/// between them a search over all sets of joints that can stand done, with
/// like parts taken as one another. Where that search is cut short, [`Stages::proven`] is false.
///
/// # Errors
/// [`Refusal`] when the piece is malformed, or when no order fits: then with
/// the joints that must be closed together and what would help.
pub fn plan_stages(piece: &Piece, terms: &GlueTerms) -> Result<Stages, Refusal> {
    check(piece, terms)?;
    let lattice = Lattice::new(piece, terms);
    let room = Load {
        time: (terms.stage_time().seconds() * 1000.0).floor() as u64,
        clamps: terms.clamps.map_or(u64::MAX / (2 * MOST as u64), u64::from),
    };
    let search = Search::new(&lattice, room);
    let at_least = search.lower_bound();
    let (mut schedule, mut proven) = match search.greedy() {
        Some(schedule) => {
            let proven = schedule.len() <= at_least;
            (schedule, proven)
        }
        None => {
            let (worst, order) = search.min_worst(PATIENCE).ok_or_else(explain::unsettled)?;
            if worst > 1_000_000 {
                return Err(unsatisfiable(piece, terms, &lattice, room, &order));
            }
            (order, false)
        }
    };
    if !proven {
        proven = true;
        let mut patience = PATIENCE;
        for stages in at_least.max(1)..schedule.len() {
            match search.within(stages, &mut patience) {
                Found::Yes(better) => {
                    schedule = better;
                    break;
                }
                Found::No => {}
                Found::Unsettled => proven = false,
            }
        }
    }
    even_out(&lattice, room, &mut schedule);
    Ok(Stages {
        stages: tell(piece, terms, &lattice, &schedule),
        open_time: terms.open_time(),
        stage_time: terms.stage_time(),
        at_least,
        proven,
        notes: terms.notes(),
    })
}

fn check(piece: &Piece, terms: &GlueTerms) -> Result<(), Refusal> {
    let count = piece.parts.len().max(piece.joints.len());
    if count > MOST {
        return Err(explain::too_large(count, MOST));
    }
    let known = |part: usize| part < piece.parts.len();
    for joint in &piece.joints {
        let [a, b] = joint.between;
        if a == b || !known(a) || !known(b) {
            return Err(explain::unknown_part(&joint.name));
        }
    }
    for trap in &piece.traps {
        if !known(trap.part) || trap.between.len() < 2 || !trap.between.iter().all(|p| known(*p)) {
            return Err(explain::unknown_part("a trapped part"));
        }
    }
    let time = terms.stage_time().seconds();
    if terms.hands == 0 || !time.is_finite() || time < 1.0 {
        return Err(explain::no_time());
    }
    Ok(())
}

/// Shrinks the room while as many stages still do, so that no stage is fuller than it must be.
fn even_out(lattice: &Lattice, room: Load, schedule: &mut Schedule) {
    let stages = schedule.len();
    if stages < 2 {
        return;
    }
    let worst = |schedule: &Schedule| {
        schedule
            .iter()
            .map(|stage| lattice.load(*stage).time)
            .max()
            .unwrap_or(0)
    };
    let total: u64 = lattice.time.iter().sum();
    let (mut low, mut high) = (total.div_ceil(stages as u64), worst(schedule));
    for _ in 0..6 {
        if low >= high {
            break;
        }
        let time = low + (high - low) / 2;
        let narrower = Search::new(lattice, Load { time, ..room });
        match narrower.within(stages, &mut (PATIENCE / 60)) {
            Found::Yes(better) => {
                high = worst(&better);
                *schedule = better;
            }
            Found::No | Found::Unsettled => low = time + 1,
        }
    }
}

fn names(piece: &Piece, set: u128) -> Vec<String> {
    bits(set)
        .map(|joint| piece.joints[joint].name.clone())
        .collect()
}

fn longest(lattice: &Lattice, set: u128) -> usize {
    bits(set)
        .max_by_key(|joint| (lattice.time[*joint], std::cmp::Reverse(*joint)))
        .unwrap_or(0)
}

fn milliseconds(time: u64) -> Duration {
    Duration::computed_seconds(time as f64 / 1000.0)
}

fn unsatisfiable(
    piece: &Piece,
    terms: &GlueTerms,
    lattice: &Lattice,
    room: Load,
    order: &Schedule,
) -> Refusal {
    let over = |set: &&u128| !lattice.load(**set).fits(room);
    let set = order.iter().find(over).copied().unwrap_or(0);
    let load = lattice.load(set);
    let joints = names(piece, set).join(", ");
    if load.time <= room.time {
        return explain::too_few_clamps(&joints, load.clamps, terms.clamps.unwrap_or(0));
    }
    let takes = milliseconds(load.time);
    let mut remedies = Vec::new();
    remedies.extend(terms.slower_glue(takes).map(Shorten::SlowerGlue));
    remedies.extend(terms.hands_for(takes).map(Shorten::Helpers));
    let longest = &piece.joints[longest(lattice, set)].name;
    explain::too_long(&joints, longest, [takes, terms.stage_time()], &remedies)
}

fn tell(
    piece: &Piece,
    terms: &GlueTerms,
    lattice: &Lattice,
    schedule: &Schedule,
) -> Vec<GlueStage> {
    let mut at = lattice.nothing_done();
    let mut stages = Vec::with_capacity(schedule.len());
    for set in schedule {
        let before = at;
        for joint in bits(*set) {
            if at.done >> joint & 1 == 0 {
                at = lattice.step(&at, joint);
            }
        }
        stages.push(stage(piece, terms, lattice, &before, &at, *set));
    }
    stages
}

fn stage(
    piece: &Piece,
    terms: &GlueTerms,
    lattice: &Lattice,
    before: &Standing,
    after: &Standing,
    set: u128,
) -> GlueStage {
    let load = lattice.load(set);
    let mut bodies: Vec<Vec<usize>> = Vec::new();
    let mut labels: Vec<u8> = bits(set & lattice.glued)
        .map(|joint| after.body[usize::from(lattice.ends[joint][0])])
        .collect();
    labels.sort_unstable();
    labels.dedup();
    for label in &labels {
        bodies.push(
            (0..lattice.parts)
                .filter(|part| after.body[*part] == *label)
                .collect(),
        );
    }
    // A part outside that meets a new body in two of its parts keeps them apart and square.
    let dry_fitted = (0..lattice.parts)
        .filter(|part| {
            bodies.iter().any(|body| {
                let mut meets: Vec<usize> = bits(lattice.all() & !after.done)
                    .filter_map(|joint| {
                        let [a, b] = lattice.ends[joint].map(usize::from);
                        match (a == *part, b == *part) {
                            (true, _) => Some(b),
                            (_, true) => Some(a),
                            _ => None,
                        }
                    })
                    .filter(|other| body.contains(other))
                    .collect();
                meets.sort_unstable();
                meets.dedup();
                meets.len() >= 2 && !body.contains(part)
            })
        })
        .collect();
    let longest = longest(lattice, set);
    let takes = milliseconds(load.time);
    let mut shorten = Vec::new();
    if takes.seconds() > TIGHT * terms.stage_time().seconds() {
        shorten.extend(terms.slower_glue(takes / TIGHT).map(Shorten::SlowerGlue));
        shorten.push(Shorten::Helpers(terms.hands + 1));
        // The longest joint that can go before without dragging the rest along.
        let mut by_time: Vec<usize> = bits(set & lattice.glued).collect();
        by_time.sort_by_key(|joint| std::cmp::Reverse(lattice.time[*joint]));
        let alone = by_time.into_iter().find(|joint| {
            let alone = lattice.step(before, *joint).done & !before.done;
            alone & !set == 0 && alone != set
        });
        shorten.extend(alone.map(|joint| Shorten::PreGlue(piece.joints[joint].name.clone())));
    }
    GlueStage {
        glued: bits(set & lattice.glued).collect(),
        put_in_dry: bits(set & !lattice.glued).collect(),
        dry_fitted,
        bodies,
        takes,
        clamps: load.clamps,
        longest,
        shorten,
    }
}
