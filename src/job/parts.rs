//! The keys of a part and how they are read: sizes, wood, rings, finish, places, each checked against the rest of the job.

use super::climate::PlaceId;
use super::made_of::{MadeOfKeys, read_made_of};
use super::part::Part;
use super::part_finish::FinishKeys;
use super::schedule::{Schedule, check_day};
use crate::joint::PartFacts;
use crate::movement::{GivenRings, RingsKeys, Sawn};
use crate::piece::{CopyKeys, FaceName, Grain, Lies, OpeningKeys, Orientation, with_places};
use crate::rings::RingsPhotoPlan;
use crate::species::SpeciesTable;
use crate::units::notation::{Lengths, Names, Whole};
use crate::units::spanned::{Name, Placed, Problems, ReadNotation, Spanned};
use crate::units::{Bounds, Length, MoistureContent};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::HashMap;
use std::ops::Range;

/// Most pieces of one part.
const MOST_ALIKE: u64 = 10_000;

with_places! {
/// One part of the piece, or several alike.
pub(super) struct PartKeys {
    /// The part's name, which joints use.
    pub(super) name: Spanned<Name>,
    /// The wood or sheet, such as "walnut, black", "white oak" or "baltic birch plywood"; that of [defaults] unless given.
    pub(super) species: Option<Spanned<Name>>,
    /// From face to face, today; that of [defaults] unless given, or as it follows from two places.
    pub(super) thickness: Option<Spanned<Length>>,
    /// Its thickness at the left, front or lower end of its length and at the other end, "23.5mm, 25mm", where a panel was flattened and they differ: every
    /// housing is sized where it sits.
    pub(super) thickness_from_to: Option<Spanned<Lengths>>,
    /// Across the grain, today; it may follow from two places.
    pub(super) width: Option<Spanned<Length>>,
    /// Along the grain, today; it may follow from two places.
    pub(super) length: Option<Spanned<Length>>,
    /// Moisture content today, by meter or oven; that of [defaults] unless given.
    pub(super) moisture: Option<Spanned<MoistureContent>>,
    /// The day of these sizes and of the moisture reading, unless [schedule] gives one for all.
    pub(super) measured: Option<Spanned<Date>>,
    /// Where the rings are, seen on the end grain bark side up; those of [defaults] unless given. Not needed for a sheet, nor where the wood's name gives the sawing, as in "qs white oak".
    pub(super) rings: Option<Placed<RingsKeys>>,
    /// The boards that it is glued up from, edge to edge from left to right, each { width, rings, bark }, or { panel = "..." } for the best layout of a panel;
    /// instead of `rings`.
    #[serde(default)]
    pub(super) made_of: Vec<Placed<MadeOfKeys>>,
    /// The finish; that of [defaults], or bare wood, unless given.
    pub(super) finish: Option<Placed<FinishKeys>>,
    /// The board it is cut from: parts of one board shrink alike, and an off-cut of one speaks for all. A board of its own unless given.
    pub(super) board: Option<Spanned<Name>>,
    /// How many are alike; 1, or as many as it has copies, unless given.
    pub(super) count: Option<Spanned<Whole>>,
    /// The place where it is until delivery; "shop" unless given.
    pub(super) made_in: Option<Spanned<Name>>,
    /// The place where it is from then on; "home" unless given.
    pub(super) stands_in: Option<Spanned<Name>>,
    /// Along which axis of the piece its grain runs: "across", "up" or "back"; "across" unless given.
    pub(super) grain: Option<Spanned<Grain>>,
    /// Where its broad faces look: "flat" (up and down), "facing" (front and back) or "sideways".
    pub(super) lies: Option<Spanned<Lies>>,
    /// The face where its bark side is.
    pub(super) bark: Option<Spanned<FaceName>>,
    /// The face that shows.
    pub(super) show: Option<Spanned<FaceName>>,
    /// The end from which its rings were read.
    pub(super) rings_from: Option<Spanned<FaceName>>,
    /// Its copies, each with a name and places of its own.
    #[serde(default)]
    pub(super) copies: Vec<Placed<CopyKeys>>,
    /// The group it belongs to; its places are then from that group's own left, front and bottom.
    pub(super) group: Option<Spanned<Name>>,
    /// The opening it sits in.
    pub(super) in_opening: Option<Placed<OpeningKeys>>,
}
}

/// What holds for every part that does not say otherwise.
#[derive(Debug, Clone, Default, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub(super) struct DefaultKeys {
    /// The wood.
    species: Option<Spanned<Name>>,
    /// From face to face.
    thickness: Option<Spanned<Length>>,
    /// Moisture content today.
    moisture: Option<Spanned<MoistureContent>>,
    /// Where the rings are.
    rings: Option<Placed<RingsKeys>>,
    /// The finish.
    finish: Option<Placed<FinishKeys>>,
}

impl DefaultKeys {
    /// The moisture for parts without one.
    pub(super) const fn moisture(&self) -> Option<&Spanned<MoistureContent>> {
        self.moisture.as_ref()
    }

    /// The thickness for parts without one.
    pub(super) const fn thickness(&self) -> Option<&Spanned<Length>> {
        self.thickness.as_ref()
    }
}

/// The way of sawing that a wood's name gives; a sheet has its layers in its plane.
fn sawn_beside(wood: &str) -> Option<Sawn> {
    Sawn::beside_wood(wood).or_else(|| sheet(wood).then_some(Sawn::Flat))
}

fn sheet(wood: &str) -> bool {
    let found = SpeciesTable::built_in().find(wood);
    found.is_ok_and(|wood| wood.sheet().is_some())
}

/// What a part is checked against.
pub(super) struct Around<'a> {
    /// The dates; `None` when they are wrong.
    pub(super) schedule: Option<&'a Schedule>,
    /// The names under `[places]` in their order, with the wrong ones.
    pub(super) place_names: &'a Names<'a>,
    /// What holds for parts that do not say otherwise.
    pub(super) defaults: &'a DefaultKeys,
}

/// What the piece says of a part.
#[derive(Clone, Copy, Default)]
pub(super) struct InPiece {
    /// Length, width and thickness as they are given or follow.
    pub(super) sizes: Option<[Length; 3]>,
    /// Whether something is wrong with the places of the piece, which is said where they are.
    pub(super) unresolved: bool,
    /// How many bodies of it there are.
    pub(super) bodies: u32,
    /// How it is turned.
    pub(super) orientation: Option<Orientation>,
    /// Its moisture, where every copy has its own: that of the first.
    pub(super) moisture: Option<MoistureContent>,
}

impl PartKeys {
    pub(super) fn read(
        &self,
        span: Range<usize>,
        around: &Around<'_>,
        piece: InPiece,
        problems: &mut Problems,
    ) -> Option<Part> {
        let name = problems.take(&self.name);
        let defaults = around.defaults;
        let species_given = self.species.as_ref().or(defaults.species.as_ref());
        let species = self.needed(species_given, "species", "the wood", &span, problems);
        let [length, width, thickness] = self.sizes(&span, around, piece, problems);
        let moisture_given = self.moisture.as_ref().or(defaults.moisture.as_ref());
        let moisture = match piece.moisture {
            Some(of_first_copy) => Some(of_first_copy),
            None => self.needed(
                moisture_given,
                "moisture",
                "its moisture content today such as \"9.5%\"",
                &span,
                problems,
            ),
        };
        let measured = self.measured_on(&span, around, problems);
        let rings_keys = self.rings.as_ref().or(defaults.rings.as_ref());
        let beside = species_given.and_then(|given| sawn_beside(given.text()));
        // Rings under [defaults] give way to the sawing that a part's own name gives.
        let glued_up = !self.made_of.is_empty();
        if let (true, Some(rings)) = (glued_up, &self.rings) {
            problems.push(
                rings.span(),
                format!(
                    "`{}` has rings of its own and of the boards it is made of",
                    self.name.text().trim()
                ),
                "keep `made_of`, and give the rings of each board there",
            );
        }
        if let (Some(first), Some(given)) = (self.made_of.first(), species_given)
            && sheet(given.text())
        {
            problems.push(
                first.span(),
                format!(
                    "`{}` is a sheet, {}, and a sheet is not glued up from boards with rings",
                    self.name.text().trim(),
                    given.text().trim()
                ),
                "leave `made_of` out, or give the wood of its boards",
            );
        }
        let rings_keys = if (beside.is_some() || glued_up) && self.rings.is_none() {
            None
        } else {
            rings_keys
        };
        let rings_given = if let Some(rings) = rings_keys {
            let given = rings.get().read(rings.span(), problems);
            if let (Some(GivenRings::Sawn(given)), Some(beside)) = (&given, beside)
                && *given != beside
            {
                problems.push(
                    rings.span(),
                    format!(
                        "the wood is named as {}-sawn, the rings say {}",
                        beside.word(),
                        given.word()
                    ),
                    "keep one of the two",
                );
            }
            given
        } else if let Some(sawn) = beside {
            Some(GivenRings::Sawn(sawn))
        } else {
            Some(GivenRings::NotGiven)
        };
        let finish = match self.finish.as_ref().or(defaults.finish.as_ref()) {
            None => Some(None),
            Some(finish) => finish.get().read(problems).map(Some),
        };
        let board = problems.take_optional(self.board.as_ref());
        let count = self.count(piece, problems);
        let thickness_from_to = self.thickness_from_to(thickness, problems);
        let faces = [&self.bark, &self.show, &self.rings_from].map(|face| {
            problems
                .take_optional(face.as_ref())
                .map(|face| face.map(|face| face.0))
        });
        let made_in = around.place(self.made_in.as_ref(), "shop", problems);
        let stands_in = around.place(self.stands_in.as_ref(), "home", problems);
        let made_of = match (glued_up, width, thickness) {
            (true, Some(width), Some(thickness)) => {
                let part = self.name.text().trim();
                read_made_of(&self.made_of, part, [width, thickness], problems).map(Some)
            }
            _ => Some(None),
        };
        let mut rings_photo = Some(None);
        let rings = match (&rings_given, width, thickness) {
            (Some(GivenRings::Photo(photo)), Some(width), Some(thickness)) => {
                let part = self.name.text().trim();
                rings_photo =
                    RingsPhotoPlan::read(photo, part, [width, thickness], problems).map(Some);
                Some(Sawn::Flat.rings())
            }
            (Some(given), Some(width), Some(thickness)) => match given.rings(width, thickness) {
                Ok(rings) => Some(rings),
                Err(error) => {
                    let at = rings_keys.map_or_else(|| span.clone(), Placed::span);
                    problems.refuse(at, &error);
                    None
                }
            },
            _ => None,
        };
        Some(Part {
            name: name?.0,
            span,
            species: species?.0,
            species_span: species_given.map_or(0..0, Spanned::span),
            thickness: thickness?,
            width: width?,
            length: length?,
            moisture: moisture?,
            measured: measured?,
            rings_given: rings_given?,
            rings: rings?,
            rings_photo: rings_photo?,
            made_of: made_of?,
            finish: finish?,
            board: board?.map(|Name(name)| name),
            count: count?,
            made_in: made_in?,
            stands_in: stands_in?,
            thickness_from_to: thickness_from_to?,
            orientation: piece.orientation,
            bark: faces[0]?,
            show: faces[1]?,
            rings_from: faces[2]?,
        })
    }

    /// A value that the part or [defaults] must give.
    fn needed<T: Clone + ReadNotation>(
        &self,
        given: Option<&Spanned<T>>,
        key: &str,
        what: &str,
        span: &Range<usize>,
        problems: &mut Problems,
    ) -> Option<T> {
        if let Some(given) = given {
            return problems.take(given);
        }
        problems.push(
            span.clone(),
            format!("`parts` has no `{key}`"),
            format!("add `{key} = ...`, {what}, or give it once for all parts under [defaults]"),
        );
        None
    }

    /// Whether it is given a place, even a wrong one.
    fn is_placed(&self, problems: &mut Problems) -> bool {
        let faces = self.places(&mut problems.beside());
        let placed = |places: crate::piece::Places| {
            places.faces.iter().any(Option::is_some) || places.centres.iter().any(Option::is_some)
        };
        self.in_opening.is_some() || faces.is_none_or(placed)
    }

    /// Length, width and thickness: given, or as they follow from the places.
    fn sizes(
        &self,
        span: &Range<usize>,
        around: &Around<'_>,
        piece: InPiece,
        problems: &mut Problems,
    ) -> [Option<Length>; 3] {
        let thickness = self
            .thickness
            .as_ref()
            .or(around.defaults.thickness.as_ref());
        let given = [
            (
                self.length.as_ref(),
                "length",
                "along the grain",
                Bounds::BOARD_LENGTH,
            ),
            (
                self.width.as_ref(),
                "width",
                "across the grain",
                Bounds::WIDTH,
            ),
            (
                thickness,
                "thickness",
                "from face to face",
                Bounds::THICKNESS,
            ),
        ];
        let mut sizes = [None; 3];
        for (at, (given, key, what, bounds)) in given.into_iter().enumerate() {
            let follows = piece.sizes.map(|sizes| sizes[at]);
            sizes[at] = match (given, follows) {
                (Some(given), _) => {
                    let remedy = format!("give the {} of the part itself", bounds.label);
                    problems.take_checked(given, |length| length.within(bounds), &remedy)
                }
                (None, Some(follows)) => match follows.within(bounds) {
                    Ok(size) => Some(size),
                    Err(error) => {
                        problems.push(
                            span.clone(),
                            format!(
                                "{error}, as it follows from the places of `{}`",
                                self.name.text()
                            ),
                            "correct its places, or give the size",
                        );
                        None
                    }
                },
                // Of a part with places it may follow from what is wrong there.
                (None, None) if piece.unresolved && self.is_placed(problems) => None,
                (None, None) => {
                    problems.push(
                        span.clone(),
                        format!("`parts` has no `{key}`"),
                        format!("add `{key} = ...`, its size {what} with the unit, or place both its faces on that axis"),
                    );
                    None
                }
            };
        }
        sizes
    }

    /// How many are alike: given, or as many as there are in the piece.
    fn count(&self, piece: InPiece, problems: &mut Problems) -> Option<u32> {
        let count = take_count(
            self.count.as_ref(),
            MOST_ALIKE,
            piece.bodies.max(1),
            problems,
        )?;
        if let Some(given) = &self.count
            && piece.bodies > 0
            && count != piece.bodies
        {
            problems.push(
                given.span(),
                format!(
                    "`{}` is given as {count} alike, but {} of it are placed",
                    self.name.text(),
                    piece.bodies
                ),
                "leave `count` out, or name every copy under `copies`",
            );
            return None;
        }
        Some(count)
    }

    /// Its thickness at both ends of its length, where both can be read.
    pub(super) fn ends_of_thickness(&self, problems: &mut Problems) -> Option<[Length; 2]> {
        let Lengths(list) = problems.take(self.thickness_from_to.as_ref()?)?;
        <[Length; 2]>::try_from(list).ok()
    }

    fn thickness_from_to(
        &self,
        thickness: Option<Length>,
        problems: &mut Problems,
    ) -> Option<Option<[Length; 2]>> {
        let Some(given) = &self.thickness_from_to else {
            return Some(None);
        };
        let Lengths(list) = problems.take(given)?;
        let &[from, to] = list.as_slice() else {
            problems.push(
                given.span(),
                format!("two thicknesses are wanted, not {}", list.len()),
                "write the thickness at the left, front or lower end of its length and at the other end, such as \"23.5mm, 25mm\"",
            );
            return None;
        };
        if thickness.is_some_and(|thickness| thickness < from.min(to) || thickness > from.max(to)) {
            problems.push(
                given.span(),
                "the thickness of the part is not between its thinnest and its thickest place",
                "measure again, or leave `thickness` between the two",
            );
            return None;
        }
        Some(Some([from, to]))
    }

    /// Notes a board that two parts tell to be of different woods.
    pub(super) fn check_boards(parts: &[Placed<Self>], problems: &mut Problems) {
        let mut boards: HashMap<&str, &str> = HashMap::new();
        for keys in parts.iter().map(Placed::get) {
            let Some(board) = &keys.board else { continue };
            let Some(species) = &keys.species else {
                continue;
            };
            let (name, wood) = (board.text().trim(), species.text().trim());
            match boards.get(name) {
                None => {
                    boards.insert(name, wood);
                }
                Some(known) if known.eq_ignore_ascii_case(wood) => {}
                Some(known) => problems.push(
                    board.span(),
                    format!(
                        "the board `{name}` is of {known} for one part and of {wood} for this one"
                    ),
                    "give each board a name of its own, or fix the wood",
                ),
            }
        }
    }

    /// The part's name and sizes where they can be read, for what stands below the parts in the file.
    pub(super) fn rough_facts(&self, piece: InPiece) -> PartFacts {
        let mut unheard = Problems::default();
        let mut size = |given: &Option<Spanned<Length>>, at: usize| {
            let given = given.as_ref().and_then(|given| unheard.take(given));
            given
                .or_else(|| piece.sizes.map(|sizes| sizes[at]))
                .unwrap_or_default()
        };
        PartFacts {
            name: self.name.text().trim().to_owned(),
            length: size(&self.length, 0),
            width: size(&self.width, 1),
            thickness: size(&self.thickness, 2),
        }
    }

    fn measured_on(
        &self,
        span: &Range<usize>,
        around: &Around<'_>,
        problems: &mut Problems,
    ) -> Option<Date> {
        let Some(given) = &self.measured else {
            let schedule = around.schedule?;
            if schedule.measured.is_none() {
                problems.push(
                    span.clone(),
                    "the day of measuring is not given",
                    "add measured = 2026-10-05 to the part, or to [schedule] for all parts",
                );
            }
            return schedule.measured;
        };
        let day = problems.take(given)?;
        let schedule = around.schedule?;
        check_day(given, day, schedule.assembled, schedule.delivered, problems)?;
        Some(day)
    }
}

impl Around<'_> {
    /// The place a part names; the usual one when it names none.
    fn place(
        &self,
        given: Option<&Spanned<Name>>,
        usual: &str,
        problems: &mut Problems,
    ) -> Option<PlaceId> {
        let find = |wanted: &str| self.place_names.find(wanted);
        let Some(given) = given else {
            // That the usual places are missing is said once, for the whole file.
            return find(usual).map(PlaceId);
        };
        let Name(wanted) = problems.take(given)?;
        self.find_place(&wanted, given.span(), problems)
    }

    /// The place of a name, or `None` after noting that there is none.
    pub(super) fn find_place(
        &self,
        wanted: &str,
        span: Range<usize>,
        problems: &mut Problems,
    ) -> Option<PlaceId> {
        let found = self.place_names.find(wanted).map(PlaceId);
        if found.is_none() {
            let how = format!("[places.{wanted}]");
            let remedy = self.place_names.remedy("place", wanted, &how);
            problems.push(span, format!("no place is named `{wanted}`"), remedy);
        }
        found
    }
}

/// A whole number from 1 to `most`.
pub(super) fn take_count(
    given: Option<&Spanned<Whole>>,
    most: u64,
    usual: u32,
    problems: &mut Problems,
) -> Option<u32> {
    let Some(given) = given else {
        return Some(usual);
    };
    let Whole(count) = problems.take(given)?;
    match u32::try_from(count) {
        Ok(count) if count >= 1 && u64::from(count) <= most => Some(count),
        _ => {
            problems.push(
                given.span(),
                format!("{count} is outside 1 to {most}"),
                format!("give a whole number from 1 to {most}"),
            );
            None
        }
    }
}
