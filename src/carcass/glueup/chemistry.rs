//! Open times of glues by their chemistry.

use crate::units::{Duration, Temperature};

/// The temperature the times are given for.
pub const REFERENCE_CELSIUS: f64 = 20.0;

/// A range of times with what is known about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeRange {
    /// The lesser, which plans use.
    pub min: Duration,
    /// The greater.
    pub most: Duration,
    /// `memory` or `judgement`; the maker's own number comes before any of them.
    pub status: &'static str,
}

/// A glue by its chemistry. No product is meant: within a chemistry they differ
/// by more than the ranges, and the maker's own number comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum GlueKind {
    /// Polyvinyl acetate, white.
    WhitePva,
    /// Aliphatic resin, the quick yellow kind of polyvinyl acetate.
    YellowPva,
    /// Polyvinyl acetate with a retarder.
    SlowPva,
    /// Cross-linking, water-resistant polyvinyl acetate.
    CrossLinkedPva,
    /// Hide glue, hot.
    HotHide,
    /// Hide glue kept liquid.
    LiquidHide,
    /// Casein, mixed from powder.
    Casein,
    /// Urea-formaldehyde, mixed from powder.
    UreaFormaldehyde,
    /// Resorcinol-formaldehyde, two parts.
    Resorcinol,
    /// Moisture-curing polyurethane.
    Polyurethane,
    /// Quick two-part epoxy.
    QuickEpoxy,
    /// Slow two-part epoxy.
    SlowEpoxy,
}

impl GlueKind {
    /// All kinds with the words a job file tells them by.
    pub const WORDS: &'static [(&'static str, GlueKind)] = &[
        ("white PVA", Self::WhitePva),
        ("yellow PVA", Self::YellowPva),
        ("slow PVA", Self::SlowPva),
        ("cross-linked PVA", Self::CrossLinkedPva),
        ("hot hide", Self::HotHide),
        ("liquid hide", Self::LiquidHide),
        ("casein", Self::Casein),
        ("urea-formaldehyde", Self::UreaFormaldehyde),
        ("resorcinol", Self::Resorcinol),
        ("polyurethane", Self::Polyurethane),
        ("quick epoxy", Self::QuickEpoxy),
        ("slow epoxy", Self::SlowEpoxy),
        ("aliphatic", Self::YellowPva),
        ("PVA", Self::WhitePva),
        ("hide", Self::HotHide),
        ("urea", Self::UreaFormaldehyde),
        ("epoxy", Self::SlowEpoxy),
    ];

    /// What the trade calls it.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS
            .iter()
            .find(|(_, kind)| *kind == self)
            .map_or("glue", |(word, _)| word)
    }

    /// Time from the first spreading to the last clamp at 20 C, all from memory of
    /// makers' sheets or judgement.
    #[must_use]
    pub fn assembly_time(self) -> TimeRange {
        let (min, most, status) = match self {
            Self::WhitePva => (8.0, 15.0, "memory"),
            Self::YellowPva => (5.0, 10.0, "memory"),
            Self::SlowPva => (15.0, 25.0, "memory"),
            Self::CrossLinkedPva => (5.0, 10.0, "memory"),
            Self::HotHide => (1.0, 2.0, "judgement"),
            Self::LiquidHide => (10.0, 20.0, "memory"),
            Self::Casein => (10.0, 20.0, "memory"),
            Self::UreaFormaldehyde => (15.0, 30.0, "memory"),
            Self::Resorcinol => (20.0, 45.0, "memory"),
            Self::Polyurethane => (15.0, 25.0, "memory"),
            Self::QuickEpoxy => (3.0, 5.0, "memory"),
            Self::SlowEpoxy => (30.0, 90.0, "memory"),
        };
        TimeRange {
            min: Duration::computed_seconds(60.0 * min),
            most: Duration::computed_seconds(60.0 * most),
            status,
        }
    }

    /// Lowest temperature it sets at, where there is one worth a warning (from memory).
    #[must_use]
    pub fn coldest(self) -> Option<Temperature> {
        let celsius = match self {
            Self::WhitePva | Self::YellowPva | Self::SlowPva | Self::CrossLinkedPva => 10.0,
            Self::UreaFormaldehyde | Self::Resorcinol => 20.0,
            Self::LiquidHide | Self::QuickEpoxy | Self::SlowEpoxy => 10.0,
            Self::HotHide | Self::Casein | Self::Polyurethane => return None,
        };
        Some(Temperature::computed_celsius(celsius))
    }

    /// The kinds, quickest first.
    #[must_use]
    pub fn all() -> Vec<Self> {
        let mut kinds: Vec<Self> = Vec::new();
        for (_, kind) in Self::WORDS {
            if !kinds.contains(kind) {
                kinds.push(*kind);
            }
        }
        kinds.sort_by(|a, b| {
            let seconds = |kind: &Self| kind.assembly_time().min.seconds();
            seconds(a).total_cmp(&seconds(b))
        });
        kinds
    }
}

/// How much longer a glue stays open than at 20 C: doubled for every 10 C
/// colder, halved for every 10 C warmer, at most fourfold (judgement).
#[must_use]
pub(super) fn warmth_factor(temperature: Temperature) -> f64 {
    libm::pow(2.0_f64, (REFERENCE_CELSIUS - temperature.celsius()) / 10.0).clamp(0.25, 4.0)
}
