//! `heartside resaw`: how far the leaves of a resawn board will bow and cup.

use super::rings::{RingFlags, read, read_length, read_optional};
use super::{Desk, Failure, species};
use crate::air::AirState;
use crate::moisture::meter::Reading;
use crate::movement::{Sawn, Shrinkage};
use crate::report;
use crate::stock::{
    Bend, Board, BoardOrder, Drying, Leaves, Lying, MeasuredLeaf, READING_ERROR, ResawPlan,
    RestPlan, TestStrip, Wanted, WhenRead, Wood, forecast_pack, outturn_of,
};
use crate::units::notation::{Lengths, LockedIn, RoughThickness, Whole};
use crate::units::told::ReadNotation;
use crate::units::{Bounds, Length, Mass, MoistureContent, RelativeHumidity, Temperature};
use std::process::ExitCode;

/// How far the leaves of a resawn board will bow, how long they must rest, and what is left.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Thickness of the board: a length, or a rough thickness such as 8/4.
    #[arg(
        long,
        value_name = "THICKNESS",
        allow_hyphen_values = true,
        required_unless_present = "how_to_strip"
    )]
    thickness: Option<String>,
    /// Length of the board along the grain.
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        required_unless_present = "how_to_strip"
    )]
    length: Option<String>,
    /// Width of the board; cup is told only with it.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    width: Option<String>,
    /// Wood lost to each cut.
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "1.6mm",
        allow_hyphen_values = true
    )]
    kerf: String,
    /// How many equal leaves, or their thicknesses from the marked face: 2, or "20mm,25mm".
    #[arg(
        long,
        value_name = "COUNT|LENGTHS",
        default_value = "2",
        allow_hyphen_values = true
    )]
    leaves: String,
    /// Planed off the marked (bark-side) face before the first cut.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    plane_marked: Option<String>,
    /// Planed off the other face before the first cut.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    plane_other: Option<String>,
    /// The wood; averages are taken without it.
    #[arg(long, value_name = "NAME")]
    species: Option<String>,
    /// Your own table of woods (CSV), which stands in front of the built-in one; `-` is standard input.
    #[arg(long, value_name = "FILE")]
    species_table: Option<String>,
    #[command(flatten)]
    known: Known,
    #[command(flatten)]
    strip: Strip,
    #[command(flatten)]
    measured: Measured,
    #[command(flatten)]
    rest: Rest,
    #[command(flatten)]
    wanted: Want,
    #[command(flatten)]
    rings: RingFlags,
}

#[derive(Debug, clap::Args)]
#[command(next_help_heading = "What is locked in the board")]
struct Known {
    /// Strain locked in the surface layer along the grain, millionths; positive: shell in compression (casehardened).
    #[arg(long, value_name = "MICROSTRAIN", allow_hyphen_values = true)]
    locked_in: Option<String>,
    /// The same across the grain, by a slice or prong test: it makes cup.
    #[arg(long, value_name = "MICROSTRAIN", allow_hyphen_values = true)]
    locked_in_across: Option<String>,
    /// How the board was dried, such as "kiln dried, unconditioned".
    #[arg(long, value_name = "HISTORY")]
    drying: Option<String>,
    /// Moisture by one reading, taken as the mean.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    moisture: Option<String>,
    /// Moisture just under the face; with --core.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    shell: Option<String>,
    /// Moisture in the middle of the thickness; with --shell.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    core: Option<String>,
    /// Present bow, positive when the marked (bark-side) face is hollow.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    bow: Option<String>,
    /// Present cup, positive when the marked face is hollow.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    cup: Option<String>,
    /// Present twist: lift of one corner with the other three flat.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    twist: Option<String>,
}

#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Test strip")]
struct Strip {
    /// Print how to make and read a test strip, and nothing else.
    #[arg(long)]
    pub how_to_strip: bool,
    /// Length over which the test strip was measured.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    strip_length: Option<String>,
    /// Gap at the middle of the two halves put back together; negative: open at the ends.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    strip_gap: Option<String>,
    /// Thickness of the strip when it was split; that of the board without it.
    #[arg(long, value_name = "THICKNESS", allow_hyphen_values = true)]
    strip_thickness: Option<String>,
    /// Thickness of the strip before it was planed, equally off both faces, since it was dried.
    #[arg(long, value_name = "THICKNESS", allow_hyphen_values = true)]
    strip_planed_from: Option<String>,
    /// Kerf of the strip's cut; that of the board without it.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    strip_kerf: Option<String>,
    /// Bow of each half, the marked face's first, positive when its fresh face is hollow: "1.2mm,0.9mm".
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    strip_bows: Option<String>,
    /// When the strip was read: "off the saw" or "rested".
    #[arg(long, value_name = "WHEN")]
    strip_read: Option<String>,
    /// Error of a reading of the strip; 0.25 mm without it.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    strip_error: Option<String>,
}

#[derive(Debug, clap::Args)]
#[command(next_help_heading = "First leaf, once it is sawn")]
struct Measured {
    /// Bow of the first leaf off the saw, positive when its fresh face is hollow: it updates its sisters.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    first_leaf_bow: Option<String>,
}

#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Rest")]
struct Rest {
    /// Humidity of the air the leaves rest in.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    humidity: Option<String>,
    /// Temperature of that air.
    #[arg(
        long,
        value_name = "TEMPERATURE",
        default_value = "20C",
        allow_hyphen_values = true
    )]
    temperature: String,
    /// How they lie: stickered, "marked face up" or "marked face down".
    #[arg(long, value_name = "WAY", default_value = "stickered")]
    lying: String,
    /// Weight of one leaf on the scale now; by its size and the wood's specific gravity without it.
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf_weight: Option<String>,
    /// For how many days the rest is told.
    #[arg(
        long,
        value_name = "DAYS",
        default_value = "60",
        allow_hyphen_values = true
    )]
    rest_days: String,
}

#[derive(Debug, clap::Args)]
#[command(next_help_heading = "What is wanted from the leaves")]
struct Want {
    /// Thickness wanted of each leaf, flat on both faces.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    want_thickness: Option<String>,
    /// Length of the pieces wanted; the whole length without it.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    want_length: Option<String>,
    /// Width of the pieces wanted; the whole width without it.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    want_width: Option<String>,
    /// Clean-up cut of each face.
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "0.4mm",
        allow_hyphen_values = true
    )]
    clean_up: String,
}

/// Width taken where none is told: nothing that is answered then hangs on it.
const ANY_WIDTH: Length = Length::computed_mm(150.0);
/// Moisture taken where none is told: what kiln-dried furniture stock has.
const ANY_MOISTURE: MoistureContent = MoistureContent::computed_percent(8.0);
/// Wood taken where none is told, near the middle of Wood Handbook Table 4-3.
const ANY_WOOD: Wood = Wood {
    shrinkage: Shrinkage {
        radial_percent: 4.5,
        tangential_percent: 8.0,
        longitudinal_percent: 0.15,
        fiber_saturation_percent: 30.0,
    },
    basic_gravity: 0.5,
};

fn thickness_of(flag: &str, text: &str) -> Result<Length, Failure> {
    let RoughThickness(thickness) = read(flag, text)?;
    thickness
        .within(Bounds::THICKNESS)
        .map_err(|error| Failure::input(format!("error: --{flag} `{text}`: {error}")))
}

fn optional_length(
    flag: &str,
    text: Option<&String>,
    bounds: Bounds,
) -> Result<Option<Length>, Failure> {
    text.map(|text| read_length(flag, text, bounds)).transpose()
}

fn whole(flag: &str, text: &str, most: u64) -> Result<usize, Failure> {
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

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag cannot be read or the plan does not come out of the board.
pub fn run(args: &Args, desk: &mut Desk<'_>) -> Result<ExitCode, Failure> {
    if args.strip.how_to_strip {
        let steps = report::strip_instructions();
        desk.answer(&steps, &report::strip_instruction_words())?;
        return Ok(ExitCode::SUCCESS);
    }
    let mut notes = Vec::new();
    let order = args.order(&mut notes)?;
    let forecast = forecast_pack(std::slice::from_ref(&order))
        .map_err(|error| Failure::input(format!("error: {error}")))?;
    let Some(forecast) = forecast.into_iter().next() else {
        return Err(Failure::input(
            "error: no board was told; give --thickness and --length",
        ));
    };
    let outturn = match args.wanted(&order)? {
        None => None,
        Some(wanted) => Some((
            wanted,
            outturn_of(&order, &wanted)
                .map_err(|error| Failure::input(format!("error: {error}")))?,
        )),
    };
    let answer = report::BoardAnswer {
        tells_cup: args.width.is_some(),
        order: &order,
        forecast: &forecast,
        outturn: outturn.as_ref().map(|(wanted, found)| (wanted, &found[..])),
        notes,
    };
    desk.answer(&answer.object(), &answer.words())?;
    Ok(ExitCode::SUCCESS)
}

impl Args {
    fn order(&self, notes: &mut Vec<String>) -> Result<BoardOrder, Failure> {
        let (Some(thickness), Some(length)) = (&self.thickness, &self.length) else {
            return Err(Failure::input(
                "error: give the --thickness and the --length of the board",
            ));
        };
        let thickness = thickness_of("thickness", thickness)?;
        let length = read_length("length", length, Bounds::BOARD_LENGTH)?;
        let width = optional_length("width", self.width.as_ref(), Bounds::WIDTH)?;
        let kerf = read_length("kerf", &self.kerf, Bounds::KERF)?;
        let leaves = if self.leaves.trim().bytes().all(|b| b.is_ascii_digit()) {
            Leaves::Equal(whole("leaves", &self.leaves, 50)?)
        } else {
            let Lengths(list) = read("leaves", &self.leaves)?;
            Leaves::Thicknesses(list)
        };
        let plane = |flag: &str, text: Option<&String>| {
            optional_length(flag, text, Bounds::DEPTH).map(|depth| depth.unwrap_or(Length::ZERO))
        };
        let plan = ResawPlan {
            leaves,
            kerf,
            plane_marked: plane("plane-marked", self.plane_marked.as_ref())?,
            plane_other: plane("plane-other", self.plane_other.as_ref())?,
        };
        let wood = self.wood(notes)?;
        let moisture = self.known.moisture(notes)?;
        let signed = |flag: &str, text: Option<&String>| {
            read_optional::<Length>(flag, text).map(|rise| rise.unwrap_or(Length::ZERO))
        };
        let board_width = width.unwrap_or(ANY_WIDTH);
        let rings = if self.rings.is_told() {
            Some(self.rings.rings(board_width, thickness)?)
        } else {
            notes.push(
                "the rings are not told: the board is taken for flat-sawn, and no cup is foreseen from its rings"
                    .to_owned(),
            );
            Some(Sawn::Flat.rings())
        };
        let board = Board {
            length,
            width: board_width,
            thickness,
            bow: signed("bow", self.known.bow.as_ref())?,
            crook: Length::ZERO,
            cup: signed("cup", self.known.cup.as_ref())?,
            twist: signed("twist", self.known.twist.as_ref())?,
            moisture,
            rings,
        };
        let mut order = BoardOrder::plain(board, wood, plan);
        order.drying = read_optional("drying", self.known.drying.as_ref())?.unwrap_or_default();
        let strain = |flag: &str, text: Option<&String>| {
            read_optional::<LockedIn>(flag, text).map(|told| told.map(|LockedIn(strain)| strain))
        };
        order.locked_in = strain("locked-in", self.known.locked_in.as_ref())?;
        order.locked_in_across = strain("locked-in-across", self.known.locked_in_across.as_ref())?;
        order.strips = self.strip.read(thickness, kerf)?.into_iter().collect();
        if order.locked_in.is_none() && order.strips.is_empty() && order.drying == Drying::Unknown {
            notes.push(
                "nothing is told of the drying: the forecast rests on a wide judgement of unknown stock; a test strip makes it narrow (--how-to-strip)"
                    .to_owned(),
            );
        }
        order.measured = self.measured.read()?.into_iter().collect();
        order.rest = self.rest.read()?;
        order.clean_up = read_length("clean-up", &self.wanted.clean_up, Bounds::DEPTH)?;
        Ok(order)
    }

    fn wood(&self, notes: &mut Vec<String>) -> Result<Wood, Failure> {
        let Some(name) = &self.species else {
            notes.push("no wood is told: an average wood is taken (shrinkage 8 % along the rings, 0.15 % along the grain)".to_owned());
            return Ok(ANY_WOOD);
        };
        let table = species::table(self.species_table.as_deref())?;
        let wood = table
            .find(name)
            .map_err(|error| Failure::input(format!("error: --species {error}")))?;
        notes.extend(
            Shrinkage::rules_used(wood, true)
                .into_iter()
                .map(str::to_owned),
        );
        Ok(Wood::of(wood))
    }

    fn wanted(&self, order: &BoardOrder) -> Result<Option<Wanted>, Failure> {
        let want = &self.wanted;
        let length = optional_length(
            "want-length",
            want.want_length.as_ref(),
            Bounds::BOARD_LENGTH,
        )?;
        let width = optional_length("want-width", want.want_width.as_ref(), Bounds::WIDTH)?;
        let Some(thickness) = optional_length(
            "want-thickness",
            want.want_thickness.as_ref(),
            Bounds::THICKNESS,
        )?
        else {
            if length.is_some() || width.is_some() {
                return Err(Failure::input(
                    "error: --want-length and --want-width ask for pieces of a thickness; give --want-thickness too",
                ));
            }
            return Ok(None);
        };
        let Leaves::Equal(leaves) = order.plan.leaves else {
            return Err(Failure::input(
                "error: --want-thickness asks for equal leaves; give --leaves as a count",
            ));
        };
        let size = |told: Option<Length>, whole: Length, flag: &str| match told {
            Some(told) if told > whole => Err(Failure::input(format!(
                "error: --{flag}: {:.0} mm is more than the board has; ask for less",
                told.mm()
            ))),
            told => Ok(told.unwrap_or(whole)),
        };
        Ok(Some(Wanted {
            leaves,
            thickness,
            length: size(length, order.board.length, "want-length")?,
            width: size(width, order.board.width, "want-width")?,
            kerf: order.plan.kerf,
            clean_up: order.clean_up,
        }))
    }
}

impl Known {
    fn moisture(&self, notes: &mut Vec<String>) -> Result<Reading, Failure> {
        let percent = |flag: &str, text: &Option<String>| {
            read_optional::<MoistureContent>(flag, text.as_ref())
        };
        let mean = percent("moisture", &self.moisture)?;
        let shell = percent("shell", &self.shell)?;
        let core = percent("core", &self.core)?;
        let reading = match (mean, shell, core) {
            (None, None, None) => {
                notes.push(
                    "no moisture is told: 8 % is taken, and nothing known of the core".to_owned(),
                );
                return Ok(Reading::Single(ANY_MOISTURE));
            }
            (Some(mean), None, None) => Reading::Single(mean),
            (None, Some(shell), Some(core)) => Reading::ShellAndCore { shell, core },
            (Some(mean), None, Some(core)) => Reading::MeanAndCore { mean, core },
            _ => {
                return Err(Failure::input(
                    "error: tell the moisture once: --moisture (one reading), --shell and --core, or --moisture at a fifth of the thickness and --core",
                ));
            }
        };
        notes.extend(reading.caution().map(str::to_owned));
        Ok(reading)
    }
}

impl Strip {
    fn read(&self, board: Length, kerf: Length) -> Result<Option<TestStrip>, Failure> {
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
                    "error: --{flag} tells of a test strip without its length; give --strip-length"
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
                        "error: --strip-bows `{text}`: {} bows for the two halves; give two, the marked face's half first, such as \"1.2mm,0.9mm\"",
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
    fn read(&self) -> Result<Option<MeasuredLeaf>, Failure> {
        Ok(
            read_optional("first-leaf-bow", self.first_leaf_bow.as_ref())?
                .map(|bow| MeasuredLeaf::of_bow(1, bow)),
        )
    }
}

impl Rest {
    fn read(&self) -> Result<Option<RestPlan>, Failure> {
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
