//! The panel as data for a drawing: seen from its end with rings and heart sides,
//! and from its edge with the bow.

use super::laying::Panel;
use super::leaf_match::{Layout, Placed};
use super::line::LaidSection;
use crate::movement::{RingStrains, Rings, Section};
use crate::units::{Curvature, Strain};

/// A panel's row seen from its near end, millimetres: `x` across from the left edge, `z` up; the upper face's
/// chord lies on `z` = 0.
#[derive(Debug, Clone, PartialEq)]
pub struct EndView {
    /// The leaves from left to right.
    pub leaves: Vec<EndViewLeaf>,
    /// How many times the movement is drawn larger than it is.
    pub exaggeration: f64,
}

/// One leaf seen from its end.
#[derive(Debug, Clone, PartialEq)]
pub struct EndViewLeaf {
    /// Its name.
    pub name: String,
    /// Its outline, counter-clockwise from the lower left corner.
    pub outline_mm: Vec<(f64, f64)>,
    /// Pieces of its growth rings.
    pub rings_mm: Vec<Vec<(f64, f64)>>,
    /// Whether its heart side lies up; `None` where the rings were not given.
    pub heart_side_up: Option<bool>,
    /// Whether its sawn face lies up.
    pub sawn_face_up: bool,
    /// Whether its near end lies forward.
    pub near_end_forward: bool,
}

/// A panel's row seen from its edge: the bow, millimetres along and up.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeView {
    /// The panel glued and released.
    pub panel_mm: Vec<(f64, f64)>,
    /// Each leaf before glue, as it lies, with its name.
    pub leaves_mm: Vec<(String, Vec<(f64, f64)>)>,
    /// How many times the bow is drawn larger than it is.
    pub exaggeration: f64,
}

/// Points along each face of a leaf.
const FACE_POINTS: usize = 25;
/// Points along a bow.
const BOW_POINTS: usize = 41;
/// Rings drawn through the thickness of a leaf.
const RINGS_THROUGH: f64 = 4.0;
/// Most rings drawn in one leaf.
const MOST_RINGS: f64 = 60.0;

impl Panel {
    /// A row seen from its end after the panel's change of moisture, drawn `exaggeration` times as moved
    /// as it is; 0 draws it as jointed. The turns are true rotations here. Empty for a row that is not there.
    #[must_use]
    pub fn end_view(&self, layout: &Layout, row: usize, exaggeration: f64) -> EndView {
        let row = layout.rows.get(row).map_or(&[][..], Vec::as_slice);
        let mut chain = TrueChain::default();
        let mut leaves: Vec<EndViewLeaf> = Vec::with_capacity(row.len());
        for placed in row {
            let shape = LeafShape::of(self, placed, exaggeration);
            let leaf = &self.leaves()[placed.leaf];
            let half = leaf.jointed_width().mm() / 2.0;
            let x = |i: usize| half * (2.0 * i as f64 / (FACE_POINTS - 1) as f64 - 1.0);
            let lower = (0..FACE_POINTS).map(|i| shape.face(x(i), false));
            let upper = (0..FACE_POINTS).rev().map(|i| shape.face(x(i), true));
            leaves.push(EndViewLeaf {
                name: leaf.name.clone(),
                outline_mm: lower.chain(upper).map(|p| chain.place(p)).collect(),
                rings_mm: shape
                    .rings()
                    .into_iter()
                    .map(|ring| ring.into_iter().map(|p| chain.place(p)).collect())
                    .collect(),
                heart_side_up: leaf.rings.map(|_| !leaf.bark_up(placed.face_up)),
                sawn_face_up: placed.face_up == super::FaceUp::Sawn,
                near_end_forward: placed.end_forward == super::EndForward::Near,
            });
            chain = chain.with(shape.face(half, true), shape.turn());
        }
        // The chord of the upper face is laid level.
        let level = libm::atan2(chain.end.1, chain.end.0);
        let (sin, cos) = libm::sincos(level);
        let turn = |p: &mut (f64, f64)| *p = (p.0 * cos + p.1 * sin, p.1 * cos - p.0 * sin);
        for leaf in &mut leaves {
            leaf.outline_mm.iter_mut().for_each(turn);
            leaf.rings_mm.iter_mut().flatten().for_each(turn);
        }
        EndView {
            leaves,
            exaggeration,
        }
    }

    /// The show face of a row after the panel's change of moisture, true size, millimetres from its left edge and over its
    /// chord. Empty for a row that is not there.
    #[must_use]
    pub fn face_line(&self, layout: &Layout, row: usize) -> Vec<(f64, f64)> {
        self.end_view(layout, row, 1.0)
            .leaves
            .iter()
            .flat_map(|leaf| leaf.outline_mm[FACE_POINTS..].iter().rev().copied())
            .collect()
    }

    /// A row seen from its edge, the ends on `z` = 0: the middle lies low where the show face is hollow.
    #[must_use]
    pub fn edge_view(&self, layout: &Layout, row: usize, exaggeration: f64) -> EdgeView {
        let row = layout.rows.get(row).map_or(&[][..], Vec::as_slice);
        let length = self.leaf_length().mm();
        let arc = |bow: f64| {
            (0..BOW_POINTS)
                .map(|i| {
                    let u = 2.0 * i as f64 / (BOW_POINTS - 1) as f64 - 1.0;
                    (
                        length * (u + 1.0) / 2.0,
                        -exaggeration * bow * (1.0 - u * u),
                    )
                })
                .collect::<Vec<_>>()
        };
        let bow = self.row_curvature(row).rise_over(self.leaf_length());
        EdgeView {
            panel_mm: arc(bow.mm()),
            leaves_mm: row
                .iter()
                .map(|placed| {
                    (
                        self.leaves()[placed.leaf].name.clone(),
                        arc(self.bow_as_laid(placed)),
                    )
                })
                .collect(),
            exaggeration,
        }
    }
}

/// Where the next leaf starts, and at what angle.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct TrueChain {
    pub end: (f64, f64),
    pub angle: f64,
}

impl TrueChain {
    pub(super) fn place(&self, point: (f64, f64)) -> (f64, f64) {
        let (sin, cos) = libm::sincos(self.angle);
        (
            self.end.0 + point.0 * cos - point.1 * sin,
            self.end.1 + point.0 * sin + point.1 * cos,
        )
    }

    pub(super) fn with(&self, end: (f64, f64), turn: f64) -> Self {
        Self {
            end: self.place(end),
            angle: self.angle + turn,
        }
    }
}

/// One leaf's section as it lies, its own cup bent in.
pub(super) struct LeafShape {
    laid: Option<LaidSection>,
    section: Option<Section>,
    half: f64,
    thickness: f64,
    arc: f64,
}

impl LeafShape {
    fn of(panel: &Panel, placed: &Placed, exaggeration: f64) -> Self {
        let leaf = &panel.leaves()[placed.leaf];
        let change = panel.change();
        let strains = leaf.wood.shrinkage.map_or(
            RingStrains {
                radial: Strain::ZERO,
                tangential: Strain::ZERO,
            },
            |shrinkage| {
                let strains = RingStrains::of(&shrinkage, change.from, change.to);
                // However large it is drawn, a leaf keeps half its size.
                let drawn = |strain: Strain| {
                    Strain::computed_ratio((strain.ratio() * exaggeration).clamp(-0.5, 0.5))
                };
                RingStrains {
                    radial: drawn(strains.radial),
                    tangential: drawn(strains.tangential),
                }
            },
        );
        Self::with(panel, placed, strains, exaggeration, Curvature::ZERO)
    }

    /// The leaf after given strains, its own cup `times` what it is and a further arc (positive: upper face hollow).
    pub(super) fn with(
        panel: &Panel,
        placed: &Placed,
        strains: RingStrains,
        times: f64,
        further: Curvature,
    ) -> Self {
        let leaf = &panel.leaves()[placed.leaf];
        let width = leaf.jointed_width();
        let own = if width.mm() > 0.0 {
            Curvature::of_rise(leaf.cup, width).per_mm()
        } else {
            0.0
        };
        Self {
            laid: panel.laid_section(placed, strains),
            section: leaf.section(),
            half: width.mm() / 2.0,
            thickness: leaf.thickness.mm(),
            arc: own * placed.face_up.sign() * times + further.per_mm(),
        }
    }

    /// A point of a face in the frame of the upper left corner, `x` from the middle.
    pub(super) fn face(&self, x: f64, upper: bool) -> (f64, f64) {
        let point = match &self.laid {
            Some(laid) => laid.face_point(x, upper),
            None => (x + self.half, if upper { 0.0 } else { -self.thickness }),
        };
        self.bent(point)
    }

    /// The further arc turns each cross-line with it.
    fn bent(&self, (x, z): (f64, f64)) -> (f64, f64) {
        (x - z * self.arc * x, z + self.arc * x * x / 2.0)
    }

    pub(super) fn turn(&self) -> f64 {
        let end = match &self.laid {
            Some(laid) => laid.face_point(self.half, true).0,
            None => 2.0 * self.half,
        };
        self.laid.as_ref().map_or(0.0, LaidSection::turn) + self.arc * end
    }

    fn rings(&self) -> Vec<Vec<(f64, f64)>> {
        let (Some(laid), Some(section)) = (&self.laid, &self.section) else {
            return Vec::new();
        };
        ring_lines(section)
            .into_iter()
            .map(|ring| {
                ring.into_iter()
                    .map(|(x, z)| self.bent(laid.inner_point(x, z)))
                    .collect()
            })
            .collect()
    }
}

/// A point of the ring that lies so far out, at a share of its length.
type RingLine = Box<dyn Fn(f64, f64) -> (f64, f64)>;

/// Lines along the rings inside a section, in its own `x` and `z`.
fn ring_lines(section: &Section) -> Vec<Vec<(f64, f64)>> {
    let (half, t) = (section.width.mm() / 2.0, section.thickness.mm());
    let inside = |(x, z): (f64, f64)| x.abs() <= half && (0.0..=t).contains(&z);
    let corners = [(-half, 0.0), (half, 0.0), (-half, t), (half, t)];
    // A family of lines given by how far out each lies, and the points of one of them.
    let (outs, line): (Vec<f64>, RingLine) = match section.rings {
        Rings::Pith { depth, offset } => {
            let (px, pz) = (offset.mm(), -depth.mm());
            let away = corners.iter().map(|&(x, z)| libm::hypot(x - px, z - pz));
            let beside = libm::hypot((px.abs() - half).max(0.0), (-pz).max(pz - t).max(0.0));
            (
                away.chain([beside]).collect(),
                Box::new(move |r: f64, share: f64| {
                    let angle = std::f64::consts::TAU * share;
                    (px + r * libm::sin(angle), pz + r * libm::cos(angle))
                }),
            )
        }
        Rings::Straight { angle } => {
            let (sin, cos) = libm::sincos(angle.radians());
            let reach = libm::hypot(half, t) * 2.0;
            (
                corners.iter().map(|&(x, z)| z * cos - x * sin).collect(),
                Box::new(move |out: f64, share: f64| {
                    let along = reach * (2.0 * share - 1.0);
                    (along * cos - out * sin, along * sin + out * cos)
                }),
            )
        }
    };
    let (min, max) = outs
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &out| {
            (low.min(out), high.max(out))
        });
    let spacing = (t / RINGS_THROUGH).max((max - min) / MOST_RINGS);
    const SHARES: usize = 720;
    let mut lines = Vec::new();
    let mut out = (min / spacing).ceil() * spacing;
    while out < max {
        let mut piece: Vec<(f64, f64)> = Vec::new();
        for i in 0..=SHARES {
            let point = line(out, i as f64 / SHARES as f64);
            if inside(point) {
                piece.push(point);
            } else if piece.len() > 1 {
                lines.push(std::mem::take(&mut piece));
            } else {
                piece.clear();
            }
        }
        if piece.len() > 1 {
            lines.push(piece);
        }
        out += spacing;
    }
    lines
}
