//! One board of a frame: its centre line, its section and the shape it would take alone.

use crate::numerics::{spline_at, spline_bends};
use crate::units::Refusal;

/// A board as a beam on its centre line, in the plane of the front: x to the right, y up, millimetres.
///
/// Its own axis `s` runs from its start to its end, and its own upward direction is `s` turned a quarter counter-clockwise: up for
/// a board laid from left to right, left for one that runs from bottom to top. Heights and crowns are positive that way.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// Where it starts.
    pub start_mm: [f64; 2],
    /// Where it ends.
    pub end_mm: [f64; 2],
    /// Size from front to back.
    pub width_mm: f64,
    /// Size from face to face.
    pub thickness_mm: f64,
    /// Stiffness along the grain.
    pub modulus_mpa: f64,
    /// The shape it has when nothing holds it.
    pub shape: FreeShape,
    /// Curvature that the season adds, 1/mm, positive hollow toward its own upward direction.
    pub season_per_mm: f64,
    /// Its own weight, N per mm of its length.
    pub weight_n_per_mm: f64,
    /// What else it carries, N per mm of its length, downward.
    pub load_n_per_mm: f64,
}

/// Height of a free board over the chord of its ends.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeShape {
    at_mm: Vec<f64>,
    heights_mm: Vec<f64>,
    bends_per_mm: Vec<f64>,
}

impl FreeShape {
    /// A circular bow, positive with the crown in the board's own upward direction.
    #[must_use]
    pub fn bow(rise_mm: f64, length_mm: f64) -> Self {
        let bend = -8.0 * rise_mm / (length_mm * length_mm);
        Self {
            at_mm: vec![0.0, length_mm / 2.0, length_mm],
            heights_mm: vec![0.0, rise_mm, 0.0],
            bends_per_mm: vec![bend; 3],
        }
    }

    /// Heights measured at several places along the board, its ends among them or not: a cubic spline whose end pieces are
    /// parabolas. Few places well apart serve best: an error `e` at a spacing `a` makes an error of curvature of about `2.4 e/a^2`.
    ///
    /// # Errors
    /// [`Refusal`] for fewer than three places, or places that do not ascend inside the board.
    pub fn measured(at_mm: &[f64], heights_mm: &[f64], length_mm: f64) -> Result<Self, Refusal> {
        let inside = at_mm.iter().all(|at| (0.0..=length_mm).contains(at));
        let bends = if at_mm.len() < 3 || at_mm.len() != heights_mm.len() || !inside {
            None
        } else {
            spline_bends(at_mm, heights_mm)
        };
        let bends_per_mm = bends.ok_or_else(super::error::heights_no_shape)?;
        // Over the chord of the ends, which need not be among the places.
        let end = |x: f64| spline_at(at_mm, heights_mm, &bends_per_mm, x).0;
        let (first, last) = (end(0.0), end(length_mm));
        let heights_mm = at_mm
            .iter()
            .zip(heights_mm)
            .map(|(at, height)| height - first - (last - first) * at / length_mm)
            .collect();
        Ok(Self {
            at_mm: at_mm.to_vec(),
            heights_mm,
            bends_per_mm,
        })
    }

    /// Height, slope and second derivative at `s`.
    #[must_use]
    pub fn at(&self, s_mm: f64) -> (f64, f64, f64) {
        spline_at(&self.at_mm, &self.heights_mm, &self.bends_per_mm, s_mm)
    }

    /// The stretch of it from one place to another, over the chord of its own ends, read at so many places.
    #[must_use]
    pub fn between(&self, from_mm: f64, to_mm: f64, readings: usize) -> Self {
        let length = to_mm - from_mm;
        let steps = readings.max(3) - 1;
        let at: Vec<f64> = (0..=steps)
            .map(|i| length * i as f64 / steps as f64)
            .collect();
        let heights: Vec<f64> = at.iter().map(|at| self.at(from_mm + at).0).collect();
        Self::measured(&at, &heights, length).unwrap_or_else(|_| Self::bow(0.0, length.max(1.0)))
    }

    /// Whether it is straight.
    #[must_use]
    pub fn is_straight(&self) -> bool {
        self.heights_mm.iter().all(|height| *height == 0.0)
    }

    /// The same board turned over.
    #[must_use]
    pub fn turned(&self) -> Self {
        let negative = |values: &[f64]| values.iter().map(|value| -value).collect();
        Self {
            at_mm: self.at_mm.clone(),
            heights_mm: negative(&self.heights_mm),
            bends_per_mm: negative(&self.bends_per_mm),
        }
    }

    /// The place of its largest height, and that height.
    #[must_use]
    pub fn crown(&self) -> (f64, f64) {
        let (first, last) = (self.at_mm[0], self.at_mm[self.at_mm.len() - 1]);
        (0..=100)
            .map(|i| {
                let s = first + (last - first) * f64::from(i) / 100.0;
                (s, self.at(s).0)
            })
            .fold((first, 0.0), |worst, this| {
                if this.1.abs() > worst.1.abs() {
                    this
                } else {
                    worst
                }
            })
    }
}

impl Member {
    /// Length of its centre line.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        let [dx, dy] = self.across();
        libm::hypot(dx, dy)
    }

    fn across(&self) -> [f64; 2] {
        [
            self.end_mm[0] - self.start_mm[0],
            self.end_mm[1] - self.start_mm[1],
        ]
    }

    /// Unit vector along it.
    #[must_use]
    pub fn direction(&self) -> [f64; 2] {
        let ([dx, dy], length) = (self.across(), self.length_mm());
        [dx / length, dy / length]
    }

    /// Place along it of the point nearest to `at_mm`.
    #[must_use]
    pub fn place_of(&self, at_mm: [f64; 2]) -> f64 {
        let [c, s] = self.direction();
        c * (at_mm[0] - self.start_mm[0]) + s * (at_mm[1] - self.start_mm[1])
    }

    /// `E b t^3 / 12`, N mm2.
    #[must_use]
    pub fn bending_n_mm2(&self) -> f64 {
        self.modulus_mpa * self.width_mm * self.thickness_mm.powi(3) / 12.0
    }

    /// `E b t`, N.
    #[must_use]
    pub fn stretching_n(&self) -> f64 {
        self.modulus_mpa * self.width_mm * self.thickness_mm
    }

    /// Load along it and in its own upward direction, N/mm.
    pub(super) fn loads(&self) -> (f64, f64) {
        let [c, s] = self.direction();
        let down = self.weight_n_per_mm + self.load_n_per_mm;
        (-s * down, -c * down)
    }

    /// Height and slope of the season's bow alone.
    pub(super) fn season_at(&self, s_mm: f64) -> (f64, f64) {
        let length = self.length_mm();
        (
            -self.season_per_mm * s_mm * (length - s_mm) / 2.0,
            self.season_per_mm * (s_mm - length / 2.0),
        )
    }
}
