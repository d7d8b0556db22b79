//! A piece with every body in its place.

use super::chain::Chain;
use super::contact::Contact;
use super::cuboid::{Coordinate, Cuboid};
use super::opening::Opening;
use super::orientation::Orientation;
use super::space::BoxFace;
use crate::units::Length;

/// One board of the piece in its place: a part, a copy of one, or a part of a group's copy.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Its name, unique in the piece.
    pub name: String,
    /// The plan it was made from, by its place among them.
    pub plan: usize,
    /// The part it is one of: that of its plan, unless it has a moisture of its own and so became a part of its own.
    pub part: usize,
    /// Which of the part's copies it is.
    pub copy: usize,
    /// The group that it belongs to, by its place in [`Piece::groups`].
    pub group: Option<usize>,
    /// Its box; a tapered or shaped part is taken as the box around it.
    pub cuboid: Cuboid,
    /// How it is turned.
    pub orientation: Orientation,
    /// The size as cut on an axis of the piece, where it is given and differs from the distance between its faces.
    pub cut: [Option<Coordinate>; 3],
    /// The face where its own bark side is, where it is not that of its part.
    pub bark: Option<BoxFace>,
    /// The end from which its own rings were read, where it is not that of its part.
    pub rings_from: Option<BoxFace>,
    /// Its thickness at the low and at the high end of its length, where it was flattened and they differ.
    pub thickness_from_to: Option<[Length; 2]>,
}

impl Body {
    /// Its length, width and thickness between its faces.
    #[must_use]
    pub fn sizes(&self) -> [Length; 3] {
        [
            self.orientation.length(),
            self.orientation.width(),
            self.orientation.thickness(),
        ]
        .map(|axis| self.cuboid.size(axis).length())
    }
}

/// A group in its place, such as a door.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupBody {
    /// Its name, unique in the piece.
    pub name: String,
    /// The name of the group that it is a copy of.
    pub of: String,
    /// The group it is one of, by its place among the plans.
    pub group: usize,
    /// Which of the group's copies it is.
    pub copy: usize,
    /// The box around its bodies.
    pub cuboid: Cuboid,
    /// Its bodies.
    pub bodies: Vec<usize>,
}

/// A piece in which every placed part has its box.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Piece {
    /// Its bodies: the free parts in the order of the plans, then the groups' parts.
    pub bodies: Vec<Body>,
    /// Its groups.
    pub groups: Vec<GroupBody>,
    /// The openings with what sits in them.
    pub openings: Vec<Opening>,
    /// What touches or reaches into what, ordered by bodies.
    pub contacts: Vec<Contact>,
    /// The loops that must close.
    pub chains: Vec<Chain>,
    /// For each plan its length, width and thickness: given, or as they follow from its places; `None` for a part without a place.
    pub sizes: Vec<Option<[Length; 3]>>,
}

impl Piece {
    /// A piece of which nothing is placed.
    pub const EMPTY: Self = Self {
        bodies: Vec::new(),
        groups: Vec::new(),
        openings: Vec::new(),
        contacts: Vec::new(),
        chains: Vec::new(),
        sizes: Vec::new(),
    };

    /// The bodies of a part, those among its copies that became parts of their own with them.
    pub fn bodies_of(&self, part: usize) -> impl Iterator<Item = usize> + '_ {
        self.bodies
            .iter()
            .enumerate()
            .filter(move |(_, body)| body.part == part || body.plan == part)
            .map(|(index, _)| index)
    }

    /// The contacts of a body.
    pub fn contacts_of(&self, body: usize) -> impl Iterator<Item = &Contact> + '_ {
        self.contacts
            .iter()
            .filter(move |contact| contact.has(body))
    }

    /// The contact of two bodies.
    #[must_use]
    pub fn contact(&self, a: usize, b: usize) -> Option<&Contact> {
        let key = (a.min(b), a.max(b));
        self.contacts
            .binary_search_by_key(&key, |contact| (contact.a, contact.b))
            .ok()
            .map(|at| &self.contacts[at])
    }

    /// The box around the whole piece; `None` when nothing is placed.
    #[must_use]
    pub fn outer(&self) -> Option<Cuboid> {
        around(self.bodies.iter().map(|body| &body.cuboid))
    }
}

pub(super) fn around<'a>(boxes: impl Iterator<Item = &'a Cuboid>) -> Option<Cuboid> {
    boxes.copied().reduce(|both, one| both.around(&one))
}
