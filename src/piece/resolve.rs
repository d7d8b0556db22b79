//! Resolves a piece: every body gets its place from what is given, with what follows from it.

use super::body::{Body, GroupBody, Piece, around};
use super::chain::Network;
use super::contact::contacts;
use super::cuboid::Cuboid;
use super::limits::MOST_BODIES;
use super::opening::Occupant;
use super::plan::{CopyPlan, GroupPlan, OpeningPlan, PartPlan, Places, Size};
use super::sizes_and_openings::{find_openings, find_sizes, leave_out_openings, opening_chain};
use super::solve::{Item, Names, Solved, Solver, listed};
use super::space::{BoxFace, SpaceAxis};
use crate::units::notation::nearest;
use crate::units::spanned::Problems;
use std::collections::HashMap;

/// One copy of a part or group before it is placed.
pub(super) struct Instance {
    pub(super) name: String,
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
