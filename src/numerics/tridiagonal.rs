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
#[inline]
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
    let (mut down, mut up) = (
        [Excess::<LANES>::NONE; LANES],
        [Excess::<LANES>::NONE; LANES],
    );
    let (mut down_value, mut up_value) = ([0.0; LANES], [0.0; LANES]);
    for i in 0..pairs {
        let j = n - 1 - i;
        if i % ROWS_OF_A_SCALE == 0 {
            down.iter_mut().chain(&mut up).for_each(Excess::rescale);
        }
        for k in 0..LANES {
            let (down_tie, up_tie) = (ties[i][k], ties[j - 1][k]);
            let down_inverse = down[k].pass(stores[i][k], down_tie);
            let up_inverse = up[k].pass(stores[j][k], up_tie);
            let (down_weight, up_weight) = (down_tie * down_inverse, up_tie * up_inverse);
            down_value[k] += right[i][k];
            up_value[k] += right[j][k];
            right[i][k] = down_value[k] * down_inverse;
            right[j][k] = up_value[k] * up_inverse;
            down_value[k] *= down_weight;
            up_value[k] *= up_weight;
            stores[i][k] = down_weight;
            stores[j][k] = up_weight;
            ties[i][k] = down_inverse;
            ties[j - 1][k] = up_inverse;
        }
    }
    // An even number of rows leaves one more above the middle.
    for i in pairs..middle {
        for k in 0..LANES {
            let tie = ties[i][k];
            let inverse = down[k].pass(stores[i][k], tie);
            let weight = tie * inverse;
            down_value[k] += right[i][k];
            right[i][k] = down_value[k] * inverse;
            down_value[k] *= weight;
            stores[i][k] = weight;
            ties[i][k] = inverse;
        }
    }
    // No row needs the last tie: it takes the middle's pivot.
    for k in 0..LANES {
        ties[n - 1][k] = 1.0 / (stores[middle][k] + down[k].value() + up[k].value());
        right[middle][k] = (right[middle][k] + down_value[k] + up_value[k]) * ties[n - 1][k];
    }
    carry_outward(stores, right);
}

/// What the rows eliminated so far add to the store of the next one, as a fraction.
#[derive(Clone, Copy)]
struct Excess<const LANES: usize> {
    above: f64,
    /// Always 1 where so many chains are solved side by side that their divisions cost more than waiting for them.
    below: f64,
}

impl<const LANES: usize> Excess<LANES> {
    const NONE: Self = Self {
        above: 0.0,
        below: 1.0,
    };
    const DIVIDED: bool = LANES > 2;

    /// Eliminates a row with its store and its tie to the next; the inverse of its pivot.
    ///
    /// Of the excess `e` is made `tie (e + store) / (e + store + tie)`.
    #[inline]
    fn pass(&mut self, store: f64, tie: f64) -> f64 {
        if Self::DIVIDED {
            let sum = self.above + store;
            let inverse = 1.0 / (sum + tie);
            self.above = tie * inverse * sum;
            return inverse;
        }
        // Each part waits for one product and one sum of the row before.
        let below = self.above + (store + tie) * self.below;
        let inverse = self.below / below;
        self.above = tie * (self.above + store * self.below);
        self.below = below;
        inverse
    }

    /// Brings `below` near 1, every [`ROWS_OF_A_SCALE`] rows, before the product of their pivots can leave what a number holds; by a
    /// power of two, which rounds nothing.
    #[inline]
    fn rescale(&mut self) {
        if !Self::DIVIDED {
            let scale = f64::from_bits(TWICE_ONE - (self.below.to_bits() & EXPONENT));
            self.above *= scale;
            self.below *= scale;
        }
    }

    fn value(self) -> f64 {
        self.above / self.below
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
#[inline]
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
        for k in 0..LANES {
            down[k] += right[i][k];
            up[k] += right[j][k];
            right[i][k] = down[k] * inverses[i][k];
            right[j][k] = up[k] * inverses[j - 1][k];
            down[k] *= weights[i][k];
            up[k] *= weights[j][k];
        }
    }
    for i in pairs..middle {
        for k in 0..LANES {
            down[k] += right[i][k];
            right[i][k] = down[k] * inverses[i][k];
            down[k] *= weights[i][k];
        }
    }
    for k in 0..LANES {
        right[middle][k] = (right[middle][k] + down[k] + up[k]) * inverses[n - 1][k];
    }
    carry_outward(weights, right);
}

/// From the middle, which is known, to both ends.
#[inline]
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
