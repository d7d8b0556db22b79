//! What is locked in a board before anything is measured: the prior by drying
//! history.
//!
//! All numbers are judgement, in millionths of strain in the surface layer with the
//! shell in compression positive, once the moisture has evened out. They are
//! held against the published scale:
//!
//! - acceptance of conditioned stock, a piece 8 in wide and 24 to 30 in long ripped in two
//!   whose gap is not above a few thousandths of an inch: about 75 (read in a cited text);
//! - a gap of 1/32 in in the same piece: 578; extremes reach 1600 and more.
//!
//! Growth stress is nearly all spent at the first sawing (Kuebler 1959, from
//! memory), so what is left is mainly drying set. The prior is heavy-tailed: of five
//! boards one is drawn from a spread three times as wide.

use crate::units::notation::{NotationError, one_of};
use crate::units::spanned::ReadNotation;

/// Strain across each half at which conditioned stock still passes, millionths.
pub const ACCEPTANCE_MICROSTRAIN: f64 = 75.0;

/// Share of boards in the wide part of the prior.
pub const WIDE_SHARE: f64 = 0.2;
/// How many times wider that part is.
pub const WIDE_FACTOR: f64 = 3.0;
/// Locked-in strain across the grain over that along it: drying stress is a few times smaller across
/// the grain, and the wood there fifteen to twenty times less stiff (judgement).
pub const ACROSS_FACTOR: f64 = 10.0;
/// Spread of the lop-sided strain `c`, millionths along the grain (judgement).
pub const LOPSIDED_SPREAD_MICROSTRAIN: f64 = 60.0;
/// How alike the boards of one pack are: correlation of `a` between two of them (judgement).
pub const PACK_ALIKE: f64 = 0.5;
/// The same for `c`, which comes from each board's own place in the tree (judgement).
pub const PACK_ALIKE_LOPSIDED: f64 = 0.2;
/// How far one test piece is off its board, one standard deviation as a share of the strain it shows: within a quarter of it,
/// nine times in ten (judgement). It is the spread of a given strain, and of a strip beside the errors of its readings.
pub const GIVEN_SPREAD: f64 = 0.15;
/// Its minimum, millionths (judgement).
pub const GIVEN_SPREAD_MIN_MICROSTRAIN: f64 = 10.0;

/// Which way a strain bends a leaf.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bend {
    /// Strain along the grain: bow.
    Along,
    /// Strain across the grain: cup.
    Across,
}

/// How a board was dried.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Drying {
    /// Kiln dried, then conditioned: the casehardening was steamed out.
    KilnConditioned,
    /// Kiln dried and not conditioned.
    KilnUnconditioned,
    /// Kiln dried, conditioning unknown.
    Kiln,
    /// Air dried first, finished in a kiln.
    AirThenKiln,
    /// Air dried only.
    Air,
    /// Dried in a dehumidifying kiln, which cannot steam.
    Dehumidifier,
    /// Dried in a solar kiln, whose damp nights relieve it.
    Solar,
    /// Dried in a vacuum kiln.
    Vacuum,
    /// Nothing known.
    #[default]
    Unknown,
}

/// The prior of `a` along the grain, millionths, moisture evened out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryingPrior {
    /// Middle.
    pub middle_microstrain: f64,
    /// Spread of four boards in five.
    pub spread_microstrain: f64,
}

impl Drying {
    /// Every history, in the order of the table.
    pub const ALL: [Self; 9] = [
        Self::KilnConditioned,
        Self::KilnUnconditioned,
        Self::Kiln,
        Self::AirThenKiln,
        Self::Air,
        Self::Dehumidifier,
        Self::Solar,
        Self::Vacuum,
        Self::Unknown,
    ];

    /// What a maker calls it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::KilnConditioned => "kiln dried, conditioned",
            Self::KilnUnconditioned => "kiln dried, unconditioned",
            Self::Kiln => "kiln dried",
            Self::AirThenKiln => "air dried, then kiln dried",
            Self::Air => "air dried",
            Self::Dehumidifier => "dehumidifier dried",
            Self::Solar => "solar dried",
            Self::Vacuum => "vacuum dried",
            Self::Unknown => "unknown",
        }
    }

    /// The prior of `a` along the grain (judgement).
    #[must_use]
    pub const fn prior(self) -> DryingPrior {
        let (middle_microstrain, spread_microstrain) = match self {
            Self::KilnConditioned => (50.0, 75.0),
            Self::KilnUnconditioned => (450.0, 300.0),
            Self::Kiln => (250.0, 300.0),
            Self::AirThenKiln => (200.0, 200.0),
            Self::Air => (100.0, 120.0),
            Self::Dehumidifier => (350.0, 250.0),
            Self::Solar => (40.0, 80.0),
            Self::Vacuum => (150.0, 250.0),
            Self::Unknown => (200.0, 350.0),
        };
        DryingPrior {
            middle_microstrain,
            spread_microstrain,
        }
    }
}

impl ReadNotation for Drying {
    const WHAT: &'static str = "a drying history such as \"kiln dried, unconditioned\"";

    fn read(text: &str) -> Result<Self, NotationError> {
        let tidy = text.replace(',', " ");
        let tidy = tidy.split_whitespace().collect::<Vec<_>>().join(" ");
        one_of(
            &tidy,
            "a drying history",
            &[
                ("kiln dried conditioned", Self::KilnConditioned),
                ("kiln dried and conditioned", Self::KilnConditioned),
                ("kiln dried unconditioned", Self::KilnUnconditioned),
                ("kiln dried not conditioned", Self::KilnUnconditioned),
                ("kiln dried", Self::Kiln),
                ("air dried then kiln dried", Self::AirThenKiln),
                ("air dried", Self::Air),
                ("dehumidifier dried", Self::Dehumidifier),
                ("solar dried", Self::Solar),
                ("vacuum dried", Self::Vacuum),
                ("unknown", Self::Unknown),
            ],
        )
    }
}
