//! How fast moisture moves across the grain, as a formula and as a table that
//! a time step can read cheaply.

use crate::air::{equilibrium_percent, equilibrium_slope, saturation_pressure_pa_at};
use crate::numerics::{TO_WHOLE, bracketed_root};
use std::sync::LazyLock;

/// Gas constant, J/(mol K), as printed beside Siau's activation energies.
pub(super) const GAS_CONSTANT: f64 = 8.314;
/// Molar mass of water, kg/mol.
pub(super) const WATER_KG_PER_MOL: f64 = 0.018;

/// Radial over tangential diffusivity: 1.1 to 1.5 (Siau, from memory), the middle of it.
///
/// [`diffusivity_m2_per_s`] is tangential; a flat-sawn board dries radially
/// through its thickness, so its [`super::Slab::diffusivity_factor`] takes this factor.
pub const RADIAL_OVER_TANGENTIAL: f64 = 1.3;

/// Where a board's diffusivity comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Diffusivity {
    /// Siau's formula at the wood's own moisture and the air's temperature.
    OfWood,
    /// The same at every moisture and temperature, m2/s.
    Constant(f64),
}

/// Relative humidity (fraction) in balance with wood at a moisture content, and
/// its slope `dh/dM` per 1 % of moisture content.
///
/// Inverse of the isotherm of room `air`. Wood wetter than saturated air makes
/// it is in balance with saturated air; the slope given there is the one at saturation, which
/// keeps vapour diffusion finite.
#[must_use]
pub fn sorption(celsius: f64, moisture_percent: f64) -> (f64, f64) {
    let at = |fraction: f64| (fraction, 1.0 / equilibrium_slope(celsius, fraction));
    if moisture_percent <= 0.0 {
        return at(0.0);
    }
    let off = |fraction: f64| equilibrium_percent(celsius, fraction) - moisture_percent;
    if off(1.0) <= 0.0 {
        return at(1.0);
    }
    at(bracketed_root(off, 0.0, 1.0, 1e-12).unwrap_or(1.0))
}

/// Bound-water and vapour diffusivities (m2/s) of Siau's model of the cell wall.
fn bound_and_vapour(celsius: f64, moisture_percent: f64, dh_dm: f64) -> (f64, f64) {
    let kelvin = celsius + 273.15;
    let bound = 7e-6 * libm::exp(-(38_500.0 - 290.0 * moisture_percent) / (GAS_CONSTANT * kelvin));
    let in_air = 2.2e-5 * libm::pow(kelvin / 273.0, 1.75);
    let wall_gravity = 1.53 / (1.0 + 0.0153 * moisture_percent);
    let vapour = in_air * WATER_KG_PER_MOL * saturation_pressure_pa_at(celsius)
        / (GAS_CONSTANT * kelvin)
        * dh_dm
        / (10.0 * wall_gravity);
    (bound, vapour)
}

/// Siau's transverse diffusivity from its parts.
fn transverse(bound: f64, vapour: f64, moisture_percent: f64, basic_gravity: f64) -> f64 {
    // A wood so dense that no lumen were left keeps one fiftieth of lumen.
    let lumen_area = (1.0 - basic_gravity * (0.667 + 0.01 * moisture_percent)).max(0.02);
    let lumen_side = lumen_area.sqrt();
    bound * vapour / ((1.0 - lumen_area) * (bound + (1.0 - lumen_side) * vapour))
}

/// Tangential moisture diffusivity of wood, m2/s, for gradients of moisture content.
///
/// `basic_gravity` is oven-dry mass on green volume. Siau, *Transport Processes
/// in Wood* (1984), from memory: water bound in the cell wall,
/// `D_BT = 7e-6 exp(-(38500 - 290 M)/(8.314 T))`, in series and in parallel
/// with vapour in the lumens. Meant for -30 to 60 C and 0 % to fiber saturation.
#[must_use]
pub fn diffusivity_m2_per_s(celsius: f64, moisture_percent: f64, basic_gravity: f64) -> f64 {
    let (_, dh_dm) = sorption(celsius, moisture_percent);
    let (bound, vapour) = bound_and_vapour(celsius, moisture_percent, dh_dm);
    transverse(bound, vapour, moisture_percent, basic_gravity)
}

/// Nodes of moisture, one per percent from 0.
pub(super) const NODES: usize = 40;
const ROWS: usize = 37;
const FIRST_CELSIUS: f64 = -30.0;
const ROW_CELSIUS: f64 = 2.5;

/// One number at every node of moisture.
pub(super) type Row = [f64; NODES];

/// What does not depend on the wood, at every node of temperature and moisture.
struct SorptionGrid {
    humidity: [Row; ROWS],
    bound: [Row; ROWS],
    vapour: [Row; ROWS],
}

static SORPTION: LazyLock<SorptionGrid> = LazyLock::new(|| {
    let mut grid = SorptionGrid {
        humidity: [[0.0; NODES]; ROWS],
        bound: [[0.0; NODES]; ROWS],
        vapour: [[0.0; NODES]; ROWS],
    };
    for row in 0..ROWS {
        let celsius = FIRST_CELSIUS + ROW_CELSIUS * row as f64;
        for node in 0..NODES {
            let moisture = node as f64;
            let (humidity, dh_dm) = sorption(celsius, moisture);
            grid.humidity[row][node] = humidity;
            (grid.bound[row][node], grid.vapour[row][node]) =
                bound_and_vapour(celsius, moisture, dh_dm);
        }
    }
    grid
});

/// Between which rows a temperature lies, and how far toward the second.
#[derive(Clone, Copy)]
pub(super) struct RowPlace {
    row: usize,
    share: f64,
}

impl RowPlace {
    /// Temperatures outside -30 to 60 C are answered as the nearer end.
    pub(super) fn of(celsius: f64) -> Self {
        let place = ((celsius - FIRST_CELSIUS) / ROW_CELSIUS).clamp(0.0, (ROWS - 1) as f64);
        let row = (place as usize).min(ROWS - 2);
        Self {
            row,
            share: place - row as f64,
        }
    }
}

/// Moisture contents that are looked up side by side.
const SIDE_BY_SIDE: usize = 8;

/// The node at or below each moisture content and the share toward the next; within 1e-12 below a node that one, and a share below 0.
#[inline(always)]
fn nodes<const COUNT: usize>(moistures_percent: &[f64; COUNT]) -> ([usize; COUNT], [f64; COUNT]) {
    const LAST: f64 = (NODES - 1) as f64;
    const DOWN: f64 = 0.5 - 1e-12;
    let (mut rounded, mut shares) = ([0.0_f64; COUNT], [0.0; COUNT]);
    for ((moisture, rounded), share) in moistures_percent.iter().zip(&mut rounded).zip(&mut shares)
    {
        let inside = if *moisture > 0.0 { *moisture } else { 0.0 };
        let inside = if inside < LAST { inside } else { LAST };
        let near = (inside - DOWN) + TO_WHOLE;
        let most = TO_WHOLE + LAST - 1.0;
        *rounded = if near < most { near } else { most };
        *share = inside - (*rounded - TO_WHOLE);
    }
    let node = |rounded: f64| (rounded.to_bits() as u32 as usize).min(NODES - 2);
    (rounded.map(node), shares)
}

/// Value of a row between its nodes.
#[inline(always)]
pub(super) fn read_row(row: &Row, moisture_percent: f64) -> f64 {
    let mut value = [0.0];
    read_some(row, &[moisture_percent], &mut value);
    value[0]
}

#[inline(always)]
fn read_some<const COUNT: usize>(
    row: &Row,
    moistures_percent: &[f64; COUNT],
    values: &mut [f64; COUNT],
) {
    let (nodes, shares) = nodes(moistures_percent);
    for ((node, share), value) in nodes.into_iter().zip(shares).zip(values) {
        *value = row[node] + share * (row[node + 1] - row[node]);
    }
}

/// The same at each of some moisture contents.
#[inline(always)]
pub(super) fn read_row_at(row: &Row, moistures_percent: &[f64], values: &mut [f64]) {
    let (moistures, last_moistures) = moistures_percent.as_chunks::<SIDE_BY_SIDE>();
    let (some, last) = values.as_chunks_mut::<SIDE_BY_SIDE>();
    for (moistures, values) in moistures.iter().zip(some) {
        read_some(row, moistures, values);
    }
    for (moisture, value) in last_moistures.iter().zip(last) {
        *value = read_row(row, *moisture);
    }
}

/// Humidity in balance with a moisture content by the table, fraction.
#[inline(always)]
pub(super) fn tabled_humidity(place: RowPlace, moisture_percent: f64) -> f64 {
    let rows = &SORPTION.humidity;
    let cold = read_row(&rows[place.row], moisture_percent);
    let warm = read_row(&rows[place.row + 1], moisture_percent);
    cold + place.share * (warm - cold)
}

/// Slope of that humidity per 1 % of moisture, between the two nodes beside a moisture content.
pub(super) fn tabled_slope(place: RowPlace, moisture_percent: f64) -> f64 {
    let ([node], _) = nodes(&[moisture_percent]);
    tabled_humidity(place, (node + 1) as f64) - tabled_humidity(place, node as f64)
}

/// The diffusivity of one board at every node, m2/s, its factor included.
#[derive(Debug, Clone)]
pub(super) enum DiffusivityTable {
    Constant(f64),
    Tabled(Box<[Row; ROWS]>),
}

impl DiffusivityTable {
    pub(super) fn of(
        law: Diffusivity,
        factor: f64,
        basic_gravity: f64,
        fiber_saturation_percent: f64,
    ) -> Self {
        match law {
            Diffusivity::Constant(value) => Self::Constant(value * factor),
            Diffusivity::OfWood => {
                let grid = &*SORPTION;
                // Above fiber saturation the value at fiber saturation holds.
                let last = (fiber_saturation_percent.round() as usize).clamp(1, NODES - 1);
                let mut table = Box::new([[0.0; NODES]; ROWS]);
                for (row, values) in table.iter_mut().enumerate() {
                    for (node, value) in values.iter_mut().enumerate() {
                        let node = node.min(last);
                        *value = factor
                            * transverse(
                                grid.bound[row][node],
                                grid.vapour[row][node],
                                node as f64,
                                basic_gravity,
                            );
                    }
                }
                Self::Tabled(table)
            }
        }
    }

    /// Fills `row` with the diffusivities at one temperature.
    #[inline(always)]
    pub(super) fn blend_into(&self, place: RowPlace, row: &mut Row) {
        match self {
            Self::Constant(value) => row.fill(*value),
            Self::Tabled(table) => {
                let (cold, warm) = (&table[place.row], &table[place.row + 1]);
                for ((value, cold), warm) in row.iter_mut().zip(cold).zip(warm) {
                    *value = cold + place.share * (warm - cold);
                }
            }
        }
    }
}
