//! Which one-way holds are at work: forces never pull, gaps never close below
//! zero, and one of the two is zero at every hold.

use super::solve::balance;
use super::{Beam, Curve, Fault, Held, Hold, Sense, check, is_held};

/// Holds the beams.
pub(crate) fn hold(beams: &[Beam], holds: &[Hold]) -> Result<Held, Fault> {
    check(beams, holds)?;
    let one_way: Vec<usize> = (0..holds.len())
        .filter(|&i| holds[i].sense != Sense::Both)
        .collect();
    let mut active = vec![true; holds.len()];
    if !is_held(beams, holds, &active) {
        return Err(Fault::Loose);
    }
    let mut seen = Vec::new();
    // Minimum-index pivoting: each round frees or sets the first hold that is wrong.
    for _ in 0..200 {
        if !is_held(beams, holds, &active) {
            break;
        }
        let (curves, forces) = balance(beams, holds, &active)?;
        let wrong = wrong_holds(beams, holds, &active, &curves, &forces);
        let Some(&first) = wrong.first() else {
            return Ok(Held {
                curves,
                forces,
                working: active,
            });
        };
        active[first] = !active[first];
        if seen.contains(&active) {
            break;
        }
        seen.push(active.clone());
    }
    every_choice(beams, holds, &one_way)
}

/// Tries every choice of working one-way holds; for the few that shops use.
fn every_choice(beams: &[Beam], holds: &[Hold], one_way: &[usize]) -> Result<Held, Fault> {
    if one_way.is_empty() || one_way.len() > 14 {
        return Err(Fault::Loose);
    }
    for choice in 0..1_u32 << one_way.len() {
        let mut active = vec![true; holds.len()];
        for (bit, &index) in one_way.iter().enumerate() {
            active[index] = choice >> bit & 1 == 0;
        }
        if !is_held(beams, holds, &active) {
            continue;
        }
        let Ok((curves, forces)) = balance(beams, holds, &active) else {
            continue;
        };
        if wrong_holds(beams, holds, &active, &curves, &forces).is_empty() {
            return Ok(Held {
                curves,
                forces,
                working: active,
            });
        }
    }
    Err(Fault::Loose)
}

fn wrong_holds(
    beams: &[Beam],
    holds: &[Hold],
    active: &[bool],
    curves: &[Curve],
    forces: &[f64],
) -> Vec<usize> {
    let scale = beams
        .iter()
        .map(|beam| {
            let loads = beam
                .point_loads
                .iter()
                .map(|load| load.1.abs())
                .sum::<f64>()
                + beam
                    .line_loads
                    .iter()
                    .map(|load| (load.1 - load.0) * load.2)
                    .sum::<f64>();
            loads + beam.stiffness * beam.curvature.abs() / beam.length
        })
        .fold(0.0_f64, f64::max);
    let max_force = forces.iter().fold(scale, |most, f| most.max(f.abs()));
    let slack_mm = 1e-9 * beams.iter().fold(0.0_f64, |most, b| most.max(b.length));
    (0..holds.len())
        .filter(|&index| {
            let hold = &holds[index];
            let sign = match hold.sense {
                Sense::Both => return false,
                Sense::Up => 1.0,
                Sense::Down => -1.0,
            };
            if active[index] {
                return sign * forces[index] < -1e-9 * max_force;
            }
            let lower = hold
                .lower
                .map_or(0.0, |lower| curves[lower].deflection(hold.at));
            let apart = curves[hold.upper].deflection(hold.at) - lower - hold.level;
            sign * apart < -slack_mm
        })
        .collect()
}
