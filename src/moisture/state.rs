//! A board cut into cells, and one step of time.
//!
//! Conservative finite volumes, fully implicit: over a step each cell gains
//! what its two sides let in at the *new* moisture, so no step is too long to be
//! stable, and what leaves one cell enters the next to the last bit.
//! Diffusivities and surface coefficients are those of the moisture at the
//! start of the step; the error of that is of the first order in the step, like that of
//! the implicit step itself (shown by the convergence test).
//!
//! Boards that differ only in how fast moisture moves in them and through their faces are stepped side by side, lane by lane:
//! what waits for a division in one lane leaves the machine free for the next.

use super::cells::{self, MOST_CELLS};
use super::diffusivity::{DiffusivityTable, NODES, Row, RowPlace, read_row_at};
use super::profile::Profile;
use super::slab::{FaceExchange, Slab};
use super::surface::{Surface, SurfaceAir};
use crate::numerics::{solve_exchange, solve_exchange_again};

/// What came in through the faces over one step, percent of moisture times
/// millimetres of thickness; divided by the thickness it is the rise of the mean.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Exchange {
    /// In through the lower (heart-side) face.
    pub lower_percent_mm: f64,
    /// In through the upper (bark-side) face.
    pub upper_percent_mm: f64,
}

/// The moisture of boards through their thickness at one moment: of one, or of several side by side.
///
/// A step allocates nothing.
#[derive(Debug, Clone)]
pub struct SlabState<const LANES: usize = 1> {
    slab: Slab,
    /// What multiplies the slab's diffusivity and exchange in each lane.
    lanes: [Lane; LANES],
    /// Whether only the upper half is solved, of a board whose halves mirror one another.
    half: bool,
    surfaces: [Surface; 2],
    table: DiffusivityTable,
    /// Edges of the cells, mm.
    edges_mm: Vec<f64>,
    /// Share of each cell in what is solved.
    mean_weight: Vec<f64>,
    /// Weight of each cell in the best-fit slope, 1/mm.
    slope_weight: Vec<f64>,
    /// Width of each cell, m.
    width: Vec<f64>,
    /// Weights of the two cells beside a face in its conductance, 1/m.
    weight_below: Vec<f64>,
    weight_above: Vec<f64>,
    moisture: Vec<[f64; LANES]>,
    faces: [[f64; LANES]; 2],
    diffusivity: Vec<[f64; LANES]>,
    ties: Vec<[f64; LANES]>,
    stores: Vec<[f64; LANES]>,
    /// Conductance of each face with half of its cell, and of half of its cell alone, m/s.
    gates: [[f64; LANES]; 2],
    half_cells: [[f64; LANES]; 2],
    row: Row,
    row_celsius: f64,
}

/// What sets one lane apart from the slab.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lane {
    /// Multiplies the slab's diffusivity.
    pub(super) diffusivity: f64,
    /// Multiplies the exchange of its open faces.
    pub(super) surface: f64,
}

impl Lane {
    /// The slab itself.
    pub(super) const ITSELF: Self = Self {
        diffusivity: 1.0,
        surface: 1.0,
    };
}

impl SlabState {
    /// The board in `cells` cells (at least 2, at most [`MOST_CELLS`]), starting from a profile.
    #[must_use]
    pub fn new(slab: &Slab, cells: usize, start: &Profile) -> Self {
        Self::of(
            slab,
            [Lane::ITSELF],
            &cells::edges(cells.clamp(2, MOST_CELLS)),
            start,
        )
    }

    /// Puts the board back to a profile.
    pub fn restart(&mut self, start: &Profile) {
        self.begin(start);
    }

    /// Lets `seconds` pass in this air; no time changes nothing.
    pub fn step(&mut self, air: &SurfaceAir, seconds: f64) -> Exchange {
        let [lower, upper] = self.step_all(air, seconds);
        Exchange {
            lower_percent_mm: lower[0],
            upper_percent_mm: upper[0],
        }
    }

    /// Mean moisture through the thickness, percent.
    #[must_use]
    pub fn mean_percent(&self) -> f64 {
        self.mean_of(&self.moisture)[0]
    }

    /// Best-fit slope through the thickness, percent per mm, positive when
    /// the upper (bark-side) face is the moister.
    #[must_use]
    pub fn slope_percent_per_mm(&self) -> f64 {
        self.slope_of(&self.moisture)[0]
    }

    /// Mean moisture of each cell, percent, from the lower face.
    #[must_use]
    pub fn cells_percent(&self) -> &[f64] {
        self.moisture.as_flattened()
    }

    /// Edges of the cells, mm up from the lower face.
    #[must_use]
    pub fn edges_mm(&self) -> &[f64] {
        &self.edges_mm
    }

    /// Moisture at the lower and at the upper face, percent.
    #[must_use]
    pub const fn faces_percent(&self) -> [f64; 2] {
        [self.faces[0][0], self.faces[1][0]]
    }
}

impl<const LANES: usize> SlabState<LANES> {
    /// Boards in at least 4 cells for a whole thickness, all starting from one profile; of a board whose faces are alike, which
    /// begins alike in both halves, half the cells are enough.
    pub(super) fn side_by_side(
        slab: &Slab,
        lanes: [Lane; LANES],
        cells: usize,
        start: &Profile,
    ) -> Self {
        let edges = cells::edges(cells.clamp(4, MOST_CELLS));
        let kept = if slab.is_symmetric() {
            &edges[edges.len() / 2..]
        } else {
            &edges[..]
        };
        Self::of(slab, lanes, kept, start)
    }

    /// Cells between edges given as shares of the thickness: of all of it, or of its upper half.
    fn of(slab: &Slab, lanes: [Lane; LANES], share: &[f64], start: &Profile) -> Self {
        let half = share[0] > 0.0;
        let n = share.len() - 1;
        let thickness = slab.thickness.mm();
        let edges_mm: Vec<f64> = share.iter().map(|s| s * thickness).collect();
        let of_thickness: Vec<f64> = share.windows(2).map(|e| e[1] - e[0]).collect();
        let slope_weight = share
            .windows(2)
            .map(|e| 12.0 / thickness * (e[1] - e[0]) * ((e[0] + e[1]) / 2.0 - 0.5))
            .collect();
        let width: Vec<f64> = of_thickness
            .iter()
            .map(|w| w * thickness / 1000.0)
            .collect();
        let parts = if half { 2.0 } else { 1.0 };
        let mean_weight = of_thickness.iter().map(|w| w * parts).collect();
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
            lanes,
            half,
            surfaces: surfaces(slab, half),
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
            moisture: vec![[0.0; LANES]; n],
            faces: [[0.0; LANES]; 2],
            diffusivity: vec![[0.0; LANES]; n],
            ties: vec![[0.0; LANES]; n],
            stores: vec![[0.0; LANES]; n],
            gates: [[0.0; LANES]; 2],
            half_cells: [[0.0; LANES]; 2],
            row: [0.0; NODES],
            row_celsius: f64::NAN,
        };
        state.begin(start);
        state
    }

    fn begin(&mut self, start: &Profile) {
        let thickness = self.slab.thickness.mm();
        for (value, edge) in self.moisture.iter_mut().zip(self.edges_mm.windows(2)) {
            let place = |z: f64| 2.0 * z / thickness - 1.0;
            *value = [start.mean_between(place(edge[0]), place(edge[1])); LANES];
        }
        let lower = if self.half { 0.0 } else { -1.0 };
        self.faces = [lower, 1.0].map(|place| [start.percent_at(place); LANES]);
    }

    /// Takes the faces and factors of a slab, bare or with its finish; the moisture stays.
    pub(super) fn finish(&mut self, slab: &Slab, bare: bool) {
        let slab = if bare { slab.unfinished() } else { *slab };
        if slab != self.slab {
            self.surfaces = surfaces(&slab, self.half);
            self.slab = slab;
        }
    }

    /// Puts the boards back to the moisture of each cell.
    pub(super) fn restart_cells(&mut self, moisture: &[[f64; LANES]]) {
        self.moisture.copy_from_slice(moisture);
        self.faces = [moisture[0], moisture[moisture.len() - 1]];
    }

    /// Lets `seconds` pass in this air; what came in through the lower and the upper face of each lane, percent times mm.
    #[inline(always)]
    pub(super) fn step_all(&mut self, air: &SurfaceAir, seconds: f64) -> [[f64; LANES]; 2] {
        if seconds <= 0.0 {
            return [[0.0; LANES]; 2];
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
        read_row_at(
            &self.row,
            moisture.as_flattened(),
            diffusivity.as_flattened_mut(),
        );
        for cell in diffusivity.iter_mut() {
            for (value, lane) in cell.iter_mut().zip(&self.lanes) {
                *value *= lane.diffusivity;
            }
        }
        let (below, above) = (&self.weight_below[..n - 1], &self.weight_above[..n - 1]);
        for i in 0..n - 1 {
            for lane in 0..LANES {
                ties[i][lane] =
                    below[i] * diffusivity[i][lane] + above[i] * diffusivity[i + 1][lane];
            }
        }
        // What a cell keeps, and what it held before.
        for ((store, m), width) in stores.iter_mut().zip(moisture.iter_mut()).zip(width) {
            let kept = width * per_second;
            *store = [kept; LANES];
            for value in m {
                *value *= kept;
            }
        }
        let target = self.slab.equilibrium_factor * air.equilibrium_percent;
        for (face, cell) in [(0, 0), (1, n - 1)] {
            for lane in 0..LANES {
                let coefficient = self.lanes[lane].surface
                    * self.surfaces[face].coefficient(
                        &self.slab,
                        air,
                        place,
                        self.faces[face][lane],
                    );
                let half_cell = 2.0 * diffusivity[cell][lane] / width[cell];
                let gate = if coefficient.is_infinite() {
                    half_cell
                } else {
                    coefficient * half_cell / (coefficient + half_cell)
                };
                stores[cell][lane] += gate;
                moisture[cell][lane] += gate * target;
                self.gates[face][lane] = gate;
                self.half_cells[face][lane] = half_cell;
            }
        }
        solve_exchange(ties, stores, moisture);
        self.enter(target, seconds)
    }

    /// Lets as many seconds pass again in the same air as just did, with the diffusivities and surface coefficients of the step before:
    /// what came in.
    #[inline(always)]
    pub(super) fn step_again(&mut self, air: &SurfaceAir, seconds: f64) -> [[f64; LANES]; 2] {
        let n = self.moisture.len();
        let per_second = 1.0 / seconds;
        for (m, width) in self.moisture.iter_mut().zip(&self.width) {
            let kept = width * per_second;
            for value in m {
                *value *= kept;
            }
        }
        let target = self.slab.equilibrium_factor * air.equilibrium_percent;
        for (face, cell) in [(0, 0), (1, n - 1)] {
            for (value, gate) in self.moisture[cell].iter_mut().zip(&self.gates[face]) {
                *value += gate * target;
            }
        }
        solve_exchange_again(&self.ties, &self.stores, &mut self.moisture);
        self.enter(target, seconds)
    }

    /// Sets the faces after a step toward `target`; what came in through each.
    #[inline(always)]
    fn enter(&mut self, target: f64, seconds: f64) -> [[f64; LANES]; 2] {
        let mut entered = [[0.0; LANES]; 2];
        for (face, cell) in [(0, 0), (1, self.moisture.len() - 1)] {
            let (gates, half_cells) = (&self.gates[face], &self.half_cells[face]);
            let (moisture, faces) = (&self.moisture[cell], &mut self.faces[face]);
            for (lane, entered) in entered[face].iter_mut().enumerate() {
                let flow = gates[lane] * (target - moisture[lane]);
                faces[lane] = moisture[lane] + flow / half_cells[lane];
                *entered = flow * seconds * 1000.0;
            }
        }
        entered
    }

    /// Moisture of each cell in each lane, percent, from the lower face or from the middle.
    pub(super) fn cells(&self) -> &[[f64; LANES]] {
        &self.moisture
    }

    #[inline(always)]
    pub(super) fn mean_of(&self, cells: &[[f64; LANES]]) -> [f64; LANES] {
        weighed(&self.mean_weight, cells)
    }

    #[inline(always)]
    pub(super) fn slope_of(&self, cells: &[[f64; LANES]]) -> [f64; LANES] {
        if self.half {
            return [0.0; LANES];
        }
        weighed(&self.slope_weight, cells)
    }
}

/// Nothing passes the middle of a board whose halves mirror one another.
fn surfaces(slab: &Slab, half: bool) -> [Surface; 2] {
    let faces = if half {
        [FaceExchange::Sealed, slab.faces[1]]
    } else {
        slab.faces
    };
    faces.map(|face| Surface::of(face, slab.film))
}

#[inline(always)]
fn weighed<const LANES: usize>(weights: &[f64], cells: &[[f64; LANES]]) -> [f64; LANES] {
    let mut sums = [0.0; LANES];
    for (weight, cell) in weights.iter().zip(cells) {
        for (sum, value) in sums.iter_mut().zip(cell) {
            *sum += weight * value;
        }
    }
    sums
}
