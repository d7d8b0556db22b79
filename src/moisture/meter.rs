//! What a moisture meter's reading says of the whole board.

use super::profile::Profile;
use crate::units::MoistureContent;

/// How a board was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reading {
    /// One reading, or one of a pinless meter: taken as the mean, nothing known of the core.
    Single(MoistureContent),
    /// Insulated pins driven 0.21 of the thickness deep, and to the middle.
    MeanAndCore {
        /// At 0.21 of the thickness.
        mean: MoistureContent,
        /// In the middle of the thickness.
        core: MoistureContent,
    },
    /// Just under the face, and in the middle.
    ShellAndCore {
        /// Just under the face.
        shell: MoistureContent,
        /// In the middle of the thickness.
        core: MoistureContent,
    },
}

impl Reading {
    /// Mean moisture through the thickness: of a parabola, two thirds of the core and one third of the shell.
    #[must_use]
    pub fn mean(self) -> MoistureContent {
        match self {
            Self::Single(mean) | Self::MeanAndCore { mean, .. } => mean,
            Self::ShellAndCore { shell, core } => core * (2.0 / 3.0) + shell / 3.0,
        }
    }

    /// How much wetter the core is than the shell, `M_core - M_shell = 3 (M_core - M_mean)`
    /// of a parabola; `None` when one reading cannot tell.
    #[must_use]
    pub fn core_minus_shell(self) -> Option<MoistureContent> {
        match self {
            Self::Single(_) => None,
            Self::MeanAndCore { mean, core } => Some((core - mean) * 3.0),
            Self::ShellAndCore { shell, core } => Some(core - shell),
        }
    }

    /// The moisture through the thickness that the reading tells: a parabola, or
    /// uniform where one reading cannot tell.
    #[must_use]
    pub fn profile(self) -> Profile {
        Profile::parabola(
            self.mean(),
            self.core_minus_shell().unwrap_or(MoistureContent::ZERO),
        )
    }

    /// What to tell a maker about the reading.
    #[must_use]
    pub const fn caution(self) -> Option<&'static str> {
        match self {
            Self::Single(_) => Some(
                "one reading is taken as the mean: whether the core is wetter than the shell is \
                 unknown; read with insulated pins at a fifth of the thickness and in the middle",
            ),
            _ => None,
        }
    }
}
