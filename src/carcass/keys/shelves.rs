//! `[[shelves]]`: shelves under load.

use super::straighten::modulus;
use super::wood::PartWood;
use super::words::{AllowedWord, EndsWord, LastsWord};
use crate::carcass::{
    AllowedSag, Bearing, Divider, HOUSED_SHARE, Lipping, LoadLasts, LoadedShelf, LoadedStack,
    Shelf, ShelfBoard, ShelfDividerForce, ShelfLoad, ShelfSupport, Turning, keeps_to,
    load_together, min_thickness,
};
use crate::joint::{PartFacts, PartId, Parts, RecipeReader};
use crate::units::notation::{Flag, Lengths, Percent};
use crate::units::spanned::{Name, Placed, Problems, Spanned};
use crate::units::{Bounds, Force, Length, LineLoad, Refusal, Stress};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// A shelf under its load.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ShelfKeys {
    /// The part.
    pub part: Spanned<Name>,
    /// Load spread over its whole length, such as "25lb/ft" for books.
    pub load: Option<Spanned<LineLoad>>,
    /// Loads on a part of it or at one place.
    #[serde(default)]
    pub loads: Vec<Placed<LoadKeys>>,
    /// How long what it carries rests on it: "permanent" as books, or "comes and goes" as dishes in use; permanent unless given.
    pub load_lasts: Option<Spanned<LastsWord>>,
    /// Places of its supports from its reference end; both ends unless given.
    pub supports: Option<Spanned<Lengths>>,
    /// How the outermost supports hold: free, housed or fixed; free unless given.
    pub ends: Option<Spanned<EndsWord>>,
    /// Share of a fixed end's moment that a housing holds; 25% unless given.
    pub housed_share: Option<Spanned<Percent>>,
    /// Whether it only lies on its supports; false unless given.
    pub loose: Option<Spanned<Flag>>,
    /// Stiffness along the grain; that of its wood unless given.
    pub stiffness: Option<Spanned<Stress>>,
    /// Strips glued along its edges.
    #[serde(default)]
    pub lipping: Vec<Placed<LippingKeys>>,
    /// Whether its own weight counts; true unless given.
    pub own_weight: Option<Spanned<Flag>>,
    /// Sag allowed in the long run; span/240 unless given.
    pub allowed: Option<Spanned<AllowedWord>>,
    /// Dividers that stand on it and reach up to the shelf above.
    #[serde(default)]
    pub divider: Vec<Placed<ShelfDividerKeys>>,
}

/// A load on a part of a shelf (from, to, load) or at one place (at, force).
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LoadKeys {
    /// Where it begins.
    pub from: Option<Spanned<Length>>,
    /// Where it ends.
    pub to: Option<Spanned<Length>>,
    /// Its size along the length.
    pub load: Option<Spanned<LineLoad>>,
    /// Its place.
    pub at: Option<Spanned<Length>>,
    /// Its size.
    pub force: Option<Spanned<Force>>,
}

/// A strip along an edge.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LippingKeys {
    /// Size front to back.
    pub width: Spanned<Length>,
    /// Size up and down.
    pub height: Spanned<Length>,
    /// How far its top lies below the shelf's top; flush unless given.
    pub below_top: Option<Spanned<Length>>,
    /// Its stiffness; the shelf's unless given.
    pub stiffness: Option<Spanned<Stress>>,
}

/// A divider between two shelves.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ShelfDividerKeys {
    /// Its place from the reference end.
    pub at: Spanned<Length>,
    /// The shelf above.
    pub to: Spanned<Name>,
    /// Whether it is fastened to both, so that it can hang as well as stand; true unless given.
    pub fastened: Option<Spanned<Flag>>,
}

/// A lipping, checked.
type LippingPlan = (Length, Length, Length, Option<Stress>);

/// A shelf, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfPlan {
    /// Where the file tells it.
    pub span: Range<usize>,
    /// The part.
    pub part: PartId,
    /// Its loads.
    pub loads: Vec<ShelfLoad>,
    /// How long they rest on it.
    pub lasts: LoadLasts,
    /// Its supports; both ends when none.
    pub supports: Vec<ShelfSupport>,
    /// Stiffness where it is given.
    pub stiffness: Option<Stress>,
    /// Whether its own weight counts.
    pub own_weight: bool,
    /// Sag allowed in the long run.
    pub allowed: AllowedSag,
    lippings: Vec<LippingPlan>,
    dividers: Vec<(Length, PartId, bool)>,
}

/// The answer for one shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfFinding {
    /// The part.
    pub part: PartId,
    /// The shelf.
    pub shelf: Shelf,
    /// The shelf, loaded.
    pub loaded: LoadedShelf,
    /// Sag allowed in the long run.
    pub allowed: Length,
    /// Whether it keeps to that.
    pub keeps: bool,
    /// The thickness at which it just does; none for a shelf tied to another or lipped.
    pub min_thickness: Option<Length>,
    /// Dividers that stand on it.
    pub dividers: Vec<ShelfDividerForce>,
    /// Bending strength of the wood.
    pub strength: Stress,
}

impl ShelfPlan {
    /// What it carries, spread evenly over a board of this length, N/mm.
    #[must_use]
    pub fn even_load_n_per_mm(&self, length: Length) -> f64 {
        self.loads
            .iter()
            .map(|load| match load {
                ShelfLoad::Even(load) => load.newtons_per_mm(),
                ShelfLoad::Partial { from, to, load } => {
                    load.newtons_per_mm() * (*to - *from).mm() / length.mm()
                }
                ShelfLoad::Point { force, .. } => force.newtons() / length.mm(),
            })
            .sum()
    }
}

impl ShelfKeys {
    /// The checked plan, or `None` after noting every problem.
    pub fn read(
        &self,
        span: Range<usize>,
        parts: &Parts<'_>,
        problems: &mut Problems,
    ) -> Option<ShelfPlan> {
        let mut loads: Vec<Option<ShelfLoad>> = Vec::new();
        let mut lippings: Vec<Option<LippingPlan>> = Vec::new();
        let mut dividers: Vec<Option<(Length, PartId, bool)>> = Vec::new();
        for one in &self.loads {
            loads.push(
                one.get()
                    .read(&mut RecipeReader::new(parts, problems, one.span())),
            );
        }
        for one in &self.lipping {
            lippings.push(
                one.get()
                    .read(&mut RecipeReader::new(parts, problems, one.span())),
            );
        }
        for one in &self.divider {
            dividers.push(
                one.get()
                    .read(&mut RecipeReader::new(parts, problems, one.span())),
            );
        }
        let mut site = RecipeReader::new(parts, problems, span.clone());
        let part = site.part(&self.part);
        let even = site.take_optional(self.load.as_ref());
        let lasts = site.take_optional(self.load_lasts.as_ref());
        let places = site.take_optional(self.supports.as_ref());
        let ends = site.take_optional(self.ends.as_ref());
        let share = site.take_optional(self.housed_share.as_ref());
        let loose = site.take_optional(self.loose.as_ref());
        let stiffness = modulus(&mut site, self.stiffness.as_ref());
        let own_weight = site.take_optional(self.own_weight.as_ref());
        let allowed = site.take_optional(self.allowed.as_ref());
        let mut loads: Vec<ShelfLoad> = loads.into_iter().collect::<Option<_>>()?;
        loads.extend(even?.map(ShelfLoad::Even));
        let own_weight = own_weight?.is_none_or(|flag| flag.0);
        if loads.is_empty() && !own_weight {
            site.problem_here(
                "the shelf carries nothing",
                "give load = \"25lb/ft\" for books, or [[shelves.loads]]",
            );
            return None;
        }
        let share = share?.map_or(HOUSED_SHARE, |share| share.0 / 100.0);
        let turning = match ends?.unwrap_or(EndsWord::Free) {
            EndsWord::Free => Turning::Free,
            EndsWord::Housed => Turning::Housed(share.clamp(0.0, 1.0)),
            EndsWord::Fixed => Turning::Fixed,
        };
        let part = part?;
        let length = site.facts(part).length;
        let mut places = places?.map_or_else(|| vec![Length::ZERO, length], |list| list.0);
        places.sort_by(|a, b| a.mm().total_cmp(&b.mm()));
        let last = places.len().saturating_sub(1);
        let loose = loose?.is_some_and(|flag| flag.0);
        let supports = places
            .into_iter()
            .enumerate()
            .map(|(index, at)| ShelfSupport {
                turning: if index == 0 || index == last {
                    turning
                } else {
                    Turning::Free
                },
                bearing: if loose {
                    Bearing::CarriesOnly
                } else {
                    Bearing::BothWays
                },
                ..ShelfSupport::at(at)
            })
            .collect();
        Some(ShelfPlan {
            span,
            part,
            loads,
            lasts: lasts?.map_or_else(LoadLasts::default, |word| word.0),
            supports,
            stiffness: stiffness?,
            own_weight,
            allowed: allowed?.map_or_else(AllowedSag::default, |word| word.0),
            lippings: lippings.into_iter().collect::<Option<_>>()?,
            dividers: dividers.into_iter().collect::<Option<_>>()?,
        })
    }
}

impl LoadKeys {
    fn read(&self, site: &mut RecipeReader<'_>) -> Option<ShelfLoad> {
        match (&self.from, &self.to, &self.load, &self.at, &self.force) {
            (Some(from), Some(to), Some(load), None, None) => {
                let (from, to) = (site.take(from), site.take(to));
                let load = site.take(load);
                Some(ShelfLoad::Partial {
                    from: from?,
                    to: to?,
                    load: load?,
                })
            }
            (None, None, None, Some(at), Some(force)) => {
                let (at, force) = (site.take(at), site.take(force));
                Some(ShelfLoad::Point {
                    at: at?,
                    force: force?,
                })
            }
            _ => {
                site.problem_here(
                    "the load is given neither as from, to and load nor as at and force",
                    "give from, to and load for a part of the shelf, or at and force for one place",
                );
                None
            }
        }
    }
}

impl LippingKeys {
    fn read(&self, site: &mut RecipeReader<'_>) -> Option<LippingPlan> {
        let width = site.length(&self.width, Bounds::WIDTH);
        let height = site.length(&self.height, Bounds::THICKNESS);
        let below_top = site.length_or(self.below_top.as_ref(), Bounds::LENGTH, 0.0);
        let stiffness = modulus(site, self.stiffness.as_ref());
        Some((width?, height?, below_top?, stiffness?))
    }
}

impl ShelfDividerKeys {
    fn read(&self, site: &mut RecipeReader<'_>) -> Option<(Length, PartId, bool)> {
        let at = site.take(&self.at);
        let to = site.part(&self.to);
        let fastened = site.take_optional(self.fastened.as_ref());
        Some((at?, to?, fastened?.is_none_or(|flag| flag.0)))
    }
}

impl ShelfPlan {
    fn shelf(&self, facts: &PartFacts, wood: &PartWood) -> Result<Shelf, Refusal> {
        let modulus = self.stiffness.unwrap_or(wood.modulus);
        let mut board = ShelfBoard::new(facts.width, facts.thickness, modulus)?;
        for (width, height, below_top, stiffness) in &self.lippings {
            board = board.with_lipping(Lipping {
                width: *width,
                height: *height,
                below_top: *below_top,
                modulus: stiffness.unwrap_or(modulus),
            })?;
        }
        if self.own_weight {
            board = board.with_own_weight(wood.hanging_gravity())?;
        }
        Ok(Shelf {
            board,
            length: facts.length,
            supports: self.supports.clone(),
            loads: self.loads.clone(),
            lasts: self.lasts,
        })
    }
}

/// The answers for all shelves, in their order; shelves tied by dividers are
/// solved as one system, and a fault in one system does not hide the others.
///
/// `wood` gives the wood of a part.
pub fn answer_shelves(
    plans: &[ShelfPlan],
    parts: &[PartFacts],
    wood: impl Fn(PartId) -> PartWood,
) -> Vec<Result<ShelfFinding, Refusal>> {
    super::groups::each_system(&tied_shelves(plans), |members| {
        answer_group(plans, members, parts, &wood)
    })
}

/// Shelves tied to each other, and how they are loaded.
struct Loaded {
    shelves: Vec<Shelf>,
    dividers: Vec<Divider>,
    stack: LoadedStack,
}

fn load_group(
    plans: &[ShelfPlan],
    members: &[usize],
    parts: &[PartFacts],
    wood: &dyn Fn(PartId) -> PartWood,
) -> Result<Loaded, Refusal> {
    let mut shelves = Vec::new();
    let mut dividers = Vec::new();
    for (lower, member) in members.iter().enumerate() {
        let plan = &plans[*member];
        shelves.push(plan.shelf(&parts[plan.part.0], &wood(plan.part))?);
        for (at, to, fastened) in &plan.dividers {
            let upper = members
                .iter()
                .position(|other| plans[*other].part == *to)
                .ok_or_else(|| crate::carcass::error::unknown_partner(to.0, plans.len()))?;
            dividers.push(Divider {
                push_only: !fastened,
                ..Divider::between(lower, upper, *at)
            });
        }
    }
    let stack = load_together(&shelves, &dividers)?;
    Ok(Loaded {
        shelves,
        dividers,
        stack,
    })
}

/// All shelves loaded, in their order, without advice: what many draws of their woods ask. `None` when one of them cannot be.
pub fn load_parts(
    plans: &[ShelfPlan],
    parts: &[PartFacts],
    wood: &dyn Fn(PartId) -> PartWood,
) -> Option<Vec<LoadedShelf>> {
    let group = tied_shelves(plans);
    let mut found: Vec<Option<LoadedShelf>> = vec![None; plans.len()];
    for leader in 0..plans.len() {
        let members: Vec<usize> = (0..plans.len()).filter(|i| group[*i] == leader).collect();
        if members.is_empty() {
            continue;
        }
        let loaded = load_group(plans, &members, parts, wood).ok()?;
        for (member, shelf) in members.iter().zip(loaded.stack.shelves) {
            found[*member] = Some(shelf);
        }
    }
    found.into_iter().collect()
}

/// For each shelf the first of those it is tied to.
#[must_use]
pub fn tied_shelves(plans: &[ShelfPlan]) -> Vec<usize> {
    let plan_of = |part: PartId| plans.iter().position(|plan| plan.part == part);
    let links = plans.iter().enumerate().flat_map(|(index, plan)| {
        plan.dividers
            .iter()
            .filter_map(move |(_, to, _)| plan_of(*to).map(|to| (index, to)))
    });
    super::groups::groups(plans.len(), links)
}

fn answer_group(
    plans: &[ShelfPlan],
    members: &[usize],
    parts: &[PartFacts],
    wood: &impl Fn(PartId) -> PartWood,
) -> Result<Vec<ShelfFinding>, Refusal> {
    let Loaded {
        shelves,
        dividers,
        stack,
    } = load_group(plans, members, parts, wood)?;
    let alone = dividers.is_empty();
    Ok(members
        .iter()
        .zip(shelves.iter().zip(stack.shelves))
        .enumerate()
        .map(|(index, (member, (shelf, loaded)))| {
            let plan = &plans[*member];
            ShelfFinding {
                part: plan.part,
                allowed: plan.allowed.over(loaded.span),
                keeps: keeps_to(&loaded, plan.allowed),
                min_thickness: (alone && plan.lippings.is_empty())
                    .then(|| min_thickness(shelf, plan.allowed).ok())
                    .flatten(),
                dividers: dividers
                    .iter()
                    .zip(&stack.dividers)
                    .filter(|(divider, _)| divider.lower == index)
                    .map(|(_, force)| force.clone())
                    .collect(),
                strength: wood(plan.part).bending_strength,
                shelf: shelf.clone(),
                loaded,
            }
        })
        .collect())
}
