//! The figures of a forecast: its day-by-day answers given to the chart room.

use super::lazy_figure::{LazyFigure, SketchGroup, drawn};
use super::text::{day_words, month_of, system};
use super::view::{PlateGroup, Span};
use crate::chance::{HOLDS_PERCENT, Verdict};
use crate::chart::{
    ArrangementFigure, BesideFigure, CandidatesFigure, DailyBand, DayMark, Figure, FigureIds,
    GapFigure, GapWalk, Limit, MoistureYearFigure, SectionFigure, SectionMonth, SectionState,
    SectionWalk, Way, WaysFigure, WoodTone, mid_month,
};
use crate::forecast::{FitCurve, FitFinding, Forecast, PanelStudy, PartCurve, PartFinding};
use crate::moisture::day_of_year;
use crate::movement::{
    Face, MovedSection, RingStrains, Section, Shrinkage, curvature_of_moisture_slope,
};
use crate::numerics::Deadline;
use crate::panel::{EndView, Layout, Panel, PanelShape, compared, felt};
use crate::units::notation::{force_shown, shown};
use crate::units::{Chance, Curvature, Length, MoistureContent, UnitSystem};
use rayon::prelude::*;

/// Parts shown month by month: those that move most.
const WALK_PARTS: usize = 6;
/// Heading of the parts' sections.
const END_GRAIN: &str = "End grain, before and after";

/// The figures of a forecast, in the order of the report.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plates {
    /// Figures by kind.
    pub groups: Vec<PlateGroup>,
    /// Small figures that go through the months.
    pub walk: Vec<Figure>,
}

/// The same before they are drawn.
pub struct Sketches<'a> {
    /// Figures by kind.
    pub groups: Vec<SketchGroup<'a>>,
    /// Small figures that go through the months.
    pub walk: Vec<LazyFigure<'a>>,
}

struct PartView<'a> {
    finding: &'a PartFinding,
    curve: &'a PartCurve,
    section: Section,
    shrinkage: Shrinkage,
}

/// Draws the figures of a forecast, those that the deadline leaves time for. The same forecast gives the same bytes.
#[must_use]
pub fn plates(forecast: &Forecast, deadline: Deadline<'_>) -> Plates {
    let Sketches { groups, walk } = sketches(forecast);
    let (groups, walk) = rayon::join(
        || {
            groups
                .par_iter()
                .map(|group| group.draw(deadline))
                .collect()
        },
        || drawn(&walk, deadline),
    );
    Plates { groups, walk }
}

/// The figures of a forecast, none of them drawn yet.
#[must_use]
pub fn sketches<'a>(forecast: &'a Forecast) -> Sketches<'a> {
    let units = system(forecast);
    let mut ids = FigureIds::new();
    let parts: Vec<PartView<'_>> = forecast
        .parts
        .iter()
        .zip(&forecast.curves.parts)
        .zip(forecast.sections.iter().zip(&forecast.shrinkages))
        .map(|((finding, curve), (section, shrinkage))| PartView {
            finding,
            curve,
            section: *section,
            shrinkage: *shrinkage,
        })
        .collect();
    let fits: Vec<(&FitFinding, &FitCurve)> = forecast
        .fits
        .iter()
        .zip(&forecast.curves.fits)
        .filter(|(_, curve)| !curve.assembly_only)
        .collect();
    let mut groups = Vec::new();
    let mut add = |heading: &'static str, span: Span, sketches: Vec<LazyFigure<'a>>| {
        groups.extend(SketchGroup::of(heading, span, sketches));
    };
    if let Some(figure) = super::piece_plates::piece_of_forecast(forecast) {
        let figure = std::sync::Arc::new(figure);
        let views = figure
            .views()
            .map(|view| {
                let figure = std::sync::Arc::clone(&figure);
                let title = figure.title(view);
                LazyFigure::new(&mut ids, ("piece", view.word()), title, move |id| {
                    figure.draw(view, id)
                })
            })
            .collect();
        add("The piece", Span::Wide, views);
    }
    if let Some(figure) = super::piece_plates::seasons_of_forecast(forecast) {
        let title = figure.title();
        let sketch = LazyFigure::new(&mut ids, ("piece", "seasons"), title, move |id| {
            figure.draw(id, units)
        });
        add("The piece through the year", Span::Wide, vec![sketch]);
    }
    if let Some(figure) = super::piece_plates::frame_of_forecast(forecast) {
        let title = figure.title();
        let sketch = LazyFigure::new(&mut ids, ("frame", "case"), title, move |id| {
            figure.draw(id, units)
        });
        add("The case as one frame", Span::Wide, vec![sketch]);
    }
    let stages = super::piece_plates::stages_of_forecast(forecast)
        .into_iter()
        .map(|figure| {
            let title = figure.title();
            let name = figure.number.to_string();
            LazyFigure::new(&mut ids, ("assembly", &name), title, move |id| {
                figure.draw(id)
            })
        })
        .collect();
    add("Assembly", Span::Wide, stages);
    let joints = super::joint_plates::joints(forecast, &mut ids, units);
    add("Joints", Span::Half, joints);
    let depths = super::depth_plates::depths(forecast, &mut ids, units);
    add("Wood left behind the cuts", Span::Half, depths);
    let gaps = one_slot_a_joint(forecast)
        .into_iter()
        .map(|index| {
            let (finding, curve) = (&forecast.fits[index], &forecast.curves.fits[index]);
            let figure = gap(finding, curve);
            let title = figure.title();
            LazyFigure::new(&mut ids, ("gap", &finding.joint), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    add("Gaps from the cut on", Span::Wide, gaps);
    let remedies = forecast
        .fits
        .iter()
        .filter_map(ways)
        .take(MOST_WAYS)
        .map(|figure| {
            let title = figure.title();
            let joint = figure.joint.clone();
            LazyFigure::new(&mut ids, ("remedies", &joint), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    add("Remedies side by side", Span::Wide, remedies);
    let logged = super::log_plate::figure(forecast, units).map(|figure| {
        let title = figure.title();
        LazyFigure::new(&mut ids, ("log", "readings"), title, move |id| {
            figure.draw(id)
        })
    });
    add(
        "Readings beside what was expected",
        Span::Wide,
        logged.into_iter().collect(),
    );
    let panels = forecast
        .panels
        .iter()
        .flat_map(|study| arrangements(study, &mut ids, units))
        .collect();
    add("Panels from leaves", Span::Wide, panels);
    let sections = parts
        .iter()
        .map(|part| {
            let figure = part.section_figure();
            let title = figure.title();
            LazyFigure::new(
                &mut ids,
                ("section", &part.finding.name),
                title,
                move |id| figure.draw(id, units),
            )
        })
        .collect();
    add(END_GRAIN, Span::Wide, sections);
    let moistures = distinct(&parts)
        .into_iter()
        .map(|(first, names)| {
            let figure = MoistureYearFigure {
                part: names,
                ..parts[first].moisture_figure()
            };
            let title = figure.title();
            let about = &parts[first].finding.name;
            LazyFigure::new(&mut ids, ("moisture", about), title, move |id| {
                figure.draw(id)
            })
        })
        .collect();
    add("Moisture through the year", Span::Half, moistures);
    let finishes = forecast
        .finishes
        .iter()
        .map(|row| {
            let name = row.named();
            let figure = BesideFigure::of_finish(row);
            let title = figure.title.clone();
            LazyFigure::new(&mut ids, ("finish", &name), title, move |id| {
                figure.draw(id)
            })
        })
        .collect();
    add("Finishes against their test", Span::Half, finishes);
    // What is sawn and what stands comes before the parts' sections.
    let before = groups
        .iter()
        .position(|group| group.heading == END_GRAIN)
        .unwrap_or(groups.len());
    let standing = super::standing_plates::groups(forecast, &mut ids, units);
    groups.splice(before..before, standing);
    let walk = walk(&parts, &fits, &mut ids, units);
    Sketches { groups, walk }
}

/// The best layouts of a panel beside one another and each by itself, and where its figure is a match, that match both ways.
fn arrangements<'a>(
    study: &'a PanelStudy,
    ids: &mut FigureIds,
    units: UnitSystem,
) -> Vec<LazyFigure<'a>> {
    let mut shapes: Vec<(String, &PanelShape)> = Vec::new();
    let figure = study.panel.leaf_match().word();
    for (rank, shape) in study.best.layouts.iter().enumerate() {
        let word = match rank {
            0 => format!("best {figure}"),
            rank => format!("{figure}, choice {}", rank + 1),
        };
        shapes.push((word, shape));
    }
    if let Some(flag) = &study.flag {
        for (word, shape) in [
            ("as bookmatched", &flag.bookmatched),
            ("as slip-matched", &flag.slip_matched),
        ] {
            if shapes.iter().all(|(_, drawn)| drawn.layout != shape.layout) {
                shapes.push((word.to_owned(), shape));
            }
        }
    }
    let mut figures: Vec<LazyFigure<'a>> = Vec::new();
    if study.best.layouts.len() > 1 {
        let figure = CandidatesFigure::of(&study.name, &study.panel, &study.best);
        let title = figure.title();
        figures.push(LazyFigure::new(
            ids,
            ("layouts", &study.name),
            title,
            move |id| figure.draw(id, units),
        ));
    }
    for (word, shape) in shapes {
        for figure in arrangement_figures(study, shape, &word) {
            let (about, title) = (format!("{} {}", study.name, figure.figure), figure.title());
            figures.push(LazyFigure::new(ids, ("panel", &about), title, move |id| {
                figure.draw(id, units)
            }));
        }
    }
    figures
}

/// One layout, a figure for each of its rows.
fn arrangement_figures(
    study: &PanelStudy,
    shape: &PanelShape,
    word: &str,
) -> Vec<ArrangementFigure> {
    let wood = study
        .panel
        .leaves()
        .iter()
        .find_map(|leaf| leaf.species.as_deref());
    let tone = wood.map_or(WoodTone::default(), WoodTone::of_wood);
    let several = shape.layout.rows.len() > 1;
    (0..shape.layout.rows.len())
        .map(|row| ArrangementFigure {
            panel: study.name.clone(),
            figure: if several {
                format!("{word}, row {}", row + 1)
            } else {
                word.to_owned()
            },
            tone,
            end: end_view(&study.panel, shape, row),
            edge: study.panel.edge_view(&shape.layout, row, 1.0),
            bow: shape.rows[row].bow,
            cup: shape.rows[row].cup,
            force_factor: shape.rows[row].force_factor,
        })
        .collect()
}

/// A layout that somebody tries: its figures, and in words what it does, the best layout beside it.
#[must_use]
pub fn laid_by_hand(
    study: &PanelStudy,
    layout: &Layout,
    units: UnitSystem,
) -> (Vec<Figure>, Vec<String>) {
    let shape = study.panel.shape(layout);
    let mut ids = FigureIds::new();
    let figures = arrangement_figures(study, &shape, "as laid")
        .into_iter()
        .map(|figure| figure.draw(&ids.next("laid", &study.name), units))
        .collect();
    let mut words = vec![
        format!(
            "Bow {} over {}, cup {}, twist {}.",
            shape.bow_words(units),
            shown(study.panel.leaf_length(), units),
            shown(shape.cup.abs(), units),
            shown(shape.twist.abs(), units)
        ),
        format!(
            "Holding it flat takes {} at its middle: {}.",
            force_shown(shape.hold_flat, units),
            felt(shape.hold_flat)
        ),
    ];
    if shape.adds_bows {
        words.push("The bows add: it takes more force than its worst leaf alone.".to_owned());
    }
    if let Some(best) = study.best.layouts.first() {
        words.push(if best.layout == *layout {
            "This is the best layout found.".to_owned()
        } else {
            format!(
                "Against the best layout: {}.",
                compared(&shape, best, units)
            )
        });
    }
    if !study.panel.keeps_rule(layout) {
        words.push(format!(
            "It is no {}: the figure of the wood does not match.",
            study.panel.leaf_match().word()
        ));
    }
    (figures, words)
}

/// A row from its end, drawn as many times larger as keeps it a tenth of its width high.
fn end_view(panel: &Panel, shape: &PanelShape, row: usize) -> EndView {
    let height = |view: &EndView| {
        let heights = || {
            view.leaves
                .iter()
                .flat_map(|leaf| &leaf.outline_mm)
                .map(|p| p.1)
        };
        heights().fold(f64::MIN, f64::max) - heights().fold(f64::MAX, f64::min)
    };
    let flat = height(&panel.end_view(&shape.layout, row, 0.0));
    let room = flat + 0.1 * shape.rows[row].width.mm();
    [30.0, 20.0, 15.0, 10.0, 5.0, 3.0, 2.0]
        .into_iter()
        .map(|times| panel.end_view(&shape.layout, row, times))
        .find(|view| height(view) <= room)
        .unwrap_or_else(|| panel.end_view(&shape.layout, row, 1.0))
}

/// The fits whose gaps are drawn: all that live through the year, but of the slots of a joint only the one with the least to spare.
fn one_slot_a_joint(forecast: &Forecast) -> Vec<usize> {
    let spare = |index: usize| {
        let fit = &forecast.fits[index];
        fit.gap_min.low - fit.gap_allowed_min
    };
    let mut kept = Vec::new();
    for joint in &forecast.drawings {
        let year = |index: &usize| !forecast.curves.fits[*index].assembly_only;
        let (slots, others): (Vec<usize>, Vec<usize>) = joint
            .fits
            .clone()
            .filter(year)
            .partition(|index| forecast.fits[*index].cut == "slot");
        kept.extend(others);
        kept.extend(
            slots
                .into_iter()
                .min_by(|a, b| spare(*a).total_cmp(&spare(*b))),
        );
    }
    kept
}

/// Parts whose moisture runs alike are one chart: the first of each, and the names of all.
fn distinct(parts: &[PartView<'_>]) -> Vec<(usize, String)> {
    /// Curves that stay within this of each other are one, percent moisture (judgement).
    const ALIKE_PERCENT: f64 = 0.4;
    let alike = |a: &PartView<'_>, b: &PartView<'_>| {
        let curves = [
            (&a.curve.settled_percent, &b.curve.settled_percent),
            (&a.curve.first_year_percent, &b.curve.first_year_percent),
        ];
        curves.iter().all(|(one, other)| {
            one.len() == other.len()
                && one
                    .iter()
                    .zip(*other)
                    .all(|(x, y)| (x - y).abs() <= ALIKE_PERCENT)
        })
    };
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        match groups
            .iter_mut()
            .find(|group| alike(&parts[group[0]], part))
        {
            Some(group) => group.push(index),
            None => groups.push(vec![index]),
        }
    }
    groups
        .into_iter()
        .map(|group| {
            let names: Vec<&str> = group
                .iter()
                .map(|index| parts[*index].finding.name.as_str())
                .collect();
            (group[0], names.join(", "))
        })
        .collect()
}

fn walk<'a>(
    parts: &[PartView<'a>],
    fits: &[(&'a FitFinding, &'a FitCurve)],
    ids: &mut FigureIds,
    units: UnitSystem,
) -> Vec<LazyFigure<'a>> {
    let swing = |part: &PartView<'_>| part.finding.width_swing();
    let mut most: Vec<usize> = (0..parts.len()).collect();
    most.sort_by(|a, b| {
        swing(&parts[*b])
            .total_cmp(&swing(&parts[*a]))
            .then(a.cmp(b))
    });
    most.truncate(WALK_PARTS);
    most.sort_unstable();
    let gaps = fits.iter().map(|(finding, curve)| {
        let figure = GapWalk {
            joint: finding.joint.clone(),
            measure: finding.gap.clone(),
            gap_mm: std::array::from_fn(|month| {
                let day = mid_month(month);
                curve.gap_mm.get(day).copied().unwrap_or(f64::NAN)
            }),
            min: Some(Length::from_mm_unchecked(curve.min_mm)),
            max: finding.gap_allowed_max_mm,
            tone: WoodTone::Pale,
        };
        (figure, &finding.joint)
    });
    let mut figures: Vec<LazyFigure<'a>> = gaps
        .map(|(figure, joint)| {
            let title = figure.title();
            LazyFigure::new(ids, ("gap-by-month", joint), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    for index in most {
        let part = &parts[index];
        if !part.finding.pith_inside {
            let figure = SectionWalk {
                part: part.finding.name.clone(),
                tone: WoodTone::of_wood(&part.finding.species),
                section: part.section,
                cup_known: part.finding.cup_known,
                months: std::array::from_fn(|month| part.month(mid_month(month))),
            };
            let (about, title) = (
                ("section-by-month", part.finding.name.as_str()),
                figure.title(),
            );
            figures.push(LazyFigure::new(ids, about, title, move |id| {
                figure.draw(id, units)
            }));
        }
    }
    figures
}

impl PartView<'_> {
    fn measured(&self) -> MoistureContent {
        self.finding.moisture
    }

    fn moved(&self, at: MoistureContent) -> Option<MovedSection> {
        self.section
            .moved(RingStrains::of(&self.shrinkage, self.measured(), at))
    }

    fn month(&self, day: usize) -> SectionMonth {
        let at = |values: &[f64]| values.get(day).copied().unwrap_or(f64::NAN);
        let moisture = MoistureContent::computed_percent(at(&self.curve.settled_percent));
        SectionMonth {
            moisture,
            moved: self.moved(moisture),
            slope_bend: curvature_of_moisture_slope(
                self.section.width_coefficient(&self.shrinkage),
                at(&self.curve.settled_slope),
            ),
        }
    }

    /// The state on a day the forecast given: its bend is what its cup has beyond the rings'.
    fn state(&self, when: String, moisture: MoistureContent, cup: Option<Length>) -> SectionState {
        let moved = self.moved(moisture);
        let slope_bend = match (moved, cup) {
            (Some(moved), Some(cup)) => {
                let beyond = moved.cup(Face::Bark) - cup;
                Curvature::of_rise(beyond, moved.width(Face::Bark))
            }
            _ => Curvature::ZERO,
        };
        SectionState {
            when,
            moisture,
            moved,
            slope_bend,
        }
    }

    fn section_figure(&self) -> SectionFigure {
        let part = self.finding;
        SectionFigure {
            part: part.name.clone(),
            tone: WoodTone::of_wood(&part.species),
            section: self.section,
            cup_known: part.cup_known,
            when: format!("measured {}", day_words(part.measured_on)),
            moisture: self.measured(),
            states: vec![
                self.state(
                    format!("driest, {}", day_words(part.driest_on)),
                    part.moisture_driest.middle,
                    part.cup_driest_mm,
                ),
                self.state(
                    format!("wettest, {}", day_words(part.wettest_on)),
                    part.moisture_wettest.middle,
                    part.cup_wettest_mm,
                ),
            ],
        }
    }

    fn moisture_figure(&self) -> MoistureYearFigure {
        let curve = self.curve;
        MoistureYearFigure {
            part: self.finding.name.clone(),
            mean_percent: curve.settled_percent.clone(),
            band_percent: band(&curve.low_percent, &curve.high_percent),
            first_year: (!curve.first_year_percent.is_empty()).then(|| DayMark {
                day: curve.delivered_day,
                value: curve.first_year_percent.clone(),
            }),
            measured: Some(DayMark {
                day: day_of_year(self.finding.measured_on),
                value: self.measured(),
            }),
        }
    }
}

fn gap(finding: &FitFinding, curve: &FitCurve) -> GapFigure {
    let from = &curve.from_cut;
    GapFigure {
        joint: finding.joint.clone(),
        finding: gap_words(finding),
        measure: finding.gap.clone(),
        first: from.first,
        delivered: from.delivered,
        gap_mm: from.gap_mm.clone(),
        band_mm: band(&from.low_mm, &from.high_mm),
        min: Some(Limit::Level(Length::from_mm_unchecked(curve.min_mm))),
        max: (!from.upper_mm.is_empty()).then(|| Limit::Daily(from.upper_mm.clone())),
        too_tight: finding.too_tight.clone(),
        too_loose: finding.too_loose.clone(),
        tight_percent: from.tight_percent.clone(),
        loose_percent: from.loose_percent.clone(),
    }
}

/// Joints whose remedies are drawn: the three things to change first.
const MOST_WAYS: usize = 3;
/// Remedies beside the joint as it is.
const OTHER_WAYS: usize = 2;

/// A fit as it is and as its best remedies would make it; none where it holds or nothing helps.
fn ways(finding: &FitFinding) -> Option<WaysFigure> {
    if finding.verdict == Verdict::Holds {
        return None;
    }
    let then = finding.remedies.iter().filter_map(|remedy| {
        let gaps = remedy.gaps.as_ref()?;
        if !(gaps.min.low.mm().is_finite() && gaps.max.high.mm().is_finite()) {
            return None;
        }
        Some(Way {
            words: remedy.what.clone(),
            min: gaps.min,
            max: gaps.max,
            allowed_max: gaps.allowed_max,
            holds: remedy.holds_chance,
        })
    });
    let mut ways = vec![Way {
        words: "as it is".to_owned(),
        min: finding.gap_min,
        max: finding.gap_max,
        allowed_max: finding.gap_allowed_max_mm,
        holds: finding.holds_chance,
    }];
    ways.extend(then.take(OTHER_WAYS));
    (ways.len() > 1).then(|| WaysFigure {
        joint: finding.joint.clone(),
        measure: finding.gap.clone(),
        allowed_min: finding.gap_allowed_min,
        too_tight: finding.too_tight.clone(),
        too_loose: finding.too_loose.clone(),
        ways,
    })
}

/// What a fit's gap does, as a title: what fails and in which month, or that it holds.
fn gap_words(finding: &FitFinding) -> String {
    let limit = Chance::computed_percent(100.0 - HOLDS_PERCENT);
    let mut found = Vec::new();
    if finding.too_tight_chance >= limit {
        found.push(format!(
            "{} in {}",
            finding.too_tight,
            month_of(finding.gap_min_on)
        ));
    }
    if finding.too_loose_chance >= limit && !finding.too_loose.is_empty() {
        found.push(format!(
            "{} in {}",
            finding.too_loose,
            month_of(finding.gap_max_on)
        ));
    }
    if found.is_empty() && finding.verdict == Verdict::Holds {
        format!("{}: the gap keeps within its limits", finding.joint)
    } else if found.is_empty() {
        format!("{}: the gap is near its limits", finding.joint)
    } else {
        format!("{}: {}", finding.joint, found.join("; "))
    }
}

fn band(low: &[f64], high: &[f64]) -> Option<DailyBand> {
    (!low.is_empty() && low.len() == high.len()).then(|| DailyBand {
        low: low.to_vec(),
        high: high.to_vec(),
    })
}
