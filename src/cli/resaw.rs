//! `heartside resaw`: how far the leaves of a resawn board will bow and cup.

use super::resaw_flags::{
    Known, Measured, Rest, Strip, Want, optional_length, thickness_of, whole,
};
use super::ring_flags::{RingFlags, read, read_length, read_optional};
use super::woods::{WoodFlags, named};
use super::{Failure, Output};
use crate::movement::{Sawn, Shrinkage};
use crate::report;
use crate::stock::{
    Board, BoardOrder, Drying, Leaves, ResawPlan, Wanted, Wood, forecast_pack, recovery_of,
};
use crate::units::notation::{Lengths, LockedIn};
use crate::units::{Bounds, Length, UnitSystem};
use std::process::ExitCode;

/// How far the leaves of a resawn board will bow, how long they must rest, and what is left.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
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
    /// Width of the board; cup is given only with it.
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
    /// How many equal leaves, or their thicknesses from the bark face: 2, or "20mm,25mm".
    #[arg(
        long,
        value_name = "COUNT|LENGTHS",
        default_value = "2",
        allow_hyphen_values = true
    )]
    leaves: String,
    /// Planed off the bark face before the first cut.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    plane_bark: Option<String>,
    /// Planed off the other face before the first cut.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    plane_other: Option<String>,
    /// The wood; averages are used unless given.
    #[arg(long, value_name = "NAME")]
    species: Option<String>,
    #[command(flatten)]
    woods: WoodFlags,
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

/// Width taken where none is given: nothing that is answered then hangs on it.
const ANY_WIDTH: Length = Length::from_mm_unchecked(150.0);
/// Wood taken where none is given, near the middle of Wood Handbook Table 4-3.
const ANY_WOOD: Wood = Wood {
    shrinkage: Shrinkage {
        radial_percent: 4.5,
        tangential_percent: 8.0,
        longitudinal_percent: 0.15,
        fiber_saturation_percent: 30.0,
    },
    basic_gravity: 0.5,
};

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag cannot be read or the plan does not come out of the board.
pub(super) fn run(args: &Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    if args.strip.how_to_strip {
        let steps = report::strip_instructions();
        output.answer(&steps, &report::strip_instruction_words())?;
        return Ok(ExitCode::SUCCESS);
    }
    let mut notes = Vec::new();
    let order = args.order(&mut notes)?;
    let forecast = forecast_pack(std::slice::from_ref(&order))
        .map_err(|error| Failure::input(format!("error: {error}")))?;
    let Some(forecast) = forecast.into_iter().next() else {
        return Err(Failure::input(
            "error: no board was given; give --thickness and --length",
        ));
    };
    let recovery = match args.wanted(&order)? {
        None => None,
        Some(wanted) => Some((
            wanted,
            recovery_of(&order, &wanted)
                .map_err(|error| Failure::input(format!("error: {error}")))?,
        )),
    };
    let answer = report::BoardAnswer {
        tells_cup: args.width.is_some(),
        order: &order,
        forecast: &forecast,
        recovery: recovery
            .as_ref()
            .map(|(wanted, found)| (wanted, &found[..])),
        notes,
        system: UnitSystem::Metric,
    };
    output.answer(&answer.object(), &answer.words())?;
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
            plane_bark: plane("plane-bark", self.plane_bark.as_ref())?,
            plane_other: plane("plane-other", self.plane_other.as_ref())?,
        };
        let wood = self.wood(notes)?;
        let moisture = self.known.moisture(notes)?;
        let signed = |flag: &str, text: Option<&String>| {
            read_optional::<Length>(flag, text).map(|rise| rise.unwrap_or(Length::ZERO))
        };
        let board_width = width.unwrap_or(ANY_WIDTH);
        let rings = if self.rings.is_given() {
            Some(self.rings.rings(board_width, thickness)?)
        } else {
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
            sawn_only: !(self.rings.is_given() && self.rings.read()?.give_cup()),
        };
        let mut order = BoardOrder::plain(board, wood, plan);
        order.drying = read_optional("drying", self.known.drying.as_ref())?.unwrap_or_default();
        let strain = |flag: &str, text: Option<&String>| {
            read_optional::<LockedIn>(flag, text).map(|given| given.map(|LockedIn(strain)| strain))
        };
        order.locked_in = strain("locked-in", self.known.locked_in.as_ref())?;
        order.locked_in_across = strain("locked-in-across", self.known.locked_in_across.as_ref())?;
        order.strips = self.strip.read(thickness, kerf)?.into_iter().collect();
        if order.locked_in.is_none() && order.strips.is_empty() && order.drying == Drying::Unknown {
            notes.push(
                "nothing is given of the drying: the forecast rests on a wide judgement of unknown stock; a test strip makes it narrow (--how-to-strip)"
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
            notes.push("no wood is given: an average wood is taken (shrinkage 8 % along the rings, 0.15 % along the grain)".to_owned());
            return Ok(ANY_WOOD);
        };
        let table = self.woods.table()?;
        let found = named(&table, "species", name)?;
        let wood = found.species;
        notes.extend(found.cautions);
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
        let size = |given: Option<Length>, whole: Length, flag: &str| match given {
            Some(given) if given > whole => Err(Failure::input(format!(
                "error: --{flag}: {:.0} mm is more than the board has; ask for less",
                given.mm()
            ))),
            given => Ok(given.unwrap_or(whole)),
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
