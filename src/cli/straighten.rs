//! `heartside straighten`: a bowed panel forced straight by its supports.

use super::ring_flags::{read, read_length, read_optional};
use super::woods::{WoodFlags, named};
use super::{Failure, Output, both};
use crate::carcass::{
    BestPlaces, BowedPanel, Caution, Change, Closing, Grip, HeldPanel, Support, Variation,
    best_places, closing_forces, straighten, variations,
};
use crate::panel::felt;
use crate::report::keyed;
use crate::units::notation::Lengths;
use crate::units::{Bounds, Length, Stress};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::process::ExitCode;

/// Forces, residual bow and stress of a bowed panel held straight by supports.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Length of the panel along the supports.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    length: String,
    /// Width of the panel.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    width: String,
    /// Thickness of the panel.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    thickness: String,
    /// Rise of the bow over the whole length.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    bow: String,
    /// Stiffness along the grain, such as 11GPa; or give --species.
    #[arg(long, value_name = "STRESS", allow_hyphen_values = true)]
    stiffness: Option<String>,
    /// The wood, for its stiffness and strength.
    #[arg(long, value_name = "NAME")]
    species: Option<String>,
    /// Places of the supports from one end, commas between.
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    supports: String,
    /// Those of the supports that can only push against the crown.
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    push_only: Option<String>,
    /// Those of the supports that can only push against the hollow face.
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    push_hollow: Option<String>,
    /// Those of the supports that also keep the panel from turning.
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    turn_held: Option<String>,
    /// Find the places of the inner supports that leave the smallest residual bow.
    #[arg(long)]
    optimise: bool,
    /// Narrowest compartment allowed with --optimise; half the equal spacing unless given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    min_spacing: Option<String>,
    /// Rise of a cup over the width, flattened at each support as well.
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        requires = "across"
    )]
    cup: Option<String>,
    /// Places of the fastenings across the width at each support.
    #[arg(
        long,
        value_name = "LENGTHS",
        allow_hyphen_values = true,
        requires = "cup"
    )]
    across: Option<String>,
    /// Stiffness across the grain, for the cup; else that of the wood.
    #[arg(
        long,
        value_name = "STRESS",
        allow_hyphen_values = true,
        requires = "cup"
    )]
    stiffness_across: Option<String>,
    #[command(flatten)]
    woods: WoodFlags,
}

struct Answer {
    panel: BowedPanel,
    held: HeldPanel,
    closing: Vec<Closing>,
    strength: Option<Stress>,
    changes: Vec<Variation>,
    best: Option<BestPlaces>,
    across: Option<HeldPanel>,
    notes: Vec<String>,
}

/// Stiffness and strength, given or of the wood.
struct Wood {
    stiffness: Stress,
    across: Option<Stress>,
    strength: Option<Stress>,
    notes: Vec<String>,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag cannot be read, the wood is unknown or the supports do not hold the panel.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let length = read_length("length", &args.length, Bounds::BOARD_LENGTH)?;
    let wood = wood(&args)?;
    let panel = BowedPanel::new(
        length,
        read_length("width", &args.width, Bounds::WIDTH)?,
        read_length("thickness", &args.thickness, Bounds::THICKNESS)?,
        wood.stiffness,
        read::<Length>("bow", &args.bow)?,
    )
    .map_err(wrong)?;
    let supports = supports(&args)?;
    let held = straighten(&panel, &supports).map_err(wrong)?;
    let closing = closing_forces(&panel, &supports).map_err(wrong)?;
    let best = args
        .optimise
        .then(|| optimised(&panel, &supports, args.min_spacing.as_ref()))
        .transpose()?;
    let across = across(&args, &panel, &supports, wood.across)?;
    let answer = Answer {
        panel,
        held,
        closing,
        strength: wood.strength,
        changes: variations(&panel, &supports, panel.length() / 20.0),
        best,
        across,
        notes: wood.notes,
    };
    output.answer(&answer.object(), &answer.words())?;
    Ok(ExitCode::SUCCESS)
}

fn wrong(error: crate::units::Refusal) -> Failure {
    Failure::input(format!("error: {error}"))
}

fn stiffness(flag: &str, text: &str) -> Result<Stress, Failure> {
    let value = read::<Stress>(flag, text)?;
    match Bounds::MODULUS.check(value.mpa()) {
        Ok(_) => Ok(value),
        Err(error) => Err(Failure::input(format!("error: --{flag} `{text}`: {error}"))),
    }
}

fn wood(args: &Args) -> Result<Wood, Failure> {
    let given = args
        .stiffness
        .as_ref()
        .map(|text| stiffness("stiffness", text))
        .transpose()?;
    let given_across = args
        .stiffness_across
        .as_ref()
        .map(|text| stiffness("stiffness-across", text))
        .transpose()?;
    let Some(name) = &args.species else {
        let stiffness = given.ok_or_else(|| {
            Failure::input(
                "error: the stiffness is not given; give --stiffness 11GPa, or the wood with --species",
            )
        })?;
        return Ok(Wood {
            stiffness,
            across: given_across,
            strength: None,
            notes: Vec::new(),
        });
    };
    let table = args.woods.table()?;
    let found = named(&table, "species", name)?;
    let wood = found.species;
    let (along, across) = (wood.modulus_mpa(), wood.modulus_across_mpa());
    let strength = wood.bending_strength_mpa();
    let mut notes = found.cautions;
    let rules = [
        (given.is_none(), along.rule),
        (args.cup.is_some() && given_across.is_none(), across.rule),
        (true, strength.rule),
    ];
    notes.extend(
        rules
            .into_iter()
            .filter_map(|(used, rule)| rule.filter(|_| used))
            .map(str::to_owned),
    );
    Ok(Wood {
        stiffness: given.unwrap_or(Stress::computed_mpa(along.value)),
        across: Some(given_across.unwrap_or(Stress::computed_mpa(across.value))),
        strength: Some(Stress::computed_mpa(strength.value)),
        notes,
    })
}

fn supports(args: &Args) -> Result<Vec<Support>, Failure> {
    let Lengths(places) = read("supports", &args.supports)?;
    let mut supports: Vec<Support> = places.into_iter().map(Support::at).collect();
    let mut mark = |flag: &str, text: Option<&String>, change: &dyn Fn(&mut Support)| {
        let Some(Lengths(places)) = read_optional(flag, text)? else {
            return Ok(());
        };
        for place in places {
            let near = |support: &&mut Support| (support.at - place).abs().mm() < 0.01;
            let Some(support) = supports.iter_mut().find(near) else {
                return Err(Failure::input(format!(
                    "error: --{flag} names {}, but there is no support there; name places of --supports",
                    both(place)
                )));
            };
            change(support);
        }
        Ok(())
    };
    mark("push-only", args.push_only.as_ref(), &|support| {
        *support = support.clone().with_grip(Grip::AgainstCrown);
    })?;
    mark("push-hollow", args.push_hollow.as_ref(), &|support| {
        *support = support.clone().with_grip(Grip::AgainstHollow);
    })?;
    mark("turn-held", args.turn_held.as_ref(), &|support| {
        support.turn_held = true;
    })?;
    Ok(supports)
}

/// The outermost supports stay; as many dividers as there are inner ones are placed again.
fn optimised(
    panel: &BowedPanel,
    supports: &[Support],
    spacing: Option<&String>,
) -> Result<BestPlaces, Failure> {
    let mut sorted = supports.to_vec();
    sorted.sort_by(|a, b| a.at.mm().total_cmp(&b.at.mm()));
    let inner = sorted.len().saturating_sub(2);
    if inner == 0 {
        return Err(Failure::input(
            "error: --optimise has no support to move; give at least three places in --supports",
        ));
    }
    let ends = [sorted[0].clone(), sorted[sorted.len() - 1].clone()];
    let spacing = read_optional::<Length>("minimum-spacing", spacing)?
        .unwrap_or((ends[1].at - ends[0].at) / (2 * (inner + 1)) as f64);
    best_places(panel, &ends, inner, spacing).map_err(wrong)
}

fn across(
    args: &Args,
    panel: &BowedPanel,
    supports: &[Support],
    stiffness: Option<Stress>,
) -> Result<Option<HeldPanel>, Failure> {
    let (Some(cup), Some(places)) = (&args.cup, &args.across) else {
        return Ok(None);
    };
    let stiffness = stiffness.ok_or_else(|| {
        Failure::input(
            "error: the stiffness across the grain is not given; give --stiffness-across 0.7GPa, or the wood with --species",
        )
    })?;
    let Lengths(places) = read("across", places)?;
    let at: Vec<Length> = supports.iter().map(|support| support.at).collect();
    let strip = panel
        .strip_across(read("cup", cup)?, stiffness, panel.max_share(&at))
        .map_err(wrong)?;
    let fastenings: Vec<Support> = places.into_iter().map(Support::at).collect();
    straighten(&strip, &fastenings).map(Some).map_err(wrong)
}

fn change(change: &Change) -> String {
    match change {
        Change::LeftOut(at) => format!("without the support at {}", both(*at)),
        Change::Moved { from, to } => {
            format!("{} moved to {}", both(*from), both(*to))
        }
        Change::Added(at) => format!("one more at {}", both(*at)),
    }
}

fn forces(held: &HeldPanel) -> Vec<f64> {
    held.supports
        .iter()
        .map(|s| s.against_crown.newtons())
        .collect()
}

impl Answer {
    fn object(&self) -> Value {
        let held = &self.held;
        let lost: Vec<Value> = held
            .supports
            .iter()
            .filter_map(|s| {
                s.lost_by
                    .map(|gap| json!({ "at_mm": s.at.mm(), "gap_mm": gap.mm() }))
            })
            .collect();
        let remaining = |i: usize| -> Vec<f64> {
            held.supports
                .iter()
                .map(|s| s.after_months[i].newtons())
                .collect()
        };
        json!({
            "supports_mm": held.supports.iter().map(|s| s.at.mm()).collect::<Vec<_>>(),
            "forces_n": forces(held),
            "forces_after_months_low_n": remaining(0),
            "forces_after_months_high_n": remaining(1),
            "lost_supports": lost,
            "forces_felt": held.supports.iter().map(|s| felt(s.against_crown)).collect::<Vec<_>>(),
            "leftover_mm": held.leftover.mm(),
            "leftover_at_mm": held.leftover_at.mm(),
            "leftover_toward_crown": held.leftover_toward_crown,
            "stress_mpa": held.stress.mpa(),
            "stress_at_mm": held.stress_at.mm(),
            "stress_held_everywhere_mpa": self.panel.stress_held_everywhere().mpa(),
            "bending_strength_mpa": self.strength.map(Stress::mpa),
            "bow_if_freed_after_months_low_mm": held.bow_if_freed[0].mm(),
            "bow_if_freed_after_months_high_mm": held.bow_if_freed[1].mm(),
            "closing": keyed(&self.closing).unwrap_or_default(),
            "variations": self.changes.iter().map(|one| {
                let held = one.held.as_ref().ok();
                json!({
                    "change": change(&one.change),
                    "leftover_mm": held.map(|held| held.leftover.mm()),
                    "stress_mpa": held.map(|held| held.stress.mpa()),
                    "forces_n": held.map(forces),
                    "problem": one.held.as_ref().err().map(ToString::to_string),
                })
            }).collect::<Vec<_>>(),
            "best": keyed(&self.best).unwrap_or_default(),
            "across": self.across.as_ref().map(|held| json!({
                "fastenings_mm": held.supports.iter().map(|s| s.at.mm()).collect::<Vec<_>>(),
                "forces_n": forces(held),
                "leftover_mm": held.leftover.mm(),
                "stress_mpa": held.stress.mpa(),
            })),
            "notes": self.notes,
            "cautions": self.cautions(),
        })
    }

    fn cautions(&self) -> Vec<&'static str> {
        [Caution::StoredForce, Caution::NotStructural]
            .map(Caution::text)
            .to_vec()
    }

    fn words(&self) -> String {
        let held = &self.held;
        let mut text = format!(
            "Held by {} supports, a bow of {} is left as a residual bow of {} at {}.\n\n",
            held.supports.len(),
            both(self.panel.bow()),
            both(held.leftover),
            both(held.leftover_at),
        );
        let mut line = |words: String| {
            text.push_str(&words);
            text.push('\n');
        };
        for support in &held.supports {
            let force = support.against_crown.newtons();
            let way = match support.lost_by {
                Some(gap) => format!("lost: a gap of {}", both(gap)),
                None if force >= 0.0 => {
                    format!(
                        "{force:>9.1} N  presses on the crown, {}",
                        felt(support.against_crown)
                    )
                }
                None => format!(
                    "{:>9.1} N  presses on the hollow face, or pulls the crown, {}",
                    -force,
                    felt(support.against_crown)
                ),
            };
            line(format!("at {:>20}  {way}", both(support.at)));
        }
        line(format!(
            "\nbending stress    {:.2} MPa at {}{}",
            held.stress.mpa(),
            both(held.stress_at),
            self.strength.map_or_else(String::new, |strength| format!(
                ", {:.0} % of the bending strength",
                100.0 * (held.stress / strength)
            )),
        ));
        line(
            "after months      60 to 70 % of these forces are left (Wood Handbook, from memory)"
                .to_owned(),
        );
        line(format!(
            "if freed then     a bow of {} to {} comes back",
            both(held.bow_if_freed[0]),
            both(held.bow_if_freed[1])
        ));
        for one in &self.closing {
            line(format!(
                "to close at {:>20}  {:.0} N with all closed, {:.0} N if closed alone",
                both(one.at),
                one.together.newtons(),
                one.alone.newtons()
            ));
        }
        for one in &self.changes {
            let what = change(&one.change);
            line(match &one.held {
                Ok(held) => format!(
                    "{what}: residual bow {}, stress {:.2} MPa",
                    both(held.leftover),
                    held.stress.mpa()
                ),
                Err(error) => format!("{what}: {error}"),
            });
        }
        if let Some(best) = &self.best {
            let places: Vec<String> = best.dividers.iter().map(|x| both(*x)).collect();
            line(format!(
                "minimum residual bow        {} with the inner supports at {}; {} at equal spacing",
                both(best.leftover),
                places.join(", "),
                both(best.leftover_equal)
            ));
            if best.stopped {
                line("                  the search was stopped at its limit; these are the best places met".to_owned());
            }
        }
        if let Some(held) = &self.across {
            let list: Vec<String> = held
                .supports
                .iter()
                .map(|s| format!("{:.0} N at {}", s.against_crown.newtons(), both(s.at)))
                .collect();
            line(format!(
                "cup, at the widest support: {}; residual bow {}, stress {:.2} MPa across the grain",
                list.join(", "),
                both(held.leftover),
                held.stress.mpa()
            ));
        }
        for note in &self.notes {
            let _never_fails = write!(text, "\nNote: {note}.");
        }
        for caution in self.cautions() {
            let _never_fails = write!(text, "\nCaution: {caution}.");
        }
        text
    }
}
