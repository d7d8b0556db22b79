//! The air of every place of a job, as whoever holds the job gives it.

use crate::air::AirYear;
use crate::job::PlaceId;
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
    pub(super) fn shared(&self, place: PlaceId) -> &Arc<AirYear> {
        &self.years[place.0]
    }

    /// What is to be known of a place's air.
    pub fn notes(&self) -> impl Iterator<Item = &str> {
        self.notes.iter().flatten().map(String::as_str)
    }
}
