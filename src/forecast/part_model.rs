//! One part made ready: its wood, its section, the slab that its moisture is solved in.

use super::belief::ShrinkageSpread;
use super::curve::section_for_sizes;
use crate::air::Hysteresis;
use crate::job::{FinishedFaces, Part, PlaceId, Spreads};
use crate::joint::PartFacts;
use crate::moisture::{FaceExchange, Finish, RADIAL_OVER_TANGENTIAL, Slab};
use crate::movement::{
    GivenRings, GluedBoard, PithSpread, RINGS_NOT_GIVEN, Section, Shrinkage, rings_that_move_alike,
};
use crate::species::{Species, SpeciesTable};
use crate::units::spanned::Problems;
use crate::units::{Length, MoistureContent};

/// One part, ready.
#[derive(Debug, Clone, PartialEq)]
pub struct PartModel {
    /// Its sizes on the day of measuring.
    pub facts: PartFacts,
    /// Its wood.
    pub species: Species,
    /// What the wood shrinks, at the middle of what is believed of its board.
    pub shrinkage: Shrinkage,
    /// How its board's shrinkage spreads about that.
    pub spread: ShrinkageSpread,
    /// The first part cut from the same board, by its place: parts of one board shrink alike.
    pub board: usize,
    /// Its section with its rings.
    pub section: Section,
    /// The boards that it is glued up from, each with where its bark-side face rises most; empty for one board.
    pub boards: Vec<(GluedBoard, Length)>,
    /// Whether its rings give a cup; not where only the way of sawing is given. A sheet has none.
    pub cup_known: bool,
    /// Where its pith may be, where a photo gives that.
    pub pith: Option<PithSpread>,
    /// Where its bark-side face rises most, from the centre line.
    pub crown: Length,
    /// Strain across the width per 1 % moisture, for the cup from a moisture slope.
    pub width_coefficient: f64,
    /// Moisture on the day of measuring, the meter's bias taken off.
    pub measured_percent: f64,
    /// The day of measuring, by its number in the timeline.
    pub measured: usize,
    /// The day its finish is on, by its number in the timeline; bare wood before.
    pub finished: usize,
    /// The [`MoistureHistory`](super::MoistureHistory) whose moisture it shares, by its place in the list.
    pub stock: usize,
    /// Where it is made.
    pub shop: PlaceId,
    /// Where it stands at home.
    pub home: PlaceId,
    /// Its slab, for a change of finish.
    pub slab: Slab,
    /// What is to be known of it.
    pub notes: Vec<String>,
}

/// Diffusivity through the thickness over the tangential one: the faces of a flat-sawn board exchange across the rings.
fn through_thickness(section: Section) -> f64 {
    let middle = section.thickness.mm() / 2.0;
    let across = libm::cos(section.rings.angle_at(0.0, middle).radians());
    1.0 + (RADIAL_OVER_TANGENTIAL - 1.0) * across * across
}

impl PartModel {
    /// Makes it of these boards: its width moves as theirs do, and its cup is what their rings leave together.
    pub(super) fn glue_up(&mut self, boards: Vec<GluedBoard>, cup_known: bool) {
        let Some(rings) = rings_that_move_alike(&boards) else {
            return;
        };
        self.section = Section {
            rings,
            ..self.section
        };
        self.cup_known = cup_known;
        self.notes.push(format!(
            "glued up of {} boards: its width moves as theirs do together, and its section is drawn with straight rings that move as much",
            boards.len()
        ));
        self.boards = boards
            .into_iter()
            .map(|board| (board, Length::ZERO))
            .collect();
    }
}

/// A part with its wood and finish found; days, history and what is believed of its board are set by the caller.
pub(super) fn model(
    part: &Part,
    species: &SpeciesTable,
    problems: &mut Problems,
) -> Option<(PartModel, Slab)> {
    let wood = match species.look_up(&part.species) {
        Ok(named) => Some(named),
        Err(error) => {
            problems.push(part.species_span.clone(), error.message(), error.remedy());
            None
        }
    };
    for photo in part.photos() {
        photo.note_unread(problems);
    }
    let (finish, faces) = part
        .finish
        .as_ref()
        .map_or((Finish::bare(), FinishedFaces::Both), |given| {
            (given.finish, given.faces)
        });
    let named = wood?;
    let wood = named.species;
    let mut notes = named.cautions;
    notes.extend(
        Shrinkage::rules_used(wood, false)
            .into_iter()
            .map(str::to_owned),
    );
    let gravity = wood.basic_gravity();
    notes.extend(gravity.rule.map(str::to_owned));
    notes.extend(finish.caution());
    if part
        .finish
        .as_ref()
        .is_some_and(|given| given.coats.is_none())
        && !finish.is_bare()
    {
        notes.push(format!("the coats are not given: taken as {finish}"));
    }
    notes.extend(faces.assumed().map(str::to_owned));
    let shrinkage = Shrinkage::of(wood);
    let section = Section {
        width: part.width,
        thickness: part.thickness,
        rings: part.rings,
    };
    if section.contains_pith() {
        notes.push(
            "the pith lies inside: it will check; no cup is given, and its width is forecast as flat-sawn, the maximum change"
                .to_owned(),
        );
    }
    if part.rings_given == GivenRings::NotGiven && part.made_of.is_none() {
        notes.push(RINGS_NOT_GIVEN.to_owned());
    }
    if part.moisture.percent() > shrinkage.fiber_saturation_percent {
        notes.push(format!(
            "at {}% it is above fiber saturation, {:.0}% for this wood: nothing moves until it has dried below that",
            part.moisture.percent(),
            shrinkage.fiber_saturation_percent
        ));
    }
    let open = |finished: bool| FaceExchange::Open(if finished { finish } else { Finish::bare() });
    let [heart, bark] = faces.heart_and_bark();
    let slab = Slab::bare(part.thickness, gravity.value)
        .ok()?
        .with_faces(open(heart), open(bark));
    let slab = Slab {
        diffusivity_factor: through_thickness(section),
        scanning: Some(Hysteresis::SLOPE),
        fiber_saturation: MoistureContent::computed_percent(shrinkage.fiber_saturation_percent),
        equilibrium_factor: wood.equilibrium_share(),
        ..slab
    };
    let model = PartModel {
        facts: PartFacts {
            name: part.name.clone(),
            length: part.length,
            width: part.width,
            thickness: part.thickness,
        },
        species: wood.clone(),
        boards: Vec::new(),
        cup_known: part.rings_given.give_cup() || wood.sheet().is_some(),
        pith: part
            .rings_photo
            .as_ref()
            .and_then(|photo| photo.spread.clone()),
        crown: Length::ZERO,
        width_coefficient: section_for_sizes(section).width_coefficient(&shrinkage),
        shrinkage,
        spread: ShrinkageSpread::of_wood(&Spreads::default(), wood.source_spread),
        board: 0,
        section,
        measured_percent: part.moisture.percent(),
        measured: 0,
        finished: 0,
        stock: 0,
        shop: part.made_in,
        home: part.stands_in,
        slab,
        notes,
    };
    Some((model, slab))
}
