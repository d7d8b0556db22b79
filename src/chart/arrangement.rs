//! A panel of leaves: end view with their rings, edge view with their bows.

use super::along::{Along, HEAD, LEFT, NOTE, RIGHT, TEXT, WIDTH, arc, strip, times_words, traced};
use super::end_grain::{self, WoodTone, rectangle};
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::lettering::fitted;
use super::sheet::{Hand, Point, Sheet};
use super::words::{capital, decimals, length, small};
use crate::movement::{MovedSection, Section};
use crate::units::{Length, UnitSystem};

/// One leaf as it is placed in the panel, left to right.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedLeaf {
    /// Its name.
    pub name: String,
    /// Its section with its rings, bark side up.
    pub section: Section,
    /// Its section once its moisture has changed; `None` when nothing moves it.
    pub moved: Option<MovedSection>,
    /// Whether its bark side is up in the panel.
    pub bark_up: bool,
    /// Whether the end its section was measured from is the one looked at.
    pub near_end: bool,
    /// Whether its marked face is up.
    pub marked_up: bool,
    /// Its bow in the panel: how far its middle stands over its ends.
    pub rise: Length,
}

/// One way to place the leaves of a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct ArrangementFigure {
    /// The panel.
    pub panel: String,
    /// The figure of the match: `bookmatch`, `slip-match`.
    pub figure: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// Length along the grain.
    pub length: Length,
    /// The leaves from left to right.
    pub leaves: Vec<PlacedLeaf>,
    /// Bow of the glued panel: how far its middle stands over its ends.
    pub rise: Length,
    /// Its cup across the whole width.
    pub cup: Length,
    /// Force to hold it flat over the greatest force of one leaf.
    pub force_factor: f64,
}

/// A leaf's section turned and shifted to its place in the chain.
#[derive(Clone, Copy)]
struct Link {
    leaf: usize,
    origin: Point,
    turn: (f64, f64),
    shift: Point,
}

impl ArrangementFigure {
    fn oriented(&self, leaf: usize, p: Point, moved: bool) -> Point {
        let placed = &self.leaves[leaf];
        let shape = match placed.moved {
            Some(shape) if moved => shape.point_mm(p.0, p.1),
            _ => p,
        };
        // Turned over about its length, and seen from the other end: both swap left and right.
        let mirrored = placed.bark_up != placed.near_end;
        let x = if mirrored { -shape.0 } else { shape.0 };
        let z = if placed.bark_up { shape.1 } else { -shape.1 };
        (x, z)
    }

    /// The four corners lower left, lower right, upper right, upper left as placed, in section coordinates.
    fn corners(&self, leaf: usize) -> [Point; 4] {
        let placed = &self.leaves[leaf];
        let (half, t) = (
            placed.section.width.mm() / 2.0,
            placed.section.thickness.mm(),
        );
        let left = if placed.bark_up != placed.near_end {
            half
        } else {
            -half
        };
        let (low, high) = if placed.bark_up { (0.0, t) } else { (t, 0.0) };
        [(left, low), (-left, low), (-left, high), (left, high)]
    }

    /// The leaves edge to edge: each one's left edge lies on the right edge of the one before.
    fn chain(&self, moved: bool) -> Vec<Link> {
        let mut links: Vec<Link> = Vec::new();
        let (mut at, mut up) = ((0.0, 0.0), (0.0, 1.0));
        for leaf in 0..self.leaves.len() {
            let [ll, lr, ur, ul] = self.corners(leaf).map(|p| self.oriented(leaf, p, moved));
            let edge = unit((ul.0 - ll.0, ul.1 - ll.1));
            // The turn that brings this leaf's left edge onto the direction wanted.
            let turn = (edge.0 * up.0 + edge.1 * up.1, edge.0 * up.1 - edge.1 * up.0);
            let link = Link {
                leaf,
                origin: ll,
                turn,
                shift: at,
            };
            at = Self::place(link, lr);
            let top = Self::place(link, ur);
            up = unit((top.0 - at.0, top.1 - at.1));
            links.push(link);
        }
        // Level the chain on its lower corners.
        let tilt = unit(at);
        for link in &mut links {
            link.turn = spun(link.turn, (tilt.0, -tilt.1));
            link.shift = spun(link.shift, (tilt.0, -tilt.1));
        }
        links
    }

    fn place(link: Link, oriented: Point) -> Point {
        let from = (oriented.0 - link.origin.0, oriented.1 - link.origin.1);
        let turned = spun(from, link.turn);
        (turned.0 + link.shift.0, turned.1 + link.shift.1)
    }

    fn put(&self, link: Link, p: Point, moved: bool) -> Point {
        Self::place(link, self.oriented(link.leaf, p, moved))
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let width: f64 = self.leaves.iter().map(|leaf| leaf.section.width.mm()).sum();
        let tall = self
            .leaves
            .iter()
            .map(|leaf| leaf.section.thickness.mm())
            .fold(0.0, f64::max);
        let per_mm = ((RIGHT - LEFT) * 0.96 / width.max(1e-6)).min(90.0 / tall.max(1e-6));
        let (flat, bent) = (self.chain(false), self.chain(true));
        let way = |i: usize, p: Point| -> Point {
            let (a, b) = (self.put(flat[i], p, false), self.put(bent[i], p, true));
            (b.0 - a.0, b.1 - a.1)
        };
        let longest = (0..self.leaves.len())
            .flat_map(|i| {
                let way = &way;
                rectangle(&self.leaves[i].section, 9)
                    .into_iter()
                    .map(move |p| way(i, p).1.abs())
            })
            .fold(0.0, f64::max);
        let factor = super::section::exaggeration(longest, 26.0 / per_mm);
        let spread = longest * factor * per_mm;
        let base = 66.0 + spread + tall * per_mm;
        let edge_top = base + spread + 44.0;
        let along = Along::of(self.length);
        let highest = self
            .leaves
            .iter()
            .map(|leaf| leaf.rise.mm().abs())
            .fold(self.rise.mm().abs(), f64::max);
        let times = along.times(highest, 36.0);
        let height = edge_top + 150.0;
        let sheet = Sheet::new(id, WIDTH, height);

        sheet.text(HEAD, "End view", (LEFT, 18.0));
        let note = if longest > 0.005 {
            format!("rise drawn {} times larger", decimals(factor, 0))
        } else {
            "no movement across the panel".to_owned()
        };
        sheet.text(NOTE.right(), &note, (RIGHT, 18.0));
        let left = (WIDTH - width * per_mm) / 2.0;
        sheet.open("hs-end-view");
        for (i, leaf) in self.leaves.iter().enumerate() {
            let put = |p: Point| {
                let (a, w) = (self.put(flat[i], p, false), way(i, p));
                (
                    left + (a.0 + w.0) * per_mm,
                    base - (a.1 + factor * w.1) * per_mm,
                )
            };
            end_grain::draw(&sheet, &leaf.section, self.tone, per_mm, put);
            let face: Vec<Point> = rectangle(&leaf.section, 2);
            let marked_is_bark = leaf.marked_up == leaf.bark_up;
            let marked = if marked_is_bark {
                [face[2], face[3]]
            } else {
                [face[0], face[1]]
            };
            sheet.path(Ink::FreshFace, &marked.map(put));
            let middle = put((
                0.0,
                if leaf.bark_up {
                    leaf.section.thickness.mm()
                } else {
                    0.0
                },
            ));
            let room = leaf.section.width.mm() * per_mm - 6.0;
            sheet.text(
                TEXT.centred(),
                &fitted(&leaf.name, 12.5, false, room),
                (middle.0, 46.0),
            );
            let side = if leaf.bark_up { "bark up" } else { "heart up" };
            if NOTE.width(side) < room {
                sheet.text(NOTE.centred(), side, (middle.0, base + spread + 18.0));
            }
        }
        sheet.close();

        sheet.text(HEAD, "Edge view", (LEFT, edge_top + 14.0));
        sheet.text(NOTE.right(), &times_words(times), (RIGHT, edge_top + 14.0));
        let middle = edge_top + 74.0;
        let line = |rise: Length| {
            let px = rise.mm() * times * along.per_mm;
            traced(LEFT, RIGHT, move |share| middle - px * (arc(share) - 0.5))
        };
        sheet.open("hs-edge-view");
        strip(&sheet, self.tone, &line(self.rise), 10.0);
        for leaf in &self.leaves {
            sheet.path(Ink::Ghost, &line(leaf.rise));
        }
        sheet.close();
        let hand = Hand::new(
            if self.adds() {
                Ink::FaultLetter
            } else {
                Ink::TodayLetter
            },
            12.5,
        )
        .bold();
        sheet.text(hand, &self.verdict(), (LEFT, height - 12.0));
        sheet.text(
            TEXT.right(),
            &format!("bow {}", small(self.rise.abs(), system)),
            (RIGHT, height - 12.0),
        );

        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: format!("{} of the {}", capital(&self.figure), self.panel),
                reading: "Above, the panel from its end: the heavy line is each leaf\u{2019}s marked face. Below, from its edge: the dashes are the leaves by themselves, the wood is the glued panel.".to_owned(),
                description: format!(
                    "{} {} leaves, placed {}. The panel bows by {}, cups by {}; {}.",
                    self.panel,
                    self.leaves.len(),
                    self.leaves
                        .iter()
                        .map(|leaf| format!("{} {}", leaf.name, if leaf.bark_up { "bark up" } else { "heart up" }))
                        .collect::<Vec<_>>()
                        .join(", "),
                    small(self.rise.abs(), system),
                    small(self.cup.abs(), system),
                    self.verdict()
                ),
            },
            sheet,
            self.table(system),
        )
    }

    fn adds(&self) -> bool {
        self.force_factor > 1.0
    }

    fn verdict(&self) -> String {
        let factor = decimals(self.force_factor, 1);
        if self.adds() {
            format!("the bows add: {factor} times one leaf\u{2019}s force to hold it flat")
        } else {
            format!("the bows do not add: {factor} of one leaf\u{2019}s force to hold it flat")
        }
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        let face = |up: bool, yes: &str, no: &str| if up { yes } else { no }.to_owned();
        NumberTable {
            heads: [
                "Leaf",
                "Width",
                "Marked face",
                "Side up",
                "Bow in the panel, middle up",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows: self
                .leaves
                .iter()
                .map(|leaf| {
                    vec![
                        leaf.name.clone(),
                        length(leaf.section.width, system),
                        face(leaf.marked_up, "up", "down"),
                        face(leaf.bark_up, "bark", "heart"),
                        length(leaf.rise, system),
                    ]
                })
                .collect(),
        }
    }
}

fn unit(v: Point) -> Point {
    let long = v.0.hypot(v.1);
    if long > 1e-12 {
        (v.0 / long, v.1 / long)
    } else {
        (1.0, 0.0)
    }
}

/// A vector turned by an angle given as its cosine and sine.
fn spun(v: Point, (cos, sin): (f64, f64)) -> Point {
    (v.0 * cos - v.1 * sin, v.0 * sin + v.1 * cos)
}
