//! Places into positions: each face of each item from the faces it refers to, in any order.

use super::cuboid::{Coordinate, Cuboid};
use super::limits::CLOSES_WITHIN;
use super::opening::{FrontPlace, HingeSide};
use super::place::{CentrePlace, Place};
use super::plan::{At, OpeningPlan, Places, Size};
use super::space::{BoxFace, SpaceAxis};
use crate::units::notation::{millimetres, nearest};
use crate::units::spanned::Problems;
use std::collections::HashMap;
use std::ops::Range;

/// A part or group that is to be placed.
pub(super) struct Item {
    /// Its name.
    pub(super) name: String,
    /// Bytes of the file.
    pub(super) span: Range<usize>,
    /// Its sizes along x, y and z where given.
    pub(super) sizes: [Option<Size>; 3],
    /// What its sizes along x, y and z are called.
    pub(super) size_words: [&'static str; 3],
    /// Its places.
    pub(super) places: Places,
    /// Its opening.
    pub(super) opening: Option<OpeningPlan>,
}

/// An item in its place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Solved {
    /// The box.
    pub(super) cuboid: Cuboid,
    /// The size as cut on an axis, where it is given beside both faces and differs.
    pub(super) cut: [Option<Coordinate>; 3],
}

/// The items by every name that may refer to them.
pub(super) type Names = HashMap<String, Vec<usize>>;

/// How a face follows from others.
#[derive(Debug, Clone, Copy)]
enum Rule {
    /// So far from the origin.
    Fixed(Coordinate),
    /// So far from another face.
    From(usize, Coordinate),
    /// So far from the middle between two faces.
    Middle([usize; 2], Coordinate),
    /// So far from the middle of the space between two items on an axis, given as low and high face of each.
    Between([usize; 4], Coordinate),
    /// A problem is noted already.
    Failed,
}

impl Rule {
    fn needs(&self) -> &[usize] {
        match self {
            Self::Fixed(_) | Self::Failed => &[],
            Self::From(node, _) => std::slice::from_ref(node),
            Self::Middle(nodes, _) => nodes,
            Self::Between(nodes, _) => nodes,
        }
    }

    fn value(&self, of: impl Fn(usize) -> Option<Coordinate>) -> Option<Coordinate> {
        Some(match *self {
            Self::Failed => return None,
            Self::Fixed(at) => at,
            Self::From(node, by) => of(node)? + by,
            Self::Middle([a, b], by) => (of(a)? + of(b)?).half() + by,
            Self::Between([a_low, a_high, b_low, b_high], by) => {
                let start = of(a_high)?.min(of(b_high)?);
                let end = of(a_low)?.max(of(b_low)?);
                (start + end).half() + by
            }
        })
    }
}

const fn node(item: usize, face: BoxFace) -> usize {
    item * 6 + face as usize
}

const fn face_of(node: usize) -> BoxFace {
    BoxFace::ALL[node % 6]
}

/// A distance added in the outward direction of a face.
fn outward(face: BoxFace, by: Coordinate) -> Coordinate {
    if face.is_high() { by } else { -by }
}

pub(super) struct Solver<'a> {
    items: &'a [Item],
    names: &'a Names,
    problems: &'a mut Problems,
    rules: Vec<Rule>,
}

impl<'a> Solver<'a> {
    pub(super) const fn new(
        items: &'a [Item],
        names: &'a Names,
        problems: &'a mut Problems,
    ) -> Self {
        Self {
            items,
            names,
            problems,
            rules: Vec::new(),
        }
    }

    /// Every item in its place; `None` for one with a problem, which is noted.
    pub(super) fn solve(mut self) -> Vec<Option<Solved>> {
        for item in 0..self.items.len() {
            let rules = self.rules_of(item);
            self.rules.extend(rules);
        }
        let values = self.values();
        (0..self.items.len())
            .map(|item| self.finished(item, &values))
            .collect()
    }

    fn item(&self, index: usize) -> &'a Item {
        let items = self.items;
        &items[index]
    }

    /// The item of a name, or `None` after noting why there is none.
    fn find(&mut self, name: &At<String>) -> Option<usize> {
        match self.names.get(name.value.trim()).map(Vec::as_slice) {
            Some([one]) => Some(*one),
            Some(many) if !many.is_empty() => {
                let copies = listed(many.iter().map(|item| self.items[*item].name.as_str()));
                self.problems.push(
                    name.span.clone(),
                    format!(
                        "`{}` is made {} times, and any of them may be meant",
                        name.value,
                        many.len()
                    ),
                    format!("name the copy: {copies}"),
                );
                None
            }
            _ => {
                let mut known: Vec<&str> = self.names.keys().map(String::as_str).collect();
                known.sort_unstable();
                let list = listed(known.iter().copied());
                let remedy = match nearest(&name.value, known.iter().copied()) {
                    Some(near) => format!("did you mean `{near}`? The placed parts are {list}"),
                    None => format!(
                        "the placed parts are {list}; give the part a place of its own first"
                    ),
                };
                self.problems.push(
                    name.span.clone(),
                    format!("no placed part is named `{}`", name.value),
                    remedy,
                );
                None
            }
        }
    }

    fn rule_of_place(&mut self, face: BoxFace, place: &At<Place>) -> Rule {
        let (name, own, by) = match &place.value {
            Place::From(length) => return Rule::Fixed(Coordinate::of(*length)),
            Place::Against(name) => (name, face.opposite(), Coordinate::ZERO),
            Place::Into(length, name) => (
                name,
                face.opposite(),
                outward(face, Coordinate::of(*length)),
            ),
            Place::Off(length, name) => (
                name,
                face.opposite(),
                -outward(face, Coordinate::of(*length)),
            ),
            Place::Flush(name) => (name, face, Coordinate::ZERO),
            Place::Short(length, name) => (name, face, -outward(face, Coordinate::of(*length))),
            Place::Past(length, name) => (name, face, outward(face, Coordinate::of(*length))),
        };
        let name = At {
            value: name.clone(),
            span: place.span.clone(),
        };
        self.find(&name)
            .map_or(Rule::Failed, |item| Rule::From(node(item, own), by))
    }

    fn rule_of_centre(&mut self, axis: SpaceAxis, place: &At<CentrePlace>, by: Coordinate) -> Rule {
        let at = |name: &String| At {
            value: name.clone(),
            span: place.span.clone(),
        };
        let ends = |item: usize| [node(item, axis.low()), node(item, axis.high())];
        match &place.value {
            CentrePlace::From(length) => Rule::Fixed(Coordinate::of(*length) + by),
            CentrePlace::On(name) => self
                .find(&at(name))
                .map_or(Rule::Failed, |item| Rule::Middle(ends(item), by)),
            CentrePlace::Between(a, b) => match (self.find(&at(a)), self.find(&at(b))) {
                (Some(a), Some(b)) => {
                    let ([a_low, a_high], [b_low, b_high]) = (ends(a), ends(b));
                    Rule::Between([a_low, a_high, b_low, b_high], by)
                }
                _ => Rule::Failed,
            },
        }
    }

    fn rules_of(&mut self, item: usize) -> [Rule; 6] {
        let mut rules = [Rule::Failed; 6];
        for axis in SpaceAxis::ALL {
            let [low, high] = self.axis_rules(item, axis);
            rules[axis.low() as usize] = low;
            rules[axis.high() as usize] = high;
        }
        rules
    }

    fn axis_rules(&mut self, item: usize, axis: SpaceAxis) -> [Rule; 2] {
        let one = self.item(item);
        let size = one.sizes[axis as usize]
            .as_ref()
            .map(|size| Coordinate::of(size.value));
        let opened = self.opening_rules(item, axis, size);
        let low = one.places.face(axis.low());
        let high = one.places.face(axis.high());
        let centre = one.places.centre(axis);
        if let Some((rules, by)) = opened {
            let twice = [
                low.map(|at| &at.span),
                high.map(|at| &at.span),
                centre.map(|at| &at.span),
            ];
            let allowed_back = axis == SpaceAxis::Y && low.is_none() && centre.is_none();
            if let Some(span) = twice.into_iter().flatten().next() {
                if let (true, Some(back)) = (allowed_back, high) {
                    let back = self.rule_of_place(axis.high(), back);
                    return [rules[0], back];
                }
                self.placed_twice(item, axis, span.clone(), by);
                return [Rule::Failed; 2];
            }
            return rules;
        }
        match (low, high, centre) {
            (Some(low), Some(high), None) => [
                self.rule_of_place(axis.low(), low),
                self.rule_of_place(axis.high(), high),
            ],
            (Some(low), None, None) => match size {
                Some(size) => {
                    let rule = self.rule_of_place(axis.low(), low);
                    [rule, Rule::From(node(item, axis.low()), size)]
                }
                None => self.no_size(item, axis, &low.span),
            },
            (None, Some(high), None) => match size {
                Some(size) => {
                    let rule = self.rule_of_place(axis.high(), high);
                    [Rule::From(node(item, axis.high()), -size), rule]
                }
                None => self.no_size(item, axis, &high.span),
            },
            (None, None, Some(centre)) => match size {
                Some(size) => {
                    let rule = self.rule_of_centre(axis, centre, -size.half());
                    [rule, Rule::From(node(item, axis.low()), size)]
                }
                None => self.no_size(item, axis, &centre.span),
            },
            (None, None, None) => {
                self.problems.push(
                    one.span.clone(),
                    format!("nothing says where `{}` is {}", one.name, axis.words()),
                    format!(
                        "add {} = ... or {} = ... or centre_{} = ..., such as {} = \"0in\"",
                        axis.low().word(),
                        axis.high().word(),
                        axis.letter(),
                        axis.low().word()
                    ),
                );
                [Rule::Failed; 2]
            }
            (low, high, Some(centre)) => {
                let face = match (low, high) {
                    (None, Some(_)) => axis.high(),
                    _ => axis.low(),
                };
                self.placed_twice(item, axis, centre.span.clone(), face.word());
                [Rule::Failed; 2]
            }
        }
    }

    /// The rules that an opening gives on an axis, and the key that gives them.
    fn opening_rules(
        &mut self,
        item: usize,
        axis: SpaceAxis,
        size: Option<Coordinate>,
    ) -> Option<([Rule; 2], &'static str)> {
        let opening = self.item(item).opening.as_ref()?;
        let bound = |face: BoxFace| opening.bounds[face as usize].as_ref();
        if axis == SpaceAxis::Y {
            return Some((self.front_rules(item, opening, size), "in_opening"));
        }
        let (low, high) = (bound(axis.low()), bound(axis.high()));
        if low.is_none() && high.is_none() {
            return None;
        }
        let mut at = |bound: Option<&At<String>>, face: BoxFace| {
            bound.map(|bound| self.find(bound).map(|item| node(item, face)))
        };
        let (start, end) = (at(low, axis.high()), at(high, axis.low()));
        let rules = match (start, end, size) {
            (Some(Some(start)), Some(Some(end)), None) => [
                Rule::From(start, Coordinate::ZERO),
                Rule::From(end, Coordinate::ZERO),
            ],
            (Some(Some(start)), Some(Some(end)), Some(size)) => {
                // A door hangs in the middle of its opening; what has no hinge rests on what is below it.
                let low = if axis == SpaceAxis::Z && opening.hinge.is_none() {
                    Rule::From(start, Coordinate::ZERO)
                } else {
                    Rule::Middle([start, end], -size.half())
                };
                [low, Rule::From(node(item, axis.low()), size)]
            }
            (Some(Some(start)), None, Some(size)) => [
                Rule::From(start, Coordinate::ZERO),
                Rule::From(node(item, axis.low()), size),
            ],
            (None, Some(Some(end)), Some(size)) => [
                Rule::From(node(item, axis.high()), -size),
                Rule::From(end, Coordinate::ZERO),
            ],
            (Some(Some(_)), None, None) | (None, Some(Some(_)), None) => {
                let span = opening.span.clone();
                self.no_size(item, axis, &span)
            }
            _ => [Rule::Failed; 2],
        };
        Some((rules, "in_opening"))
    }

    /// Where the front of what sits in an opening is, from the first part that bounds it.
    fn front_rules(
        &mut self,
        item: usize,
        opening: &OpeningPlan,
        size: Option<Coordinate>,
    ) -> [Rule; 2] {
        let first = [BoxFace::Left, BoxFace::Right, BoxFace::Bottom, BoxFace::Top]
            .into_iter()
            .find_map(|face| opening.bounds[face as usize].as_ref());
        let Some(first) = first else {
            self.problems.push(
                opening.span.clone(),
                "no part bounds this opening",
                "name what bounds it: in_opening = { left = \"left side\", right = \"right side\", bottom = \"bottom\", top = \"top\" }",
            );
            return [Rule::Failed; 2];
        };
        let Some(bound) = self.find(first) else {
            return [Rule::Failed; 2];
        };
        let front = node(bound, BoxFace::Front);
        let own = |face| node(item, face);
        let back_bound = opening.bounds[BoxFace::Back as usize]
            .as_ref()
            .map(|back| self.find(back).map(|item| node(item, BoxFace::Front)));
        let start = match opening.front {
            FrontPlace::Flush => Coordinate::ZERO,
            FrontPlace::Short(by) => Coordinate::of(by),
            FrontPlace::Overlay => {
                return match size {
                    Some(size) => [
                        Rule::From(own(BoxFace::Back), -size),
                        Rule::From(front, Coordinate::ZERO),
                    ],
                    None => self.no_size(item, SpaceAxis::Y, &opening.span),
                };
            }
        };
        let low = Rule::From(front, start);
        match (size, back_bound) {
            (Some(size), _) => [low, Rule::From(own(BoxFace::Front), size)],
            (None, Some(Some(back))) => [low, Rule::From(back, Coordinate::ZERO)],
            (None, Some(None)) => [Rule::Failed; 2],
            (None, None) if self.items[item].places.face(BoxFace::Back).is_some() => {
                [low, Rule::Failed]
            }
            (None, None) => self.no_size(item, SpaceAxis::Y, &opening.span),
        }
    }

    fn placed_twice(&mut self, item: usize, axis: SpaceAxis, span: Range<usize>, by: &str) {
        let one = self.item(item);
        self.problems.push(
            span,
            format!(
                "`{}` is placed twice {}: this, and `{by}`",
                one.name,
                axis.words()
            ),
            "keep one of the two: one face and the size, both faces, or the middle and the size",
        );
    }

    fn no_size(&mut self, item: usize, axis: SpaceAxis, span: &Range<usize>) -> [Rule; 2] {
        let one = self.item(item);
        let size = one.size_words[axis as usize];
        self.problems.push(
            span.clone(),
            format!(
                "`{}` has one place {}, and its {size} is not given",
                one.name,
                axis.words()
            ),
            format!(
                "give its {size}, or place both its {} and its {} face",
                axis.low().word(),
                axis.high().word()
            ),
        );
        [Rule::Failed; 2]
    }

    /// The position of every face, by dependency; a ring of places is noted.
    fn values(&mut self) -> Vec<Option<Coordinate>> {
        #[derive(Clone, Copy, PartialEq)]
        enum State {
            Unseen,
            Open,
            Done(Option<Coordinate>),
        }
        let mut states = vec![State::Unseen; self.rules.len()];
        for start in 0..self.rules.len() {
            let mut stack = vec![start];
            while let Some(&top) = stack.last() {
                if let State::Done(_) = states[top] {
                    stack.pop();
                    continue;
                }
                let first_visit = states[top] == State::Unseen;
                states[top] = State::Open;
                let mut waits = false;
                let mut ring = None;
                for &need in self.rules[top].needs() {
                    match states[need] {
                        State::Done(_) => {}
                        State::Unseen if first_visit => {
                            waits = true;
                            stack.push(need);
                        }
                        State::Unseen | State::Open => ring = Some(need),
                    }
                }
                if let Some(need) = ring {
                    let open: Vec<usize> = stack
                        .iter()
                        .copied()
                        .filter(|node| states[*node] == State::Open)
                        .collect();
                    let from = open.iter().position(|node| *node == need).unwrap_or(0);
                    self.ring(&open[from..]);
                    states[top] = State::Done(None);
                } else if !waits {
                    let value = self.rules[top].value(|node| match states[node] {
                        State::Done(value) => value,
                        State::Unseen | State::Open => None,
                    });
                    states[top] = State::Done(value);
                }
            }
        }
        states
            .into_iter()
            .map(|state| match state {
                State::Done(value) => value,
                State::Unseen | State::Open => None,
            })
            .collect()
    }

    fn ring(&mut self, nodes: &[usize]) {
        let mut items: Vec<usize> = nodes.iter().map(|node| node / 6).collect();
        items.dedup();
        if items.len() > 1 && items.first() == items.last() {
            items.pop();
        }
        let first = items.first().copied().unwrap_or(0);
        let axis = nodes
            .first()
            .map_or(SpaceAxis::X, |node| face_of(*node).axis());
        let span = self.place_span(first, axis);
        let message = if items.len() < 2 {
            format!(
                "`{}` is placed from itself {}",
                self.items[first].name,
                axis.words()
            )
        } else {
            let ring = items
                .iter()
                .chain([&first])
                .map(|item| format!("`{}`", self.items[*item].name))
                .collect::<Vec<_>>()
                .join(" from ");
            format!("these places form a ring {}: {ring}", axis.words())
        };
        self.problems.push(
            span,
            message,
            "give one of them a measure from the left end, the front or the floor, such as \"15in\"",
        );
    }

    /// Where the file places an item on an axis.
    fn place_span(&self, item: usize, axis: SpaceAxis) -> Range<usize> {
        let one = self.item(item);
        let places = &one.places;
        [
            places.face(axis.low()).map(|at| at.span.clone()),
            places.face(axis.high()).map(|at| at.span.clone()),
            places.centre(axis).map(|at| at.span.clone()),
            one.opening.as_ref().map(|opening| opening.span.clone()),
        ]
        .into_iter()
        .flatten()
        .next()
        .unwrap_or_else(|| one.span.clone())
    }

    /// What the two faces of an item on an axis are placed from.
    fn between(&self, item: usize, axis: SpaceAxis) -> String {
        let one = self.item(item);
        let end = |face: BoxFace| {
            let place = one.places.face(face).map(|at| &at.value);
            let bound = one
                .opening
                .as_ref()
                .and_then(|opening| opening.bounds[face as usize].as_ref());
            match (place.and_then(Place::part), bound) {
                (Some(part), _) => format!("`{part}`"),
                (None, Some(bound)) => format!("`{}`", bound.value),
                (None, None) => format!("its {} face", face.word()),
            }
        };
        format!("between {} and {}", end(axis.low()), end(axis.high()))
    }

    fn finished(&mut self, item: usize, values: &[Option<Coordinate>]) -> Option<Solved> {
        let mut low = [Coordinate::ZERO; 3];
        let mut high = [Coordinate::ZERO; 3];
        let mut cut = [None; 3];
        let mut fine = true;
        for axis in SpaceAxis::ALL {
            let start = values[node(item, axis.low())]?;
            let end = values[node(item, axis.high())]?;
            (low[axis as usize], high[axis as usize]) = (start, end);
            let size = end - start;
            let one = self.item(item);
            if size <= Coordinate::ZERO {
                let how = if size == Coordinate::ZERO {
                    "no room is left".to_owned()
                } else {
                    format!("they overlap by {}", millimetres(-size.length()))
                };
                self.problems.push(
                    self.place_span(item, axis),
                    format!(
                        "`{}` has no {}: {} {how}",
                        one.name,
                        one.size_words[axis as usize],
                        self.between(item, axis)
                    ),
                    format!(
                        "place its {} face before its {} face",
                        axis.low().word(),
                        axis.high().word()
                    ),
                );
                fine = false;
                continue;
            }
            let Some(given) = &one.sizes[axis as usize] else {
                continue;
            };
            let differs = Coordinate::of(given.value) - size;
            if differs.abs() > CLOSES_WITHIN {
                let how = if differs > Coordinate::ZERO {
                    "too long"
                } else {
                    "too short"
                };
                let word = one.size_words[axis as usize];
                self.problems.push(
                    given.span.clone(),
                    format!(
                        "the {word} of `{}` is {}, but {} there are {}: {} {how}",
                        one.name,
                        millimetres(given.value),
                        self.between(item, axis),
                        millimetres(size.length()),
                        millimetres(differs.abs().length()),
                    ),
                    format!(
                        "leave the {word} out and it follows from the places, or correct one of the two; up to {} is read as the size as cut",
                        millimetres(CLOSES_WITHIN.length())
                    ),
                );
                fine = false;
            } else if differs != Coordinate::ZERO {
                cut[axis as usize] = Some(Coordinate::of(given.value));
            }
        }
        fine.then(|| Solved {
            cuboid: Cuboid::new(low, high),
            cut,
        })
    }
}

/// Names in backticks with commas between, the first of many.
pub(super) fn listed<'b>(names: impl Iterator<Item = &'b str>) -> String {
    const MOST: usize = 12;
    let names: Vec<String> = names.map(|name| format!("`{name}`")).collect();
    let more = names.len().saturating_sub(MOST);
    let mut list = names[..names.len() - more].join(", ");
    if more > 0 {
        list.push_str(&format!(" and {more} more"));
    }
    list
}

/// The hinge side is a face like any other.
impl From<HingeSide> for BoxFace {
    fn from(side: HingeSide) -> Self {
        side.0
    }
}
