//! Panels held straight: closed forms, energy, symmetry, one-way supports,
//! dividers moved, and the best places.

use super::{mm, panel, supports};
use crate::refused;
use approx::assert_relative_eq;
use heartside::carcass::{
    BowedPanel, Change, Divider, Grip, JointHold, PanelFace, Support, SupportedPanel, best_places,
    closing_forces, straighten, straighten_together, variations,
};
use heartside::chance::Verdict;
use heartside::units::{Length, Stress};
use proptest::prelude::*;

/// The panel of the worked figures: 900 x 300 x 12 mm, 11 GPa, bow 6 mm.
fn worked() -> BowedPanel {
    panel(900.0, 300.0, 12.0, 11_000.0, 6.0)
}

fn equal_spacing(length: f64, dividers: usize) -> Vec<f64> {
    (0..=dividers + 1)
        .map(|i| length * i as f64 / (dividers + 1) as f64)
        .collect()
}

/// Slender-beam theory, equal spacing, circular bow (derived; the one-divider
/// case is in every table of continuous beams): inner forces in E I kappa / L,
/// leftover in bows, maximum moment in E I kappa.
#[test]
fn closed_forms_for_one_to_four_dividers() {
    let one = worked();
    let unit_moment = one.stiffness_n_mm2() * one.curvature().per_mm();
    let unit_force = unit_moment / 900.0;
    let unit_stress = one.stress_held_everywhere().mpa();
    let table: [(&[f64], f64, f64); 4] = [
        (&[6.0], 2.0 / 27.0, 1.5),
        (&[3.6, 3.6], 0.04695, 1.2),
        (&[6.857, -3.429, 6.857], 0.02407, 1.286),
        (&[7.895, -1.579, -1.579, 7.895], 0.01579, 1.263),
    ];
    for (forces, leftover, moment) in table {
        let held = straighten(&one, &supports(&equal_spacing(900.0, forces.len()))).unwrap();
        for (support, want) in held.supports[1..].iter().zip(forces) {
            let got = support.against_crown.newtons() / unit_force;
            assert!((got - want).abs() < 6e-4, "{got} for {want}");
        }
        let got = held.leftover.mm() / 6.0;
        assert!((got - leftover).abs() < 6e-6, "{got} for {leftover}");
        let got = held.stress.mpa() / unit_stress;
        assert!((got - moment).abs() < 6e-4, "{got} for {moment}");
    }
    let held = straighten(&one, &supports(&[0.0, 450.0, 900.0])).unwrap();
    assert_relative_eq!(
        held.leftover_at.mm().min(900.0 - held.leftover_at.mm()),
        150.0,
        epsilon = 1e-6
    );
}

/// The worked figures of the one-divider case (derived).
#[test]
fn worked_figures_with_one_divider() {
    let held = straighten(&worked(), &supports(&[0.0, 450.0, 900.0])).unwrap();
    let forces: Vec<f64> = held
        .supports
        .iter()
        .map(|s| s.against_crown.newtons())
        .collect();
    for (got, want) in forces.iter().zip([-93.87, 187.73, -93.87]) {
        assert!((got - want).abs() < 0.006, "{got} for {want}");
    }
    assert!((held.stress.mpa() - 5.867).abs() < 6e-4);
    assert!((held.leftover.mm() - 0.444).abs() < 6e-4);
    assert!((worked().stress_held_everywhere().mpa() - 3.911).abs() < 6e-4);
}

/// Clapeyron: the energy stored in bending is half the sum of each force times
/// the way its support moved the panel.
#[test]
fn the_energy_stored_is_the_work_of_the_supports() {
    let one = worked();
    let places = [35.0, 210.0, 480.0, 700.0, 880.0];
    let held = straighten(&one, &supports(&places)).unwrap();
    let work: f64 = held
        .supports
        .iter()
        .map(|s| 0.5 * s.against_crown.newtons() * one.free_shape(s.at).mm())
        .sum();
    assert_relative_eq!(held.energy_n_mm, work, max_relative = 1e-9);
}

/// Supports everywhere leave no residual bow.
#[test]
fn many_dividers_come_to_a_panel_held_everywhere() {
    let held = straighten(&worked(), &supports(&equal_spacing(900.0, 40))).unwrap();
    assert!(held.leftover.mm() < 6.0 * 0.4 / 41.0_f64.powi(2));
}

#[test]
fn a_straight_panel_asks_for_no_force() {
    let held = straighten(
        &panel(900.0, 300.0, 12.0, 11_000.0, 0.0),
        &supports(&[0.0, 300.0, 900.0]),
    );
    let held = held.unwrap();
    assert!(
        held.supports
            .iter()
            .all(|s| s.against_crown.newtons() == 0.0)
    );
    assert_eq!(held.leftover, Length::ZERO);
}

#[test]
fn turning_the_panel_over_changes_no_force_against_the_crown() {
    let places = [0.0, 250.0, 610.0, 900.0];
    let up = straighten(&worked(), &supports(&places)).unwrap();
    let down = straighten(
        &panel(900.0, 300.0, 12.0, 11_000.0, -6.0),
        &supports(&places),
    )
    .unwrap();
    for (a, b) in up.supports.iter().zip(&down.supports) {
        assert_relative_eq!(
            a.against_crown.newtons(),
            b.against_crown.newtons(),
            max_relative = 1e-9
        );
    }
    assert_eq!(up.leftover_toward_crown, down.leftover_toward_crown);
}

/// Kept from turning at both ends the panel is straight by end moments alone.
#[test]
fn ends_kept_from_turning_hold_the_panel_flat() {
    let ends = [0.0, 900.0].map(|x| Support {
        turn_held: true,
        ..Support::at(mm(x))
    });
    let held = straighten(&worked(), &ends).unwrap();
    assert!(held.leftover.mm() < 1e-9);
    assert_relative_eq!(held.stress.mpa(), 3.911, epsilon = 6e-4);
}

/// Three equal dividers: the middle one pulls by 3.429; one that can only push
/// lets go, and the panel stands as on two.
#[test]
fn a_divider_that_only_pushes_is_lost_where_it_would_pull() {
    let one = worked();
    let mut with = supports(&equal_spacing(900.0, 3));
    with[2] = Support::at(mm(450.0)).with_grip(Grip::AgainstCrown);
    let held = straighten(&one, &with).unwrap();
    let gap = held.supports[2].lost_by.unwrap();
    assert!(gap.mm() > 0.0);
    assert_eq!(held.supports[2].against_crown.newtons(), 0.0);
    let without = straighten(&one, &supports(&[0.0, 225.0, 675.0, 900.0])).unwrap();
    assert_relative_eq!(
        held.supports[1].against_crown.newtons(),
        without.supports[1].against_crown.newtons(),
        max_relative = 1e-9
    );
    assert_relative_eq!(
        gap.mm(),
        without.height_at(mm(450.0)).mm().abs(),
        max_relative = 1e-9
    );
    // Pushing from the other face it stays at work.
    with[2] = Support::at(mm(450.0)).with_grip(Grip::AgainstHollow);
    let held = straighten(&one, &with).unwrap();
    assert!(held.supports[2].lost_by.is_none());
    assert!(held.supports[2].against_crown.newtons() < 0.0);
}

#[test]
fn supports_that_all_push_one_way_hold_nothing() {
    let all: Vec<Support> = [0.0, 450.0, 900.0]
        .map(|x| Support::at(mm(x)).with_grip(Grip::AgainstCrown))
        .to_vec();
    assert!(refused(
        straighten(&worked(), &all),
        "nothing holds the part"
    ));
    assert!(refused(
        straighten(&worked(), &supports(&[450.0])),
        "nothing holds the part"
    ));
}

#[test]
fn wrong_supports_are_named() {
    let error = straighten(&worked(), &supports(&[0.0, 450.0, 450.2, 900.0])).unwrap_err();
    assert!(error.to_string().contains("450.0 mm and 450.2 mm"));
    let error = straighten(&worked(), &supports(&[0.0, 901.0])).unwrap_err();
    assert!(
        error
            .message()
            .contains("the support at 901.0 mm is off the part")
    );
    assert!(
        BowedPanel::new(
            mm(0.0),
            mm(300.0),
            mm(12.0),
            Stress::from_mpa(11_000.0).unwrap(),
            mm(6.0)
        )
        .is_err()
    );
}

/// Two like panels whose crowns face each other press on their divider as two
/// panels on two rigid supports would.
#[test]
fn like_panels_mirror_each_other_through_a_divider() {
    let ends = supports(&[0.0, 900.0]);
    let mirrored = |bow| SupportedPanel {
        panel: panel(900.0, 300.0, 12.0, 11_000.0, bow),
        start: Length::ZERO,
        supports: ends.clone(),
    };
    let case = straighten_together(
        &[mirrored(6.0), mirrored(-6.0)],
        &[Divider::between(0, 1, mm(450.0))],
    )
    .unwrap();
    assert!((case.dividers[0].push.newtons() - 187.73).abs() < 0.01);
    // The same crowns bend together and leave the divider idle.
    let case = straighten_together(
        &[mirrored(6.0), mirrored(6.0)],
        &[Divider::between(0, 1, mm(450.0))],
    )
    .unwrap();
    assert!(case.dividers[0].push.newtons().abs() < 1e-6);
    assert_relative_eq!(case.panels[0].leftover.mm(), 6.0, max_relative = 1e-9);
    // A divider where both panels are held already is named.
    let twice = straighten_together(
        &[mirrored(6.0), mirrored(6.0)],
        &[Divider::between(0, 1, mm(0.0))],
    );
    assert!(refused(twice, "are at one place"));
    let nobody = straighten_together(&[mirrored(6.0)], &[Divider::between(0, 1, mm(0.0))]);
    assert!(refused(nobody, "names part number 1"));
}

/// Wood Handbook, chapter on fastenings (from memory): 108.25 G^2 D L.
#[test]
fn joints_are_judged_by_the_pull_they_get() {
    let screws = JointHold::Screws {
        count: 3,
        diameter: mm(4.0),
        threaded: mm(25.0),
        gravity: 0.55,
    };
    assert_relative_eq!(
        screws.breaks_at().newtons(),
        3.0 * 3274.56,
        max_relative = 1e-3
    );
    let glue = JointHold::Glue {
        length: mm(300.0),
        width: mm(1.0),
        strength: Stress::from_mpa(1.0).unwrap(),
    };
    let mut three = supports(&[0.0, 450.0, 900.0]);
    for support in &mut three {
        support.stands_on = Some(PanelFace::Hollow);
        support.joint = Some(glue);
    }
    let held = straighten(&worked(), &three).unwrap();
    // The divider stands on the hollow face and must pull the crown to itself.
    let middle = held.supports[1].joint.unwrap();
    assert_relative_eq!(middle.share, 187.73 / 300.0, max_relative = 1e-3);
    assert_eq!(middle.verdict, Verdict::Marginal);
    assert_eq!(held.supports[0].joint.unwrap().share, 0.0);
    assert_relative_eq!(
        held.supports[1].after_months[0].newtons(),
        112.64,
        epsilon = 0.01
    );
}

#[test]
fn cup_is_a_bow_of_a_strip_across() {
    let strip = worked()
        .strip_across(mm(1.5), Stress::from_mpa(700.0).unwrap(), mm(450.0))
        .unwrap();
    let held = straighten(&strip, &supports(&[0.0, 150.0, 300.0])).unwrap();
    let unit = 700.0 * 450.0 * 12.0_f64.powi(3) / 12.0 * 8.0 * 1.5 / 300.0_f64.powi(3);
    assert_relative_eq!(
        held.supports[1].against_crown.newtons(),
        6.0 * unit,
        max_relative = 1e-9
    );
}

#[test]
fn closing_one_clamp_alone_is_the_one_divider_case() {
    let closing = closing_forces(&worked(), &supports(&[0.0, 225.0, 450.0, 675.0, 900.0])).unwrap();
    assert_eq!(closing.len(), 3);
    assert!((closing[1].alone.newtons() - 187.73).abs() < 0.01);
    assert!(closing[1].together.newtons() < 0.0);
}

#[test]
fn leaving_out_moving_and_adding_are_all_tried() {
    let list = variations(&worked(), &supports(&[0.0, 450.0, 900.0]), mm(50.0));
    assert_eq!(list.len(), 3 + 2 + 2);
    for variation in &list {
        match variation.change {
            Change::LeftOut(at) if at == mm(450.0) => {
                assert_relative_eq!(
                    variation.held.as_ref().unwrap().leftover.mm(),
                    6.0,
                    max_relative = 1e-9
                );
            }
            Change::Added(_) => assert!(variation.held.as_ref().unwrap().leftover.mm() < 0.6),
            Change::Moved { .. } => assert!(variation.held.as_ref().unwrap().leftover.mm() > 0.444),
            Change::LeftOut(_) => {}
        }
    }
}

/// Against a search of every pair of places on a 1/180 grid, and of every
/// triple on a coarser one.
#[test]
fn best_places_beat_every_place_on_a_grid() {
    let one = worked();
    let ends = supports(&[0.0, 900.0]);
    let residual_bow = |inner: &[f64]| {
        let mut all = ends.clone();
        all.extend(supports(inner));
        straighten(&one, &all).unwrap().leftover.mm()
    };
    let best = best_places(&one, &ends, 1, mm(20.0)).unwrap();
    assert_relative_eq!(best.dividers[0].mm(), 450.0, epsilon = 0.1);
    let mut grid = f64::INFINITY;
    for a in 4..90 {
        for b in a + 4..=180 - a {
            if b < 176 {
                grid = grid.min(residual_bow(&[5.0 * f64::from(a), 5.0 * f64::from(b)]));
            }
        }
    }
    let two = best_places(&one, &ends, 2, mm(20.0)).unwrap();
    assert!(
        two.leftover.mm() <= grid + 1e-9,
        "{} on the grid {grid}",
        two.leftover.mm()
    );
    assert!(two.leftover.mm() < two.leftover_equal.mm() * 0.2);
    let apart = best_places(&one, &ends, 2, mm(200.0)).unwrap();
    assert!(apart.dividers[0].mm() >= 200.0 && apart.dividers[0].mm() < 300.0);
    assert_relative_eq!(
        two.dividers[0].mm() + two.dividers[1].mm(),
        900.0,
        epsilon = 0.5
    );
    let mut grid = f64::INFINITY;
    for a in 1..36 {
        for b in a + 1..36 {
            for c in b + 1..36 {
                grid = grid.min(residual_bow(&[a, b, c].map(|i| 25.0 * f64::from(i))));
            }
        }
    }
    let three = best_places(&one, &ends, 3, mm(20.0)).unwrap();
    assert!(
        three.leftover.mm() <= grid + 1e-9,
        "{} on the grid {grid}",
        three.leftover.mm()
    );
    let none = best_places(&one, &ends, 60, mm(20.0));
    assert!(refused(none, "60 dividers do not fit"));
}

/// The quick search sees the same residual bow as the full equations, whatever the fixed supports are.
#[test]
fn the_residual_bow_reported_is_the_residual_bow_of_the_full_equations() {
    let turned = |x| Support {
        turn_held: true,
        ..Support::at(mm(x))
    };
    let stands_off = Support {
        out_of_line: mm(0.4),
        ..Support::at(mm(400.0))
    };
    let fixed_sets = [
        supports(&[0.0, 900.0]),
        supports(&[60.0, 820.0]),
        vec![turned(0.0), Support::at(mm(900.0))],
        vec![Support::at(mm(0.0)), turned(900.0)],
        vec![Support::at(mm(20.0)), stands_off, Support::at(mm(900.0))],
        vec![
            Support::at(mm(0.0)).with_grip(Grip::AgainstHollow),
            Support::at(mm(900.0)),
        ],
    ];
    for fixed in fixed_sets {
        let best = best_places(&worked(), &fixed, 3, mm(40.0)).unwrap();
        let mut all = fixed.clone();
        all.extend(best.dividers.iter().map(|at| Support::at(*at)));
        let held = straighten(&worked(), &all).unwrap();
        assert_relative_eq!(held.leftover.mm(), best.leftover.mm(), max_relative = 1e-6);
        assert!(best.leftover <= best.leftover_equal);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Forces and their moments balance, and mirrored supports give mirrored forces.
    #[test]
    fn forces_balance_and_mirror(
        bow in -30.0..30.0_f64,
        mut places in prop::collection::vec(0.0..900.0_f64, 2..7),
    ) {
        places.sort_by(f64::total_cmp);
        prop_assume!(places.windows(2).all(|pair| pair[1] - pair[0] > 1.5));
        let one = panel(900.0, 300.0, 12.0, 11_000.0, bow);
        let held = straighten(&one, &supports(&places)).unwrap();
        let forces: Vec<f64> = held.supports.iter().map(|s| s.against_crown.newtons()).collect();
        let size = forces.iter().fold(1.0_f64, |most, f| most.max(f.abs()));
        prop_assert!(forces.iter().sum::<f64>().abs() < 1e-6 * size);
        let moment: f64 = forces.iter().zip(&places).map(|(f, x)| f * x).sum();
        prop_assert!(moment.abs() < 1e-6 * size * 900.0);
        for (place, support) in places.iter().zip(&held.supports) {
            prop_assert!(held.height_at(support.at).mm().abs() < 1e-6, "{}", place);
        }
        let mirrored: Vec<f64> = places.iter().rev().map(|x| 900.0 - x).collect();
        let other = straighten(&one, &supports(&mirrored)).unwrap();
        for (a, b) in forces.iter().zip(other.supports.iter().rev()) {
            prop_assert!((a - b.against_crown.newtons()).abs() < 1e-6 * size);
        }
        prop_assert!((held.leftover.mm() - other.leftover.mm()).abs() < 1e-6 * (1.0 + held.leftover.mm()));
    }

    /// One-way supports never pull, gaps never close below zero, and the chosen
    /// set of working ones stores the least energy of all that could be.
    #[test]
    fn one_way_supports_push_or_let_go(
        bow in 1.0..30.0_f64,
        faces in prop::collection::vec(prop::bool::ANY, 4),
        shift in prop::collection::vec(-1.0..1.0_f64, 4),
    ) {
        let one = panel(900.0, 300.0, 12.0, 11_000.0, bow);
        let mut all = supports(&[0.0, 900.0]);
        for (i, (crown, off)) in faces.iter().zip(&shift).enumerate() {
            let grip = if *crown { Grip::AgainstCrown } else { Grip::AgainstHollow };
            let mut support = Support::at(mm(180.0 * (i as f64 + 1.0))).with_grip(grip);
            support.out_of_line = mm(*off);
            all.push(support);
        }
        let held = straighten(&one, &all).unwrap();
        for (support, force) in all.iter().zip(&held.supports).skip(2) {
            let sign = if support.grip == Grip::AgainstCrown { 1.0 } else { -1.0 };
            prop_assert!(sign * force.against_crown.newtons() > -1e-6);
            let rise = held.height_at(support.at).mm() - support.out_of_line.mm();
            prop_assert!(sign * rise < 1e-6);
        }
    }
}
