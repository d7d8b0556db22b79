//! One part of a job, checked.

use super::climate::PlaceId;
use super::made_of::MadeOf;
use super::part_finish::PartFinish;
use super::piece_plans::OwnMoisture;
use crate::joint::PartFacts;
use crate::moisture::{FaceExchange, Finish};
use crate::movement::{GivenRings, Rings};
use crate::piece::{BoxFace, Orientation};
use crate::rings::RingsPhotoPlan;
use crate::units::{Length, MoistureContent};
use jiff::civil::Date;
use std::ops::Range;

/// One part, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name, unique in the job.
    pub name: String,
    /// Where the file tells it.
    pub span: Range<usize>,
    /// The wood as given.
    pub species: String,
    /// Where the file tells the wood.
    pub species_span: Range<usize>,
    /// From face to face on the day of measuring.
    pub thickness: Length,
    /// Across the grain on that day.
    pub width: Length,
    /// Along the grain on that day.
    pub length: Length,
    /// Moisture content on that day.
    pub moisture: MoistureContent,
    /// The day of measuring.
    pub measured: Date,
    /// The rings as given.
    pub rings_given: GivenRings,
    /// The rings; flat until the photo is read, where they are in one.
    pub rings: Rings,
    /// The photo that the rings are in.
    pub rings_photo: Option<RingsPhotoPlan>,
    /// What it is glued up from; `None` for one board.
    pub made_of: Option<MadeOf>,
    /// The finish; bare when none.
    pub finish: Option<PartFinish>,
    /// The board it is cut from, where it is given.
    pub board: Option<String>,
    /// How many are alike.
    pub count: u32,
    /// Where it is until delivery.
    pub made_in: PlaceId,
    /// Where it is from then on.
    pub stands_in: PlaceId,
    /// Its thickness at the low and at the high end of its length, where both are given.
    pub thickness_from_to: Option<[Length; 2]>,
    /// How it is turned, for a part that is placed.
    pub orientation: Option<Orientation>,
    /// The face where its bark side is.
    pub bark: Option<BoxFace>,
    /// The face that shows.
    pub show: Option<BoxFace>,
    /// The end from which its rings were read.
    pub rings_from: Option<BoxFace>,
}

impl Part {
    /// The photos that its rings, or those of the boards it is made of, are in.
    pub fn photos(&self) -> impl Iterator<Item = &RingsPhotoPlan> {
        let boards = match &self.made_of {
            Some(MadeOf::Boards { photos, .. }) => photos.as_slice(),
            _ => &[],
        };
        self.rings_photo
            .iter()
            .chain(boards.iter().map(|(_, photo)| photo))
    }

    /// What each face carries, the heart-side face first: the finish or bare wood, open to the air.
    #[must_use]
    pub fn faces(&self) -> [FaceExchange; 2] {
        let bare = FaceExchange::Open(Finish::bare());
        let Some(given) = &self.finish else {
            return [bare; 2];
        };
        let finished = FaceExchange::Open(given.finish);
        given
            .faces
            .heart_and_bark()
            .map(|carries| if carries { finished } else { bare })
    }

    /// The sizes that a joint needs.
    #[must_use]
    pub fn facts(&self) -> PartFacts {
        PartFacts {
            name: self.name.clone(),
            length: self.length,
            width: self.width,
            thickness: self.thickness,
        }
    }

    /// A copy of it with a moisture of its own.
    pub(super) fn with_moisture(&self, own: &OwnMoisture, bodies: u32) -> Self {
        Self {
            name: own.name.clone(),
            span: own.span.clone(),
            moisture: own.moisture,
            count: bodies.max(1),
            ..self.clone()
        }
    }
}
