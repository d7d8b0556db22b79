//! What flattening takes: thickness left when a piece is cross-cut first, or
//! the whole leaf flattened first.

use super::Band;
use super::belief::Marginal;
use super::leaf::LeafForecast;
use crate::chance::Verdict;
use crate::numerics::bracketed_root;
use crate::units::{Chance, Length};

/// A part wanted from the leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct PartWanted {
    /// Its name.
    pub name: String,
    /// Along the grain.
    pub length: Length,
    /// Across it.
    pub width: Length,
    /// Thickness once flat on both faces.
    pub thickness: Length,
    /// How many.
    pub count: usize,
}

/// What flattening one piece takes and leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowance {
    /// Taken by bow over the piece, middle forecast.
    pub bow: Length,
    /// Taken by cup over the piece.
    pub cup: Length,
    /// Taken by twist over the piece: half the corner lift, since it is levelled on the diagonals.
    pub twist: Length,
    /// Taken by the clean-up cuts of both faces.
    pub clean_up: Length,
    /// Thickness left, flat on both faces.
    pub left: Band,
}

/// One part from one leaf.
#[derive(Debug, Clone, PartialEq)]
pub struct MillingForecast {
    /// Place of the part in the list that was asked about.
    pub part: usize,
    /// Width left straight-edged over the part's length: crook takes its share `(l/L)^2` of it.
    pub straight_width: Length,
    /// Whether the leaf is long and wide enough for it at all.
    pub fits_outline: bool,
    /// Cut first, then flattened.
    pub cut_first: Allowance,
    /// Flattened whole, then cut.
    pub flatten_first: Allowance,
    /// Chance that the thickness is there, cut first.
    pub chance_cut_first: f64,
    /// Chance that the thickness is there, flattened first.
    pub chance_flatten_first: f64,
    /// Verdict of the better way.
    pub verdict: Verdict,
}

/// Places at which the cup's spread is taken, each as likely as the next.
const CUP_PLACES: usize = 15;

/// A warped piece: the beliefs of bow and cup over its own length and width, the lift of its
/// corner, and the thickness it has before flattening.
pub(super) struct Warped {
    bow: Marginal,
    /// Sizes of cup, each as likely as the next.
    cups: Vec<f64>,
    cup_middle: f64,
    thickness: f64,
    twist: f64,
    clean_up: f64,
}

impl Warped {
    /// A piece `length` by `width` of a leaf whose bow and cup are believed over the chords given.
    pub(super) fn piece(
        (bow, bow_chord): (&Marginal, Length),
        (cup, cup_chord): (&Marginal, Length),
        twist: Length,
        thickness: Length,
        (length, width): (Length, Length),
        clean_up: Length,
    ) -> Self {
        let (along, across) = (length / bow_chord, width / cup_chord);
        let cup = cup.scaled(across * across, 0.0);
        Self {
            bow: bow.scaled(along * along, 0.0),
            cups: (0..CUP_PLACES)
                .map(|i| cup.quantile((i as f64 + 0.5) / CUP_PLACES as f64).abs())
                .collect(),
            cup_middle: cup.mean(),
            thickness: thickness.mm(),
            twist: twist.mm().abs() / 2.0 * along * across,
            clean_up: 2.0 * clean_up.mm(),
        }
    }

    /// Chance that flattening leaves at least `wanted` mm: bow and cup of one piece are independent.
    pub(super) fn chance_of(&self, wanted: f64) -> f64 {
        let spare = self.untouched() - wanted;
        self.cups
            .iter()
            .map(|cup| self.bow.chance_within(spare - cup))
            .sum::<f64>()
            / self.cups.len() as f64
    }

    /// Thickness that would be left without any bow or cup.
    fn untouched(&self) -> f64 {
        self.thickness - self.twist - self.clean_up
    }

    /// Thickness that is left with chance `p`.
    fn left_with(&self, p: f64) -> Length {
        let most = self.untouched();
        let max_cup = self.cups.iter().copied().fold(0.0, f64::max);
        let reach = self.bow.mean().abs() + 9.0 * self.bow.deviation() + max_cup;
        let left = bracketed_root(|left| self.chance_of(left) - p, most - reach, most, 1e-4);
        // What is known to be flat has no spread to look for a root in.
        Length::from_mm_unchecked(left.unwrap_or(most))
    }

    pub(super) fn left(&self) -> Band {
        Band::new(
            [self.left_with(0.95), self.left_with(0.05)],
            self.left_with(0.5),
        )
        .map(|left| left.max(Length::ZERO))
    }

    fn allowance(&self) -> Allowance {
        Allowance {
            bow: Length::from_mm_unchecked(self.bow.mean().abs()),
            cup: Length::from_mm_unchecked(self.cup_middle.abs()),
            twist: Length::from_mm_unchecked(self.twist),
            clean_up: Length::from_mm_unchecked(self.clean_up),
            left: self.left(),
        }
    }
}

fn piece_of(leaf: &LeafForecast, length: Length, width: Length, clean_up: Length) -> Warped {
    Warped::piece(
        (&leaf.bow.rested_belief, leaf.bow.chord),
        (&leaf.cup.rested_belief, leaf.cup.chord),
        leaf.twist,
        leaf.slice.thickness(),
        (length, width),
        clean_up,
    )
}

/// What flattening a piece of this length and width of a rested leaf takes and leaves: of the bow `(l/L)^2`,
/// of the cup `(b/B)^2`, of half the corner lift `l b/(L B)`, and a clean-up cut a face.
#[must_use]
pub fn part_allowance(
    leaf: &LeafForecast,
    length: Length,
    width: Length,
    clean_up: Length,
) -> Allowance {
    piece_of(leaf, length, width, clean_up).allowance()
}

/// For each part wanted: can it come from this leaf, and what is left of the thickness, either way round.
#[must_use]
pub fn milling(
    leaf: &LeafForecast,
    parts: &[PartWanted],
    clean_up: Length,
) -> Vec<MillingForecast> {
    let whole = piece_of(leaf, leaf.bow.chord, leaf.cup.chord, clean_up);
    let flatten_first = whole.allowance();
    parts
        .iter()
        .enumerate()
        .map(|(part, wanted)| {
            let share = wanted.length / leaf.bow.chord;
            let straight_width = leaf.cup.chord - leaf.crook.abs() * (share * share);
            let fits_outline = wanted.length.mm() <= leaf.bow.chord.mm() + 1e-9
                && wanted.width.mm() <= straight_width.mm() + 1e-9;
            let piece = piece_of(leaf, wanted.length, wanted.width, clean_up);
            let chance = |warped: &Warped| {
                if fits_outline {
                    warped.chance_of(wanted.thickness.mm())
                } else {
                    0.0
                }
            };
            let (cut, flatten) = (chance(&piece), chance(&whole));
            MillingForecast {
                part,
                straight_width,
                fits_outline,
                cut_first: piece.allowance(),
                flatten_first,
                chance_cut_first: cut,
                chance_flatten_first: flatten,
                verdict: Verdict::of_chance(Chance::of_fraction(cut.max(flatten))),
            }
        })
        .collect()
}
