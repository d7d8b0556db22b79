//! `heartside bond`: may two parts be glued with their grain crossing?

use super::ring_flags::{RingFlags, read, read_length, read_optional};
use super::woods::{WoodFlags, named};
use super::{Failure, Output, both};
use crate::chart::capital;
use crate::forecast::{AskedBond, Curve, SinglePart, ThreeMoistures, own_cup, single_bond};
use crate::job::Spreads;
use crate::joint::bond::ROLLING_SHEAR_SHARE;
use crate::joint::{
    Across, Axis, BondLine, Design, FreePair, Loosened, Ply, ShearLag, SplitSpread, defaults,
};
use crate::movement::{Layer, Sawn, Section, Shrinkage};
use crate::report::{bond_table, keyed};
use crate::species::Species;
use crate::units::notation::percent_shown;
use crate::units::{Bounds, Curvature, Length, MoistureContent, Stress, UnitSystem};
use serde_json::json;
use std::fmt::Write as _;
use std::process::ExitCode;

/// May two parts be glued with their grain crossing, how much of the joint, or must it float?
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The wood of the part whose width runs along the joint and moves.
    #[arg(long, value_name = "NAME")]
    species: String,
    /// Length of the joint: the width of that part.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    width: String,
    /// Its thickness.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    thickness: String,
    /// The wood of the part whose grain runs along the joint and holds.
    #[arg(long, value_name = "NAME")]
    to: String,
    /// Its thickness.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    to_thickness: String,
    /// The second part's grain runs with the first's, as in an edge joint.
    #[arg(long)]
    same_grain: bool,
    /// Something else holds the pair flat, such as the case under a top: it cannot cup.
    #[arg(long)]
    held_flat: bool,
    /// How far the joint reaches along the grain of the first part; as far as it is long unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    band: Option<String>,
    /// How far the first part itself reaches along its grain: wood beside a narrow joint moves with it; as far as the joint
    /// unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    reach: Option<String>,
    /// Moisture when it is glued.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    from: String,
    /// Moisture at the driest.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    dry: String,
    /// Moisture at the wettest.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    wet: String,
    /// How much of the middle is glued, to be judged; the whole joint unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    glue_over: Option<String>,
    /// Diameter of the screws, if the joint floats.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    screw: Option<String>,
    /// From the fixed point to the farthest screw; half the joint unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    from_fixed: Option<String>,
    #[command(flatten)]
    woods: WoodFlags,
    #[command(flatten)]
    rings: RingFlags,
}

/// Reads the three moistures of a single answer and checks their order.
///
/// # Errors
/// [`Failure`] when one cannot be read, or the driest is wetter than the wettest.
pub(super) fn three_moistures(from: &str, dry: &str, wet: &str) -> Result<ThreeMoistures, Failure> {
    let today = read::<MoistureContent>("from", from)?;
    let dry = read::<MoistureContent>("dry", dry)?;
    let wet = read::<MoistureContent>("wet", wet)?;
    if dry > wet {
        return Err(Failure::input(format!(
            "error: --dry {}% is wetter than --wet {}%; swap the two",
            dry.percent(),
            wet.percent()
        )));
    }
    Ok(ThreeMoistures { today, dry, wet })
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag cannot be read or a wood is unknown.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let width = read_length("width", &args.width, Bounds::WIDTH)?;
    let thickness = read_length("thickness", &args.thickness, Bounds::THICKNESS)?;
    let to_thickness = read_length("to-thickness", &args.to_thickness, Bounds::THICKNESS)?;
    let moistures = three_moistures(&args.from, &args.dry, &args.wet)?;
    let length = |flag, text: Option<&String>, bounds| {
        text.map(|text| read_length(flag, text, bounds)).transpose()
    };
    let band = length("band", args.band.as_ref(), Bounds::BOARD_LENGTH)?.unwrap_or(width);
    let reach = length("reach", args.reach.as_ref(), Bounds::BOARD_LENGTH)?.unwrap_or(band);
    let glue_over = length("glue-over", args.glue_over.as_ref(), Bounds::WIDTH)?;
    let screw = read_optional::<Length>("screw", args.screw.as_ref())?
        .unwrap_or(Length::from_mm_unchecked(defaults::SCREW_MM));
    let from_fixed =
        length("from-fixed", args.from_fixed.as_ref(), Bounds::WIDTH)?.unwrap_or(width / 2.0);
    if let Some(over) = glue_over
        && over > width
    {
        return Err(Failure::input(
            "error: --glue-over is longer than the joint; make it shorter than --width",
        ));
    }
    let table = args.woods.table()?;
    let (found, to) = (
        named(&table, "species", &args.species)?,
        named(&table, "to", &args.to)?,
    );
    let rings = args.rings.rings_or_flat(width, thickness, &found)?;
    let (wood, holder) = (found.species, to.species);
    let rings_known = args.rings.given_or(&found)?.give_cup();
    let mut cautions = found.cautions;
    cautions.extend(to.cautions);
    cautions.dedup();
    let part = |wood: &Species, thickness, rings| SinglePart {
        section: Section {
            width,
            thickness,
            rings,
        },
        shrinkage: Shrinkage::of(wood),
        source_spread: wood.source_spread,
        moistures,
    };
    let holds_axis = if args.same_grain {
        Axis::Width
    } else {
        Axis::Length
    };
    let holder_rings = if args.same_grain {
        rings
    } else {
        Sawn::Flat.rings()
    };
    let parts = [
        part(wood, thickness, rings),
        part(holder, to_thickness, holder_rings),
    ];
    let plies = [
        Ply::of(
            wood,
            Axis::Width,
            Axis::Thickness,
            &parts[0].section,
            thickness,
        ),
        Ply::of(
            holder,
            holds_axis,
            Axis::Thickness,
            &parts[1].section,
            to_thickness,
        ),
    ];
    let driest = moistures.dry.percent();
    let later = [moistures.dry, moistures.wet].map(MoistureContent::percent);
    let own = [(&parts[0], Axis::Width), (&parts[1], holds_axis)].map(|(part, axis)| {
        if axis != Axis::Width || !rings_known {
            return Curvature::ZERO;
        }
        let curve = Curve::new(part.section, &part.shrinkage, moistures.today);
        own_cup(&curve, width, moistures.today.percent(), later)
    });
    let spreads = Spreads::default();
    let line = BondLine {
        lag: ShearLag::new(plies[0], plies[1], 0.0),
        width,
        moving: Across::of(wood, Axis::Width, &plies[0], &parts[0].section, driest),
        holding: Across::of(holder, holds_axis, &plies[1], &parts[1].section, driest),
        stiffer: [1.0; 2],
        spread: SplitSpread::new(spreads.strength_cov, spreads.stiffness_cov),
        free: (!args.held_flat).then(|| FreePair {
            layers: plies.map(|ply| Layer {
                thickness: ply.thickness,
                modulus: ply.modulus,
            }),
            own,
        }),
        band,
        reach,
        shear_strength: Stress::computed_mpa(wood.shear_strength_mpa().value),
    };
    let asked = AskedBond {
        line,
        design: glue_over.map_or(Design::Glued, Design::GluedOver),
        same_grain: args.same_grain,
        loosened: Loosened::Slots,
        screw,
        from_fixed,
        rings_known,
        units: UnitSystem::Metric,
    };
    let (middle, judged) = single_bond(&asked, &parts, (Axis::Width, holds_axis), &spreads);
    let mut rules: Vec<String> = Ply::rules_used(wood, Axis::Width)
        .into_iter()
        .chain(Ply::rules_used(holder, holds_axis))
        .chain(Shrinkage::rules_used(wood, false))
        .map(str::to_owned)
        .collect();
    rules.sort_unstable();
    rules.dedup();
    rules.splice(0..0, cautions);
    let object = json!({
        "species": wood.name,
        "to": holder.name,
        "width_mm": width.mm(),
        "glued_mm": glue_over.unwrap_or(width).mm(),
        "verdict": judged.verdict,
        "advice": judged.advice.key(),
        "reason": judged.reason,
        "split_chance_percent": judged.split.chance(),
        "split_by_stress_chance_percent": 100.0 * judged.split.by_stress,
        "split_by_strain_chance_percent": 100.0 * judged.split.by_strain,
        "glue_middle_mm": judged.glue_middle.map(Length::mm),
        "slot_mm": judged.slot.length.mm(),
        "slot_travel_mm": judged.slot.travel.mm(),
        "screw_in_slot_mm": judged.slot.screw_from_dry_end.mm(),
        "strain_driest": middle.driest.ratio(),
        "strain_wettest": middle.wettest.ratio(),
        "same_grain": args.same_grain,
        "residue_mm": judged.residue.mm(),
        "tension_strain": judged.designed.tension.ratio(),
        "tension_mpa": judged.designed.stress.mpa(),
        "tension_strength_mpa": judged.designed.strength.mpa(),
        "compression_strain": judged.designed.compression.ratio(),
        "cup_free_mm": judged.cup_free.mm(),
        "wet_set_mm": judged.wet_set.mm(),
        "strain_held_fraction": judged.held_fraction,
        "end_shear_mpa": judged.whole.end_shear.mpa(),
        "rolling_shear_strength_mpa": ROLLING_SHEAR_SHARE * line.shear_strength.mpa(),
        "end_shear_share": judged.designed.end_shear_share,
        "by_length": keyed(&judged.by_length).unwrap_or_default(),
        "remedies": keyed(&judged.remedies).unwrap_or_default(),
        "rules": rules,
    });
    let mut text = String::new();
    let _never_fails = write!(
        text,
        "{} across {}, {} of joint: {}.\n{}\n\nAs {}: {}. {}\n\n\
         Free to move, it gets {} narrower at the driest and {} wider at the wettest; {} of that is held back at the middle.\n\
         If it floats: slots {} long at {} from the fixed point, the screw today {} from the end toward it.\n\n{}",
        holder.name,
        wood.name,
        both(width),
        judged.verdict.word(),
        asked.to_do(&judged),
        if glue_over.is_some() {
            "given"
        } else {
            "glued whole"
        },
        judged.verdict.word(),
        sentence(&judged.reason),
        both(width * middle.driest.ratio().abs()),
        both(width * middle.wettest.ratio().abs()),
        percent_shown(100.0 * judged.held_fraction),
        both(judged.slot.length),
        both(from_fixed),
        both(judged.slot.screw_from_dry_end),
        bond_table(&judged.by_length),
    );
    for rule in rules {
        let _never_fails = write!(text, "\nNote: {rule}.");
    }
    output.answer(&object, &text)?;
    Ok(ExitCode::SUCCESS)
}

/// A reason as a sentence of its own.
fn sentence(reason: &str) -> String {
    capital(reason) + "."
}
