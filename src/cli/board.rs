//! `heartside board`: one board's width, thickness and cup after a change of moisture.

use super::ring_flags::{RingFlags, located, read, read_length};
use super::woods::{WoodFlags, named};
use super::{Failure, Output, both};
use crate::movement::{
    CUP_NOT_KNOWN, GivenRings, MovedSizes, RINGS_NOT_GIVEN, RingStrains, Rings, Section, Shrinkage,
};
use crate::species::Species;
use crate::units::{Bounds, Length, MoistureContent};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::process::ExitCode;

/// How wide, how thick and how cupped a board is after a change of moisture.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The wood: "oak, white", "white oak" or its Latin name.
    #[arg(long, value_name = "NAME")]
    species: String,
    /// Width of the board now.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    width: String,
    /// Thickness of the board now.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    thickness: String,
    /// Moisture content now.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    from: String,
    /// Moisture content later.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    to: String,
    #[command(flatten)]
    woods: WoodFlags,
    #[command(flatten)]
    rings: RingFlags,
}

struct Answer<'a> {
    wood: &'a Species,
    section: Section,
    from: MoistureContent,
    to: MoistureContent,
    strains: RingStrains,
    /// The moved sizes and how far the left and right corner at the bark face are off square; `None`
    /// when the pith lies in the board.
    moved: Option<(MovedSizes, (f64, f64))>,
    /// Whether the rings give the cup and the squareness of the edges.
    cup_known: bool,
    notes: Vec<String>,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag cannot be read, the wood is unknown or the rings are given in two ways.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let width = read_length("width", &args.width, Bounds::WIDTH)?;
    let thickness = read_length("thickness", &args.thickness, Bounds::THICKNESS)?;
    let from = read::<MoistureContent>("from", &args.from)?;
    let to = read::<MoistureContent>("to", &args.to)?;
    let table = args.woods.table()?;
    let found = named(&table, "species", &args.species)?;
    let wood = found.species;
    let given = args.rings.given_or(&found)?;
    let rings = located(&given, width, thickness)?;
    let cup_known = given.give_cup() || wood.sheet().is_some();
    let shrinkage = Shrinkage::of(wood);
    let section = Section {
        width,
        thickness,
        rings,
    };
    let strains = RingStrains::of(&shrinkage, from, to);
    let moved = section.moved(strains).map(|moved| {
        let (left, right) = moved.edges_off_square();
        (moved.sizes(), (left.degrees(), right.degrees()))
    });
    let mut notes = found.cautions;
    let saturation = shrinkage.fiber_saturation_percent;
    if from.percent() > saturation || to.percent() > saturation {
        notes.push(format!(
            "nothing moves above the fiber saturation point, {saturation:.0} % for this wood: only the change below it counts"
        ));
    }
    notes.extend(
        Shrinkage::rules_used(wood, false)
            .into_iter()
            .map(str::to_owned),
    );
    if given == GivenRings::NotGiven {
        notes.push(RINGS_NOT_GIVEN.to_owned());
    }
    match rings {
        Rings::Straight { .. } if given == GivenRings::NotGiven => notes.push(format!(
            "{CUP_NOT_KNOWN}; give the pith, one ring's arc or a photo of the end, or at least the way of sawing for the width"
        )),
        Rings::Straight { angle } if !cup_known => notes.push(format!(
            "only the way of sawing is given: the width is that of straight rings {:.0} degrees to the face, {CUP_NOT_KNOWN}; give the pith, one ring's arc or a photo of the end",
            angle.degrees()
        )),
        Rings::Straight { .. } => {}
        Rings::Pith { .. } if moved.is_none() => notes.push(format!(
            "the pith lies inside the board: it cannot move without stress and will check; no cup is given, and of the width only its bounds: a change of {} to {} where it does not check",
            signed(width * strains.radial.ratio()),
            signed(width * strains.tangential.ratio()),
        )),
        Rings::Pith { .. } => {}
    }
    let answer = Answer {
        wood,
        section,
        from,
        to,
        strains,
        moved,
        cup_known,
        notes,
    };
    let object = answer.object();
    output.answer(&object, &answer.words())?;
    Ok(ExitCode::SUCCESS)
}

fn signed(length: Length) -> String {
    let sign = if length.mm() > 0.0 { "+" } else { "" };
    format!("{sign}{}", both(length))
}

impl Answer<'_> {
    fn object(&self) -> Value {
        let pith = match self.section.rings {
            Rings::Pith { depth, offset } => json!({
                "depth_mm": depth.mm(), "offset_mm": offset.mm(),
            }),
            Rings::Straight { .. } => Value::Null,
        };
        let sizes = self.moved.map(|(sizes, _)| sizes);
        let off = self.moved.map(|(_, off)| off);
        let known = |value: Option<f64>| value.filter(|_| self.cup_known);
        let mm = |pick: fn(MovedSizes) -> Length| sizes.map(|sizes| pick(sizes).mm());
        json!({
            "species": self.wood.name,
            "from_percent": self.from.percent(),
            "to_percent": self.to.percent(),
            "radial_strain": self.strains.radial.ratio(),
            "tangential_strain": self.strains.tangential.ratio(),
            "pith": pith,
            "pith_inside": self.section.contains_pith(),
            "width_mm": mm(|s| s.width_bark_face),
            "width_heart_face_mm": mm(|s| s.width_heart_face),
            "width_change_mm": sizes.map(|s| s.width_bark_face.mm() - self.section.width.mm()),
            "width_bounds_mm": self.width_bounds(),
            "thickness_left_mm": mm(|s| s.thickness_left),
            "thickness_middle_mm": mm(|s| s.thickness_middle),
            "thickness_right_mm": mm(|s| s.thickness_right),
            "cup_bark_face_mm": known(mm(|s| s.cup_bark_face)),
            "cup_heart_face_mm": known(mm(|s| s.cup_heart_face)),
            "edge_left_off_square_degrees": known(off.map(|(left, _)| left)),
            "edge_right_off_square_degrees": known(off.map(|(_, right)| right)),
            "notes": self.notes,
        })
    }

    /// Minimum and maximum width of a board with its pith inside, were its rings straight; else none.
    fn width_bounds(&self) -> Option<[f64; 2]> {
        let along = |strain: f64| self.section.width.mm() * (1.0 + strain);
        let (r, t) = (
            along(self.strains.radial.ratio()),
            along(self.strains.tangential.ratio()),
        );
        self.moved.is_none().then(|| [r.min(t), r.max(t)])
    }

    fn words(&self) -> String {
        let mut text = String::new();
        let (from, to) = (self.from.percent(), self.to.percent());
        let _never_fails = match self.moved {
            Some((sizes, (left, right))) => {
                let change = sizes.width_bark_face - self.section.width;
                let verb = if change.mm() < 0.0 {
                    "narrower"
                } else {
                    "wider"
                };
                let cup = |cup: Length| {
                    if self.cup_known {
                        both(cup)
                    } else {
                        "not known".to_owned()
                    }
                };
                let hollow = match sizes.cup_bark_face.mm() {
                    _ if !self.cup_known => "Cup not known: give the rings.".to_owned(),
                    cup if cup.abs() < 0.005 => "It stays flat: no cup from the rings.".to_owned(),
                    cup => {
                        let (face, size) = if cup > 0.0 {
                            ("bark", sizes.cup_bark_face)
                        } else {
                            ("heart", sizes.cup_heart_face)
                        };
                        format!(
                            "It cups by {}, hollow on the {face} side.",
                            both(size.abs())
                        )
                    }
                };
                write!(
                    text,
                    "{} from {from} % to {to} %: {} {verb}. {hollow}\n\n\
                     bark-side face    {:>22}\n\
                     heart-side face   {:>22}\n\
                     thickness         {:>22} left, {} middle, {} right\n\
                     cup, bark side    {:>22}\n\
                     cup, heart side   {:>22}   (positive: that face is hollow)\n\
                     edges off square  {}\n",
                    self.wood.name,
                    both(change.abs()),
                    both(sizes.width_bark_face),
                    both(sizes.width_heart_face),
                    both(sizes.thickness_left),
                    both(sizes.thickness_middle),
                    both(sizes.thickness_right),
                    cup(sizes.cup_bark_face),
                    cup(sizes.cup_heart_face),
                    if self.cup_known {
                        format!(
                            "{:+.2} degrees left, {:+.2} right (positive: wider than square at the bark face)",
                            unsigned_zero(left),
                            unsigned_zero(right)
                        )
                    } else {
                        "not known".to_owned()
                    },
                )
            }
            None => writeln!(
                text,
                "{} from {from} % to {to} %: the pith lies inside the board, so expect it to check.",
                self.wood.name
            ),
        };
        for note in &self.notes {
            let _never_fails = write!(text, "\nNote: {note}.");
        }
        text
    }
}

/// An angle that is given as zero without a sign of its own.
fn unsigned_zero(degrees: f64) -> f64 {
    if degrees.abs() < 0.005 { 0.0 } else { degrees }
}
