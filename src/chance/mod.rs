//! Chance: what is not known for sure, and what follows from it.
//!
//! Draws inputs so that few draws tell much ([`Draws`]), sums the answers of the draws up as low,
//! middle and high ([`Band`]) or as a chance ([`chance_percent`]), ranks the
//! inputs by what they contribute ([`InputBins`]), and narrows a belief by a
//! measurement ([`Belief`], [`JointBelief`], [`Instrument`]). What a chance means for a
//! design is a [`Verdict`], here once for all rooms.
//!
//! The room knows no wood and works on plain numbers. Everything is a pure
//! function of the seed and the number of the draw, so that the answer is the
//! same whatever thread works on which draw. Its numbers come from nowhere but
//! probability theory; the sources of the formulas stand beside them.
//!
//! ```
//! use heartside::chance::{Band, Draws, normal_quantile};
//!
//! let draws = Draws::sobol(7, 2);
//! let mut moved: Vec<f64> = (0..1024)
//!     .map(|draw| {
//!         let numbers = draws.draw(draw);
//!         let (width, share) = (normal_quantile(numbers[0]), normal_quantile(numbers[1]));
//!         (300.0 + 0.5 * width) * (0.010 + 0.0015 * share)
//!     })
//!     .collect();
//! let band = Band::of(&mut moved).unwrap_or_default();
//! assert!((band.middle - 3.0).abs() < 0.01);
//! assert!((band.high - 3.74).abs() < 0.02);
//! ```

mod band;
mod belief;
mod draws;
mod normal;
mod rank;
mod readings;
mod verdict;

pub use band::{Band, chance_percent, in_order, quantile};
pub use belief::{Belief, Instrument, JointBelief};
pub use draws::{Draws, MOST_SOBOL_DRAWS, SOBOL_DIMENSIONS};
pub use normal::{NINE_IN_TEN, normal_chance, normal_chance_tabled, normal_quantile};
pub use rank::{Contribution, InputBins, remaining_share};
pub use readings::{DOUBTED_DEVIATIONS, Doubt, Predicted, ReadInputs, Reading, Weights};
pub use verdict::{HOLDS_PERCENT, MARGINAL_PERCENT, Verdict, in_hundred};
