//! Shelves: how far they sag now and after years, on any supports.

use super::beam::{self, Beam, Curve, Fault, Hold, Sense};
use super::{Divider, ShelfBoard, error};
use crate::units::{Bounds, Force, Length, LineLoad, Refusal, Stress};
use serde::Serialize;

/// Sag in the long run over first sag under a permanent load, books or own weight: creep about equals the first deflection
/// after years (Wood Handbook, seen).
pub const CREEP_YEARS: f64 = 2.0;
/// The same under a load that comes and goes, such as dishes in use: what design codes take for seasoned wood in dry rooms (NDS
/// 3.5.2, seen).
pub const CREEP_COMES_AND_GOES: f64 = 1.5;
/// Share of its short-test strength that wood keeps under a load of years (Wood Handbook ch. 5, duration of load, from memory).
pub const LASTING_STRENGTH: f64 = 0.6;
/// Share of a fully fixed end's moment that a housing holds (judgement: a dado a third of the side deep, glued).
pub const HOUSED_SHARE: f64 = 0.25;

/// How far an end may turn on its support.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Turning {
    /// It turns freely: pins, cleats, a loose groove.
    #[default]
    Free,
    /// It is housed: this share (0 to below 1) of a fixed end's moment under an even load; [`HOUSED_SHARE`] unless known better.
    Housed(f64),
    /// It cannot turn.
    Fixed,
}

/// Which way a support of a shelf can give force.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Bearing {
    /// It holds up and down: glued, screwed or housed on both faces.
    #[default]
    BothWays,
    /// It only carries: the shelf lies on it, or hangs from it.
    CarriesOnly,
    /// It only keeps the shelf down, as a divider above that is not glued.
    KeepsDownOnly,
}

/// A support of a shelf.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShelfSupport {
    /// Place from the shelf's reference end.
    pub at: Length,
    /// How far the shelf may turn on it.
    pub turning: Turning,
    /// What it can give.
    pub bearing: Bearing,
    /// What the maker calls it.
    pub name: Option<String>,
}

impl ShelfSupport {
    /// A support that carries and holds down, on which the shelf turns freely.
    #[must_use]
    pub fn at(place: Length) -> Self {
        Self {
            at: place,
            ..Self::default()
        }
    }
}

/// A load on a shelf, downward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ShelfLoad {
    /// Even over the whole length.
    Even(LineLoad),
    /// Even over a part of it.
    Partial {
        /// Where it begins.
        from: Length,
        /// Where it ends.
        to: Length,
        /// Its size.
        load: LineLoad,
    },
    /// At one place.
    Point {
        /// The place.
        at: Length,
        /// Its size.
        force: Force,
    },
}

/// How long what a shelf carries rests on it; its own weight always rests.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LoadLasts {
    /// For years, as books do.
    #[default]
    Permanent,
    /// By the day or the season, as dishes in use do.
    ComesAndGoes,
}

impl LoadLasts {
    /// Sag in the long run over first sag.
    #[must_use]
    pub const fn creep_factor(self) -> f64 {
        match self {
            Self::Permanent => CREEP_YEARS,
            Self::ComesAndGoes => CREEP_COMES_AND_GOES,
        }
    }

    /// In a maker's words, after 'a load that'.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Permanent => "rests for years",
            Self::ComesAndGoes => "comes and goes",
        }
    }
}

/// A shelf on its supports.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelf {
    /// Board and lippings.
    pub board: ShelfBoard,
    /// Its length.
    pub length: Length,
    /// Its supports.
    pub supports: Vec<ShelfSupport>,
    /// Its loads.
    pub loads: Vec<ShelfLoad>,
    /// How long they rest on it.
    pub lasts: LoadLasts,
}

/// The force of one support on a shelf.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShelfReaction {
    /// What the maker calls it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Its place.
    pub at: Length,
    /// Force up on the shelf.
    pub up: Force,
    /// Gap at a support the shelf lifts off from.
    #[serde(rename = "gap", skip_serializing_if = "Option::is_none")]
    pub lost_by: Option<Length>,
}

/// A loaded shelf.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadedShelf {
    /// Maximum distance from the straight line at once: down positive.
    pub sag: Length,
    /// Where that is.
    pub sag_at: Length,
    /// The clear stretch it lies in; twice its length where it hangs over an outer support.
    pub span: Length,
    /// Maximum sag in the long run, every load counted by its creep.
    pub sag_long_term: Length,
    /// What its loads but its own weight are counted by: [`LoadLasts::creep_factor`].
    pub creep_factor: f64,
    /// Maximum bending stress.
    pub stress: Stress,
    /// Where that is.
    pub stress_at: Length,
    /// The supports, in the order given.
    #[serde(rename = "supports")]
    pub reactions: Vec<ShelfReaction>,
    /// Whole load, own weight included.
    pub load: Force,
    #[serde(skip)]
    curve: LineOf,
}

#[derive(Debug, Clone)]
struct LineOf(Curve);

impl PartialEq for LineOf {
    fn eq(&self, other: &Self) -> bool {
        self.0.x == other.0.x && self.0.w == other.0.w && self.0.moment == other.0.moment
    }
}

impl LoadedShelf {
    /// Height of the loaded shelf over the straight line at once; down is negative.
    #[must_use]
    pub fn height_at(&self, x: Length) -> Length {
        Length::from_mm_unchecked(self.curve.0.deflection(x.mm()))
    }
}

/// How far a shelf may sag in the long run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AllowedSag {
    /// The clear span over this number.
    SpanOver(f64),
    /// This much.
    Size(Length),
}

impl Default for AllowedSag {
    /// Span over 240 (common practice, no source).
    fn default() -> Self {
        Self::SpanOver(240.0)
    }
}

impl AllowedSag {
    /// What it comes to over a clear span.
    #[must_use]
    pub fn over(self, span: Length) -> Length {
        match self {
            Self::SpanOver(number) => span / number,
            Self::Size(size) => size,
        }
    }
}

/// A divider's force between two shelves.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfDividerForce {
    /// Its place.
    pub at: Length,
    /// Force along it: pressed between the shelves positive, pulled negative.
    pub push: Force,
    /// Gap at a divider that only pushes and is not touched.
    pub lost_by: Option<Length>,
}

/// Shelves that share loads through dividers.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadedStack {
    /// The shelves, in the order given.
    pub shelves: Vec<LoadedShelf>,
    /// The dividers, in the order given.
    pub dividers: Vec<ShelfDividerForce>,
}

/// Loads a shelf: an elastic slender beam over its supports.
///
/// Shear is left out: it adds about a hundredth at a span of 20 thicknesses
/// and grows as the span shortens.
///
/// # Errors
/// [`Refusal`] for supports or loads off the shelf, two supports at one
/// place, or too few to hold it.
///
/// ```
/// use heartside::carcass::{load_shelf, LoadLasts, Shelf, ShelfBoard, ShelfLoad, ShelfSupport};
/// use heartside::units::{Length, LineLoad, Stress};
/// let inch = |value: f64| Length::from_mm(value * 25.4).unwrap();
/// let shelf = Shelf {
///     // 1.8 million pounds per square inch
///     board: ShelfBoard::new(inch(10.0), inch(0.75), Stress::from_mpa(12_410.6).unwrap()).unwrap(),
///     length: inch(36.0),
///     supports: vec![ShelfSupport::at(inch(0.0)), ShelfSupport::at(inch(36.0))],
///     // 25 pounds per foot
///     loads: vec![ShelfLoad::Even(LineLoad::from_newtons_per_mm(0.364_848).unwrap())],
///     lasts: LoadLasts::Permanent,
/// };
/// assert!((load_shelf(&shelf).unwrap().sag.inches() - 0.0720).abs() < 0.0001);
/// ```
pub fn load_shelf(shelf: &Shelf) -> Result<LoadedShelf, Refusal> {
    load_together(std::slice::from_ref(shelf), &[]).map(|mut stack| stack.shelves.remove(0))
}

/// Loads shelves that dividers tie to each other: a divider standing on a
/// shelf or hanging from one carries load in push or in pull.
///
/// # Errors
/// [`Refusal`] as in [`load_shelf`], and for a divider that names a shelf that is not there.
pub fn load_together(shelves: &[Shelf], dividers: &[Divider]) -> Result<LoadedStack, Refusal> {
    let mut beams = Vec::new();
    let mut holds = Vec::new();
    for (index, shelf) in shelves.iter().enumerate() {
        beams.push(beam_of(shelf, [1.0; 2])?);
        holds.extend(shelf.supports.iter().map(|support| Hold {
            at: support.at.mm(),
            upper: index,
            lower: None,
            level: 0.0,
            sense: match support.bearing {
                Bearing::BothWays => Sense::Both,
                Bearing::CarriesOnly => Sense::Up,
                Bearing::KeepsDownOnly => Sense::Down,
            },
        }));
    }
    for divider in dividers {
        holds.push(divider.strut(shelves.len())?);
    }
    let held = beam::hold(&beams, &holds).map_err(|fault| explain(fault, shelves, &holds))?;
    let years = after_years(shelves, &holds, &held.curves)?;
    let mut at = 0;
    let loaded = shelves
        .iter()
        .zip(held.curves.iter().zip(&beams))
        .enumerate()
        .map(|(index, (shelf, (curve, beam)))| {
            let range = at..at + shelf.supports.len();
            at = range.end;
            let places: Vec<f64> = holds
                .iter()
                .zip(&held.working)
                .filter(|(hold, on)| **on && (hold.upper == index || (hold.lower == Some(index))))
                .map(|(hold, _)| hold.at)
                .collect();
            let reactions = reactions(
                shelf,
                curve,
                &held.forces[range.clone()],
                &held.working[range],
            );
            loaded_shelf(shelf, (curve, years[index]), beam, &places, reactions)
        })
        .collect();
    let dividers = dividers
        .iter()
        .zip(at..)
        .map(|(divider, index)| ShelfDividerForce {
            at: divider.at,
            push: Force::computed_newtons(held.forces[index]),
            lost_by: (!held.working[index]).then(|| {
                let place = divider.at.mm();
                let apart = held.curves[divider.upper].deflection(place)
                    - held.curves[divider.lower].deflection(place);
                Length::from_mm_unchecked(apart - divider.too_long.mm())
            }),
        })
        .collect();
    Ok(LoadedStack {
        shelves: loaded,
        dividers,
    })
}

/// Maximum sag of each shelf in the long run, mm. Sag grows as the loads do, so under one class of load it is a multiple; where the
/// classes differ the loads are counted by theirs and the shelves held once more.
fn after_years(shelves: &[Shelf], holds: &[Hold], at_once: &[Curve]) -> Result<Vec<f64>, Refusal> {
    let sags = |curves: &[Curve], times: f64| {
        curves
            .iter()
            .map(|curve| -curve.max_deflection().1 * times + 0.0)
            .collect()
    };
    if shelves
        .iter()
        .all(|shelf| shelf.lasts == LoadLasts::Permanent)
    {
        return Ok(sags(at_once, CREEP_YEARS));
    }
    let crept: Vec<Beam> = shelves
        .iter()
        .map(|shelf| beam_of(shelf, [CREEP_YEARS, shelf.lasts.creep_factor()]))
        .collect::<Result<_, _>>()?;
    let held = beam::hold(&crept, holds).map_err(|fault| explain(fault, shelves, holds))?;
    Ok(sags(&held.curves, 1.0))
}

/// The shelf as a beam, its own weight and what it carries each times a factor.
fn beam_of(shelf: &Shelf, [own, carried]: [f64; 2]) -> Result<Beam, Refusal> {
    let length = shelf.length.within(Bounds::BOARD_LENGTH)?;
    let off = |what, at: Length| error::off_the_part(what, at, length);
    let on_it = |at: Length| at.mm() >= 0.0 && at.mm() <= length.mm() * (1.0 + 1e-12);
    let stiffness = shelf.board.stiffness_n_mm2();
    let mut beam = Beam {
        start: 0.0,
        length: length.mm(),
        stiffness,
        curvature: 0.0,
        point_loads: Vec::new(),
        line_loads: Vec::new(),
        turns: Vec::new(),
    };
    let own_weight = shelf.board.own_weight_n_per_mm();
    if own_weight > 0.0 {
        beam.line_loads.push((0.0, length.mm(), own * own_weight));
    }
    for load in &shelf.loads {
        match *load {
            ShelfLoad::Even(load) => {
                beam.line_loads
                    .push((0.0, length.mm(), carried * load.newtons_per_mm()));
            }
            ShelfLoad::Partial { from, to, load } => {
                for at in [from, to] {
                    if !on_it(at) {
                        return Err(off("load", at));
                    }
                }
                if to.mm() <= from.mm() {
                    return Err(error::empty_load(from, to));
                }
                beam.line_loads
                    .push((from.mm(), to.mm(), carried * load.newtons_per_mm()));
            }
            ShelfLoad::Point { at, force } => {
                if !on_it(at) {
                    return Err(off("load", at));
                }
                beam.point_loads.push((at.mm(), carried * force.newtons()));
            }
        }
    }
    for support in &shelf.supports {
        let place = support.at.mm();
        let neighbour = shelf
            .supports
            .iter()
            .map(|other| (other.at.mm() - place).abs())
            .filter(|distance| *distance > 0.0)
            .fold(f64::INFINITY, f64::min)
            .min(length.mm());
        match support.turning {
            Turning::Free => {}
            Turning::Housed(share) if share <= 0.0 => {}
            Turning::Housed(share) => {
                let share = share.min(1.0);
                // M = M_fixed / (1 + 2 E I / (k L)) for a span turned alike at both ends.
                let give = (1.0 / share - 1.0) * neighbour / (2.0 * stiffness);
                beam.turns.push((place, give));
            }
            Turning::Fixed => beam.turns.push((place, 0.0)),
        }
    }
    Ok(beam)
}

fn reactions(shelf: &Shelf, curve: &Curve, forces: &[f64], working: &[bool]) -> Vec<ShelfReaction> {
    shelf
        .supports
        .iter()
        .zip(forces.iter().zip(working))
        .map(|(support, (force, working))| ShelfReaction {
            name: support.name.clone(),
            at: support.at,
            up: Force::computed_newtons(*force),
            lost_by: (!working)
                .then(|| Length::from_mm_unchecked(curve.deflection(support.at.mm())).abs()),
        })
        .collect()
}

fn loaded_shelf(
    shelf: &Shelf,
    (curve, after_years_mm): (&Curve, f64),
    beam: &Beam,
    places: &[f64],
    reactions: Vec<ShelfReaction>,
) -> LoadedShelf {
    let (sag_at, height) = curve.max_deflection();
    let (stress_at, moment) = curve.max_moment();
    let sag = Length::from_mm_unchecked(-height + 0.0);
    let load = beam.point_loads.iter().map(|load| load.1).sum::<f64>()
        + beam
            .line_loads
            .iter()
            .map(|(from, to, load)| (to - from) * load)
            .sum::<f64>();
    LoadedShelf {
        sag,
        sag_at: Length::from_mm_unchecked(sag_at),
        span: Length::from_mm_unchecked(clear_span(sag_at, places, shelf.length.mm())),
        sag_long_term: Length::from_mm_unchecked(after_years_mm),
        creep_factor: shelf.lasts.creep_factor(),
        stress: shelf.board.stress(moment),
        stress_at: Length::from_mm_unchecked(stress_at),
        reactions,
        load: Force::computed_newtons(load),
        curve: LineOf(curve.clone()),
    }
}

/// The stretch between working supports around `x`, doubled for an overhang.
fn clear_span(x: f64, places: &[f64], length: f64) -> f64 {
    let left = places
        .iter()
        .copied()
        .filter(|p| *p <= x)
        .fold(f64::NAN, f64::max);
    let right = places
        .iter()
        .copied()
        .filter(|p| *p > x)
        .fold(f64::NAN, f64::min);
    match (left.is_nan(), right.is_nan()) {
        (false, false) => right - left,
        (true, false) => 2.0 * right,
        (false, true) => 2.0 * (length - left),
        (true, true) => length,
    }
}

fn explain(fault: Fault, shelves: &[Shelf], holds: &[Hold]) -> Refusal {
    match fault {
        Fault::Coincident(first, second) => error::coincident(
            Length::from_mm_unchecked(holds[first].at),
            Length::from_mm_unchecked(holds[second].at),
        ),
        Fault::Outside(index) => error::off_the_part(
            if holds[index].lower.is_some() {
                "divider"
            } else {
                "support"
            },
            Length::from_mm_unchecked(holds[index].at),
            shelves[holds[index].upper].length,
        ),
        Fault::Loose => error::not_held(),
        Fault::Unsettled => error::unsettled(),
    }
}
