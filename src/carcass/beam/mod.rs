//! Slender beams on supports, in plain `f64`: any number of beams side by
//! side on one axis, each with its stiffness and the curvature it wants when
//! free, held by supports that may push one way only, turned by springs, and
//! tied to each other through struts that neither stretch nor shorten.
//!
//! Lengths in mm, forces in N, stiffness `E I` in N mm2, deflection upward
//! positive, moments sagging positive: `M = E I (w'' - curvature)`.

mod contact;
mod curve;
mod solve;

pub(crate) use contact::hold;
pub(crate) use curve::Curve;

/// One beam.
#[derive(Debug, Clone)]
pub(crate) struct Beam {
    /// Where the beam begins on the common axis, mm.
    pub start: f64,
    /// Its length, mm.
    pub length: f64,
    /// `E I`, N mm2.
    pub stiffness: f64,
    /// `w''` of the beam when nothing holds it, 1/mm.
    pub curvature: f64,
    /// Loads at a point: place on the common axis, force down in N.
    pub point_loads: Vec<(f64, f64)>,
    /// Even loads: from, to, N/mm down.
    pub line_loads: Vec<(f64, f64, f64)>,
    /// Places whose slope is held: place, radians per N mm (0 holds it wholly).
    pub turns: Vec<(f64, f64)>,
}

/// Which forces a hold can give.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sense {
    /// Push and pull.
    Both,
    /// Only upward on the beam; for a strut, only apart.
    Up,
    /// Only downward on the beam; for a strut, only together.
    Down,
}

/// A hold: a support on the ground, or a strut between two beams.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hold {
    /// Place on the common axis, mm.
    pub at: f64,
    /// The beam the force acts up on.
    pub upper: usize,
    /// The other beam of a strut.
    pub lower: Option<usize>,
    /// Height of the support, or how much too long the strut is, mm.
    pub level: f64,
    /// What it can give.
    pub sense: Sense,
}

/// Why beams cannot be held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fault {
    /// Two holds do the same thing at the same place.
    Coincident(usize, usize),
    /// A hold lies off its beam.
    Outside(usize),
    /// The beams can still move freely: too few holds, or all push away.
    Loose,
    /// The equations could not be settled.
    Unsettled,
}

/// The answer: the curves of the beams and the force of each hold.
#[derive(Debug, Clone)]
pub(crate) struct Held {
    /// One curve per beam.
    pub curves: Vec<Curve>,
    /// Upward force on the upper beam per hold, N.
    pub forces: Vec<f64>,
    /// Whether the hold is at work.
    pub working: Vec<bool>,
}

/// Supports nearer to each other than this, in mm, are one support.
pub(crate) const COINCIDENT_MM: f64 = 1.0;

impl Beam {
    pub(crate) fn end(&self) -> f64 {
        self.start + self.length
    }
}

/// Whether the beams are held against every rigid movement by the holds marked active.
pub(crate) fn is_held(beams: &[Beam], holds: &[Hold], active: &[bool]) -> bool {
    let columns = 2 * beams.len();
    let span = beams.iter().fold(1.0_f64, |most, b| most.max(b.length));
    let mut rows: Vec<Vec<f64>> = Vec::new();
    for (hold, _) in holds.iter().zip(active).filter(|(_, on)| **on) {
        let mut row = vec![0.0; columns];
        row[2 * hold.upper] = 1.0;
        row[2 * hold.upper + 1] = hold.at / span;
        if let Some(lower) = hold.lower {
            row[2 * lower] = -1.0;
            row[2 * lower + 1] = -hold.at / span;
        }
        rows.push(row);
    }
    for (index, beam) in beams.iter().enumerate() {
        for _ in &beam.turns {
            let mut row = vec![0.0; columns];
            row[2 * index + 1] = 1.0;
            rows.push(row);
        }
    }
    rank(rows, columns) == columns
}

fn rank(mut rows: Vec<Vec<f64>>, columns: usize) -> usize {
    let mut found = 0;
    for column in 0..columns {
        let Some(best) = (found..rows.len())
            .max_by(|&a, &b| rows[a][column].abs().total_cmp(&rows[b][column].abs()))
        else {
            break;
        };
        if rows[best][column].abs() < 1e-9 {
            continue;
        }
        rows.swap(found, best);
        let pivot = rows[found].clone();
        for row in &mut rows[found + 1..] {
            let factor = row[column] / pivot[column];
            for (value, lead) in row.iter_mut().zip(&pivot) {
                *value -= factor * lead;
            }
        }
        found += 1;
    }
    found
}

/// Finds holds off their beam and holds that repeat each other.
pub(crate) fn check(beams: &[Beam], holds: &[Hold]) -> Result<(), Fault> {
    for (index, hold) in holds.iter().enumerate() {
        for beam in [Some(hold.upper), hold.lower].into_iter().flatten() {
            let slack = 1e-9 * beams[beam].length;
            if hold.at < beams[beam].start - slack || hold.at > beams[beam].end() + slack {
                return Err(Fault::Outside(index));
            }
        }
    }
    let mut order: Vec<usize> = (0..holds.len()).collect();
    order.sort_by(|&a, &b| holds[a].at.total_cmp(&holds[b].at));
    let mut from = 0;
    while from < order.len() {
        let mut to = from + 1;
        while to < order.len() && holds[order[to]].at - holds[order[to - 1]].at < COINCIDENT_MM {
            to += 1;
        }
        check_place(beams.len(), holds, &order[from..to])?;
        from = to;
    }
    Ok(())
}

/// At one place, ground and beams are joined by holds: a ring of them repeats itself.
fn check_place(beams: usize, holds: &[Hold], here: &[usize]) -> Result<(), Fault> {
    let ground = beams;
    let mut group: Vec<usize> = (0..=beams).collect();
    for (position, &index) in here.iter().enumerate() {
        let hold = &holds[index];
        let (a, b) = (group[hold.upper], group[hold.lower.unwrap_or(ground)]);
        if a == b {
            let earlier = here[..position]
                .iter()
                .rev()
                .find(|&&other| {
                    holds[other].upper == hold.upper
                        || holds[other].lower == Some(hold.upper)
                        || hold.lower == Some(holds[other].upper)
                })
                .unwrap_or(&here[0]);
            return Err(Fault::Coincident(*earlier, index));
        }
        for member in &mut group {
            if *member == b {
                *member = a;
            }
        }
    }
    Ok(())
}
