//! A part's section before and after, drawn as end grain.

use super::end_grain::{self, WoodTone, rectangle};
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::lettering::fitted;
use super::sheet::{Point, Sheet, TextStyle};
use super::words::{capital, decimals, length, percent};
use crate::movement::{CUP_NOT_KNOWN, Face, MovedSection, Rings, Section};
use crate::units::notation::shown;
use crate::units::{Angle, Curvature, Length, MoistureContent, UnitSystem};

/// One state a section comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionState {
    /// When: `driest, 14 Feb`.
    pub when: String,
    /// The moisture content then.
    pub moisture: MoistureContent,
    /// The section then; `None` when it contains the pith and has no shape free of stress.
    pub moved: Option<MovedSection>,
    /// The bend of the slope of moisture through the thickness, positive when the heart face turns hollow.
    pub slope_bend: Curvature,
}

/// A section as measured and in the states it comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionFigure {
    /// The part.
    pub part: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// The section as measured.
    pub section: Section,
    /// Whether its rings give a cup; else they are straight by rule.
    pub cup_known: bool,
    /// When it was measured: `today, 5 Oct`.
    pub when: String,
    /// The moisture content it was measured at.
    pub moisture: MoistureContent,
    /// The states it comes to.
    pub states: Vec<SectionState>,
}

const WIDTH: f64 = 600.0;
const SIDE: f64 = 34.0;
const HEAD: TextStyle = TextStyle::new(Ink::Letter, 13.5).bold();
const NOTE: TextStyle = TextStyle::new(Ink::Note, 12.0);
const SIZE: TextStyle = TextStyle::new(Ink::Letter, 12.5);

/// The shape of a moved section with its changes drawn larger.
#[derive(Clone, Copy)]
pub(super) struct Exaggerated {
    moved: MovedSection,
    half: f64,
    middle: Point,
    turn: (f64, f64),
    bend: f64,
    factor: f64,
}

impl Exaggerated {
    pub(super) fn new(moved: MovedSection, slope_bend: Curvature, factor: f64) -> Self {
        let half = moved.before().width.mm() / 2.0;
        let (left, right) = (moved.point_mm(-half, 0.0), moved.point_mm(half, 0.0));
        let (dx, dz) = (right.0 - left.0, right.1 - left.1);
        let long = libm::hypot(dx, dz).max(1e-12);
        Self {
            moved,
            half,
            middle: ((left.0 + right.0) / 2.0, (left.1 + right.1) / 2.0),
            turn: (dx / long, dz / long),
            bend: slope_bend.per_mm(),
            factor,
        }
    }

    /// How far the shape drawn reaches below and above the section as it was, millimetres.
    fn beyond(&self) -> (f64, f64) {
        let thickness = self.moved.before().thickness.mm();
        rectangle(&self.moved.before(), 33)
            .into_iter()
            .map(|p| self.at(p).1)
            .fold((0.0, 0.0), |(down, up), z| {
                (f64::max(down, -z), f64::max(up, z - thickness))
            })
    }

    /// How far a point of the section goes, the heart face's chord kept level.
    fn way(&self, p: Point) -> Point {
        let moved = self.moved.point_mm(p.0, p.1);
        let (dx, dz) = (moved.0 - self.middle.0, moved.1 - self.middle.1);
        let (cos, sin) = self.turn;
        let arc = self.bend / 2.0 * (self.half * self.half - p.0 * p.0);
        (dx * cos + dz * sin - p.0, dz * cos - dx * sin + arc - p.1)
    }

    /// Where a point of the section is drawn, millimetres.
    pub(super) fn at(&self, p: Point) -> Point {
        let way = self.way(p);
        (p.0 + self.factor * way.0, p.1 + self.factor * way.1)
    }

    /// The longest way any point of the outline goes, true size.
    pub(super) fn longest_way(&self) -> f64 {
        rectangle(&self.moved.before(), 33)
            .into_iter()
            .map(|p| {
                let way = self.way(p);
                libm::hypot(way.0, way.1)
            })
            .fold(0.0, f64::max)
    }
}

/// The largest round factor that keeps a way of `longest` mm within `room` mm, 1 to 50.
pub(super) fn exaggeration(longest: f64, room: f64) -> f64 {
    [50.0, 40.0, 30.0, 20.0, 15.0, 10.0, 8.0, 5.0, 4.0, 3.0, 2.0]
        .into_iter()
        .find(|factor| factor * longest <= room)
        .unwrap_or(1.0)
}

struct Place {
    per_mm: f64,
    base: f64,
}

impl Place {
    fn at(&self, p: Point) -> Point {
        (
            WIDTH / 2.0 + p.0 * self.per_mm,
            self.base - p.1 * self.per_mm,
        )
    }
}

impl SectionFigure {
    fn room_mm(&self) -> f64 {
        0.05 * self.section.width.mm() + 0.25 * self.section.thickness.mm()
    }

    /// How many times larger than true the changes are drawn.
    #[must_use]
    pub fn exaggeration(&self) -> f64 {
        let longest = self
            .states
            .iter()
            .filter_map(|state| {
                Some(Exaggerated::new(state.moved?, state.slope_bend, 1.0).longest_way())
            })
            .fold(0.0, f64::max);
        exaggeration(longest, self.room_mm())
    }

    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("End grain of the {}, before and after", self.part)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let factor = self.exaggeration();
        let (width, thickness) = (self.section.width.mm(), self.section.thickness.mm());
        let per_mm = ((WIDTH - 2.0 * SIDE) / (width + 0.06 * width)).min(84.0 / thickness);
        let tall = thickness * per_mm;
        let first = tall + 96.0;
        // Every state gets the height its own shape needs.
        let shapes: Vec<Option<Exaggerated>> = self
            .states
            .iter()
            .map(|state| Some(Exaggerated::new(state.moved?, state.slope_bend, factor)))
            .collect();
        let mut tops = vec![first];
        for shape in &shapes {
            let (down, up) = shape.map_or((0.0, 0.0), |shape| shape.beyond());
            let top = tops.last().copied().unwrap_or(first);
            tops.push(top + tall + (down + up) * per_mm + 102.0);
        }
        let height = tops.last().copied().unwrap_or(first) + 4.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let base = 62.0 + tall;
        self.draw_before(&sheet, system, &Place { per_mm, base });
        for ((state, shape), top) in self.states.iter().zip(&shapes).zip(&tops) {
            match shape {
                Some(shape) => {
                    let base = top + 54.0 + shape.beyond().1 * per_mm + tall;
                    self.draw_state(
                        &sheet,
                        system,
                        (state, *shape),
                        *top,
                        &Place { per_mm, base },
                    );
                }
                None => heading(
                    &sheet,
                    *top,
                    &state.when,
                    state.moisture,
                    "no shape free of stress",
                ),
            }
        }
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: self.reading(factor),
                description: self.described(system),
            },
            sheet,
            self.table(system),
        )
    }

    fn draw_before(&self, sheet: &Sheet, system: UnitSystem, place: &Place) {
        let (half, thickness) = (self.section.width.mm() / 2.0, self.section.thickness.mm());
        heading(sheet, 4.0, &self.when, self.moisture, "");
        let (left, right) = (place.at((-half, thickness)), place.at((half, thickness)));
        over_dimension(sheet, left, right, &length(self.section.width, system));
        sheet.text(NOTE, "bark side", (left.0, left.1 - 6.0));
        sheet.open("hs-before");
        end_grain::draw(sheet, &self.section, self.tone, place.per_mm, |p| {
            place.at(p)
        });
        sheet.close();
        let below = place.base + 16.0;
        let free = match self.section.rings {
            Rings::Straight { angle } => (WIDTH - NOTE.width(&self.straight_words(angle))) / 2.0,
            Rings::Pith { .. } => WIDTH,
        };
        if left.0 + NOTE.width("heart side") + 8.0 < free {
            sheet.text(NOTE, "heart side", (left.0, below));
        }
        self.draw_pith(sheet, system, place);
    }

    fn draw_pith(&self, sheet: &Sheet, system: UnitSystem, place: &Place) {
        let (half, thickness) = (self.section.width.mm() / 2.0, self.section.thickness.mm());
        match self.section.rings {
            Rings::Pith { depth, offset } => {
                let pith = place.at((offset.mm(), -depth.mm()));
                if self.section.contains_pith() {
                    cross(sheet, pith);
                    let text = "the pith is in the board: it will check";
                    sheet.text(
                        TextStyle::new(Ink::FaultLetter, 12.0).centred(),
                        text,
                        (WIDTH / 2.0, place.base + 16.0),
                    );
                    return;
                }
                let away = offset.mm().abs() - half;
                let text = if depth.mm() >= 0.0 {
                    format!("to the pith, {} below this face", length(depth, system))
                } else if -depth.mm() > thickness {
                    format!(
                        "the pith lies {} above the bark face",
                        length(Length::from_mm_unchecked(-depth.mm() - thickness), system)
                    )
                } else {
                    format!(
                        "the pith lies {} past this edge",
                        length(Length::from_mm_unchecked(away), system)
                    )
                };
                let x = (offset.mm().clamp(-half, half)) * place.per_mm + WIDTH / 2.0;
                let from = (x, place.base + 4.0);
                let (dx, dy) = (pith.0 - x, pith.1 - place.base);
                let long = libm::hypot(dx, dy).max(1e-9);
                let to = if dy > 0.0 {
                    (from.0 + dx / long * 26.0, from.1 + dy / long * 26.0)
                } else {
                    (
                        from.0 + 26.0 * dx.signum() * f64::from(u8::from(away > 0.0)),
                        from.1 + 2.0,
                    )
                };
                if depth.mm() >= 0.0 || away > 0.0 {
                    sheet.arrow(from, to);
                }
                let room_right = WIDTH - x.max(to.0) - 12.0;
                if NOTE.width(&text) < room_right {
                    sheet.text(NOTE, &text, (x.max(to.0) + 10.0, place.base + 24.0));
                } else {
                    sheet.text(NOTE.right(), &text, (x.min(to.0) - 10.0, place.base + 24.0));
                }
            }
            Rings::Straight { angle } => {
                let at = (WIDTH / 2.0, place.base + 16.0);
                sheet.text(NOTE.centred(), &self.straight_words(angle), at);
            }
        }
    }

    fn draw_state(
        &self,
        sheet: &Sheet,
        system: UnitSystem,
        (state, shape): (&SectionState, Exaggerated),
        top: f64,
        place: &Place,
    ) {
        let times = if shape.factor > 1.0 {
            format!("change drawn {} times larger", decimals(shape.factor, 0))
        } else {
            "change drawn true size".to_owned()
        };
        heading(sheet, top, &state.when, state.moisture, &times);
        let (half, thickness) = (self.section.width.mm() / 2.0, self.section.thickness.mm());
        let (left, right) = (shape.at((-half, thickness)), shape.at((half, thickness)));
        let (down, up) = shape.beyond();
        let lift = place.at((0.0, thickness + up)).1;
        over_dimension(
            sheet,
            (place.at(left).0, lift),
            (place.at(right).0, lift),
            &width_change(shape.moved, self.section.width, system),
        );
        sheet.open("hs-after");
        end_grain::draw(sheet, &self.section, self.tone, place.per_mm, |p| {
            place.at(shape.at(p))
        });
        let ghost: Vec<Point> = rectangle(&self.section, 2)
            .into_iter()
            .map(|p| place.at(p))
            .collect();
        sheet.ring(Ink::Ghost, &ghost);
        sheet.close();
        let words = self.cup_words(shape.moved, state.slope_bend, system);
        let below = place.base + down * place.per_mm + 18.0;
        sheet.text(SIZE.centred(), &words, (WIDTH / 2.0, below));
    }

    fn straight_words(&self, angle: Angle) -> String {
        let degrees = decimals(angle.degrees(), 0);
        if self.cup_known {
            format!("rings straight, {degrees}\u{b0} to the face: no cup from them")
        } else {
            format!("rings taken as straight, {degrees}\u{b0} to the face")
        }
    }

    fn cup_words(&self, moved: MovedSection, slope_bend: Curvature, system: UnitSystem) -> String {
        if self.cup_known {
            cup_words(moved.cup_with(Face::Bark, slope_bend), system)
        } else {
            CUP_NOT_KNOWN.to_owned()
        }
    }

    fn reading(&self, factor: f64) -> String {
        let mut text = "Seen from the end that was measured, bark side up. The dashes are the section as measured".to_owned();
        if factor > 1.0 {
            text.push_str(&format!(
                "; the way each point goes is drawn {} times larger than it is",
                decimals(factor, 0)
            ));
        }
        text.push_str(". The rings show how the board was cut from the log, not their number.");
        text
    }

    fn described(&self, system: UnitSystem) -> String {
        let mut text = format!(
            "A section {} wide and {} thick at {}.",
            length(self.section.width, system),
            length(self.section.thickness, system),
            percent(self.moisture.percent())
        );
        for state in &self.states {
            text.push(' ');
            match state.moved {
                Some(moved) => text.push_str(&format!(
                    "{}, at {}: {}; {}.",
                    capital(&state.when),
                    percent(state.moisture.percent()),
                    width_change(moved, self.section.width, system),
                    self.cup_words(moved, state.slope_bend, system)
                )),
                None => text.push_str(&format!(
                    "{}: the section contains the pith, it will check and no shape is given.",
                    capital(&state.when)
                )),
            }
        }
        text
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        let words = |length_of: Length| length(length_of, system);
        let mut rows = vec![vec![
            capital(&self.when),
            percent(self.moisture.percent()),
            words(self.section.width),
            words(self.section.width),
            words(self.section.thickness),
            words(Length::ZERO),
        ]];
        for state in &self.states {
            let mut row = vec![capital(&state.when), percent(state.moisture.percent())];
            match state.moved {
                Some(moved) => row.extend([
                    words(moved.width(Face::Bark)),
                    words(moved.width(Face::Heart)),
                    words(moved.thickness_at(Length::ZERO)),
                    self.cup_known
                        .then(|| moved.cup_with(Face::Bark, state.slope_bend))
                        .map_or_else(|| "not known".to_owned(), words),
                ]),
                None => row.extend(vec!["\u{2013}".to_owned(); 4]),
            }
            rows.push(row);
        }
        NumberTable {
            heads: [
                "State",
                "Moisture",
                "Width, bark face",
                "Width, heart face",
                "Thickness, middle",
                "Bark face hollow by",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows,
        }
    }
}

fn heading(sheet: &Sheet, top: f64, when: &str, moisture: MoistureContent, note: &str) {
    let text = format!("{}, {}", capital(when), percent(moisture.percent()));
    let room = WIDTH - 2.0 * SIDE - NOTE.width(note) - 12.0;
    sheet.text(
        HEAD,
        &fitted(&text, HEAD.size(), HEAD.is_bold(), room),
        (SIDE, top + 14.0),
    );
    sheet.text(NOTE.right(), note, (WIDTH - SIDE, top + 14.0));
}

/// A dimension line above two points, its text in a gap of the line.
fn over_dimension(sheet: &Sheet, left: Point, right: Point, text: &str) {
    let y = left.1 - 22.0;
    let middle = (left.0 + right.0) / 2.0;
    let gap = SIZE.width(text) / 2.0 + 8.0;
    for end in [left, right] {
        sheet.path(
            Ink::Dimension,
            &[(end.0 - 3.5, y + 3.5), (end.0 + 3.5, y - 3.5)],
        );
        sheet.path(Ink::Dimension, &[(end.0, y - 6.0), (end.0, y + 8.0)]);
    }
    if right.0 - left.0 > 2.0 * gap + 8.0 {
        sheet.path(Ink::Dimension, &[(left.0, y), (middle - gap, y)]);
        sheet.path(Ink::Dimension, &[(middle + gap, y), (right.0, y)]);
        sheet.text(SIZE.centred().level(), text, (middle, y));
    } else {
        sheet.path(Ink::Dimension, &[(left.0, y), (right.0, y)]);
        // No clearance between: beside the line, the change under the size.
        let (size, change) = text.split_once(", ").unwrap_or((text, ""));
        sheet.text(SIZE, size, (right.0 + 12.0, y + 2.0));
        sheet.text(SIZE, change, (right.0 + 12.0, y + 17.0));
    }
}

fn cross(sheet: &Sheet, at: Point) {
    for turn in [1.0, -1.0] {
        sheet.path(
            Ink::FaultMark,
            &[
                (at.0 - 5.0, at.1 - 5.0 * turn),
                (at.0 + 5.0, at.1 + 5.0 * turn),
            ],
        );
    }
}

/// A change below this is none in the thousandths of an inch and hundredths of a millimetre that are shown.
const SEEN_MM: f64 = 0.0128;

fn width_change(moved: MovedSection, before: Length, system: UnitSystem) -> String {
    let width = moved.width(Face::Bark);
    let change = width - before;
    // What the shown digits cannot tell from nothing is not given as nought of something.
    if change.mm().abs() < SEEN_MM {
        return format!("{} wide, as today", length(width, system));
    }
    let word = if change.mm() < 0.0 {
        "narrower"
    } else {
        "wider"
    };
    format!(
        "{} wide, {} {word}",
        length(width, system),
        shown(change.abs(), system)
    )
}

fn cup_words(cup: Length, system: UnitSystem) -> String {
    if cup.mm().abs() < SEEN_MM {
        "no cup".to_owned()
    } else if cup.mm() > 0.0 {
        format!("bark face hollow by {}", shown(cup, system))
    } else {
        format!("bark face round by {}", shown(cup.abs(), system))
    }
}
