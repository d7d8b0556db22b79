//! The test strip: rip it off the board's edge or use its off-cut, resaw it the
//! same way, put the halves back together and measure.

use super::belief::Seen;
use super::drying::Bend;
use super::error;
use super::locked_in::seen_curvature;
use super::plan::{ResawPlan, Slice};
use crate::units::notation::{NotationError, one_of};
use crate::units::spanned::ReadNotation;
use crate::units::{Curvature, Length, Refusal};

/// Error of a reading by feeler gauge or rule, one standard deviation, unless given (judgement).
pub const READING_ERROR: Length = Length::from_mm_unchecked(0.25);

/// When a strip or a leaf was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum WhenRead {
    /// Straight off the saw: what shows is stress.
    #[default]
    OffTheSaw,
    /// After its moisture evened out: what moisture adds shows too.
    Rested,
}

/// The readings of one test strip.
#[derive(Debug, Clone, PartialEq)]
pub struct TestStrip {
    /// Along: a long strip. Across: a slice sawn across the board, its length across the grain.
    pub bend: Bend,
    /// Length over which it was measured.
    pub length: Length,
    /// Thickness when it was split in two.
    pub thickness: Length,
    /// Thickness before it was planed, equally off both faces, since it was dried.
    pub planed_from: Option<Length>,
    /// Wood lost to its cut.
    pub kerf: Length,
    /// Gap at the middle of the two halves put back together, fresh faces inward; negative when they
    /// meet in the middle and gap at the ends, where the two gaps are alike.
    pub gap: Option<Length>,
    /// Bow of each half, that from the bark face first, positive when its fresh face is hollow.
    pub bows: Option<[Length; 2]>,
    /// When it was read.
    pub read: WhenRead,
    /// Standard deviation of a reading.
    pub error: Length,
}

/// Strips that no locked-in strain explains together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contradiction {
    /// What is left unexplained, in squares of the reading error.
    pub chi_square: f64,
    /// Readings beyond those needed.
    pub degrees: usize,
    /// What chance alone exceeds once in twenty times.
    pub limit: f64,
}

impl TestStrip {
    /// A long strip split in two straight off the saw, of which the gap was read.
    #[must_use]
    pub const fn of_gap(length: Length, thickness: Length, kerf: Length, gap: Length) -> Self {
        Self {
            bend: Bend::Along,
            length,
            thickness,
            planed_from: None,
            kerf,
            gap: Some(gap),
            bows: None,
            read: WhenRead::OffTheSaw,
            error: READING_ERROR,
        }
    }

    /// Its two halves, that from the bark face first. The locked-in strain is spread over the thickness the
    /// strip had when it was dried.
    ///
    /// # Errors
    /// [`Refusal`] when the kerf leaves nothing, or the strip was planed from less than it has.
    pub fn halves(&self) -> Result<[Slice; 2], Refusal> {
        let dried = self.planed_from.unwrap_or(self.thickness);
        let planed = (dried - self.thickness) / 2.0;
        if planed < Length::ZERO {
            return Err(error::strip_planed_up(self.thickness, dried));
        }
        let plan = ResawPlan {
            plane_bark: planed,
            plane_other: planed,
            ..ResawPlan::equal(2, self.kerf)
        };
        match plan.slices(dried).as_deref() {
            Ok(&[upper, lower]) => Ok([upper, lower]),
            _ => Err(error::strip_too_thin(self.kerf, self.thickness)),
        }
    }

    /// The readings as linear statements about the board's locked-in strain. `gap = (L^2/8) (kappa_1 - kappa_2)`:
    /// the lop-sided share bends both halves the same way and drops out of it, as does the bow the strip
    /// had before; each half's own bow shows both.
    pub(super) fn readings(&self, inherited: Curvature) -> Result<Vec<Seen>, Refusal> {
        if self.length.mm() < 10.0 {
            return Err(error::strip_length(self.length));
        }
        let [upper, lower] = self.halves()?;
        let rise = self.length.mm() * self.length.mm() / 8.0;
        let shallow = |reading: Length| {
            if reading.mm().abs() > self.length.mm() / 4.0 {
                Err(error::gap_too_wide(reading, self.length))
            } else {
                Ok(reading.mm())
            }
        };
        let mut readings = Vec::new();
        if let Some(gap) = self.gap {
            let one = seen_curvature(&upper, self.read, rise, 0.0, 0.0);
            let other = seen_curvature(&lower, self.read, -rise, 0.0, 0.0);
            let terms = one
                .terms
                .iter()
                .zip(&other.terms)
                .map(|(&(i, a), &(_, b))| (i, a + b))
                .collect();
            readings.push(Seen {
                terms,
                value: shallow(gap)?,
                error: self.error.mm(),
            });
        }
        if let Some(bows) = self.bows {
            for (half, bow) in [upper, lower].iter().zip(bows) {
                let factor = half.sawn_sign() * rise;
                let value = shallow(bow)? - factor * inherited.per_mm();
                readings.push(seen_curvature(
                    half,
                    self.read,
                    factor,
                    value,
                    self.error.mm(),
                ));
            }
        }
        if readings.is_empty() {
            return Err(error::strip_not_read());
        }
        Ok(readings)
    }

    /// Whether the strip can be cut and its readings mean something.
    ///
    /// # Errors
    /// [`Refusal`] that says what is wrong with it.
    pub fn check(&self) -> Result<(), Refusal> {
        self.readings(Curvature::ZERO).map(|_| ())
    }

    /// Gap that a strip of this size would show for a strain `a` at the cut: `2 (L^2/8) 12 zm/H^2 a`, which is
    /// `(L^2/4) 3 a (H + k)/H^2` for a strip that was not planed.
    ///
    /// # Errors
    /// As [`Self::halves`].
    pub fn gap_of(&self, surface_strain: f64) -> Result<Length, Refusal> {
        let [upper, lower] = self.halves()?;
        let rise = self.length.mm() * self.length.mm() / 8.0;
        Ok(Length::from_mm_unchecked(
            rise * surface_strain * (upper.bend_of_locked_in() - lower.bend_of_locked_in()),
        ))
    }

    /// The surface strain that a gap alone shows, without any prior: `kappa = 4 gap/L^2` for each half.
    ///
    /// # Errors
    /// As [`Self::halves`]; [`Refusal`] without a gap.
    pub fn strain_of_gap(&self) -> Result<f64, Refusal> {
        let gap = self.gap.ok_or_else(error::strip_not_read)?;
        Ok(gap.mm() / self.gap_of(1.0)?.mm())
    }
}

/// What to do to get a test strip, step by step.
pub const INSTRUCTIONS: [&str; 6] = [
    "Rip a strip about 25 mm (1 in) wide off one edge of the board, or use its off-cut; keep the full thickness. As long as you can spare: 600 mm (24 in) or more.",
    "Mark the face that is the board's bark face, and an arrow along the length.",
    "Resaw the strip through the middle of its thickness with the blade you will use for the board.",
    "At once, put the halves back together as they grew, fresh faces inward, and hold them together only where they touch. Read the gap: in the middle it counts positive; when they touch in the middle and gap at the ends, hold the ends alike and count it negative.",
    "Lay each half on a flat table and read its own bow too, positive when the fresh face is hollow: it shows a lop-sided board, which the gap cannot.",
    "Sticker the halves for some days and read them once more, distinguished as rested: the difference is what moisture adds.",
];

impl ReadNotation for WhenRead {
    const WHAT: &'static str = "when it was read: \"off the saw\" or \"rested\"";

    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a time of reading",
            &[
                ("off the saw", Self::OffTheSaw),
                ("rested", Self::Rested),
                ("after evening out", Self::Rested),
                ("evened out", Self::Rested),
            ],
        )
    }
}
