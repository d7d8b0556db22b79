//! Small figures that go through the year month by month: one picture a month, each in a
//! group of its own, of which a page shows the one chosen.

use super::end_grain::{WoodTone, rectangle, ring_lines};
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::Frame;
use super::section::{Exaggerated, exaggeration};
use super::sheet::{Point, Sheet, TextStyle};
use super::simplify::needed;
use super::words::{decimals, length, month_name, percent};
use crate::movement::{Face, MovedSection, Section};
use crate::units::{Curvature, Length, MoistureContent, UnitSystem};

const WIDTH: f64 = 320.0;
const TEXT: TextStyle = TextStyle::new(Ink::Letter, 13.0);
const NOTE: TextStyle = TextStyle::new(Ink::Note, 11.5);

/// A section in the middle of one month.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionMonth {
    /// Its moisture content.
    pub moisture: MoistureContent,
    /// Its shape; `None` when it contains the pith.
    pub moved: Option<MovedSection>,
    /// The bend of the slope of moisture, positive when the heart face turns hollow.
    pub slope_bend: Curvature,
}

/// A part's section month by month.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionWalk {
    /// The part.
    pub part: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// The section as measured.
    pub section: Section,
    /// Whether its rings give a cup; else they are straight by rule.
    pub cup_known: bool,
    /// January to December.
    pub months: [SectionMonth; 12],
}

/// A fit's gap month by month.
#[derive(Debug, Clone, PartialEq)]
pub struct GapWalk {
    /// The joint.
    pub joint: String,
    /// What the gap is.
    pub measure: String,
    /// The gap in the middle of each month, January to December, millimetres.
    pub gap_mm: [f64; 12],
    /// The minimum gap allowed.
    pub min: Option<Length>,
    /// The maximum gap allowed.
    pub max: Option<Length>,
    /// How dark the wood of the part that moves is drawn.
    pub tone: WoodTone,
}

/// Opens the group of one month; a page that lets the reader choose shows one of the twelve.
fn open_month(sheet: &Sheet, month: usize) {
    sheet.open(&format!("hs-m hs-m{month}"));
}

impl SectionWalk {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        super::words::capital(&self.part)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let (width, thickness) = (self.section.width.mm(), self.section.thickness.mm());
        let longest = self
            .months
            .iter()
            .filter_map(|m| Some(Exaggerated::new(m.moved?, m.slope_bend, 1.0).longest_way()))
            .fold(0.0, f64::max);
        let factor = exaggeration(longest, 0.05 * width + 0.25 * thickness);
        let per_mm = ((WIDTH - 24.0) / (1.08 * width)).min(70.0 / thickness);
        let reach = (longest * factor).min(0.05 * width + 0.3 * thickness) * per_mm;
        let base = 40.0 + reach + thickness * per_mm;
        let height = base + reach + 12.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let put = |p: Point| (WIDTH / 2.0 + p.0 * per_mm, base - p.1 * per_mm);
        for (month, state) in self.months.iter().enumerate() {
            open_month(&sheet, month);
            let words = match state.moved {
                Some(moved) => {
                    self.draw_moved(
                        &sheet,
                        Exaggerated::new(moved, state.slope_bend, factor),
                        put,
                        per_mm,
                    );
                    length(moved.width(Face::Bark), system)
                }
                None => "contains the pith".to_owned(),
            };
            sheet.text(TEXT.bold(), month_name(month), (12.0, 18.0));
            let text = format!("{}, {words}", percent(state.moisture.percent()));
            sheet.text(TEXT.right(), &text, (WIDTH - 12.0, 18.0));
            sheet.close();
        }
        let ghost: Vec<Point> = rectangle(&self.section, 2).into_iter().map(put).collect();
        sheet.ring(Ink::Ghost, &ghost);
        let times = if factor > 1.0 {
            format!(", change drawn {} times larger", decimals(factor, 0))
        } else {
            String::new()
        };
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: format!("The dashes are the section as measured{times}."),
                description: format!("Section of the {} in the middle of each month.", self.part),
            },
            sheet,
            NumberTable {
                heads: ["Month", "Moisture", "Width", "Bark face hollow by"]
                    .map(str::to_owned)
                    .to_vec(),
                rows: self
                    .months
                    .iter()
                    .enumerate()
                    .map(|(month, state)| {
                        let mut row = vec![
                            month_name(month).to_owned(),
                            percent(state.moisture.percent()),
                        ];
                        row.extend(state.moved.map_or(
                            ["\u{2013}".to_owned(), "\u{2013}".to_owned()],
                            |moved| {
                                [
                                    length(moved.width(Face::Bark), system),
                                    if self.cup_known {
                                        length(moved.cup_with(Face::Bark, state.slope_bend), system)
                                    } else {
                                        "not known".to_owned()
                                    },
                                ]
                            },
                        ));
                        row
                    })
                    .collect(),
            },
        )
    }

    fn draw_moved(
        &self,
        sheet: &Sheet,
        shape: Exaggerated,
        put: impl Fn(Point) -> Point,
        per_mm: f64,
    ) {
        let outline: Vec<Point> = rectangle(&self.section, 9)
            .into_iter()
            .map(|p| put(shape.at(p)))
            .collect();
        sheet.shape(self.tone.wood(), &outline);
        for line in ring_lines(&self.section, (11.0 / per_mm).max(3.0)) {
            let drawn: Vec<Point> = line.into_iter().map(|p| put(shape.at(p))).collect();
            let kept: Vec<Point> = drawn
                .iter()
                .zip(needed(&drawn, 0.4))
                .filter_map(|(p, keep)| keep.then_some(*p))
                .collect();
            sheet.path(self.tone.ring(), &kept);
        }
        sheet.ring(Ink::Outline, &outline);
    }
}

impl GapWalk {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        super::words::capital(&self.joint)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let height = 112.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let finite = self.gap_mm.iter().copied().filter(|gap| gap.is_finite());
        let limits = [self.min, self.max].into_iter().flatten().map(Length::mm);
        let most = finite.chain(limits).fold(0.5, f64::max);
        let (wall, room) = (62.0, 150.0);
        let x = |mm: f64| wall + mm / most * room;
        let (top, bottom) = (32.0, 76.0);
        for (month, gap) in self
            .gap_mm
            .iter()
            .enumerate()
            .filter(|(_, gap)| gap.is_finite())
        {
            open_month(&sheet, month);
            // A gap below zero would press the part into its opening: the edge then stands in the wall.
            let edge = x(gap.max(-0.2 * most));
            let frame = Frame {
                left: edge,
                top: top + 5.0,
                right: WIDTH - 12.0,
                bottom: bottom - 5.0,
            };
            sheet.block(self.tone.wood(), frame);
            sheet.ring(
                Ink::Outline,
                &[
                    (frame.left, frame.top),
                    (frame.right, frame.top),
                    (frame.right, frame.bottom),
                    (frame.left, frame.bottom),
                ],
            );
            sheet.text(TEXT.bold(), month_name(month), (12.0, 18.0));
            let bad =
                self.min.is_some_and(|l| *gap < l.mm()) || self.max.is_some_and(|g| *gap > g.mm());
            let hand = if bad {
                TextStyle::new(Ink::FaultLetter, 13.0).bold()
            } else {
                TEXT
            };
            let words = format!(
                "{}{}",
                length(Length::from_mm_unchecked(*gap), system),
                if bad { ", outside its limits" } else { "" }
            );
            sheet.text(hand.right(), &words, (WIDTH - 12.0, 18.0));
            sheet.close();
        }
        sheet.block(
            Ink::TanWood,
            Frame {
                left: 12.0,
                top,
                right: wall,
                bottom,
            },
        );
        sheet.ring(
            Ink::Outline,
            &[(12.0, top), (wall, top), (wall, bottom), (12.0, bottom)],
        );
        for (limit, name) in [(self.min, "min"), (self.max, "max")] {
            if let Some(limit) = limit {
                let at = x(limit.mm());
                sheet.path(Ink::Limit, &[(at, top - 4.0), (at, bottom + 6.0)]);
                sheet.text(NOTE.centred(), name, (at.max(28.0), height - 16.0));
            }
        }
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: "On the left what holds, on the right what is held, between them the gap."
                    .to_owned(),
                description: format!("The {} in the middle of each month.", self.measure),
            },
            sheet,
            NumberTable {
                heads: ["Month", "Gap"].map(str::to_owned).to_vec(),
                rows: self
                    .gap_mm
                    .iter()
                    .enumerate()
                    .map(|(month, gap)| {
                        vec![
                            month_name(month).to_owned(),
                            length(Length::from_mm_unchecked(*gap), system),
                        ]
                    })
                    .collect(),
            },
        )
    }
}
