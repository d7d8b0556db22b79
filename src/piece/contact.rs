//! Which boxes touch or reach into one another.

use super::cuboid::{Coordinate, Cuboid};
use super::limits::TOUCH;
use super::space::{BoxFace, SpaceAxis};
use crate::units::Length;

/// How two boxes meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meeting {
    /// Face on face, nothing reaches into anything.
    Touch,
    /// An end of one is inside the other.
    Enters,
    /// They cross: each runs through the other.
    Crosses,
    /// One is inside the other.
    Within,
}

/// Two bodies that meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Contact {
    /// The first body, the lower of the two indices.
    pub a: usize,
    /// The second body.
    pub b: usize,
    /// The face of `a` that meets `b`; the face of `b` that meets `a` is the opposite one.
    pub face: BoxFace,
    /// How they meet.
    pub meeting: Meeting,
    /// What they have in common: a box, flat along the axis of `face` where they only touch.
    pub shared: Cuboid,
    /// Which of the two has its whole cross section in the contact, as a shelf's end in a side; `None` where both or neither have.
    pub piece: Option<usize>,
}

impl Contact {
    /// How two boxes meet, if they do.
    #[must_use]
    pub fn between(a: usize, a_box: &Cuboid, b: usize, b_box: &Cuboid) -> Option<Self> {
        let overlap = SpaceAxis::ALL.map(|axis| a_box.overlap(b_box, axis));
        if overlap.iter().any(|size| -*size > TOUCH) {
            return None;
        }
        let flat: Vec<SpaceAxis> = SpaceAxis::ALL
            .into_iter()
            .filter(|axis| overlap[*axis as usize] <= TOUCH)
            .collect();
        let (axis, meeting) = match flat.as_slice() {
            [] => deepest(a_box, b_box, overlap),
            [axis] => (*axis, Meeting::Touch),
            // An edge or a corner: no face meets a face.
            _ => return None,
        };
        let face = if a_box.middle(axis) <= b_box.middle(axis) {
            axis.high()
        } else {
            axis.low()
        };
        let mut contact = Self {
            a,
            b,
            face,
            meeting,
            shared: a_box.shared(b_box),
            piece: None,
        };
        contact.piece = match (contact.is_all_of(a_box), contact.is_all_of(b_box)) {
            (true, false) => Some(a),
            (false, true) => Some(b),
            _ => None,
        };
        Some(contact)
    }

    /// The axis square to the faces that meet.
    #[must_use]
    pub const fn axis(&self) -> SpaceAxis {
        self.face.axis()
    }

    /// How far one reaches into the other; zero where they touch.
    #[must_use]
    pub fn depth(&self) -> Length {
        match self.meeting {
            Meeting::Touch => Length::ZERO,
            _ => self.shared.size(self.axis()).length(),
        }
    }

    /// The area that both cover, seen along the axis, mm2.
    #[must_use]
    pub fn area_mm2(&self) -> f64 {
        let [first, second] = self.axis().others();
        self.shared.size(first).mm() * self.shared.size(second).mm()
    }

    /// The other body of the two.
    #[must_use]
    pub const fn other(&self, body: usize) -> usize {
        if self.a == body { self.b } else { self.a }
    }

    /// Whether the body is one of the two.
    #[must_use]
    pub const fn has(&self, body: usize) -> bool {
        self.a == body || self.b == body
    }

    /// The face of one of the two that meets the other.
    #[must_use]
    pub const fn face_of(&self, body: usize) -> BoxFace {
        if self.a == body {
            self.face
        } else {
            self.face.opposite()
        }
    }

    /// How far the contact is from a face of a body, square to its axis: the wood beside a cut.
    #[must_use]
    pub fn edge_distance(&self, body: &Cuboid, face: BoxFace) -> Length {
        let between = body.face(face) - self.shared.face(face);
        if face.is_high() { between } else { -between }.length()
    }

    fn is_all_of(&self, body: &Cuboid) -> bool {
        self.axis()
            .others()
            .iter()
            .all(|axis| (body.size(*axis) - self.shared.size(*axis)).abs() <= TOUCH)
    }
}

/// The axis along which one of two overlapping boxes reaches into the other.
///
/// Where an end of one is inside the other, it is that end's axis, the shallowest of several. Where each runs through the
/// other, it is the axis of the notch. Where one is inside the other, it is the shallowest way out.
fn deepest(a: &Cuboid, b: &Cuboid, overlap: [Coordinate; 3]) -> (SpaceAxis, Meeting) {
    let side = |axis: SpaceAxis| {
        let low = (a.low(axis) - b.low(axis)).nanometres().signum();
        let high = (a.high(axis) - b.high(axis)).nanometres().signum();
        (low, high)
    };
    let shallowest = |axes: &[SpaceAxis]| {
        axes.iter()
            .copied()
            .min_by_key(|axis| overlap[*axis as usize])
    };
    let staggered: Vec<SpaceAxis> = SpaceAxis::ALL
        .into_iter()
        .filter(|axis| {
            let (low, high) = side(*axis);
            low * high > 0
        })
        .collect();
    if let Some(axis) = shallowest(&staggered) {
        return (axis, Meeting::Enters);
    }
    let longer = |axis: SpaceAxis| {
        let (low, high) = side(axis);
        (
            low <= 0 && high >= 0 && low != high,
            low >= 0 && high <= 0 && low != high,
        )
    };
    let a_through = SpaceAxis::ALL.iter().any(|axis| longer(*axis).0);
    let b_through = SpaceAxis::ALL.iter().any(|axis| longer(*axis).1);
    // Flush at one end and shorter at the other: an end inside after all, with a face in line.
    let one_end: Vec<SpaceAxis> = SpaceAxis::ALL
        .into_iter()
        .filter(|axis| {
            let (low, high) = side(*axis);
            (low == 0) != (high == 0)
        })
        .collect();
    if a_through && b_through {
        let notch: Vec<SpaceAxis> = SpaceAxis::ALL
            .into_iter()
            .filter(|axis| side(*axis) == (0, 0))
            .collect();
        if let Some(axis) = shallowest(&notch) {
            return (axis, Meeting::Crosses);
        }
        if let Some(axis) = shallowest(&one_end) {
            return (axis, Meeting::Crosses);
        }
    }
    let axis = shallowest(&one_end)
        .or_else(|| shallowest(&SpaceAxis::ALL))
        .unwrap_or(SpaceAxis::X);
    (axis, Meeting::Within)
}

/// Every pair of boxes that meets, ordered by the two indices.
///
/// A sweep along one axis with a list of the boxes it is inside of: its cost grows with the pairs that overlap on that axis,
/// and the axis is the one on which the fewest do.
#[must_use]
pub fn contacts(boxes: &[Cuboid]) -> Vec<Contact> {
    let axis = SpaceAxis::ALL
        .into_iter()
        .min_by_key(|axis| overlapping_pairs(boxes, *axis))
        .unwrap_or(SpaceAxis::X);
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by_key(|index| boxes[*index].low(axis));
    let mut inside: Vec<usize> = Vec::new();
    let mut found = Vec::new();
    for index in order {
        let start = boxes[index].low(axis) - TOUCH;
        inside.retain(|other| boxes[*other].high(axis) >= start);
        for &other in &inside {
            let (a, b) = (index.min(other), index.max(other));
            found.extend(Contact::between(a, &boxes[a], b, &boxes[b]));
        }
        inside.push(index);
    }
    found.sort_by_key(|contact: &Contact| (contact.a, contact.b));
    found
}

/// How many pairs of boxes overlap on an axis.
fn overlapping_pairs(boxes: &[Cuboid], axis: SpaceAxis) -> usize {
    let mut lows: Vec<Coordinate> = boxes.iter().map(|one| one.low(axis)).collect();
    let mut highs: Vec<Coordinate> = boxes.iter().map(|one| one.high(axis)).collect();
    lows.sort_unstable();
    highs.sort_unstable();
    let mut ended = 0;
    let mut pairs = 0;
    for (begun, low) in lows.iter().enumerate() {
        while highs.get(ended).is_some_and(|high| *high + TOUCH < *low) {
            ended += 1;
        }
        pairs += begun - ended.min(begun);
    }
    pairs
}
