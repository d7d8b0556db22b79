//! Figures of an invented sideboard, for the tests to draw.

use heartside::chance::Band;
use heartside::chart::{
    ArrangementFigure, CandidatesFigure, CutView, DailyBand, DayMark, DepthFigure, FasteningView,
    FasteningsFigure, Figure, GapFigure, GapWalk, HeldPoint, LeafView, LeavesFigure, Limit,
    MillingOrder, MoistureYearFigure, PieceView, RestFigure, SagPoint, SectionFigure, SectionMonth,
    SectionState, SectionWalk, ShelfFigure, SlotView, StageView, StagesFigure, StraightenFigure,
    StripFigure, SupportView, ThicknessFigure, Way, WaysFigure, WoodTone,
};
use heartside::movement::{Face, RingStrains, Rings, Section, Shrinkage};
use heartside::panel::{Leaf, LeafMatch as Match, LeafWood, MoistureChange, Panel, Weights};
use heartside::units::{
    Angle, Chance, Curvature, Duration, Force, Length, MoistureContent, Strain, Stress,
};

pub(crate) fn mm(value: f64) -> Length {
    Length::from_mm(value).unwrap()
}

pub(crate) fn percent(value: f64) -> MoistureContent {
    MoistureContent::from_percent(value).unwrap()
}

/// A year as a residual bow: the minimum on day `low`, swinging by `swing` about `middle`.
pub(crate) fn residual_bow(middle: f64, swing: f64, low: usize) -> Vec<f64> {
    (0..365)
        .map(|day| {
            let turn = (day as f64 - low as f64) / 365.0 * std::f64::consts::TAU;
            middle - swing * turn.cos()
        })
        .collect()
}

pub(crate) fn moisture() -> MoistureYearFigure {
    let mean = residual_bow(7.2, 1.5, 40);
    let first = (0..365)
        .map(|i| {
            let day: usize = (323 + i) % 365;
            mean[day] + (9.8 - mean[323]) * (-(i as f64) / 35.0).exp()
        })
        .collect();
    MoistureYearFigure {
        part: "top".into(),
        band_percent: Some(DailyBand {
            low: mean.iter().map(|m| m - 0.7).collect(),
            high: mean.iter().map(|m| m + 0.8).collect(),
        }),
        mean_percent: mean,
        first_year: Some(DayMark {
            day: 323,
            value: first,
        }),
        measured: Some(DayMark {
            day: 277,
            value: percent(9.5),
        }),
    }
}

pub(crate) fn gap() -> GapFigure {
    let gap = residual_bow(3.1, -1.4, 40);
    GapFigure {
        joint: "Back panel in its grooves, left".into(),
        finding: "back panel in its grooves, left: the gap keeps within its limits".into(),
        measure: "room in the groove".into(),
        first: jiff::civil::date(2026, 10, 5),
        delivered: 46,
        band_mm: Some(DailyBand {
            low: gap.iter().map(|g| g - 0.6).collect(),
            high: gap.iter().map(|g| g + 0.6).collect(),
        }),
        tight_percent: gap.iter().map(|g| 40.0 * (g - 2.0).abs()).collect(),
        loose_percent: Vec::new(),
        gap_mm: gap,
        min: Some(Limit::Level(mm(1.0))),
        max: Some(Limit::Daily(residual_bow(6.0, 0.05, 40))),
        too_tight: "the panel pushes the frame apart".into(),
        too_loose: "too little of the panel is left in the groove".into(),
    }
}

pub(crate) fn ways() -> WaysFigure {
    let about = |gap: f64| Band::new([mm(gap - 0.4), mm(gap + 0.4)], mm(gap));
    let way = |words: &str, from: f64, to: f64, allowed: Option<f64>, holds_percent: f64| Way {
        words: words.into(),
        min: about(from),
        max: about(to),
        allowed_max: allowed.map(mm),
        holds: Chance::computed_percent(holds_percent),
    };
    WaysFigure {
        joint: "Drawer in its opening".into(),
        measure: "clearance above the drawer".into(),
        allowed_min: mm(0.8),
        too_tight: "the drawer binds".into(),
        too_loose: "the drawer tips when pulled out".into(),
        ways: vec![
            way("as it is", 0.5, 3.4, Some(3.2), 8.0),
            way(
                "quartersawn wood for the drawer side",
                1.1,
                2.6,
                Some(3.2),
                84.0,
            ),
            way("a deeper groove", 1.0, 3.0, Some(4.0), 99.7),
        ],
    }
}

pub(crate) fn section_of(
    rings: Rings,
    width: f64,
    thickness: f64,
    tone: WoodTone,
) -> SectionFigure {
    let section = Section {
        width: mm(width),
        thickness: mm(thickness),
        rings,
    };
    let state = |when: &str, at: f64, radial: f64, tangential: f64| SectionState {
        when: when.into(),
        moisture: percent(at),
        moved: section.moved(RingStrains {
            radial: Strain::from_ratio(radial).unwrap(),
            tangential: Strain::from_ratio(tangential).unwrap(),
        }),
        slope_bend: Curvature::ZERO,
    };
    SectionFigure {
        part: "case side".into(),
        tone,
        section,
        cup_known: true,
        when: "today, 5 Oct".into(),
        moisture: percent(9.5),
        states: vec![
            state("driest, 10 Feb", 5.7, -0.0068, -0.0102),
            state("wettest, 12 Aug", 8.7, -0.0014, -0.0021),
        ],
    }
}

pub(crate) fn around(depth: f64, offset: f64) -> Rings {
    Rings::Pith {
        depth: mm(depth),
        offset: mm(offset),
    }
}

pub(crate) fn straight(degrees: f64) -> Rings {
    Rings::Straight {
        angle: Angle::from_degrees(degrees).unwrap(),
    }
}

/// Writes a figure where it can be looked at, and gives its text.
pub(crate) fn kept(figure: &Figure) -> String {
    let svg = figure.svg_file();
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("figures");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(figure.file_name()), &svg).unwrap();
    svg
}

pub(crate) fn leaves() -> LeavesFigure {
    let leaf = |name: &str, bow: f64, sawn_above, fresh_below, fresh_above| LeafView {
        name: name.into(),
        thickness: mm(12.0),
        bow: mm(bow),
        bow_band: Some((mm(bow - 1.5), mm(bow + 1.5))),
        sawn_above,
        fresh_below,
        fresh_above,
    };
    LeavesFigure {
        board: "the walnut board".into(),
        tone: WoodTone::Brown,
        length: mm(1200.0),
        leaves: vec![
            leaf("leaf 1", 4.2, true, false, true),
            leaf("leaf 2", -0.8, true, true, true),
            leaf("leaf 3", 3.9, false, true, false),
        ],
    }
}

pub(crate) fn rest() -> RestFigure {
    let mm_by_day: Vec<f64> = (0..61)
        .map(|day| 6.0 - 3.4 * (1.0 - (-f64::from(day) / 9.0).exp()))
        .collect();
    RestFigure {
        piece: "leaf 1".into(),
        what: "bow".into(),
        band_mm: Some(DailyBand {
            low: mm_by_day.iter().map(|v| v - 0.9).collect(),
            high: mm_by_day.iter().map(|v| v + 0.9).collect(),
        }),
        mm: mm_by_day,
        settled_day: Some(21),
        ends_at: Some(mm(2.6)),
    }
}

/// A panel worked out by hand from the beam equation: 300 x 12 mm, 900 long, bow 6, one divider: 187.73 N,
/// ends 93.87 N, leftover 0.444 mm.
pub(crate) fn straighten() -> StraightenFigure {
    let support = |name: &str, at: f64, down: f64, felt: &str| SupportView {
        name: name.into(),
        at: mm(at),
        down: Force::from_newtons(down).unwrap(),
        felt: felt.into(),
        lost: false,
    };
    StraightenFigure {
        panel: "back panel".into(),
        tone: WoodTone::Pale,
        length: mm(900.0),
        thickness: mm(12.0),
        points: (0..=60)
            .map(|i| {
                let share = f64::from(i) / 60.0;
                let half = 2.0 * share.min(1.0 - share);
                // Free: a circular bow. Held: the residual bow between the ends and the divider.
                HeldPoint {
                    at: mm(900.0 * share),
                    free: mm(24.0 * share * (1.0 - share)),
                    held: mm(0.444 * 27.0 / 4.0 * half * (1.0 - half) * (1.0 - half)),
                }
            })
            .collect(),
        supports: vec![
            support("left side", 0.0, -93.87, "a steady push by hand"),
            support("divider", 450.0, 187.73, "a firm push with both hands"),
            support("right side", 900.0, -93.87, "a steady push by hand"),
        ],
        leftover: mm(0.444),
    }
}

pub(crate) fn shelf() -> ShelfFigure {
    ShelfFigure {
        shelf: "middle shelf".into(),
        tone: WoodTone::Tan,
        length: mm(914.4),
        thickness: mm(19.0),
        points: (0..=40)
            .map(|i| {
                let s = f64::from(i) / 40.0;
                let shape = 16.0 / 5.0 * (s - 2.0 * s.powi(3) + s.powi(4));
                SagPoint {
                    at: mm(914.4 * s),
                    at_first: mm(1.83 * shape),
                    after_years: mm(3.66 * shape),
                }
            })
            .collect(),
        supports: vec![("left".into(), mm(0.0)), ("right".into(), mm(914.4))],
        load: "books, 25 lb to the foot".into(),
        allowed: Some(mm(2.5)),
    }
}

fn four_leaves() -> Panel {
    let wood = LeafWood {
        modulus: Stress::from_mpa(11_000.0).unwrap(),
        shear_modulus: Stress::from_mpa(900.0).unwrap(),
        shrinkage: Some(Shrinkage {
            radial_percent: 5.5,
            tangential_percent: 7.8,
            longitudinal_percent: 0.1,
            fiber_saturation_percent: 30.0,
        }),
        ..LeafWood::default()
    };
    let leaf = |name: &str, bow: f64, sawn_side| {
        let mut leaf = Leaf::new(name, mm(150.0), mm(14.0), mm(700.0), mm(bow));
        leaf.wood = wood;
        leaf.rings = Some(around(55.0, -20.0));
        leaf.sawn_side = Some(sawn_side);
        leaf
    };
    Panel::new(
        vec![
            leaf("1a", 3.0, Face::Bark),
            leaf("1b", 2.6, Face::Heart),
            leaf("2a", 3.4, Face::Bark),
            leaf("2b", 2.9, Face::Heart),
        ],
        Match::Bookmatch,
        MoistureChange {
            from: percent(9.0),
            to: percent(6.0),
        },
        Weights::default(),
    )
    .unwrap()
}

pub(crate) fn arrangement() -> ArrangementFigure {
    let panel = four_leaves();
    let layout = panel.as_listed();
    let shape = panel.shape(&layout);
    ArrangementFigure {
        panel: "door panel".into(),
        figure: "bookmatch".into(),
        tone: WoodTone::Brown,
        end: panel.end_view(&layout, 0, 10.0),
        edge: panel.edge_view(&layout, 0, 1.0),
        bow: shape.bow,
        cup: shape.cup,
        force_factor: shape.force_factor,
    }
}

pub(crate) fn candidates() -> CandidatesFigure {
    let panel = four_leaves();
    CandidatesFigure::of("door panel", &panel, &panel.best(3))
}

pub(crate) fn stages() -> StagesFigure {
    let stage = |name: &str, steps: &[(&str, f64)]| StageView {
        name: name.into(),
        steps: steps
            .iter()
            .map(|(name, seconds)| ((*name).into(), Duration::from_seconds(*seconds).unwrap()))
            .collect(),
    };
    StagesFigure {
        piece: "sideboard".into(),
        stage_time: Duration::from_seconds(600.0).unwrap(),
        stages: vec![
            stage(
                "stage 1, dividers to bottom",
                &[
                    ("left divider", 150.0),
                    ("right divider", 150.0),
                    ("clamps", 180.0),
                ],
            ),
            stage(
                "stage 2, the case",
                &[
                    ("left side", 200.0),
                    ("right side", 200.0),
                    ("top rail", 120.0),
                    ("clamps", 240.0),
                ],
            ),
        ],
    }
}

pub(crate) fn fastenings() -> FasteningsFigure {
    let slot = |long: f64, driest: f64, today: f64, wettest: f64| {
        Some(SlotView {
            long: mm(long),
            screw: mm(4.5),
            driest: mm(driest),
            today: mm(today),
            wettest: mm(wettest),
        })
    };
    let fastening = |name: &str, at: f64, slot| FasteningView {
        name: name.into(),
        at: mm(at),
        slot,
    };
    FasteningsFigure {
        piece: "top on its case".into(),
        tone: WoodTone::Brown,
        width: mm(419.1),
        fastenings: vec![
            fastening("back rail", 30.0, None),
            fastening("middle", 210.0, slot(9.0, 3.2, 5.0, 5.8)),
            fastening("front rail", 390.0, slot(12.0, 3.2, 6.9, 8.4)),
        ],
    }
}

pub(crate) fn depth() -> DepthFigure {
    let cut = |name: &str, above, from: f64, to: f64, depth: f64, left: f64| CutView {
        name: name.into(),
        above,
        from: mm(from),
        to: mm(to),
        depth: mm(depth),
        left_behind: mm(left),
    };
    DepthFigure {
        part: "left divider".into(),
        tone: WoodTone::Pale,
        length: mm(800.0),
        thickness: mm(22.0),
        faces: ("left face".into(), "right face".into()),
        cuts: vec![
            cut("shelf A", true, 250.0, 272.0, 9.5, 3.0),
            cut("shelf B", false, 256.0, 278.0, 9.5, 3.0),
            cut("bottom", true, 760.0, 782.0, 9.5, 12.5),
        ],
        min: mm(6.0),
    }
}

pub(crate) fn thickness() -> ThicknessFigure {
    let piece = |from: f64, to: f64, left: f64| PieceView {
        from: mm(from),
        to: mm(to),
        left: mm(left),
    };
    ThicknessFigure {
        leaf: "leaf 1".into(),
        tone: WoodTone::Brown,
        length: mm(1200.0),
        thickness: mm(12.0),
        rise: mm(4.2),
        orders: vec![
            MillingOrder {
                name: "flatten whole".into(),
                pieces: vec![piece(0.0, 1200.0, 6.8)],
            },
            MillingOrder {
                name: "cross-cut in two first".into(),
                pieces: vec![piece(0.0, 600.0, 9.95), piece(600.0, 1200.0, 9.95)],
            },
        ],
    }
}

pub(crate) fn strip(gap: f64) -> StripFigure {
    StripFigure {
        board: "the walnut board".into(),
        tone: WoodTone::Brown,
        length: mm(600.0),
        half: mm(11.0),
        gap: mm(gap),
    }
}

pub(crate) fn section_walk() -> SectionWalk {
    let section = Section {
        width: mm(419.1),
        thickness: mm(22.2),
        rings: around(76.0, 0.0),
    };
    let months = std::array::from_fn(|month| {
        let at = 7.2 - 1.5 * ((month as f64 - 1.3) / 12.0 * std::f64::consts::TAU).cos();
        SectionMonth {
            moisture: percent(at),
            moved: section.moved(RingStrains {
                radial: Strain::from_ratio(0.0018 * (at - 9.5)).unwrap(),
                tangential: Strain::from_ratio(0.0027 * (at - 9.5)).unwrap(),
            }),
            slope_bend: Curvature::ZERO,
        }
    });
    SectionWalk {
        part: "top".into(),
        tone: WoodTone::Brown,
        section,
        cup_known: true,
        months,
    }
}

pub(crate) fn gap_walk() -> GapWalk {
    GapWalk {
        joint: "door panel in its frame".into(),
        measure: "room in the groove".into(),
        gap_mm: std::array::from_fn(|month| {
            3.1 + 2.4 * ((month as f64 - 1.3) / 12.0 * std::f64::consts::TAU).cos()
        }),
        min: Some(mm(1.0)),
        max: Some(mm(6.0)),
        tone: WoodTone::Pale,
    }
}
