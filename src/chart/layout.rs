//! Where the labels go: beside their mark, inside the frame, not on one another, not on a curve.

/// A rectangle in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Frame {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Frame {
    pub(super) fn width(&self) -> f64 {
        self.right - self.left
    }

    pub(super) fn height(&self) -> f64 {
        self.bottom - self.top
    }

    fn overlap(&self, other: &Self) -> f64 {
        let across = self.right.min(other.right) - self.left.max(other.left);
        let down = self.bottom.min(other.bottom) - self.top.max(other.top);
        across.max(0.0) * down.max(0.0)
    }

    fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    fn outside(&self, frame: &Self) -> f64 {
        (frame.left - self.left).max(0.0)
            + (self.right - frame.right).max(0.0)
            + (frame.top - self.top).max(0.0)
            + (self.bottom - frame.bottom).max(0.0)
    }
}

/// How far from its point a label may be, pixels.
const GAPS: [f64; 5] = [7.0, 12.0, 20.0, 32.0, 48.0];
/// On which sides of its point: how far across and how far down.
const SIDES: [(f64, f64); 8] = [
    (0.0, -1.0),
    (0.0, 1.0),
    (0.75, -0.75),
    (-0.75, -0.75),
    (0.75, 0.75),
    (-0.75, 0.75),
    (1.0, 0.0),
    (-1.0, 0.0),
];

/// Keeps what is taken already.
pub(super) struct Layout {
    frame: Frame,
    labels: Vec<Frame>,
    curves: Vec<Frame>,
}

impl Layout {
    pub(super) fn new(frame: Frame) -> Self {
        Self {
            frame,
            labels: Vec::new(),
            curves: Vec::new(),
        }
    }

    /// Marks the rectangle of a label or a mark as taken.
    pub(super) fn take(&mut self, frame: Frame) {
        self.labels.push(frame);
    }

    /// Marks the neighbourhood of a curve: labels should rather not touch it.
    pub(super) fn take_curve(&mut self, points: &[(f64, f64)]) {
        self.curves.extend(beside(points));
    }

    /// Marks the neighbourhood of a heavy line as taken: no label is to be struck through by it.
    pub(super) fn take_rule(&mut self, points: &[(f64, f64)]) {
        self.labels.extend(beside(points));
    }

    /// By how much a rectangle is moved so that it is between the sides of the frame.
    fn slide(&self, frame: &Frame) -> f64 {
        (self.frame.left - frame.left).max(0.0) - (frame.right - self.frame.right).max(0.0)
    }

    /// A rectangle that also holds whatever of it is moved in between the sides of the frame.
    fn pushed_in(&self, frame: Frame) -> Frame {
        let width = frame.width();
        Frame {
            left: frame.left.min(self.frame.right - width),
            right: frame.right.max(self.frame.left + width),
            ..frame
        }
    }

    /// The best place for a label of a size that belongs to a point: the rectangle it will fill.
    /// Nearer is better, overlap is worse, outside the frame is worst. The first of equals wins, so the
    /// same input gives the same place.
    pub(super) fn place(&mut self, at: (f64, f64), width: f64, height: f64) -> Frame {
        // Only what is within reach of the farthest place can be overlapped.
        let reach = GAPS[GAPS.len() - 1];
        let near = self.pushed_in(Frame {
            left: at.0 - reach - width,
            top: at.1 - reach - height,
            right: at.0 + reach + width,
            bottom: at.1 + reach + height,
        });
        let within = |taken: &[Frame]| -> Vec<Frame> {
            let touched = taken.iter().filter(|taken| near.meets(taken));
            touched.copied().collect()
        };
        let (labels, curves) = (within(&self.labels), within(&self.curves));
        let mut best: Option<(f64, Frame)> = None;
        for gap in GAPS {
            if best.is_some_and(|(min, _)| gap * 0.5 >= min) {
                break;
            }
            for (across, down) in SIDES {
                let middle = (
                    at.0 + across * (gap + width / 2.0),
                    at.1 + down * (gap + height / 2.0),
                );
                let mut frame = Frame {
                    left: middle.0 - width / 2.0,
                    top: middle.1 - height / 2.0,
                    right: middle.0 + width / 2.0,
                    bottom: middle.1 + height / 2.0,
                };
                let slide = self.slide(&frame);
                frame.left += slide;
                frame.right += slide;
                let over =
                    |taken: &[Frame]| -> f64 { taken.iter().map(|t| frame.overlap(t)).sum() };
                let covered = 6.0 * over(&labels) + over(&curves);
                let cost =
                    covered + 40.0 * frame.outside(&self.frame) + gap * 0.5 + slide.abs() * 0.2;
                if best.is_none_or(|(min, _)| cost < min) {
                    best = Some((cost, frame));
                }
            }
        }
        let frame = best.map_or(self.frame, |(_, frame)| frame);
        // Air round the label, so that the next does not touch it.
        self.take(Frame {
            left: frame.left - 4.0,
            top: frame.top - 3.0,
            right: frame.right + 4.0,
            bottom: frame.bottom + 3.0,
        });
        frame
    }
}

/// Small squares along a line.
fn beside(points: &[(f64, f64)]) -> Vec<Frame> {
    let mut squares = Vec::new();
    for pair in points.windows(2) {
        let steps = (libm::hypot(pair[1].0 - pair[0].0, pair[1].1 - pair[0].1) / 6.0)
            .ceil()
            .clamp(1.0, 200.0);
        for i in 0..=steps as usize {
            let share = i as f64 / steps;
            let x = pair[0].0 + share * (pair[1].0 - pair[0].0);
            let y = pair[0].1 + share * (pair[1].1 - pair[0].1);
            squares.push(Frame {
                left: x - 2.0,
                top: y - 2.0,
                right: x + 2.0,
                bottom: y + 2.0,
            });
        }
    }
    squares
}
