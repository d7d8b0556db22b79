//! The sections of a job file, and how they become a checked job.

use super::chance::ChanceKeys;
use super::checked::Job;
use super::climate::{Place, PlaceId};
use super::head::JobKeys;
use super::log::{self, LogKeys, read_log};
use super::made_of::MadeOf;
use super::names::check_names;
use super::part::Part;
use super::parts::{Around, DefaultKeys, InPiece, PartKeys};
use super::piece_plans::{Resolved, own_moistures, resolve};
use super::places::PlaceKeys;
use super::plinth::{PlinthKeys, placed_base};
use super::schedule::ScheduleKeys;
use crate::carcass::keys::{
    BowKeys, BowPlan, GlueKeys, InstallKeys, InstallPlan, ShelfKeys, StraightenKeys, StraightenPlan,
};
use crate::joint::joined::thickness_here;
use crate::joint::{Behind, JointPlan, Joints, PartFacts, Parts, SCREWED_KINDS};
use crate::panel::PanelKeys;
use crate::piece::{GroupKeys, Piece};
use crate::stock::BoardKeys;
use crate::units::UnitSystem;
use crate::units::notation::{Names, Whole, millimetres};
use crate::units::spanned::{Placed, Problems, Spanned};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::ops::Range;

/// The format of the job file that this version reads.
const FORMAT: u64 = 2;

/// A job file: one piece of furniture, its parts, its joints and the air they live in.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "job", schemars(title = "heartside job file"))]
pub(super) struct JobFile {
    /// The format of the file: 2.
    format: Spanned<Whole>,
    /// The piece as a whole.
    job: Option<Placed<JobKeys>>,
    /// The places where the parts are: "shop" until delivery, "home" after it, and others by name.
    #[serde(default)]
    places: BTreeMap<String, Placed<PlaceKeys>>,
    /// When the piece is made and when it moves.
    schedule: Option<Placed<ScheduleKeys>>,
    /// What holds for every part that does not say otherwise.
    defaults: Option<Placed<DefaultKeys>>,
    /// The parts.
    #[serde(default)]
    parts: Vec<Placed<PartKeys>>,
    /// Parts that make one body, such as the doors and the drawers.
    #[serde(default)]
    groups: Vec<Placed<GroupKeys>>,
    /// The base that the piece stands on.
    plinth: Option<Placed<PlinthKeys>>,
    /// How far things may lie off, and what was measured to narrow it.
    chance: Option<Placed<ChanceKeys>>,
    /// What was measured on the way: each reading with its day sharpens the forecast.
    #[serde(default)]
    log: Vec<Placed<LogKeys>>,
    /// The joints, a list for each kind.
    #[serde(default)]
    joints: Joints,
    /// Boards to resaw.
    #[serde(default)]
    boards: Vec<Placed<BoardKeys>>,
    /// Leaves to match into panels.
    #[serde(default)]
    panels: Vec<Placed<PanelKeys>>,
    /// How boards of the case bow when nothing holds them: with places the case is answered as one frame.
    #[serde(default)]
    bows: Vec<Placed<BowKeys>>,
    /// Bowed panels that the piece pulls straight.
    #[serde(default)]
    straighten: Vec<Placed<StraightenKeys>>,
    /// Shelves and what stands on them.
    #[serde(default)]
    shelves: Vec<Placed<ShelfKeys>>,
    /// The glue-up.
    glue: Option<Placed<GlueKeys>>,
    /// Where the piece will stand, and how it is fastened.
    install: Option<Placed<InstallKeys>>,
}

impl JobFile {
    /// Turns what was given into what is meant, or notes everything that stands in the way.
    pub(super) fn check(&self, text: &str, origin: &str, problems: &mut Problems) -> Option<Job> {
        self.check_format(problems);
        let head = match &self.job {
            Some(keys) => keys.get().read(problems),
            None => {
                problems.push(
                    0..0,
                    "the job file has no [job]",
                    "add [job] with name = \"...\", the name of the piece",
                );
                None
            }
        };
        problems.read_bare_in(
            head.as_ref()
                .map_or_else(UnitSystem::default, |head| head.units),
        );
        let places = self.check_places(problems);
        let names: Vec<String> = places.iter().map(|(name, _)| name.clone()).collect();
        let names = Names::new(names.iter().map(String::as_str));
        let id = |wanted: &str| names.find(wanted).map(PlaceId);
        let (shop, home) = (id("shop"), id("home"));
        let schedule = match &self.schedule {
            Some(keys) => keys.get().read(keys.span(), problems),
            None => {
                problems.push(
                    0..0,
                    "the job file has no [schedule]",
                    "add [schedule] with measured = 2026-10-05 and delivered = 2026-11-20",
                );
                None
            }
        };
        let no_defaults = DefaultKeys::default();
        let around = Around {
            schedule: schedule.as_ref(),
            place_names: &names,
            defaults: self.defaults.as_ref().map_or(&no_defaults, Placed::get),
        };
        check_names(
            "parts",
            self.parts.iter().map(|part| &part.get().name),
            problems,
        );
        check_names(
            "boards",
            self.boards.iter().map(|board| &board.get().name),
            problems,
        );
        check_names(
            "panels",
            self.panels.iter().map(|panel| &panel.get().name),
            problems,
        );
        PartKeys::check_boards(&self.parts, problems);
        let mut piece = resolve(
            &self.parts,
            &self.groups,
            around.defaults.thickness(),
            problems,
        );
        let mut nothing = Piece::default();
        let (own, taken) = own_moistures(
            &self.parts,
            around.defaults.moisture(),
            piece
                .as_mut()
                .map_or(&mut nothing, |resolved| &mut resolved.piece),
            problems,
        );
        let known = Resolved::facts(piece.as_ref(), self.parts.len(), &taken);
        let mut facts = known.iter();
        let parts = all(each(&self.parts, |part, span| {
            let known = facts.next().copied().unwrap_or_default();
            part.read(span, &around, known, problems)
        }))
        .map(|mut parts| {
            for (index, one) in own.iter().enumerate() {
                let part = self.parts.len() + index;
                let bodies = piece
                    .iter()
                    .flat_map(|resolved| &resolved.piece.bodies)
                    .filter(|body| body.part == part)
                    .count();
                let bodies = u32::try_from(bodies).unwrap_or(1);
                parts.push(parts[one.of].with_moisture(one, bodies));
            }
            parts
        });
        // Where a part is wrong its sizes need not be missed a second time.
        let empty = Piece::default();
        let placed = piece.as_ref().map_or(&empty, |resolved| &resolved.piece);
        // What stands below the parts is read even when a part is wrong, against what is known of the parts.
        let known: Vec<PartFacts> = match &parts {
            Some(parts) => parts.iter().map(Part::facts).collect(),
            None => {
                let rough =
                    |(part, piece): (&Placed<PartKeys>, &InPiece)| part.get().rough_facts(*piece);
                let mut facts: Vec<PartFacts> = self.parts.iter().zip(&known).map(rough).collect();
                for one in &own {
                    let name = one.name.clone();
                    facts.push(PartFacts {
                        name,
                        ..facts[one.of].clone()
                    });
                }
                facts
            }
        };
        let known = Parts::new(&known);
        let mut below = problems.beside();
        let mut joints = self.joints.read(&known, placed, &mut below);
        for joint in parts
            .iter()
            .flat_map(|parts| uneven(parts, placed, &joints))
            .collect::<Vec<_>>()
        {
            joints[joint.0].notes.push(joint.1);
        }
        let bows = each(&self.bows, |bow, span| {
            bow.read(span, &known, placed, &mut below)
        });
        let straighten = each(&self.straighten, |panel, span| {
            panel.read(span, &known, &mut below)
        });
        let shelves = each(&self.shelves, |shelf, span| {
            shelf.read(span, &known, &mut below)
        });
        let glue = one(self.glue.as_ref(), |glue, span| {
            glue.read(span, &known, placed, &mut below)
        });
        let plinth = one(self.plinth.as_ref(), |plinth, span| {
            plinth.read(span, placed, &mut below)
        });
        let base = placed_base(placed, plinth.as_ref().and_then(Option::as_ref));
        let install = one(self.install.as_ref(), |site, span| {
            site.read_placed(span, &known, base.as_ref(), &mut below)
        });
        let site = install.as_ref().and_then(Option::as_ref);
        said_twice(&joints, (&bows, &straighten), site, &known, &mut below);
        let chance = one(self.chance.as_ref(), |chance, span| {
            chance.read(span, &known, &mut below)
        });
        let boards = each(&self.boards, |board, span| board.read(span, problems));
        let panels = each(&self.panels, |panel, span| panel.read(span, problems));
        let log = read_log(
            &self.log,
            &log::Around {
                facts: &known,
                parts: parts.as_deref(),
                joints: &joints,
                boards: &boards,
                panels: &panels,
                places: &names,
                schedule: schedule.as_ref(),
            },
            &mut below,
        );
        problems.append(below, parts.is_none() || piece.is_none());
        for board in boards.iter().flatten() {
            if let Some(place) = &board.rests_in {
                around.find_place(place, board.rests_in_span.clone(), problems);
            }
        }
        for part in parts.iter().flatten() {
            let Some(MadeOf::Panel { name, span }) = &part.made_of else {
                continue;
            };
            if !panels.iter().flatten().any(|panel| panel.name == *name) {
                problems.push(
                    span.clone(),
                    format!("no panel is named `{name}`"),
                    format!("add [[panels]] with name = \"{name}\" and its leaves, or give the boards one by one"),
                );
            }
        }
        for panel in panels.iter().flatten() {
            if let Some((part, span)) = &panel.part {
                known.named(part, span.clone(), problems);
            }
        }
        let head = head?;
        Some(Job {
            name: head.name,
            units: head.units,
            region: head.region,
            seed: head.seed,
            draws: head.draws,
            species_table: head.species_table,
            wood_fixed: head.wood_fixed,
            finish_fixed: head.finish_fixed,
            places: places
                .into_iter()
                .map(|(_, place)| place)
                .collect::<Option<_>>()?,
            shop: shop?,
            home: home?,
            schedule: schedule?,
            parts: parts?,
            piece: piece?.piece,
            plinth: plinth?,
            bare: problems.take_bare(),
            chance: chance?.unwrap_or_default(),
            log: log?,
            joints,
            boards: all(boards)?,
            panels: all(panels)?,
            bows: all(bows)?,
            straighten: all(straighten)?,
            shelves: all(shelves)?,
            glue: glue?,
            install: install?,
            origin: origin.to_owned(),
            text: text.to_owned(),
        })
    }

    fn check_format(&self, problems: &mut Problems) {
        let (message, remedy) = match problems.take(&self.format) {
            Some(Whole(FORMAT)) | None => return,
            Some(Whole(1)) => (
                "format 1 is the old form of the job file: since format 2 a joint names its parts `piece` and `into`, limits are `min` and `max`, and `[job]` has `units` and `species_table`".to_owned(),
                "rename those keys and write format = 2",
            ),
            Some(Whole(format)) => (
                format!("format {format} is not known to this heartside"),
                "write format = 2, or use the heartside that wrote the file",
            ),
        };
        problems.push(self.format.span(), message, remedy);
    }

    fn check_places(&self, problems: &mut Problems) -> Vec<(String, Option<Place>)> {
        let mut places: Vec<(Range<usize>, String, Option<Place>)> = self
            .places
            .iter()
            .map(|(name, keys)| {
                let place = keys.get().read(name, keys.span(), problems);
                (keys.span(), name.clone(), place)
            })
            .collect();
        places.sort_by_key(|(span, ..)| span.start);
        for (wanted, what) in [
            ("shop", "where the piece is made"),
            ("home", "where it will stand"),
        ] {
            if !self.places.contains_key(wanted) {
                problems.push(
                    places.first().map_or(0..0, |(span, ..)| span.clone()),
                    format!("the job file has no [places.{wanted}]"),
                    format!("add [places.{wanted}], the air {what}"),
                );
            }
        }
        places
            .into_iter()
            .map(|(_, name, place)| (name, place))
            .collect()
    }
}

/// What to say of joints whose housing takes a part of two thicknesses along its length: by joint. One at a place of its length is sized there.
fn uneven(parts: &[Part], piece: &Piece, joints: &[JointPlan]) -> Vec<(usize, String)> {
    let mut notes = Vec::new();
    for (index, joint) in joints.iter().enumerate() {
        let at_a_place = joint
            .bodies
            .first()
            .is_some_and(|pair| thickness_here(piece, *pair).is_some());
        if at_a_place {
            continue;
        }
        let mut taken: Vec<usize> = joint
            .housings
            .iter()
            .filter(|cut| cut.behind == Behind::Bottom)
            .filter_map(|cut| cut.takes.map(|part| part.0))
            .collect();
        taken.dedup();
        for part in taken {
            let Some([one, other]) = parts[part].thickness_from_to else {
                continue;
            };
            let (from, to) = (one.min(other), one.max(other));
            notes.push((
                index,
                format!(
                    "`{}` is {} to {} thick: measure it where it goes in and cut that housing to it, or cut all for {} and scrape up to {} off the thick places",
                    parts[part].name,
                    millimetres(from),
                    millimetres(to),
                    millimetres(from),
                    millimetres(to - from)
                ),
            ));
        }
    }
    notes
}

/// Notes what two sections answer, each in its own way: screws that a joint has, and a bow that the frame holds.
fn said_twice(
    joints: &[JointPlan],
    (bows, straighten): (&[Option<BowPlan>], &[Option<StraightenPlan>]),
    install: Option<&InstallPlan>,
    parts: &Parts<'_>,
    problems: &mut Problems,
) {
    let fastenings = install.into_iter().flat_map(|install| &install.fastenings);
    for fastened in fastenings {
        let joint = joints.iter().find(|joint| {
            SCREWED_KINDS.contains(&joint.kind) && joint.drawing.piece == fastened.part
        });
        if let Some(joint) = joint {
            problems.push(
                fastened.span.clone(),
                format!(
                    "the screws of `{}` are given already, by the joint `{}`",
                    parts[fastened.part.0].name, joint.name
                ),
                "leave these fastenings out: the holes on site are those of the joint",
            );
        }
    }
    for held in straighten.iter().flatten() {
        if bows.iter().flatten().any(|bow| bow.part == held.part) {
            problems.push(
                held.span.clone(),
                format!(
                    "the bow of `{}` is given under [[bows]] too, and there the whole case holds it",
                    parts[held.part.0].name
                ),
                "leave [[straighten]] out: it takes the supports as if they stood on rock",
            );
        }
    }
}

/// Every table of a list, each read even when another is wrong.
fn each<K, T>(
    list: &[Placed<K>],
    mut read: impl FnMut(&K, Range<usize>) -> Option<T>,
) -> Vec<Option<T>> {
    list.iter()
        .map(|keys| read(keys.get(), keys.span()))
        .collect()
}

/// A table that may be left out: `None` only when it is wrong.
fn one<K, T>(
    keys: Option<&Placed<K>>,
    read: impl FnOnce(&K, Range<usize>) -> Option<T>,
) -> Option<Option<T>> {
    match keys {
        None => Some(None),
        Some(keys) => read(keys.get(), keys.span()).map(Some),
    }
}

/// All of a list, or nothing when any is wrong.
fn all<T>(list: Vec<Option<T>>) -> Option<Vec<T>> {
    list.into_iter().collect()
}
