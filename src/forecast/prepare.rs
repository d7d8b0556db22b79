//! A job made ready to be forecast many times: woods found, sections laid,
//! moisture solved over a grid, so that one draw is only arithmetic.

use super::belief::{self, Narrowed, ShrinkageSpread};
use super::curve::{crown, section_for_sizes};
use super::memory::Memory;
use super::timeline::Timeline;
use crate::air::{AirYear, DAYS_IN_YEAR};
use crate::chance::Instrument;
use crate::job::{FinishedFaces, Job, JobErrors, Part, PartFinish, PlaceId, Spreads};
use crate::joint::{JointPlan, PartFacts};
use crate::moisture::{
    FaceExchange, Finish, GridRange, MoistureTrack, Slab, SlabKey, Stay, TrackGrid, Variation,
    day_of_year,
};
use crate::movement::{Section, Shrinkage};
use crate::species::{Species, SpeciesTable};
use crate::units::told::Problems;
use crate::units::{Length, MoistureContent};
use jiff::civil::Date;
use std::sync::Arc;

/// The air of every place of a job, in the order of its places.
#[derive(Debug, Clone, PartialEq)]
pub struct Airs {
    years: Vec<Arc<AirYear>>,
    notes: Vec<Vec<String>>,
}

impl Airs {
    /// One year for each place of the job, with what is to be known of it (rows dropped, gaps).
    #[must_use]
    pub fn new(years: Vec<(AirYear, Vec<String>)>) -> Self {
        let (years, notes) = years
            .into_iter()
            .map(|(year, notes)| (Arc::new(year), notes))
            .unzip();
        Self { years, notes }
    }

    /// The year of a place.
    ///
    /// # Panics
    /// On a place of another job: an error in the program.
    #[must_use]
    pub fn year(&self, place: PlaceId) -> &AirYear {
        &self.years[place.0]
    }

    /// The same, shared.
    fn shared(&self, place: PlaceId) -> &Arc<AirYear> {
        &self.years[place.0]
    }

    /// What is to be known of a place's air.
    pub fn notes(&self) -> impl Iterator<Item = &str> {
        self.notes.iter().flatten().map(String::as_str)
    }
}

/// One part, ready.
#[derive(Debug, Clone)]
pub struct PartModel {
    /// Its sizes on the day of measuring.
    pub facts: PartFacts,
    /// Its wood.
    pub species: Species,
    /// What the wood shrinks, at the middle of what is believed of its board.
    pub shrinkage: Shrinkage,
    /// How its board's shrinkage spreads about that.
    pub spread: ShrinkageSpread,
    /// The first part of the same board.
    pub board: usize,
    /// Its section with its rings.
    pub section: Section,
    /// Where its bark-side face rises most.
    pub crown: Length,
    /// Strain across the width per 1 % moisture, for the cup from a moisture slope.
    pub width_coefficient: f64,
    /// Moisture on the day of measuring, the meter's bias taken off.
    pub measured_percent: f64,
    /// The day of measuring.
    pub measured: usize,
    /// Its history.
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

/// What makes two histories the same.
type StockKey = (SlabKey, PlaceId, PlaceId, usize);

/// What a history is solved for.
struct StockStay<'a> {
    slab: &'a Slab,
    measured: usize,
    measured_percent: f64,
    made_in: PlaceId,
    stands_in: PlaceId,
}

/// Boards that share thickness, wood, finish and places: solved once.
#[derive(Debug, Clone)]
pub struct Stock {
    key: StockKey,
    start_percent: f64,
    first_day: usize,
    rotation: usize,
    follow: Arc<TrackGrid>,
    settled: Arc<TrackGrid>,
    /// Whether the grids hold only the days of a day set, in its order.
    picked: bool,
}

/// A job, ready.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// Its days.
    pub timeline: Timeline,
    /// Its parts.
    pub parts: Vec<PartModel>,
    /// The parts that are looked at, in their order: all, or those of one joint in a trial.
    pub looked_at: Vec<usize>,
    /// Its histories.
    pub stocks: Vec<Arc<Stock>>,
    /// Its joints.
    pub joints: Vec<JointPlan>,
    /// The day of gluing up.
    pub assembled: usize,
    /// The moisture meter.
    pub meter: Instrument,
    /// Coefficient of variation of the strength across the grain.
    pub strength_cov: f64,
    /// What was measured to narrow the answers.
    pub narrowed: Narrowed,
}

/// What one draw makes of the moisture of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Life {
    /// What the draw changes up to the end of the first year at home.
    pub variation: Variation,
    /// Multiplies the equilibrium moisture of a later year.
    pub later_equilibrium: f64,
    /// Moisture on the day of measuring, percent.
    pub measured_percent: f64,
}

/// Moisture of a part on some days of the timeline.
#[derive(Debug, Clone, Default)]
pub struct PartTrack {
    /// Mean moisture, percent.
    pub mean_percent: Vec<f64>,
    /// Slope through the thickness, percent per mm; positive: moister toward the bark face.
    pub slope_percent_per_mm: Vec<f64>,
}

impl Stock {
    fn solve(
        stay: &StockStay<'_>,
        airs: &Airs,
        timeline: &Timeline,
        key: StockKey,
        memory: &Memory,
    ) -> Self {
        let (shop, home) = (airs.shared(stay.made_in), airs.shared(stay.stands_in));
        let delivered = day_of_year(timeline.date(timeline.delivered()));
        let stays = [
            (
                shop,
                day_of_year(timeline.date(stay.measured)),
                timeline.delivered() - stay.measured,
            ),
            (home, delivered, DAYS_IN_YEAR),
        ];
        Self {
            key,
            start_percent: stay.measured_percent,
            first_day: stay.measured,
            // The settled track begins on 1 January, the timeline's settled year on the day of delivery.
            rotation: delivered,
            follow: memory.follow(stay.slab, stay.measured_percent, &stays),
            settled: memory.settled(stay.slab, home),
            picked: false,
        }
    }

    /// Daily mean moisture of one draw, solved in full as the grid's own nodes are: the settled year in the order of the
    /// timeline, or the days from measuring to the end of the first year at home.
    pub(super) fn full(
        &self,
        part: &PartModel,
        airs: &Airs,
        timeline: &Timeline,
        life: &Life,
        settled: bool,
    ) -> Vec<f64> {
        let one = GridRange {
            least: 1.0,
            greatest: 1.0,
            nodes: 1,
        };
        let slab = Slab {
            diffusivity_factor: part.slab.diffusivity_factor * life.variation.diffusivity_factor,
            surface_factor: part.slab.surface_factor * life.variation.surface_factor,
            equilibrium_factor: if settled {
                life.later_equilibrium
            } else {
                life.variation.equilibrium_factor
            },
            ..part.slab
        };
        let (shop, home) = (airs.year(part.shop), airs.year(part.home));
        let mut track = MoistureTrack::default();
        if settled {
            TrackGrid::settled(&slab, home, one, one).at(1.0, 1.0, &mut track);
            let mut days = track.mean_percent;
            days.rotate_left(self.rotation);
            return days;
        }
        let stays = [
            Stay {
                air: shop,
                from_day_of_year: day_of_year(timeline.date(part.measured)),
                days: timeline.delivered() - part.measured,
            },
            Stay {
                air: home,
                from_day_of_year: self.rotation,
                days: DAYS_IN_YEAR,
            },
        ];
        let start = life.measured_percent + life.variation.start_offset_percent;
        let start = MoistureContent::computed_percent(start);
        TrackGrid::follow(&slab, start, &stays, one, one).at(1.0, 1.0, &mut track);
        track.mean_percent
    }

    /// Whether it was solved from a moisture.
    #[must_use]
    pub fn starts_at(&self, percent: f64) -> bool {
        self.start_percent.to_bits() == percent.to_bits()
    }

    /// Where a day of the timeline stands in the grid of the first years.
    fn in_follow(&self, day: usize) -> usize {
        // Before its own measuring a part is as it was measured.
        day.saturating_sub(self.first_day)
            .min(self.follow.days() - 1)
    }

    /// Where a day of the timeline stands in the grid of the settled year.
    const fn in_settled(&self, day: usize, timeline: &Timeline) -> usize {
        (day - timeline.settled() + self.rotation) % DAYS_IN_YEAR
    }

    /// The same history on the days of a set only.
    fn on(&self, days: &[usize], timeline: &Timeline) -> Self {
        let split = days.partition_point(|day| *day < timeline.settled());
        let first: Vec<usize> = days[..split]
            .iter()
            .map(|day| self.in_follow(*day))
            .collect();
        let later: Vec<usize> = days[split..]
            .iter()
            .map(|day| self.in_settled(*day, timeline))
            .collect();
        Self {
            key: self.key.clone(),
            follow: Arc::new(self.follow.picked(&first)),
            settled: Arc::new(self.settled.picked(&later)),
            picked: true,
            start_percent: self.start_percent,
            first_day: self.first_day,
            rotation: self.rotation,
        }
    }

    /// Moisture on the days picked; `room` is memory to work in.
    pub fn track(
        &self,
        days: &[usize],
        timeline: &Timeline,
        life: &Life,
        room: &mut MoistureTrack,
        out: &mut PartTrack,
    ) {
        let variation = Variation {
            start_offset_percent: life.variation.start_offset_percent + life.measured_percent
                - self.start_percent,
            ..life.variation
        };
        out.mean_percent.clear();
        out.slope_percent_per_mm.clear();
        let split = days.partition_point(|day| *day < timeline.settled());
        self.follow.at_variation(&variation, room);
        for (at, day) in days[..split].iter().enumerate() {
            let index = if self.picked {
                at
            } else {
                self.in_follow(*day)
            };
            out.mean_percent.push(room.mean_percent[index]);
            out.slope_percent_per_mm
                .push(room.slope_percent_per_mm[index]);
        }
        let later = Variation {
            equilibrium_factor: life.later_equilibrium,
            ..variation
        };
        self.settled.at_variation(&later, room);
        for (at, day) in days[split..].iter().enumerate() {
            let index = if self.picked {
                at
            } else {
                self.in_settled(*day, timeline)
            };
            out.mean_percent.push(room.mean_percent[index]);
            out.slope_percent_per_mm
                .push(room.slope_percent_per_mm[index]);
        }
    }
}

fn finish_of(
    told: Option<&PartFinish>,
    problems: &mut Problems,
) -> Option<(Finish, FinishedFaces)> {
    let Some(told) = told else {
        return Some((Finish::bare(), FinishedFaces::Both));
    };
    match Finish::find(&told.kind, told.coats) {
        Ok(finish) => Some((finish, told.faces)),
        Err(error) => {
            problems.push(told.span.clone(), error.message(), error.remedy());
            None
        }
    }
}

fn model(
    part: &Part,
    species: &SpeciesTable,
    problems: &mut Problems,
) -> Option<(PartModel, Slab)> {
    let wood = match species.find(&part.species) {
        Ok(wood) => Some(wood),
        Err(error) => {
            problems.push(part.species_span.clone(), error.message(), error.remedy());
            None
        }
    };
    let finish = finish_of(part.finish.as_ref(), problems);
    let (wood, (finish, faces)) = (wood?, finish?);
    let mut notes: Vec<String> = Shrinkage::rules_used(wood, false)
        .into_iter()
        .map(str::to_owned)
        .collect();
    let gravity = wood.basic_gravity();
    notes.extend(gravity.rule.map(str::to_owned));
    notes.extend(finish.caution());
    let shrinkage = Shrinkage::of(wood);
    let section = Section {
        width: part.width,
        thickness: part.thickness,
        rings: part.rings,
    };
    if section.contains_pith() {
        notes.push(
            "the pith lies inside: it will check; no cup is given, and its width is forecast as flat-sawn, the greatest change"
                .to_owned(),
        );
    }
    if part.moisture.percent() > shrinkage.fiber_saturation_percent {
        notes.push(format!(
            "at {}% it is above fibre saturation, {:.0}% for this wood: nothing moves until it has dried below that",
            part.moisture.percent(),
            shrinkage.fiber_saturation_percent
        ));
    }
    let open = |finished: bool| FaceExchange::Open(if finished { finish } else { Finish::bare() });
    let slab = Slab::bare(part.thickness, gravity.value).ok()?.with_faces(
        open(faces != FinishedFaces::Bark),
        open(faces != FinishedFaces::Heart),
    );
    let slab = Slab {
        fiber_saturation: MoistureContent::computed_percent(shrinkage.fiber_saturation_percent),
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
        crown: Length::ZERO,
        width_coefficient: section_for_sizes(section).width_coefficient(&shrinkage),
        shrinkage,
        spread: ShrinkageSpread::of_wood(&Spreads::default()),
        board: 0,
        section,
        measured_percent: part.moisture.percent(),
        measured: 0,
        stock: 0,
        shop: part.made_in,
        home: part.stands_in,
        slab,
        notes,
    };
    Some((model, slab))
}

impl Prepared {
    /// Makes a job ready.
    ///
    /// # Errors
    /// [`JobErrors`] at the places of unknown woods and finishes.
    pub fn new(job: &Job, species: &SpeciesTable, airs: &Airs) -> Result<Self, JobErrors> {
        Self::recalling(job, species, airs, &Memory::new(0))
    }

    /// The same, with what a memory holds not solved again.
    ///
    /// # Errors
    /// As [`Prepared::new`].
    pub fn recalling(
        job: &Job,
        species: &SpeciesTable,
        airs: &Airs,
        memory: &Memory,
    ) -> Result<Self, JobErrors> {
        let base: Date = job
            .parts
            .iter()
            .map(|part| part.measured)
            .min()
            .unwrap_or(job.schedule.assembled);
        let timeline = Timeline::new(base, job.schedule.delivered);
        let mut problems = Problems::default();
        let models: Vec<_> = job
            .parts
            .iter()
            .map(|part| model(part, species, &mut problems))
            .collect();
        if !problems.is_empty() {
            return Err(job.error(problems.into_sorted()));
        }
        let mut prepared = Self {
            timeline,
            parts: Vec::new(),
            looked_at: (0..job.parts.len()).collect(),
            stocks: Vec::new(),
            joints: job.joints.clone(),
            assembled: timeline.day(job.schedule.assembled),
            meter: belief::meter(job),
            strength_cov: job.chance.spreads.strength_cov,
            narrowed: Narrowed::default(),
        };
        belief::tell_meter(job, &prepared.meter, &mut prepared.narrowed);
        for (part, (mut model, slab)) in job.parts.iter().zip(models.into_iter().flatten()) {
            model.measured = timeline.day(part.measured);
            model.measured_percent = (model.measured_percent - prepared.meter.bias).max(0.0);
            model.stock = prepared.stock_for(&slab, &model, airs, memory);
            prepared.parts.push(model);
        }
        prepared.believe(job);
        Ok(prepared)
    }

    /// Sets what is believed of every board, narrowed by its off-cuts.
    fn believe(&mut self, job: &Job) {
        for index in 0..self.parts.len() {
            let first = |other: &usize| {
                let (this, other) = (&job.parts[index].board, &job.parts[*other].board);
                this.is_some() && this == other
            };
            self.parts[index].board = (0..index).find(first).unwrap_or(index);
            self.parts[index].spread = ShrinkageSpread::of_wood(&job.chance.spreads);
        }
        for offcut in &job.chance.offcuts {
            let part = &self.parts[offcut.part];
            let name = match &job.parts[offcut.part].board {
                Some(board) => format!("board {board} (through {})", part.facts.name),
                None => part.facts.name.clone(),
            };
            let board = part.board;
            self.parts[board].spread = belief::narrow(
                self.parts[board].spread,
                offcut,
                part.section,
                &part.shrinkage,
                &name,
                &mut self.narrowed,
            );
        }
        for index in 0..self.parts.len() {
            let spread = self.parts[self.parts[index].board].spread;
            let part = &mut self.parts[index];
            part.spread = spread;
            part.shrinkage.tangential_percent *= spread.middle[0];
            part.shrinkage.radial_percent *= spread.middle[1];
            part.crown = crown(part.section, &part.shrinkage);
            part.width_coefficient =
                section_for_sizes(part.section).width_coefficient(&part.shrinkage);
        }
    }

    /// Number of the history of a slab as this part lives it, solved if it is new.
    pub fn stock_for(
        &mut self,
        slab: &Slab,
        part: &PartModel,
        airs: &Airs,
        memory: &Memory,
    ) -> usize {
        let key = (slab.key(), part.shop, part.home, part.measured);
        if let Some(found) = self
            .stocks
            .iter()
            .position(|stock| !stock.picked && stock.key == key)
        {
            return found;
        }
        let stay = StockStay {
            slab,
            measured: part.measured,
            measured_percent: part.measured_percent,
            made_in: part.shop,
            stands_in: part.home,
        };
        let solved = Stock::solve(&stay, airs, &self.timeline, key, memory);
        self.stocks.push(Arc::new(solved));
        self.stocks.len() - 1
    }

    /// The same job on the days of a set only: what a cloud of draws works on.
    #[must_use]
    pub fn on(&self, set: &super::evaluate::DaySet) -> Self {
        let used: Vec<usize> = self
            .looked_at
            .iter()
            .map(|part| self.parts[*part].stock)
            .collect();
        let thin = |(place, stock): (usize, &Arc<Stock>)| {
            if used.contains(&place) {
                Arc::new(stock.on(set.days(), &self.timeline))
            } else {
                Arc::clone(stock)
            }
        };
        Self {
            stocks: self.stocks.iter().enumerate().map(thin).collect(),
            ..self.clone()
        }
    }

    /// The same job with one joint alone, its cut on the day it has in the job, and only its parts looked at.
    #[must_use]
    pub fn alone(&self, joint: &JointPlan, only: JointPlan) -> Self {
        let mut looked_at: Vec<usize> = only
            .fits
            .iter()
            .flat_map(|fit| fit.parts())
            .chain(
                only.bonds
                    .iter()
                    .flat_map(|bond| [bond.moves.part, bond.holds.part]),
            )
            .map(|part| part.0)
            .collect();
        looked_at.sort_unstable();
        looked_at.dedup();
        Self {
            looked_at,
            joints: vec![JointPlan {
                housings: Vec::new(),
                cut_on: Some(self.timeline.date(self.cut_day(joint))),
                ..only
            }],
            ..self.clone()
        }
    }

    /// Day of the cut of a joint: the day told, else the latest day of measuring of its parts.
    #[must_use]
    pub fn cut_day(&self, joint: &JointPlan) -> usize {
        let parts = joint.fits.iter().flat_map(|fit| fit.parts()).chain(
            joint
                .bonds
                .iter()
                .flat_map(|bond| [bond.moves.part, bond.holds.part]),
        );
        let measured = parts
            .map(|part| self.parts[part.0].measured)
            .max()
            .unwrap_or(0);
        joint
            .cut_on
            .map_or(measured, |date| self.timeline.day(date))
    }

    /// Size of a part along its grain.
    #[must_use]
    pub fn length(&self, part: usize) -> Length {
        self.parts[part].facts.length
    }
}
