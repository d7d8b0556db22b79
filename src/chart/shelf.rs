//! A loaded shelf: its line at first and after years.

use super::along::{Along, LEFT, NOTE, RIGHT, TEXT, WIDTH, strip, times_words, wedge};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::sheet::{Point, Sheet, TextStyle};
use super::words::length;
use crate::units::notation::shown;
use crate::units::{Length, UnitSystem};

/// A place along a shelf with how far it hangs below the straight line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SagPoint {
    /// Place from the left end.
    pub at: Length,
    /// Sag when the load is put on, downward positive.
    pub at_first: Length,
    /// Sag after years of load, downward positive.
    pub after_years: Length,
}

/// A shelf under its load.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfFigure {
    /// The shelf.
    pub shelf: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// Its length.
    pub length: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Its line, in order.
    pub points: Vec<SagPoint>,
    /// Its supports: name and place.
    pub supports: Vec<(String, Length)>,
    /// The load in words: `books, 25 lb to the foot`.
    pub load: String,
    /// The sag allowed, where one is.
    pub allowed: Option<Length>,
}

impl ShelfFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Sag of the {}", self.shelf)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let along = Along::of(self.length);
        let deepest = self.deepest();
        let most = self
            .points
            .iter()
            .flat_map(|p| [p.at_first.mm(), p.after_years.mm()])
            .chain(self.allowed.map(Length::mm));
        let (low, high) = most.fold((0.0f64, 0.0f64), |(l, h), v| (l.max(v), h.min(v)));
        let times = along.times(low - high, 52.0);
        let per = times * along.per_mm;
        let thick = along.thick(self.thickness);
        let base = 62.0 + thick / 2.0 - high * per;
        let bottom = base + low * per + thick / 2.0;
        let height = bottom + 78.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let line = |sag: fn(&SagPoint) -> Length| -> Vec<Point> {
            self.points
                .iter()
                .map(|p| (along.x(p.at.mm()), base + sag(p).mm() * per))
                .collect()
        };
        let (first, years) = (line(|p| p.at_first), line(|p| p.after_years));
        load_arrows(&sheet, base - thick / 2.0 + high * per - 4.0);
        sheet.text(NOTE.centred(), &self.load, (WIDTH / 2.0, 18.0));
        sheet.open("hs-first");
        strip(&sheet, self.tone, &first, thick);
        sheet.close();
        let under: Vec<Point> = years.iter().map(|p| (p.0, p.1 + thick / 2.0)).collect();
        sheet.open("hs-years");
        sheet.path(Ink::FirstYear, &under);
        sheet.close();
        if let Some(allowed) = self.allowed {
            let y = base + allowed.mm() * per + thick / 2.0;
            sheet.path(Ink::Limit, &[(LEFT, y), (RIGHT, y)]);
            sheet.text(
                TextStyle::new(Ink::FaultLetter, 12.0),
                &format!("allowed {}", shown(allowed, system)),
                (LEFT, y + 14.0),
            );
        }
        for (_, at) in &self.supports {
            wedge(&sheet, (along.x(at.mm()), base + thick / 2.0 + 1.0), false);
        }
        along.ruler(&sheet, height - 44.0, self.length, system);
        sheet.text(NOTE, &times_words(times), (LEFT, height - 6.0));
        if let Some(deepest) = deepest {
            let words = format!(
                "{} at first, {} after years",
                shown(deepest.at_first, system),
                shown(deepest.after_years, system)
            );
            sheet.text(TEXT.right(), &words, (RIGHT, height - 6.0));
        }
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "The wood is the shelf when loaded, the dashes its under side after years of that load; {}.",
                    times_words(times)
                ),
                description: match deepest {
                    Some(deepest) => format!(
                        "Under {} the shelf sags most at {}: {} at first and {} after years.",
                        self.load,
                        length(deepest.at, system),
                        shown(deepest.at_first, system),
                        shown(deepest.after_years, system)
                    ),
                    None => "The shelf carries nothing.".to_owned(),
                },
            },
            sheet,
            self.table(system),
        )
    }

    fn deepest(&self) -> Option<&SagPoint> {
        self.points.iter().max_by(|a, b| {
            a.after_years
                .mm()
                .abs()
                .total_cmp(&b.after_years.mm().abs())
        })
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        let step = self.points.len().div_ceil(12).max(1);
        NumberTable {
            heads: ["At", "Sag at first", "Sag after years"]
                .map(str::to_owned)
                .to_vec(),
            rows: self
                .points
                .iter()
                .step_by(step)
                .map(|p| {
                    vec![
                        length(p.at, system),
                        length(p.at_first, system),
                        length(p.after_years, system),
                    ]
                })
                .collect(),
        }
    }
}

fn load_arrows(sheet: &Sheet, y: f64) {
    let count = 13;
    for i in 0..count {
        let x = LEFT + 10.0 + (RIGHT - LEFT - 20.0) * f64::from(i) / f64::from(count - 1);
        sheet.arrow((x, y - 20.0), (x, y));
    }
    sheet.path(
        Ink::Dimension,
        &[(LEFT + 10.0, y - 20.0), (RIGHT - 10.0, y - 20.0)],
    );
}
