//! The bench sheet: everything that is cut, on one page, and what goes with it. The terminal's table, the page and the JSON are made
//! of this one struct.

use super::shop_words::ShopWords;
use super::text::{day_words, system};
use crate::chart::capital;
use crate::forecast::{BenchCut, Forecast, ToolSetting};
use crate::joint::{Hold, Scheme};
use crate::units::notation::{inches, millimetres, setting_inches, the};
use crate::units::{Length, UnitSystem};
use comfy_table::{Table, presets};
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde::Serialize;

/// Everything that is needed at the bench.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BenchSheet {
    /// The piece.
    pub piece: String,
    /// The day that "today" is.
    pub day: Date,
    /// Which system is shown first.
    #[serde(skip)]
    pub units: UnitSystem,
    /// The words of the region.
    #[serde(skip)]
    pub shop: ShopWords,
    /// Every cut and final size; alike ones at several places stand one after the other.
    pub cuts: Vec<BenchCut>,
    /// Cuts that share one setting of a tool.
    pub settings: Vec<ToolSetting>,
    /// What is not glued, and where it is held.
    pub floats: Vec<String>,
    /// What rests, and until when.
    pub rests: Vec<String>,
    /// The stages of the glue-up.
    pub glue: Vec<String>,
    /// Cuts that leave little wood, and parts too small for their size.
    pub watch: Vec<String>,
    /// Safety.
    pub dangers: Vec<String>,
}

/// One row as it is read: alike cuts at several places together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BenchRow {
    /// Part and count: `divider \u{d7} 2`.
    pub part: String,
    /// What is cut, and in which face or end.
    pub what: String,
    /// From the reference to the near side, each place.
    pub places: String,
    /// Its size, as it is set.
    pub size: String,
    /// The same in the other system.
    pub other: String,
    /// Its depth.
    pub depth: String,
    /// The number of its setting, and whether it is the trial cut.
    pub setting: String,
    /// The joint it is for, with its chance.
    pub joint: String,
}

impl BenchSheet {
    /// The sheet of a forecast.
    #[must_use]
    pub fn of(forecast: &Forecast) -> Self {
        let units = system(forecast);
        let watch = forecast.bench.cuts.iter().filter_map(|cut| {
            let words = cut.watch.as_ref()?;
            // What is easily forgotten between two cuts is in the settings.
            (!words.starts_with("reset"))
                .then(|| format!("{}, {}: {words}", capital(&cut.part), cut.what))
        });
        let inside = forecast.parts.iter().filter(|part| part.pith_inside);
        let inside = inside
            .map(|part| format!("{}: the pith is inside: it will check", capital(&part.name)));
        Self {
            piece: forecast.job.name.clone(),
            day: forecast.job.measured_on,
            units,
            shop: ShopWords::of(forecast),
            cuts: forecast.bench.cuts.clone(),
            settings: forecast.bench.settings.clone(),
            floats: floats(forecast),
            rests: rests(forecast),
            glue: glue(forecast, units),
            watch: without_doubles(watch.chain(inside)),
            dangers: forecast.cautions.clone(),
        }
    }

    /// A size as it is set at a machine: with thousandths where a fit follows from it.
    #[must_use]
    pub fn set(&self, length: Length, by_fit: bool) -> (String, String) {
        let inch = if by_fit {
            setting_inches(length)
        } else {
            inches(length).replace('"', "in")
        };
        let metric = format!("{:.1} mm", length.mm());
        match self.units {
            UnitSystem::Inch => (inch, metric),
            UnitSystem::Metric => (metric, inch),
        }
    }

    fn short(&self, length: Length) -> String {
        match self.units {
            UnitSystem::Inch => inches(length).replace('"', "in"),
            UnitSystem::Metric => format!("{:.1} mm", length.mm()),
        }
    }

    /// The rows: cuts that differ only in their place are one.
    #[must_use]
    pub fn rows(&self) -> Vec<BenchRow> {
        let mut rows: Vec<(BenchRow, u32)> = Vec::new();
        for cut in &self.cuts {
            let (size, other) = self.set(cut.size, cut.sized_by_fit);
            let setting = match (cut.setting, cut.trial_first) {
                (Some(number), true) => format!("{number} trial"),
                (Some(number), false) => number.to_string(),
                (None, _) => String::new(),
            };
            let row = BenchRow {
                part: cut.part.clone(),
                what: self
                    .shop
                    .text(&format!("{}, {}", cut.what, cut.face))
                    .into_owned(),
                places: cut
                    .from_reference
                    .map_or_else(String::new, |from| self.short(from)),
                size,
                other,
                depth: cut
                    .depth
                    .map_or_else(String::new, |depth| self.short(depth)),
                setting,
                joint: cut.joint.clone(),
            };
            let alike = rows.iter_mut().find(|(known, _)| {
                let bare = |row: &BenchRow| BenchRow {
                    places: String::new(),
                    setting: row.setting.replace(" trial", ""),
                    ..row.clone()
                };
                !row.places.is_empty() && bare(known) == bare(&row)
            });
            match alike {
                Some((known, count)) => {
                    if !known.places.split(" and ").any(|place| place == row.places) {
                        known.places = format!("{} and {}", known.places, row.places);
                    }
                    if row.setting.len() > known.setting.len() {
                        known.setting = row.setting;
                    }
                    *count += cut.count;
                }
                None => rows.push((row, cut.count)),
            }
        }
        rows.into_iter()
            .map(|(row, count)| BenchRow {
                part: if count > 1 {
                    format!("{} \u{d7} {count}", row.part)
                } else {
                    row.part
                },
                ..row
            })
            .collect()
    }

    /// One line a setting: `1  dado 3/4in + 0.003 (19.1 mm): bottom in case side, ...; the least sure of them then has a chance of 85 in 100`.
    #[must_use]
    pub fn setting_lines(&self) -> Vec<String> {
        self.settings
            .iter()
            .filter(|setting| setting.joints.len() > 1)
            .map(|setting| {
                let (size, other) = self.set(setting.size, true);
                format!(
                    "{}: {} {size} ({other}) serves {}; the least sure of them then has a chance of {}",
                    setting.number,
                    setting.what,
                    setting.joints.join(", "),
                    crate::chance::in_hundred(setting.holds_chance)
                )
            })
            .collect()
    }

    /// The table of cuts for a terminal.
    #[must_use]
    pub fn table(&self) -> String {
        let mut table = Table::new();
        table.load_preset(presets::NOTHING).set_header([
            "part",
            "cut",
            "from reference",
            "size",
            "",
            "depth",
            "set",
        ]);
        for row in self.rows() {
            table.add_row([
                row.part,
                row.what,
                row.places,
                row.size,
                row.other,
                row.depth,
                row.setting,
            ]);
        }
        let text = table.to_string();
        text.lines()
            .map(|line| format!("{}\n", line.trim_end()))
            .collect()
    }

    /// The sheet for a terminal.
    #[must_use]
    pub fn words(&self) -> String {
        let mut text = format!("{}: bench sheet, {}\n\n", self.piece, day_words(self.day));
        text.push_str(&self.table());
        for (title, lines) in self.lists() {
            if !lines.is_empty() {
                text.push_str(&format!("\n{title}\n"));
                for line in lines {
                    text.push_str(&format!("  {line}\n"));
                }
            }
        }
        text
    }

    /// What stands below the table: its title and its lines.
    #[must_use]
    pub fn lists(&self) -> [(&'static str, Vec<String>); 6] {
        [
            ("One setting for several", self.setting_lines()),
            ("Floats: do not glue", self.floats.clone()),
            ("Rests", self.rests.clone()),
            ("Glue", self.glue.clone()),
            ("Thin wood, and what to watch", self.watch.clone()),
            ("Dangers", self.dangers.clone()),
        ]
    }
}

fn without_doubles(lines: impl Iterator<Item = String>) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    for line in lines {
        if !kept.contains(&line) {
            kept.push(line);
        }
    }
    kept
}

/// The joints that move, and where each is held.
fn floats(forecast: &Forecast) -> Vec<String> {
    let lines = forecast.drawings.iter().filter_map(|joint| {
        let moves = forecast.fits[joint.fits.clone()]
            .iter()
            .any(|fit| fit.survives_humidity_percent.is_some());
        let floating = forecast.bonds[joint.bonds.clone()]
            .iter()
            .any(|bond| bond.design == "floating");
        let opening = matches!(
            joint.drawing.scheme,
            Scheme::Opening | Scheme::Front | Scheme::Over { .. }
        );
        if opening || !(moves || floating) {
            return None;
        }
        let how = match joint.drawing.hold {
            Hold::Centre => "hold it at its middle only",
            Hold::Edge => "hold it at one edge only",
            Hold::Below => "it stands on its lower edge",
            Hold::Spot => "one round hole, slots for the other screws",
            Hold::Dry => "leave it dry",
            Hold::Glue => return None,
        };
        Some(format!("{}: {how}", joint.name))
    });
    without_doubles(lines)
}

/// Leaves that rest after resawing, and the parts that are fitted last.
fn rests(forecast: &Forecast) -> Vec<String> {
    let mut lines = Vec::new();
    let today = forecast.job.measured_on;
    for board in &forecast.boards {
        let days = board.forecast.rests.iter().map(|rest| rest.day_90).max();
        if let Some(days) = days.flatten() {
            let until = today.saturating_add(i64::try_from(days).unwrap_or(0).days());
            lines.push(format!(
                "Leaves of {}: {days} days, until {}; then mill them.",
                board.name,
                day_words(until)
            ));
        }
    }
    lines
}

fn glue(forecast: &Forecast, units: UnitSystem) -> Vec<String> {
    if let Some(assembly) = &forecast.assembly {
        return assembly.stage_lines();
    }
    let parts = super::json::part_facts(forecast);
    let standing = super::StandingAnswer {
        standing: &forecast.standing,
        parts: &parts,
        system: units,
    };
    let words = standing.glueup_words();
    let lines = words.lines().map(str::trim);
    let count = forecast
        .standing
        .glueup
        .as_ref()
        .map_or(0, |(_, stages)| stages.stages.len());
    lines.take(1 + count).map(capital).collect()
}

/// What is done on site, in a few lines.
pub(super) fn site_lines(forecast: &Forecast) -> Vec<String> {
    let units = system(forecast);
    let short = |length: Length| match units {
        UnitSystem::Inch => inches(length),
        UnitSystem::Metric => millimetres(length),
    };
    let Some(found) = &forecast.standing.install else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    if let Some(level) = &found.levelled {
        let corners: Vec<String> = level
            .corners
            .iter()
            .filter(|corner| corner.shim.mm() > 0.05)
            .map(|corner| format!("{} {}", corner.corner.word(), short(corner.shim)))
            .collect();
        lines.push(format!("Shims: {}.", corners.join(", ")));
    }
    if let Some(walls) = &found.walls {
        let shims = lines
            .pop()
            .map_or_else(String::new, |line| format!("{line} "));
        lines.push(format!(
            "{shims}Leave {} at the left wall and {} at the right.",
            short(walls.left),
            short(walls.right)
        ));
    }
    if let (Some(first), Some(last)) = (found.fit_days.first(), found.fit_days.last()) {
        lines.push(format!(
            "Final-fit {} after {}, the last part, {}, after {}.",
            the(&first.part),
            day_words(first.on),
            the(&last.part),
            day_words(last.on)
        ));
    }
    lines
}
