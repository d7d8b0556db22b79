//! What was solved before, kept by whoever asks again and again about nearly the same job.

use super::kept::KeptDraws;
use super::panels::Matched;
use super::samples::Made;
use crate::air::AirYear;
use crate::moisture::{GridRange, Slab, SlabKey, Stay, TrackGrid};
use crate::numerics::{Deadline, Stopped};
use crate::panel::Panel;
use crate::units::MoistureContent;
use std::sync::{Arc, Mutex, PoisonError};

/// Moisture grids by everything that decides them, up to so many bytes, the layouts found of the last few panels, and the draws and
/// findings of the last forecasts; what was not used for longest goes first.
///
/// A forecast with a memory is that without one, to the byte: a grid or a layout is found again only where every input is
/// equal, and it is then the very one that solving or searching would give.
#[derive(Debug)]
pub struct Memory {
    most_bytes: usize,
    kept: Mutex<Vec<(Asked, Arc<TrackGrid>)>>,
    panels: Mutex<Vec<(PanelAsked, Arc<Matched>)>>,
    /// The draws of the last forecast with few of them and of the last with many.
    draws: Mutex<Vec<Arc<KeptDraws>>>,
    /// Draws made beforehand for the next forecast.
    made: Mutex<Vec<Made>>,
}

/// Most panels whose layouts are kept: some kilobytes each.
const MOST_PANELS: usize = 16;

/// Most forecasts whose draws are kept: one with few draws, one with all.
const MOST_DRAWS: usize = 2;

/// Everything that decides the layouts of a panel.
#[derive(Debug, Clone, PartialEq)]
struct PanelAsked {
    panel: Panel,
    count: usize,
}

/// Everything that decides a grid.
#[derive(Debug, Clone, PartialEq)]
struct Asked {
    slab: SlabKey,
    /// The moisture at the start, by its bits; none for a settled year.
    start: Option<u64>,
    /// Nodes over diffusivity and surface.
    over: [GridRange; 2],
    /// The air, the day of the year and the number of days of each stay.
    stays: Vec<(Arc<AirYear>, usize, usize, bool)>,
}

/// A stay whose air is shared.
pub(super) type SharedStay<'a> = (&'a Arc<AirYear>, usize, usize, bool);

impl Memory {
    /// A memory of so many bytes; of none at all for 0.
    #[must_use]
    pub const fn new(most_bytes: usize) -> Self {
        Self {
            most_bytes,
            kept: Mutex::new(Vec::new()),
            panels: Mutex::new(Vec::new()),
            draws: Mutex::new(Vec::new()),
            made: Mutex::new(Vec::new()),
        }
    }

    /// The draws of the last forecast with so many.
    pub(super) fn draws(&self, draws: u32) -> Option<Arc<KeptDraws>> {
        let kept = self.draws.lock().unwrap_or_else(PoisonError::into_inner);
        kept.iter().find(|kept| kept.draws == draws).cloned()
    }

    /// Whether so many bytes may be kept of one forecast.
    pub(super) const fn has_room_for(&self, bytes: usize) -> bool {
        self.most_bytes > 0 && bytes <= self.most_bytes
    }

    /// Keeps draws that came to their own end, unless they take more memory than the grids may; gives them back, so that what is found
    /// with them can be put beside them.
    pub(super) fn keep_draws(&self, draws: KeptDraws) -> Arc<KeptDraws> {
        let draws = Arc::new(draws);
        if !self.has_room_for(draws.samples.bytes()) {
            return draws;
        }
        let mut kept = self.draws.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|known| known.draws != draws.draws);
        kept.push(Arc::clone(&draws));
        let over = kept.len().saturating_sub(MOST_DRAWS);
        kept.drain(..over);
        draws
    }

    /// Takes in draws that another program made by [`share_of_draws`](super::share_of_draws), for the next forecast: it draws only what
    /// it was not given. Draws of another job it leaves alone. Says whether they are such draws, and no more bytes than the grids
    /// may have.
    #[must_use]
    pub fn take_in_draws(&self, bytes: &[u8]) -> bool {
        let Some(made) = Made::read(bytes) else {
            return false;
        };
        let mut kept = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        let all = kept.iter().map(Made::bytes).sum::<usize>() + made.bytes();
        let fits = all <= self.most_bytes;
        if fits {
            kept.push(made);
        }
        fits
    }

    /// The draws made beforehand, which are then no longer kept.
    pub(super) fn take_made(&self) -> Vec<Made> {
        std::mem::take(&mut *self.made.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// How many panels' layouts are kept.
    #[must_use]
    pub fn panels(&self) -> usize {
        self.panels
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .len()
    }

    /// The best so many layouts of a panel; kept only if the search came to its own end.
    pub(super) fn matched(
        &self,
        panel: &Panel,
        count: usize,
        deadline: Deadline<'_>,
    ) -> Result<Arc<Matched>, Stopped> {
        if self.most_bytes == 0 {
            return Matched::of(panel, count, deadline).map(Arc::new);
        }
        let asked = PanelAsked {
            panel: panel.clone(),
            count,
        };
        let lock = || self.panels.lock().unwrap_or_else(PoisonError::into_inner);
        let take = |kept: &mut Vec<(PanelAsked, Arc<Matched>)>| {
            let place = kept.iter().position(|(known, _)| *known == asked)?;
            Some(kept.remove(place).1)
        };
        let known = take(&mut lock());
        // Searched without the lock, since a search can take seconds.
        let matched = match known {
            Some(known) => known,
            None => Arc::new(Matched::of(panel, count, deadline)?),
        };
        let mut kept = lock();
        take(&mut kept);
        kept.push((asked, Arc::clone(&matched)));
        let over = kept.len().saturating_sub(MOST_PANELS);
        kept.drain(..over);
        Ok(matched)
    }

    /// How many grids are kept.
    #[must_use]
    pub fn grids(&self) -> usize {
        self.kept
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .len()
    }

    /// The grid from a measured start through some stays.
    pub(super) fn follow(
        &self,
        slab: &Slab,
        start_percent: f64,
        stays: &[SharedStay<'_>],
        over: [GridRange; 2],
    ) -> Arc<TrackGrid> {
        let start = Some(start_percent.to_bits());
        self.recall(slab, start, stays, over, || {
            let stays: Vec<Stay<'_>> = stays
                .iter()
                .map(|(air, from_day_of_year, days, bare)| Stay {
                    air,
                    from_day_of_year: *from_day_of_year,
                    days: *days,
                    bare: *bare,
                })
                .collect();
            let start = MoistureContent::computed_percent(start_percent);
            TrackGrid::follow(slab, start, &stays, over[0], over[1])
        })
    }

    /// The grid of the settled year.
    pub(super) fn settled(
        &self,
        slab: &Slab,
        home: &Arc<AirYear>,
        over: [GridRange; 2],
    ) -> Arc<TrackGrid> {
        self.recall(slab, None, &[(home, 0, 0, false)], over, || {
            TrackGrid::settled(slab, home, over[0], over[1])
        })
    }

    fn recall(
        &self,
        slab: &Slab,
        start: Option<u64>,
        stays: &[SharedStay<'_>],
        over: [GridRange; 2],
        solve: impl FnOnce() -> TrackGrid,
    ) -> Arc<TrackGrid> {
        if self.most_bytes == 0 {
            return Arc::new(solve());
        }
        let asked = Asked {
            slab: slab.key(),
            start,
            over,
            stays: stays
                .iter()
                .map(|(air, from, days, bare)| (Arc::clone(air), *from, *days, *bare))
                .collect(),
        };
        if let Some(known) = self.known(&asked) {
            return known;
        }
        let grid = Arc::new(solve());
        self.keep(asked, &grid);
        grid
    }

    /// The grid kept; it becomes the one used last.
    fn known(&self, asked: &Asked) -> Option<Arc<TrackGrid>> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let place = kept.iter().position(|(known, _)| known == asked)?;
        let found = kept.remove(place);
        let grid = Arc::clone(&found.1);
        kept.push(found);
        Some(grid)
    }

    fn keep(&self, asked: Asked, grid: &Arc<TrackGrid>) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|(known, _)| *known != asked);
        kept.push((asked, Arc::clone(grid)));
        let mut bytes: usize = kept.iter().map(|(_, grid)| grid.bytes()).sum();
        let mut gone = 0;
        while bytes > self.most_bytes && gone < kept.len() {
            bytes -= kept[gone].1.bytes();
            gone += 1;
        }
        kept.drain(..gone);
    }
}
