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
}
