//! The frame of a case, built from the boxes of its piece.

use super::turning::{BondQuality, TurningStiffness};
use super::{Frame, FreeShape, Joint, Member, Rest};
use crate::piece::{BoxFace, Contact, Piece, SpaceAxis};

/// Standard gravity, m/s2.
const GRAVITY: f64 = 9.806_65;
/// A joint nearer to the end of a board than so many of its thicknesses is a corner.
const CORNER_THICKNESSES: f64 = 2.0;
/// Places at which a shape is read when a board is longer than its part of the frame.
const READINGS: usize = 9;

/// What a body of the piece is made of, and how it lies when free.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseBoard {
    /// Stiffness along the grain.
    pub modulus_mpa: f64,
    /// Modulus of its face under the end of another.
    pub face_modulus_mpa: f64,
    /// Weight for its volume.
    pub density_kg_per_m3: f64,
    /// What it carries, downward.
    pub load_n_per_mm: f64,
    /// Its free shape from its left or lower end.
    pub shape: Option<FreeShape>,
}

/// How two bodies are held to one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// Glued in a housing, on tenons or on dowels.
    Glued,
    /// Screwed, or screwed and glued.
    Screwed,
    /// Set in dry, or only touching.
    Dry,
}

impl Hold {
    /// The usual range of its quality.
    #[must_use]
    pub const fn quality(self) -> BondQuality {
        match self {
            Self::Glued => BondQuality::GLUED,
            Self::Screwed => BondQuality::SCREWED,
            Self::Dry => BondQuality::DRY,
        }
    }
}

/// Two bodies that are joined.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyJoint {
    /// The two bodies.
    pub bodies: [usize; 2],
    /// How.
    pub hold: Hold,
    /// What was measured of it.
    pub measured: Option<MeasuredBond>,
}

/// What a maker measured of a bond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeasuredBond {
    /// Its quality: 0 turns freely, 1 is a perfect bond.
    Quality(f64),
    /// The stiffness against turning of an arm joined as an L to an off-cut, N mm a radian for each mm of the arm's width.
    Corner(f64),
}

impl MeasuredBond {
    /// The quality, for a joint of these sizes; a perfect bond where a test shows more.
    #[must_use]
    pub fn quality(self, joint: TurningStiffness) -> f64 {
        match self {
            Self::Quality(q) => q,
            Self::Corner(stiffness) => {
                let perfect = TurningStiffness {
                    corner: true,
                    ..joint
                }
                .n_mm_per_radian(1.0);
                (stiffness * joint.width_mm / perfect).min(BondQuality::GLUED.high)
            }
        }
    }
}

/// A joint of the frame and the bodies it joins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CaseJoint {
    /// The body whose end it is.
    pub piece: usize,
    /// The body it enters.
    pub into: usize,
    /// How it is held.
    pub hold: Hold,
    /// From the poorest to the best bond.
    pub quality: BondQuality,
    /// What its stiffness against turning follows from.
    pub turning: TurningStiffness,
}

/// How good the bonds are taken to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bonds {
    /// Poor.
    Low,
    /// Usual.
    Usual,
    /// Perfect.
    High,
    /// No bond keeps a joint from turning.
    Hinged,
}

/// The frame of a case.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseFrame {
    /// Boards, joints and rests, the bonds as usual.
    pub frame: Frame,
    /// The body of each member.
    pub bodies: Vec<usize>,
    /// The joints, in the order of the frame's.
    pub joints: Vec<CaseJoint>,
    /// What a maker should know of it.
    pub notes: Vec<String>,
}

/// Whether a body is a board of the front's plane, and whether it runs up.
fn runs_up(piece: &Piece, body: usize) -> Option<bool> {
    let turned = piece.bodies[body].orientation;
    match (turned.length(), turned.thickness()) {
        (SpaceAxis::X, SpaceAxis::Z) => Some(false),
        (SpaceAxis::Z, SpaceAxis::X) => Some(true),
        _ => None,
    }
}

/// The body whose end is at a contact of two boards of the frame, and the one it enters.
fn end_and_host(piece: &Piece, contact: &Contact) -> Option<[usize; 2]> {
    let ends = |body: usize| piece.bodies[body].orientation.length() == contact.axis();
    match (ends(contact.a), ends(contact.b)) {
        (true, false) => Some([contact.a, contact.b]),
        (false, true) => Some([contact.b, contact.a]),
        _ => None,
    }
}

impl CaseFrame {
    /// The frame of the boards that lie or stand square to the front: those of a group, of the back and of the base are left out. `boards`
    /// gives each body's wood, `None` for one that is left out. `None` when fewer than two boards hold one another.
    #[must_use]
    pub fn of(piece: &Piece, boards: &[Option<CaseBoard>], joined: &[BodyJoint]) -> Option<Self> {
        let up: Vec<Option<bool>> = (0..piece.bodies.len())
            .map(|body| {
                boards.get(body)?.as_ref()?;
                piece.bodies[body].group.is_none().then_some(())?;
                runs_up(piece, body)
            })
            .collect();
        let mut found: Vec<(CaseJoint, BoxFace)> = Vec::new();
        for contact in &piece.contacts {
            if contact.axis() == SpaceAxis::Y || up[contact.a].is_none() || up[contact.b].is_none()
            {
                continue;
            }
            let Some([end, host]) = end_and_host(piece, contact) else {
                continue;
            };
            let Some(host_board) = &boards[host] else {
                continue;
            };
            let known = joined
                .iter()
                .find(|joint| joint.bodies == [end, host] || joint.bodies == [host, end]);
            let hold = known.map_or(Hold::Dry, |joint| joint.hold);
            let measured = known.and_then(|joint| joint.measured);
            let at = contact
                .shared
                .middle(piece.bodies[host].orientation.length());
            let along = piece.bodies[host].orientation.length();
            let host_box = &piece.bodies[host].cuboid;
            let [_, _, thickness] = piece.bodies[end].sizes();
            let [_, _, into_thickness] = piece.bodies[host].sizes();
            let from_end = (at - host_box.low(along))
                .min(host_box.high(along) - at)
                .mm();
            let turning = TurningStiffness {
                face_modulus_mpa: host_board.face_modulus_mpa,
                width_mm: contact.shared.size(SpaceAxis::Y).mm(),
                thickness_mm: thickness.mm(),
                into_thickness_mm: into_thickness.mm(),
                depth_mm: contact.depth().mm(),
                corner: from_end < CORNER_THICKNESSES * into_thickness.mm(),
            };
            found.push((
                CaseJoint {
                    piece: end,
                    into: host,
                    hold,
                    quality: measured.map_or_else(
                        || hold.quality(),
                        |bond| BondQuality::measured(bond.quality(turning)),
                    ),
                    turning,
                },
                contact.face_of(end),
            ));
        }
        let taken: Vec<usize> = (0..piece.bodies.len())
            .filter(|body| {
                found
                    .iter()
                    .any(|(joint, _)| joint.piece == *body || joint.into == *body)
            })
            .collect();
        if taken.len() < 2 {
            return None;
        }
        let mut case = Self {
            frame: Frame::default(),
            bodies: taken,
            joints: Vec::new(),
            notes: Vec::new(),
        };
        for index in 0..case.bodies.len() {
            let body = case.bodies[index];
            let member = member(piece, body, boards[body].as_ref()?, &found);
            case.frame.members.push(member);
        }
        for (joint, face) in &found {
            case.add(*joint, *face);
        }
        case.rest(piece);
        case.note_grain(piece, boards);
        Some(case)
    }

    fn member_of(&self, body: usize) -> Option<usize> {
        self.bodies.iter().position(|other| *other == body)
    }

    fn add(&mut self, joint: CaseJoint, face: BoxFace) {
        let (Some(piece), Some(into)) = (self.member_of(joint.piece), self.member_of(joint.into))
        else {
            return;
        };
        let at_end = face.is_high();
        let end = &self.frame.members[piece];
        let place = if at_end { end.end_mm } else { end.start_mm };
        let into_at_mm = self.frame.members[into].place_of(place);
        let held = Joint::rigid(piece, at_end, into, into_at_mm);
        self.frame.joints.push(if joint.hold == Hold::Dry {
            held.dry()
        } else {
            held.with_turning(joint.turning.n_mm_per_radian(joint.quality.usual))
        });
        self.joints.push(joint);
    }

    /// The frame with its bonds taken poorer or better than usual; dry joints stay as they are.
    #[must_use]
    pub fn with_bonds(&self, bonds: Bonds) -> Frame {
        let mut frame = self.frame.clone();
        for (joint, case) in frame.joints.iter_mut().zip(&self.joints) {
            if case.hold == Hold::Dry {
                continue;
            }
            let q = match bonds {
                Bonds::Low => case.quality.low,
                Bonds::Usual => case.quality.usual,
                Bonds::High => case.quality.high,
                Bonds::Hinged => 0.0,
            };
            *joint = joint.with_turning(case.turning.n_mm_per_radian(q));
        }
        frame
    }

    /// The two outermost places at which the frame is lowest carry it; a back that is fastened keeps the top from swaying.
    fn rest(&mut self, piece: &Piece) {
        let lowest = |member: &Member| member.start_mm[1].min(member.end_mm[1]);
        let floor = self
            .frame
            .members
            .iter()
            .map(lowest)
            .fold(f64::INFINITY, f64::min);
        let mut places: Vec<(usize, f64, f64)> = Vec::new();
        for (index, member) in self.frame.members.iter().enumerate() {
            if lowest(member) > floor + 0.5 {
                continue;
            }
            let length = member.length_mm();
            places.push((index, 0.0, member.start_mm[0]));
            if (member.start_mm[1] - member.end_mm[1]).abs() < 0.5 {
                places.push((index, length, member.end_mm[0]));
            }
        }
        places.sort_by(|a, b| a.2.total_cmp(&b.2));
        if let (Some(first), Some(last)) = (places.first(), places.last()) {
            self.frame.rests.push(Rest {
                member: first.0,
                at_mm: first.1,
                x: true,
                y: true,
            });
            self.frame.rests.push(Rest {
                member: last.0,
                at_mm: last.1,
                x: false,
                y: true,
            });
        }
        let has_back = piece.bodies.iter().enumerate().any(|(body, one)| {
            one.group.is_none()
                && one.orientation.thickness() == SpaceAxis::Y
                && piece
                    .contacts_of(body)
                    .filter(|contact| self.member_of(contact.other(body)).is_some())
                    .count()
                    >= 3
        });
        let top = self
            .frame
            .joints
            .iter()
            .max_by(|a, b| {
                let height = |joint: &Joint| {
                    let member = &self.frame.members[joint.piece];
                    if joint.at_end {
                        member.end_mm[1]
                    } else {
                        member.start_mm[1]
                    }
                };
                height(a).total_cmp(&height(b))
            })
            .copied();
        if let (true, Some(top)) = (has_back, top) {
            let at_mm = if top.at_end {
                self.frame.members[top.piece].length_mm()
            } else {
                0.0
            };
            self.frame.rests.push(Rest {
                member: top.piece,
                at_mm,
                x: true,
                y: false,
            });
        }
    }

    fn note_grain(&mut self, piece: &Piece, boards: &[Option<CaseBoard>]) {
        for (body, one) in piece.bodies.iter().enumerate() {
            let turned = one.orientation;
            let askew = turned.thickness() == SpaceAxis::X && turned.length() == SpaceAxis::Y;
            if askew && one.group.is_none() && boards.get(body).is_some_and(Option::is_some) {
                self.notes.push(format!(
                    "{}: its grain runs from front to back, so that its height moves with the seasons; let the grain of a divider run up",
                    one.name
                ));
            }
        }
    }
}

/// A body as a member: its centre line, drawn on to the centre lines of what its ends enter.
fn member(
    piece: &Piece,
    body: usize,
    board: &CaseBoard,
    joints: &[(CaseJoint, BoxFace)],
) -> Member {
    let one = &piece.bodies[body];
    let along = one.orientation.length();
    let across = if along == SpaceAxis::X {
        SpaceAxis::Z
    } else {
        SpaceAxis::X
    };
    let (low, high) = (one.cuboid.low(along).mm(), one.cuboid.high(along).mm());
    let end_at = |face: BoxFace, own: f64| {
        joints
            .iter()
            .find(|(joint, side)| joint.piece == body && *side == face)
            .map_or(own, |(joint, _)| {
                piece.bodies[joint.into].cuboid.middle(along).mm()
            })
    };
    let (from, to) = (end_at(along.low(), low), end_at(along.high(), high));
    let line = one.cuboid.middle(across).mm();
    let point = |at: f64| {
        if along == SpaceAxis::X {
            [at, line]
        } else {
            [line, at]
        }
    };
    let [_, width, thickness] = one.sizes();
    let length = to - from;
    let shape = board.shape.as_ref().map_or_else(
        || FreeShape::bow(0.0, length),
        |shape| shape.between(from - low, to - low, READINGS),
    );
    let area_m2 = width.mm() * thickness.mm() * 1e-6;
    Member {
        start_mm: point(from),
        end_mm: point(to),
        width_mm: width.mm(),
        thickness_mm: thickness.mm(),
        modulus_mpa: board.modulus_mpa,
        shape,
        season_per_mm: 0.0,
        weight_n_per_mm: board.density_kg_per_m3 * area_m2 * GRAVITY * 1e-3,
        load_n_per_mm: board.load_n_per_mm,
    }
}
