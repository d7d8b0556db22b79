//! The piece in four views: from the front with its fronts as outlines and with its fronts closed, from the side, and pulled apart in
//! oblique projection. Every part is named beside or on it, every joint marked by its verdict; names never lie on one another.

use super::along::{HEAD, NOTE};
use super::callouts::{Callout, Callouts};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::sheet::{Point, Sheet, TextStyle};
use crate::chance::Verdict;
use crate::piece::{BoxFace, Cuboid, SpaceAxis};

/// Width of the drawing between the columns of names, pixels.
const DRAWING: f64 = 460.0;
/// Greatest height of the drawing, pixels.
const TALLEST: f64 = 420.0;
/// How far depth goes to the right and up in the oblique view, for each unit of it.
const DEPTH_RIGHT: f64 = 0.42;
const DEPTH_UP: f64 = 0.3;
/// Room for the title over the drawing, pixels.
const TOP: f64 = 34.0;
/// How far from its middle a joint's mark can be hit, pixels.
const MARK_REACH: f64 = 9.0;
/// How far parts are pulled from the middle, as a share of their distance.
const APART: f64 = 0.55;

/// One view of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Elevation {
    /// From the front: width and height; doors and drawers are outlines, so that the case behind them shows.
    Front,
    /// From the front with its doors and drawers closed.
    Closed,
    /// From the right side: depth and height.
    Side,
    /// Pulled apart, in oblique projection.
    Exploded,
}

impl Elevation {
    /// All four.
    pub const ALL: [Self; 4] = [Self::Front, Self::Closed, Self::Side, Self::Exploded];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Closed => "closed",
            Self::Side => "side",
            Self::Exploded => "exploded",
        }
    }
}

/// A part of the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureBody {
    /// Its name.
    pub name: String,
    /// The group it belongs to.
    pub group: Option<String>,
    /// Its box.
    pub cuboid: Cuboid,
    /// The tone of its wood.
    pub tone: WoodTone,
    /// Whether it sits in an opening and hides what is behind it: drawn as an outline in the elevations.
    pub in_opening: bool,
}

/// A joint of the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureJoint {
    /// Its name.
    pub name: String,
    /// Its verdict, where it has one.
    pub verdict: Option<Verdict>,
    /// What the two parts have in common, and which bodies they are.
    pub places: Vec<(Cuboid, [usize; 2])>,
}

/// A piece with its joints.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceFigure {
    /// The name of the piece.
    pub piece: String,
    /// Its parts.
    pub bodies: Vec<PictureBody>,
    /// Its joints.
    pub joints: Vec<PictureJoint>,
}

/// Something in a view that can be pointed at.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureTarget {
    /// What it is.
    pub of: TargetOf,
    /// Its outlines in pixels of the figure: right, down.
    pub shapes: Vec<Vec<(f64, f64)>>,
}

/// What a target is, by its place in the figure's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TargetOf {
    /// A body.
    Body(usize),
    /// A joint.
    Joint(usize),
}

/// A view with everything at its place.
struct Laid {
    boxes: Vec<Cuboid>,
    /// The bodies, the nearest last.
    order: Vec<usize>,
    callouts: Callouts,
    scale: Scale,
    wide: f64,
    drawing_height: f64,
    size: (f64, f64),
}

/// From millimeters of a view to pixels.
#[derive(Clone, Copy)]
struct Scale {
    per_mm: f64,
    left: f64,
    base: f64,
    from: Point,
}

impl Scale {
    fn px(&self, (across, up): Point) -> Point {
        (
            self.left + (across - self.from.0) * self.per_mm,
            self.base - (up - self.from.1) * self.per_mm,
        )
    }
}

fn corners(cuboid: &Cuboid, face: BoxFace) -> [[f64; 3]; 4] {
    let at = |axis: SpaceAxis, high: bool| {
        if high {
            cuboid.high(axis).mm()
        } else {
            cuboid.low(axis).mm()
        }
    };
    let fixed = cuboid.face(face).mm();
    let [first, second] = face.axis().others();
    [(false, false), (true, false), (true, true), (false, true)].map(|(one, other)| {
        let mut corner = [0.0; 3];
        corner[face.axis() as usize] = fixed;
        corner[first as usize] = at(first, one);
        corner[second as usize] = at(second, other);
        corner
    })
}

impl Elevation {
    /// A point of space as it is seen: across and up, mm.
    fn seen(self, [x, y, z]: [f64; 3]) -> Point {
        match self {
            Self::Front | Self::Closed => (x, z),
            Self::Side => (y, z),
            Self::Exploded => (x + DEPTH_RIGHT * y, z + DEPTH_UP * y),
        }
    }

    /// Which faces are seen, the nearest last.
    fn faces(self) -> &'static [BoxFace] {
        match self {
            Self::Front | Self::Closed => &[BoxFace::Front],
            Self::Side => &[BoxFace::Right],
            Self::Exploded => &[BoxFace::Right, BoxFace::Top, BoxFace::Front],
        }
    }

    /// How near the viewer a box is; the nearest is drawn last.
    fn nearness(self, cuboid: &Cuboid) -> f64 {
        let middle = |axis| cuboid.middle(axis).mm();
        match self {
            Self::Front | Self::Closed => -cuboid.low(SpaceAxis::Y).mm(),
            Self::Side => cuboid.high(SpaceAxis::X).mm(),
            Self::Exploded => {
                -middle(SpaceAxis::Y)
                    + DEPTH_RIGHT * middle(SpaceAxis::X)
                    + DEPTH_UP * middle(SpaceAxis::Z)
            }
        }
    }
}

fn mark(verdict: Option<Verdict>) -> (Ink, &'static str) {
    match verdict {
        None => (Ink::Dimension, "no verdict"),
        Some(Verdict::Holds) => (Ink::TodayMark, "holds"),
        Some(Verdict::Marginal) => (Ink::DryMark, "marginal"),
        Some(Verdict::Fails) => (Ink::FaultMark, "fails"),
    }
}

impl PieceFigure {
    /// The title over a view.
    #[must_use]
    pub fn title(&self, view: Elevation) -> String {
        match view {
            Elevation::Front => format!("{} from the front", self.piece),
            Elevation::Closed => format!("{} from the front, its fronts closed", self.piece),
            Elevation::Side => format!("{} from the side", self.piece),
            Elevation::Exploded if self.joints.is_empty() => {
                format!("{}, part by part", self.piece)
            }
            Elevation::Exploded => format!("{} pulled apart", self.piece),
        }
    }

    /// How far a body is moved in a view.
    fn moved(&self, view: Elevation) -> Vec<Cuboid> {
        let boxes: Vec<Cuboid> = self.bodies.iter().map(|body| body.cuboid).collect();
        let Some(whole) = boxes.iter().copied().reduce(|a, b| a.around(&b)) else {
            return boxes;
        };
        if view != Elevation::Exploded {
            return boxes;
        }
        // The parts of a group move as one body.
        let group_box = |name: &str| {
            let members = self
                .bodies
                .iter()
                .filter(|body| body.group.as_deref() == Some(name));
            members.map(|body| body.cuboid).reduce(|a, b| a.around(&b))
        };
        self.bodies
            .iter()
            .map(|body| {
                let own = body
                    .group
                    .as_deref()
                    .and_then(group_box)
                    .unwrap_or(body.cuboid);
                let by = SpaceAxis::ALL.map(|axis| {
                    let off = own.middle(axis) - whole.middle(axis);
                    let stretch = if axis == SpaceAxis::Y {
                        2.2 * APART
                    } else {
                        APART
                    };
                    crate::piece::Coordinate::of(off.length() * stretch)
                });
                body.cuboid.moved(by)
            })
            .collect()
    }

    /// A view with everything at its place, before it is drawn.
    fn lay(&self, view: Elevation) -> Laid {
        let boxes = self.moved(view);
        let seen: Vec<Point> = boxes
            .iter()
            .flat_map(|cuboid| {
                [BoxFace::Front, BoxFace::Back]
                    .into_iter()
                    .flat_map(|face| corners(cuboid, face).map(|corner| view.seen(corner)))
                    .collect::<Vec<_>>()
            })
            .collect();
        let ends = |pick: fn(&Point) -> f64| {
            seen.iter()
                .map(pick)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                    (low.min(at), high.max(at))
                })
        };
        let (across, up) = if seen.is_empty() {
            ((0.0, 1.0), (0.0, 1.0))
        } else {
            (ends(|point| point.0), ends(|point| point.1))
        };
        let size = ((across.1 - across.0).max(1.0), (up.1 - up.0).max(1.0));
        let per_mm = (DRAWING / size.0).min(TALLEST / size.1);
        let (wide, tall) = (size.0 * per_mm, size.1 * per_mm);
        let callouts = Callouts::new(self.callouts(view, &boxes));
        let margin = callouts.column_width();
        let drawing_height = tall.max(callouts.height());
        let scale = Scale {
            per_mm,
            left: margin,
            base: TOP + (drawing_height + tall) / 2.0,
            from: (across.0, up.0),
        };
        let mut order: Vec<usize> = (0..boxes.len()).collect();
        order.sort_by(|a, b| {
            view.nearness(&boxes[*a])
                .total_cmp(&view.nearness(&boxes[*b]))
                .then(a.cmp(b))
        });
        Laid {
            boxes,
            order,
            callouts,
            scale,
            wide,
            drawing_height,
            size: (2.0 * margin + wide, TOP + drawing_height + 44.0),
        }
    }

    /// What can be pointed at in a view, the nearest last: its places are those of [`Self::draw`].
    #[must_use]
    pub fn targets(&self, view: Elevation) -> Vec<PictureTarget> {
        let laid = self.lay(view);
        let bodies = laid.order.iter().map(|&index| PictureTarget {
            of: TargetOf::Body(index),
            shapes: view
                .faces()
                .iter()
                .map(|face| {
                    corners(&laid.boxes[index], *face)
                        .map(|corner| laid.scale.px(view.seen(corner)))
                        .to_vec()
                })
                .collect(),
        });
        let marks = self
            .marks(view, &laid.boxes, laid.scale)
            .into_iter()
            .map(|(joint, (x, y))| PictureTarget {
                of: TargetOf::Joint(joint),
                shapes: vec![
                    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
                        .map(|(right, down)| (x + MARK_REACH * right, y + MARK_REACH * down))
                        .to_vec(),
                ],
            });
        bodies.chain(marks).collect()
    }

    /// Draws a view under an id from [`super::FigureIds`].
    #[must_use]
    pub fn draw(&self, view: Elevation, id: &str) -> Figure {
        let Laid {
            boxes,
            order,
            mut callouts,
            scale,
            wide,
            drawing_height,
            size: (width, height),
        } = self.lay(view);
        let sheet = Sheet::new(id, width, height);
        sheet.open("hs-piece");
        for &index in &order {
            self.draw_body(&sheet, view, index, &boxes[index], scale);
        }
        sheet.close();
        sheet.open("hs-piece-joints");
        for (joint, at) in self.marks(view, &boxes, scale) {
            let verdict = self.joints[joint].verdict;
            draw_mark(&sheet, mark(verdict).0, verdict, at);
        }
        sheet.close();
        sheet.open("hs-piece-names");
        callouts.place(
            scale.left,
            scale.left + wide,
            TOP,
            drawing_height,
            |point| scale.px(point),
        );
        callouts.draw(&sheet);
        sheet.close();
        sheet.text(HEAD, &self.title(view), (12.0, 20.0));
        self.draw_key(&sheet, height - 16.0);
        Figure::new(
            id,
            (width, height),
            Caption {
                title: self.title(view),
                reading: format!(
                    "Each joint has a mark: a dot where it holds, a triangle where it is marginal, a cross in a square where it fails.{}",
                    match view {
                        Elevation::Front | Elevation::Side =>
                            " Parts in an opening are outlines, so that the case behind them shows.",
                        Elevation::Closed => " Only joints of what is seen are marked.",
                        Elevation::Exploded => "",
                    }
                ),
                description: self.description(),
            },
            sheet,
            self.numbers(),
        )
    }

    fn draw_body(
        &self,
        sheet: &Sheet,
        view: Elevation,
        index: usize,
        cuboid: &Cuboid,
        scale: Scale,
    ) {
        let body = &self.bodies[index];
        let ghost = body.in_opening && matches!(view, Elevation::Front | Elevation::Side);
        for face in view.faces() {
            let corners = corners(cuboid, *face).map(|corner| scale.px(view.seen(corner)));
            if ghost {
                sheet.ring(Ink::Ghost, &corners);
            } else {
                sheet.shape(body.tone.wood(), &corners);
                sheet.ring(Ink::Outline, &corners);
            }
        }
    }

    /// Where the joints of a view are: the middle of what two parts have in common, pulled apart with them.
    fn marks(&self, view: Elevation, boxes: &[Cuboid], scale: Scale) -> Vec<(usize, Point)> {
        let mut taken: Vec<(usize, Point)> = Vec::new();
        for (index, joint) in self.joints.iter().enumerate() {
            for (shared, [a, b]) in &joint.places {
                // Closed fronts hide the joints of the case.
                if view == Elevation::Closed && ![a, b].into_iter().any(|body| self.in_front(*body))
                {
                    continue;
                }
                let middle = SpaceAxis::ALL.map(|axis| {
                    let moved = |body: usize| {
                        (boxes[body].middle(axis) - self.bodies[body].cuboid.middle(axis)).mm()
                    };
                    shared.middle(axis).mm() + f64::midpoint(moved(*a), moved(*b))
                });
                let at = scale.px(view.seen(middle));
                // Joints behind one another are one mark.
                if taken
                    .iter()
                    .any(|(_, known)| libm::hypot(known.0 - at.0, known.1 - at.1) < 6.0)
                    && joint.verdict == Some(Verdict::Holds)
                {
                    continue;
                }
                taken.push((index, at));
            }
        }
        taken
    }

    /// Whether a body is seen with the fronts closed: more than a seam of its front face is covered by nothing before it.
    fn in_front(&self, body: usize) -> bool {
        const STEPS: usize = 16;
        const SEAM: usize = STEPS;
        let own = &self.bodies[body].cuboid;
        let before: Vec<&Cuboid> = self
            .bodies
            .iter()
            .map(|other| &other.cuboid)
            .filter(|other| {
                let beside = |axis: SpaceAxis| {
                    other.high(axis) <= own.low(axis) || own.high(axis) <= other.low(axis)
                };
                other.low(SpaceAxis::Y) < own.low(SpaceAxis::Y)
                    && !beside(SpaceAxis::X)
                    && !beside(SpaceAxis::Z)
            })
            .collect();
        let at = |axis: SpaceAxis, step: usize| {
            let share = (step as f64 + 0.5) / STEPS as f64;
            let size = own.high(axis) - own.low(axis);
            own.low(axis).mm() + share * size.length().mm()
        };
        let covers = |cuboid: &Cuboid, axis: SpaceAxis, at: f64| {
            cuboid.low(axis).mm() <= at && at <= cuboid.high(axis).mm()
        };
        let seen = (0..STEPS * STEPS).filter(|cell| {
            let x = at(SpaceAxis::X, cell % STEPS);
            let z = at(SpaceAxis::Z, cell / STEPS);
            !before
                .iter()
                .any(|one| covers(one, SpaceAxis::X, x) && covers(one, SpaceAxis::Z, z))
        });
        seen.take(SEAM + 1).count() > SEAM
    }

    /// Whether anything of it sits in an opening, so that closed it looks otherwise than open.
    #[must_use]
    pub fn has_fronts(&self) -> bool {
        self.bodies.iter().any(|body| body.in_opening)
    }

    /// The views worth drawing: closed only where there are fronts.
    pub fn views(&self) -> impl Iterator<Item = Elevation> + '_ {
        Elevation::ALL
            .into_iter()
            .filter(|view| *view != Elevation::Closed || self.has_fronts())
    }

    fn draw_key(&self, sheet: &Sheet, y: f64) {
        let mut x = 14.0;
        for verdict in [
            Some(Verdict::Holds),
            Some(Verdict::Marginal),
            Some(Verdict::Fails),
            None,
        ] {
            if !self.joints.iter().any(|joint| joint.verdict == verdict) {
                continue;
            }
            let (ink, word) = mark(verdict);
            draw_mark(sheet, ink, verdict, (x + 4.0, y));
            sheet.text(NOTE.level(), word, (x + 14.0, y));
            x += 14.0 + NOTE.width(word) + 22.0;
        }
    }

    /// The names of a view: each free part, each group once; pulled apart the parts of a group's first copy too.
    fn callouts(&self, view: Elevation, boxes: &[Cuboid]) -> Vec<Callout> {
        let mut list = Vec::new();
        let mut groups: Vec<&str> = Vec::new();
        let anchor = |cuboid: &Cuboid| {
            let face = match view {
                Elevation::Front | Elevation::Closed | Elevation::Exploded => BoxFace::Front,
                Elevation::Side => BoxFace::Right,
            };
            let corners = corners(cuboid, face).map(|corner| view.seen(corner));
            let mean = |pick: fn(&Point) -> f64| corners.iter().map(pick).sum::<f64>() / 4.0;
            let extent = |pick: fn(&Point) -> f64| {
                let low = corners.iter().map(pick).fold(f64::INFINITY, f64::min);
                let high = corners.iter().map(pick).fold(f64::NEG_INFINITY, f64::max);
                high - low
            };
            (
                (mean(|point| point.0), mean(|point| point.1)),
                (extent(|point| point.0), extent(|point| point.1)),
            )
        };
        for (index, (body, cuboid)) in self.bodies.iter().zip(boxes).enumerate() {
            if view == Elevation::Closed && !self.in_front(index) {
                continue;
            }
            let (at, _) = anchor(cuboid);
            match &body.group {
                None => list.push(Callout::new(&body.name, at, false)),
                Some(group) => {
                    if groups.contains(&group.as_str()) {
                        continue;
                    }
                    groups.push(group);
                    let members = self
                        .bodies
                        .iter()
                        .zip(boxes)
                        .filter(|(one, _)| one.group.as_ref() == Some(group));
                    let whole = members
                        .map(|(_, cuboid)| *cuboid)
                        .reduce(|a, b| a.around(&b));
                    let (at, _) = anchor(&whole.unwrap_or(*cuboid));
                    list.push(Callout::new(group, at, false));
                }
            }
        }
        if view == Elevation::Exploded {
            let mut named: Vec<&str> = Vec::new();
            for (body, cuboid) in self.bodies.iter().zip(boxes) {
                let Some((_, own)) = body.group.as_ref().and_then(|_| body.name.split_once(": "))
                else {
                    continue;
                };
                if !named.contains(&own) {
                    named.push(own);
                    list.push(Callout::new(own, anchor(cuboid).0, false));
                }
            }
        }
        for joint in &self.joints {
            if joint.verdict == Some(Verdict::Fails)
                && view != Elevation::Closed
                && let Some((shared, _)) = joint.places.first()
            {
                let at = view.seen(SpaceAxis::ALL.map(|axis| shared.middle(axis).mm()));
                if view != Elevation::Exploded {
                    list.push(Callout::new(&format!("{}: fails", joint.name), at, true));
                }
            }
        }
        list
    }

    fn description(&self) -> String {
        let mut words = format!("{} parts", self.bodies.len());
        for verdict in [Verdict::Holds, Verdict::Marginal, Verdict::Fails] {
            let count = self
                .joints
                .iter()
                .filter(|joint| joint.verdict == Some(verdict))
                .count();
            if count > 0 {
                words.push_str(&format!(", {count} joints: {}", verdict.word()));
            }
        }
        words.push('.');
        words
    }

    fn numbers(&self) -> NumberTable {
        let at = |cuboid: &Cuboid, axis: SpaceAxis| {
            format!(
                "{:.1} to {:.1}",
                cuboid.low(axis).mm(),
                cuboid.high(axis).mm()
            )
        };
        NumberTable {
            heads: [
                "Part",
                "Left to right, mm",
                "Front to back, mm",
                "Bottom to top, mm",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows: self
                .bodies
                .iter()
                .map(|body| {
                    let mut row = vec![body.name.clone()];
                    row.extend(SpaceAxis::ALL.map(|axis| at(&body.cuboid, axis)));
                    row
                })
                .collect(),
        }
    }
}

/// A dot that holds, a triangle that is marginal, a cross in a square that fails, a small ring without a verdict.
fn draw_mark(sheet: &Sheet, ink: Ink, verdict: Option<Verdict>, at: Point) {
    match verdict {
        Some(Verdict::Holds) => sheet.dot(ink, at, 3.6),
        Some(Verdict::Marginal) => sheet.triangle(ink, at, true),
        Some(Verdict::Fails) => {
            let r = 5.0;
            let square = [
                (at.0 - r, at.1 - r),
                (at.0 + r, at.1 - r),
                (at.0 + r, at.1 + r),
                (at.0 - r, at.1 + r),
            ];
            sheet.shape(Ink::Paper, &square);
            sheet.ring(Ink::FreshFace, &square);
            sheet.path(Ink::FreshFace, &[square[0], square[2]]);
            sheet.path(Ink::FreshFace, &[square[1], square[3]]);
        }
        None => sheet.dot(Ink::Arrow, at, 2.0),
    }
}

/// The style of a name.
pub(super) const fn name_style(fault: bool) -> TextStyle {
    TextStyle::new(if fault { Ink::FaultLetter } else { Ink::Letter }, 12.0)
}
