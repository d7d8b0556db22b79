//! `heartside fit`: one fit without a job file.

use super::bond::three_moistures;
use super::rings::{RingFlags, read_length};
use super::{Desk, Failure, both, species};
use crate::chance::{Verdict, in_hundred};
use crate::forecast::{SinglePart, single_fit};
use crate::joint::fit::FitWords;
use crate::joint::{Aim, Axis, Fit, Greatest, PartId, Size, Term, When, defaults};
use crate::movement::{Sawn, Section, Shrinkage};
use crate::units::notation::millimetres;
use crate::units::told::ReadNotation;
use crate::units::{Bounds, Length, Temperature};
use serde_json::json;
use std::fmt::Write as _;
use std::process::ExitCode;

/// One fit: what to cut today so that the gap stays within its limits at the driest and the wettest.
///
/// The gap is the opening (and, with --depth or --cut depth, the grooves at both its sides) less the guest; a guest
/// held at its centre shows half of it at each side.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The wood of the guest: the panel, door, shelf or tenon.
    #[arg(long, value_name = "NAME")]
    species: String,
    /// Size of the guest today along the direction judged. Left out with --cut guest.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    guest: Option<String>,
    /// The axis of the guest that is judged.
    #[arg(long, value_enum, default_value = "width")]
    axis: AxisFlag,
    /// Thickness of the guest, for rings told by the pith or an arc.
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "20mm",
        allow_hyphen_values = true
    )]
    thickness: String,
    /// Clear opening today, between the edges of its host. Left out with --cut opening.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    opening: Option<String>,
    /// Depth of the groove at each side of the opening, to be judged.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    depth: Option<String>,
    /// What is still to be cut; without it the sizes told are judged.
    #[arg(long, value_enum)]
    cut: Option<CutFlag>,
    /// The wood of the host; that of the guest unless told.
    #[arg(long, value_name = "NAME")]
    host_species: Option<String>,
    /// The axis of the host along the opening.
    #[arg(long, value_enum, default_value = "length")]
    host_axis: AxisFlag,
    /// Where the guest is held.
    #[arg(long, value_enum, default_value = "centre")]
    held: HeldFlag,
    /// Least gap a side; 1 mm in grooves, else 0.8 mm.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    least: Option<String>,
    /// Greatest gap a side; 3 mm unless told or held by a groove.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    greatest: Option<String>,
    /// Least of the guest still in its groove, with --depth or --cut depth; 5 mm unless told.
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
    /// Your own table of woods (CSV), which stands in front of the built-in one; `-` is standard input.
    #[arg(long, value_name = "FILE")]
    species_table: Option<String>,
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
    /// The guest.
    Guest,
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

/// The fit that the flags tell, and the size of the guest for its section.
fn fit_of(args: &Args) -> Result<(Fit, Length), Failure> {
    let length = |flag: &str, text: Option<&String>, bounds| {
        text.map(|text| read_length(flag, text, bounds)).transpose()
    };
    let guest = length("guest", args.guest.as_ref(), Bounds::BOARD_LENGTH)?;
    let opening = length("opening", args.opening.as_ref(), Bounds::BOARD_LENGTH)?;
    let depth = length("depth", args.depth.as_ref(), Bounds::CUT_DEPTH)?;
    let told = |flag: &str, size: Option<Length>| {
        size.ok_or_else(|| {
            Failure::input(format!(
                "error: --{flag} is not told; give it, or ask for it with --cut {flag}"
            ))
        })
    };
    let asked = |what: CutFlag, size: Option<Length>, flag: &str| {
        if args.cut != Some(what) {
            return told(flag, size).map(Size::Known);
        }
        match size {
            None => Ok(Size::Cut),
            Some(_) => Err(Failure::input(format!(
                "error: --{flag} is told and asked for; leave out one of --{flag} and --cut {flag}"
            ))),
        }
    };
    let grooved = depth.is_some() || args.cut == Some(CutFlag::Depth);
    let (host_axis, guest_axis) = (args.host_axis.axis(), args.axis.axis());
    let groove = if grooved {
        Some(asked(CutFlag::Depth, depth, "depth")?)
    } else {
        None
    };
    // Without a cut asked for, the guest is what is judged: it is the size a maker can still change.
    let judged = args.cut.is_none();
    let guest_size = if judged {
        told("guest", guest).map(|_| Size::Cut)?
    } else {
        asked(CutFlag::Guest, guest, "guest")?
    };
    let opening_size = asked(CutFlag::Opening, opening, "opening")?;
    let groove_term = groove.map(|size| Term {
        part: HOST,
        axis: Axis::Width,
        size,
    });
    let mut host = vec![Term {
        part: HOST,
        axis: host_axis,
        size: opening_size,
    }];
    host.extend(groove_term.into_iter().chain(groove_term));
    let usual_least = if grooved {
        defaults::PANEL_CLEARANCE_MM
    } else {
        defaults::INSET.0
    };
    let least = length("least", args.least.as_ref(), Bounds::LENGTH)?
        .unwrap_or(Length::computed_mm(usual_least));
    let greatest = length("greatest", args.greatest.as_ref(), Bounds::LENGTH)?;
    let engagement = length("engagement", args.engagement.as_ref(), Bounds::DEPTH)?;
    let greatest = match (groove_term, greatest) {
        (_, Some(gap)) if gap <= least => {
            return Err(Failure::input(format!(
                "error: --greatest {} is not above --least {}; leave room between the two",
                millimetres(gap),
                millimetres(least)
            )));
        }
        (Some(_), Some(_)) => {
            return Err(Failure::input(
                "error: in grooves the greatest gap follows from --engagement; leave out --greatest",
            ));
        }
        (Some(reach), None) => Greatest::Holding {
            reach,
            least: engagement.unwrap_or(Length::computed_mm(defaults::PANEL_ENGAGEMENT_MM)),
        },
        (None, gap) => {
            if engagement.is_some() {
                return Err(Failure::input(
                    "error: --engagement needs a groove; give --depth, or ask for it with --cut depth",
                ));
            }
            Greatest::Gap(gap.unwrap_or(Length::computed_mm(defaults::INSET.1)))
        }
    };
    let (cut, dimension, aim) = match args.cut {
        Some(CutFlag::Depth) => ("groove", "deep", Aim::Least),
        Some(CutFlag::Opening) => ("opening", "wide", Aim::Middle),
        Some(CutFlag::Guest) | None => ("guest", "wide", Aim::Middle),
    };
    let fit = Fit {
        name: "fit".into(),
        host,
        guest: vec![Term {
            part: GUEST,
            axis: guest_axis,
            size: guest_size,
        }],
        share: if args.held == HeldFlag::Centre {
            0.5
        } else {
            1.0
        },
        least,
        greatest,
        given: judged.then_some(guest).flatten(),
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
            too_tight: "it binds or pushes its host apart".into(),
            too_loose: if grooved {
                "it slips out of the groove".into()
            } else {
                "the gap looks wide".into()
            },
        },
    };
    Ok((fit, guest.or(opening).unwrap_or(Length::computed_mm(300.0))))
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag cannot be read, sizes are missing or contradict each other, or a wood is unknown.
pub fn run(args: Args, desk: &mut Desk<'_>) -> Result<ExitCode, Failure> {
    let (fit, size) = fit_of(&args)?;
    let moistures = three_moistures(&args.from, &args.dry, &args.wet)?;
    let temperature = Temperature::read(&args.temperature)
        .map_err(|error| Failure::input(format!("error: --temperature {error}")))?;
    let thickness = read_length("thickness", &args.thickness, Bounds::THICKNESS)?;
    let rings = if args.rings.is_told() {
        args.rings.rings(size, thickness)?
    } else {
        Sawn::Flat.rings()
    };
    let table = species::table(args.species_table.as_deref())?;
    let find = |flag: &str, name: &str| {
        table
            .find(name)
            .map_err(|error| Failure::input(format!("error: --{flag} {error}")))
    };
    let wood = find("species", &args.species)?;
    let host = args
        .host_species
        .as_deref()
        .map_or(Ok(wood), |name| find("host-species", name))?;
    let part = |wood, rings| SinglePart {
        section: Section {
            width: size,
            thickness,
            rings,
        },
        shrinkage: Shrinkage::of(wood),
        moistures,
    };
    let answer = single_fit(
        &fit,
        &[part(wood, rings), part(host, Sawn::Flat.rings())],
        temperature,
    );
    let judged = &answer.judged;
    let verdict = Verdict::of_chance(judged.holds_percent);
    let least = judged.least.about(answer.middle.least_mm);
    let greatest = judged.greatest.about(answer.middle.greatest_mm);
    let held = match fit.greatest {
        Greatest::Holding { least, .. } => {
            Some((answer.middle.spare_loose_mm + least.mm()).max(0.0))
        }
        Greatest::Any | Greatest::Gap(_) => None,
    };
    let mut rules = Shrinkage::rules_used(wood, false);
    rules.extend(Shrinkage::rules_used(host, true));
    rules.sort_unstable();
    rules.dedup();
    let object = json!({
        "species": wood.name,
        "host_species": host.name,
        "cut": fit.words.cut,
        "cut_mm": judged.cut_mm,
        "cut_told": fit.given.is_some(),
        "gap_today_mm": answer.gaps_mm[0],
        "gap_driest_mm": answer.gaps_mm[1],
        "gap_wettest_mm": answer.gaps_mm[2],
        "gap_least_mm": least.middle,
        "gap_least_low_mm": least.low,
        "gap_least_high_mm": least.high,
        "gap_greatest_mm": greatest.middle,
        "gap_greatest_low_mm": greatest.low,
        "gap_greatest_high_mm": greatest.high,
        "held_least_mm": held,
        "survives_humidity_percent": answer.survives_humidity_percent,
        "holds_chance_percent": judged.holds_percent,
        "too_tight_chance_percent": judged.tight_percent,
        "too_loose_chance_percent": judged.loose_percent,
        "verdict": verdict,
        "rules": rules,
    });
    let mm = |mm: f64| both(Length::computed_mm(mm));
    let mut text = format!(
        "{} {} {}: {} (works in {}).\n\nThe {} is {} today, {} at the driest, {} at the wettest.",
        if fit.given.is_some() {
            format!("The {}, as told, is", fit.words.cut)
        } else if judged.cut_mm <= 0.0 && verdict == Verdict::Redo {
            format!("No {} of any size holds; the nearest is", fit.words.cut)
        } else {
            format!("Cut the {}", fit.words.cut)
        },
        mm(judged.cut_mm),
        fit.words.dimension,
        verdict.word(),
        in_hundred(judged.holds_percent),
        fit.words.gap,
        mm(answer.gaps_mm[0]),
        mm(answer.gaps_mm[1]),
        mm(answer.gaps_mm[2]),
    );
    if answer.gaps_mm.iter().any(|gap| *gap < 0.0) {
        text.push_str(" A gap below zero is no room at all: it presses.");
    }
    if held.is_some_and(|held| held <= 0.0) {
        text.push_str("\nAt the driest nothing of the guest is left in its groove.");
    } else if let Some(held) = held {
        let _never_fails = write!(
            text,
            "\nAt the driest {} of the guest is still in each groove.",
            mm(held)
        );
    }
    match answer.survives_humidity_percent {
        Some([low, high]) => {
            let _never_fails = write!(
                text,
                "\nIt survives a room kept anywhere from {low:.0} to {high:.0} % humidity."
            );
        }
        None => text.push_str("\nNo steady humidity of the room keeps it within its limits."),
    }
    for rule in rules {
        let _never_fails = write!(text, "\nNote: {rule}.");
    }
    desk.answer(&object, &text)?;
    Ok(ExitCode::SUCCESS)
}
