//! Good orders to begin a search with: the sets as listed and shuffled, each
//! bettered by swapping, shifting, turning back and changing states until
//! nothing helps.

use super::pieces::Pieces;
use super::search::Best;
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;

/// Shuffles tried besides the order as listed.
const SHUFFLES: usize = 7;

/// One generator and one seed, so that the same leaves always give the same answer.
const SEED: u64 = 0x1eaf;

/// Offers the orders worth starting from, and every order met on the way to them.
pub(super) fn offer_good_orders(pieces: &Pieces<'_>, best: &mut Best<'_>) {
    let mut generator = Pcg64Mcg::seed_from_u64(SEED);
    let listed: Vec<(usize, usize)> = (0..pieces.sets.len()).map(|set| (set, 0)).collect();
    better(pieces, best, listed.clone());
    for _ in 0..SHUFFLES {
        let mut order = listed.clone();
        for i in (1..order.len()).rev() {
            order.swap(i, below(&mut generator, i + 1));
        }
        for (set, state) in &mut order {
            *state = below(&mut generator, pieces.sets[*set].len());
        }
        better(pieces, best, order);
    }
}

fn below(generator: &mut Pcg64Mcg, count: usize) -> usize {
    // The remainder's bias is of the order count / 2^64.
    (generator.next_u64() % count as u64) as usize
}

fn better(pieces: &Pieces<'_>, best: &mut Best<'_>, mut order: Vec<(usize, usize)>) {
    let mut score = |order: &[(usize, usize)]| {
        let faults = pieces.faults(order);
        let score = pieces.weights.of(faults);
        best.offer(order, faults, score);
        score
    };
    let mut least = score(&order);
    loop {
        let before = least;
        for i in 0..order.len() {
            let (set, was) = order[i];
            let mut kept = was;
            for state in 0..pieces.sets[set].len() {
                order[i].1 = state;
                let new = score(&order);
                if new < least - 1e-12 {
                    (least, kept) = (new, state);
                }
            }
            order[i].1 = kept;
            for j in i + 1..order.len() {
                order.swap(i, j);
                let swapped = score(&order);
                if swapped < least - 1e-12 {
                    least = swapped;
                    continue;
                }
                order.swap(i, j);
                order[i..=j].rotate_left(1);
                let shifted = score(&order);
                if shifted < least - 1e-12 {
                    least = shifted;
                    continue;
                }
                order[i..=j].rotate_right(1);
                order[i..=j].reverse();
                let reversed = score(&order);
                if reversed < least - 1e-12 {
                    least = reversed;
                    continue;
                }
                order[i..=j].reverse();
            }
        }
        if least >= before - 1e-12 {
            return;
        }
    }
}
