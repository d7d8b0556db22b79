//! Glue-up stages against the time that the glue allows each.

use super::along::{HEAD, LEFT, NOTE, RIGHT, TEXT, WIDTH};
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::Frame;
use super::lettering::fitted;
use super::scale::Measure;
use super::sheet::{Sheet, TextStyle};
use super::words::decimals;
use crate::units::Duration;

/// One stage of an assembly.
#[derive(Debug, Clone, PartialEq)]
pub struct StageView {
    /// Its name: `stage 1, the case`.
    pub name: String,
    /// Its steps in order: the joint and how long it takes.
    pub steps: Vec<(String, Duration)>,
}

/// The stages of an assembly, each to be closed within its time.
#[derive(Debug, Clone, PartialEq)]
pub struct StagesFigure {
    /// The piece.
    pub piece: String,
    /// How long a stage may take: the open time of the glue less what is kept in reserve.
    pub stage_time: Duration,
    /// The stages in order.
    pub stages: Vec<StageView>,
}

/// Height of a stage: its words and its bar.
const ROW: f64 = 58.0;
/// Height of a line of joints below a bar.
const LINE: f64 = 17.0;
/// What is written on a step.
const STEP: TextStyle = TextStyle::new(Ink::OnWood, 11.5);

impl StageView {
    /// The joints of the steps by number, in lines below the bar, where a name has no room on its step: cut short, two of them
    /// could not be told apart.
    fn legend(&self, width: impl Fn(Duration) -> f64) -> Vec<String> {
        let room = |(name, time): &(String, Duration)| STEP.width(name) <= width(*time) - 8.0;
        if self.steps.iter().all(room) {
            return Vec::new();
        }
        let mut lines: Vec<String> = Vec::new();
        for (step, (name, _)) in self.steps.iter().enumerate() {
            let item = format!("{} {name}", step + 1);
            match lines.last_mut() {
                Some(line) if NOTE.width(&format!("{line},  {item}")) <= RIGHT - LEFT => {
                    line.push_str(",  ");
                    line.push_str(&item);
                }
                _ => lines.push(fitted(&item, NOTE.size(), false, RIGHT - LEFT)),
            }
        }
        lines
    }

    fn seconds(&self) -> f64 {
        self.steps.iter().map(|(_, time)| time.seconds()).sum()
    }
}

fn minutes(seconds: f64) -> String {
    format!(
        "{} min",
        decimals(seconds / 60.0, usize::from(seconds < 600.0))
    )
}

impl StagesFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Glue-up of the {}", self.piece)
    }

    /// Draws the figure under an id from [`super::FigureIds`].
    #[must_use]
    pub fn draw(&self, id: &str) -> Figure {
        let open = self.stage_time.seconds();
        let longest = self
            .stages
            .iter()
            .map(StageView::seconds)
            .fold(open, f64::max)
            * 1.06;
        let x = |seconds: f64| LEFT + (RIGHT - LEFT) * seconds / longest.max(1e-6);
        let legends: Vec<Vec<String>> = self
            .stages
            .iter()
            .map(|stage| stage.legend(|time| x(time.seconds()) - LEFT))
            .collect();
        let row = |stage: usize| ROW + LINE * legends[stage].len() as f64;
        let height = 44.0 + (0..self.stages.len()).map(row).sum::<f64>() + 40.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let bottom = height - 34.0;
        sheet.path(Ink::Limit, &[(x(open), 26.0), (x(open), bottom)]);
        for (i, stage) in self.stages.iter().enumerate() {
            let top = 40.0 + (0..i).map(row).sum::<f64>();
            let total = stage.seconds();
            let late = total > open;
            let hand = TextStyle::new(if late { Ink::FaultLetter } else { Ink::Letter }, 12.5);
            let words = if late {
                format!("{}, {} over", minutes(total), minutes(total - open))
            } else {
                format!("{}, {} to spare", minutes(total), minutes(open - total))
            };
            let room = RIGHT - LEFT - hand.width(&words) - 16.0;
            let name = fitted(&stage.name, HEAD.size(), true, room);
            sheet.text(HEAD, &name, (LEFT, top + 11.0));
            sheet.text(hand, &words, (LEFT + HEAD.width(&name) + 14.0, top + 11.0));
            sheet.open("hs-stage");
            let mut from = 0.0;
            for (step, (name, time)) in stage.steps.iter().enumerate() {
                let to = from + time.seconds();
                let frame = Frame {
                    left: x(from),
                    top: top + 19.0,
                    right: x(to),
                    bottom: top + 41.0,
                };
                sheet.block(Ink::PaleWood, frame);
                if to > open {
                    let left = frame.left.max(x(open));
                    sheet.block(Ink::Beyond, Frame { left, ..frame });
                }
                let edge = [
                    (frame.left, frame.top),
                    (frame.right, frame.top),
                    (frame.right, frame.bottom),
                    (frame.left, frame.bottom),
                ];
                sheet.ring(Ink::Outline, &edge);
                let number = (step + 1).to_string();
                let label = if legends[i].is_empty() { name } else { &number };
                if to <= open && frame.width() > STEP.width(label) + 2.0 {
                    let middle = (frame.left + frame.right) / 2.0;
                    sheet.text(STEP.centred().level(), label, (middle, top + 30.0));
                }
                from = to;
            }
            sheet.close();
            for (line, words) in legends[i].iter().enumerate() {
                let y = top + 56.0 + LINE * line as f64;
                sheet.text(NOTE, words, (LEFT, y));
            }
        }
        sheet.text(
            TextStyle::new(Ink::FaultLetter, 12.0).right(),
            &format!("time for a stage {}", minutes(open)),
            (x(open).max(LEFT + 150.0), 20.0),
        );
        sheet.open("hs-minutes");
        sheet.path(Ink::Axis, &[(LEFT, bottom), (RIGHT, bottom)]);
        for tick in Measure::Number.ticks(&(0.0..longest / 60.0), 8) {
            let at = x(tick.value * 60.0);
            sheet.path(Ink::Axis, &[(at, bottom), (at, bottom + 4.0)]);
            if at < RIGHT - 44.0 {
                sheet.text(NOTE.centred().hanging(), &tick.label, (at, bottom + 8.0));
            }
        }
        sheet.text(NOTE.right().hanging(), "minutes", (RIGHT, bottom + 8.0));
        sheet.close();
        if self.stages.is_empty() {
            sheet.text(TEXT, "nothing to glue", (LEFT, 40.0));
        }
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: "Each bar is one stage from the first glue to the last clamp; it must end in the time for a stage, which is the open time of the glue less what is kept in reserve.".to_owned(),
                description: self
                    .stages
                    .iter()
                    .map(|stage| format!("{}: {} in {}.", stage.name, joints(stage.steps.len()), minutes(stage.seconds())))
                    .collect::<Vec<_>>()
                    .join(" "),
            },
            sheet,
            NumberTable {
                heads: ["Stage", "Joint", "Time"].map(str::to_owned).to_vec(),
                rows: self
                    .stages
                    .iter()
                    .flat_map(|stage| {
                        stage.steps.iter().map(|(name, time)| vec![stage.name.clone(), name.clone(), minutes(time.seconds())])
                    })
                    .collect(),
            },
        )
    }
}

fn joints(count: usize) -> String {
    if count == 1 {
        "one joint".to_owned()
    } else {
        format!("{count} joints")
    }
}
