//! `heartside fit`: one fit without a job file.

use super::bond::three_moistures;
use super::ring_flags::{RingFlags, read_length};
use super::woods::{WoodFlags, named};
use super::{Failure, Output, both};
use crate::chance::{Verdict, in_hundred};
use crate::forecast::{SinglePart, single_fit};
use crate::joint::fit::FitWords;
use crate::joint::{Aim, Axis, Fit, MaxGap, PartId, Size, Term, When, defaults};
use crate::movement::{Sawn, Section, Shrinkage};
use crate::species::Species;
use crate::units::notation::millimetres;
use crate::units::spanned::ReadNotation;
use crate::units::{Bounds, Length, Temperature};
use serde_json::json;
use std::fmt::Write as _;
use std::process::ExitCode;

/// One fit: what to cut today so that the gap stays within its limits at the driest and the wettest.
///
/// The gap is the opening (and, with --depth or --cut depth, the grooves at both its sides) less the part; a part
/// held at its centre shows half of it at each side.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The wood of the part: the panel, door, shelf or tenon.
    #[arg(long, value_name = "NAME")]
    species: String,
    /// Size of the part today along the direction judged. Left out with --cut part.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    part: Option<String>,
    /// The axis of the part that is judged.
    #[arg(long, value_enum, default_value = "width")]
    axis: AxisFlag,
    /// Thickness of the part, for rings given by the pith or an arc.
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "20mm",
        allow_hyphen_values = true
    )]
    thickness: String,
    /// Clear opening today, from edge to edge. Left out with --cut opening.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    opening: Option<String>,
    /// Depth of the groove at each side of the opening, to be judged.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    depth: Option<String>,
    /// What is still to be cut; without it the sizes given are judged.
    #[arg(long, value_enum)]
    cut: Option<CutFlag>,
    /// The wood around the opening; that of the part unless given.
    #[arg(long, value_name = "NAME")]
    opening_species: Option<String>,
    /// The axis of the parts around the opening that runs along it.
    #[arg(long, value_enum, default_value = "length")]
    opening_axis: AxisFlag,
    /// Where the part is held.
    #[arg(long, value_enum, default_value = "centre")]
    held: HeldFlag,
    /// Minimum gap a side; 1 mm in grooves, else 0.8 mm.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    min: Option<String>,
    /// Maximum gap a side; 3 mm unless given or held by a groove.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    max: Option<String>,
    /// Minimum depth of the part still in its groove, with --depth or --cut depth; 5 mm unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    engagement: Option<String>,
    /// Moisture today.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    from: String,
    /// Moisture at the driest.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    dry: String,
    /// Moisture at the wettest.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    wet: String,
    /// Temperature of the room, for the humidity the fit survives.
    #[arg(
        long,
        value_name = "TEMPERATURE",
        default_value = "20C",
        allow_hyphen_values = true
    )]
    temperature: String,
    #[command(flatten)]
    woods: WoodFlags,
    #[command(flatten)]
    rings: RingFlags,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum AxisFlag {
    /// Across the face.
    Width,
    /// Along the grain.
    Length,
    /// From face to face.
    Thickness,
}

impl AxisFlag {
    const fn axis(self) -> Axis {
        match self {
            Self::Width => Axis::Width,
            Self::Length => Axis::Length,
            Self::Thickness => Axis::Thickness,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum CutFlag {
    /// The depth of the grooves.
    Depth,
    /// The part.
    Part,
    /// The opening.
    Opening,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum HeldFlag {
    /// Both sides share the movement.
    Centre,
    /// All of it shows at one side.
    Edge,
}

const GUEST: PartId = PartId(0);
const HOST: PartId = PartId(1);

/// The fit that the flags tell, and the size of the part for its section.
fn fit_of(args: &Args) -> Result<(Fit, Length), Failure> {
    let length = |flag: &str, text: Option<&String>, bounds| {
        text.map(|text| read_length(flag, text, bounds)).transpose()
    };
    let part = length("part", args.part.as_ref(), Bounds::BOARD_LENGTH)?;
    let opening = length("opening", args.opening.as_ref(), Bounds::BOARD_LENGTH)?;
    let depth = length("depth", args.depth.as_ref(), Bounds::CUT_DEPTH)?;
    let given = |flag: &str, size: Option<Length>| {
        size.ok_or_else(|| {
            Failure::input(format!(
                "error: --{flag} is not given; give it, or ask for it with --cut {flag}"
            ))
        })
    };
    let asked = |what: CutFlag, size: Option<Length>, flag: &str| {
        if args.cut != Some(what) {
            return given(flag, size).map(Size::Known);
        }
        match size {
            None => Ok(Size::Cut),
            Some(_) => Err(Failure::input(format!(
                "error: --{flag} is given and asked for; leave out one of --{flag} and --cut {flag}"
            ))),
        }
    };
    let grooved = depth.is_some() || args.cut == Some(CutFlag::Depth);
    let (opening_axis, part_axis) = (args.opening_axis.axis(), args.axis.axis());
    let groove = if grooved {
        Some(asked(CutFlag::Depth, depth, "depth")?)
    } else {
        None
    };
    // Without a cut asked for, the part is what is judged: it is the size a maker can still change.
    let judged = args.cut.is_none();
    let part_size = if judged {
        given("part", part).map(|_| Size::Cut)?
    } else {
        asked(CutFlag::Part, part, "part")?
    };
    let opening_size = asked(CutFlag::Opening, opening, "opening")?;
    let groove_term = groove.map(|size| Term {
        part: HOST,
        axis: Axis::Width,
        size,
    });
    let mut opening_terms = vec![Term {
        part: HOST,
        axis: opening_axis,
        size: opening_size,
    }];
    opening_terms.extend(groove_term.into_iter().chain(groove_term));
    let usual_min = if grooved {
        defaults::PANEL_CLEARANCE_MM
    } else {
        defaults::INSET.0
    };
    let min = length("min", args.min.as_ref(), Bounds::LENGTH)?
        .unwrap_or(Length::from_mm_unchecked(usual_min));
    let max = length("max", args.max.as_ref(), Bounds::LENGTH)?;
    let engagement = length("engagement", args.engagement.as_ref(), Bounds::DEPTH)?;
    let max = match (groove_term, max) {
        (_, Some(gap)) if gap <= min => {
            return Err(Failure::input(format!(
                "error: --max {} is not above --min {}; leave clearance between the two",
                millimetres(gap),
                millimetres(min)
            )));
        }
        (Some(_), Some(_)) => {
            return Err(Failure::input(
                "error: in grooves the maximum gap follows from --engagement; leave out --max",
            ));
        }
        (Some(reach), None) => MaxGap::Holding {
            reach,
            min: engagement.unwrap_or(Length::from_mm_unchecked(defaults::PANEL_ENGAGEMENT_MM)),
        },
        (None, gap) => {
            if engagement.is_some() {
                return Err(Failure::input(
                    "error: --engagement needs a groove; give --depth, or ask for it with --cut depth",
                ));
            }
            MaxGap::Gap(gap.unwrap_or(Length::from_mm_unchecked(defaults::INSET.1)))
        }
    };
    let (cut, dimension, aim) = match args.cut {
        Some(CutFlag::Depth) => ("groove", "deep", Aim::Min),
        Some(CutFlag::Opening) => ("opening", "wide", Aim::Middle),
        Some(CutFlag::Part) | None => ("part", "wide", Aim::Middle),
    };
    let fit = Fit {
        name: "fit".into(),
        opening: opening_terms,
        part: vec![Term {
            part: GUEST,
            axis: part_axis,
            size: part_size,
        }],
        share: if args.held == HeldFlag::Centre {
            0.5
        } else {
            1.0
        },
        min,
        max,
        given: judged.then_some(part).flatten(),
        aim,
        when: When::Always,
        words: FitWords {
            cut,
            dimension,
            gap: if args.held == HeldFlag::Centre {
                "gap on each side".into()
            } else {
                "gap at the free side".into()
            },
            too_tight: "it binds or pushes its opening apart".into(),
            too_loose: if grooved {
                "it slips out of the groove".into()
            } else {
                "the gap looks wide".into()
            },
        },
    };
    Ok((
        fit,
        part.or(opening).unwrap_or(Length::from_mm_unchecked(300.0)),
    ))
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag cannot be read, sizes are missing or contradict each other, or a wood is unknown.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let (fit, size) = fit_of(&args)?;
    let moistures = three_moistures(&args.from, &args.dry, &args.wet)?;
    let temperature = Temperature::read(&args.temperature)
        .map_err(|error| Failure::input(format!("error: --temperature {error}")))?;
    let thickness = read_length("thickness", &args.thickness, Bounds::THICKNESS)?;
    let table = args.woods.table()?;
    let found = named(&table, "species", &args.species)?;
    let wood = found.species;
    let rings = args.rings.rings_or_flat(size, thickness, &found)?;
    let mut cautions = found.cautions;
    let opening = match args.opening_species.as_deref() {
        None => wood,
        Some(name) => {
            let opening = named(&table, "opening-species", name)?;
            cautions.extend(opening.cautions);
            opening.species
        }
    };
    let part = |wood: &Species, rings| SinglePart {
        section: Section {
            width: size,
            thickness,
            rings,
        },
        shrinkage: Shrinkage::of(wood),
        source_spread: wood.source_spread,
        moistures,
    };
    let answer = single_fit(
        &fit,
        &[part(wood, rings), part(opening, Sawn::Flat.rings())],
        temperature,
    );
    let judged = &answer.judged;
    let verdict = Verdict::of_chance(judged.holds);
    let (min, max) = (judged.min, judged.max);
    let [today, driest, wettest] = answer.gaps;
    let mut rules: Vec<String> = Shrinkage::rules_used(wood, false)
        .into_iter()
        .chain(Shrinkage::rules_used(opening, true))
        .map(str::to_owned)
        .collect();
    rules.sort_unstable();
    rules.dedup();
    cautions.dedup();
    rules.splice(0..0, cautions);
    let object = json!({
        "species": wood.name,
        "opening_species": opening.name,
        "cut": fit.words.cut,
        "cut_mm": judged.cut,
        "cut_given": fit.given.is_some(),
        "gap_today_mm": today,
        "gap_driest_mm": driest,
        "gap_wettest_mm": wettest,
        "gap_min_mm": min.middle,
        "gap_min_low_mm": min.low,
        "gap_min_high_mm": min.high,
        "gap_max_mm": max.middle,
        "gap_max_low_mm": max.low,
        "gap_max_high_mm": max.high,
        "held_min_mm": answer.held,
        "survives_humidity_percent": answer.survives_humidity,
        "holds_chance_percent": judged.holds,
        "too_tight_chance_percent": judged.tight,
        "too_loose_chance_percent": judged.loose,
        "verdict": verdict,
        "rules": rules,
    });
    let mut text = format!(
        "{} {} {}: {} (chance {}).\n\nThe {} is {} today, {} at the driest, {} at the wettest.",
        if fit.given.is_some() {
            format!("The {}, as given, is", fit.words.cut)
        } else if judged.cut <= Length::ZERO && verdict == Verdict::Fails {
            format!("No {} of any size holds; the nearest is", fit.words.cut)
        } else {
            format!("Cut the {}", fit.words.cut)
        },
        both(judged.cut),
        fit.words.dimension,
        verdict.word(),
        in_hundred(judged.holds),
        fit.words.gap,
        both(today),
        both(driest),
        both(wettest),
    );
    if answer.gaps.iter().any(|gap| *gap < Length::ZERO) {
        text.push_str(" A gap below zero is no room at all: it presses.");
    }
    if answer.held.is_some_and(|held| held <= Length::ZERO) {
        text.push_str("\nAt the driest nothing of the part is left in its groove.");
    } else if let Some(held) = answer.held {
        let _never_fails = write!(
            text,
            "\nAt the driest {} of the part is still in each groove.",
            both(held)
        );
    }
    match answer.survives_humidity {
        Some([low, high]) => {
            let _never_fails = write!(
                text,
                "\nIt survives a room kept anywhere from {:.0} to {:.0} % humidity.",
                low.percent(),
                high.percent()
            );
        }
        None => text.push_str("\nNo steady humidity of the room keeps it within its limits."),
    }
    for rule in rules {
        let _never_fails = write!(text, "\nNote: {rule}.");
    }
    output.answer(&object, &text)?;
    Ok(ExitCode::SUCCESS)
}
