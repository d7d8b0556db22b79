//! The arrangements that the trade's joints come in, as blocks of wood, voids, glue and marks.

use super::along::TEXT;
use super::end_grain::WoodTone;
use super::ink::Ink;
use super::joint_drawing::letter;
use super::layout::Frame;
use super::sheet::{Point, Sheet, TextStyle};
use crate::joint::{Hold, Scheme};
use crate::units::Length;

/// What a scene is drawn with.
pub(super) struct Pen<'a> {
    pub(super) sheet: &'a Sheet,
    pub(super) into: WoodTone,
    pub(super) piece: WoodTone,
}

#[derive(Clone, Copy, PartialEq)]
enum Who {
    Host,
    Guest,
}

#[derive(Clone, Copy)]
enum Grain {
    Right,
    Up,
    /// Seen on its end.
    End,
}

/// A scene: what is drawn, in order, and where its gaps are.
pub(super) struct Scene {
    blocks: Vec<(Who, Frame, Grain)>,
    voids: Vec<Frame>,
    /// Blocks that lie over the voids.
    over: Vec<(Who, Frame, Grain)>,
    glue: Vec<[Point; 2]>,
    held: Vec<Point>,
    pins: Vec<Point>,
    /// For each gap the place of the gap and of its letter.
    gaps: Vec<[Point; 2]>,
    names: [Point; 2],
}

const fn frame(left: f64, top: f64, right: f64, bottom: f64) -> Frame {
    Frame {
        left,
        top,
        right,
        bottom,
    }
}

impl Scene {
    const fn empty(names: [Point; 2]) -> Self {
        Self {
            blocks: Vec::new(),
            voids: Vec::new(),
            over: Vec::new(),
            glue: Vec::new(),
            held: Vec::new(),
            pins: Vec::new(),
            gaps: Vec::new(),
            names,
        }
    }

    /// The scene of an arrangement with so many gaps.
    pub(super) fn of(scheme: &Scheme, hold: Hold, gaps: usize) -> Self {
        match scheme {
            Scheme::Channel => Self::channel(hold),
            Scheme::Mortise => Self::mortise(hold),
            Scheme::Slide => Self::slide(hold),
            Scheme::Grooves => Self::between(hold, Some(frame(0.0, 95.0, 34.0, 137.0))),
            Scheme::Rabbets => Self::between(hold, Some(frame(0.0, 60.0, 34.0, 102.0))),
            Scheme::Opening if hold == Hold::Below => Self::standing(),
            Scheme::Opening => Self::between(hold, None),
            Scheme::Over { count } => Self::over(hold, *count),
            Scheme::Row => Self::row(),
            Scheme::Travel {
                places,
                fixed,
                width,
            } => Self::travel(places, *fixed, *width, gaps),
            Scheme::Under => Self::under(),
            Scheme::Button => Self::button(),
            Scheme::Front => Self::front(),
            Scheme::Crossing => Self::crossing(hold),
            Scheme::Rim { along_grain } => Self::rim(*along_grain),
        }
    }

    fn channel(hold: Hold) -> Self {
        let mut scene = Self::empty([(180.0, 180.0), (300.0, 60.0)]);
        scene.blocks = vec![(Who::Host, frame(110.0, 120.0, 490.0, 196.0), Grain::Right)];
        scene.voids = vec![frame(254.0, 119.0, 346.0, 164.0)];
        scene.over = vec![(Who::Guest, frame(264.0, 36.0, 336.0, 158.0), Grain::Up)];
        if matches!(hold, Hold::Glue | Hold::Spot) {
            scene.glue = vec![
                [(264.0, 122.0), (264.0, 158.0)],
                [(336.0, 122.0), (336.0, 158.0)],
            ];
        }
        scene.gaps = vec![
            [(259.0, 132.0), (215.0, 92.0)],
            [(341.0, 132.0), (385.0, 92.0)],
        ];
        scene
    }

    /// Looking into the mortised surface, the tenon cut off.
    fn mortise(hold: Hold) -> Self {
        let mut scene = Self::empty([(130.0, 176.0), (300.0, 118.0)]);
        scene.blocks = vec![(Who::Host, frame(60.0, 50.0, 540.0, 192.0), Grain::Right)];
        scene.voids = vec![frame(180.0, 92.0, 420.0, 144.0)];
        scene.over = vec![(Who::Guest, frame(190.0, 98.0, 410.0, 138.0), Grain::End)];
        if hold == Hold::Glue {
            scene.glue = vec![
                [(190.0, 97.0), (410.0, 97.0)],
                [(190.0, 139.0), (410.0, 139.0)],
            ];
        }
        scene.gaps = vec![
            [(240.0, 95.0), (220.0, 34.0)],
            [(415.0, 118.0), (470.0, 34.0)],
        ];
        scene
    }

    /// Looking at the face, the piece in its channel, its free end to the right.
    fn slide(hold: Hold) -> Self {
        let mut scene = Self::empty([(150.0, 60.0), (240.0, 118.0)]);
        scene.blocks = vec![(Who::Host, frame(60.0, 36.0, 540.0, 192.0), Grain::Up)];
        scene.voids = vec![frame(60.0, 92.0, 540.0, 144.0)];
        scene.over = vec![(Who::Guest, frame(60.0, 97.0, 510.0, 139.0), Grain::Right)];
        let glued_to = if hold == Hold::Glue { 510.0 } else { 130.0 };
        scene.glue = vec![
            [(60.0, 95.0), (glued_to, 95.0)],
            [(60.0, 141.0), (glued_to, 141.0)],
        ];
        scene.gaps = vec![
            [(525.0, 118.0), (572.0, 70.0)],
            [(400.0, 94.5), (430.0, 60.0)],
        ];
        scene
    }

    /// A part between two edges; `cut` is the groove or step, measured from the inner edge outward.
    fn between(hold: Hold, cut: Option<Frame>) -> Self {
        let mut scene = Self::empty([(95.0, 184.0), (330.0, 0.0)]);
        scene.blocks = vec![
            (Who::Host, frame(50.0, 60.0, 150.0, 170.0), Grain::End),
            (Who::Host, frame(450.0, 60.0, 550.0, 170.0), Grain::End),
        ];
        let (left, right, top, bottom) = match cut {
            Some(cut) => {
                scene.voids = vec![
                    frame(150.0 - cut.right, cut.top, 151.0, cut.bottom),
                    frame(449.0, cut.top, 450.0 + cut.right, cut.bottom),
                ];
                (130.0, 470.0, cut.top + 3.0, cut.bottom - 3.0)
            }
            None => (164.0, 436.0, 64.0, 166.0),
        };
        let middle = (top + bottom) / 2.0;
        let left = if hold == Hold::Edge && cut.is_some() {
            117.0
        } else {
            left
        };
        scene.over = vec![(Who::Guest, frame(left, top, right, bottom), Grain::End)];
        let outer = |inner: f64, sign: f64| {
            let edge = cut.map_or(inner, |cut| inner + sign * cut.right);
            [
                ((edge + if sign < 0.0 { left } else { right }) / 2.0, middle),
                (inner + sign * 50.0, 40.0),
            ]
        };
        if hold == Hold::Edge {
            scene.held = vec![(left + 8.0, middle)];
            scene.gaps = vec![outer(450.0, 1.0)];
        } else {
            scene.held = vec![(300.0, middle)];
            scene.gaps = vec![outer(450.0, 1.0), outer(150.0, -1.0)];
        }
        scene.names[1].1 = middle;
        scene
    }

    fn standing() -> Self {
        let mut scene = Self::empty([(500.0, 125.0), (300.0, 130.0)]);
        scene.blocks = vec![
            (Who::Host, frame(470.0, 34.0, 530.0, 196.0), Grain::Up),
            (Who::Host, frame(110.0, 34.0, 470.0, 54.0), Grain::Right),
            (Who::Host, frame(110.0, 180.0, 470.0, 196.0), Grain::Right),
        ];
        scene.over = vec![(Who::Guest, frame(120.0, 72.0, 460.0, 179.0), Grain::Right)];
        scene.held = vec![(300.0, 178.0)];
        scene.gaps = vec![[(220.0, 63.0), (60.0, 63.0)]];
        scene
    }

    fn over(hold: Hold, count: usize) -> Self {
        let count = count.clamp(1, 5);
        let mut scene = Self::empty([(300.0, 178.0), (0.0, 92.0)]);
        scene.blocks = vec![(Who::Host, frame(50.0, 126.0, 550.0, 196.0), Grain::Right)];
        let step = 500.0 / count as f64;
        for door in 0..count {
            let left = 50.0 + step * door as f64 + 7.0;
            let right = left + step - 14.0;
            scene
                .over
                .push((Who::Guest, frame(left, 64.0, right, 124.0), Grain::End));
            let x = match (hold, door) {
                (Hold::Edge, 0) => left + 8.0,
                (Hold::Edge, _) => right - 8.0,
                _ => (left + right) / 2.0,
            };
            scene.held.push((x, 112.0));
        }
        let gap = if count == 1 { 543.0 } else { 50.0 + step };
        scene.gaps = vec![[(gap, 90.0), (gap, 42.0)]];
        scene.names[1].0 = 50.0 + step / 2.0;
        scene
    }

    fn row() -> Self {
        let mut scene = Self::empty([(120.0, 178.0), (130.0, 112.0)]);
        scene.blocks = vec![(Who::Host, frame(50.0, 150.0, 550.0, 196.0), Grain::Right)];
        for board in 0..3 {
            let left = 55.0 + 166.0 * f64::from(board);
            let right = left + 150.0;
            scene
                .over
                .push((Who::Guest, frame(left, 80.0, right, 148.0), Grain::End));
            if board < 2 {
                scene.over.push((
                    Who::Guest,
                    frame(right, 104.0, right + 30.0, 124.0),
                    Grain::End,
                ));
            }
            scene.held.push(((left + right) / 2.0, 138.0));
        }
        scene.gaps = vec![[(213.0, 90.0), (213.0, 52.0)]];
        scene
    }

    fn travel(places: &[Length], fixed: Length, width: Length, gaps: usize) -> Self {
        let mut scene = Self::empty([(300.0, 206.0), (300.0, 50.0)]);
        scene.blocks = vec![
            (Who::Guest, frame(60.0, 34.0, 540.0, 192.0), Grain::Up),
            (Who::Host, frame(50.0, 94.0, 550.0, 144.0), Grain::Right),
        ];
        scene.names[0] = (300.0, 136.0);
        let x = |place: Length| 60.0 + 480.0 * (place.mm() / width.mm().max(1e-6)).clamp(0.0, 1.0);
        let travels: Vec<f64> = places
            .iter()
            .filter(|place| (**place - fixed).abs().mm() >= 0.5)
            .map(|place| x(*place))
            .collect();
        for _ in 2 * travels.len()..gaps {
            scene.gaps.push([(550.0, 119.0), (576.0, 60.0)]);
        }
        let half = (240.0 / travels.len().max(1) as f64).clamp(8.0, 24.0);
        for at in travels {
            scene.voids.push(frame(at - half, 108.0, at + half, 122.0));
            scene.pins.push((at, 115.0));
            let away = if at < x(fixed) { -1.0 } else { 1.0 };
            scene.gaps.push([
                (at + away * half * 0.7, 115.0),
                (at + away * half * 0.9, 72.0),
            ]);
            scene.gaps.push([
                (at - away * half * 0.7, 115.0),
                (at - away * half * 0.9, 72.0),
            ]);
        }
        scene.held = vec![(x(fixed), 115.0)];
        scene
    }

    fn under() -> Self {
        let mut scene = Self::empty([(440.0, 46.0), (250.0, 168.0)]);
        scene.blocks = vec![
            (Who::Host, frame(60.0, 50.0, 104.0, 194.0), Grain::End),
            (Who::Host, frame(410.0, 56.0, 470.0, 152.0), Grain::Up),
        ];
        scene.voids = vec![
            frame(88.0, 154.0, 105.0, 184.0),
            frame(424.0, 156.0, 456.0, 182.0),
        ];
        scene.over = vec![
            (Who::Guest, frame(90.0, 156.0, 422.0, 182.0), Grain::End),
            (Who::Guest, frame(458.0, 156.0, 464.0, 182.0), Grain::End),
        ];
        scene.held = vec![(97.0, 169.0)];
        scene.pins = vec![(440.0, 169.0)];
        scene.gaps = vec![
            [(467.0, 169.0), (520.0, 140.0)],
            [(452.0, 169.0), (510.0, 192.0)],
            [(428.0, 169.0), (372.0, 124.0)],
        ];
        scene
    }

    fn button() -> Self {
        let mut scene = Self::empty([(90.0, 150.0), (420.0, 56.0)]);
        scene.blocks = vec![
            (Who::Guest, frame(60.0, 34.0, 540.0, 78.0), Grain::End),
            (Who::Host, frame(120.0, 80.0, 190.0, 196.0), Grain::End),
        ];
        scene.voids = vec![frame(150.0, 108.0, 191.0, 132.0)];
        scene.over = vec![
            (Who::Guest, frame(206.0, 80.0, 330.0, 132.0), Grain::Right),
            (Who::Guest, frame(162.0, 110.0, 206.0, 130.0), Grain::Right),
        ];
        scene.pins = vec![(270.0, 106.0)];
        scene.gaps = vec![[(198.0, 94.0), (240.0, 160.0)]];
        scene.names[0] = (155.0, 172.0);
        scene
    }

    fn front() -> Self {
        let mut scene = Self::empty([(200.0, 62.0), (470.0, 178.0)]);
        scene.blocks = vec![(Who::Host, frame(60.0, 44.0, 500.0, 190.0), Grain::Up)];
        scene.over = vec![
            (Who::Guest, frame(160.0, 112.0, 440.0, 126.0), Grain::Right),
            (Who::Guest, frame(440.0, 76.0, 486.0, 160.0), Grain::End),
        ];
        scene.held = vec![(160.0, 119.0)];
        scene.gaps = vec![[(493.0, 100.0), (545.0, 70.0)]];
        scene.names[1] = (400.0, 150.0);
        scene
    }

    fn crossing(hold: Hold) -> Self {
        let mut scene = Self::empty([(300.0, 76.0), (300.0, 146.0)]);
        scene.blocks = vec![
            (Who::Host, frame(60.0, 50.0, 540.0, 106.0), Grain::Right),
            (Who::Guest, frame(50.0, 110.0, 550.0, 180.0), Grain::End),
        ];
        match hold {
            Hold::Glue => scene.glue = vec![[(60.0, 108.0), (540.0, 108.0)]],
            Hold::Dry => scene.held = vec![(300.0, 108.0)],
            _ => scene.glue = vec![[(230.0, 108.0), (370.0, 108.0)]],
        }
        scene
    }

    fn rim(along_grain: bool) -> Self {
        let mut scene = Self::empty([(300.0, 96.0), (300.0, 180.0)]);
        let grain = if along_grain { Grain::Right } else { Grain::Up };
        scene.blocks = vec![
            (Who::Host, frame(60.0, 36.0, 540.0, 160.0), grain),
            (Who::Guest, frame(60.0, 164.0, 540.0, 196.0), Grain::Right),
        ];
        scene.glue = vec![[(60.0, 162.0), (540.0, 162.0)]];
        scene
    }

    /// Draws the scene and names its two parts.
    pub(super) fn draw(&self, pen: &Pen<'_>, [into, piece]: [&str; 2], gaps: usize) {
        for (who, frame, grain) in &self.blocks {
            pen.wood(*who, *frame, *grain);
        }
        for hole in &self.voids {
            pen.sheet.block(Ink::Paper, *hole);
            pen.sheet.ring(Ink::Outline, &corners(*hole));
        }
        for (who, frame, grain) in &self.over {
            pen.wood(*who, *frame, *grain);
        }
        for line in &self.glue {
            pen.sheet.path(Ink::Limit, line);
        }
        for pin in &self.pins {
            pen.sheet.dot(Ink::Metal, *pin, 5.5);
        }
        for held in &self.held {
            pen.sheet.dot(Ink::Metal, *held, 6.0);
            let (x, y) = *held;
            pen.sheet
                .path(Ink::Outline, &[(x - 3.5, y - 3.5), (x + 3.5, y + 3.5)]);
            pen.sheet
                .path(Ink::Outline, &[(x - 3.5, y + 3.5), (x + 3.5, y - 3.5)]);
        }
        // One gap shown on both sides carries one letter.
        for (index, [at, label]) in self.gaps.iter().enumerate() {
            let index = index.min(gaps.saturating_sub(1));
            pen.sheet.path(Ink::Dimension, &[*label, *at]);
            pen.sheet.dot(Ink::Arrow, *at, 2.0);
            pen.sheet.dot(Ink::TodayMark, *label, 9.0);
            let hand = TextStyle::new(Ink::TodayLetter, 11.5)
                .bold()
                .centred()
                .level();
            pen.sheet.text(hand, &letter(index), *label);
        }
        for (name, at) in [into, piece].into_iter().zip(self.names) {
            // A name on top of the mark that shows where the piece is held goes to its right.
            let half = TEXT.width(name) / 2.0 + 4.0;
            let covered = self
                .held
                .iter()
                .find(|(x, y)| (x - at.0).abs() < half + 8.0 && (y - at.1).abs() < 17.0);
            pen.name(name, covered.map_or(at, |(x, _)| (x + half + 14.0, at.1)));
        }
    }
}

fn corners(frame: Frame) -> [Point; 4] {
    [
        (frame.left, frame.top),
        (frame.right, frame.top),
        (frame.right, frame.bottom),
        (frame.left, frame.bottom),
    ]
}

impl Pen<'_> {
    fn wood(&self, who: Who, frame: Frame, grain: Grain) {
        let tone = if who == Who::Host {
            self.into
        } else {
            self.piece
        };
        self.sheet.open(if who == Who::Host {
            "hs-opening"
        } else {
            "hs-part"
        });
        self.sheet.block(tone.wood(), frame);
        let lines = |extent: f64| ((extent / 11.0) as usize).clamp(1, 40);
        match grain {
            Grain::Right => {
                let count = lines(frame.height());
                for line in 1..=count {
                    let y = frame.top + frame.height() * line as f64 / (count + 1) as f64;
                    self.sheet.path(
                        tone.ring(),
                        &[(frame.left + 1.5, y), (frame.right - 1.5, y)],
                    );
                }
            }
            Grain::Up => {
                let count = lines(frame.width());
                for line in 1..=count {
                    let x = frame.left + frame.width() * line as f64 / (count + 1) as f64;
                    self.sheet.path(
                        tone.ring(),
                        &[(x, frame.top + 1.5), (x, frame.bottom - 1.5)],
                    );
                }
            }
            Grain::End => {
                // Shallow arcs, as of a flat-sawn board.
                let count = lines(frame.height());
                for line in 1..=count {
                    let base =
                        frame.top + frame.height() * (line as f64 + 0.25) / (count + 1) as f64;
                    let rise = (frame.height() / 8.0).min(6.0);
                    let arc: Vec<Point> = (0..=12)
                        .map(|step| {
                            let s = f64::from(step) / 12.0;
                            let x = frame.left + 1.5 + (frame.width() - 3.0) * s;
                            (x, base - 4.0 * rise * s * (1.0 - s))
                        })
                        .filter(|point| point.1 > frame.top + 1.0)
                        .collect();
                    self.sheet.path(tone.ring(), &arc);
                }
            }
        }
        self.sheet.ring(Ink::Outline, &corners(frame));
        self.sheet.close();
    }

    /// A name on a slip of paper, so that it can be read on any wood.
    fn name(&self, name: &str, at: Point) {
        let half = TEXT.width(name) / 2.0 + 4.0;
        let x = at.0.clamp(half + 2.0, super::along::WIDTH - half - 2.0);
        self.sheet.block(
            Ink::Paper,
            frame(x - half, at.1 - 9.0, x + half, at.1 + 9.0),
        );
        self.sheet.text(TEXT.centred().level(), name, (x, at.1));
    }
}
