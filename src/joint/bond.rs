//! The bond: two parts glued or fixed along a line, wanting different strains.
//!
//! What the line holds back comes from shear-lag ([`super::shear_lag`]), whether the wood then splits from
//! [`super::split`], how the pair bends from two layers free to bend.
//!
//! Wood beside a narrow cleat moves freely and pulls at the wood under it: a band `w` of a board that reaches `b` farther on
//! either side is held as one of width `w + 2 min(b, 0.3 (W - w))` would be ([`MOVES_BESIDE`]; fitted to plane-stress finite
//! elements of 3 woods, `W` 75 to 600 mm, `w` 25 to 100: the middle is held 2 % less to 29 % more than they say, 6 % more
//! in the mean, which is the safe side). A cleat near the end of a board has such wood on one side only.
//!
//! The other season presses the wood. Beyond 0.5-1 % part of that stays as a set
//! ([`SET_STRAIN`], the lower end; *The Structural Conservation of Panel Paintings*, Getty Conservation Institute, 1998),
//! shows as a gap and adds to the shrinkage of the next dry season: wood pressed in a wet summer splits in winter.
//!
//! End shear grows to a limit within some hands of line and then no further: it may forbid all gluing or ask for ends
//! that give, but chooses no length.

use super::shear_lag::ShearLag;
use super::split::{Across, RELAXED_SHARE, SplitChance, SplitSpread};
use crate::chance::Verdict;
use crate::movement::{Layer, share_of_own_curvature, two_layer_curvature};
use crate::units::{Chance, Curvature, Length, Strain, Stress};

/// Compression across the grain beyond which part of the strain stays as a set: the lower end of 0.5-1 %.
pub const SET_STRAIN: f64 = 0.005;
/// Rolling shear strength over shear strength along the grain: the middle of 18-28 % (Wood Handbook ch. 5, from memory).
pub const ROLLING_SHEAR_SHARE: f64 = 0.23;
/// A glued design holds while its chance of splitting is no greater, percent.
pub const SPLIT_HOLDS: Chance = Chance::computed_percent(5.0);
/// Beyond this chance of splitting, percent, it is to be redone.
pub const SPLIT_FAILS: Chance = Chance::computed_percent(30.0);
/// A joint that floats is said to hold glued as well only up to this chance of splitting, percent.
pub const SURELY_GLUED: Chance = Chance::computed_percent(1.0);
/// Length at each end of a glued line over which its shear is averaged before it is held against a strength that was itself
/// measured as a mean over some 50 mm (the shear block of ASTM D143, from memory): half of that, judgement.
pub const SHEAR_MEAN_MM: f64 = 25.0;
/// Width of the wood on either side of a glued band that moves with it, over the length of the line less the band.
pub const MOVES_BESIDE: f64 = 0.3;
/// The shortest glued middle worth telling.
pub const SHORTEST_GLUE_MM: f64 = 15.0;
/// A pair cups by less than this without being seen.
pub const CUP_IGNORED_MM: f64 = 0.4;
/// Over how much length a pair may cup by one: beyond this it is marginal, judgement.
pub const CUP_MARGINAL: f64 = 500.0;
/// Beyond this it is to be redone, judgement.
pub const CUP_FAILS: f64 = 200.0;

/// Two boards glued face to face that nothing else holds flat, the moving one first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreePair {
    /// The boards as layers.
    pub layers: [Layer; 2],
    /// The curvature along the line that each would take alone from its rings at the worst, without sign; zero where it is not known.
    pub own: [Curvature; 2],
}

/// What a bond is made of: the plies, the length along which they are glued and the wood it stresses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BondLine {
    /// Ply A is the part that wants to move more: its width runs along the line.
    pub lag: ShearLag,
    /// Length of the glued line.
    pub width: Length,
    /// Ply A where the line runs across its grain, so that it can split.
    pub moving: Option<Across>,
    /// Ply B where the line runs across its grain too, so that it can split as well.
    pub holding: Option<Across>,
    /// How stiff the boards are over the middle of their woods, the moving and the holding one.
    pub stiffer: [f64; 2],
    /// How their strength spreads about that.
    pub spread: SplitSpread,
    /// The two boards where they are face to face and nothing else holds the pair flat.
    pub free: Option<FreePair>,
    /// How far the glued patch reaches in the third direction; the width of the cleat, the thickness of the shelf.
    pub band: Length,
    /// How far ply A itself reaches in that direction, for the wood beside the patch that moves with it; the
    /// band where there is none.
    pub reach: Length,
    /// Shear strength along the grain of the wood that rolls: ply A's, or the weaker where both do.
    pub shear_strength: Stress,
}

/// The judgement of a glued line of some length for one wanted difference on the dry and on the wet side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BondJudgement {
    /// Tension across the grain held at the middle in the part that is worse off: a total strain, nothing relaxed.
    pub tension: Strain,
    /// The stress of it after a season, in the part that is nearer to its strength.
    pub stress: Stress,
    /// What that part bears, by its table.
    pub strength: Stress,
    /// Compression across the grain held at the middle, before relaxation: what does not spring back is the set.
    pub compression: Strain,
    /// Whether the compression is that of ply B at the driest (held by a shrinking ply A), not that of ply A at the wettest.
    pub pressed_dry: bool,
    /// Shear at the very ends, the worse side, before relaxation.
    pub end_shear: Stress,
    /// Relaxed shear, as a mean over the last [`SHEAR_MEAN_MM`], over the middle of the rolling shear strength.
    pub end_shear_share: f64,
    /// Chance that the wood splits.
    pub split: SplitChance,
    /// How far the pair cups over the glued length, relaxed, the worse side.
    pub cup: Length,
}

/// What to do with a bond.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Advice {
    /// Glue the whole line.
    Glue,
    /// Glue the middle, let the ends float.
    GlueMiddle,
    /// Let it float, with slots.
    Float,
}

impl Advice {
    /// The word scripts read.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Advice::Glue => "glue",
            Advice::GlueMiddle => "glue_middle",
            Advice::Float => "float",
        }
    }
}

impl BondLine {
    /// The same line between other boards of the same woods: every stiffness of the moving and of the holding part
    /// multiplied by a factor.
    #[must_use]
    pub fn with_boards(&self, factors: [f64; 2]) -> Self {
        let [a, b] = self.stiffer;
        Self {
            lag: self.lag.stiffer(factors),
            stiffer: [a * factors[0], b * factors[1]],
            ..*self
        }
    }

    /// How far the pair cups over a glued length for a difference of strain and by the rings of its boards, relaxed; nothing where something
    /// holds it flat. Which way the rings bend it is not asked: they are counted on the pair's own side, the worse one.
    #[must_use]
    pub fn cup_over(&self, glued: Length, difference: Strain) -> Length {
        let Some(FreePair {
            layers: [moving, holding],
            own,
        }) = self.free
        else {
            return Length::ZERO;
        };
        let moving = Layer {
            modulus: moving.modulus * moves_with(self.band, self.reach, glued),
            ..moving
        };
        let pair = two_layer_curvature(moving, holding, difference.abs());
        let rings = own[0].per_mm().abs() * share_of_own_curvature(moving, holding)
            + own[1].per_mm().abs() * share_of_own_curvature(holding, moving);
        let cup = Curvature::computed_per_mm(pair.per_mm() + rings);
        cup.rise_over(glued) * RELAXED_SHARE
    }

    /// Strains held at the middle: stretched in A and in B, pressed in A and in B.
    fn held(&self, glued: Length, driest: Strain, wettest: Strain) -> ([f64; 2], [f64; 2]) {
        let lag = self
            .lag
            .with_more_of_a(moves_with(self.band, self.reach, glued));
        let held_a = lag.held_fraction(glued);
        let held_b = self.holding.map_or(0.0, |_| lag.held_fraction_b(glued));
        // Where A wants to be shorter than B it is stretched and B pressed, and the other way round.
        let (shorter, longer) = ((-driest.ratio()).max(0.0), wettest.ratio().max(0.0));
        // What is pressed beyond the limit stays pressed, and is missing when the wood shrinks when free again.
        let set = |pressed: f64| (pressed - SET_STRAIN).max(0.0);
        let pressed = [longer * held_a, shorter * held_b];
        let stretched = [
            shorter * held_a + set(pressed[0]),
            longer * held_b + set(pressed[1]),
        ];
        (stretched, pressed)
    }

    /// Chance that the wood of either part splits; see [`BondLine::judge`].
    #[must_use]
    pub fn split(&self, glued: Length, driest: Strain, wettest: Strain) -> SplitChance {
        let (stretched, _) = self.held(glued, driest, wettest);
        [self.moving, self.holding]
            .iter()
            .zip(stretched)
            .zip(self.stiffer)
            .filter_map(|((part, strain), stiffer)| {
                let strain = Strain::computed_ratio(strain);
                Some(SplitChance::of(
                    part.as_ref()?,
                    strain,
                    stiffer,
                    &self.spread,
                ))
            })
            .fold(SplitChance::NONE, SplitChance::or)
    }

    /// Judges the line glued over `glued` of its length, for the strain ply A wants beyond
    /// ply B at its driest (negative: it shrinks when free) and at its wettest.
    #[must_use]
    pub fn judge(&self, glued: Length, driest: Strain, wettest: Strain) -> BondJudgement {
        let (tension, pressed) = self.held(glued, driest, wettest);
        let mut judged = BondJudgement {
            tension: Strain::ZERO,
            stress: Stress::ZERO,
            strength: Stress::ZERO,
            compression: Strain::computed_ratio(pressed[0].max(pressed[1])),
            pressed_dry: pressed[1] > pressed[0],
            end_shear: Stress::ZERO,
            end_shear_share: 0.0,
            split: self.split(glued, driest, wettest),
            cup: Length::ZERO,
        };
        let parts = [self.moving, self.holding];
        let mut nearest = -1.0;
        for side in 0..2 {
            let Some(part) = parts[side] else { continue };
            let strain = Strain::computed_ratio(tension[side]);
            judged.tension = judged.tension.max(strain);
            let stiffer = self.stiffer[side];
            let stress = part.modulus.mpa() * stiffer * tension[side] * RELAXED_SHARE;
            if stress / part.strength.mpa() > nearest {
                nearest = stress / part.strength.mpa();
                judged.stress = Stress::computed_mpa(stress);
                judged.strength = part.strength;
            }
        }
        let worse = Strain::computed_ratio((-driest.ratio()).max(wettest.ratio()).max(0.0));
        judged.end_shear = self.lag.end_shear(glued, worse);
        judged.end_shear_share = self.lag.end_shear_mean(glued, worse).mpa() * RELAXED_SHARE
            / (ROLLING_SHEAR_SHARE * self.shear_strength.mpa());
        judged.cup = self.cup_over(glued, worse);
        judged
    }
}

/// How much of a board moves with a band of it that is glued over a length, over the band; `reach` is how far the board
/// goes in the direction of the band.
#[must_use]
pub fn moves_with(band: Length, reach: Length, glued: Length) -> f64 {
    let beside = ((reach - band) / 2.0).min((glued - band) * MOVES_BESIDE);
    1.0 + 2.0 * (beside / band).max(0.0)
}

/// The verdict of a cup over a glued length.
#[must_use]
pub fn cup_verdict(cup: Length, glued: Length) -> Verdict {
    let marginal = (glued / CUP_MARGINAL).max(Length::from_mm_unchecked(CUP_IGNORED_MM));
    let fails = (glued / CUP_FAILS).max(Length::from_mm_unchecked(CUP_IGNORED_MM));
    Verdict::of_demand(cup.mm(), marginal.mm(), fails.mm())
}

impl BondJudgement {
    /// Chance that the wood splits, percent.
    #[must_use]
    pub const fn split_chance_percent(&self) -> f64 {
        self.split.chance().percent()
    }

    /// Whether the wood is crushed across its grain so far that part of it stays.
    #[must_use]
    pub fn takes_set(&self) -> bool {
        self.compression.ratio() > SET_STRAIN
    }

    /// The set that stays of a glued length, which opens as a gap or a check in the next dry season: what is pressed
    /// beyond [`SET_STRAIN`].
    #[must_use]
    pub fn set_over(&self, glued: Length) -> Length {
        glued * (self.compression.ratio() - SET_STRAIN).max(0.0)
    }
}

/// A slot for a screw at `from_fixed` from the point that is held: its length and where the screw sits in it today.
///
/// The slot is in the part that holds (a cleat) and the screw fast in the part that moves, so that the dry end is the one
/// toward the fixed point. In a slot of the moving part it is the other end.
///
/// Length = `x (e_wet - e_dry)` + screw diameter + margin; from the slot's dry end the screw sits at
/// `(e_today - e_dry)/(e_wet - e_dry)` of the travel. With strains counted from today `e_today` is 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// Length of the slot.
    pub length: Length,
    /// Room for the screw to travel between the driest and the wettest.
    pub travel: Length,
    /// From the dry end of the slot, where the screw sits in the driest time, to the screw's centre today.
    pub screw_from_dry_end: Length,
}

impl Slot {
    /// The slot for a screw so far from the fixed point, for the strains of the driest and the wettest time counted from today;
    /// `margin` is the clearance at both its ends together.
    #[must_use]
    pub fn new(
        from_fixed: Length,
        driest: Strain,
        wettest: Strain,
        screw: Length,
        margin: Length,
    ) -> Self {
        let travel = from_fixed.abs() * (wettest.ratio() - driest.ratio()).max(0.0);
        let today = from_fixed.abs() * (-driest.ratio()).max(0.0);
        Self {
            length: travel + screw + margin,
            travel,
            screw_from_dry_end: today.min(travel) + (screw + margin) / 2.0,
        }
    }
}
