//! Figures of boards, leaves, held panels, shelves, the glue-up and the fastenings.

use super::lazy_figure::{LazyFigure, SketchGroup};
use super::view::Span;
use crate::carcass::keys::{FastenedPart, InstallFinding, ShelfFinding, StraightenFinding};
use crate::carcass::{ForceArrow, Hole, ShelfLoad, SiteKind, WALL_GAP_MM};
use crate::chart::{
    DailyBand, FasteningView, FasteningsFigure, FigureIds, HeldPoint, LeafView, LeavesFigure,
    MillingOrder, PieceView, RestFigure, SagPoint, ShelfFigure, SiteFigure, SlotView, StageView,
    StagesFigure, StraightenFigure, StripFigure, SupportView, ThicknessFigure, WoodTone,
};
use crate::forecast::{BoardStudy, Forecast};
use crate::joint::PartId;
use crate::panel::felt;
use crate::stock::Side;
use crate::units::notation::line_load_shown;
use crate::units::{Force, Length, UnitSystem};

/// Places at which a held panel and a shelf are drawn.
const POINTS: usize = 61;
/// Days of a leaf's rest drawn beyond the day on which 90 % are done, as a share of them.
const REST_BEYOND: f64 = 1.6;

/// The test strips of a board whose pair was measured.
fn strips(study: &BoardStudy) -> impl Iterator<Item = StripFigure> {
    study.order.strips.iter().filter_map(|strip| {
        Some(StripFigure {
            board: study.name.clone(),
            tone: WoodTone::of_wood(&study.species),
            length: strip.length,
            half: (strip.thickness - strip.kerf) / 2.0,
            gap: strip.gap?,
        })
    })
}

/// The figures of what stands and of what is sawn, by kind.
pub(super) fn groups<'a>(
    forecast: &'a Forecast,
    ids: &mut FigureIds,
    units: UnitSystem,
) -> Vec<SketchGroup<'a>> {
    let standing = &forecast.standing;
    let mut groups = Vec::new();
    let mut add = |heading: &'static str, span: Span, sketches: Vec<LazyFigure<'a>>| {
        groups.extend(SketchGroup::of(heading, span, sketches));
    };
    let boards = || forecast.boards.iter();
    let leaves = boards()
        .map(|study| {
            let figure = leaves(study);
            let title = figure.title();
            LazyFigure::new(ids, ("leaves", &study.name), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    add("Boards resawn", Span::Wide, leaves);
    let strips = boards()
        .flat_map(|study| strips(study).map(move |strip| (study, strip)))
        .map(|(study, figure)| {
            let title = figure.title();
            LazyFigure::new(ids, ("strip", &study.name), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    add("Test strips", Span::Wide, strips);
    let milled = boards()
        .filter_map(|study| Some((study, thickness(study)?)))
        .map(|(study, figure)| {
            let title = figure.title();
            LazyFigure::new(ids, ("thickness", &study.name), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    add("Thickness left", Span::Wide, milled);
    let rests = boards()
        .flat_map(rests)
        .map(|(about, figure)| {
            let title = figure.title();
            LazyFigure::new(ids, ("rest", &about), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    add("Leaves at rest", Span::Half, rests);
    let held = standing
        .straighten
        .iter()
        .map(|found| {
            let (name, tone) = part(forecast, found.part);
            let figure = straighten(found, &name, tone);
            let title = figure.title();
            LazyFigure::new(ids, ("straighten", &name), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    add("Panels held straight", Span::Wide, held);
    let shelves = standing
        .shelves
        .iter()
        .map(|found| {
            let (name, tone) = part(forecast, found.part);
            let figure = shelf(found, &name, tone, units);
            let title = figure.title();
            LazyFigure::new(ids, ("shelf", &name), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    add("Shelves under load", Span::Wide, shelves);
    if let Some((_, stages)) = &standing.glueup {
        let figure = StagesFigure {
            piece: forecast.job.name.clone(),
            stage_time: stages.stage_time,
            stages: standing
                .stage_pictures
                .iter()
                .enumerate()
                .map(|(number, picture)| StageView {
                    name: format!("stage {}", number + 1),
                    steps: picture.new_joints.clone(),
                })
                .collect(),
        };
        let (about, title) = (("glue-up", forecast.job.name.as_str()), figure.title());
        let sketch = LazyFigure::new(ids, about, title, move |id| figure.draw(id));
        add("Glue-up", Span::Wide, vec![sketch]);
    }
    let site = site_of_forecast(forecast)
        .into_iter()
        .map(|figure| {
            let title = figure.title();
            LazyFigure::new(ids, ("site", &forecast.job.name), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    add("On site", Span::Wide, site);
    let fastened = standing
        .install
        .iter()
        .flat_map(|install| &install.fastened);
    let fastenings = fastened
        .map(|found| {
            let (name, tone) = part(forecast, found.part);
            let figure = fastenings(found, &name, tone);
            let title = figure.title();
            LazyFigure::new(ids, ("fastenings", &name), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect();
    add("Fastenings", Span::Wide, fastenings);
    groups
}

fn part(forecast: &Forecast, id: PartId) -> (String, WoodTone) {
    forecast.parts.get(id.0).map_or_else(
        || ("part".to_owned(), WoodTone::default()),
        |part| (part.name.clone(), WoodTone::of_wood(&part.species)),
    )
}

fn leaves(study: &BoardStudy) -> LeavesFigure {
    let mut leaves: Vec<_> = study.forecast.leaves.iter().collect();
    leaves.sort_by(|a, b| a.slice.lower.mm().total_cmp(&b.slice.lower.mm()));
    LeavesFigure {
        board: study.name.clone(),
        tone: WoodTone::of_wood(&study.species),
        length: study.order.board.length,
        leaves: leaves
            .into_iter()
            .map(|leaf| LeafView {
                name: format!("leaf {}", leaf.number),
                thickness: leaf.slice.thickness(),
                bow: leaf.bow.rested.middle,
                bow_band: Some((leaf.bow.rested.low, leaf.bow.rested.high)),
                sawn_above: leaf.slice.sawn() == Side::Upper,
                fresh_below: leaf.slice.lower_fresh,
                fresh_above: leaf.slice.upper_fresh,
            })
            .collect(),
    }
}

/// The leaf that bows most, flattened whole and cross-cut to the first part wanted first.
fn thickness(study: &BoardStudy) -> Option<ThicknessFigure> {
    let bow = |index: &usize| study.forecast.leaves[*index].bow.rested.middle.abs();
    let index = (0..study.forecast.leaves.len())
        .max_by(|a, b| bow(a).mm().total_cmp(&bow(b).mm()).then(b.cmp(a)))?;
    let leaf = &study.forecast.leaves[index];
    let milled = study
        .forecast
        .milling
        .get(index)?
        .iter()
        .find(|milled| milled.fits_outline)?;
    let wanted = study.order.parts.get(milled.part)?;
    let length = study.order.board.length;
    let count = ((length.mm() + study.order.cross_cut.mm())
        / (wanted.length.mm() + study.order.cross_cut.mm()))
    .floor()
    .max(1.0) as usize;
    let pieces = (0..count)
        .map(|piece| {
            let from = (wanted.length + study.order.cross_cut) * piece as f64;
            PieceView {
                from,
                to: from + wanted.length,
                left: milled.cut_first.left.middle,
            }
        })
        .collect();
    let up = if leaf.slice.sawn() == Side::Upper {
        -1.0
    } else {
        1.0
    };
    Some(ThicknessFigure {
        leaf: format!(
            "leaf {} of {}, for the {}",
            leaf.number, study.name, wanted.name
        ),
        tone: WoodTone::of_wood(&study.species),
        length,
        thickness: leaf.slice.thickness(),
        rise: leaf.bow.rested.middle * up,
        orders: vec![
            MillingOrder {
                name: "flatten whole, then cross-cut".to_owned(),
                pieces: vec![PieceView {
                    from: Length::ZERO,
                    to: length,
                    left: milled.flatten_first.left.middle,
                }],
            },
            MillingOrder {
                name: "cross-cut first, then flatten".to_owned(),
                pieces,
            },
        ],
    })
}

/// The leaves of a board at rest, each under the board's name first: it is its figure.
fn rests(study: &BoardStudy) -> Vec<(String, RestFigure)> {
    let leaves = study.forecast.leaves.iter().zip(&study.forecast.rests);
    leaves
        .map(|(leaf, rest)| {
            let days = rest.day_90.map_or(rest.bow.len(), |day| {
                ((day as f64 * REST_BEYOND).ceil() as usize + 7).min(rest.bow.len())
            });
            let shown = &rest.bow[..days];
            let figure = RestFigure {
                piece: format!("leaf {} of {}", leaf.number, study.name),
                what: "bow".to_owned(),
                mm: shown.iter().map(|band| band.middle.mm()).collect(),
                band_mm: Some(DailyBand {
                    low: shown.iter().map(|band| band.low.mm()).collect(),
                    high: shown.iter().map(|band| band.high.mm()).collect(),
                }),
                settled_day: rest.day_90,
                ends_at: Some(leaf.bow.rested.middle),
            };
            (format!("{}, leaf {}", study.name, leaf.number), figure)
        })
        .collect()
}

fn straighten(found: &StraightenFinding, name: &str, tone: WoodTone) -> StraightenFigure {
    let held = &found.held;
    let support = |number: usize, arrow: &ForceArrow| SupportView {
        name: arrow
            .name
            .clone()
            .unwrap_or_else(|| place_name(number, arrow.at, held.panel.length())),
        at: arrow.at,
        down: arrow.force,
        felt: felt(Force::computed_newtons(arrow.force.newtons().abs())),
        lost: arrow.lost,
    };
    StraightenFigure {
        panel: name.to_owned(),
        tone,
        length: held.panel.length(),
        thickness: held.panel.thickness(),
        points: held
            .before_after(POINTS)
            .into_iter()
            .map(|point| HeldPoint {
                at: point.at,
                free: point.free,
                held: point.held,
            })
            .collect(),
        supports: held
            .arrows()
            .iter()
            .enumerate()
            .map(|(i, arrow)| support(i, arrow))
            .collect(),
        leftover: held.leftover,
    }
}

/// What a support nobody named is called.
pub(super) fn place_name(number: usize, at: Length, length: Length) -> String {
    if at.mm() < 0.01 * length.mm() {
        "near end".to_owned()
    } else if at.mm() > 0.99 * length.mm() {
        "far end".to_owned()
    } else {
        format!("support {}", number + 1)
    }
}

fn shelf(found: &ShelfFinding, name: &str, tone: WoodTone, units: UnitSystem) -> ShelfFigure {
    let loads: Vec<String> = found
        .shelf
        .loads
        .iter()
        .map(|load| match load {
            ShelfLoad::Even(load) => format!("{} all along", line_load_shown(*load, units)),
            ShelfLoad::Partial { load, .. } => {
                format!("{} over a part", line_load_shown(*load, units))
            }
            ShelfLoad::Point { force, .. } => {
                format!(
                    "{} at one place",
                    crate::units::notation::force_shown(*force, units)
                )
            }
        })
        .collect();
    let support = |number: usize, name: &Option<String>| {
        name.clone()
            .unwrap_or_else(|| format!("support {}", number + 1))
    };
    ShelfFigure {
        shelf: name.to_owned(),
        tone,
        length: found.shelf.length,
        thickness: found.shelf.board.thickness(),
        points: found
            .loaded
            .line(found.shelf.length, POINTS)
            .into_iter()
            .map(|point| SagPoint {
                at: point.at,
                at_first: point.at_once,
                after_years: point.after_years,
            })
            .collect(),
        supports: found
            .shelf
            .supports
            .iter()
            .enumerate()
            .map(|(i, at)| (support(i, &at.name), at.at))
            .collect(),
        load: loads.join(", "),
        allowed: Some(found.allowed),
    }
}

/// The piece of a forecast on its site.
#[must_use]
pub fn site_of_forecast(forecast: &Forecast) -> Option<SiteFigure> {
    let install = forecast.standing.install.as_ref()?;
    Some(site(install, &forecast.job.name))
}

fn site(found: &InstallFinding, piece: &str) -> SiteFigure {
    let beside = match (found.site, found.walls) {
        (SiteKind::Niche, Some(walls)) => [Some(walls.left), Some(walls.right)],
        _ => [found.gap_beside, None],
    };
    let wall_behind = found.site != SiteKind::Free;
    SiteFigure {
        piece: piece.to_owned(),
        site: found.site.word(),
        outer: [found.outer[0], found.outer[1], found.height],
        base: found.base,
        plinth: found.plinth,
        shims: found
            .levelled
            .map(|level| level.corners.map(|corner| corner.shim)),
        behind: found
            .gap_behind
            .or_else(|| wall_behind.then_some(Length::from_mm_unchecked(WALL_GAP_MM))),
        beside,
    }
}

fn fastenings(found: &FastenedPart, name: &str, tone: WoodTone) -> FasteningsFigure {
    FasteningsFigure {
        piece: name.to_owned(),
        tone,
        width: found.width,
        fastenings: found
            .marks
            .iter()
            .enumerate()
            .map(|(number, mark)| FasteningView {
                name: format!("screw {}", number + 1),
                at: mark.across,
                slot: match mark.hole {
                    Hole::Round => None,
                    Hole::Slot {
                        length,
                        width,
                        screw,
                        ..
                    } => Some(SlotView {
                        long: length,
                        screw: width,
                        driest: screw.driest,
                        today: screw.today,
                        wettest: screw.wettest,
                    }),
                },
            })
            .collect(),
    }
}
