//! The moisture of a part from the day of measuring to a later year at home, solved once for all parts that share it and
//! read off for one draw.

use super::airs::Airs;
use super::memory::Memory;
use super::part_model::PartModel;
use super::timeline::Timeline;
use crate::air::DAYS_IN_YEAR;
use crate::job::PlaceId;
use crate::moisture::{
    GridRange, MoistureTrack, PickedGrid, Slab, SlabKey, Stay, TrackGrid, Variation, day_of_year,
};
use crate::units::MoistureContent;
use std::sync::Arc;

/// What makes two histories the same: slab, shop, home, day of measuring and day of finishing.
pub(super) type StockKey = (SlabKey, PlaceId, PlaceId, usize, usize);

/// What a history is solved for.
pub(super) struct StockStay<'a> {
    pub(super) slab: &'a Slab,
    pub(super) measured: usize,
    pub(super) measured_percent: f64,
    pub(super) finished: usize,
    pub(super) made_in: PlaceId,
    pub(super) stands_in: PlaceId,
}

/// Stock of one kind: parts that share thickness, wood, finish, places and the day of measuring live through the same moisture,
/// which is solved once.
#[derive(Debug, Clone)]
pub struct MoistureHistory {
    pub(super) key: StockKey,
    start_percent: f64,
    first_day: usize,
    rotation: usize,
    follow: Arc<TrackGrid>,
    settled: Arc<TrackGrid>,
    /// Both on the days of a day set only, in its order.
    picked: Option<[PickedGrid; 2]>,
}

/// What one draw makes of the moisture of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawConditions {
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

impl MoistureHistory {
    pub(super) fn solve(
        stay: &StockStay<'_>,
        airs: &Airs,
        timeline: &Timeline,
        (key, over): (StockKey, [GridRange; 2]),
        memory: &Memory,
    ) -> Self {
        let (shop, home) = (airs.shared(stay.made_in), airs.shared(stay.stands_in));
        let delivered = day_of_year(timeline.date(timeline.delivered()));
        let bare = stay.finished.clamp(stay.measured, timeline.delivered());
        let from = |day: usize| day_of_year(timeline.date(day));
        let stays = [
            (shop, from(stay.measured), bare - stay.measured, true),
            (shop, from(bare), timeline.delivered() - bare, false),
            (home, delivered, DAYS_IN_YEAR, false),
        ];
        Self {
            key,
            start_percent: stay.measured_percent,
            first_day: stay.measured,
            // The settled track begins on 1 January, the timeline's settled year on the day of delivery.
            rotation: delivered,
            follow: memory.follow(stay.slab, stay.measured_percent, &stays, over),
            settled: memory.settled(stay.slab, home, over),
            picked: None,
        }
    }

    /// Daily mean moisture of one draw, solved in full as the grid's own nodes are: the settled year in the order of the
    /// timeline, or the days from measuring to the end of the first year at home.
    pub(super) fn full(
        &self,
        part: &PartModel,
        airs: &Airs,
        timeline: &Timeline,
        life: &DrawConditions,
        settled: bool,
    ) -> Vec<f64> {
        // Which way the stock came is read once, from the reading: a meter's error does not change it.
        let slab = Slab {
            begun_percent: Some(self.start_percent / part.slab.equilibrium_factor),
            ..part.slab
        };
        let (shop, home) = (airs.year(part.shop), airs.year(part.home));
        if settled {
            let later = Variation {
                equilibrium_factor: life.later_equilibrium,
                ..life.variation
            };
            let mut days = TrackGrid::without_grid(&slab, &later, None, home).mean_percent;
            days.rotate_left(self.rotation);
            return days;
        }
        let bare = part.finished.clamp(part.measured, timeline.delivered());
        let stay = |air, from: usize, until: usize, bare| Stay {
            air,
            from_day_of_year: day_of_year(timeline.date(from)),
            days: until - from,
            bare,
        };
        let delivered = timeline.delivered();
        let stays = [
            stay(shop, part.measured, bare, true),
            stay(shop, bare, delivered, false),
            stay(home, delivered, delivered + DAYS_IN_YEAR, false),
        ];
        let measured = MoistureContent::computed_percent(life.measured_percent);
        let from = Some((measured, &stays[..]));
        TrackGrid::without_grid(&slab, &life.variation, from, home).mean_percent
    }

    /// The settled year of the middle draw, from 1 January.
    pub(super) fn settled_year(&self) -> MoistureTrack {
        let mut track = MoistureTrack::default();
        self.settled.at(1.0, 1.0, &mut track);
        track
    }

    /// Whether it is the very same as another, solved once.
    pub(super) fn is_that_of(&self, other: &Self) -> bool {
        self.key == other.key
            && self.starts_at(other.start_percent)
            && self.first_day == other.first_day
            && self.rotation == other.rotation
            && Arc::ptr_eq(&self.follow, &other.follow)
            && Arc::ptr_eq(&self.settled, &other.settled)
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
    pub(super) fn on(&self, days: &[usize], timeline: &Timeline) -> Self {
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
            picked: Some([self.follow.picked(&first), self.settled.picked(&later)]),
            ..self.clone()
        }
    }

    /// Moisture on the days picked; `room` is memory to work in.
    pub fn track(
        &self,
        days: &[usize],
        timeline: &Timeline,
        life: &DrawConditions,
        room: &mut MoistureTrack,
        out: &mut PartTrack,
    ) {
        let variation = Variation {
            start_offset_percent: life.variation.start_offset_percent + life.measured_percent
                - self.start_percent,
            ..life.variation
        };
        let later = Variation {
            equilibrium_factor: life.later_equilibrium,
            ..variation
        };
        for values in [&mut out.mean_percent, &mut out.slope_percent_per_mm] {
            values.resize(days.len(), 0.0);
        }
        let split = days.partition_point(|day| *day < timeline.settled());
        let (mean, later_mean) = out.mean_percent.split_at_mut(split);
        let (slope, later_slope) = out.slope_percent_per_mm.split_at_mut(split);
        if let Some([follow, settled]) = &self.picked {
            follow.fill_variation(&variation, mean, slope);
            settled.fill_variation(&later, later_mean, later_slope);
            return;
        }
        self.follow.at_variation(&variation, room);
        for (at, day) in days[..split].iter().enumerate() {
            let index = self.in_follow(*day);
            mean[at] = room.mean_percent[index];
            slope[at] = room.slope_percent_per_mm[index];
        }
        self.settled.at_variation(&later, room);
        for (at, day) in days[split..].iter().enumerate() {
            let index = self.in_settled(*day, timeline);
            later_mean[at] = room.mean_percent[index];
            later_slope[at] = room.slope_percent_per_mm[index];
        }
    }
}
