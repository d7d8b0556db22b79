//! A board's moisture through its thickness and through time.
//!
//! Answers how wet a part is on each day of the year and how much wetter
//! toward one face than toward the other: [`settled_year`] once the home's
//! year has closed on itself, [`follow`] from a measured start through the
//! shop and the first year at home, [`rest()`] for a piece lying in constant air,
//! and [`TrackGrid`] for a whole cloud of draws at once.
//!
//! Needs the air of a place (room `air`), the wood's basic specific gravity, the
//! thickness and what each face carries. Moisture moves by
//! `dM/dt = d/dz (D(M,T) dM/dz)`; each face exchanges with the air through its
//! film and its finish, `D dM/dz = S (EMC - M_surface)`.
//!
//! Where the numbers come from: the diffusivity is Siau's (*Transport Processes
//! in Wood*, 1984, from memory); the isotherm is that of room `air` (Wood
//! Handbook Eq. 4-5); finishes are fitted to the exclusion table of the Wood
//! Handbook (Table 16-3), `species_data/wood_handbook_16_3_finish_exclusion.csv`.
//! Measured diffusivities of one wood differ by a factor of two and more, so every
//! answer here carries a wide band; room `chance` draws it.
//!
//! What lag does, in the measured rooms of two heated Finnish houses (TRH-tietokanta,
//! CC-BY 4.0; the hours of 2011, repeated until they close; walnut, mean moisture in the driest and in the
//! wettest week with the day it begins):
//!
//! | board | house A | house B |
//! |---|---|---|
//! | in balance with each day | 6.4 % 25 March, 10.5 % 22 August | 5.8 % 9 April, 9.8 % 22 August |
//! | 20 mm, bare | 6.7 % 28 March, 10.3 % 4 September | 6.2 % 7 May, 9.5 % 23 August |
//! | 20 mm, three coats of urethane varnish | 7.0 % 8 May, 9.8 % 17 September | 6.6 % 10 May, 9.0 % 22 September |
//! | 50 mm, bare | 7.2 % 7 May, 9.5 % 12 September | 6.8 % 8 May, 8.8 % 21 September |
//! | 50 mm, three coats | 7.6 % 10 May, 8.9 % 4 October | 7.2 % 12 May, 8.3 % 4 October |
//!
//! Equilibrium alone overstates the year of a bare 50 mm board by three quarters to double and
//! puts its driest week a month or more too early.
//!
//! How far it can be trusted (tests/it/moisture): Crank's series within 0.1 % of the step; second order in the
//! cells and first in the step; 32 cells err by 0.1 to 0.2 % of a swing; mass is kept to rounding; the 228
//! figures of the exclusion table are met within 1.4 points root mean square, 5.6 at worst.
//!
//! One dimension only: a bare end dries along the grain and is wrong within
//! two thicknesses or so; see [`ends`].
//!
//! # Held against measured wood
//! 21 blocks of Norway spruce were weighed and measured by M. Maas and F. K. Wittel, ETH Zurich, at 17 steps of humidity up and
//! down (CC BY 4.0; `tests/it/data/spruce`, held in `tests/it/measured.rs`). Predicted from the logged air, with nothing fitted:
//!
//! | what | measured | the program |
//! |---|---|---|
//! | seven steps up, moisture | 1.8 to 16.7 % | within 0.3 % on the gaining curve |
//! | step 8, logged 93.4 % | 22.4 % | 20.5 %: the logger's 3 points are worth as much there |
//! | seven steps down, begun at the 22.4 | 19.4 to 1.6 % | 0.35 % root mean square; 0.87 without that, 0.56 by the static curve |
//! | movement for 1 % of moisture | 0.142 % radial, 0.294 % tangential | a tenth less by the table's totals and 30 % |
//! | tension across the grain, no notch | 6.2 MPa radial, 4.8 tangential | 2.7 in tables; times 1.0 to 1.6 is taken |
//! | creep in a month along the grain, 65 % | 1.05 to 1.35 | 2.0 over years under a permanent load |
//!
//! # What is not modeled, and how much it may be
//! * Which way the stock came is read from its first moisture: wood within 10 % of its air's equilibrium begins as it is.
//! * The scanning slope is 0.75 for all draws; 0.6 to 0.9 would move a seasonal swing of 4 % by up to 0.6 %.
//! * Dew point of a cooled house within 1.5 C, some 5 points of humidity, counts within the 8 points of a room worked out.
//! * Finishes age: after years outside their test they may let through twice as much; within the factor of 2.5.
//! * Compression set in fits that bind: wood pressed by more than 0.5 % comes back smaller by the rest, 0.5 mm on 100 mm for 1 %.

mod blocks;
mod calendar;
mod cells;
mod diffusivity;
pub mod ends;
mod exclusion;
mod finish;
mod finish_names;
mod finish_slowing;
mod grid_range;
pub mod meter;
mod profile;
mod rest;
mod slab;
mod state;
mod surface;
mod track;
mod track_grid;
pub mod weight;
mod year;

pub use calendar::{calendar_day, day_of_year};
pub use cells::{CELLS, MOST_CELLS};
pub use diffusivity::{Diffusivity, RADIAL_OVER_TANGENTIAL, diffusivity_m2_per_s, sorption};
pub use exclusion::{ExclusionTest, fit_permeance};
pub use finish::{ExclusionRow, Finish, exclusion_table, finish_files, finishes};
pub use finish_names::UnknownFinish;
pub use finish_slowing::board_slowed;
pub use grid_range::GridRange;
pub use profile::Profile;
pub use rest::{Rest, rest};
pub use slab::{FaceExchange, Film, Slab, SlabKey};
pub use state::{Exchange, SlabState};
pub use surface::SurfaceAir;
pub use track::MoistureTrack;
pub use track_grid::{PickedGrid, TrackGrid, Variation};
pub use year::{Stay, equilibrium_year, follow, settled_year};
