//! A piece resolved: every body in its place, with what follows from it.

use super::chain::{Chain, Network};
use super::contact::{Contact, contacts};
use super::cuboid::{Coordinate, Cuboid};
use super::limits::{CLOSES_WITHIN, MOST_BODIES};
use super::opening::{Bound, Occupant, Opening};
use super::orientation::Orientation;
use super::plan::{CopyPlan, GroupPlan, OpeningPlan, PartPlan, Places, Size};
use super::solve::{Item, Names, Solved, Solver, listed};
use super::space::{BoxFace, SpaceAxis};
use crate::units::Length;
use crate::units::notation::{millimetres, nearest};
use crate::units::spanned::Problems;
use std::collections::HashMap;

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

fn around<'a>(boxes: impl Iterator<Item = &'a Cuboid>) -> Option<Cuboid> {
    boxes.copied().reduce(|both, one| both.around(&one))
}

/// One copy of a part or group before it is placed.
struct Instance {
    name: String,
    plan: usize,
    copy: usize,
}

/// The copies of a plan; one without copies is its own only copy.
fn copies<'a>(
    name: &'a str,
    plan_places: &'a Places,
    plan_opening: Option<&'a OpeningPlan>,
    copies: &'a [CopyPlan],
) -> Vec<(&'a str, Option<&'a CopyPlan>, Places, Option<OpeningPlan>)> {
    if copies.is_empty() {
        return vec![(name, None, plan_places.clone(), plan_opening.cloned())];
    }
    copies
        .iter()
        .map(|copy| {
            (
                copy.name.as_str(),
                Some(copy),
                plan_places.overridden_by(&copy.places),
                copy.opening.as_ref().or(plan_opening).cloned(),
            )
        })
        .collect()
}

fn part_items(parts: &[PartPlan], index: usize, out: &mut Vec<(Instance, Item)>) {
    let plan = &parts[index];
    let turned = plan.orientation;
    let [length, width, thickness] = plan.sizes.clone();
    for (copy, (name, copied, places, opening)) in copies(
        &plan.name,
        &plan.places,
        plan.opening.as_ref(),
        &plan.copies,
    )
    .into_iter()
    .enumerate()
    {
        out.push((
            Instance {
                name: name.to_owned(),
                plan: index,
                copy,
            },
            Item {
                name: name.to_owned(),
                span: copied.map_or_else(|| plan.span.clone(), |copy| copy.span.clone()),
                sizes: turned.in_space(length.clone(), width.clone(), thickness.clone()),
                size_words: turned.in_space("length", "width", "thickness"),
                places,
                opening,
            },
        ));
    }
}

/// Every name that may refer to an item: its own, and that of what it is a copy of.
fn names(items: &[(Instance, Item)], plan_name: impl Fn(&Instance) -> String) -> Names {
    let mut names = Names::new();
    for (index, (instance, _)) in items.iter().enumerate() {
        names.entry(instance.name.clone()).or_default().push(index);
        let of = plan_name(instance);
        if of != instance.name {
            names.entry(of).or_default().push(index);
        }
    }
    names
}

fn solved(
    items: Vec<(Instance, Item)>,
    names: &Names,
    problems: &mut Problems,
) -> Vec<(Instance, Item, Option<Solved>)> {
    let (instances, items): (Vec<Instance>, Vec<Item>) = items.into_iter().unzip();
    let places = Solver::new(&items, names, problems).solve();
    instances
        .into_iter()
        .zip(items)
        .zip(places)
        .map(|((instance, item), place)| (instance, item, place))
        .collect()
}

/// The bodies of one group, placed from its own left, front and bottom.
struct GroupInside {
    members: Vec<(Instance, Item, Solved)>,
    cuboid: Cuboid,
}

/// Puts every placed part of a piece into its place.
///
/// A part without any place is left out, and its entry in [`Piece::sizes`] is `None`. What is wrong (a ring of places, a face placed
/// twice, an unknown name, a size that disagrees with its places) is noted in `problems` at its place with the measure
/// of the disagreement; then `None` is returned.
#[must_use]
pub fn resolve(parts: &[PartPlan], groups: &[GroupPlan], problems: &mut Problems) -> Option<Piece> {
    let mut own = Problems::new();
    let piece = resolved(parts, groups, &mut own);
    let fine = own.is_empty();
    problems.append(own, false);
    piece.filter(|_| fine)
}

fn resolved(parts: &[PartPlan], groups: &[GroupPlan], problems: &mut Problems) -> Option<Piece> {
    check_names(parts, groups, problems);
    let members = members_of(parts, groups, problems);
    let mut insides = Vec::new();
    for (group, members) in groups.iter().zip(&members) {
        insides.push(group_inside(parts, group, members, problems));
    }
    let mut items = Vec::new();
    for index in 0..parts.len() {
        if parts[index].group.is_none() && parts[index].is_placed() {
            part_items(parts, index, &mut items);
        }
    }
    let free = items.len();
    for (index, (plan, inside)) in groups.iter().zip(&insides).enumerate() {
        group_items(index, plan, inside.as_ref(), &mut items);
    }
    let bodies: usize = items
        .iter()
        .enumerate()
        .map(|(at, (instance, _))| match insides.get(instance.plan) {
            Some(Some(inside)) if at >= free => inside.members.len(),
            _ => 1,
        })
        .sum();
    if bodies > MOST_BODIES {
        let span = parts.first().map_or(0..0, |part| part.span.clone());
        problems.push(
            span,
            format!("the piece has {bodies} placed parts with all copies, more than {MOST_BODIES}"),
            "split it into several job files",
        );
        return None;
    }
    let mut known = names(&items[..free], |one| parts[one.plan].name.clone());
    for (name, of_groups) in names(&items[free..], |one| groups[one.plan].name.clone()) {
        let of_groups = of_groups.into_iter().map(|at| at + free);
        known.entry(name).or_default().extend(of_groups);
    }
    let world = solved(items, &known, problems);
    let mut piece = Piece::default();
    let mut occupants: Vec<Option<Occupant>> = vec![None; world.len()];
    for (at, (instance, _, place)) in world.iter().enumerate() {
        let Some(place) = place else { continue };
        if at < free {
            occupants[at] = Some(Occupant::Body(piece.bodies.len()));
            piece.bodies.push(Body {
                name: instance.name.clone(),
                plan: instance.plan,
                part: instance.plan,
                copy: instance.copy,
                group: None,
                cuboid: place.cuboid,
                orientation: parts[instance.plan].orientation,
                cut: place.cut,
                bark: own_face(&parts[instance.plan], instance.copy, |copy| copy.bark),
                rings_from: own_face(&parts[instance.plan], instance.copy, |copy| copy.rings_from),
                thickness_from_to: parts[instance.plan].thickness_from_to,
            });
        } else if let Some(inside) = insides.get(instance.plan).and_then(Option::as_ref) {
            occupants[at] = Some(Occupant::Group(piece.groups.len()));
            let of = &groups[instance.plan].name;
            place_group(&mut piece, parts, (instance, of), inside, place);
        }
    }
    find_sizes(parts, &mut piece, problems);
    find_openings(&mut piece, &world, &occupants, &known);
    let boxes: Vec<Cuboid> = piece.bodies.iter().map(|body| body.cuboid).collect();
    piece.contacts = contacts(&boxes);
    leave_out_openings(&mut piece);
    let network = Network::new(&piece.bodies, &piece.contacts, &piece.openings);
    let chains = network.loops(&piece.contacts);
    let spans: Vec<_> = piece
        .openings
        .iter()
        .map(|opening| SpaceAxis::ALL.map(|axis| opening_chain(&network, &piece, opening, axis)))
        .collect();
    piece.chains = chains;
    for (opening, chains) in piece.openings.iter_mut().zip(spans) {
        opening.chains = chains.map(Option::unwrap_or_default);
    }
    Some(piece)
}

/// Notes names that occur twice, of parts, groups and copies.
fn check_names(parts: &[PartPlan], groups: &[GroupPlan], problems: &mut Problems) {
    let mut known: HashMap<&str, bool> = HashMap::new();
    let mut check = |name, span: &std::ops::Range<usize>, problems: &mut Problems| {
        if known.insert(name, true).is_some() {
            problems.push(
                span.clone(),
                format!("the name `{name}` occurs twice in the piece"),
                "give every part, group and copy a name of its own",
            );
        }
    };
    // Two parts of one name are the job's business; here only what is new beside them.
    let mut seen: HashMap<&str, bool> = HashMap::new();
    for part in parts {
        if seen.insert(&part.name, true).is_none() {
            check(&part.name, &part.span, problems);
        }
    }
    for group in groups {
        check(&group.name, &group.span, problems);
    }
    let copies_of_parts = parts.iter().map(|part| (&part.name, &part.copies));
    let copies_of_groups = groups.iter().map(|group| (&group.name, &group.copies));
    for (name, copies) in copies_of_parts.chain(copies_of_groups) {
        for copy in copies {
            // A single copy may bear its part's name.
            if copies.len() > 1 || copy.name != *name {
                check(&copy.name, &copy.span, problems);
            }
        }
    }
}

/// The parts of each group.
fn members_of(
    parts: &[PartPlan],
    groups: &[GroupPlan],
    problems: &mut Problems,
) -> Vec<Vec<usize>> {
    let mut members = vec![Vec::new(); groups.len()];
    for (index, part) in parts.iter().enumerate() {
        let Some(name) = &part.group else { continue };
        match groups.iter().position(|group| group.name == name.value) {
            Some(group) => members[group].push(index),
            None => {
                let known = || groups.iter().map(|group| group.name.as_str());
                let remedy = match nearest(&name.value, known()) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None if groups.is_empty() => {
                        format!("add [[groups]] with name = \"{}\"", name.value)
                    }
                    None => format!("the groups are {}", listed(known())),
                };
                problems.push(
                    name.span.clone(),
                    format!("no group is named `{}`", name.value),
                    remedy,
                );
            }
        }
    }
    for (group, members) in groups.iter().zip(&members) {
        if members.is_empty() {
            problems.push(
                group.span.clone(),
                format!("no part belongs to the group `{}`", group.name),
                format!("add group = \"{}\" to its parts", group.name),
            );
        }
    }
    members
}

fn group_inside(
    parts: &[PartPlan],
    group: &GroupPlan,
    members: &[usize],
    problems: &mut Problems,
) -> Option<GroupInside> {
    let mut items = Vec::new();
    for &member in members {
        if parts[member].is_placed() {
            part_items(parts, member, &mut items);
        } else {
            problems.push(
                parts[member].span.clone(),
                format!(
                    "nothing says where `{}` is in its group `{}`",
                    parts[member].name, group.name
                ),
                "place it from the group's own left, front and bottom: left = \"0in\", front = \"0in\", bottom = \"0in\"",
            );
        }
    }
    let known = names(&items, |one| parts[one.plan].name.clone());
    let count = items.len();
    let members: Vec<(Instance, Item, Solved)> = solved(items, &known, problems)
        .into_iter()
        .filter_map(|(instance, item, place)| Some((instance, item, place?)))
        .collect();
    let cuboid = around(members.iter().map(|(_, _, place)| &place.cuboid))?;
    (members.len() == count).then_some(GroupInside { members, cuboid })
}

fn group_items(
    index: usize,
    plan: &GroupPlan,
    inside: Option<&GroupInside>,
    out: &mut Vec<(Instance, Item)>,
) {
    let sizes = SpaceAxis::ALL.map(|axis| {
        inside.map(|inside| Size {
            value: inside.cuboid.size(axis).length(),
            span: plan.span.clone(),
        })
    });
    if inside.is_none() {
        return;
    }
    for (copy, (name, copied, places, opening)) in copies(
        &plan.name,
        &plan.places,
        plan.opening.as_ref(),
        &plan.copies,
    )
    .into_iter()
    .enumerate()
    {
        out.push((
            Instance {
                name: name.to_owned(),
                plan: index,
                copy,
            },
            Item {
                name: name.to_owned(),
                span: copied.map_or_else(|| plan.span.clone(), |copy| copy.span.clone()),
                sizes: sizes.clone(),
                size_words: ["width", "depth", "height"],
                places,
                opening,
            },
        ));
    }
}

fn place_group(
    piece: &mut Piece,
    parts: &[PartPlan],
    (instance, of): (&Instance, &str),
    inside: &GroupInside,
    place: &Solved,
) {
    let by = SpaceAxis::ALL.map(|axis| place.cuboid.low(axis) - inside.cuboid.low(axis));
    let group = piece.groups.len();
    let first = piece.bodies.len();
    for (member, _, local) in &inside.members {
        piece.bodies.push(Body {
            name: format!("{}: {}", instance.name, member.name),
            plan: member.plan,
            part: member.plan,
            copy: member.copy,
            group: Some(group),
            cuboid: local.cuboid.moved(by),
            orientation: parts[member.plan].orientation,
            cut: local.cut,
            bark: own_face(&parts[member.plan], member.copy, |copy| copy.bark),
            rings_from: own_face(&parts[member.plan], member.copy, |copy| copy.rings_from),
            thickness_from_to: parts[member.plan].thickness_from_to,
        });
    }
    piece.groups.push(GroupBody {
        name: instance.name.clone(),
        of: of.to_owned(),
        group: instance.plan,
        copy: instance.copy,
        cuboid: inside.cuboid.moved(by),
        bodies: (first..piece.bodies.len()).collect(),
    });
}

/// What a copy says of its own faces.
fn own_face(
    plan: &PartPlan,
    copy: usize,
    face: impl Fn(&CopyPlan) -> Option<BoxFace>,
) -> Option<BoxFace> {
    plan.copies.get(copy).and_then(face)
}

/// Sizes of every part: as given, or as they follow; copies whose sizes follow must agree.
fn find_sizes(parts: &[PartPlan], piece: &mut Piece, problems: &mut Problems) {
    piece.sizes = vec![None; parts.len()];
    let mut bodies_of = vec![Vec::new(); parts.len()];
    for (index, body) in piece.bodies.iter().enumerate() {
        bodies_of[body.part].push(index);
    }
    for (index, plan) in parts.iter().enumerate() {
        let Some(&first) = bodies_of[index].first() else {
            continue;
        };
        let mut sizes = piece.bodies[first].sizes();
        let axes = [
            plan.orientation.length(),
            plan.orientation.width(),
            plan.orientation.thickness(),
        ];
        for ((size, given), axis) in sizes.iter_mut().zip(&plan.sizes).zip(axes) {
            if let Some(given) = given {
                *size = given.value;
                continue;
            }
            let span = |body: &usize| piece.bodies[*body].cuboid.size(axis);
            let Some(shortest) = bodies_of[index]
                .iter()
                .min_by_key(|body| span(body))
                .copied()
            else {
                continue;
            };
            let Some(longest) = bodies_of[index]
                .iter()
                .max_by_key(|body| span(body))
                .copied()
            else {
                continue;
            };
            let (short, long) = (span(&shortest), span(&longest));
            if long - short > CLOSES_WITHIN {
                problems.push(
                    plan.copies
                        .get(piece.bodies[longest].copy)
                        .map_or_else(|| plan.span.clone(), |copy| copy.span.clone()),
                    format!(
                        "`{}` comes to {} and `{}` to {}, but they are copies of one part: {} apart",
                        piece.bodies[longest].name,
                        millimetres(long.length()),
                        piece.bodies[shortest].name,
                        millimetres(short.length()),
                        millimetres((long - short).length()),
                    ),
                    "make it a part of its own, or place both alike",
                );
                continue;
            }
            *size = short.length();
            if long != short {
                for body in &bodies_of[index] {
                    let body = &mut piece.bodies[*body];
                    if body.cuboid.size(axis) != short {
                        body.cut[axis as usize] = Some(short);
                    }
                }
            }
        }
        piece.sizes[index] = Some(sizes);
    }
}

fn bodies_of(piece: &Piece, occupant: Occupant) -> Vec<usize> {
    match occupant {
        Occupant::Body(body) => vec![body],
        Occupant::Group(group) => piece.groups[group].bodies.clone(),
    }
}

fn find_openings(
    piece: &mut Piece,
    world: &[(Instance, Item, Option<Solved>)],
    occupants: &[Option<Occupant>],
    known: &Names,
) {
    let mut openings = Vec::new();
    for ((instance, item, place), occupant) in world.iter().zip(occupants) {
        let (Some(plan), Some(place), Some(occupant)) = (&item.opening, place, occupant) else {
            continue;
        };
        let bounds: [Option<Bound>; 6] = std::array::from_fn(|face| {
            let name = plan.bounds[face].as_ref()?.value.trim();
            let at = *known.get(name)?.first()?;
            let by = occupants[at]?;
            Some(Bound {
                by,
                name: world[at].0.name.clone(),
                bodies: bodies_of(piece, by),
            })
        });
        let edge = |face: BoxFace| {
            let name = plan.bounds[face as usize].as_ref()?.value.trim();
            let at = *known.get(name)?.first()?;
            Some(world[at].2.as_ref()?.cuboid.face(face.opposite()))
        };
        let corner = |high: bool| {
            SpaceAxis::ALL.map(|axis| {
                let face = if high { axis.high() } else { axis.low() };
                edge(face).unwrap_or_else(|| place.cuboid.face(face))
            })
        };
        openings.push(Opening {
            occupant: *occupant,
            name: instance.name.clone(),
            bodies: bodies_of(piece, *occupant),
            bounds,
            space: Cuboid::new(corner(false), corner(true)),
            filled: place.cuboid,
            sized: SpaceAxis::ALL.map(|axis| item.sizes[axis as usize].is_some()),
            front: plan.front,
            hinge: plan.hinge,
            chains: [Vec::new(), Vec::new(), Vec::new()],
        });
    }
    piece.openings = openings;
}

/// Leaves out the contacts of what sits in an opening with what bounds it: their clearance is the fit's question.
fn leave_out_openings(piece: &mut Piece) {
    let mut pairs = std::collections::HashSet::new();
    for opening in &piece.openings {
        for bound in opening.bounds.iter().flatten() {
            for &a in &opening.bodies {
                for &b in &bound.bodies {
                    pairs.insert((a.min(b), a.max(b)));
                }
            }
        }
    }
    piece
        .contacts
        .retain(|contact| !pairs.contains(&(contact.a, contact.b)));
}

/// The chain of parts around an opening on an axis, from its low bound to its high one.
fn opening_chain(
    network: &Network<'_>,
    piece: &Piece,
    opening: &Opening,
    axis: SpaceAxis,
) -> Option<Vec<super::ChainTerm>> {
    if !opening.is_bounded(axis) {
        return None;
    }
    let end = |face: BoxFace| {
        let bound = opening.bounds[face as usize].as_ref()?;
        let inner = face.opposite();
        let body = bound.bodies.iter().copied().max_by_key(|body| {
            let at = piece.bodies[*body].cuboid.face(inner);
            if inner.is_high() { at } else { -at }
        })?;
        Some((body, piece.bodies[body].cuboid.face(inner)))
    };
    network.chain(axis, end(axis.low())?, end(axis.high())?, &opening.bodies)
}
