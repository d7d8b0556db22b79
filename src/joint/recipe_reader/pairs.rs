//! Which parts of the names of an entry meet, and where.

use super::RecipeReader;
use crate::joint::joined::{self, Joined, Met, Pairing};
use crate::joint::part::{Axis, PartId};
use crate::piece::SpaceAxis;
use crate::units::Length;
use crate::units::notation::millimetres;
use crate::units::spanned::{Name, Names, Spanned};

/// A name of a job file with the part and the bodies it means.
struct Named {
    part: PartId,
    bodies: Vec<usize>,
}

impl RecipeReader<'_> {
    /// Every pair of parts that one entry joins; in a job without places one for each pair of names.
    pub fn pairs(&mut self, piece: &Names, into: &Names, pairing: Pairing) -> Vec<Joined> {
        let pieces: Vec<Named> = piece
            .list()
            .iter()
            .flat_map(|name| self.named(name))
            .collect();
        let intos: Vec<Named> = into
            .list()
            .iter()
            .flat_map(|name| self.named(name))
            .collect();
        let mut pairs = Vec::new();
        for one in &pieces {
            if pairing == Pairing::Meeting {
                for other in &intos {
                    self.meetings(one, other, &mut pairs);
                }
                continue;
            }
            let all: Vec<PartId> = intos.iter().map(|named| named.part).collect();
            let into_bodies: Vec<usize> = intos
                .iter()
                .flat_map(|named| named.bodies.clone())
                .collect();
            let touching = one.bodies.iter().flat_map(|a| {
                into_bodies
                    .iter()
                    .filter(|b| self.piece.contact(*a, **b).is_some())
                    .map(|b| [*a, *b])
            });
            let bodies = touching.collect();
            pairs.extend(all.first().map(|first| Joined {
                bodies,
                piece: one.part,
                into: *first,
                all: all.clone(),
                piece_bodies: one.bodies.clone(),
                into_bodies,
                met: None,
                count: 1,
            }));
        }
        pairs
    }

    /// The places where two parts meet, those alike together.
    fn meetings(&mut self, one: &Named, other: &Named, pairs: &mut Vec<Joined>) {
        let joined = |met: Option<Met>| Joined {
            piece: one.part,
            into: other.part,
            all: vec![other.part],
            piece_bodies: one.bodies.clone(),
            into_bodies: other.bodies.clone(),
            met,
            bodies: Vec::new(),
            count: 1,
        };
        if one.bodies.is_empty() || other.bodies.is_empty() {
            pairs.push(joined(None));
            return;
        }
        let first = pairs.len();
        for &a in &one.bodies {
            for &b in &other.bodies {
                let Some(contact) = self.piece.contact(a, b) else {
                    continue;
                };
                let met = Met {
                    piece: a,
                    into: b,
                    contact: *contact,
                };
                let alike = pairs[first..]
                    .iter_mut()
                    .find(|pair| pair.met.is_some_and(|known| self.alike(&known, &met)));
                match alike {
                    Some(pair) => {
                        pair.count += 1;
                        pair.bodies.push([a, b]);
                    }
                    None => pairs.push(Joined {
                        bodies: vec![[a, b]],
                        ..joined(Some(met))
                    }),
                }
            }
        }
        if pairs.len() == first {
            let boxes = |bodies: &[usize]| {
                bodies
                    .iter()
                    .map(|body| self.piece.bodies[*body].cuboid)
                    .collect::<Vec<_>>()
            };
            let apart = boxes(&one.bodies)
                .iter()
                .flat_map(|a| {
                    boxes(&other.bodies)
                        .iter()
                        .map(|b| a.gap(b))
                        .collect::<Vec<_>>()
                })
                .min()
                .unwrap_or_default();
            let apart = if apart.nanometres() == 0 {
                "they meet at an edge or a corner only".to_owned()
            } else {
                format!("{} are between them", millimetres(apart.length()))
            };
            self.problem_here(
                format!(
                    "`{}` and `{}` do not meet: {apart}",
                    self.facts(one.part).name,
                    self.facts(other.part).name,
                ),
                "place one of them against or into the other, or take the joint out",
            );
        }
    }

    /// Whether two meetings are cut alike: on the same face, at the same place, equally deep.
    fn alike(&self, a: &Met, b: &Met) -> bool {
        let kind = |met: &Met| {
            let face = joined::cut_face(self.piece, met.into, met.contact.face_of(met.into));
            let along = joined::space_axis(self.piece, met.into, Axis::Length);
            let across = joined::space_axis(self.piece, met.into, Axis::Width);
            let from = |axis: SpaceAxis| {
                met.contact.shared.low(axis) - self.piece.bodies[met.into].cuboid.low(axis)
            };
            let axis = joined::part_axis(self.piece, met.piece, met.contact.axis());
            let thick = joined::thickness_here(self.piece, [met.piece, met.into]);
            (
                face,
                from(along),
                from(across),
                met.contact.shared.size(met.contact.axis()),
                axis,
                thick.map(Length::mm),
            )
        };
        kind(a) == kind(b)
    }

    /// The parts and bodies of a name: a part, with its copies that are parts of their own, a copy, or a group.
    fn named(&mut self, given: &Spanned<Name>) -> Vec<Named> {
        let Some(Name(name)) = self.problems.take(given) else {
            return Vec::new();
        };
        if let Some(part) = self.parts.find(&name) {
            let mut all: Vec<Named> = Vec::new();
            for body in self.piece.bodies_of(part.0) {
                let own = PartId(self.piece.bodies[body].part);
                match all.iter_mut().find(|known| known.part == own) {
                    Some(known) => known.bodies.push(body),
                    None => all.push(Named {
                        part: own,
                        bodies: vec![body],
                    }),
                }
            }
            if all.is_empty() {
                all.push(Named {
                    part,
                    bodies: Vec::new(),
                });
            }
            return all;
        }
        let inside = format!(": {name}");
        let copies: Vec<usize> = (0..self.piece.bodies.len())
            .filter(|body| {
                let known = &self.piece.bodies[*body].name;
                *known == name || known.ends_with(&inside)
            })
            .collect();
        if let Some(&first) = copies.first() {
            return vec![Named {
                part: PartId(self.piece.bodies[first].part),
                bodies: copies,
            }];
        }
        let groups = self
            .piece
            .groups
            .iter()
            .filter(|group| group.name == name || group.of == name);
        let bodies: Vec<usize> = groups.flat_map(|group| group.bodies.clone()).collect();
        if let Some(&first) = bodies.first() {
            return vec![Named {
                part: PartId(self.piece.bodies[first].part),
                bodies,
            }];
        }
        self.part(given)
            .map(|part| Named {
                part,
                bodies: Vec::new(),
            })
            .into_iter()
            .collect()
    }
}
