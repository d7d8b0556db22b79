//! The test behind the finish table, simulated, and the permeance fitted to it.
//!
//! Finished specimens go from air of 30 % to air of 90 % relative humidity; the
//! table gives the share of the uptake of bare specimens that the finish
//! prevented after 1, 7 and 14 days (Wood Handbook Table 16-3; the wood is
//! ponderosa pine sapwood at 80 F). The table does not tell the specimen: a
//! thickness of 16 mm is assumed, and one diffusivity of 3e-10 m2/s, the one that fits
//! the table as a whole best for that thickness: root mean square over every third row 1.4
//! points, against 3.3 with 1.5e-10. It stands at the upper end of published values, as sapwood of
//! pine and small specimens, which also take up moisture at their edges, would have it.

use super::diffusivity::Diffusivity;
use super::finish::Finish;
use super::profile::Profile;
use super::slab::{FaceExchange, Film, Slab};
use super::state::SlabState;
use super::surface::SurfaceAir;
use crate::air::{AirState, equilibrium_moisture};
use crate::units::{Length, MoistureContent};
use std::sync::LazyLock;

/// A board of known wood carried from one air into another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExclusionTest {
    /// Face to face; both faces carry the finish.
    pub thickness_mm: f64,
    /// Basic specific gravity of the wood.
    pub basic_gravity: f64,
    /// Diffusivity through the thickness, m2/s.
    pub diffusivity_m2_per_s: f64,
    /// Temperature, C.
    pub celsius: f64,
    /// Relative humidity that the specimen comes from, percent.
    pub from_humidity_percent: f64,
    /// Relative humidity that it is carried into, percent.
    pub to_humidity_percent: f64,
}

const DAY: f64 = 86_400.0;
/// Cells through a specimen, and the first and longest step of time, s.
const SPECIMEN_CELLS: usize = 24;
const FIRST_STEP: f64 = 60.0;
const LONGEST_STEP: f64 = 7200.0;
const STEP_GROWTH: f64 = 1.05;

static BARE_UPTAKE: LazyLock<[f64; 3]> =
    LazyLock::new(|| ExclusionTest::HANDBOOK.uptake_percent(f64::INFINITY));

impl ExclusionTest {
    /// The days on which the table reads the specimens.
    pub const DAYS: [f64; 3] = [1.0, 7.0, 14.0];

    /// The test of Wood Handbook Table 16-3. Species, temperature and humidities are the
    /// table's; thickness and diffusivity are assumed; basic specific gravity
    /// of ponderosa pine 0.38 (Table 5-3).
    pub const HANDBOOK: Self = Self {
        thickness_mm: 16.0,
        basic_gravity: 0.38,
        diffusivity_m2_per_s: 3e-10,
        celsius: (80.0 - 32.0) / 1.8,
        from_humidity_percent: 30.0,
        to_humidity_percent: 90.0,
    };

    /// Rise of the mean moisture content after 1, 7 and 14 days, percent,
    /// under a finish of this permeance, kg/(m2 s Pa).
    #[must_use]
    pub fn uptake_percent(&self, permeance: f64) -> [f64; 3] {
        let finish = FaceExchange::Open(Finish::of_permeance(permeance));
        let slab = Slab {
            thickness: Length::from_mm_unchecked(self.thickness_mm),
            basic_gravity: self.basic_gravity,
            fiber_saturation: MoistureContent::computed_percent(30.0),
            diffusivity: Diffusivity::Constant(self.diffusivity_m2_per_s),
            diffusivity_factor: 1.0,
            equilibrium_factor: 1.0,
            scanning: None,
            begun_percent: None,
            surface_factor: 1.0,
            film: Film::Room,
            faces: [finish; 2],
        };
        let dry = AirState::computed(self.celsius, self.from_humidity_percent);
        let wet = SurfaceAir::of(AirState::computed(self.celsius, self.to_humidity_percent));
        let start = equilibrium_moisture(dry);
        let mut state = SlabState::new(&slab, SPECIMEN_CELLS, &Profile::uniform(start));
        let (mut now, mut step) = (0.0, FIRST_STEP);
        Self::DAYS.map(|day| {
            let end = day * DAY;
            while now < end {
                let seconds = if now + 1.5 * step > end {
                    end - now
                } else {
                    step
                };
                state.step(&wet, seconds);
                now += seconds;
                step = (step * STEP_GROWTH).min(LONGEST_STEP);
            }
            now = end;
            state.mean_percent() - start.percent()
        })
    }

    /// Share of the uptake of bare wood that the finish prevents after 1, 7 and 14 days, percent.
    #[must_use]
    pub fn exclusion_percent(&self, permeance: f64) -> [f64; 3] {
        let bare = if *self == Self::HANDBOOK {
            *BARE_UPTAKE
        } else {
            self.uptake_percent(f64::INFINITY)
        };
        let finished = self.uptake_percent(permeance);
        std::array::from_fn(|day| 100.0 * (1.0 - finished[day] / bare[day]))
    }
}

/// The permeance, kg/(m2 s Pa), whose simulated exclusion lies nearest to the three
/// measured ones in least squares, of those that were read: a scan over nine decades, then a golden section.
///
/// The column of the built-in table was made with it.
#[must_use]
pub fn fit_permeance(test: &ExclusionTest, measured_percent: [Option<f64>; 3]) -> f64 {
    let misfit = |log10: f64| -> f64 {
        test.exclusion_percent(libm::pow(10_f64, log10))
            .iter()
            .zip(measured_percent)
            .filter_map(|(simulated, measured)| Some((simulated - measured?).powi(2)))
            .sum()
    };
    let scan = (0..=36).map(|i| -14.0 + 0.25 * f64::from(i));
    let best = scan
        .map(|log10| (log10, misfit(log10)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map_or(-10.0, |(log10, _)| log10);
    let (mut low, mut high) = (best - 0.25, best + 0.25);
    let share = (5_f64.sqrt() - 1.0) / 2.0;
    let (mut left, mut right) = (high - share * (high - low), low + share * (high - low));
    let (mut at_left, mut at_right) = (misfit(left), misfit(right));
    while high - low > 1e-4 {
        if at_left < at_right {
            (high, right, at_right) = (right, left, at_left);
            left = high - share * (high - low);
            at_left = misfit(left);
        } else {
            (low, left, at_left) = (left, right, at_right);
            right = low + share * (high - low);
            at_right = misfit(right);
        }
    }
    libm::pow(10_f64, (low + high) / 2.0)
}
