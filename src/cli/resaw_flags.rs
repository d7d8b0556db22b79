//! The flags of `heartside resaw` beyond the board's size, and what they mean.

use super::Failure;
use super::ring_flags::{read, read_length, read_optional};
use crate::air::AirState;
use crate::moisture::meter::Reading;
use crate::stock::{Bend, Lying, MeasuredLeaf, READING_ERROR, RestPlan, TestStrip, WhenRead};
use crate::units::notation::{Lengths, RoughThickness, Whole};
use crate::units::spanned::ReadNotation;
use crate::units::{Bounds, Length, Mass, MoistureContent, RelativeHumidity, Temperature};

#[derive(Debug, clap::Args)]
#[command(next_help_heading = "What is locked in the board")]
pub(super) struct Known {
    /// Strain locked in the surface layer along the grain, millionths; positive: shell in compression (casehardened).
    #[arg(long, value_name = "MICROSTRAIN", allow_hyphen_values = true)]
    pub(super) locked_in: Option<String>,
    /// The same across the grain, by a slice or prong test: it makes cup.
    #[arg(long, value_name = "MICROSTRAIN", allow_hyphen_values = true)]
    pub(super) locked_in_across: Option<String>,
    /// How the board was dried, such as "kiln dried, unconditioned".
    #[arg(long, value_name = "HISTORY")]
    pub(super) drying: Option<String>,
    /// Moisture by one reading, taken as the mean.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub(super) moisture: Option<String>,
    /// Moisture just under the face; with --core.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub(super) shell: Option<String>,
    /// Moisture in the middle of the thickness; with --shell.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub(super) core: Option<String>,
    /// Present bow, positive when the bark face is hollow.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) bow: Option<String>,
    /// Present cup, positive when the sawn face is hollow.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) cup: Option<String>,
    /// Present twist: lift of one corner with the other three flat.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) twist: Option<String>,
}

#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Test strip")]
pub(super) struct Strip {
    /// Print how to make and read a test strip, and nothing else.
    #[arg(long)]
    pub(super) how_to_strip: bool,
    /// Length over which the test strip was measured.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) strip_length: Option<String>,
    /// Gap at the middle of the two halves put back together; negative: open at the ends.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) strip_gap: Option<String>,
    /// Thickness of the strip when it was split; that of the board unless given.
    #[arg(long, value_name = "THICKNESS", allow_hyphen_values = true)]
    pub(super) strip_thickness: Option<String>,
    /// Thickness of the strip before it was planed, equally off both faces, since it was dried.
    #[arg(long, value_name = "THICKNESS", allow_hyphen_values = true)]
    pub(super) strip_planed_from: Option<String>,
    /// Kerf of the strip's cut; that of the board unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) strip_kerf: Option<String>,
    /// Bow of each half, the bark face's first, positive when its fresh face is hollow: "1.2mm,0.9mm".
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    pub(super) strip_bows: Option<String>,
    /// When the strip was read: "off the saw" or "rested".
    #[arg(long, value_name = "WHEN")]
    pub(super) strip_read: Option<String>,
    /// Error of a reading of the strip; 0.25 mm unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) strip_error: Option<String>,
}

#[derive(Debug, clap::Args)]
#[command(next_help_heading = "First leaf, once it is sawn")]
pub(super) struct Measured {
    /// Bow of the first leaf off the saw, positive when its fresh face is hollow: it updates its sisters.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) first_leaf_bow: Option<String>,
}

#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Rest")]
pub(super) struct Rest {
    /// Humidity of the air the leaves rest in.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub(super) humidity: Option<String>,
    /// Temperature of that air.
    #[arg(
        long,
        value_name = "TEMPERATURE",
        default_value = "20C",
        allow_hyphen_values = true
    )]
    pub(super) temperature: String,
    /// How they lie: stickered, "sawn face up" or "sawn face down".
    #[arg(long, value_name = "WAY", default_value = "stickered")]
    pub(super) lying: String,
    /// Weight of one leaf on the scale now; by its size and the wood's specific gravity unless given.
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    pub(super) leaf_weight: Option<String>,
    /// For how many days the rest is given.
    #[arg(
        long,
        value_name = "DAYS",
        default_value = "60",
        allow_hyphen_values = true
    )]
    pub(super) rest_days: String,
}

#[derive(Debug, clap::Args)]
#[command(next_help_heading = "What is wanted from the leaves")]
pub(super) struct Want {
    /// Thickness wanted of each leaf, flat on both faces.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) want_thickness: Option<String>,
    /// Length of the pieces wanted; the whole length unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) want_length: Option<String>,
    /// Width of the pieces wanted; the whole width unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(super) want_width: Option<String>,
    /// Clean-up cut of each face.
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "0.4mm",
        allow_hyphen_values = true
    )]
    pub(super) clean_up: String,
}

/// Moisture taken where none is given: what kiln-dried furniture stock has.
const ANY_MOISTURE: MoistureContent = MoistureContent::computed_percent(8.0);

pub(super) fn thickness_of(flag: &str, text: &str) -> Result<Length, Failure> {
    let RoughThickness(thickness) = read(flag, text)?;
    thickness
        .within(Bounds::THICKNESS)
        .map_err(|error| Failure::input(format!("error: --{flag} `{text}`: {error}")))
}

pub(super) fn optional_length(
    flag: &str,
    text: Option<&String>,
    bounds: Bounds,
) -> Result<Option<Length>, Failure> {
    text.map(|text| read_length(flag, text, bounds)).transpose()
}

pub(super) fn whole(flag: &str, text: &str, most: u64) -> Result<usize, Failure> {
    let Whole(count) = read(flag, text)?;
    usize::try_from(count)
        .ok()
        .filter(|_| count >= 1 && count <= most)
        .ok_or_else(|| {
            Failure::input(format!(
                "error: --{flag} `{text}`: {count} is outside 1 to {most}; give a number in that range"
            ))
        })
}

impl Known {
    pub(super) fn moisture(&self, notes: &mut Vec<String>) -> Result<Reading, Failure> {
        let percent = |flag: &str, text: &Option<String>| {
            read_optional::<MoistureContent>(flag, text.as_ref())
        };
        let mean = percent("moisture", &self.moisture)?;
        let shell = percent("shell", &self.shell)?;
        let core = percent("core", &self.core)?;
        let reading = match (mean, shell, core) {
            (None, None, None) => {
                notes.push(
                    "no moisture is given: 8 % is taken, and nothing known of the core".to_owned(),
                );
                return Ok(Reading::Single(ANY_MOISTURE));
            }
            (Some(mean), None, None) => Reading::Single(mean),
            (None, Some(shell), Some(core)) => Reading::ShellAndCore { shell, core },
            (Some(mean), None, Some(core)) => Reading::MeanAndCore { mean, core },
            _ => {
                return Err(Failure::input(
                    "error: give the moisture in one way: --moisture (one reading), --shell and --core, or --moisture at a fifth of the thickness and --core",
                ));
            }
        };
        notes.extend(reading.caution().map(str::to_owned));
        Ok(reading)
    }
}

impl Strip {
    pub(super) fn read(&self, board: Length, kerf: Length) -> Result<Option<TestStrip>, Failure> {
        let Some(length) = &self.strip_length else {
            let lonely = [
                ("strip-gap", &self.strip_gap),
                ("strip-bows", &self.strip_bows),
                ("strip-thickness", &self.strip_thickness),
                ("strip-planed-from", &self.strip_planed_from),
                ("strip-kerf", &self.strip_kerf),
                ("strip-read", &self.strip_read),
                ("strip-error", &self.strip_error),
            ]
            .into_iter()
            .find(|(_, text)| text.is_some());
            return match lonely {
                None => Ok(None),
                Some((flag, _)) => Err(Failure::input(format!(
                    "error: --{flag} belongs to a test strip whose length is missing; give --strip-length"
                ))),
            };
        };
        let thickness = match &self.strip_thickness {
            None => board,
            Some(text) => thickness_of("strip-thickness", text)?,
        };
        let planed_from = self
            .strip_planed_from
            .as_ref()
            .map(|text| thickness_of("strip-planed-from", text))
            .transpose()?;
        let bows = match &self.strip_bows {
            None => None,
            Some(text) => {
                let Lengths(list) = read("strip-bows", text)?;
                let [marked, other] = list[..] else {
                    return Err(Failure::input(format!(
                        "error: --strip-bows `{text}`: {} bows for the two halves; give two, the bark face's half first, such as \"1.2mm,0.9mm\"",
                        list.len()
                    )));
                };
                Some([marked, other])
            }
        };
        let error = match &self.strip_error {
            None => READING_ERROR,
            Some(text) => {
                let error = read::<Length>("strip-error", text)?;
                if error.mm() < 0.001 {
                    return Err(Failure::input(format!(
                        "error: --strip-error `{text}`: a reading without error does not exist; give that of your gauge or rule, such as 0.25mm"
                    )));
                }
                error
            }
        };
        let strip = TestStrip {
            bend: Bend::Along,
            length: read_length("strip-length", length, Bounds::BOARD_LENGTH)?,
            thickness,
            planed_from,
            kerf: optional_length("strip-kerf", self.strip_kerf.as_ref(), Bounds::KERF)?
                .unwrap_or(kerf),
            gap: read_optional("strip-gap", self.strip_gap.as_ref())?,
            bows,
            read: read_optional::<WhenRead>("strip-read", self.strip_read.as_ref())?
                .unwrap_or_default(),
            error,
        };
        strip
            .check()
            .map_err(|error| Failure::input(format!("error: the test strip: {error}")))?;
        Ok(Some(strip))
    }
}

impl Measured {
    pub(super) fn read(&self) -> Result<Option<MeasuredLeaf>, Failure> {
        Ok(
            read_optional("first-leaf-bow", self.first_leaf_bow.as_ref())?
                .map(|bow| MeasuredLeaf::of_bow(1, bow)),
        )
    }
}

impl Rest {
    pub(super) fn read(&self) -> Result<Option<RestPlan>, Failure> {
        let temperature = read::<Temperature>("temperature", &self.temperature)?;
        let lying = Lying::read(&self.lying)
            .map_err(|error| Failure::input(format!("error: --lying {error}")))?;
        let days = whole("rest-days", &self.rest_days, 1000)?;
        let Some(humidity) = read_optional::<RelativeHumidity>("humidity", self.humidity.as_ref())?
        else {
            return Ok(None);
        };
        Ok(Some(RestPlan {
            air: AirState {
                temperature,
                humidity,
            },
            lying,
            days,
            weight: read_optional::<Mass>("leaf-weight", self.leaf_weight.as_ref())?,
        }))
    }
}
