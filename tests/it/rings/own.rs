//! Ends drawn by these tests: rings that are no circles, rays, saw marks, noise, uneven light, tilt, knots and cracks. Do the
//! bands hold the truth as often as they say?

use super::known::median;
use heartside::movement::{Face, RingStrains, Rings, Section};
use heartside::numerics::Homography;
use heartside::rings::{BarkFace, Caveat, Corners, EndSize, Photo, read_rings};
use heartside::units::{Length, Strain};
use std::f64::consts::TAU;

/// Ends that are drawn; more in an optimized build, which reads them faster.
const ENDS: u64 = if cfg!(debug_assertions) { 16 } else { 400 };

/// How many of the ends show their rings on a part of them only.
///
/// Ends that show them all over are easier than real ones: the bands, whose constants were measured on sawn discs, hold the truth
/// in 98 of 100. At seven tenths of those constants they miss the photographs with known rings (offset in 12 of 15 instead of 14,
/// cup in 7 of 9 instead of 8). So the constants stay, and the ends are made as hard as real ones: this share was chosen on ends 1
/// to 80, where the median error of the depth is then about 0.02 of the width (0.018 on discs). Judged on 400 other ends the bands
/// hold 92 or 93 of 100.
const FADED: f64 = 0.8;
/// The first of the ends on which the bands are judged.
const FIRST: u64 = 10_001;

/// Numbers from 0 to 1 by a counter (the finisher of SplitMix64, Steele, Lea and Flood 2014).
struct Numbers(u64);

fn mixed(word: u64) -> f64 {
    let word = word
        .wrapping_mul(0x9e37_79b9_7f4a_7c15)
        .wrapping_add(0x1234_5678_9abc_def1);
    let word = (word ^ (word >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let word = (word ^ (word >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((word ^ (word >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

impl Numbers {
    fn next(&mut self) -> f64 {
        self.0 += 1;
        mixed(self.0)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    fn chance(&mut self, share: f64) -> bool {
        self.next() < share
    }
}

/// Noise that is smooth from lattice point to lattice point, 0 to 1.
fn smooth_noise(seed: u64, x: f64, y: f64) -> f64 {
    let (i, j) = (x.floor(), y.floor());
    let (u, v) = (x - i, y - j);
    let at = |a: f64, b: f64| {
        let (a, b) = ((i + a) as i64 as u64, (j + b) as i64 as u64);
        mixed(seed ^ a.wrapping_mul(0x517c_c1b7_2722_0a95) ^ b.wrapping_mul(0x2545_f491_4f6c_dd1d))
    };
    let ease = |t: f64| t * t * (3.0 - 2.0 * t);
    let (u, v) = (ease(u), ease(v));
    let upper = at(0.0, 0.0) + u * (at(1.0, 0.0) - at(0.0, 0.0));
    let lower = at(0.0, 1.0) + u * (at(1.0, 1.0) - at(0.0, 1.0));
    upper + v * (lower - upper)
}

struct End {
    seed: u64,
    width: f64,
    thickness: f64,
    pith: [f64; 2],
    /// How far rings wander from circles: size (mm), waves a millimetre across and up, phase.
    wander: [[f64; 4]; 3],
    spacing: f64,
    contrast: f64,
    rays: f64,
    saw: [f64; 3],
    noise: f64,
    light: [f64; 2],
    crack: Option<[f64; 3]>,
    knot: Option<[f64; 3]>,
    /// Where the rings fade, as on a rough or dirty part of an end: to which side, from where on, by how much.
    faded: Option<[f64; 3]>,
    tone: [f64; 3],
    ground: [f64; 3],
    corners: [[f64; 2]; 4],
    /// The corners as a maker drags them: within 0.4 % of the width or so.
    given: [[f64; 2]; 4],
}

const PHOTO: (usize, usize) = (900, 420);

impl End {
    fn drawn_from(seed: u64) -> Self {
        let mut n = Numbers(seed.wrapping_mul(1_000_003));
        let width = n.between(90.0, 260.0);
        let thickness = width / n.between(2.8, 6.0);
        // From inside the board to one and a half widths away.
        let far = width * n.between(0.05, 1.5);
        let turn = n.between(0.15, 0.85) * TAU / 2.0 + if n.chance(0.5) { TAU / 2.0 } else { 0.0 };
        let pith = [far * turn.cos(), thickness / 2.0 + far * turn.sin()];
        let wander = std::array::from_fn(|k| {
            let wave = width * n.between(0.6, 1.6) / (k as f64 + 1.0);
            let way = n.between(0.0, TAU);
            // Slopes that turn the rings of sawn discs out of circles by as much as measured: 2 to 2.6 degrees.
            let size = n.between(0.02, 0.09) * wave / TAU;
            [
                size,
                TAU / wave * way.cos(),
                TAU / wave * way.sin(),
                n.between(0.0, TAU),
            ]
        });
        let (left, top) = (n.between(20.0, 45.0), n.between(40.0, 60.0));
        let right = PHOTO.0 as f64 - n.between(20.0, 45.0);
        let px = (right - left) / width;
        let mut corners = [
            [left, top],
            [right, top],
            [right, top + px * thickness],
            [left, top + px * thickness],
        ];
        for value in corners.iter_mut().flatten() {
            *value += n.between(-14.0, 14.0);
        }
        let mut given = corners;
        for value in given.iter_mut().flatten() {
            *value += 0.004 * (right - left) * n.between(-1.7, 1.7);
        }
        Self {
            seed,
            given,
            width,
            thickness,
            pith,
            wander,
            spacing: n.between(width / 90.0, width / 30.0),
            contrast: n.between(20.0, 60.0),
            rays: if n.chance(0.4) {
                n.between(5.0, 25.0)
            } else {
                0.0
            },
            saw: if n.chance(0.25) {
                [
                    n.between(3.0, 10.0),
                    n.between(-0.3, 0.3) + TAU / 4.0,
                    n.between(1.0, 2.5),
                ]
            } else {
                [0.0, 0.0, 1.0]
            },
            noise: n.between(3.0, 25.0),
            light: [n.between(-35.0, 35.0), n.between(-20.0, 20.0)],
            crack: n.chance(0.3).then(|| {
                [
                    n.between(-0.4, 0.4) * width,
                    n.between(0.2, 0.8) * thickness,
                    n.between(0.0, TAU),
                ]
            }),
            knot: n.chance(0.2).then(|| {
                [
                    n.between(-0.4, 0.4) * width,
                    n.between(0.2, 0.8) * thickness,
                    n.between(2.0, 5.0),
                ]
            }),
            tone: [n.between(120.0, 200.0), 0.8, 0.55],
            ground: [
                n.between(20.0, 90.0),
                n.between(60.0, 120.0),
                n.between(90.0, 180.0),
            ],
            // Shares and reach as below: with them readings err on these ends as on real ones.
            faded: n.chance(FADED).then(|| {
                let side = if n.chance(0.5) { 1.0 } else { -1.0 };
                [side, n.between(-0.25, 0.35) * width, n.between(0.75, 1.0)]
            }),
            corners,
        }
    }

    /// The place of a ring: constant along each.
    fn ring(&self, x: f64, z: f64) -> f64 {
        let radius = (x - self.pith[0]).hypot(z - self.pith[1]);
        let wander: f64 = self
            .wander
            .iter()
            .map(|[size, a, b, c]| size * (a * x + b * z + c).sin())
            .sum();
        radius + wander
    }

    /// The direction square to the ring, radians.
    fn normal(&self, x: f64, z: f64) -> f64 {
        let step = 1e-4;
        let dx = self.ring(x + step, z) - self.ring(x - step, z);
        let dz = self.ring(x, z + step) - self.ring(x, z - step);
        dz.atan2(dx)
    }

    fn lightness(&self, x: f64, z: f64) -> f64 {
        let ring = self.ring(x, z);
        let about = (z - self.pith[1]).atan2(x - self.pith[0]);
        // Spacing differs from year to year; late wood is dark and ends sharply.
        let years =
            ring / self.spacing + 0.8 * smooth_noise(self.seed, ring / (4.0 * self.spacing), 0.5);
        let late = (years - years.floor()).powi(3);
        let seen = self.faded.map_or(1.0, |[side, from, by]| {
            let t = ((side * x - from) / (0.12 * self.width) + 0.5).clamp(0.0, 1.0);
            1.0 - by * t * t * (3.0 - 2.0 * t)
        });
        let mut light = seen * self.contrast * (0.35 - late);
        light += seen
            * self.rays
            * (smooth_noise(self.seed ^ 7, about * (self.width / 0.9), ring / 12.0) - 0.5);
        let [saw, way, pitch] = self.saw;
        light += saw * (TAU * (x * way.sin() + z * way.cos()) / pitch).sin();
        light += self.light[0] * x / self.width + self.light[1] * z / self.thickness;
        if let Some([cx, cz, way]) = self.crack {
            let (along, across) = (
                (x - cx) * way.cos() + (z - cz) * way.sin(),
                (z - cz) * way.cos() - (x - cx) * way.sin(),
            );
            if (0.0..0.5 * self.thickness).contains(&along) && across.abs() < 0.003 * self.width {
                light -= 90.0;
            }
        }
        if let Some([kx, kz, size]) = self.knot
            && (x - kx).hypot(z - kz) < size
        {
            light -= 60.0;
        }
        light
    }

    fn photo(&self) -> (Photo, Corners, EndSize) {
        let (w, t) = (self.width / 2.0, self.thickness);
        let section = [[-w, t], [w, t], [w, 0.0], [-w, 0.0]];
        let to_section = Homography::of_points(&self.corners, &section).unwrap();
        let mut rgb = Vec::with_capacity(3 * PHOTO.0 * PHOTO.1);
        for v in 0..PHOTO.1 {
            for u in 0..PHOTO.0 {
                let [x, z] = to_section.map([u as f64, v as f64]);
                let grain = self.noise * (mixed(self.seed ^ (v * PHOTO.0 + u) as u64) - 0.5);
                let on_end = x.abs() <= w && (0.0..=t).contains(&z);
                for channel in 0..3 {
                    let value = if on_end {
                        let base = self.tone[0]
                            * if channel == 0 {
                                1.0
                            } else {
                                self.tone[channel]
                            };
                        base + self.lightness(x, z) + grain
                    } else {
                        self.ground[channel] + 2.0 * grain
                    };
                    rgb.push(value.round().clamp(0.0, 255.0) as u8);
                }
            }
        }
        let mm = |value| Length::from_mm(value).unwrap();
        (
            Photo::new(PHOTO.0, PHOTO.1, rgb).unwrap(),
            Corners::new(self.given).unwrap(),
            EndSize::new(mm(self.width), mm(self.thickness)).unwrap(),
        )
    }

    /// Root mean square turn of the rings against the circles about a center, degrees.
    fn out_of_round(&self, [px, pz]: [f64; 2]) -> f64 {
        let squares = self.places().into_iter().map(|[x, z]| {
            let off = self.normal(x, z) - (z - pz).atan2(x - px);
            (off.sin().atan2(off.cos()).to_degrees()).powi(2)
        });
        (squares.sum::<f64>() / 27.0).sqrt()
    }

    /// 9 places along the width at 3 heights.
    fn places(&self) -> Vec<[f64; 2]> {
        (0..27)
            .map(|k| {
                let (column, row) = (k % 9, k / 9);
                [
                    self.width * (-0.46 + 0.115 * f64::from(column)),
                    self.thickness * (0.15 + 0.35 * f64::from(row)),
                ]
            })
            .collect()
    }

    /// The center of the circles nearest to the rings over 9 by 3 places: least squares of the turns, by weighted lines.
    fn apparent(&self) -> [f64; 2] {
        let places = self.places();
        let mut pith = self.pith;
        for _ in 0..60 {
            let (mut aa, mut ab, mut bb, mut ra, mut rb) = (0.0, 0.0, 0.0, 0.0, 0.0);
            for [x, z] in &places {
                let (sin, cos) = self.normal(*x, *z).sin_cos();
                let away = (x - pith[0]).powi(2) + (z - pith[1]).powi(2);
                let weight = 1.0 / away.max(4.0);
                let right = x * sin - z * cos;
                aa += weight * sin * sin;
                ab -= weight * sin * cos;
                bb += weight * cos * cos;
                ra += weight * sin * right;
                rb -= weight * cos * right;
            }
            let determinant = aa * bb - ab * ab;
            pith = [
                (ra * bb - rb * ab) / determinant,
                (aa * rb - ab * ra) / determinant,
            ];
        }
        pith
    }
}

#[test]
fn bands_hold_the_truth_as_often_as_they_say_and_rings_are_right() {
    let strains = RingStrains {
        radial: Strain::from_ratio(-0.0076).unwrap(),
        tangential: Strain::from_ratio(-0.011).unwrap(),
    };
    let (mut depth_held, mut offset_held, mut angle_held, mut cup_held) = (0, 0, 0, 0);
    let (mut depths, mut turns, mut cups) = (Vec::new(), Vec::new(), Vec::new());
    let (mut read, mut wrong, mut out_of_round) = (0, 0, Vec::new());
    for seed in FIRST..FIRST + ENDS {
        let end = End::drawn_from(seed);
        let (photo, corners, size) = end.photo();
        let found = read_rings(&photo, &corners, &size).unwrap();
        if found.caveats.contains(&Caveat::Faint) || found.caveats.contains(&Caveat::TwoReadings) {
            continue;
        }
        read += 1;
        let reading = &found.readings[0];
        let [x, z] = end.apparent();
        out_of_round.push(end.out_of_round([x, z]));
        // The face that is truly toward the bark, and the pith seen with that face up.
        let (bark, depth, offset) = if z < end.thickness / 2.0 {
            (BarkFace::Up, -z, x)
        } else {
            (BarkFace::Down, z - end.thickness, -x)
        };
        let turn = {
            let off = reading.angle_degrees(0.0, BarkFace::Up).middle
                - (end.normal(0.0, end.thickness / 2.0).to_degrees() - 90.0);
            (off - 180.0 * (off / 180.0).round()).abs()
        };
        turns.push(turn);
        if turn > 15.0 {
            wrong += 1;
        }
        depths.push((reading.depth_mm(bark).middle - depth).abs() / end.width);
        depth_held += usize::from(reading.depth_mm(bark).holds(depth));
        offset_held += usize::from(reading.offset_mm(bark).holds(offset));
        let truth = (-(0.0 - x)).atan2(end.thickness / 2.0 - z).to_degrees();
        let angle = reading.angle_degrees(0.0, BarkFace::Up);
        let truth = truth - 180.0 * ((truth - angle.middle) / 180.0).round();
        angle_held += usize::from(angle.holds(truth));
        let mm = Length::from_mm;
        let section = Section {
            width: size.width(),
            thickness: size.thickness(),
            rings: Rings::Pith {
                depth: mm(depth).unwrap(),
                offset: mm(offset).unwrap(),
            },
        };
        if let (Some(moved), Some(cup)) = (
            section.moved(strains),
            reading.cup_mm(bark, Face::Bark, strains),
        ) {
            let truth = moved.cup(Face::Bark).mm();
            if truth.abs() > 4e-4 * end.width {
                cups.push((cup.middle - truth).abs() / truth.abs());
                cup_held += usize::from(cup.holds(truth));
            }
        }
    }
    let share = |held: usize, of: usize| held as f64 / of as f64;
    let covers = [
        share(depth_held, read),
        share(offset_held, read),
        share(angle_held, read),
        share(cup_held, cups.len()),
    ];
    let words = format!(
        "{read} of {ENDS} read, {wrong} wrong; held: depth, offset, angle, cup {covers:.3?}; medians: out of round {:.2} degrees, depth {:.4} widths, turn {:.2} degrees, cup {:.4}",
        median(out_of_round.clone()),
        median(depths.clone()),
        median(turns.clone()),
        median(cups.clone())
    );
    // As far out of round as sawn discs.
    assert!((1.5..3.5).contains(&median(out_of_round)), "{words}");
    // A few ends tell little of a share: the upper limit is for the many.
    let high = if ENDS < 100 { 1.0 } else { 0.95 };
    let low = if ENDS < 100 { 0.7 } else { 0.85 };
    assert!(
        covers.iter().all(|share| (low..=high).contains(share)),
        "{words}"
    );
    assert!(10 * wrong <= read + 10, "{words}");
    assert!(10 * read as u64 >= 8 * ENDS, "{words}");
    assert!(
        median(turns) <= 2.4 && median(depths) <= 0.03 && median(cups) <= 0.035,
        "{words}"
    );
}
