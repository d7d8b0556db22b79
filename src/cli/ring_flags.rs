//! The flags that tell a board's rings, shared by the commands that take a board.

use super::Failure;
use crate::movement::{GivenRings, Rings, Sawn};
use crate::species::Named;
use crate::units::notation::RingAngles;
use crate::units::spanned::ReadNotation;
use crate::units::{Bounds, Length};

/// The ways to tell the rings, for help and errors.
pub(super) const WAYS: &str = "tell the rings in one of these ways, whichever the end grain shows:\n  \
     --sawn flat|rift|quarter                       only how it was sawn: for the width, not for the cup\n  \
     --pith-depth 100mm [--pith-offset -20mm]       heart-side face square down to the pith\n  \
     --ring-rise 12mm --ring-chord 90mm             one ring's arc; also --ring-crown, --ring-centre\n  \
     --ring-radius 110mm                            one ring by a printed arc; also --ring-crown, --ring-centre\n  \
     --ring-angles \"-100mm:20deg,100mm:-18deg\"      the rings' angle at two or more places";

/// Where the rings are; the section is seen bark side up.
#[derive(Debug, Default, clap::Args)]
#[command(next_help_heading = "Rings (give them in one way)")]
pub(super) struct RingFlags {
    /// How the board was sawn: flat, rift or quarter. For the width; the cup is then not known.
    #[arg(long, value_name = "WAY")]
    sawn: Option<String>,
    /// From the heart-side face square to the pith.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pith_depth: Option<String>,
    /// From the centre line to the pith, positive to the right.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pith_offset: Option<String>,
    /// Rise of one ring's arc over a chord.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    ring_rise: Option<String>,
    /// The chord of that arc.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    ring_chord: Option<String>,
    /// Radius of one ring, by a printed arc laid on the end grain.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    ring_radius: Option<String>,
    /// Height of that ring's crown above the heart face; mid-thickness unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    ring_crown: Option<String>,
    /// Place of that crown along the width; the centre line unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    ring_centre: Option<String>,
    /// Places from the centre line and the rings' angle there, positive rising to the right.
    #[arg(long, value_name = "PLACE:ANGLE,...", allow_hyphen_values = true)]
    ring_angles: Option<String>,
}

/// Reads one flag's value.
///
/// # Errors
/// [`Failure`] that names the flag, the reason and what to write.
pub(super) fn read<T: ReadNotation>(flag: &str, text: &str) -> Result<T, Failure> {
    T::read(text).map_err(|error| Failure::input(format!("error: --{flag} {error}")))
}

/// Reads one flag's value when it was given.
///
/// # Errors
/// As [`read`].
pub(super) fn read_optional<T: ReadNotation>(
    flag: &str,
    text: Option<&String>,
) -> Result<Option<T>, Failure> {
    text.map(|text| read(flag, text)).transpose()
}

/// Reads a length and checks it against a narrower row of the range table.
///
/// # Errors
/// [`Failure`] that names the flag, the reason and what to write.
pub(super) fn read_length(flag: &str, text: &str, bounds: Bounds) -> Result<Length, Failure> {
    read::<Length>(flag, text)?
        .within(bounds)
        .map_err(|error| Failure::input(format!("error: --{flag} `{text}`: {error}")))
}

impl RingFlags {
    /// What the flags give, else the words beside the wood's name or, for a sheet, its plane; else nothing.
    ///
    /// # Errors
    /// [`Failure`] when the flags give the rings in two ways, or a value cannot be read.
    pub(super) fn given_or(&self, wood: &Named<'_>) -> Result<GivenRings, Failure> {
        let beside = wood
            .sawn
            .or_else(|| wood.species.sheet().map(|_| Sawn::Flat));
        match beside {
            Some(sawn) if !self.is_given() => Ok(GivenRings::Sawn(sawn)),
            None if !self.is_given() => Ok(GivenRings::NotGiven),
            _ => self.read(),
        }
    }

    /// The same, and flat-sawn where nothing tells them.
    ///
    /// # Errors
    /// [`Failure`] when a value cannot be read.
    pub(super) fn rings_or_flat(
        &self,
        width: Length,
        thickness: Length,
        wood: &Named<'_>,
    ) -> Result<Rings, Failure> {
        if self.is_given() {
            self.rings(width, thickness)
        } else {
            Ok(wood.sawn.unwrap_or(Sawn::Flat).rings())
        }
    }

    fn ways(&self) -> [(&'static str, bool); 5] {
        [
            ("--sawn", self.sawn.is_some()),
            (
                "--pith-depth",
                self.pith_depth.is_some() || self.pith_offset.is_some(),
            ),
            (
                "--ring-rise",
                self.ring_rise.is_some() || self.ring_chord.is_some(),
            ),
            ("--ring-radius", self.ring_radius.is_some()),
            ("--ring-angles", self.ring_angles.is_some()),
        ]
    }

    /// Whether any way of telling the rings was taken.
    #[must_use]
    pub(super) fn is_given(&self) -> bool {
        self.ways().iter().any(|(_, given)| *given)
            || self.ring_crown.is_some()
            || self.ring_centre.is_some()
    }

    /// What the flags tell.
    ///
    /// # Errors
    /// [`Failure`] when no way or more than one way was taken, or a value cannot be read.
    pub(super) fn read(&self) -> Result<GivenRings, Failure> {
        let taken: Vec<&str> = self
            .ways()
            .into_iter()
            .filter_map(|(flag, given)| given.then_some(flag))
            .collect();
        let one_ring = taken.contains(&"--ring-rise") || taken.contains(&"--ring-radius");
        match taken.as_slice() {
            [] => {
                return Err(Failure::input(format!(
                    "error: the rings are not given, and movement depends on them; {WAYS}"
                )));
            }
            [_] => {}
            [first, second, ..] => {
                return Err(Failure::input(format!(
                    "error: {first} and {second} both give the rings; {WAYS}"
                )));
            }
        }
        if !one_ring && (self.ring_crown.is_some() || self.ring_centre.is_some()) {
            return Err(Failure::input(format!(
                "error: --ring-crown and --ring-centre belong to one ring, not to {}; leave them out, or {WAYS}",
                taken[0]
            )));
        }
        let crown = read_optional("ring-crown", self.ring_crown.as_ref())?;
        let centre = read_optional("ring-centre", self.ring_centre.as_ref())?;
        if let Some(text) = &self.sawn {
            return read::<Sawn>("sawn", text).map(GivenRings::Sawn);
        }
        if let Some(text) = &self.ring_angles {
            let RingAngles(angles) = read("ring-angles", text)?;
            return Ok(GivenRings::RingAngles(angles));
        }
        if let Some(text) = &self.ring_radius {
            return Ok(GivenRings::RingRadius {
                radius: read_length("ring-radius", text, Bounds::RING_RADIUS)?,
                crown,
                centre,
            });
        }
        if let (Some(rise), Some(chord)) = (&self.ring_rise, &self.ring_chord) {
            return Ok(GivenRings::RingRise {
                rise: read("ring-rise", rise)?,
                chord: read("ring-chord", chord)?,
                crown,
                centre,
            });
        }
        if let Some(depth) = &self.pith_depth {
            return Ok(GivenRings::Pith {
                depth: read_length("pith-depth", depth, Bounds::PITH_DEPTH)?,
                offset: read_optional("pith-offset", self.pith_offset.as_ref())?
                    .unwrap_or(Length::ZERO),
            });
        }
        let missing = if taken[0] == "--pith-depth" {
            "--pith-offset needs --pith-depth beside it"
        } else {
            "a ring's arc needs both --ring-rise and --ring-chord"
        };
        Err(Failure::input(format!("error: {missing}; {WAYS}")))
    }

    /// The rings of a board of this size.
    ///
    /// # Errors
    /// [`Failure`] as [`Self::read`], and when what was given is no ring.
    pub(super) fn rings(&self, width: Length, thickness: Length) -> Result<Rings, Failure> {
        located(&self.read()?, width, thickness)
    }
}

/// Where the rings of a board of this size are.
///
/// # Errors
/// [`Failure`] when what was given is no ring of such a board.
pub(super) fn located(
    given: &GivenRings,
    width: Length,
    thickness: Length,
) -> Result<Rings, Failure> {
    given
        .rings(width, thickness)
        .map_err(|error| Failure::input(format!("error: the rings: {error}")))
}
