//! Moisture day by day.

/// A board's moisture day by day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MoistureTrack {
    /// Day of the year of the first entry, 0 = 1 January.
    pub first_day: usize,
    /// Daily mean of the mean through the thickness, percent.
    pub mean_percent: Vec<f64>,
    /// Daily mean of the best-fit slope through the thickness, percent per mm, positive
    /// when the upper (bark-side) face is the moister.
    pub slope_percent_per_mm: Vec<f64>,
}

/// Seven days in a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Week {
    /// Index of its first day in the track.
    pub first: usize,
    /// Mean moisture over the seven days, percent.
    pub mean_percent: f64,
}

/// Days of a week.
const WEEK: usize = 7;

impl MoistureTrack {
    /// Number of days.
    #[must_use]
    pub fn days(&self) -> usize {
        self.mean_percent.len()
    }

    /// Day of the year of entry `index`, 0 to 364.
    #[must_use]
    pub fn day_of_year(&self, index: usize) -> usize {
        (self.first_day + index) % crate::air::DAYS_IN_YEAR
    }

    /// Adds a day.
    pub fn push(&mut self, mean_percent: f64, slope_percent_per_mm: f64) {
        self.mean_percent.push(mean_percent);
        self.slope_percent_per_mm.push(slope_percent_per_mm);
    }

    /// Empties the track and lets it begin on a day of the year, keeping its memory.
    pub fn restart(&mut self, first_day: usize) {
        self.first_day = first_day;
        self.mean_percent.clear();
        self.slope_percent_per_mm.clear();
    }

    /// The driest seven days in a row of a track that begins and ends; `None` when it is
    /// shorter than a week.
    #[must_use]
    pub fn driest_week(&self) -> Option<Week> {
        self.weeks(false).min_by(by_mean)
    }

    /// The wettest seven days in a row of a track that begins and ends; `None` when it is
    /// shorter than a week.
    #[must_use]
    pub fn wettest_week(&self) -> Option<Week> {
        self.weeks(false).max_by(by_mean)
    }

    /// The driest seven days of a year that repeats: the week may run over its end.
    #[must_use]
    pub fn driest_week_of_year(&self) -> Option<Week> {
        self.weeks(true).min_by(by_mean)
    }

    /// The wettest seven days of a year that repeats: the week may run over its end.
    #[must_use]
    pub fn wettest_week_of_year(&self) -> Option<Week> {
        self.weeks(true).max_by(by_mean)
    }

    fn weeks(&self, repeats: bool) -> impl Iterator<Item = Week> + '_ {
        let days = self.days();
        let count = match days.checked_sub(WEEK) {
            None => 0,
            Some(_) if repeats => days,
            Some(rest) => rest + 1,
        };
        (0..count).map(move |first| Week {
            first,
            mean_percent: (first..first + WEEK)
                .map(|day| self.mean_percent[day % days])
                .sum::<f64>()
                / WEEK as f64,
        })
    }
}

fn by_mean(a: &Week, b: &Week) -> std::cmp::Ordering {
    a.mean_percent.total_cmp(&b.mean_percent)
}
