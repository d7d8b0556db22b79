//! The bond: two parts glued or fixed along a line, wanting different strains.
//!
//! Shear-lag (both plies held flat): ply A wants the strain `de` more than ply
//! B along a glued line of length `W`. With
//! `c = t_A/(3 G_A) + t_B/(3 G_B) + glue` and
//! `lambda^2 = (1/c) (1/(E_A t_A) + 1/(E_B t_B))` the strain held back at the
//! middle of ply A is `de (1 - 1/cosh(lambda W/2)) E_B t_B/(E_A t_A + E_B t_B)`
//! and the shear at the ends `N_inf lambda tanh(lambda W/2)`. Plane
//! finite elements hold 7-12 % less at 75 mm for 19 mm oak on 19 mm maple and as much
//! more for a 28 mm board of soft pine, and agree within 2.5 % from 150 mm on (the figures
//! stand in the tests). Free to bend instead of held flat, the middle
//! holds about half as much, and the pair cups.
//!
//! The other season presses the wood. Beyond 0.5-1 % part of that stays as a set
//! ([`SET_STRAIN`], the lower end; the book named below), shows as a gap and adds to the
//! shrinkage of the next dry season: wood pressed in a wet summer splits in winter.
//!
//! Slow drying relaxes stress; the first verdict takes half of it away
//! ([`RELAXED_SHARE`], judgement). What is left is held against the strain at
//! which wood fails across the grain: rupture from 0.009 at 35-65 % relative
//! humidity (*The Structural Conservation of Panel Paintings*, Getty
//! Conservation Institute, 1998), its spread 25 % (Wood Handbook Table 5-6,
//! tension across the grain). "From" is taken as the middle, on the safe side. Both
//! published experiences come out of it: oak of old panels, riven on the radius (from memory),
//! practically never splits for a loss of 3-4 %, and rigid flat-sawn red-oak panels glued at
//! 10-11 % do in houses at 6 %.
//!
//! Less wood under stress is stronger by `(V0/V)^0.2` (exponent seen in ISO 13910; `V0` = 0.01
//! m3 of EN 1995, from memory). The wood under stress is the patch and, beside it along the
//! grain, what the patch drags with it: in a plane board of shear stiffness `G_LT` and cross
//! stiffness `E_T` a displacement over the width `W` dies away as
//! `exp(-x pi/W sqrt(E_T/G_LT))`, within about a third of the width on either side.

use super::part::Axis;
use crate::species::Species;
use crate::units::{Length, Strain, Stress};
use statrs::distribution::{ContinuousCDF, Normal};

/// Share of the elastic stress that slow drying leaves: judgement, about half within weeks to months.
pub const RELAXED_SHARE: f64 = 0.5;
/// Strain across the grain at which wood ruptures, middle of its spread.
pub const RUPTURE_STRAIN: f64 = 0.009;
/// Strain across the grain at which wood yields.
pub const YIELD_STRAIN: f64 = 0.004;
/// Coefficient of variation of strength across the grain.
pub const STRENGTH_COV: f64 = 0.25;
/// Compression across the grain beyond which part of the strain stays as a set: the lower end of 0.5-1 % (the Getty book below).
pub const SET_STRAIN: f64 = 0.005;
/// Volume at which [`RUPTURE_STRAIN`] holds, m3.
pub const REFERENCE_VOLUME_M3: f64 = 0.01;
/// Exponent of the size effect.
pub const SIZE_EXPONENT: f64 = 0.2;
/// Rolling shear strength over shear strength along the grain: the middle of 18-28 % (Wood Handbook ch. 5, from memory).
pub const ROLLING_SHEAR_SHARE: f64 = 0.23;
/// A glued design holds while its chance of splitting is no greater, percent.
pub const SPLIT_HOLDS_PERCENT: f64 = 5.0;
/// Beyond this chance of splitting, percent, it is to be redone.
pub const SPLIT_FAILS_PERCENT: f64 = 30.0;
/// Length at each end of a glued line over which its shear is averaged before it is held against a strength that was itself
/// measured as a mean over some 50 mm (the shear block of ASTM D143, from memory): half of that, judgement.
pub const SHEAR_MEAN_MM: f64 = 25.0;
/// Width of the wood on either side of a glued patch that is stretched with it, over the length of the line:
/// `sqrt(G_LT/E_T)/pi`, which is about a third for most woods.
pub const STRETCHED_BESIDE: f64 = 1.0 / 3.0;
/// The shortest glued middle worth telling.
pub const SHORTEST_GLUE_MM: f64 = 15.0;

/// One of the two parts of a bond, in the directions that count along the glued line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ply {
    /// Square to the glue.
    pub thickness: Length,
    /// Stiffness along the glued line.
    pub modulus: Stress,
    /// Shear stiffness in the plane of the line and the thickness: rolling shear for the part glued across its grain.
    pub shear_modulus: Stress,
}

impl Ply {
    /// A part's ply in a bond whose line runs along `axis`, from the values of its wood; `thickness` is its extent
    /// along `square`, the axis square to the glue. `ring_angle_degrees` is the rings' angle to the face, for
    /// lines across the grain.
    ///
    /// Shear in a plane that holds the grain is that of the wood along the grain (`G_LT`); only glue on a broad face
    /// across the grain rolls it (`G_RT`).
    #[must_use]
    pub fn of(
        wood: &Species,
        axis: Axis,
        square: Axis,
        ring_angle_degrees: f64,
        thickness: Length,
    ) -> Self {
        let mpa = Stress::computed_mpa;
        let rolling = mpa(wood.shear_modulus_rt_mpa().value);
        let across = |angle: f64| {
            modulus_across(
                mpa(wood.modulus_across_mpa().value),
                mpa(wood.modulus_radial_mpa().value),
                rolling,
                angle,
            )
        };
        let modulus = match axis {
            Axis::Length => mpa(wood.modulus_mpa().value),
            Axis::Width => across(ring_angle_degrees),
            Axis::Thickness => across(90.0 - ring_angle_degrees),
        };
        let shear_modulus = if axis == Axis::Length || square == Axis::Length {
            mpa(wood.shear_modulus_lt_mpa().value)
        } else {
            rolling
        };
        Self {
            thickness,
            modulus,
            shear_modulus,
        }
    }

    /// The rules that stand in for figures the wood's tables do not have, in words for a maker.
    #[must_use]
    pub fn rules_used(wood: &Species, axis: Axis) -> Vec<&'static str> {
        let values = match axis {
            Axis::Length => vec![wood.modulus_mpa(), wood.shear_modulus_lt_mpa()],
            Axis::Width | Axis::Thickness => vec![
                wood.modulus_across_mpa(),
                wood.modulus_radial_mpa(),
                wood.shear_modulus_rt_mpa(),
                wood.shear_strength_mpa(),
            ],
        };
        values.into_iter().filter_map(|value| value.rule).collect()
    }
}

/// The shear-lag solution of a pair of plies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShearLag {
    lambda_per_mm: f64,
    share_b: f64,
    force_per_strain: f64,
    /// Stiffness along the line of either ply, N/mm.
    stiff: [f64; 2],
    /// What either ply yields in shear, mm/MPa, and the glue.
    yielding: [f64; 3],
}

impl ShearLag {
    /// Ply A, ply B, and the compliance of the glue itself in mm/MPa (0 for a thin hard line).
    #[must_use]
    pub fn new(a: Ply, b: Ply, glue_mm_per_mpa: f64) -> Self {
        let stiff = |ply: Ply| ply.modulus.mpa() * ply.thickness.mm();
        let yielding = |ply: Ply| ply.thickness.mm() / (3.0 * ply.shear_modulus.mpa());
        Self::of(
            [stiff(a), stiff(b)],
            [yielding(a), yielding(b), glue_mm_per_mpa],
        )
    }

    fn of(stiff: [f64; 2], yielding: [f64; 3]) -> Self {
        let [a, b] = stiff;
        let compliance: f64 = yielding.iter().sum();
        Self {
            lambda_per_mm: ((1.0 / a + 1.0 / b) / compliance).sqrt(),
            share_b: b / (a + b),
            force_per_strain: 1.0 / (1.0 / a + 1.0 / b),
            stiff,
            yielding,
        }
    }

    /// The same pair with every stiffness of ply A and of ply B multiplied by a factor: other boards of the same woods.
    #[must_use]
    pub fn stiffer(&self, [a, b]: [f64; 2]) -> Self {
        let [stiff_a, stiff_b] = self.stiff;
        let [yields_a, yields_b, glue] = self.yielding;
        Self::of(
            [a * stiff_a, b * stiff_b],
            [yields_a / a, yields_b / b, glue],
        )
    }

    /// Share of the wanted difference that is held back at the middle of ply A, before relaxation: 0 for no width, never over 1.
    #[must_use]
    pub fn held_fraction(&self, width: Length) -> f64 {
        (1.0 - 1.0 / (self.lambda_per_mm * width.mm() / 2.0).cosh()) * self.share_b
    }

    /// The same share for ply B, which is held the other way.
    #[must_use]
    pub fn held_fraction_b(&self, width: Length) -> f64 {
        (1.0 - 1.0 / (self.lambda_per_mm * width.mm() / 2.0).cosh()) * (1.0 - self.share_b)
    }

    /// Shear at the ends of the glued line for a wanted difference, before relaxation.
    #[must_use]
    pub fn end_shear(&self, width: Length, difference: Strain) -> Stress {
        let x = self.lambda_per_mm * width.mm() / 2.0;
        Stress::computed_mpa(
            self.force_per_strain * difference.ratio().abs() * self.lambda_per_mm * x.tanh(),
        )
    }

    /// The same shear as a mean over [`SHEAR_MEAN_MM`] at each end, or over half of a shorter line: the force that has
    /// gone over by then, `N_inf (1 - cosh(lambda (W/2 - d))/cosh(lambda W/2))`, over `d`.
    #[must_use]
    pub fn end_shear_mean(&self, width: Length, difference: Strain) -> Stress {
        let half = width.mm() / 2.0;
        let over = SHEAR_MEAN_MM.min(half);
        if over <= 0.0 {
            return Stress::ZERO;
        }
        let lambda = self.lambda_per_mm;
        // cosh(lambda (half - over))/cosh(lambda half), written so that it does not overflow
        let decay = |x: f64| (-lambda * x).exp();
        let inside = decay(over) * (1.0 + decay(2.0 * (half - over))) / (1.0 + decay(2.0 * half));
        Stress::computed_mpa(
            self.force_per_strain * difference.ratio().abs() * (1.0 - inside) / over,
        )
    }
}

/// Stiffness across the grain for rings at an angle to the line: tangential at 0, radial at 90 degrees, softest between.
///
/// `1/E = c^4/E_T + s^4/E_R + c^2 s^2 (1/G_RT - 2 nu/E_T)` (rotation of the plane
/// compliance; `nu` = 0.35, the usual size of nu_TR in Wood Handbook Table 5-2, from memory).
#[must_use]
pub fn modulus_across(
    tangential: Stress,
    radial: Stress,
    rolling_shear: Stress,
    ring_angle_degrees: f64,
) -> Stress {
    const NU_TR: f64 = 0.35;
    let (s, c) = ring_angle_degrees.to_radians().sin_cos();
    let (s2, c2) = (s * s, c * c);
    let compliance = c2 * c2 / tangential.mpa()
        + s2 * s2 / radial.mpa()
        + c2 * s2 * (1.0 / rolling_shear.mpa() - 2.0 * NU_TR / tangential.mpa());
    Stress::computed_mpa(1.0 / compliance.max(1.0 / radial.mpa().max(tangential.mpa())))
}

/// What a bond is made of: the plies, the length along which they are glued and the wood it stresses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BondLine {
    /// Ply A is the part that wants to move more: its width runs along the line.
    pub lag: ShearLag,
    /// Length of the glued line.
    pub width: Length,
    /// Extent of ply A square to the glue, for the wood under stress.
    pub thickness: Length,
    /// Extent of ply B square to the glue where the line runs across its grain too, so that it can split as well.
    pub across_b: Option<Length>,
    /// How far the glued patch reaches in the third direction; the width of the cleat, the thickness of the shelf.
    pub band: Length,
    /// How far ply A itself reaches in that direction, for the wood beside the patch that is stretched with it; the
    /// band where there is none.
    pub reach: Length,
    /// Shear strength along the grain of the wood that rolls: ply A's, or the weaker where both do.
    pub shear_strength: Stress,
    /// Coefficient of variation of the strength across the grain; [`STRENGTH_COV`] where nothing else is known.
    pub strength_cov: f64,
}

/// The judgement of a glued line of some length for one wanted difference on the dry and on the wet side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BondJudgement {
    /// Tension across the grain held at the middle, after relaxation, in the part that is worse off.
    pub tension: Strain,
    /// Compression across the grain held at the middle, before relaxation: what does not spring back is the set.
    pub compression: Strain,
    /// Whether the compression is that of ply B at the driest (held by a shrinking ply A), not that of ply A at the wettest.
    pub pressed_dry: bool,
    /// Shear at the very ends, the worse side, before relaxation.
    pub end_shear: Stress,
    /// Relaxed shear, as a mean over the last [`SHEAR_MEAN_MM`], over the middle of the rolling shear strength.
    pub end_shear_share: f64,
    /// Chance that the wood splits, percent.
    pub split_chance_percent: f64,
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

/// Chance in percent that wood held at a tension strain across the grain splits, for the volume under stress and the
/// coefficient of variation of its strength.
#[must_use]
pub fn split_chance_percent(tension: Strain, volume_m3: f64, strength_cov: f64) -> f64 {
    if tension.ratio() <= 0.0 {
        return 0.0;
    }
    // A strength that is known for sure is a spread of next to nothing.
    let sigma = (1.0 + strength_cov * strength_cov).ln().sqrt().max(1e-6);
    let middle = RUPTURE_STRAIN * (REFERENCE_VOLUME_M3 / volume_m3.max(1e-9)).powf(SIZE_EXPONENT);
    100.0 * Normal::standard().cdf((tension.ratio() / middle).ln() / sigma)
}

impl BondLine {
    /// The same line between other boards of the same woods: every stiffness of the moving and of the holding part
    /// multiplied by a factor.
    #[must_use]
    pub fn stiffer(&self, factors: [f64; 2]) -> Self {
        Self {
            lag: self.lag.stiffer(factors),
            ..*self
        }
    }

    /// Judges the line glued over `glued` of its length, for the strain ply A wants beyond
    /// ply B at its driest (negative: it shrinks when free) and at its wettest.
    #[must_use]
    pub fn judge(&self, glued: Length, driest: Strain, wettest: Strain) -> BondJudgement {
        let (held_a, held_b) = (
            self.lag.held_fraction(glued),
            self.across_b
                .map_or(0.0, |_| self.lag.held_fraction_b(glued)),
        );
        // Where A wants to be shorter than B it is stretched and B pressed, and the other way round.
        let (shorter, longer) = ((-driest.ratio()).max(0.0), wettest.ratio().max(0.0));
        let strain = Strain::computed_ratio;
        // What is pressed beyond the limit stays pressed, and is missing when the wood shrinks when free again.
        let set = |pressed: f64| (pressed - SET_STRAIN).max(0.0);
        let tension_a = strain((shorter * held_a + set(longer * held_a)) * RELAXED_SHARE);
        let tension_b = strain((longer * held_b + set(shorter * held_b)) * RELAXED_SHARE);
        let compression = strain((longer * held_a).max(shorter * held_b));
        let worse = strain(shorter.max(longer));
        let end_shear = self.lag.end_shear(glued, worse);
        let chance = |tension: Strain, extent: Length, band: Length| {
            let volume_m3 = extent.mm() * glued.mm() * band.mm() * 1e-9;
            split_chance_percent(tension, volume_m3, self.strength_cov) / 100.0
        };
        let stretched = (self.band + glued * (2.0 * STRETCHED_BESIDE))
            .min(self.reach)
            .max(self.band);
        let whole = (1.0 - chance(tension_a, self.thickness, stretched))
            * self
                .across_b
                .map_or(1.0, |extent| 1.0 - chance(tension_b, extent, self.band));
        BondJudgement {
            tension: tension_a.max(tension_b),
            compression,
            pressed_dry: shorter * held_b > longer * held_a,
            end_shear,
            end_shear_share: self.lag.end_shear_mean(glued, worse).mpa() * RELAXED_SHARE
                / (ROLLING_SHEAR_SHARE * self.shear_strength.mpa()),
            split_chance_percent: 100.0 * (1.0 - whole),
        }
    }

    /// The longest middle that may be glued: the chance of splitting stays within
    /// [`SPLIT_HOLDS_PERCENT`] and the relaxed end shear within the rolling shear strength. `None` when not even
    /// [`SHORTEST_GLUE_MM`] may be.
    #[must_use]
    pub fn longest_glue(&self, driest: Strain, wettest: Strain) -> Option<Length> {
        let holds = |mm: f64| {
            self.judge(Length::from_mm_unchecked(mm), driest, wettest)
                .holds()
        };
        let full = self.width.mm();
        if holds(full) {
            return Some(self.width);
        }
        let shortest = SHORTEST_GLUE_MM.min(full);
        if !holds(shortest) {
            return None;
        }
        let (mut low, mut high) = (shortest, full);
        for _ in 0..40 {
            let middle = (low + high) / 2.0;
            if holds(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(Length::from_mm_unchecked(low))
    }

    /// What to do, with the length to glue when it is the middle.
    #[must_use]
    pub fn advise(&self, driest: Strain, wettest: Strain) -> (Advice, Option<Length>) {
        match self.longest_glue(driest, wettest) {
            Some(length) if length >= self.width => (Advice::Glue, None),
            Some(length) => (Advice::GlueMiddle, Some(length)),
            None => (Advice::Float, None),
        }
    }
}

impl BondJudgement {
    /// Whether the line may be glued as it is.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.split_chance_percent <= SPLIT_HOLDS_PERCENT && self.end_shear_share <= 1.0
    }

    /// Whether the wood is likely enough to split that the joint is to be made another way.
    #[must_use]
    pub fn fails(&self) -> bool {
        self.split_chance_percent > SPLIT_FAILS_PERCENT
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
