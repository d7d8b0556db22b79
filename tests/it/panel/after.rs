//! After glue-up: width, cup and bow through the year.

use super::{in_order, leaf, measured, mm, panel, ringed, walnut};
use approx::assert_relative_eq;
use heartside::moisture::MoistureTrack;
use heartside::movement::{Direction, Face};
use heartside::panel::{BowTrend, FaceUp, KEPT_AFTER_MONTHS, Leaf, LeafMatch};
use heartside::units::MoistureContent;

fn at(percent: f64) -> MoistureContent {
    MoistureContent::computed_percent(percent)
}

const UP: [FaceUp; 4] = [FaceUp::Sawn; 4];

#[test]
fn at_its_own_moisture_a_panel_is_as_jointed() {
    let panel = panel(
        measured(&[
            (120.0, 1.0, 0.0, 0.0, 70.0, 15.0, true),
            (90.0, 1.0, 0.0, 0.0, 50.0, -20.0, false),
        ]),
        LeafMatch::Random,
    );
    let now = panel.at(&in_order(&UP[..2]), at(10.0), 0.0);
    assert_relative_eq!(now.width.mm(), 210.0, epsilon = 1e-9);
    assert_eq!(now.cup.mm(), 0.0);
    assert_relative_eq!(now.bow.mm(), 1.0, epsilon = 1e-12);
}

/// Without rings a leaf is flat-sawn: its width goes with the tangential shrinkage of Eq. 13-3 (Wood Handbook).
#[test]
fn width_without_rings_is_tangential() {
    let one = Leaf {
        wood: walnut(),
        ..leaf("A", 300.0, 0.0)
    };
    let panel = panel(vec![one], LeafMatch::Random);
    let dry = panel.at(&in_order(&UP[..1]), at(6.0), 0.0);
    // 300 x (1 - 0.078 (30 - 6)/30) / (1 - 0.078 (30 - 10)/30)
    assert_relative_eq!(dry.width.mm(), 300.0 * 0.9376 / 0.948, epsilon = 1e-9);
}

/// The moister face grows and turns round: with the show face moister by a slope `s` the cup is
/// `-C_T s w^2/8` and the bow `-C_L s L^2/8`.
#[test]
fn a_moist_show_face_turns_round() {
    let one = Leaf {
        wood: walnut(),
        ..leaf("A", 300.0, 0.0)
    };
    let panel = panel(vec![one], LeafMatch::Random);
    let slope = 0.05;
    let moist = panel.at(&in_order(&UP[..1]), at(10.0), slope);
    let shrinkage = walnut().shrinkage.unwrap();
    let cup = shrinkage.change_coefficient(Direction::Tangential) * slope * 300.0 * 300.0 / 8.0;
    assert_relative_eq!(moist.cup.mm(), -cup, max_relative = 1e-3);
    let bow = shrinkage.change_coefficient(Direction::Longitudinal) * slope * 900.0 * 900.0 / 8.0;
    assert_relative_eq!(moist.bow.mm(), -bow, max_relative = 1e-9);
}

/// A panel whose back stands against a wall follows with a slope that swings; its bow grows on one side of the year.
#[test]
fn the_year_tells_width_cup_and_whether_the_bow_grows() {
    let leaves = vec![
        ringed(leaf("A", 150.0, 3.0), 80.0, 0.0, Face::Bark),
        ringed(leaf("B", 150.0, 3.0), 91.0, 0.0, Face::Heart),
    ];
    let panel = panel(leaves, LeafMatch::Bookmatch);
    let layout = panel.best(1).layouts[0].layout.clone();
    let season = |day: usize| (std::f64::consts::TAU * day as f64 / 365.0).cos();
    let track = |swing: f64| MoistureTrack {
        first_day: 0,
        mean_percent: (0..365).map(|day| 8.0 - 2.0 * season(day)).collect(),
        slope_percent_per_mm: (0..365).map(|day| -swing * season(day)).collect(),
    };
    let year = panel.through_the_year(&layout, &track(0.1));
    let (narrow, wide) = year.extremes(|at| at.width).unwrap();
    assert_eq!(narrow, 0, "driest in January");
    assert!(wide.abs_diff(182) <= 1);
    assert!(year.days[narrow].width < year.days[wide].width);
    // In January the show face is the drier: hollow, more than when glued.
    assert!(year.days[0].bow.mm() > 3.0);
    assert_eq!(year.bow_trend, BowTrend::Grows);
    assert_relative_eq!(year.bow_after_holding.mm(), 3.0 * KEPT_AFTER_MONTHS);
    let even = panel.through_the_year(&layout, &track(0.0));
    assert_eq!(even.bow_trend, BowTrend::Stays);
    let (_, cup) = year.extremes(|at| at.cup.abs()).unwrap();
    let (_, cup_even) = even.extremes(|at| at.cup.abs()).unwrap();
    assert!(year.days[cup].cup.abs() > even.days[cup_even].cup.abs());
    assert!(even.days[0].cup.abs() > mm(0.0));
}

#[test]
fn a_slope_that_only_relieves_eases_the_bow() {
    let one = Leaf {
        wood: walnut(),
        ..leaf("A", 300.0, 3.0)
    };
    let panel = panel(vec![one], LeafMatch::Random);
    let track = MoistureTrack {
        first_day: 40,
        mean_percent: vec![9.0; 10],
        slope_percent_per_mm: vec![0.1; 10],
    };
    let year = panel.through_the_year(&in_order(&UP[..1]), &track);
    assert_eq!(year.bow_trend, BowTrend::Eases);
    assert_eq!(year.first_day, 40);
}

/// A four-way match is two panels end to end: each size through the year is that of the row where it is the greater, as
/// either row gives it by itself.
#[test]
fn both_rows_of_a_four_way_match_are_followed() {
    let leaves = vec![
        ringed(leaf("A", 150.0, 1.0), 80.0, 0.0, Face::Bark),
        ringed(leaf("B", 150.0, 1.5), 91.0, 0.0, Face::Heart),
        ringed(leaf("C", 150.0, -4.0), 45.0, 20.0, Face::Bark),
        ringed(leaf("D", 150.0, -3.0), 56.0, 20.0, Face::Heart),
    ];
    let panel = panel(leaves, LeafMatch::FourWay);
    let layout = panel.best(1).layouts[0].layout.clone();
    let row = |row: usize| {
        let alone = heartside::panel::Layout {
            rows: vec![layout.rows[row].clone()],
        };
        panel.at(&alone, at(6.0), 0.02)
    };
    let (one, other, both) = (row(0), row(1), panel.at(&layout, at(6.0), 0.02));
    let greater = |size: fn(&heartside::panel::PanelAt) -> heartside::units::Length| {
        size(&one).abs().max(size(&other).abs())
    };
    assert_eq!(both.width.abs(), greater(|at| at.width));
    assert_eq!(both.cup.abs(), greater(|at| at.cup));
    assert_eq!(both.bow.abs(), greater(|at| at.bow));
    assert!(one.bow != other.bow && one.cup != other.cup);
    // Turned round, the far row lies forward: the same panel.
    let turned = panel.at(&layout.turned_round(), at(6.0), 0.02);
    assert_relative_eq!(turned.cup.abs().mm(), both.cup.abs().mm(), epsilon = 1e-4);
    assert_eq!(turned.bow, both.bow);
}
