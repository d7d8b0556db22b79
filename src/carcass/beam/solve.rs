//! Equilibrium of beams on a given set of working holds: unknown deflections
//! and moments at the nodes and the forces of the holds, one linear system.
//!
//! Each stretch between nodes is exact; short stretches only make its
//! flexibility small, so uneven spacing does not spoil the answer.

use super::{Beam, Curve, Fault, Hold};
use crate::numerics::Rows;

/// Curves of all beams and the force of each hold (0 where it does not work).
pub(super) fn balance(
    beams: &[Beam],
    holds: &[Hold],
    active: &[bool],
) -> Result<(Vec<Curve>, Vec<f64>), Fault> {
    let unit_length = beams.iter().fold(0.0_f64, |most, b| most.max(b.length));
    let unit_stiffness = beams.iter().fold(0.0_f64, |most, b| most.max(b.stiffness));
    let unit_force = unit_stiffness / (unit_length * unit_length);
    let mut layout = Layout::default();
    let rods: Vec<Rod> = beams
        .iter()
        .enumerate()
        .map(|(index, beam)| Rod::new(beam, index, holds, &mut layout))
        .collect();
    let force_at: Vec<Option<usize>> = active
        .iter()
        .zip(holds)
        .map(|(on, hold)| on.then(|| layout.take(hold.at)))
        .collect();
    let mut system = System::new(&layout);
    for rod in &rods {
        rod.write(&mut system, unit_length, unit_stiffness);
    }
    for (hold, unknown) in holds.iter().zip(&force_at) {
        let Some(unknown) = *unknown else { continue };
        let upper = rods[hold.upper].node_at(hold.at);
        system.add(rods[hold.upper].w[upper], unknown, -1.0);
        system.add(unknown, rods[hold.upper].w[upper], 1.0);
        if let Some(lower) = hold.lower {
            let node = rods[lower].node_at(hold.at);
            system.add(rods[lower].w[node], unknown, 1.0);
            system.add(unknown, rods[lower].w[node], -1.0);
        }
        system.rows.add_right(unknown, hold.level / unit_length);
    }
    let x = system.solve().ok_or(Fault::Unsettled)?;
    if x.iter().any(|value| !value.is_finite()) {
        return Err(Fault::Unsettled);
    }
    let curves = rods
        .iter()
        .map(|rod| {
            let unit_moment = unit_stiffness / unit_length;
            let moment = |unknown: Option<usize>| unknown.map_or(0.0, |i| x[i] * unit_moment);
            Curve {
                x: rod.x.clone(),
                w: rod.w.iter().map(|&i| x[i] * unit_length).collect(),
                moment: rod
                    .m
                    .iter()
                    .map(|[left, right]| [moment(*left), moment(*right)])
                    .collect(),
                load: rod.load.clone(),
                stiffness: rod.beam.stiffness,
                curvature: rod.beam.curvature,
            }
        })
        .collect();
    let forces = force_at
        .iter()
        .map(|unknown| unknown.map_or(0.0, |i| x[i] * unit_force))
        .collect();
    Ok((curves, forces))
}

/// Where each unknown is on the common axis.
#[derive(Default)]
struct Layout {
    at: Vec<f64>,
}

impl Layout {
    fn take(&mut self, at: f64) -> usize {
        self.at.push(at);
        self.at.len() - 1
    }
}

/// The equations, their unknowns from left to right: those of neighboring nodes meet, and no others.
struct System {
    rows: Rows,
    column_of: Vec<usize>,
}

impl System {
    fn new(layout: &Layout) -> Self {
        let count = layout.at.len();
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by(|a, b| layout.at[*a].total_cmp(&layout.at[*b]));
        let mut column_of = vec![0; count];
        for (column, unknown) in order.into_iter().enumerate() {
            column_of[unknown] = column;
        }
        Self {
            rows: Rows::new(count),
            column_of,
        }
    }

    fn add(&mut self, row: usize, unknown: usize, value: f64) {
        self.rows.add(row, self.column_of[unknown], value);
    }

    fn solve(self) -> Option<Vec<f64>> {
        let solved = self.rows.solve()?;
        Some(
            self.column_of
                .iter()
                .map(|column| solved[*column])
                .collect(),
        )
    }
}

/// A beam cut at its nodes, with the places of its unknowns.
struct Rod<'a> {
    beam: &'a Beam,
    x: Vec<f64>,
    load: Vec<f64>,
    point: Vec<f64>,
    w: Vec<usize>,
    m: Vec<[Option<usize>; 2]>,
    turn: Vec<Option<f64>>,
}

impl<'a> Rod<'a> {
    fn new(beam: &'a Beam, index: usize, holds: &[Hold], layout: &mut Layout) -> Self {
        let on_beam = |x: f64| x.clamp(beam.start, beam.end());
        let mut x = vec![beam.start, beam.end()];
        x.extend(
            holds
                .iter()
                .filter(|hold| hold.upper == index || hold.lower == Some(index))
                .map(|hold| on_beam(hold.at)),
        );
        x.extend(beam.point_loads.iter().map(|load| on_beam(load.0)));
        x.extend(beam.turns.iter().map(|turn| on_beam(turn.0)));
        for load in &beam.line_loads {
            x.extend([on_beam(load.0), on_beam(load.1)]);
        }
        x.sort_by(f64::total_cmp);
        let near = 1e-7 * beam.length;
        x.dedup_by(|later, earlier| *later - *earlier < near);
        // Keep the beam's own end where a node just before it swallowed it.
        if let Some(last) = x.last_mut() {
            *last = beam.end();
        }
        let load = x
            .windows(2)
            .map(|pair| {
                let middle = 0.5 * (pair[0] + pair[1]);
                -beam
                    .line_loads
                    .iter()
                    .filter(|(from, to, _)| middle > *from && middle < *to)
                    .map(|(_, _, load)| load)
                    .sum::<f64>()
            })
            .collect();
        let mut rod = Self {
            beam,
            load,
            point: vec![0.0; x.len()],
            turn: vec![None; x.len()],
            w: Vec::new(),
            m: Vec::new(),
            x,
        };
        for (at, force) in &beam.point_loads {
            let node = rod.node_at(*at);
            rod.point[node] += force;
        }
        for (at, give) in &beam.turns {
            let node = rod.node_at(*at);
            rod.turn[node] = Some(*give);
        }
        let last = rod.x.len() - 1;
        for node in 0..=last {
            let at = rod.x[node];
            rod.w.push(layout.take(at));
            let turned = rod.turn[node].is_some();
            rod.m.push(if node == 0 {
                [None, turned.then(|| layout.take(at))]
            } else if node == last {
                [turned.then(|| layout.take(at)), None]
            } else {
                let one = layout.take(at);
                let other = if turned { layout.take(at) } else { one };
                [Some(one), Some(other)]
            });
        }
        rod
    }

    fn node_at(&self, x: f64) -> usize {
        let next = self.x.partition_point(|node| *node < x);
        let before = next.saturating_sub(1);
        let off = |node: usize| self.x.get(node).map_or(f64::INFINITY, |at| (at - x).abs());
        if off(next) < off(before) {
            next
        } else {
            before
        }
    }

    fn write(&self, system: &mut System, unit_length: f64, unit_stiffness: f64) {
        let unit_force = unit_stiffness / (unit_length * unit_length);
        let scale = Scale {
            length: unit_length,
            stiffness: self.beam.stiffness / unit_stiffness,
            load: unit_force / unit_length,
            curvature: self.beam.curvature * unit_length,
        };
        let last = self.x.len() - 1;
        for node in 0..=last {
            let row = self.w[node];
            if node < last {
                self.shear(system, row, node, 1.0, false, &scale);
            }
            if node > 0 {
                self.shear(system, row, node - 1, -1.0, true, &scale);
            }
            system.rows.add_right(row, -self.point[node] / unit_force);
        }
        for node in 0..=last {
            match (self.m[node], self.turn[node]) {
                ([Some(left), Some(right)], None) => {
                    debug_assert_eq!(left, right);
                    self.slope(system, left, node - 1, 1.0, true, &scale);
                    self.slope(system, left, node, -1.0, false, &scale);
                }
                ([Some(left), Some(right)], Some(give)) => {
                    self.slope(system, left, node - 1, 1.0, true, &scale);
                    self.slope(system, left, node, -1.0, false, &scale);
                    self.slope(system, right, node, -1.0, false, &scale);
                    let give = give * unit_stiffness / unit_length;
                    system.add(right, right, give);
                    system.add(right, left, -give);
                }
                ([None, Some(right)], Some(give)) => {
                    self.slope(system, right, node, -1.0, false, &scale);
                    system.add(right, right, give * unit_stiffness / unit_length);
                }
                ([Some(left), None], Some(give)) => {
                    self.slope(system, left, node - 1, -1.0, true, &scale);
                    system.add(left, left, -give * unit_stiffness / unit_length);
                }
                _ => {}
            }
        }
    }

    /// Adds `sign` times the shear at one end of a stretch to a row.
    fn shear(
        &self,
        system: &mut System,
        row: usize,
        e: usize,
        sign: f64,
        end: bool,
        scale: &Scale,
    ) {
        let l = (self.x[e + 1] - self.x[e]) / scale.length;
        if let Some(a) = self.m[e][1] {
            system.add(row, a, -sign / l);
        }
        if let Some(b) = self.m[e + 1][0] {
            system.add(row, b, sign / l);
        }
        let half = self.load[e] / scale.load * l / 2.0;
        system
            .rows
            .add_right(row, -sign * if end { half } else { -half });
    }

    /// Adds `sign` times the slope at one end of a stretch to a row.
    fn slope(
        &self,
        system: &mut System,
        row: usize,
        e: usize,
        sign: f64,
        end: bool,
        scale: &Scale,
    ) {
        let l = (self.x[e + 1] - self.x[e]) / scale.length;
        system.add(row, self.w[e + 1], sign / l);
        system.add(row, self.w[e], -sign / l);
        let bend = if end { sign } else { -sign };
        let (near, far) = if end { (1.0, 2.0) } else { (2.0, 1.0) };
        if let Some(a) = self.m[e][1] {
            system.add(row, a, bend * l * near / (6.0 * scale.stiffness));
        }
        if let Some(b) = self.m[e + 1][0] {
            system.add(row, b, bend * l * far / (6.0 * scale.stiffness));
        }
        let load = self.load[e] / scale.load;
        system.rows.add_right(
            row,
            -bend * (scale.curvature * l / 2.0 - load * l.powi(3) / (24.0 * scale.stiffness)),
        );
    }
}

struct Scale {
    length: f64,
    stiffness: f64,
    load: f64,
    curvature: f64,
}
