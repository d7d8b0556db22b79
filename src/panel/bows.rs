//! Which faces lie up, given by what each set adds to the bow: chosen before any order.
//!
//! Once the faces are chosen the bow is fixed, and the seams can meet no better than the largest gap between
//! neighbours in the row of all bows: whatever the order, some seam crosses it. So every choice has a score it cannot
//! beat, and a search that takes the choices by that score can stop at the first that is too high.

use super::pieces::{Pieces, spread};
use super::score::Faults;

/// One choice of faces.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Choice {
    /// What each set adds to the bow.
    pub bows: Vec<f64>,
    /// No order of these faces scores less.
    pub min: f64,
}

/// What one set offers.
struct Offer {
    bow: f64,
    /// Its outer bow, where both its edges have the same.
    outer: Option<f64>,
    inner_misfit: f64,
    own_cup: f64,
}

/// Sums of the same parts are the same number, bit by bit.
const fn alike(one: f64, other: f64) -> bool {
    one.to_bits() == other.to_bits()
}

fn offers(pieces: &Pieces<'_>) -> Vec<Vec<Offer>> {
    pieces
        .sets
        .iter()
        .map(|set| {
            let mut offers: Vec<Offer> = Vec::new();
            for piece in set {
                let outer = alike(piece.first_bow, piece.last_bow).then_some(piece.first_bow);
                match offers.iter_mut().find(|offer| alike(offer.bow, piece.bow)) {
                    Some(offer) => {
                        offer.outer = offer
                            .outer
                            .filter(|&known| outer.is_some_and(|outer| alike(known, outer)));
                        offer.inner_misfit = offer.inner_misfit.min(piece.inner_misfit);
                        offer.own_cup = offer.own_cup.min(piece.own_cup);
                    }
                    None => offers.push(Offer {
                        bow: piece.bow,
                        outer,
                        inner_misfit: piece.inner_misfit,
                        own_cup: piece.own_cup,
                    }),
                }
            }
            offers
        })
        .collect()
}

/// Every choice, the minimum score first. Of sets that measure alike only the rising choices are given.
pub(super) fn choices(pieces: &Pieces<'_>) -> Vec<Choice> {
    let offers = offers(pieces);
    let mut all = Vec::new();
    let mut taken = vec![0; offers.len()];
    loop {
        let rising = (0..taken.len()).all(|i| {
            let earlier = (0..i).rev().find(|&j| pieces.class[j] == pieces.class[i]);
            earlier.is_none_or(|j| taken[j] <= taken[i])
        });
        if rising {
            let chosen: Vec<&Offer> = offers
                .iter()
                .zip(&taken)
                .map(|(set, &at)| &set[at])
                .collect();
            all.push(Choice {
                bows: chosen.iter().map(|offer| offer.bow).collect(),
                min: min(pieces, &chosen),
            });
        }
        // The next choice, as an odometer turns.
        let Some(turned) = (0..taken.len()).find(|&i| taken[i] + 1 < offers[i].len()) else {
            break;
        };
        taken[turned] += 1;
        taken[..turned].fill(0);
    }
    all.sort_by(|a, b| a.min.total_cmp(&b.min));
    all
}

fn min(pieces: &Pieces<'_>, chosen: &[&Offer]) -> f64 {
    let outer: Option<Vec<f64>> = chosen.iter().map(|offer| offer.outer).collect();
    let most = |size: fn(&Offer) -> f64| chosen.iter().map(|offer| size(offer)).fold(0.0, f64::max);
    pieces.weights.of(Faults {
        bow: chosen.iter().map(|offer| offer.bow).sum(),
        cup: most(|offer| offer.own_cup),
        twist: pieces.twist,
        seam: largest_gap(outer.unwrap_or_default()).max(most(|offer| offer.inner_misfit)),
    })
}

fn largest_gap(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values
        .windows(2)
        .map(|two| two[1] - two[0])
        .fold(0.0, f64::max)
}

/// What no layout of however many sets can be better than: the twist that all share, the best bow, the flattest
/// state of the most cupped set, the misfit inside the sets, and for single leaves the largest gap between neighbours in
/// the row of all sizes of bow, since turning a leaf over changes only its sign.
pub(super) fn min_of_all(pieces: &Pieces<'_>) -> f64 {
    let offers = offers(pieces);
    let most = |size: fn(&Offer) -> f64| {
        offers
            .iter()
            .map(|set| spread(set.iter().map(size)).0)
            .fold(0.0, f64::max)
    };
    let (low, high) = offers.iter().fold((0.0, 0.0), |(low, high), set| {
        let (min, max) = spread(set.iter().map(|offer| offer.bow));
        (low + min, high + max)
    });
    let sizes: Option<Vec<f64>> = offers
        .iter()
        .zip(&pieces.sets)
        .map(|(offers, set)| {
            let single = set.iter().all(|piece| piece.placed.len() == 1);
            offers.first().filter(|_| single)?.outer.map(f64::abs)
        })
        .collect();
    pieces.weights.of(Faults {
        bow: f64::max(low, -high).max(0.0),
        cup: most(|offer| offer.own_cup),
        twist: pieces.twist,
        seam: largest_gap(sizes.unwrap_or_default()).max(most(|offer| offer.inner_misfit)),
    })
}
