//! What a photo says about the rings of a board.

use super::doubt::{Sample, samples};
use super::error;
use super::photo::{Corners, EndSize, FlatEnd, Photo};
use super::pith::{Best, Evidence, Pith};
use super::texture::windows;
use crate::chance::Band;
use crate::movement::{Face, PithSpread, RingStrains, Rings, Section};
use crate::units::{Angle, Bounds, Length, Refusal};

/// A score below this is hardly a ring.
const FAINT: f64 = 0.16;
/// Score between two readings below which the eye must choose.
const CLOSE: f64 = 0.04;
/// Rings of a pith surely farther than this, in millimetres, are too straight to be distinguished from long grain and saw marks.
const STRAIGHT_MM: f64 = 500.0;

/// Which way up the board was in the photo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BarkFace {
    /// The upper face is the one toward the bark.
    Up,
    /// The lower face is the one toward the bark.
    Down,
}

/// What keeps a reading from being sure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Caveat {
    /// Hardly any rings to be seen.
    Faint,
    /// Lines that are straight all over: long grain, saw marks, or rings of a very large tree.
    Straight,
    /// Two readings explain the lines nearly alike.
    TwoReadings,
    /// The pith is inside the board: it will check, and no cup follows from the rings.
    PithInside,
}

/// What a photo says: one reading, or two between which the eye must choose, the better first.
#[derive(Debug, Clone, PartialEq)]
pub struct RingsPhoto {
    /// The readings.
    pub readings: Vec<RingsReading>,
    /// How much better the first reading explains the lines than any other does.
    pub gap: f64,
    /// What keeps it from being sure.
    pub caveats: Vec<Caveat>,
}

/// One reading of the rings. Sizes are those of the section as the photo shows it, unless a way up is given.
#[derive(Debug, Clone, PartialEq)]
pub struct RingsReading {
    size: EndSize,
    pith: Pith,
    samples: Vec<Sample>,
    /// How well it explains the lines; 0 is noise, and 0.16 and more are rings.
    pub score: f64,
}

/// Reads the rings of a board's end: finds the direction of the lines at several scales and the pith whose
/// concentric rings explain them best. It is the apparent pith, the center of the circles nearest to the rings that are in
/// the board; the tree's own pith may be somewhat off it, and cup follows the rings.
///
/// # Errors
/// [`Refusal`] when the corners are off the photo, the end is of one tone, or too thin.
pub fn read_rings(photo: &Photo, corners: &Corners, size: &EndSize) -> Result<RingsPhoto, Refusal> {
    if !corners.within(photo) {
        return Err(error::outside());
    }
    let end = FlatEnd::of(photo, corners, size).ok_or_else(error::not_convex)?;
    let Some(windows) = windows(&end, size) else {
        return Err(error::blank());
    };
    if windows.is_empty() {
        return Err(error::too_thin());
    }
    let evidence = Evidence {
        windows,
        half_width_mm: size.width().mm() / 2.0,
    };
    let best = evidence.best().ok_or_else(error::blank)?;
    let mut readings = vec![RingsReading::of(&evidence, &best, size)];
    let second = evidence.second(&best.pith);
    let gap = second.map_or(best.score, |second| best.score - second.score);
    if let Some(second) = second.filter(|_| gap < CLOSE) {
        readings.push(RingsReading::of(
            &evidence.without(&best.pith),
            &second,
            size,
        ));
    }
    let first = &readings[0];
    let mut caveats = Vec::new();
    if first.score < FAINT {
        caveats.push(Caveat::Faint);
    }
    if first.distance_mm().low > STRAIGHT_MM {
        caveats.push(Caveat::Straight);
    }
    if readings.len() > 1 {
        caveats.push(Caveat::TwoReadings);
    }
    if first.pith_inside() {
        caveats.push(Caveat::PithInside);
    }
    Ok(RingsPhoto {
        readings,
        gap,
        caveats,
    })
}

impl RingsPhoto {
    /// Puts the reading first whose rings curve as the maker says the board was held.
    pub fn prefer(&mut self, bark: BarkFace) {
        self.readings
            .sort_by_key(|reading| reading.bark_face().0 != bark);
    }
}

impl RingsReading {
    fn of(evidence: &Evidence, best: &Best, size: &EndSize) -> Self {
        let (pith, samples) = samples(evidence, best, size);
        Self {
            size: *size,
            pith,
            samples,
            score: best.score,
        }
    }

    /// The board's end.
    #[must_use]
    pub const fn size(&self) -> EndSize {
        self.size
    }

    /// The section's pith in millimetres: to the right of the center line and up from the lower face; `None` for straight rings.
    fn place(&self, pith: &Pith) -> Option<[f64; 2]> {
        let half = self.size.width().mm() / 2.0;
        let [a, b, c] = pith.0;
        let (x, z) = (
            half * a / c,
            half * b / c + self.size.thickness().mm() / 2.0,
        );
        let far = Bounds::PITH_DEPTH.max / 2.0;
        (x.abs() < far && z.abs() < far).then_some([x, z])
    }

    /// Where the pith is, as the photo shows the section: to the right of the center line, up from the lower face.
    /// `None` when the rings are straight.
    #[must_use]
    pub fn pith(&self) -> Option<(Length, Length)> {
        self.place(&self.pith)
            .map(|[x, z]| (Length::from_mm_unchecked(x), Length::from_mm_unchecked(z)))
    }

    /// Where the rings have their center, straight ones about a pith `far` half widths away: millimetres as [`Self::pith`].
    pub(super) fn center_mm(&self, far: f64) -> [f64; 2] {
        let half = self.size.width().mm() / 2.0;
        let [a, b, c] = self.pith.0;
        let away = c.max(1.0 / far);
        [
            half * a / away,
            half * b / away + self.size.thickness().mm() / 2.0,
        ]
    }

    /// From the middle of the section to the pith.
    #[must_use]
    pub fn distance_mm(&self) -> Band {
        let half = self.size.width().mm() / 2.0;
        self.band(half * self.pith.distance(), |sample| {
            half * sample.pith.distance()
        })
    }

    /// Whether the pith is inside the section.
    #[must_use]
    pub fn pith_inside(&self) -> bool {
        let as_shown = Section {
            width: self.size.width(),
            thickness: self.size.thickness(),
            rings: self.rings(BarkFace::Up),
        };
        as_shown.contains_pith()
    }

    /// Which face is toward the bark as the rings curve, and in how many of a hundred readings that the evidence allows it is.
    #[must_use]
    pub fn bark_face(&self) -> (BarkFace, f64) {
        let up = |pith: &Pith| pith.0[1] <= 0.0;
        let bark = up(&self.pith);
        let (mut same, mut all) = (0.0, 0.0);
        for sample in &self.samples {
            all += sample.weight;
            if up(&sample.pith) == bark {
                same += sample.weight;
            }
        }
        let face = if bark { BarkFace::Up } else { BarkFace::Down };
        (face, 100.0 * same / all)
    }

    /// The rings of the section seen bark side up.
    #[must_use]
    pub fn rings(&self, bark: BarkFace) -> Rings {
        match self.turned(&self.pith, bark) {
            Some((depth, offset)) => Rings::Pith { depth, offset },
            None => Rings::Straight {
                angle: self.angle(&self.pith, 0.0),
            },
        }
    }

    /// Where the pith may be in the section seen bark side up, for draws.
    #[must_use]
    pub fn spread(&self, bark: BarkFace) -> Option<PithSpread> {
        let piths = self.samples.iter().map(|sample| {
            let rings = match self.turned(&sample.pith, bark).filter(|_| !sample.beyond) {
                Some((depth, offset)) => Rings::Pith { depth, offset },
                None => Rings::Straight {
                    angle: self.angle(&sample.pith, 0.0),
                },
            };
            (rings, sample.weight)
        });
        PithSpread::new(piths.collect())
    }

    /// Depth and offset of a pith in the section seen bark side up: turned by half a turn where the bark is down.
    fn turned(&self, pith: &Pith, bark: BarkFace) -> Option<(Length, Length)> {
        let [x, z] = self.place(pith)?;
        let (depth, offset) = match bark {
            BarkFace::Up => (-z, x),
            BarkFace::Down => (z - self.size.thickness().mm(), -x),
        };
        Some((
            Length::from_mm_unchecked(depth),
            Length::from_mm_unchecked(offset),
        ))
    }

    /// Depth of the pith below the heart-side face; negative above it. An end of the band that is not known is infinite.
    #[must_use]
    pub fn depth_mm(&self, bark: BarkFace) -> Band {
        self.band_of_place(bark, |(depth, _)| depth)
    }

    /// Offset of the pith to the right of the center line.
    #[must_use]
    pub fn offset_mm(&self, bark: BarkFace) -> Band {
        self.band_of_place(bark, |(_, offset)| offset)
    }

    fn band_of_place(&self, bark: BarkFace, part: fn((Length, Length)) -> Length) -> Band {
        let middle = self
            .turned(&self.pith, bark)
            .map_or(f64::INFINITY, |place| part(place).mm());
        let size = |sample: &Sample| {
            let value = self
                .turned(&sample.pith, bark)
                .map_or(f64::INFINITY, |place| part(place).mm());
            // Through infinity, away from the middle.
            if sample.beyond || value.is_infinite() {
                if middle < 0.0 {
                    f64::NEG_INFINITY
                } else {
                    f64::INFINITY
                }
            } else {
                value
            }
        };
        self.band(middle, size)
    }

    /// The rings' angle at mid-thickness, at a share of the half width to the right of the center line; from -90 to 90
    /// degrees, positive where the ring rises to the right. Turning the section over does not change the angle, but the place.
    #[must_use]
    pub fn angle_degrees(&self, share: f64, bark: BarkFace) -> Band {
        let share = match bark {
            BarkFace::Up => share,
            BarkFace::Down => -share,
        };
        let middle = self.angle(&self.pith, share).degrees();
        // A ring's direction has no sense: the nearer of the two.
        self.band(middle, |sample| {
            let off = self.angle(&sample.pith, share).degrees() - middle;
            middle + off - 180.0 * (off / 180.0).round()
        })
    }

    fn angle(&self, pith: &Pith, share: f64) -> Angle {
        let [dx, dz] = pith.toward([share, 0.0]);
        let degrees = libm::atan2(-dx, dz).to_degrees();
        Angle::computed_degrees(degrees - 180.0 * (degrees / 180.0).round())
    }

    /// Cup of a face after a change of moisture, positive when that face is hollow; `None` with the pith inside.
    #[must_use]
    pub fn cup_mm(&self, bark: BarkFace, face: Face, strains: RingStrains) -> Option<Band> {
        let cup = |pith: &Pith| {
            let rings = match self.turned(pith, bark) {
                Some((depth, offset)) => Rings::Pith { depth, offset },
                None => Rings::Straight {
                    angle: self.angle(pith, 0.0),
                },
            };
            let section = Section {
                width: self.size.width(),
                thickness: self.size.thickness(),
                rings,
            };
            section.moved(strains).map(|moved| moved.cup(face).mm())
        };
        let middle = cup(&self.pith)?;
        Some(self.band(middle, |sample| cup(&sample.pith).unwrap_or(f64::NAN)))
    }

    /// The 5 and 95 % quantiles of the samples about a middle value; samples without a value are left out.
    fn band(&self, middle: f64, of: impl Fn(&Sample) -> f64) -> Band {
        let mut values: Vec<(f64, f64)> = self
            .samples
            .iter()
            .map(|sample| (of(sample), sample.weight))
            .filter(|(value, _)| !value.is_nan())
            .collect();
        values.sort_by(|one, other| one.0.total_cmp(&other.0));
        let all: f64 = values.iter().map(|(_, weight)| weight).sum();
        let quantile = |share: f64| {
            let mut sum = 0.0;
            for (value, weight) in &values {
                sum += weight;
                if sum >= share * all {
                    return *value;
                }
            }
            middle
        };
        Band::new([quantile(0.05), quantile(0.95)], middle)
    }
}
