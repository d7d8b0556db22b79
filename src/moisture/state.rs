//! A board cut into cells, and one step of time.
//!
//! Conservative finite volumes, fully implicit: over a step each cell gains
//! what its two sides let in at the *new* moisture, so no step is too long to be
//! stable, and what leaves one cell enters the next to the last bit.
//! Diffusivities and surface coefficients are those of the moisture at the
//! start of the step; the error of that is of the first order in the step, like that of
//! the implicit step itself (shown by the convergence test).

use super::cells::{self, MOST_CELLS};
use super::diffusivity::{DiffusivityTable, NODES, Row, RowPlace, read_row};
use super::profile::Profile;
use super::slab::Slab;
use super::surface::{Surface, SurfaceAir};
use crate::numerics::solve_exchange;

/// What came in through the faces over one step, percent of moisture times
/// millimetres of thickness; divided by the thickness it is the rise of the mean.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Exchange {
    /// In through the lower (heart-side) face.
    pub lower_percent_mm: f64,
    /// In through the upper (bark-side) face.
    pub upper_percent_mm: f64,
}

/// The moisture of a board through its thickness at one moment.
///
/// A step allocates nothing.
#[derive(Debug, Clone)]
pub struct SlabState {
    slab: Slab,
    surfaces: [Surface; 2],
    table: DiffusivityTable,
    /// Edges of the cells, mm.
    edges_mm: Vec<f64>,
    /// Share of each cell in the thickness.
    mean_weight: Vec<f64>,
    /// Weight of each cell in the best-fit slope, 1/mm.
    slope_weight: Vec<f64>,
    /// Width of each cell, m.
    width: Vec<f64>,
    /// Weights of the two cells beside a face in its conductance, 1/m.
    weight_below: Vec<f64>,
    weight_above: Vec<f64>,
    moisture: Vec<f64>,
    faces: [f64; 2],
    diffusivity: Vec<f64>,
    ties: Vec<f64>,
    stores: Vec<f64>,
    row: Row,
    row_celsius: f64,
}

impl SlabState {
    /// The board in `cells` cells (at least 2, at most [`MOST_CELLS`]), starting from a profile.
    #[must_use]
    pub fn new(slab: &Slab, cells: usize, start: &Profile) -> Self {
        let n = cells.clamp(2, MOST_CELLS);
        let share = cells::edges(n);
        let thickness = slab.thickness.mm();
        let edges_mm: Vec<f64> = share.iter().map(|s| s * thickness).collect();
        let mean_weight: Vec<f64> = share.windows(2).map(|e| e[1] - e[0]).collect();
        let slope_weight = share
            .windows(2)
            .map(|e| 12.0 / thickness * (e[1] - e[0]) * ((e[0] + e[1]) / 2.0 - 0.5))
            .collect();
        let width: Vec<f64> = mean_weight.iter().map(|w| w * thickness / 1000.0).collect();
        let mut weight_below = vec![0.0; n];
        let mut weight_above = vec![0.0; n];
        for i in 0..n - 1 {
            // The diffusivity at the face between two centres, on the straight line
            // between theirs, over the distance of the centres.
            let sum = width[i] + width[i + 1];
            weight_below[i] = 2.0 * width[i + 1] / (sum * sum);
            weight_above[i] = 2.0 * width[i] / (sum * sum);
        }
        let mut state = Self {
            slab: *slab,
            surfaces: slab.faces.map(|face| Surface::of(face, slab.film)),
            table: DiffusivityTable::of(
                slab.diffusivity,
                slab.diffusivity_factor,
                slab.basic_gravity,
                slab.fiber_saturation.percent(),
            ),
            edges_mm,
            mean_weight,
            slope_weight,
            width,
            weight_below,
            weight_above,
            moisture: vec![0.0; n],
            faces: [0.0; 2],
            diffusivity: vec![0.0; n],
            ties: vec![0.0; n],
            stores: vec![0.0; n],
            row: [0.0; NODES],
            row_celsius: f64::NAN,
        };
        state.restart(start);
        state
    }

    /// Puts the board back to a profile.
    pub fn restart(&mut self, start: &Profile) {
        let thickness = self.slab.thickness.mm();
        for (value, edge) in self.moisture.iter_mut().zip(self.edges_mm.windows(2)) {
            let place = |z: f64| 2.0 * z / thickness - 1.0;
            *value = start.mean_between(place(edge[0]), place(edge[1]));
        }
        self.faces = [start.percent_at(-1.0), start.percent_at(1.0)];
    }

    /// Takes the faces and factors of a slab, bare or with its finish; the moisture stays.
    pub(super) fn finish(&mut self, slab: &Slab, bare: bool) {
        let slab = if bare { slab.unfinished() } else { *slab };
        if slab != self.slab {
            self.surfaces = slab.faces.map(|face| Surface::of(face, slab.film));
            self.slab = slab;
        }
    }

    /// Puts the board back to the moisture of each cell.
    pub(super) fn restart_cells(&mut self, moisture: &[f64]) {
        self.moisture.copy_from_slice(moisture);
        self.faces = [moisture[0], moisture[moisture.len() - 1]];
    }

    /// Lets `seconds` pass in this air; no time changes nothing.
    pub fn step(&mut self, air: &SurfaceAir, seconds: f64) -> Exchange {
        if seconds <= 0.0 {
            return Exchange::default();
        }
        let n = self.moisture.len();
        let per_second = 1.0 / seconds;
        let place = RowPlace::of(air.celsius);
        if self.row_celsius.to_bits() != air.celsius.to_bits() {
            self.table.blend_into(place, &mut self.row);
            self.row_celsius = air.celsius;
        }
        let moisture = &mut self.moisture[..n];
        let diffusivity = &mut self.diffusivity[..n];
        let ties = &mut self.ties[..n];
        let stores = &mut self.stores[..n];
        let width = &self.width[..n];
        for (d, m) in diffusivity.iter_mut().zip(moisture.iter()) {
            *d = read_row(&self.row, *m);
        }
        let (below, above) = (&self.weight_below[..n - 1], &self.weight_above[..n - 1]);
        for i in 0..n - 1 {
            ties[i] = below[i] * diffusivity[i] + above[i] * diffusivity[i + 1];
        }
        // What a cell keeps, and what it held before.
        for ((store, m), width) in stores.iter_mut().zip(moisture.iter_mut()).zip(width) {
            *store = width * per_second;
            *m *= *store;
        }
        let target = self.slab.equilibrium_factor * air.equilibrium_percent;
        let mut gates = [0.0; 2];
        let mut half_cells = [0.0; 2];
        for (face, cell) in [(0, 0), (1, n - 1)] {
            let coefficient =
                self.surfaces[face].coefficient(&self.slab, air, place, self.faces[face]);
            let half_cell = 2.0 * diffusivity[cell] / width[cell];
            let gate = if coefficient.is_infinite() {
                half_cell
            } else {
                coefficient * half_cell / (coefficient + half_cell)
            };
            stores[cell] += gate;
            moisture[cell] += gate * target;
            gates[face] = gate;
            half_cells[face] = half_cell;
        }
        solve_exchange(ties, stores, moisture);
        let mut entered = [0.0; 2];
        for (face, cell) in [(0, 0), (1, n - 1)] {
            let flow = gates[face] * (target - moisture[cell]);
            self.faces[face] = moisture[cell] + flow / half_cells[face];
            entered[face] = flow * seconds * 1000.0;
        }
        Exchange {
            lower_percent_mm: entered[0],
            upper_percent_mm: entered[1],
        }
    }

    /// Mean moisture through the thickness, percent.
    #[must_use]
    pub fn mean_percent(&self) -> f64 {
        self.mean_of(&self.moisture)
    }

    /// Best-fit slope through the thickness, percent per mm, positive when
    /// the upper (bark-side) face is the moister.
    #[must_use]
    pub fn slope_percent_per_mm(&self) -> f64 {
        self.slope_of(&self.moisture)
    }

    /// Mean moisture of each cell, percent, from the lower face.
    #[must_use]
    pub fn cells_percent(&self) -> &[f64] {
        &self.moisture
    }

    /// Edges of the cells, mm up from the lower face.
    #[must_use]
    pub fn edges_mm(&self) -> &[f64] {
        &self.edges_mm
    }

    /// Moisture at the lower and at the upper face, percent.
    #[must_use]
    pub const fn faces_percent(&self) -> [f64; 2] {
        self.faces
    }

    pub(super) fn mean_of(&self, cells: &[f64]) -> f64 {
        self.mean_weight.iter().zip(cells).map(|(w, m)| w * m).sum()
    }

    pub(super) fn slope_of(&self, cells: &[f64]) -> f64 {
        self.slope_weight
            .iter()
            .zip(cells)
            .map(|(w, m)| w * m)
            .sum()
    }
}
