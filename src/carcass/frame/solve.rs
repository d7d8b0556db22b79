//! The frame's equations, factored once, and the response to each thing that bends it.

use super::{Joint, Member, Rest, Tie};
use crate::numerics::{factor_lu, solve_complementarity, solve_lu};
use crate::units::Refusal;

/// Pieces into which each stretch between two joints is read off.
pub(super) const READ: usize = 24;
/// Places nearer than this on one board are one place, mm.
const SAME_MM: f64 = 0.01;
/// What an open contact keeps, N/mm, so that a piece that hangs loose has a place.
pub(super) const OPEN_N_PER_MM: f64 = 1e-7;

/// Boards, joints and rests.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Frame {
    /// The boards.
    pub members: Vec<Member>,
    /// Where the end of one enters another.
    pub joints: Vec<Joint>,
    /// Where the frame rests.
    pub rests: Vec<Rest>,
}

/// What one cause does to the whole frame. Everything in it is linear in its cause.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Response {
    /// Height over the chord of the board's own ends at each place read off.
    pub left_over_mm: Vec<f64>,
    /// Bending moment there, N mm.
    pub moment_n_mm: Vec<f64>,
    /// Pull along each stretch, N.
    pub axial_n: Vec<f64>,
    /// Force of each row of the joints, N or N mm.
    pub rows: Vec<f64>,
}

impl Response {
    pub(super) fn add(&mut self, share: f64, other: &Self) {
        let lists = |one: &mut [f64], other: &[f64]| {
            for (x, y) in one.iter_mut().zip(other) {
                *x += share * y;
            }
        };
        lists(&mut self.left_over_mm, &other.left_over_mm);
        lists(&mut self.moment_n_mm, &other.moment_n_mm);
        lists(&mut self.axial_n, &other.axial_n);
        lists(&mut self.rows, &other.rows);
    }
}

/// One stretch of a board between two neighboring nodes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    pub member: usize,
    /// Index of its first node; the next one is its second.
    node: usize,
    pub from_mm: f64,
    pub length_mm: f64,
}

/// One equation of a joint or a rest.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row {
    /// The joint it belongs to; none for a rest.
    pub joint: Option<usize>,
    /// x, y or turning.
    pub axis: usize,
    plus: usize,
    minus: Option<usize>,
    give: f64,
    gap: f64,
    /// Sign of an outward push, for a row that only pushes.
    pub push: Option<f64>,
}

/// The frame's response to its loads, to each board's own bow, and to each contact that opens.
#[derive(Debug, Clone)]
pub struct Responses {
    pub(super) members: Vec<Member>,
    pub(super) joints: usize,
    pub(super) stretches: Vec<Stretch>,
    pub(super) rows: Vec<Row>,
    /// Loads, weight, season and misfits.
    pub(super) fixed: Response,
    /// Each board's own bow as it lies now.
    pub(super) bows: Vec<Response>,
    /// Each contact opened by 1 mm, with its row.
    pub(super) contacts: Vec<(usize, Response)>,
}

struct Equations {
    factors: Vec<f64>,
    pivots: Vec<usize>,
    scale: Vec<f64>,
}

/// Forces on a stretch's ends, and what is drawn between them.
struct Local {
    /// Global node loads: x, y, turn at either end.
    load: [f64; 6],
}

impl Frame {
    /// The frame after months: every stiffness, of boards and joints, divided by `1 + creep`.
    #[must_use]
    pub fn after_months(&self, creep: f64) -> Self {
        let mut later = self.clone();
        for member in &mut later.members {
            member.modulus_mpa /= 1.0 + creep;
        }
        for joint in &mut later.joints {
            for tie in [&mut joint.along, &mut joint.across, &mut joint.turning] {
                if let Tie::Spring(stiffness) = tie {
                    *stiffness /= 1.0 + creep;
                }
            }
        }
        later
    }

    /// Factors the equations and finds the response to each cause.
    ///
    /// # Errors
    /// [`Refusal`] for a board that is not there or has no size, and for a frame of which something can still move.
    pub fn responses(&self) -> Result<Responses, Refusal> {
        let layout = Layout::of(self)?;
        let equations = layout.factored(self)?;
        let loads = self.loads(&layout, &equations);
        Ok(self.responses_from(layout, &equations, loads))
    }

    /// The responses, with what loads do alone and what each spring against turning does, opened by 1 radian.
    pub(super) fn responses_and_springs(&self) -> Result<(Responses, Springs), Refusal> {
        let layout = Layout::of(self)?;
        let equations = layout.factored(self)?;
        let loads = self.loads(&layout, &equations);
        let springs = layout
            .rows
            .iter()
            .enumerate()
            .filter(|(_, row)| row.axis == 2 && row.give > 0.0)
            .map(|(index, row)| {
                let response = layout.of_a_gap(self, &equations, index, 1.0);
                (index, row.give, response)
            })
            .collect();
        let springs = Springs {
            loads: loads.clone(),
            springs,
        };
        Ok((self.responses_from(layout, &equations, loads), springs))
    }

    fn loads(&self, layout: &Layout, equations: &Equations) -> Response {
        layout.response(
            self,
            equations,
            |member| member.loads(),
            |_, _, _| (0.0, 0.0),
            |_, _| 0.0,
        )
    }

    fn responses_from(&self, layout: Layout, equations: &Equations, loads: Response) -> Responses {
        let mut fixed = layout.response(
            self,
            equations,
            |_| (0.0, 0.0),
            |_, member, s| member.season_at(s),
            |_, row| row.gap,
        );
        fixed.add(1.0, &loads);
        let bows = (0..self.members.len())
            .map(|bowed| {
                if self.members[bowed].shape.is_straight() {
                    return layout.zero();
                }
                layout.response(
                    self,
                    equations,
                    |_| (0.0, 0.0),
                    |index, member, s| {
                        if index == bowed {
                            let (height, slope, _) = member.shape.at(s);
                            (height, slope)
                        } else {
                            (0.0, 0.0)
                        }
                    },
                    |_, _| 0.0,
                )
            })
            .collect();
        let contacts = (0..layout.rows.len())
            .filter_map(|index| Some((index, layout.rows[index].push?)))
            .map(|(open, outward)| (open, layout.of_a_gap(self, equations, open, -outward)))
            .collect();
        Responses {
            members: self.members.clone(),
            joints: self.joints.len(),
            stretches: layout.stretches,
            rows: layout.rows,
            fixed,
            bows,
            contacts,
        }
    }
}

/// What loads do alone, and what each spring against turning does: its row, its give, and its response to a gap of 1 radian.
pub(super) struct Springs {
    pub loads: Response,
    pub springs: Vec<(usize, f64, Response)>,
}

/// Where the unknowns are.
struct Layout {
    /// Places of the nodes of all boards, one board after another.
    nodes: usize,
    stretches: Vec<Stretch>,
    rows: Vec<Row>,
}

impl Layout {
    fn of(frame: &Frame) -> Result<Self, Refusal> {
        let count = frame.members.len();
        for (index, member) in frame.members.iter().enumerate() {
            let sizes = [
                member.length_mm(),
                member.width_mm,
                member.thickness_mm,
                member.modulus_mpa,
            ];
            if !sizes.iter().all(|size| size.is_finite() && *size > 0.0) {
                return Err(super::error::empty_member(index));
            }
        }
        let known = |index: usize| {
            if index < count {
                Ok(index)
            } else {
                Err(super::error::unknown_member(index))
            }
        };
        for joint in &frame.joints {
            known(joint.piece)?;
            known(joint.into)?;
        }
        for rest in &frame.rests {
            known(rest.member)?;
        }
        let mut nodes = 0;
        let mut stretches = Vec::new();
        let mut first_node = Vec::with_capacity(count);
        let mut places = Vec::with_capacity(count);
        for (index, member) in frame.members.iter().enumerate() {
            let length = member.length_mm();
            let mut at: Vec<f64> = [0.0, length]
                .into_iter()
                .chain(
                    frame
                        .joints
                        .iter()
                        .filter(|joint| joint.into == index)
                        .map(|joint| joint.into_at_mm),
                )
                .chain(
                    frame
                        .rests
                        .iter()
                        .filter(|rest| rest.member == index)
                        .map(|rest| rest.at_mm),
                )
                .map(|at| at.clamp(0.0, length))
                .collect();
            at.sort_by(f64::total_cmp);
            at.dedup_by(|a, b| (*a - *b).abs() < SAME_MM);
            for (i, two) in at.windows(2).enumerate() {
                stretches.push(Stretch {
                    member: index,
                    node: nodes + i,
                    from_mm: two[0],
                    length_mm: two[1] - two[0],
                });
            }
            first_node.push(nodes);
            nodes += at.len();
            places.push(at);
        }
        let node = |member: usize, at: f64| {
            let list: &Vec<f64> = &places[member];
            let near = |i: &usize| (list[*i] - at).abs();
            let nearest = (0..list.len()).min_by(|a, b| near(a).total_cmp(&near(b)));
            first_node[member] + nearest.unwrap_or(0)
        };
        let mut rows = Vec::new();
        for (index, joint) in frame.joints.iter().enumerate() {
            let piece = &frame.members[joint.piece];
            let end = if joint.at_end { piece.length_mm() } else { 0.0 };
            let (plus, minus) = (node(joint.piece, end), node(joint.into, joint.into_at_mm));
            let [c, s] = piece.direction();
            // Boards run along x or along y; one askew is held by the axis nearer to its own.
            let axial = usize::from(s.abs() > c.abs());
            let outward = if joint.at_end { 1.0 } else { -1.0 } * [c, s][axial].signum();
            for axis in 0..3 {
                let tie = match axis {
                    2 => joint.turning,
                    _ if axis == axial => joint.along,
                    _ => joint.across,
                };
                let give = match tie {
                    Tie::Free => continue,
                    Tie::Spring(stiffness) => 1.0 / stiffness,
                    Tie::Rigid | Tie::Push => 0.0,
                };
                rows.push(Row {
                    joint: Some(index),
                    axis,
                    plus: 3 * plus + axis,
                    minus: Some(3 * minus + axis),
                    give,
                    gap: joint.gap[axis],
                    push: (tie == Tie::Push).then_some(outward),
                });
            }
        }
        for rest in &frame.rests {
            let at = node(rest.member, rest.at_mm);
            for (axis, held) in [rest.x, rest.y].into_iter().enumerate() {
                if held {
                    rows.push(Row {
                        joint: None,
                        axis,
                        plus: 3 * at + axis,
                        minus: None,
                        give: 0.0,
                        gap: 0.0,
                        push: None,
                    });
                }
            }
        }
        Ok(Self {
            nodes,
            stretches,
            rows,
        })
    }

    fn unknowns(&self) -> usize {
        3 * self.nodes + self.rows.len()
    }

    fn factored(&self, frame: &Frame) -> Result<Equations, Refusal> {
        let n = self.unknowns();
        let mut matrix = vec![0.0; n * n];
        for stretch in &self.stretches {
            let k = stretch.stiffness(&frame.members[stretch.member]);
            for (i, row) in k.iter().enumerate() {
                for (j, value) in row.iter().enumerate() {
                    matrix[(3 * stretch.node + i) * n + 3 * stretch.node + j] += value;
                }
            }
        }
        let mut scale: Vec<f64> = (0..3 * self.nodes)
            .map(|i| matrix[i * n + i].sqrt().recip())
            .collect();
        for (index, row) in self.rows.iter().enumerate() {
            let at = 3 * self.nodes + index;
            for (place, sign) in [(Some(row.plus), 1.0), (row.minus, -1.0)] {
                if let Some(place) = place {
                    matrix[at * n + place] = sign;
                    matrix[place * n + at] = sign;
                }
            }
            matrix[at * n + at] = -row.give;
            let size = scale[row.plus].max(row.minus.map_or(0.0, |minus| scale[minus]));
            scale.push(1.0 / size);
        }
        for i in 0..n {
            for j in 0..n {
                matrix[i * n + j] *= scale[i] * scale[j];
            }
        }
        let mut pivots = vec![0; n];
        if !factor_lu(&mut matrix, &mut pivots) {
            return Err(super::error::not_held());
        }
        Ok(Equations {
            factors: matrix,
            pivots,
            scale,
        })
    }

    fn zero(&self) -> Response {
        let read = self.stretches.len() * (READ + 1);
        Response {
            left_over_mm: vec![0.0; read],
            moment_n_mm: vec![0.0; read],
            axial_n: vec![0.0; self.stretches.len()],
            rows: vec![0.0; self.rows.len()],
        }
    }

    /// What a gap in one row does alone.
    fn of_a_gap(&self, frame: &Frame, equations: &Equations, opened: usize, size: f64) -> Response {
        self.response(
            frame,
            equations,
            |_| (0.0, 0.0),
            |_, _, _| (0.0, 0.0),
            |row, _| if row == opened { size } else { 0.0 },
        )
    }

    /// What loads (along, upward), a free shape (height and slope) and misfits do together.
    fn response(
        &self,
        frame: &Frame,
        equations: &Equations,
        loads: impl Fn(&Member) -> (f64, f64),
        shape: impl Fn(usize, &Member, f64) -> (f64, f64),
        gap: impl Fn(usize, &Row) -> f64,
    ) -> Response {
        let mut x = vec![0.0; self.unknowns()];
        let rest_of = |stretch: &Stretch, member: &Member| {
            let ends = [stretch.from_mm, stretch.from_mm + stretch.length_mm];
            let [(w0, t0), (w1, t1)] = ends.map(|s| shape(stretch.member, member, s));
            [0.0, w0, t0, 0.0, w1, t1]
        };
        for stretch in &self.stretches {
            let member = &frame.members[stretch.member];
            let local = stretch.load(member, rest_of(stretch, member), loads(member));
            for (i, value) in local.load.iter().enumerate() {
                x[3 * stretch.node + i] += value;
            }
        }
        for (index, row) in self.rows.iter().enumerate() {
            x[3 * self.nodes + index] = gap(index, row);
        }
        for (x, scale) in x.iter_mut().zip(&equations.scale) {
            *x *= scale;
        }
        solve_lu(&equations.factors, &equations.pivots, &mut x);
        for (x, scale) in x.iter_mut().zip(&equations.scale) {
            *x *= scale;
        }
        let mut out = self.zero();
        out.rows.copy_from_slice(&x[3 * self.nodes..]);
        for (index, stretch) in self.stretches.iter().enumerate() {
            let member = &frame.members[stretch.member];
            let l = stretch.length_mm;
            let d = stretch.to_local(member, &x[3 * stretch.node..3 * stretch.node + 6]);
            let d0 = rest_of(stretch, member);
            let e: [f64; 6] = std::array::from_fn(|i| d[i] - d0[i]);
            out.axial_n[index] = member.stretching_n() * (e[3] - e[0]) / l;
            let bending = member.bending_n_mm2();
            let (_, up) = loads(member);
            for k in 0..=READ {
                let s = l * k as f64 / READ as f64;
                let u = s / l;
                let (a, b) = (e[1], e[4]);
                let (p, q) = (e[2] * l, e[5] * l);
                let cubic = a * (1.0 + u * u * (2.0 * u - 3.0))
                    + p * u * (1.0 - u) * (1.0 - u)
                    + b * u * u * (3.0 - 2.0 * u)
                    + q * u * u * (u - 1.0);
                let bend = (a * (12.0 * u - 6.0)
                    + p * (6.0 * u - 4.0)
                    + b * (6.0 - 12.0 * u)
                    + q * (6.0 * u - 2.0))
                    / (l * l);
                let own = up * (s * (l - s)).powi(2) / (24.0 * bending);
                let own_moment = up * (l * l - 6.0 * s * (l - s)) / 12.0;
                let free = shape(stretch.member, member, stretch.from_mm + s).0;
                let at = index * (READ + 1) + k;
                out.left_over_mm[at] = free + cubic + own;
                out.moment_n_mm[at] = bending * bend + own_moment;
            }
        }
        self.over_chords(frame, &mut out.left_over_mm);
        out
    }

    /// Heights over the chord of each board's ends.
    fn over_chords(&self, frame: &Frame, heights: &mut [f64]) {
        let mut first = 0;
        while first < self.stretches.len() {
            let member = self.stretches[first].member;
            let after = self.stretches[first..]
                .iter()
                .position(|stretch| stretch.member != member)
                .map_or(self.stretches.len(), |count| first + count);
            let length = frame.members[member].length_mm();
            let (start, end) = (heights[first * (READ + 1)], heights[after * (READ + 1) - 1]);
            for index in first..after {
                let stretch = &self.stretches[index];
                for k in 0..=READ {
                    let s = stretch.read_at(k);
                    heights[index * (READ + 1) + k] -= start + (end - start) * s / length;
                }
            }
            first = after;
        }
    }
}

impl Stretch {
    /// Place along the board of the `k`th value read off.
    pub(super) fn read_at(&self, k: usize) -> f64 {
        self.from_mm + self.length_mm * k as f64 / READ as f64
    }

    fn to_local(self, member: &Member, global: &[f64]) -> [f64; 6] {
        let [c, s] = member.direction();
        let turned = |x: f64, y: f64| (c * x + s * y, c * y - s * x);
        let ((u0, w0), (u1, w1)) = (turned(global[0], global[1]), turned(global[3], global[4]));
        [u0, w0, global[2], u1, w1, global[5]]
    }

    fn local_stiffness(self, member: &Member) -> [[f64; 6]; 6] {
        let l = self.length_mm;
        let (a, b) = (
            member.stretching_n() / l,
            member.bending_n_mm2() / l.powi(3),
        );
        let (b1, b2, b4) = (6.0 * l * b, 2.0 * l * l * b, 4.0 * l * l * b);
        let b = 12.0 * b;
        [
            [a, 0.0, 0.0, -a, 0.0, 0.0],
            [0.0, b, b1, 0.0, -b, b1],
            [0.0, b1, b4, 0.0, -b1, b2],
            [-a, 0.0, 0.0, a, 0.0, 0.0],
            [0.0, -b, -b1, 0.0, b, -b1],
            [0.0, b1, b2, 0.0, -b1, b4],
        ]
    }

    fn stiffness(self, member: &Member) -> [[f64; 6]; 6] {
        let k = self.local_stiffness(member);
        let turn = turn_matrix(member);
        std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                (0..6)
                    .flat_map(|p| (0..6).map(move |q| (p, q)))
                    .map(|(p, q)| turn[p][i] * k[p][q] * turn[q][j])
                    .sum()
            })
        })
    }

    /// `k_e d0` and the loads of the stretch, at its ends.
    fn load(self, member: &Member, rest: [f64; 6], (along, up): (f64, f64)) -> Local {
        let k = self.local_stiffness(member);
        let l = self.length_mm;
        let own = [
            along * l / 2.0,
            up * l / 2.0,
            up * l * l / 12.0,
            along * l / 2.0,
            up * l / 2.0,
            -up * l * l / 12.0,
        ];
        let local: [f64; 6] = std::array::from_fn(|i| {
            own[i] + k[i].iter().zip(rest).map(|(k, d)| k * d).sum::<f64>()
        });
        let turn = turn_matrix(member);
        Local {
            load: std::array::from_fn(|i| (0..6).map(|p| turn[p][i] * local[p]).sum()),
        }
    }
}

/// From global to the board's own directions.
fn turn_matrix(member: &Member) -> [[f64; 6]; 6] {
    let [c, s] = member.direction();
    let mut turn = [[0.0; 6]; 6];
    for end in [0, 3] {
        turn[end][end] = c;
        turn[end][end + 1] = s;
        turn[end + 1][end] = -s;
        turn[end + 1][end + 1] = c;
        turn[end + 2][end + 2] = 1.0;
    }
    turn
}

impl Responses {
    /// The whole response with the boards as they lie (`1`), turned over (`-1`) or bowed by any share of what they are.
    ///
    /// # Errors
    /// [`Refusal`] when the contacts do not settle.
    pub(super) fn combined(&self, shares: &[f64]) -> Result<Response, Refusal> {
        let mut sum = self.fixed.clone();
        for (share, bow) in shares.iter().zip(&self.bows) {
            if *share != 0.0 {
                sum.add(*share, bow);
            }
        }
        let opened = self.opened(|row| sum.rows[row])?;
        for (share, (_, contact)) in opened.iter().zip(&self.contacts) {
            if *share != 0.0 {
                sum.add(*share, contact);
            }
        }
        Ok(sum)
    }

    /// How far each contact opens, given the force of each row with all of them closed.
    pub(super) fn opened(&self, force: impl Fn(usize) -> f64) -> Result<Vec<f64>, Refusal> {
        let n = self.contacts.len();
        let outward = |row: usize| self.rows[row].push.unwrap_or(1.0);
        let closed: Vec<f64> = self
            .contacts
            .iter()
            .map(|(row, _)| outward(*row) * force(*row))
            .collect();
        if closed.iter().all(|force| *force >= 0.0) {
            return Ok(vec![0.0; n]);
        }
        let mut matrix = Vec::with_capacity(n * n);
        for (i, (row, _)) in self.contacts.iter().enumerate() {
            for (j, (_, response)) in self.contacts.iter().enumerate() {
                let kept = if i == j { OPEN_N_PER_MM } else { 0.0 };
                matrix.push(outward(*row) * response.rows[*row] + kept);
            }
        }
        solve_complementarity(&matrix, &closed).ok_or_else(super::error::not_held)
    }
}
