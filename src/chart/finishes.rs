//! How much of the moisture each finish keeps out, as bars.

use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::Frame;
use super::lettering::fitted;
use super::sheet::{Sheet, TextStyle};
use super::words::decimals;

/// One finish with its coats.
#[derive(Debug, Clone, PartialEq)]
pub struct FinishBar {
    /// Its name with its coats.
    pub name: String,
    /// Share of bare wood's uptake kept out in 14 days, percent.
    pub kept_out_percent: f64,
    /// The range of that, where it is a judgement.
    pub range_percent: Option<(f64, f64)>,
    /// Whether it was measured; else it is taken like another finish.
    pub measured: bool,
}

/// Finishes side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct FinishesFigure {
    /// The finishes, from the top.
    pub bars: Vec<FinishBar>,
}

const WIDTH: f64 = 640.0;
const HEAD: f64 = 46.0;
const ROW: f64 = 18.0;
/// A name wider than this loses what is in its brackets; the table of numbers holds it whole.
const WIDEST_NAME: f64 = 240.0;

fn shown(name: &str, hand: TextStyle) -> String {
    let bare = match (name.split_once(" ("), name.split_once(')')) {
        (Some((before, _)), Some((_, after))) if hand.width(name) > WIDEST_NAME => {
            format!("{before}{after}")
        }
        _ => name.to_owned(),
    };
    fitted(&bare, hand.size(), hand.is_bold(), WIDEST_NAME)
}

impl FinishesFigure {
    /// Draws the figure under an id from [`super::FigureIds`].
    #[must_use]
    pub fn draw(&self, id: &str) -> Figure {
        let height = HEAD + ROW * self.bars.len().max(1) as f64 + 14.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let note = TextStyle::new(Ink::Note, 11.5);
        let widest = self
            .bars
            .iter()
            .map(|bar| note.width(&shown(&bar.name, note)))
            .fold(40.0, f64::max);
        // Some fonts run wider than the one the widths are of.
        let (left, right) = (1.15 * widest + 18.0, WIDTH - 44.0);
        let at = |percent: f64| left + (right - left) * percent.clamp(0.0, 100.0) / 100.0;
        sheet.text(
            note.hanging(),
            "kept out of bare wood's uptake in 14 days at 90 % humidity, %",
            (8.0, 8.0),
        );
        for tick in [0.0, 25.0, 50.0, 75.0, 100.0] {
            let x = at(tick);
            sheet.path(Ink::Grid, &[(x, HEAD - 4.0), (x, height - 10.0)]);
            sheet.text(
                note.centred().hanging(),
                &decimals(tick, 0),
                (x, HEAD - 20.0),
            );
        }
        for (row, bar) in self.bars.iter().enumerate() {
            let middle = HEAD + ROW * (row as f64 + 0.5);
            sheet.text(
                note.right().level(),
                &shown(&bar.name, note),
                (left - 8.0, middle),
            );
            let end = at(bar.kept_out_percent);
            let frame = Frame {
                left,
                top: middle - 5.0,
                right: end.max(left + 1.0),
                bottom: middle + 5.0,
            };
            sheet.block(Ink::Band, frame);
            let corners = [
                (frame.left, frame.top),
                (frame.right, frame.top),
                (frame.right, frame.bottom),
                (frame.left, frame.bottom),
            ];
            sheet.ring(if bar.measured { Ink::Curve } else { Ink::Ghost }, &corners);
            let mut reach = end;
            if let Some((low, high)) = bar.range_percent.filter(|(low, high)| high > low) {
                let ends = [at(low), at(high)];
                sheet.path(Ink::BandEdge, &[(ends[0], middle), (ends[1], middle)]);
                for x in ends {
                    sheet.path(Ink::BandEdge, &[(x, middle - 3.5), (x, middle + 3.5)]);
                }
                reach = reach.max(ends[1]);
            }
            sheet.text(
                note.level(),
                &decimals(bar.kept_out_percent, 0),
                (reach + 6.0, middle),
            );
        }
        let rows = self
            .bars
            .iter()
            .map(|bar| {
                let (low, high) = bar.range_percent.map_or_else(
                    || (String::new(), String::new()),
                    |(low, high)| (decimals(low, 0), decimals(high, 0)),
                );
                vec![
                    bar.name.clone(),
                    decimals(bar.kept_out_percent, 0),
                    low,
                    high,
                ]
            })
            .collect();
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: "Moisture kept out by finishes".to_owned(),
                reading: "The longer the bar, the slower the wood follows the air; a dashed outline is a judgement, and the line through it its range.".to_owned(),
                description: format!(
                    "Share of bare wood's uptake that {} finishes keep out in 14 days.",
                    self.bars.len()
                ),
            },
            sheet,
            NumberTable {
                heads: ["finish", "kept out, %", "low", "high"]
                    .map(str::to_owned)
                    .to_vec(),
                rows,
            },
        )
    }
}
