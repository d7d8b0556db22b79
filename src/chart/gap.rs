//! The gap of a fit on real dates, from the day of the cut through the first year at home to the next, between its limits.

use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::{Frame, Layout};
use super::lettering::fitted;
use super::moisture_year::DailyBand;
use super::scale::Measure;
use super::sheet::{Point, Sheet, TextStyle};
use super::words::{length, month_name};
use crate::chance::in_hundred;
use crate::units::{Chance, Length, UnitSystem};
use jiff::ToSpan as _;
use jiff::civil::Date;

/// Size of the figure, pixels.
const SIZE: (f64, f64) = (680.0, 310.0);
const SMALL: f64 = 11.5;
/// Height of a strip of chance, pixels.
const STRIP: f64 = 20.0;
/// Months of winter, from 1.
const WINTER: [i8; 3] = [12, 1, 2];

/// A limit of a gap.
#[derive(Debug, Clone, PartialEq)]
pub enum Limit {
    /// The same on every day.
    Level(Length),
    /// Moving with the wood: the limit on each of the figure's days, millimetres.
    Daily(Vec<f64>),
}

impl Limit {
    fn points(&self, days: usize) -> Vec<(f64, f64)> {
        match self {
            Limit::Level(length) => vec![(0.0, length.mm()), (days as f64, length.mm())],
            Limit::Daily(values) => daily(values),
        }
    }

    fn at_end(&self) -> f64 {
        match self {
            Limit::Level(length) => length.mm(),
            Limit::Daily(values) => values.last().copied().unwrap_or(f64::NAN),
        }
    }
}

/// How a fit's gap goes from its cut on.
#[derive(Debug, Clone, PartialEq)]
pub struct GapFigure {
    /// The joint, as the job names it.
    pub joint: String,
    /// What the figure shows, as a finding.
    pub finding: String,
    /// What the gap is: `clearance in the groove`, `gap a side`.
    pub measure: String,
    /// The day of the cut: the first day of all curves.
    pub first: Date,
    /// Days from the cut to the delivery.
    pub delivered: usize,
    /// The gap on every day, millimetres.
    pub gap_mm: Vec<f64>,
    /// The band that holds 90 in 100 draws, millimetres.
    pub band_mm: Option<DailyBand>,
    /// The minimum gap allowed.
    pub min: Option<Limit>,
    /// The maximum gap allowed.
    pub max: Option<Limit>,
    /// What happens below the minimum: `the panel pushes the frame apart`.
    pub too_tight: String,
    /// What happens above the maximum.
    pub too_loose: String,
    /// Share of the draws that are too tight on each day, percent; empty where it is not known.
    pub tight_percent: Vec<f64>,
    /// Share of the draws that are too loose on each day, percent; empty where it is not known.
    pub loose_percent: Vec<f64>,
}

fn daily(values: &[f64]) -> Vec<(f64, f64)> {
    values
        .iter()
        .enumerate()
        .map(|(day, value)| (day as f64 + 0.5, *value))
        .collect()
}

/// The day of the smallest and of the largest value; none where nothing is finite.
fn ends(values: &[f64]) -> Option<(usize, usize)> {
    let finite = || values.iter().enumerate().filter(|(_, v)| v.is_finite());
    let min = finite().min_by(|a, b| a.1.total_cmp(b.1))?.0;
    let max = finite()
        .max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(&a.0)))?
        .0;
    Some((min, max))
}

impl GapFigure {
    /// The title over the figure: what was found.
    #[must_use]
    pub fn title(&self) -> String {
        super::words::capital(&self.finding)
    }

    fn date(&self, day: usize) -> Date {
        self.first
            .saturating_add(i64::try_from(day).unwrap_or(0).days())
    }

    fn day_words(&self, day: usize) -> String {
        let date = self.date(day);
        let month = usize::from(date.month().unsigned_abs()).saturating_sub(1);
        format!("{} {} {}", date.day(), &month_name(month)[..3], date.year())
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let measure = Measure::Length(system);
        let days = self.gap_mm.len().max(1);
        let mut values = self.gap_mm.clone();
        let limits = [&self.min, &self.max];
        for limit in limits.into_iter().flatten() {
            values.extend(limit.points(days).iter().map(|p| p.1));
        }
        if let Some(band) = &self.band_mm {
            values.extend(band.low.iter().chain(&band.high));
        }
        // Room beyond the limits for a line of type.
        let finite = || values.iter().copied().filter(|v| v.is_finite());
        let (low, high) = (
            finite().fold(f64::MAX, f64::min),
            finite().fold(f64::MIN, f64::max),
        );
        let line = 0.12 * (high - low).max(0.0);
        values.extend([low - line, high + line]);
        let range = measure.range_of(values);
        let sheet = Sheet::new(id, SIZE.0, SIZE.1);
        let ticks = measure.ticks(&range, 5);
        let number = TextStyle::new(Ink::Note, SMALL);
        let widest = ticks
            .iter()
            .map(|tick| number.width(&tick.label))
            .fold(14.0, f64::max);
        let strips: Vec<(&str, &Vec<f64>)> = [
            ("too tight", &self.tight_percent),
            ("too loose", &self.loose_percent),
        ]
        .into_iter()
        .filter(|(_, share)| share.iter().any(|percent| *percent >= 0.5))
        .collect();
        let frame = Frame {
            left: widest + 14.0,
            top: 44.0,
            right: SIZE.0 - 10.0,
            bottom: SIZE.1 - 42.0 - (STRIP + 18.0) * strips.len() as f64,
        };
        let plot = sheet.plot(frame, 0.0..days as f64, range.clone());
        let x = |day: f64| plot.px(day, range.start).0;

        // What is behind the curves: the winters.
        let winters = self.winters(&sheet, &x, frame);
        sheet.open("hs-scale");
        for tick in &ticks {
            let y = plot.px(0.0, tick.value).1;
            sheet.path(Ink::Grid, &[(frame.left, y), (frame.right, y)]);
            sheet.text(number.right().level(), &tick.label, (frame.left - 7.0, y));
        }
        sheet.close();
        let unit = measure.unit();
        let name = if unit.is_empty() {
            self.measure.clone()
        } else {
            format!("{}, {unit}", self.measure)
        };
        let name = fitted(&name, SMALL, false, SIZE.0 - 16.0);
        sheet.text(number.hanging(), &name, (8.0, 6.0));
        for (limit, end) in limits.into_iter().zip([range.start, range.end]) {
            if let Some(limit) = limit {
                let edge = limit.points(days);
                let far: Vec<_> = edge.iter().map(|p| (p.0, end)).collect();
                plot.band(Ink::Beyond, &edge, &far);
            }
        }
        let mut layout = Layout::new(Frame {
            top: frame.top + 2.0,
            bottom: frame.bottom - 2.0,
            ..frame
        });
        winters.into_iter().for_each(|word| layout.take(word));
        let pixels = |points: &[(f64, f64)]| -> Vec<Point> {
            let finite = points.iter().filter(|p| p.1.is_finite());
            finite.map(|p| plot.px(p.0, p.1)).collect()
        };
        if let Some(band) = &self.band_mm {
            let (low, high) = (daily(&band.low), daily(&band.high));
            plot.band(Ink::Band, &low, &high);
            plot.curve(Ink::BandEdge, &low);
            plot.curve(Ink::BandEdge, &high);
        }
        for limit in limits.into_iter().flatten() {
            let points = limit.points(days);
            plot.curve(Ink::Limit, &points);
            layout.take_rule(&pixels(&points));
        }
        let gap = daily(&self.gap_mm);
        plot.curve(Ink::Curve, &gap);
        layout.take_curve(&pixels(&gap));

        // The delivery, from top to bottom, and the two spans named above the plot.
        let home = x(self.delivered as f64);
        sheet.path(Ink::Axis, &[(home, frame.top), (home, frame.bottom)]);
        let shop = "shop";
        if home - frame.left > number.width(shop) + 6.0 {
            sheet.text(
                number.centred(),
                shop,
                ((frame.left + home) / 2.0, frame.top - 6.0),
            );
        }
        sheet.text(
            number,
            &format!("delivered {}", self.day_words(self.delivered)),
            (home + 5.0, frame.top - 6.0),
        );
        // Each limit is named once, at the right end, beyond its line.
        let fault = TextStyle::new(Ink::FaultLetter, SMALL);
        for (limit, word, below) in [(&self.min, "minimum", true), (&self.max, "maximum", false)] {
            let Some(limit) = limit else { continue };
            let mm = limit.at_end();
            if !mm.is_finite() {
                continue;
            }
            let text = format!("{word} {}", length(Length::from_mm_unchecked(mm), system));
            let wide = fault.width(&text);
            let y = plot.px(0.0, mm).1 + if below { 10.0 } else { -10.0 };
            let place = Frame {
                left: frame.right - 6.0 - wide,
                top: y - 6.0,
                right: frame.right - 6.0,
                bottom: y + 6.0,
            };
            sheet.block(Ink::Paper, place);
            layout.take(place);
            sheet.text(fault.level(), &text, (place.left, y));
        }
        let turning = ends(&self.gap_mm);
        if let Some((narrowest, widest)) = turning {
            let marks = [
                (0, Ink::TodayMark, Ink::TodayLetter, "cut"),
                (narrowest, Ink::WetMark, Ink::WetLetter, "narrowest"),
                (widest, Ink::DryMark, Ink::DryLetter, "widest"),
            ];
            let level = self.gap_mm[widest] - self.gap_mm[narrowest] < 0.005;
            let marks = &marks[..if level { 1 } else { 3 }];
            for (day, ink, _, _) in marks {
                let at = plot.px(*day as f64 + 0.5, self.gap_mm[*day]);
                match ink {
                    Ink::DryMark => sheet.triangle(*ink, at, false),
                    Ink::WetMark => sheet.triangle(*ink, at, true),
                    ink => sheet.dot(*ink, at, 4.5),
                }
                layout.take(Frame {
                    left: at.0 - 6.0,
                    top: at.1 - 6.0,
                    right: at.0 + 6.0,
                    bottom: at.1 + 6.0,
                });
            }
            for (day, _, letter, word) in marks {
                if !self.gap_mm[*day].is_finite() {
                    continue;
                }
                let size = length(Length::from_mm_unchecked(self.gap_mm[*day]), system);
                let text = format!("{word} {size}, {}", self.day_words(*day));
                let hand = TextStyle::new(*letter, SMALL);
                let at = plot.px(*day as f64 + 0.5, self.gap_mm[*day]);
                let place = layout.place(at, hand.width(&text), SMALL * 0.8);
                sheet.text(
                    hand.level(),
                    &text,
                    (place.left, (place.top + place.bottom) / 2.0),
                );
            }
        }
        let mut y = frame.bottom;
        self.months(&sheet, &x, frame);
        y += 34.0;
        for (word, share) in &strips {
            let most = share.iter().copied().fold(0.0, f64::max);
            let strip = Frame {
                left: frame.left,
                top: y + 11.0,
                right: frame.right,
                bottom: y + 11.0 + STRIP,
            };
            let ink = if *word == "too tight" {
                Ink::WetMark
            } else {
                Ink::DryMark
            };
            let bars = sheet.plot(strip, 0.0..days as f64, 0.0..100.0);
            let zero = vec![(0.5, 0.0), (days as f64 - 0.5, 0.0)];
            let high = daily(share);
            let low: Vec<_> = high.iter().map(|p| (p.0, 0.0)).collect();
            bars.band(ink, &low, &high);
            bars.curve(Ink::Axis, &zero);
            let text = format!(
                "{word}, at most {}",
                in_hundred(Chance::computed_percent(most))
            );
            sheet.text(number.level(), &text, (frame.left, y + 5.0));
            y += STRIP + 18.0;
        }
        Figure::new(
            id,
            SIZE,
            Caption {
                title: self.title(),
                reading: self.reading(),
                description: self.described(turning, system),
            },
            sheet,
            self.table(system),
        )
    }

    /// The winters of the span, as pale fields with their word; where the words are.
    fn winters(&self, sheet: &Sheet, x: &dyn Fn(f64) -> f64, frame: Frame) -> Vec<Frame> {
        let mut words = Vec::new();
        let days = self.gap_mm.len();
        let is_winter = |day: usize| WINTER.contains(&self.date(day).month());
        let mut day = 0;
        while day < days {
            if !is_winter(day) {
                day += 1;
                continue;
            }
            let end = (day..days).find(|at| !is_winter(*at)).unwrap_or(days);
            let field = Frame {
                left: x(day as f64),
                right: x(end as f64),
                ..frame
            };
            sheet.block(Ink::Winter, field);
            let hand = TextStyle::new(Ink::Note, SMALL);
            let wide = hand.width("winter");
            if field.width() > wide + 8.0 {
                let middle = (field.left + field.right) / 2.0;
                sheet.text(hand.centred(), "winter", (middle, frame.top + 13.0));
                words.push(Frame {
                    left: middle - wide / 2.0,
                    top: frame.top + 2.0,
                    right: middle + wide / 2.0,
                    bottom: frame.top + 15.0,
                });
            }
            day = end;
        }
        words
    }

    /// The months below the plot, each year named under its first month shown.
    fn months(&self, sheet: &Sheet, x: &dyn Fn(f64) -> f64, frame: Frame) {
        let number = TextStyle::new(Ink::Note, SMALL);
        sheet.open("hs-months");
        sheet.path(
            Ink::Axis,
            &[(frame.left, frame.bottom), (frame.right, frame.bottom)],
        );
        let days = self.gap_mm.len();
        let mut day = 0;
        let mut year = None;
        while day < days {
            let date = self.date(day);
            let last = date.last_of_month();
            let left = usize::try_from((last - date).get_days()).unwrap_or(0) + 1;
            let end = (day + left).min(days);
            let (from, to) = (x(day as f64), x(end as f64));
            sheet.path(
                Ink::Axis,
                &[(from, frame.bottom), (from, frame.bottom + 4.0)],
            );
            let month = usize::from(date.month().unsigned_abs()).saturating_sub(1);
            let letter = &month_name(month)[..1];
            if to - from > number.width(letter) + 2.0 {
                sheet.text(
                    number.centred().hanging(),
                    letter,
                    ((from + to) / 2.0, frame.bottom + 6.0),
                );
            }
            let named = date.year().to_string();
            if year != Some(date.year()) && from + number.width(&named) < frame.right {
                year = Some(date.year());
                sheet.text(number.hanging(), &named, (from + 2.0, frame.bottom + 19.0));
            }
            day = end;
        }
        sheet.close();
    }

    fn reading(&self) -> String {
        let mut text = "The line is the gap from the day of the cut on".to_owned();
        if self.min.is_some() {
            text.push_str(&format!("; in the hatching below, {}", self.too_tight));
        }
        if self.max.is_some() && !self.too_loose.is_empty() {
            text.push_str(&format!("; in the hatching above, {}", self.too_loose));
        }
        text.push('.');
        if self.band_mm.is_some() {
            text.push_str(
                " The shaded band holds 90 in 100 draws; the strips below count those beyond a limit.",
            );
        }
        text
    }

    fn described(&self, turning: Option<(usize, usize)>, system: UnitSystem) -> String {
        let at = |day: usize| length(Length::from_mm_unchecked(self.gap_mm[day]), system);
        let mut text = match turning {
            Some((min, most)) => format!(
                "The {} is smallest on {} at {} and largest on {} at {}.",
                self.measure,
                self.day_words(min),
                at(min),
                self.day_words(most),
                at(most)
            ),
            None => format!("The {} is not known.", self.measure),
        };
        for (limit, words) in [(&self.min, "fall below"), (&self.max, "exceed")] {
            if let Some(limit) = limit {
                let at = Length::from_mm_unchecked(limit.at_end());
                text.push_str(&format!(" It must not {words} {}.", length(at, system)));
            }
        }
        text
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        let mut heads = vec!["Day".to_owned(), "Gap".to_owned()];
        if self.band_mm.is_some() {
            heads.extend(["Low".to_owned(), "High".to_owned()]);
        }
        let at = |values: &[f64], day: usize| {
            values.get(day).map_or_else(
                || "\u{2013}".to_owned(),
                |mm| length(Length::from_mm_unchecked(*mm), system),
            )
        };
        let middles = (0..self.gap_mm.len()).filter(|day| *day == 0 || self.date(*day).day() == 15);
        let rows = middles
            .map(|day| {
                let mut row = vec![self.day_words(day), at(&self.gap_mm, day)];
                if let Some(band) = &self.band_mm {
                    row.extend([at(&band.low, day), at(&band.high, day)]);
                }
                row
            })
            .collect();
        NumberTable { heads, rows }
    }
}
