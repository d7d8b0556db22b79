//! Draws: the numbers between 0 and 1 from which every input of a draw is made.

use super::normal::normal_quantile;
use rand::Rng;
use rand_pcg::Pcg64;
use sobol_burley::sample_4d;

/// Dimensions of one Sobol set; more are padded with independent sets.
pub const SOBOL_DIMENSIONS: usize = 256;

/// Draws of one Sobol sequence; later draws come from further independent sequences.
pub const MOST_SOBOL_DRAWS: usize = 1 << 16;

/// Half of the step between neighbouring single-precision Sobol points.
const HALF_STEP: f64 = 1.0 / 16_777_216.0;

/// A seeded source of draws. Draw `i` is a pure function of the seed and `i`:
/// the same on every machine and in whatever order draws are made.
///
/// Every number lies strictly between 0 and 1, so that no quantile is infinite.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Draws {
    way: Way,
    seed: u64,
    dimensions: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Sobol,
    Plain,
}

/// Mixes a word thoroughly (the finisher of SplitMix64, Steele, Lea and Flood 2014).
const fn mixed(word: u64) -> u64 {
    let word = word.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let word = (word ^ (word >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let word = (word ^ (word >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    word ^ (word >> 31)
}

impl Draws {
    /// Owen-scrambled Sobol points (directions of S. Joe and F. Y. Kuo 2008, hashed
    /// scrambling of B. Burley 2020): draws that fill the space evenly.
    ///
    /// The first 256 inputs fill it jointly; further inputs are padded with
    /// independent sets. Beyond 65 536 draws a fresh independent sequence
    /// begins. Powers of two fill most evenly.
    #[must_use]
    pub const fn sobol(seed: u64, dimensions: usize) -> Self {
        Self {
            way: Way::Sobol,
            seed,
            dimensions,
        }
    }

    /// Plain independent draws of the generator PCG XSL 128/64 (M. O'Neill 2014), for comparison.
    #[must_use]
    pub const fn plain(seed: u64, dimensions: usize) -> Self {
        Self {
            way: Way::Plain,
            seed,
            dimensions,
        }
    }

    /// How many inputs a draw has.
    #[must_use]
    pub const fn dimensions(&self) -> usize {
        self.dimensions
    }

    /// Seed of one Sobol sequence: by block of draws and set of dimensions.
    fn sequence(&self, draw: usize, set: usize) -> u32 {
        let block = (draw / MOST_SOBOL_DRAWS) as u64;
        let place = mixed(block << 32 | set as u64);
        (mixed(self.seed ^ place) >> 32) as u32
    }

    /// Fills the numbers of one draw, each strictly between 0 and 1; as many as `numbers` holds.
    pub fn fill(&self, draw: usize, numbers: &mut [f64]) {
        match self.way {
            Way::Sobol => {
                for (four, numbers) in numbers.chunks_mut(4).enumerate() {
                    let own = self.four(draw, four);
                    numbers.copy_from_slice(&own[..numbers.len()]);
                }
            }
            Way::Plain => {
                let mut generator = Pcg64::new(u128::from(mixed(self.seed)), 0);
                generator.advance(draw as u128 * self.dimensions as u128);
                for number in numbers {
                    let bits = (generator.next_u64() >> 11) as f64;
                    *number = (bits + 0.5) / 9_007_199_254_740_992.0;
                }
            }
        }
    }

    /// Four neighbouring numbers of one draw, from the place `4 * four` on: what [`fill`](Self::fill) puts there.
    pub(super) fn four(&self, draw: usize, four: usize) -> [f64; 4] {
        match self.way {
            Way::Sobol => {
                let (set, within) = (4 * four / SOBOL_DIMENSIONS, 4 * four % SOBOL_DIMENSIONS);
                let index = (draw % MOST_SOBOL_DRAWS) as u32;
                let points = sample_4d(index, (within / 4) as u32, self.sequence(draw, set));
                points.map(|point| f64::from(point) + HALF_STEP)
            }
            Way::Plain => {
                let mut numbers = vec![0.0; 4 * four + 4];
                self.fill(draw, &mut numbers);
                std::array::from_fn(|place| numbers[4 * four + place])
            }
        }
    }

    /// The numbers of one draw.
    #[must_use]
    pub fn draw(&self, draw: usize) -> Vec<f64> {
        let mut numbers = vec![0.0; self.dimensions];
        self.fill(draw, &mut numbers);
        numbers
    }

    /// Fills standard normal numbers of one draw.
    pub fn fill_normals(&self, draw: usize, numbers: &mut [f64]) {
        self.fill(draw, numbers);
        for number in numbers {
            *number = normal_quantile(*number);
        }
    }
}
