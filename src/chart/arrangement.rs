//! A panel of leaves: end view with their rings, edge view with their bows, both as the
//! panel room lays them out.

use super::along::{
    Along, HEAD, LEFT, NOTE, RIGHT, TEXT, WIDTH, enlarged_words, strip, times_words,
};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::lettering::fitted;
use super::sheet::{Point, Sheet, TextStyle};
use super::simplify::needed;
use super::words::{capital, decimals, length};
use crate::panel::{EdgeView, EndView, EndViewLeaf};
use crate::units::notation::shown;
use crate::units::{Length, UnitSystem};

/// One way to place the leaves of a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct ArrangementFigure {
    /// The panel.
    pub panel: String,
    /// The figure of the match: `bookmatch`, `slip-match`.
    pub figure: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// The panel from its near end.
    pub end: EndView,
    /// The panel from its edge, heights true size.
    pub edge: EdgeView,
    /// Bow of the glued panel, positive when its show face is hollow.
    pub bow: Length,
    /// Its cup across the whole width.
    pub cup: Length,
    /// Force to hold it flat over the maximum force of one leaf.
    pub force_factor: f64,
}

/// The minimum and the maximum of some heights or places; (0, 0) of none.
fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = values
        .filter(|value| value.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
            (low.min(v), high.max(v))
        });
    if low > high { (0.0, 0.0) } else { (low, high) }
}

impl ArrangementFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("{}: {}", capital(&self.panel), self.figure)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let corners = || self.end.leaves.iter().flat_map(|leaf| &leaf.outline_mm);
        let (left, right) = span(corners().map(|p| p.0));
        let (low, high) = span(corners().map(|p| p.1));
        let per_mm =
            ((RIGHT - LEFT) / (right - left).max(1e-6)).min(110.0 / (high - low).max(1e-6));
        let base = 58.0 + high * per_mm;
        let bottom = base - low * per_mm;
        let edge_top = bottom + 44.0;

        let long = span(self.edge.panel_mm.iter().map(|p| p.0)).1;
        let along = Along::of(Length::from_mm_unchecked(long));
        let lines = || {
            self.edge
                .leaves_mm
                .iter()
                .map(|(_, line)| line)
                .chain([&self.edge.panel_mm])
        };
        let (deep, tall) = span(
            lines()
                .flatten()
                .map(|p| p.1 / self.edge.exaggeration.max(1e-9)),
        );
        let times = along.times(tall - deep, 46.0);
        let rise = |height: f64| height / self.edge.exaggeration.max(1e-9) * times * along.per_mm;
        let line_base = edge_top + 40.0 + rise(tall);
        let height = line_base - rise(deep) + 52.0;
        let sheet = Sheet::new(id, WIDTH, height);

        let factor = self.end.exaggeration;
        sheet.text(HEAD, "End view", (LEFT, 18.0));
        let note = enlarged_words(factor);
        sheet.text(NOTE.right(), &note, (RIGHT, 18.0));
        let middle = (left + right) / 2.0;
        let put = |p: Point| (WIDTH / 2.0 + (p.0 - middle) * per_mm, base - p.1 * per_mm);
        sheet.open("hs-end-view");
        for leaf in &self.end.leaves {
            self.draw_leaf(&sheet, leaf, put, bottom);
        }
        sheet.close();

        sheet.text(HEAD, "Edge view", (LEFT, edge_top + 14.0));
        sheet.text(NOTE.right(), &times_words(times), (RIGHT, edge_top + 14.0));
        let drawn = |line: &[Point]| -> Vec<Point> {
            line.iter()
                .map(|p| (along.x(p.0), line_base - rise(p.1)))
                .collect()
        };
        sheet.open("hs-edge-view");
        strip(&sheet, self.tone, &drawn(&self.edge.panel_mm), 10.0);
        for (_, line) in &self.edge.leaves_mm {
            sheet.path(Ink::Ghost, &drawn(line));
        }
        sheet.close();
        let ink = if self.adds() {
            Ink::FaultLetter
        } else {
            Ink::TodayLetter
        };
        sheet.text(
            TextStyle::new(ink, 12.5).bold(),
            &self.verdict(),
            (LEFT, height - 12.0),
        );
        sheet.text(
            TEXT.right(),
            &format!("bow {}", shown(self.bow.abs(), system)),
            (RIGHT, height - 12.0),
        );

        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: "Above, the panel from its end, the toothed line each leaf\u{2019}s sawn face. Below, from its edge: the dashes are the leaves by themselves, the wood is the glued panel.".to_owned(),
                description: format!(
                    "{} leaves in {}, left to right: {}. The panel bows by {} and cups by {}; {}.",
                    self.end.leaves.len(),
                    self.figure,
                    self.end.leaves.iter().map(described).collect::<Vec<_>>().join(", "),
                    shown(self.bow.abs(), system),
                    shown(self.cup.abs(), system),
                    self.verdict()
                ),
            },
            sheet,
            self.table(system),
        )
    }

    fn draw_leaf(
        &self,
        sheet: &Sheet,
        leaf: &EndViewLeaf,
        put: impl Fn(Point) -> Point,
        bottom: f64,
    ) {
        let outline: Vec<Point> = leaf.outline_mm.iter().copied().map(&put).collect();
        sheet.shape(self.tone.wood(), &outline);
        for ring in &leaf.rings_mm {
            let drawn: Vec<Point> = ring.iter().copied().map(&put).collect();
            let kept: Vec<Point> = drawn
                .iter()
                .zip(needed(&drawn, 0.3))
                .filter_map(|(p, keep)| keep.then_some(*p))
                .collect();
            sheet.path(self.tone.ring(), &kept);
        }
        sheet.ring(Ink::Outline, &outline);
        let (lower, upper) = outline.split_at(outline.len() / 2);
        if leaf.sawn_face_up {
            super::along::fresh_face(sheet, upper, -1.0);
        } else {
            super::along::fresh_face(sheet, lower, 1.0);
        }
        let (from, to) = span(outline.iter().map(|p| p.0));
        let (x, room) = ((from + to) / 2.0, to - from - 6.0);
        sheet.text(
            TEXT.centred(),
            &fitted(&leaf.name, 12.5, false, room),
            (x, 42.0),
        );
        let side = match leaf.heart_side_up {
            Some(true) => "heart up",
            Some(false) => "bark up",
            None => "",
        };
        if NOTE.width(side) < room {
            sheet.text(NOTE.centred(), side, (x, bottom + 20.0));
        }
    }

    fn adds(&self) -> bool {
        self.force_factor > 1.0
    }

    fn verdict(&self) -> String {
        let factor = decimals(self.force_factor, 1);
        if self.adds() {
            format!("the bows add: {factor} times one leaf\u{2019}s force to hold it flat")
        } else {
            format!("the bows do not add: {factor} of one leaf\u{2019}s force to hold it flat")
        }
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        let word = |yes: bool, is: &str, is_not: &str| if yes { is } else { is_not }.to_owned();
        let deepest = |line: &[Point]| {
            let (low, high) = span(line.iter().map(|p| p.1));
            let bow = if -low > high { low } else { high } / self.edge.exaggeration.max(1e-9);
            Length::from_mm_unchecked(bow)
        };
        NumberTable {
            heads: [
                "Leaf",
                "Sawn face",
                "Side up",
                "End forward",
                "Middle over ends",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows: self
                .end
                .leaves
                .iter()
                .zip(&self.edge.leaves_mm)
                .map(|(leaf, (_, line))| {
                    vec![
                        leaf.name.clone(),
                        word(leaf.sawn_face_up, "up", "down"),
                        leaf.heart_side_up.map_or_else(
                            || "\u{2013}".to_owned(),
                            |heart| word(heart, "heart", "bark"),
                        ),
                        word(leaf.near_end_forward, "near", "far"),
                        length(deepest(line), system),
                    ]
                })
                .collect(),
        }
    }
}

fn described(leaf: &EndViewLeaf) -> String {
    let face = if leaf.sawn_face_up {
        "sawn face up"
    } else {
        "sawn face down"
    };
    format!("{} {face}", leaf.name)
}
