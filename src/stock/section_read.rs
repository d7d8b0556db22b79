//! From what a job file tells of a board to what is meant, with every problem noted.

use super::board::Board;
use super::drying::Bend;
use super::forecast::MeasuredLeaf;
use super::milling::PartWanted;
use super::plan::{Leaves, ResawPlan};
use super::section_keys::{BoardKeys, BoardPlan, LeafKeys, PartWantedKeys, StripKeys};
use super::strip::{READING_ERROR, TestStrip};
use crate::moisture::meter::Reading;
use crate::movement::{GivenRings, Sawn};
use crate::rings::RingsPhotoPlan;
use crate::units::notation::{Flag, Lengths, LockedIn, RoughThickness, Whole};
use crate::units::spanned::{Name, Problems, Spanned};
use crate::units::{Bounds, Length};
use std::ops::Range;

/// Most leaves of one board.
const MOST_LEAVES: u64 = 50;
/// Most parts of one kind.
const MOST_PARTS: u64 = 100;
/// Most days of rest given day by day.
const MOST_DAYS: u64 = 1000;

fn length(given: &Spanned<Length>, bounds: Bounds, problems: &mut Problems) -> Option<Length> {
    let remedy = format!("give the {} of the piece itself", bounds.label);
    problems.take_checked(given, |length| length.within(bounds), &remedy)
}

fn optional(
    given: Option<&Spanned<Length>>,
    bounds: Bounds,
    otherwise: Length,
    problems: &mut Problems,
) -> Option<Length> {
    given.map_or(Some(otherwise), |given| length(given, bounds, problems))
}

fn rough(given: &Spanned<RoughThickness>, problems: &mut Problems) -> Option<Length> {
    problems.take(given).map(|RoughThickness(length)| length)
}

fn whole(
    given: Option<&Spanned<Whole>>,
    range: std::ops::RangeInclusive<u64>,
    otherwise: u64,
    problems: &mut Problems,
) -> Option<usize> {
    let Some(given) = given else {
        return usize::try_from(otherwise).ok();
    };
    let Whole(value) = problems.take(given)?;
    if range.contains(&value) {
        return usize::try_from(value).ok();
    }
    problems.push(
        given.span(),
        format!("{value} is outside {} to {}", range.start(), range.end()),
        "give a number in that range",
    );
    None
}

impl BoardKeys {
    /// The board to resaw, or `None` after its problems were noted. `span` is the place of the whole table.
    pub fn read(&self, span: Range<usize>, problems: &mut Problems) -> Option<BoardPlan> {
        let name = problems.take(&self.name);
        let species = problems.take(&self.species);
        let thickness = rough(&self.thickness, problems);
        let width = length(&self.width, Bounds::WIDTH, problems);
        let long = length(&self.length, Bounds::BOARD_LENGTH, problems);
        let moisture = self.moisture(&span, problems);
        let mut signed = |given| optional(given, Bounds::LENGTH, Length::ZERO, problems);
        let bow = signed(self.bow.as_ref());
        let crook = signed(self.crook.as_ref());
        let cup = signed(self.cup.as_ref());
        let twist = signed(self.twist.as_ref());
        let mut sawn_only = true;
        let mut rings_photo = Some(None);
        let rings = match &self.rings {
            None => Some(Sawn::beside_wood(self.species.text()).map(Sawn::rings)),
            Some(keys) => {
                let given = keys.get().read(keys.span(), problems);
                match (given, width, thickness) {
                    (Some(given), Some(width), Some(thickness)) => {
                        sawn_only = !given.give_cup();
                        let rings = match &given {
                            GivenRings::Photo(photo) => {
                                let of = self.name.text().trim();
                                rings_photo =
                                    RingsPhotoPlan::read(photo, of, [width, thickness], problems)
                                        .map(Some);
                                Ok(Sawn::Flat.rings())
                            }
                            given => given.rings(width, thickness),
                        };
                        match rings {
                            Ok(rings) => Some(Some(rings)),
                            Err(error) => {
                                problems.refuse(keys.span(), &error);
                                None
                            }
                        }
                    }
                    _ => None,
                }
            }
        };
        let drying = problems.take_optional(self.drying.as_ref());
        let pack = problems.take_optional(self.pack.as_ref());
        let locked_in = problems.take_optional(self.locked_in.as_ref());
        let locked_in_across = problems.take_optional(self.locked_in_across.as_ref());
        let plan = self.plan(&span, thickness, problems);
        let kerf = plan.as_ref().map(|plan| plan.kerf);
        let strips: Vec<Option<TestStrip>> = self
            .strips
            .iter()
            .map(|keys| keys.get().read(keys.span(), thickness, kerf, problems))
            .collect();
        let leaf_count = plan
            .as_ref()
            .zip(thickness)
            .and_then(|(plan, thickness)| plan.slices(thickness).ok())
            .map(|slices| slices.len());
        let measured: Vec<Option<MeasuredLeaf>> = self
            .measured_leaves
            .iter()
            .map(|keys| keys.get().read(keys.span(), leaf_count, problems))
            .collect();
        let parts: Vec<Option<PartWanted>> = self
            .parts
            .iter()
            .map(|keys| keys.get().read(problems))
            .collect();
        let clean_up = optional(
            self.clean_up.as_ref(),
            Bounds::DEPTH,
            Length::from_mm_unchecked(25.4 / 64.0),
            problems,
        );
        let rests_in = problems.take_optional(self.rests_in.as_ref());
        let lying = problems.take_optional(self.lying.as_ref());
        let rest_days = whole(self.rest_days.as_ref(), 1..=MOST_DAYS, 60, problems);
        let leaf_weight = problems.take_optional(self.leaf_weight.as_ref());
        Some(BoardPlan {
            name: name?.0,
            span: span.clone(),
            species: species?.0,
            species_span: self.species.span(),
            pack: pack?.map(|Name(pack)| pack),
            board: Board {
                length: long?,
                width: width?,
                thickness: thickness?,
                bow: bow?,
                crook: crook?,
                cup: cup?,
                twist: twist?,
                moisture: moisture?,
                rings: rings?,
                sawn_only,
            },
            rings_photo: rings_photo?,
            plan: plan?,
            drying: drying?.unwrap_or_default(),
            locked_in: locked_in?.map(|LockedIn(strain)| strain),
            locked_in_across: locked_in_across?.map(|LockedIn(strain)| strain),
            strips: strips.into_iter().collect::<Option<_>>()?,
            measured: measured.into_iter().collect::<Option<_>>()?,
            parts: parts.into_iter().collect::<Option<_>>()?,
            clean_up: clean_up?,
            rests_in: rests_in?.map(|Name(place)| place),
            rests_in_span: self.rests_in.as_ref().map_or(span, Spanned::span),
            lying: lying?.unwrap_or_default(),
            rest_days: rest_days?,
            leaf_weight: leaf_weight?,
        })
    }

    fn moisture(&self, span: &Range<usize>, problems: &mut Problems) -> Option<Reading> {
        match (&self.moisture, &self.shell, &self.core) {
            (Some(mean), None, None) => problems.take(mean).map(Reading::Single),
            (None, Some(shell), Some(core)) => {
                let (shell, core) = (problems.take(shell), problems.take(core));
                Some(Reading::ShellAndCore {
                    shell: shell?,
                    core: core?,
                })
            }
            (Some(mean), None, Some(core)) => {
                let (mean, core) = (problems.take(mean), problems.take(core));
                Some(Reading::MeanAndCore {
                    mean: mean?,
                    core: core?,
                })
            }
            _ => {
                problems.push(
                    span.clone(),
                    "the moisture of the board is not given, or given twice",
                    "give `moisture` (one reading, the mean), `shell` and `core`, or `moisture` at a fifth of the thickness and `core`",
                );
                None
            }
        }
    }

    fn plan(
        &self,
        span: &Range<usize>,
        thickness: Option<Length>,
        problems: &mut Problems,
    ) -> Option<ResawPlan> {
        let kerf = optional(
            self.kerf.as_ref(),
            Bounds::KERF,
            Length::from_mm_unchecked(25.4 / 16.0),
            problems,
        );
        let plane_bark = optional(
            self.plane_bark.as_ref(),
            Bounds::DEPTH,
            Length::ZERO,
            problems,
        );
        let plane_other = optional(
            self.plane_other.as_ref(),
            Bounds::DEPTH,
            Length::ZERO,
            problems,
        );
        let leaves = match (&self.leaves, &self.leaf_thicknesses) {
            (Some(leaves), None) => {
                whole(Some(leaves), 1..=MOST_LEAVES, 1, problems).map(Leaves::Equal)
            }
            (None, Some(list)) => problems
                .take(list)
                .map(|Lengths(list)| Leaves::Thicknesses(list)),
            _ => {
                problems.push(
                    span.clone(),
                    "how the board is split is not given, or given twice",
                    "give `leaves` (how many) or `leaf_thicknesses` (from the bark face)",
                );
                None
            }
        };
        let plan = ResawPlan {
            leaves: leaves?,
            kerf: kerf?,
            plane_bark: plane_bark?,
            plane_other: plane_other?,
        };
        if let Some(thickness) = thickness
            && let Err(error) = plan.slices(thickness)
        {
            problems.refuse(span.clone(), &error);
            return None;
        }
        Some(plan)
    }
}

impl StripKeys {
    fn read(
        &self,
        span: Range<usize>,
        board: Option<Length>,
        board_kerf: Option<Length>,
        problems: &mut Problems,
    ) -> Option<TestStrip> {
        let long = length(&self.length, Bounds::BOARD_LENGTH, problems);
        let thickness = match &self.thickness {
            Some(given) => rough(given, problems),
            None => board,
        };
        let planed_from = match &self.planed_from {
            Some(given) => rough(given, problems).map(Some),
            None => Some(None),
        };
        let kerf = match &self.kerf {
            Some(given) => length(given, Bounds::KERF, problems),
            None => board_kerf,
        };
        let gap = problems.take_optional(self.gap.as_ref());
        let bows = match &self.bows {
            None => Some(None),
            Some(given) => match problems.take(given) {
                None => None,
                Some(Lengths(list)) => match list[..] {
                    [marked, other] => Some(Some([marked, other])),
                    _ => {
                        problems.push(
                            given.span(),
                            format!("{} bows are given for the two halves", list.len()),
                            "give two, the bark face's half first, such as \"1.2 mm, 0.9 mm\"",
                        );
                        None
                    }
                },
            },
        };
        let read = problems.take_optional(self.read.as_ref());
        let across = problems.take_optional(self.across.as_ref());
        let error = error_of(self.reading_error.as_ref(), problems);
        let strip = TestStrip {
            bend: match across? {
                Some(Flag(true)) => Bend::Across,
                _ => Bend::Along,
            },
            length: long?,
            thickness: thickness?,
            planed_from: planed_from?,
            kerf: kerf?,
            gap: gap?,
            bows: bows?,
            read: read?.unwrap_or_default(),
            error: error?,
        };
        if let Err(error) = strip.check() {
            problems.refuse(span, &error);
            return None;
        }
        Some(strip)
    }
}

/// The error of a reading, which must be some error.
fn error_of(given: Option<&Spanned<Length>>, problems: &mut Problems) -> Option<Length> {
    let Some(given) = given else {
        return Some(READING_ERROR);
    };
    let error = problems.take(given)?;
    if error.mm() >= 0.001 {
        return Some(error);
    }
    problems.push(
        given.span(),
        "a reading without error does not exist",
        "give the error of your gauge or rule, such as \"0.25 mm\"",
    );
    None
}

impl LeafKeys {
    fn read(
        &self,
        span: Range<usize>,
        leaves: Option<usize>,
        problems: &mut Problems,
    ) -> Option<MeasuredLeaf> {
        let most = leaves.map_or(MOST_LEAVES, |leaves| leaves as u64);
        let leaf = whole(Some(&self.leaf), 1..=most, 1, problems);
        let bow = problems.take_optional(self.bow.as_ref());
        let cup = problems.take_optional(self.cup.as_ref());
        let read = problems.take_optional(self.read.as_ref());
        let error = error_of(self.reading_error.as_ref(), problems);
        if self.bow.is_none() && self.cup.is_none() {
            problems.push(
                span,
                "a measured leaf without a reading",
                "give its `bow`, its `cup` or both",
            );
            return None;
        }
        Some(MeasuredLeaf {
            leaf: leaf?,
            bow: bow?,
            cup: cup?,
            read: read?.unwrap_or_default(),
            error: error?,
        })
    }
}

impl PartWantedKeys {
    fn read(&self, problems: &mut Problems) -> Option<PartWanted> {
        let name = problems.take(&self.name);
        let long = length(&self.length, Bounds::BOARD_LENGTH, problems);
        let width = length(&self.width, Bounds::WIDTH, problems);
        let thickness = length(&self.thickness, Bounds::THICKNESS, problems);
        let count = whole(self.count.as_ref(), 1..=MOST_PARTS, 1, problems);
        Some(PartWanted {
            name: name?.0,
            length: long?,
            width: width?,
            thickness: thickness?,
            count: count?,
        })
    }
}
