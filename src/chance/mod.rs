//! Chance: what is not known for sure, and what follows from it.
//!
//! Answers how an uncertain input spreads ([`Spread`]), draws inputs so that
//! few draws tell much ([`Draws`]), sums the answers of the draws up as low,
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
//! use heartside::chance::{Band, Draws, Spread};
//!
//! let width = Spread::normal(300.0, 0.5)?;
//! let share = Spread::normal(0.010, 0.0015)?;
//! let draws = Draws::sobol(7, 2);
//! let mut moved: Vec<f64> = (0..1024)
//!     .map(|draw| {
//!         let numbers = draws.draw(draw);
//!         width.quantile(numbers[0]) * share.quantile(numbers[1])
//!     })
//!     .collect();
//! let band = Band::of(&mut moved).unwrap_or_default();
//! assert!((band.middle - 3.0).abs() < 0.01);
//! assert!((band.high - 3.74).abs() < 0.02);
//! # Ok::<(), heartside::chance::SpreadError>(())
//! ```

mod band;
mod belief;
mod correlation;
mod draws;
mod rank;
mod readings;
mod spread;
mod verdict;

pub use band::{
    Band, chance_error_percent, chance_percent, error_of_replicates, in_order, quantile,
};
pub use belief::{Belief, Instrument, JointBelief};
pub use correlation::{Correlation, sharing};
pub use draws::{Draws, MOST_SOBOL_DRAWS, SOBOL_DIMENSIONS};
pub use rank::{Contribution, InputBins, remaining_share};
pub use readings::{DOUBTED_DEVIATIONS, Doubt, Predicted, ReadInputs, Reading, Weights};
pub use spread::{
    NINE_IN_TEN, Spread, SpreadError, normal_chance, normal_chance_tabled, normal_quantile,
};
pub use verdict::{HOLDS_PERCENT, MARGINAL_PERCENT, Verdict, in_hundred};
