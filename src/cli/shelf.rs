//! `heartside shelf`: how far a shelf sags, now and after years.

use super::ring_flags::{read, read_length, read_optional};
use super::woods::{WoodFlags, named};
use super::{Failure, Output, both};
use crate::carcass::keys::LastsWord;
use crate::carcass::{
    AllowedSag, Bearing, Caution, HOUSED_SHARE, Lipping, LoadLasts, LoadedShelf, Shelf, ShelfBoard,
    ShelfLoad, ShelfSupport, Turning, keeps_to, load_shelf, max_span, min_thickness,
};
use crate::report::{ShelfAnswer, verdict};
use crate::units::notation::{Lengths, Number, Percent, one_of};
use crate::units::{Bounds, Force, Length, LineLoad, RangeError, Refusal, Stress};
use serde::Serialize;
use std::fmt::Write as _;
use std::process::ExitCode;

/// How far a shelf sags under its load, at once and after years, and how far it may span.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Length of the shelf; its clear span unless --supports are given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    span: String,
    /// Size of the shelf front to back, without lippings.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    depth: String,
    /// Thickness of the shelf.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    thickness: String,
    /// Stiffness along the grain, such as 1.8Mpsi; or give --species.
    #[arg(long, value_name = "STRESS", allow_hyphen_values = true)]
    stiffness: Option<String>,
    /// The wood, for its stiffness and strength.
    #[arg(long, value_name = "NAME")]
    species: Option<String>,
    /// Load spread over the whole length, such as 25lb/ft (books) or 0.4N/mm.
    #[arg(long, value_name = "LOAD", allow_hyphen_values = true)]
    load: Option<String>,
    /// A load spread over a part: FROM:TO:LOAD, such as 10in:20in:30lb/ft. May be given again.
    #[arg(long, value_name = "FROM:TO:LOAD", allow_hyphen_values = true)]
    load_between: Vec<String>,
    /// A load at one place: AT:FORCE, such as 18in:40lb. May be given again.
    #[arg(long, value_name = "AT:FORCE", allow_hyphen_values = true)]
    load_at: Vec<String>,
    /// How long the load rests: permanent (as books), or "comes and goes" (as dishes in use).
    #[arg(long, value_name = "TIME", default_value = "permanent")]
    load_lasts: String,
    /// Places of the supports, commas between; both ends unless given.
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    supports: Option<String>,
    /// How the outermost supports hold: free, housed or fixed.
    #[arg(long, value_name = "WAY", default_value = "free")]
    ends: String,
    /// Share of a fixed end's moment that a housing holds; 25% unless given (judgement).
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    housed_share: Option<String>,
    /// The shelf only lies on its supports and can lift off.
    #[arg(long)]
    lies_loose: bool,
    /// A lipping glued along an edge, flush with the top: WIDTH:HEIGHT, such as 3/4in:1 1/2in. May be given again.
    #[arg(long, value_name = "WIDTH:HEIGHT", allow_hyphen_values = true)]
    lipping: Vec<String>,
    /// Specific gravity as it hangs, to count the shelf's own weight.
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    specific_gravity: Option<String>,
    /// Sag allowed in the long run: a length, or the span over a number such as 1/240.
    #[arg(
        long,
        value_name = "LENGTH|1/N",
        allow_hyphen_values = true,
        default_value = "1/240"
    )]
    allowed: String,
    #[command(flatten)]
    woods: WoodFlags,
}

struct Answer {
    shelf: Shelf,
    loaded: LoadedShelf,
    allowed: AllowedSag,
    min_thickness: Option<Length>,
    max_span: Option<Length>,
    strength: Option<Stress>,
    notes: Vec<String>,
}

/// The answer for machines: what a shelf of a job has, and what goes with one asked alone.
#[derive(Serialize)]
struct Object<'a> {
    #[serde(flatten)]
    answer: ShelfAnswer<'a>,
    stiffness_n_mm2: f64,
    notes: &'a [String],
    cautions: [&'static str; 1],
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag cannot be read, the wood is unknown or the supports do not hold the shelf.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let length = read_length("span", &args.span, Bounds::BOARD_LENGTH)?;
    let mut notes = Vec::new();
    let (stiffness, strength) = wood(&args, &mut notes)?;
    let board = board(&args, stiffness)?;
    let allowed = allowed(&args.allowed)?;
    let turning = turning(&args)?;
    let shelf = Shelf {
        board,
        length,
        supports: supports(&args, length, turning)?,
        loads: loads(&args)?,
        lasts: read::<LastsWord>("load-lasts", &args.load_lasts)?.0,
    };
    let loaded = load_shelf(&shelf).map_err(wrong)?;
    let even = match shelf.loads[..] {
        [ShelfLoad::Even(load)] if args.supports.is_none() => Some(load),
        _ => None,
    };
    let answer = Answer {
        // With a lipping the board could be thin as paper and the strip still carry.
        min_thickness: min_thickness(&shelf, allowed)
            .ok()
            .filter(|_| args.lipping.is_empty()),
        max_span: even
            .and_then(|load| max_span(&shelf.board, (load, shelf.lasts), turning, allowed).ok()),
        shelf,
        loaded,
        allowed,
        strength,
        notes,
    };
    output.answer(&answer.object(), &answer.words())?;
    Ok(ExitCode::SUCCESS)
}

fn wrong(error: Refusal) -> Failure {
    Failure::input(format!("error: {error}"))
}

fn out_of_range(flag: &str, text: &str) -> impl Fn(RangeError) -> Failure {
    let place = format!("error: --{flag} `{text}`");
    move |error| Failure::input(format!("{place}: {error}"))
}

fn wood(args: &Args, notes: &mut Vec<String>) -> Result<(Stress, Option<Stress>), Failure> {
    let given = read_optional::<Stress>("stiffness", args.stiffness.as_ref())?;
    let Some(name) = &args.species else {
        return given.map(|stiffness| (stiffness, None)).ok_or_else(|| {
            Failure::input(
                "error: the stiffness is not given; give --stiffness 1.8Mpsi, or the wood with --species",
            )
        });
    };
    let table = args.woods.table()?;
    let found = named(&table, "species", name)?;
    let wood = found.species;
    notes.extend(found.cautions);
    let (modulus, strength) = (wood.modulus_mpa(), wood.bending_strength_mpa());
    notes.extend(modulus.rule.filter(|_| given.is_none()).map(str::to_owned));
    notes.extend(strength.rule.map(str::to_owned));
    let stiffness = given.unwrap_or(Stress::computed_mpa(modulus.value));
    Ok((stiffness, Some(Stress::computed_mpa(strength.value))))
}

fn board(args: &Args, stiffness: Stress) -> Result<ShelfBoard, Failure> {
    let text = args.stiffness.as_deref().unwrap_or_default();
    let mut board = ShelfBoard::new(
        read_length("depth", &args.depth, Bounds::WIDTH)?,
        read_length("thickness", &args.thickness, Bounds::THICKNESS)?,
        stiffness,
    )
    .map_err(out_of_range("stiffness", text))?;
    for text in &args.lipping {
        let [width, height] = fields(text, "lipping", "WIDTH:HEIGHT, such as 3/4in:1 1/2in")?;
        let lipping = Lipping {
            width: read("lipping", width)?,
            height: read("lipping", height)?,
            below_top: Length::ZERO,
            modulus: stiffness,
        };
        board = board
            .with_lipping(lipping)
            .map_err(out_of_range("lipping", text))?;
    }
    if let Some(text) = &args.specific_gravity {
        let Number(gravity) = read("specific-gravity", text)?;
        board = board
            .with_own_weight(gravity)
            .map_err(out_of_range("specific-gravity", text))?;
    }
    Ok(board)
}

/// Parts of a flag given with colons between.
fn fields<'a, const N: usize>(
    text: &'a str,
    flag: &str,
    remedy: &str,
) -> Result<[&'a str; N], Failure> {
    let parts: Vec<&str> = text.split(':').map(str::trim).collect();
    parts
        .try_into()
        .map_err(|_| Failure::input(format!("error: --{flag} `{text}`: write {remedy}")))
}

fn loads(args: &Args) -> Result<Vec<ShelfLoad>, Failure> {
    let mut loads = Vec::new();
    if let Some(load) = read_optional::<LineLoad>("load", args.load.as_ref())? {
        loads.push(ShelfLoad::Even(load));
    }
    for text in &args.load_between {
        let [from, to, load] = fields(
            text,
            "load-between",
            "FROM:TO:LOAD, such as 10in:20in:30lb/ft",
        )?;
        loads.push(ShelfLoad::Partial {
            from: read("load-between", from)?,
            to: read("load-between", to)?,
            load: read("load-between", load)?,
        });
    }
    for text in &args.load_at {
        let [at, force] = fields(text, "load-at", "AT:FORCE, such as 18in:40lb")?;
        loads.push(ShelfLoad::Point {
            at: read("load-at", at)?,
            force: read::<Force>("load-at", force)?,
        });
    }
    if loads.is_empty() && args.specific_gravity.is_none() {
        return Err(Failure::input(
            "error: no load is given; give --load 25lb/ft for books, or --load-at, --load-between, --specific-gravity",
        ));
    }
    Ok(loads)
}

fn turning(args: &Args) -> Result<Turning, Failure> {
    let share = read_optional::<Percent>("housed-share", args.housed_share.as_ref())?
        .map_or(HOUSED_SHARE, |share| share.0 / 100.0);
    if !(0.0..=1.0).contains(&share) {
        return Err(Failure::input(
            "error: --housed-share is a share of a fixed end's moment; give 0% to 100%",
        ));
    }
    let words = [
        ("free", Turning::Free),
        ("housed", Turning::Housed(share)),
        ("fixed", Turning::Fixed),
    ];
    one_of(&args.ends, "a way to hold the ends", &words)
        .map_err(|error| Failure::input(format!("error: --ends {error}")))
}

fn supports(args: &Args, length: Length, turning: Turning) -> Result<Vec<ShelfSupport>, Failure> {
    let mut places = match read_optional::<Lengths>("supports", args.supports.as_ref())? {
        Some(Lengths(places)) => places,
        None => vec![Length::ZERO, length],
    };
    places.sort_by(|a, b| a.mm().total_cmp(&b.mm()));
    let last = places.len() - 1;
    Ok(places
        .into_iter()
        .enumerate()
        .map(|(index, at)| ShelfSupport {
            turning: if index == 0 || index == last {
                turning
            } else {
                Turning::Free
            },
            bearing: if args.lies_loose {
                Bearing::CarriesOnly
            } else {
                Bearing::BothWays
            },
            ..ShelfSupport::at(at)
        })
        .collect())
}

fn allowed(text: &str) -> Result<AllowedSag, Failure> {
    let ratio = text
        .trim()
        .trim_start_matches(['L', 'l'])
        .strip_prefix("1/");
    let ratio = ratio.or_else(|| text.trim().strip_prefix("L/"));
    if let Some(number) = ratio.and_then(|number| number.trim().parse::<f64>().ok()) {
        if number.is_finite() && (1.0..=10_000.0).contains(&number) {
            return Ok(AllowedSag::SpanOver(number));
        }
        return Err(Failure::input(format!(
            "error: --allowed `{text}`: give the span over 1 to 10000, such as 1/240, or a length"
        )));
    }
    let size = read::<Length>("allowed", text)?;
    if size.mm() <= 0.0 {
        return Err(Failure::input(format!(
            "error: --allowed `{text}`: give a sag above zero, or the span over a number such as 1/240"
        )));
    }
    Ok(AllowedSag::Size(size))
}

/// What the long run adds, with its source.
fn creep_words(lasts: LoadLasts) -> &'static str {
    match lasts {
        LoadLasts::Permanent => "doubled by years of load (Wood Handbook)",
        LoadLasts::ComesAndGoes => {
            "1.5 times for a load that comes and goes (NDS 3.5.2), doubled for its own weight"
        }
    }
}

impl Answer {
    fn object(&self) -> Object<'_> {
        Object {
            answer: ShelfAnswer {
                part: None,
                loaded: &self.loaded,
                sag_allowed: self.allowed.over(self.loaded.span),
                verdict: verdict(keeps_to(&self.loaded, self.allowed)),
                min_thickness: self.min_thickness,
                max_span: self.max_span,
                bending_strength: self.strength,
                spread: None,
            },
            stiffness_n_mm2: self.shelf.board.stiffness_n_mm2(),
            notes: &self.notes,
            cautions: [Caution::NotStructural.text()],
        }
    }

    fn words(&self) -> String {
        let loaded = &self.loaded;
        let verdict = if keeps_to(loaded, self.allowed) {
            "keeps to"
        } else {
            "is more than"
        };
        let mut text = format!(
            "It sags {} at once and {} in the long run, which {verdict} the {} allowed over a clear span of {}.\n\n\
             at once             {:>20}   at {}\n\
             in the long run     {:>20}   {}\n\
             bending stress      {:.2} MPa at {}\n",
            both(loaded.sag),
            both(loaded.sag_long_term),
            both(self.allowed.over(loaded.span)),
            both(loaded.span),
            both(loaded.sag),
            both(loaded.sag_at),
            both(loaded.sag_long_term),
            creep_words(self.shelf.lasts),
            loaded.stress.mpa(),
            both(loaded.stress_at),
        );
        let mut line = |words: String| {
            text.push_str(&words);
            text.push('\n');
        };
        for one in &loaded.reactions {
            let what = match one.lost_by {
                Some(gap) => format!("lifts off by {}", both(gap)),
                None if one.up.newtons() >= 0.0 => format!("carries {:.0} N", one.up.newtons()),
                None => format!("must hold it down with {:.0} N", -one.up.newtons()),
            };
            line(format!("support at {:>20}  {what}", both(one.at)));
        }
        if let Some(thickness) = self.min_thickness {
            line(format!(
                "minimum thickness     {:>20}   for the sag allowed",
                both(thickness)
            ));
        }
        if let Some(span) = self.max_span {
            line(format!(
                "maximum span       {:>20}   for the sag allowed",
                both(span)
            ));
        }
        for note in &self.notes {
            let _never_fails = write!(text, "\nNote: {note}.");
        }
        let _never_fails = write!(text, "\nCaution: {}.", Caution::NotStructural.text());
        text
    }
}
