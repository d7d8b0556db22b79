//! `heartside rings`: where the pith of a board is, read from a photo of its end.

use super::files::read_limited;
use super::output::create;
use super::ring_flags::{read, read_length, read_optional};
use super::woods::{WoodFlags, named};
use super::{Failure, Output};
use crate::job::MOST_PHOTO_BYTES;
use crate::movement::{RingStrains, Shrinkage};
use crate::page::{read_photo, small_picture};
use crate::report::RingsAnswer;
use crate::rings::{BarkFace, Corners, EndSize, find_corners, read_rings};
use crate::units::notation::{RoughThickness, length};
use crate::units::{Bounds, MoistureContent, UnitSystem};
use std::path::PathBuf;
use std::process::ExitCode;

/// Reads the rings of a board from a photo of its end: pith, bark side and ring angles, with how sure they are.
///
/// The photo shows the whole end, one face of the board up. Cut the end fresh, sand or plane it, wet it, light it from one side,
/// and hold the phone square to it. The board should fill the photo.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The photo, JPEG or PNG; `-` is standard input.
    #[arg(value_name = "PHOTO")]
    photo: Option<String>,
    /// Width of the board.
    #[arg(long, value_name = "LENGTH", num_args = 1..=2)]
    width: Vec<String>,
    /// Thickness of the board, such as 8/4 or 45mm; taken from the photo unless given.
    #[arg(long, value_name = "LENGTH", num_args = 1..=2)]
    thickness: Vec<String>,
    /// The corners of the end in pixels: x and y of top left, top right, bottom right, bottom left; found unless given.
    #[arg(long, value_name = "X,Y,...", allow_hyphen_values = true)]
    corners: Option<String>,
    /// Which face is toward the bark in the photo, up or down; as the rings curve unless given.
    #[arg(long, value_name = "UP|DOWN")]
    bark: Option<String>,
    /// Draws the rings over the photo into this new file.
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// The wood, for the cup of a change of moisture.
    #[arg(long, value_name = "NAME", requires = "from", requires = "to")]
    species: Option<String>,
    /// Moisture content now.
    #[arg(long, value_name = "PERCENT", requires = "species")]
    from: Option<String>,
    /// Moisture content later.
    #[arg(long, value_name = "PERCENT", requires = "species")]
    to: Option<String>,
    #[command(flatten)]
    woods: WoodFlags,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the photo cannot be read, a flag is wrong or no end is found in the photo.
pub(super) fn run(mut args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let mut stray = args.photo.take();
    let width = words_of_length("width", &args.width, &mut stray)?;
    let thickness = words_of_length("thickness", &args.thickness, &mut stray)?;
    let Some(path) = stray else {
        return Err(Failure::input(
            "error: no photo is given; write heartside rings PHOTO --width 184mm",
        ));
    };
    let Some(width) = width else {
        return Err(Failure::input(
            "error: --width is missing; give the width of the board, the rings have no scale without it",
        ));
    };
    let width = read_length("width", &width, Bounds::PHOTO_WIDTH)?;
    let thickness = thickness
        .map(|text| {
            let RoughThickness(thickness) = read("thickness", &text)?;
            thickness
                .within(Bounds::PHOTO_THICKNESS)
                .map_err(|error| Failure::input(format!("error: --thickness `{text}`: {error}")))
        })
        .transpose()?;
    let corners: Option<Corners> = read_optional("corners", args.corners.as_ref())?;
    let bark: Option<BarkFace> = read_optional("bark", args.bark.as_ref())?;
    let change = change(&args)?;
    let bytes = read_limited(&path, MOST_PHOTO_BYTES)?;
    let wrong = |error: &dyn std::fmt::Display| Failure::input(format!("error: `{path}`: {error}"));
    let photo = read_photo(&bytes).map_err(|error| wrong(&error))?;
    let corners_found = corners.is_none();
    let Some(corners) = corners.or_else(|| find_corners(&photo)) else {
        return Err(wrong(
            &"the end of the board does not stand out from what is around it; give its corners with --corners x,y,x,y,x,y,x,y, or take the photo before a plain background of another color",
        ));
    };
    let size = match thickness {
        Some(thickness) => EndSize::new(width, thickness),
        None => EndSize::seen(width, &corners),
    }
    .map_err(|error| wrong(&error))?;
    let mut found = read_rings(&photo, &corners, &size).map_err(|error| wrong(&error))?;
    if let Some(bark) = bark {
        found.prefer(bark);
    }
    let answer = RingsAnswer {
        name: &path,
        found: &found,
        corners: &corners,
        corners_found,
        thickness_from_photo: thickness.is_none(),
        bark,
        change,
        system: UnitSystem::Metric,
    };
    if let Some(file) = &args.svg {
        let picture = small_picture(&photo)
            .ok_or_else(|| wrong(&"no small picture of it can be made; save it smaller"))?;
        let figure = answer
            .figure(picture, (photo.width(), photo.height()))
            .draw("rings");
        create(file, figure.svg_file().as_bytes())?;
    }
    output.answer(&answer.object(), &answer.words())?;
    Ok(ExitCode::SUCCESS)
}

/// A length that may have come as two words (`7 1/4in`); where the second is no part of it, it was the photo.
fn words_of_length(
    flag: &str,
    words: &[String],
    stray: &mut Option<String>,
) -> Result<Option<String>, Failure> {
    match words {
        [] => Ok(None),
        [one] => Ok(Some(one.clone())),
        [one, other, rest @ ..] => {
            let both = format!("{one} {other}");
            if !rest.is_empty() {
                return Err(Failure::input(format!(
                    "error: --{flag} is given twice; give it once"
                )));
            }
            if stray.is_none() && length(&both).is_err() {
                *stray = Some(other.clone());
                return Ok(Some(one.clone()));
            }
            Ok(Some(both))
        }
    }
}

/// The change of moisture whose cup is asked.
fn change(args: &Args) -> Result<Option<(String, RingStrains)>, Failure> {
    let (Some(name), Some(from), Some(to)) = (&args.species, &args.from, &args.to) else {
        return Ok(None);
    };
    let (from, to) = (
        read::<MoistureContent>("from", from)?,
        read::<MoistureContent>("to", to)?,
    );
    let table = args.woods.table()?;
    let wood = named(&table, "species", name)?.species;
    let strains = RingStrains::of(&Shrinkage::of(wood), from, to);
    Ok(Some((
        format!("{} to {} %", from.percent(), to.percent()),
        strains,
    )))
}
