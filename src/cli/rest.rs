//! `heartside rest`: how far a piece has come after lying in constant air, and how long it takes.

use super::ring_flags::{read, read_length, read_optional};
use super::woods::{WoodFlags, named};
use super::{Failure, Output, both};
use crate::air::{AirState, equilibrium_percent};
use crate::moisture::{
    Diffusivity, FaceExchange, Film, Finish, Profile, Rest, Slab, SurfaceAir, diffusivity_m2_per_s,
    ends, meter::Reading, rest, weight,
};
use crate::units::notation::{self, NotationError, percent_shown};
use crate::units::{
    Bounds, Duration, Length, Mass, MoistureContent, RelativeHumidity, Temperature,
};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::process::ExitCode;

/// Basic specific gravity where no wood is named: that of a hardwood of middling weight.
const MIDDLING_GRAVITY: f64 = 0.5;

/// How far a piece in constant air has come, and how long it takes to reach EMC.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Thickness of the piece.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    thickness: String,
    /// Mean moisture content at the start.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    from: String,
    /// Moisture content in the middle of the thickness at the start, where it was read too.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    core: Option<String>,
    /// EMC in the air of the place.
    #[arg(
        long,
        value_name = "PERCENT",
        allow_hyphen_values = true,
        conflicts_with = "to_humidity",
        required_unless_present = "to_humidity"
    )]
    to_emc: Option<String>,
    /// Relative humidity of the air of the place, instead of --to-emc.
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    to_humidity: Option<String>,
    /// Days of rest.
    #[arg(long, value_name = "DAYS", allow_hyphen_values = true)]
    days: String,
    /// Temperature of the air.
    #[arg(
        long,
        value_name = "TEMPERATURE",
        default_value = "20C",
        allow_hyphen_values = true
    )]
    temperature: String,
    /// The wood: "oak, white", "white oak" or its Latin name. Without it and without --diffusivity a
    /// wood of middling weight is taken.
    #[arg(long, value_name = "NAME")]
    species: Option<String>,
    /// Diffusivity through the thickness, m2/s, the same at every moisture, instead of the wood's own.
    #[arg(long, value_name = "M2/S", allow_hyphen_values = true)]
    diffusivity: Option<String>,
    /// Whether still air clings to the open faces and slows them.
    #[arg(long, value_enum, default_value_t = FilmFlag::Room)]
    film: FilmFlag,
    /// Faces through which nothing passes; `one-face` is the lower one, lying on a sheet.
    #[arg(long, value_enum)]
    sealed: Option<SealedFlag>,
    /// Finish of the open faces, such as "urethane varnish".
    #[arg(long, value_name = "KIND")]
    finish: Option<String>,
    /// Coats of the finish; one unless given.
    #[arg(long, value_name = "COUNT", requires = "finish")]
    coats: Option<u32>,
    /// Weight of the piece at the start: adds its weight now, after the days, and at the end, at rest.
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    weight: Option<String>,
    #[command(flatten)]
    woods: WoodFlags,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum FilmFlag {
    /// Still air of a room.
    Room,
    /// None: bare faces are at once at the moisture of the air.
    Off,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum SealedFlag {
    /// The lower face.
    OneFace,
    /// The lower (heart-side) face.
    LowerFace,
    /// The upper (bark-side) face.
    UpperFace,
    /// Both faces.
    BothFaces,
}

struct Answer {
    start: MoistureContent,
    days: f64,
    rest: Rest,
    diffusivity: f64,
    weight: Option<Mass>,
    notes: Vec<String>,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag cannot be read, the wood or the finish is unknown, or no air keeps wood at --to-emc.
pub(super) fn run(args: &Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let mut notes = Vec::new();
    let from = read::<MoistureContent>("from", &args.from)?;
    let core = read_optional::<MoistureContent>("core", args.core.as_ref())?;
    let start = core.map_or_else(
        || Profile::uniform(from),
        |core| Reading::MeanAndCore { mean: from, core }.profile(),
    );
    if start.percent_at(1.0) < 0.0 {
        return Err(Failure::input(
            "error: --core: a core so much wetter than the mean would leave the faces below 0%; \
             read the mean with insulated pins at a fifth of the thickness",
        ));
    }
    let air = air_of(args, from)?;
    let days = read_days(&args.days)?;
    let weight = read_optional::<Mass>("weight", args.weight.as_ref())?;
    let slab = slab_of(args, &mut notes)?;
    if from.percent() > slab.fiber_saturation.percent() {
        notes.push(
            "above the fiber saturation point water also leaves by other ways than diffusion: \
             the days are a rough guide"
                .to_owned(),
        );
    }
    let settles = air.equilibrium();
    let answer = Answer {
        start: from,
        days,
        rest: rest(&slab, &start, &air, Duration::computed_days(days)),
        diffusivity: match slab.diffusivity {
            Diffusivity::Constant(value) => value,
            Diffusivity::OfWood => diffusivity_m2_per_s(
                read::<Temperature>("temperature", &args.temperature)?.celsius(),
                (from.percent().min(slab.fiber_saturation.percent()) + settles.percent()) / 2.0,
                slab.basic_gravity,
            ),
        },
        weight,
        notes,
    };
    output.answer(&answer.object(), &answer.words())?;
    Ok(ExitCode::SUCCESS)
}

fn air_of(args: &Args, from: MoistureContent) -> Result<SurfaceAir, Failure> {
    let temperature = read::<Temperature>("temperature", &args.temperature)?;
    if let Some(humidity) =
        read_optional::<RelativeHumidity>("to-humidity", args.to_humidity.as_ref())?
    {
        return Ok(SurfaceAir::met_from(
            AirState::new(temperature, humidity),
            from,
        ));
    }
    let text = args.to_emc.as_deref().unwrap_or_default();
    let air = SurfaceAir::keeping(read::<MoistureContent>("to-emc", text)?, temperature);
    if air.can_exist() {
        return Ok(air);
    }
    Err(Failure::input(format!(
        "error: --to-emc `{text}`: no air keeps wood so wet; air of {} full of moisture keeps it at {}: \
         write less",
        notation::temperature_shown(temperature, crate::units::UnitSystem::Metric),
        percent_shown(equilibrium_percent(temperature.celsius(), 1.0)),
    )))
}

/// Days as a plain number or as a time with its unit.
fn read_days(text: &str) -> Result<f64, Failure> {
    let given = |reason: String| Failure::input(format!("error: --days {reason}"));
    let days = match notation::number(text) {
        Ok(days) => days,
        Err(_) => notation::duration(text)
            .map_err(|error: NotationError| {
                given(format!(
                    "{}; write the days, such as 10 or \"36 h\"",
                    error.message()
                ))
            })?
            .days(),
    };
    if (0.0..=36_500.0).contains(&days) {
        Ok(days)
    } else {
        Err(given(format!("`{text}`: write from 0 to 36500 days")))
    }
}

fn slab_of(args: &Args, notes: &mut Vec<String>) -> Result<Slab, Failure> {
    let thickness = read_length("thickness", &args.thickness, Bounds::THICKNESS)?;
    let constant = args
        .diffusivity
        .as_deref()
        .map(notation::diffusivity)
        .transpose()
        .map_err(|error| Failure::input(format!("error: --diffusivity {error}")))?;
    let mut gravity = MIDDLING_GRAVITY;
    let mut fiber_saturation = 30.0;
    if let Some(name) = &args.species {
        let table = args.woods.table()?;
        let found = named(&table, "species", name)?;
        let wood = found.species;
        notes.extend(found.cautions);
        let (known_gravity, known_saturation) = (wood.basic_gravity(), wood.fiber_saturation());
        gravity = known_gravity.value;
        fiber_saturation = known_saturation.value;
        notes.extend(known_gravity.rule.map(str::to_owned));
    } else if constant.is_none() {
        notes.push(format!(
            "no wood is named: a wood of middling weight is taken (specific gravity {MIDDLING_GRAVITY})"
        ));
    }
    if constant.is_none() {
        notes.push(
            "how fast moisture moves in one and the same wood differs by a factor of two and more: \
             take the days as that uncertain, and weigh the piece"
                .to_owned(),
        );
    }
    let finish = match (&args.finish, args.coats) {
        (Some(kind), Some(coats)) => Finish::find(kind, coats),
        (Some(kind), None) => Finish::thinnest(kind).inspect(|finish| {
            if !finish.is_bare() {
                notes.push(format!("the coats are not given: taken as {finish}"));
            }
        }),
        (None, _) => Ok(Finish::bare()),
    }
    .map_err(|error| Failure::input(format!("error: --finish {error}")))?;
    notes.extend(finish.caution());
    let open = FaceExchange::Open(finish);
    let (lower, upper) = match args.sealed {
        None => (open, open),
        Some(SealedFlag::OneFace | SealedFlag::LowerFace) => (FaceExchange::Sealed, open),
        Some(SealedFlag::UpperFace) => (open, FaceExchange::Sealed),
        Some(SealedFlag::BothFaces) => (FaceExchange::Sealed, FaceExchange::Sealed),
    };
    let slab = Slab::bare(thickness, gravity)
        .map_err(|error| Failure::input(format!("error: --thickness: {error}")))?;
    Ok(Slab {
        fiber_saturation: MoistureContent::computed_percent(fiber_saturation),
        diffusivity: constant.map_or(Diffusivity::OfWood, Diffusivity::Constant),
        film: match args.film {
            FilmFlag::Room => Film::Room,
            FilmFlag::Off => Film::Off,
        },
        ..slab.with_faces(lower, upper)
    })
}

impl Answer {
    /// Weights now and at the end, of a piece weighed at the start.
    fn weights(&self) -> Option<(Mass, Mass)> {
        let dry = weight::oven_dry(self.weight?, self.start);
        Some((
            weight::at_moisture(dry, self.rest.mean),
            weight::at_moisture(dry, self.rest.settles_at),
        ))
    }

    fn ends_mm(&self) -> f64 {
        let time = Duration::computed_days(self.days);
        ends::reach(self.diffusivity, time, self.rest.fraction_done).mm()
    }

    fn object(&self) -> Value {
        let mut object = json!({
            "mean_percent": self.rest.mean.percent(),
            "fraction_done": self.rest.fraction_done,
            "days_to_90_percent": self.rest.to_ninety_percent.map(Duration::days),
            "slope_percent_per_mm": self.rest.slope_percent_per_mm,
            "settles_at_percent": self.rest.settles_at.percent(),
            "diffusivity_m2_per_s": self.diffusivity,
            "holds_beyond_bare_end_mm": self.ends_mm(),
            "notes": self.notes,
        });
        if let (Some((now, end)), Value::Object(map)) = (self.weights(), &mut object) {
            map.insert("weight_now_g".to_owned(), json!(now.grams()));
            map.insert("weight_at_end_g".to_owned(), json!(end.grams()));
            map.insert(
                "still_to_lose_g".to_owned(),
                json!(now.grams() - end.grams()),
            );
        }
        object
    }

    fn words(&self) -> String {
        let mut text = String::new();
        let Rest {
            mean,
            fraction_done,
            to_ninety_percent,
            slope_percent_per_mm,
            settles_at,
        } = self.rest;
        let _always_fits = writeln!(
            text,
            "After {} days the piece is at {} on average through its thickness: {:.0} % of the way from {} to {}.",
            (10.0 * self.days).round() / 10.0,
            percent_shown(mean.percent()),
            100.0 * fraction_done,
            percent_shown(self.start.percent()),
            percent_shown(settles_at.percent()),
        );
        let _always_fits = match to_ninety_percent {
            Some(time) => writeln!(
                text,
                "90 % of the change is done after {:.1} days.",
                time.days()
            ),
            None => writeln!(
                text,
                "90 % of the change is never done: nothing passes the faces."
            ),
        };
        if slope_percent_per_mm.abs() > 5e-5 {
            let face = if slope_percent_per_mm > 0.0 {
                "upper"
            } else {
                "lower"
            };
            let _always_fits = writeln!(
                text,
                "The {face} face is the moister, by {:.3} % a millimetre: it is the longer one.",
                slope_percent_per_mm.abs()
            );
        }
        if let Some((now, end)) = self.weights() {
            let gap = now.grams() - end.grams();
            let _always_fits = writeln!(
                text,
                "It weighs {:.1} g then and {:.1} g at rest: {:.1} g still to {}.",
                now.grams(),
                end.grams(),
                gap.abs(),
                if gap < 0.0 { "take up" } else { "lose" },
            );
        }
        let beyond = self.ends_mm();
        if beyond > 0.0 {
            let _always_fits = writeln!(
                text,
                "Nearer than {} to a bare end it has come further: seal ends, or sample beyond.",
                both(Length::from_mm_unchecked(beyond)),
            );
        }
        for note in &self.notes {
            let _always_fits = writeln!(text, "Note: {note}.");
        }
        text
    }
}
