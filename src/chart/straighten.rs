//! A bowed panel held straight: the force at each divider and the residual bow left over.

use super::along::{Along, LEFT, NOTE, RIGHT, TEXT, WIDTH, stacked, strip, times_words};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::sheet::{Point, Sheet, TextStyle};
use super::words::length;
use crate::units::notation::shown;
use crate::units::{Force, Length, UnitSystem, notation};

/// A place along a panel with two heights, as it lies free and as it is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldPoint {
    /// Place from the panel's start.
    pub at: Length,
    /// Height of the free panel over the straight line through its ends.
    pub free: Length,
    /// Height of the held panel over the straight line.
    pub held: Length,
}

/// A support with what it must do.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportView {
    /// Its name: `divider 2`.
    pub name: String,
    /// Place from the panel's start.
    pub at: Length,
    /// The force it puts on the panel, positive downward in the picture (crown up).
    pub down: Force,
    /// What the force feels like: `a firm push by hand`; empty for none.
    pub felt: String,
    /// The panel leaves it: it can only push and would have to pull.
    pub lost: bool,
}

/// A bowed panel and its supports, crown up.
#[derive(Debug, Clone, PartialEq)]
pub struct StraightenFigure {
    /// The panel.
    pub panel: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// Its length.
    pub length: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Heights along it, in order.
    pub points: Vec<HeldPoint>,
    /// Its supports, in order.
    pub supports: Vec<SupportView>,
    /// The residual bow left over: the maximum height of the held panel off the straight line.
    pub leftover: Length,
}

impl StraightenFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Force that holds the {} straight", self.panel)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let along = Along::of(self.length);
        let (low, high) = self
            .points
            .iter()
            .flat_map(|p| [p.free.mm(), p.held.mm()])
            .fold((0.0f64, 0.0f64), |(l, h), v| (l.min(v), h.max(v)));
        let times = along.times(high - low, 62.0);
        let per_height = times * along.per_mm;
        let thick = along.thick(self.thickness);
        let top = 92.0;
        let base = top + high * per_height + thick / 2.0;
        let bottom = base - low * per_height + thick / 2.0;
        let height = bottom + 96.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let put = |at: f64, up: f64| (along.x(at), base - up * per_height);
        let free: Vec<Point> = self
            .points
            .iter()
            .map(|p| put(p.at.mm(), p.free.mm()))
            .collect();
        let held: Vec<Point> = self
            .points
            .iter()
            .map(|p| put(p.at.mm(), p.held.mm()))
            .collect();
        sheet.open("hs-free");
        sheet.path(Ink::Ghost, &free);
        sheet.close();
        if let Some(crown) = self
            .points
            .iter()
            .max_by(|a, b| a.free.mm().total_cmp(&b.free.mm()))
        {
            let words = format!("free: bow {}", shown(crown.free, system));
            let at = put(crown.at.mm(), crown.free.mm());
            // Beside the crown, where no divider's arrow comes down.
            sheet.text(NOTE, &words, (at.0 + 14.0, at.1 - 5.0));
        }
        sheet.open("hs-held");
        strip(&sheet, self.tone, &held, thick);
        sheet.close();
        let most = self
            .supports
            .iter()
            .map(|s| s.down.newtons().abs())
            .fold(0.0, f64::max);
        for support in &self.supports {
            let at = held_at(&held, along.x(support.at.mm()));
            let long = 14.0 + 22.0 * support.down.newtons().abs() / most.max(1e-9);
            let pushes_down = support.down.newtons() >= 0.0;
            let (edge, far) = if pushes_down {
                (at.1 - thick / 2.0 - 2.0, at.1 - thick / 2.0 - 2.0 - long)
            } else {
                (at.1 + thick / 2.0 + 2.0, at.1 + thick / 2.0 + 2.0 + long)
            };
            if support.lost {
                sheet.path(
                    Ink::FaultMark,
                    &[(at.0 - 5.0, edge - 5.0), (at.0 + 5.0, edge + 5.0)],
                );
                sheet.path(
                    Ink::FaultMark,
                    &[(at.0 - 5.0, edge + 5.0), (at.0 + 5.0, edge - 5.0)],
                );
            } else {
                sheet.arrow((at.0, far), (at.0, edge));
            }
            let force = if support.lost {
                "panel leaves it".to_owned()
            } else {
                notation::force_shown(
                    Force::computed_newtons(support.down.newtons().abs()),
                    system,
                )
            };
            let lines = [
                (TEXT, support.name.clone()),
                (TextStyle::new(Ink::Letter, 12.5).bold(), force),
            ];
            let y = if pushes_down { 24.0 } else { bottom + 54.0 };
            stacked(&sheet, &lines, at.0, y);
            let leader = if pushes_down {
                (y + 20.0, far)
            } else {
                (far, y - 13.0)
            };
            if leader.1 - leader.0 > 4.0 {
                sheet.path(Ink::Grid, &[(at.0, leader.0), (at.0, leader.1)]);
            }
        }
        sheet.text(NOTE, &times_words(times), (LEFT, height - 8.0));
        sheet.text(
            NOTE.right(),
            &format!("residual bow left over {}", shown(self.leftover, system)),
            (RIGHT, height - 8.0),
        );
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "The dashes are the panel as it lies free, the wood is the panel held; each arrow is what that support puts on it; {}.",
                    times_words(times)
                ),
                description: self.described(system),
            },
            sheet,
            self.table(system),
        )
    }

    fn described(&self, system: UnitSystem) -> String {
        let mut text = String::new();
        for support in &self.supports {
            let way = match (support.lost, support.down.newtons() >= 0.0) {
                (true, _) => "the panel leaves it".to_owned(),
                (false, down) => format!(
                    "{} {}",
                    if down {
                        "pushes the crown down with"
                    } else {
                        "holds up with"
                    },
                    notation::force_shown(
                        Force::computed_newtons(support.down.newtons().abs()),
                        system
                    )
                ),
            };
            text.push_str(&format!(
                "{}, at {}: {way}. ",
                support.name,
                length(support.at, system)
            ));
        }
        text.push_str(&format!(
            "The residual bow left over is {}.",
            shown(self.leftover, system)
        ));
        text
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        NumberTable {
            heads: ["Support", "At", "Force, downward", "Feels like"]
                .map(str::to_owned)
                .to_vec(),
            rows: self
                .supports
                .iter()
                .map(|support| {
                    vec![
                        support.name.clone(),
                        length(support.at, system),
                        if support.lost {
                            "lost".to_owned()
                        } else {
                            notation::force_shown(support.down, system)
                        },
                        support.felt.clone(),
                    ]
                })
                .collect(),
        }
    }
}

/// The point of a line above a place, between its vertices.
fn held_at(line: &[Point], x: f64) -> Point {
    let y = line
        .windows(2)
        .find(|pair| pair[1].0 >= x)
        .map(|pair| {
            let share = ((x - pair[0].0) / (pair[1].0 - pair[0].0).max(1e-9)).clamp(0.0, 1.0);
            pair[0].1 + share * (pair[1].1 - pair[0].1)
        })
        .or(line.last().map(|p| p.1))
        .unwrap_or(0.0);
    (x, y)
}
