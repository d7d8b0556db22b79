//! Systems whose equations each tie an unknown to its two neighbours.

/// Solves a tridiagonal system in place, without pivoting.
///
/// Row `i` reads `below[i] x[i-1] + diagonal[i] x[i] + above[i] x[i+1] = right[i]`;
/// `below[0]` and the last `above` are not read. On success `right` holds `x`.
/// `scratch` is as long as the others. Gives `false` when a pivot vanishes or
/// is not finite; diagonally dominant systems always succeed.
///
/// # Panics
/// When the slices differ in length.
#[must_use]
pub fn solve_tridiagonal(
    below: &[f64],
    diagonal: &[f64],
    above: &[f64],
    right: &mut [f64],
    scratch: &mut [f64],
) -> bool {
    let n = right.len();
    assert!(
        [below.len(), diagonal.len(), above.len(), scratch.len()] == [n; 4],
        "all diagonals must be as long as the right-hand side"
    );
    let (mut ratio, mut value) = (0.0, 0.0);
    for i in 0..n {
        let lower = if i == 0 { 0.0 } else { below[i] };
        let inverse = 1.0 / (diagonal[i] - lower * ratio);
        if !inverse.is_finite() {
            return false;
        }
        ratio = above[i] * inverse;
        value = (right[i] - lower * value) * inverse;
        scratch[i] = ratio;
        right[i] = value;
    }
    for i in (0..n.saturating_sub(1)).rev() {
        right[i] -= scratch[i] * right[i + 1];
    }
    true
}

/// Solves chains of cells that exchange with their neighbours, from both ends at once, and several chains side by side.
///
/// Row `i` reads `stores[i] x[i] + ties[i-1] (x[i] - x[i-1]) + ties[i] (x[i] - x[i+1]) = right[i]`:
/// a symmetric tridiagonal system given by what its diagonal has in excess of its
/// neighbours. `ties[i]` binds `i` and `i + 1`, the last one is not read; neither ties nor
/// stores are negative, and at least one store is positive in every run of cells
/// that ties bind. On return `right` holds `x`, and `ties` and `stores` hold what [`solve_exchange_again`] takes for another
/// right-hand side.
///
/// The excess is carried along instead of the diagonal, so nothing is ever subtracted
/// and the answer keeps its digits however much the ties outweigh the stores. The
/// eliminations from the first row down and from the last row up do not wait for each other,
/// neither do chains side by side; a chain alone carries its excess as a fraction,
/// so that no row waits for the division of the row before.
///
/// # Panics
/// When a slice is shorter than `right`.
#[inline(always)]
pub fn solve_exchange<const LANES: usize>(
    ties: &mut [[f64; LANES]],
    stores: &mut [[f64; LANES]],
    right: &mut [[f64; LANES]],
) {
    let n = right.len();
    let (ties, stores) = (&mut ties[..n], &mut stores[..n]);
    if n == 0 {
        return;
    }
    // The rows from both ends meet at `middle`; after the loops `stores` holds the weight of the neighbour toward it, and the tie
    // toward it the inverse of the row's pivot.
    let middle = n / 2;
    let pairs = n - 1 - middle;
    let (mut down, mut up) = (Excess::NONE, Excess::NONE);
    let (mut down_value, mut up_value) = ([0.0; LANES], [0.0; LANES]);
    for i in 0..pairs {
        let j = n - 1 - i;
        if i % ROWS_OF_A_SCALE == 0 {
            down.rescale();
            up.rescale();
        }
        let (down_inverse, up_inverse) = (
            down.pass(&stores[i], &ties[i]),
            up.pass(&stores[j], &ties[j - 1]),
        );
        stores[i] = product(&ties[i], &down_inverse);
        stores[j] = product(&ties[j - 1], &up_inverse);
        ties[i] = down_inverse;
        ties[j - 1] = up_inverse;
        hand_on(&mut down_value, &mut right[i], &ties[i], &stores[i]);
        hand_on(&mut up_value, &mut right[j], &ties[j - 1], &stores[j]);
    }
    // An even number of rows leaves one more above the middle.
    for i in pairs..middle {
        let inverse = down.pass(&stores[i], &ties[i]);
        stores[i] = product(&ties[i], &inverse);
        ties[i] = inverse;
        hand_on(&mut down_value, &mut right[i], &ties[i], &stores[i]);
    }
    // No row needs the last tie: it takes the middle's pivot.
    for k in 0..LANES {
        ties[n - 1][k] = 1.0 / (stores[middle][k] + down.value(k) + up.value(k));
        right[middle][k] = (right[middle][k] + down_value[k] + up_value[k]) * ties[n - 1][k];
    }
    carry_outward(stores, right);
}

#[inline(always)]
fn product<const LANES: usize>(a: &[f64; LANES], b: &[f64; LANES]) -> [f64; LANES] {
    let mut both = [0.0; LANES];
    for k in 0..LANES {
        both[k] = a[k] * b[k];
    }
    both
}

/// Eliminates a row of the right-hand side: `value` comes from the rows before and goes on to the next.
#[inline(always)]
fn hand_on<const LANES: usize>(
    value: &mut [f64; LANES],
    right: &mut [f64; LANES],
    inverse: &[f64; LANES],
    weight: &[f64; LANES],
) {
    for k in 0..LANES {
        let sum = value[k] + right[k];
        right[k] = sum * inverse[k];
        value[k] = sum * weight[k];
    }
}

/// What the rows eliminated so far add to the store of the next one, as a fraction, chain by chain.
struct Excess<const LANES: usize> {
    above: [f64; LANES],
    /// Always 1 where so many chains are solved side by side that their divisions cost more than waiting for them.
    below: [f64; LANES],
}

impl<const LANES: usize> Excess<LANES> {
    const NONE: Self = Self {
        above: [0.0; LANES],
        below: [1.0; LANES],
    };
    const DIVIDED: bool = LANES > 2;

    /// Eliminates a row with its stores and its ties to the next; the inverses of its pivots.
    ///
    /// Of the excess `e` is made `tie (e + store) / (e + store + tie)`.
    #[inline(always)]
    fn pass(&mut self, stores: &[f64; LANES], ties: &[f64; LANES]) -> [f64; LANES] {
        let mut inverses = [0.0; LANES];
        for k in 0..LANES {
            let (store, tie) = (stores[k], ties[k]);
            if Self::DIVIDED {
                let sum = self.above[k] + store;
                inverses[k] = 1.0 / (sum + tie);
                self.above[k] = tie * inverses[k] * sum;
            } else {
                // Each part waits for one product and one sum of the row before.
                let below = self.above[k] + (store + tie) * self.below[k];
                inverses[k] = self.below[k] / below;
                self.above[k] = tie * (self.above[k] + store * self.below[k]);
                self.below[k] = below;
            }
        }
        inverses
    }

    /// Brings `below` near 1, every [`ROWS_OF_A_SCALE`] rows, before the product of their pivots can leave what a number holds; by a
    /// power of two, which rounds nothing.
    #[inline(always)]
    fn rescale(&mut self) {
        if !Self::DIVIDED {
            for (above, below) in self.above.iter_mut().zip(&mut self.below) {
                let scale = f64::from_bits(TWICE_ONE - (below.to_bits() & EXPONENT));
                *above *= scale;
                *below *= scale;
            }
        }
    }

    #[inline(always)]
    fn value(&self, chain: usize) -> f64 {
        self.above[chain] / self.below[chain]
    }
}

const ROWS_OF_A_SCALE: usize = 8;
/// The exponent of a number in its bits, and twice that of one: less the exponent of a number it is that of the inverse.
const EXPONENT: u64 = 0x7ff0_0000_0000_0000;
const TWICE_ONE: u64 = 0x7fe0_0000_0000_0000;

/// Solves the chains that [`solve_exchange`] has just solved for another right-hand side: without a division. On return `right` holds
/// `x`.
///
/// # Panics
/// When a slice is shorter than `right`.
#[inline(always)]
pub fn solve_exchange_again<const LANES: usize>(
    inverses: &[[f64; LANES]],
    weights: &[[f64; LANES]],
    right: &mut [[f64; LANES]],
) {
    let n = right.len();
    let (inverses, weights) = (&inverses[..n], &weights[..n]);
    if n == 0 {
        return;
    }
    let middle = n / 2;
    let pairs = n - 1 - middle;
    let (mut down, mut up) = ([0.0; LANES], [0.0; LANES]);
    for i in 0..pairs {
        let j = n - 1 - i;
        hand_on(&mut down, &mut right[i], &inverses[i], &weights[i]);
        hand_on(&mut up, &mut right[j], &inverses[j - 1], &weights[j]);
    }
    for i in pairs..middle {
        hand_on(&mut down, &mut right[i], &inverses[i], &weights[i]);
    }
    for k in 0..LANES {
        right[middle][k] = (right[middle][k] + down[k] + up[k]) * inverses[n - 1][k];
    }
    carry_outward(weights, right);
}

/// From the middle, which is known, to both ends.
#[inline(always)]
fn carry_outward<const LANES: usize>(weights: &[[f64; LANES]], right: &mut [[f64; LANES]]) {
    let n = right.len();
    let middle = n / 2;
    let pairs = n - 1 - middle;
    let (mut left, mut after) = (right[middle], right[middle]);
    for i in (pairs..middle).rev() {
        for k in 0..LANES {
            left[k] = right[i][k] + weights[i][k] * left[k];
        }
        right[i] = left;
    }
    for pair in 0..pairs {
        let (i, j) = (pairs - 1 - pair, middle + 1 + pair);
        for k in 0..LANES {
            left[k] = right[i][k] + weights[i][k] * left[k];
            after[k] = right[j][k] + weights[j][k] * after[k];
        }
        right[i] = left;
        right[j] = after;
    }
}
