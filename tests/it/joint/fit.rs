//! The fit as such: limits, and agreement with a search that knows nothing of lines.

use super::*;
use heartside::joint::fit::FitWords;
use heartside::joint::{Aim, Fit, Greatest, Size, Term, When};
use proptest::prelude::*;

fn words() -> FitWords {
    FitWords {
        cut: "cut",
        dimension: "wide",
        gap: String::new(),
        too_tight: String::new(),
        too_loose: String::new(),
    }
}

fn fit(host: Vec<Term>, guest: Vec<Term>, share: f64, greatest: Greatest) -> Fit {
    Fit {
        name: "fit".into(),
        host,
        guest,
        share,
        least: mm(0.5),
        greatest,
        given: None,
        aim: Aim::Middle,
        when: When::Always,
        words: words(),
    }
}

fn term(part: usize, size: Size) -> Term {
    Term {
        part: PartId(part),
        axis: Axis::Width,
        size,
    }
}

/// Nothing moves: the cut is what the limits say, and both extremes are today's gap.
#[test]
fn parts_that_stand_still_keep_their_gap() {
    let still = Motion::still(2, 3);
    let fit = fit(
        vec![term(0, Size::Known(mm(100.0)))],
        vec![term(1, Size::Cut)],
        0.5,
        Greatest::Gap(mm(1.5)),
    );
    let interval = fit.cut_interval(&still, &DAYS);
    near(interval.least_mm, 97.0);
    near(interval.greatest_mm, 99.0);
    let found = fit.extremes(&still, &DAYS, 98.0).unwrap();
    assert_eq!((found.least.gap_mm, found.greatest.gap_mm), (1.0, 1.0));
    near(found.spare_tight_mm, 0.5);
    near(found.spare_loose_mm, 0.5);
}

/// Host and guest of one wood along one axis: a gap is a gap whatever the weather, in proportion.
#[test]
fn a_guest_that_moves_with_its_host_keeps_its_gap() {
    let motion = motion(
        2,
        &[(0, Axis::Width, 0.97, 1.02), (1, Axis::Width, 0.97, 1.02)],
    );
    let fit = fit(
        vec![term(0, Size::Known(mm(100.0)))],
        vec![term(1, Size::Cut)],
        1.0,
        Greatest::Any,
    );
    near(fit.gap_mm(&motion, DRY, TODAY, 98.0), 2.0 * 0.97);
    near(fit.gap_mm(&motion, WET, TODAY, 98.0), 2.0 * 1.02);
}

/// Sizes that no cut changes hold or do not hold, whatever is cut: then no cut will do, but the limits that can be met are still told.
#[test]
fn what_no_cut_can_change_is_met_or_not() {
    let still = Motion::still(3, 3);
    let known = |part, size| term(part, Size::Known(mm(size)));
    let told = |guest: f64| {
        fit(
            vec![known(0, 100.0)],
            vec![known(1, guest)],
            1.0,
            Greatest::Gap(mm(1.5)),
        )
        .cut_interval(&still, &DAYS)
    };
    for (guest, possible) in [
        (99.5, true),
        (98.5, true),
        (99.6, false),
        (98.4, false),
        (90.0, false),
    ] {
        assert_eq!(told(guest).is_possible(), possible, "{guest}");
    }
    assert_eq!(told(99.0).choose(Aim::Middle), None);
    // The gap can be had, the hold of 12 mm in a reach of 10 mm cannot: the least cut that keeps the gap is still told.
    let held = fit(
        vec![term(0, Size::Cut)],
        vec![known(1, 40.0)],
        1.0,
        Greatest::Any,
    );
    let never = Fit {
        host: vec![known(2, 10.0), term(0, Size::Cut)],
        greatest: Greatest::Holding {
            reach: term(0, Size::Cut),
            least: mm(-29.0),
        },
        ..held.clone()
    };
    // gap = 10 + cut - 40, at most cut + 29: 10 - 40 <= 29 always holds.
    assert!(never.cut_interval(&still, &DAYS).is_possible());
    let never = Fit {
        greatest: Greatest::Holding {
            reach: term(0, Size::Cut),
            least: mm(31.0),
        },
        ..never
    };
    let found = never.cut_interval(&still, &DAYS);
    assert!(!found.is_possible());
    near(found.least_mm, 30.5);
    assert_eq!(found.choose(Aim::Middle), Some(found.least_mm));
    // The same with the guest to cut: 40 - cut keeps 0.5 up to 39.5, and reaches 40 - cut + 1 where 5 more are wanted.
    let guest = Fit {
        host: vec![known(2, 40.0)],
        guest: vec![term(0, Size::Cut)],
        ..held
    };
    near(guest.cut_interval(&still, &DAYS).greatest_mm, 39.5);
    let unmet = Fit {
        host: vec![known(2, 40.0), term(0, Size::Cut)],
        guest: vec![term(0, Size::Cut), term(0, Size::Cut)],
        greatest: Greatest::Holding {
            reach: known(1, 30.0),
            least: mm(5.0),
        },
        ..guest.clone()
    };
    near(unmet.cut_interval(&still, &DAYS).least_mm, 15.0);
    near(unmet.cut_interval(&still, &DAYS).greatest_mm, 39.5);
}

/// Every part that a fit looks at is named: what makes room, what fills it, and what it reaches into.
#[test]
fn a_fit_names_its_parts() {
    let known = |part| term(part, Size::Known(mm(10.0)));
    let plain = fit(vec![known(3), known(1)], vec![known(0)], 1.0, Greatest::Any);
    assert_eq!(
        plain.parts().collect::<Vec<_>>(),
        [PartId(3), PartId(1), PartId(0)]
    );
    let holding = Fit {
        greatest: Greatest::Holding {
            reach: known(2),
            least: mm(5.0),
        },
        ..plain
    };
    assert_eq!(
        holding.parts().collect::<Vec<_>>(),
        [PartId(3), PartId(1), PartId(0), PartId(2)]
    );
}

/// A motion at rest is one size for every part, axis and day.
#[test]
fn parts_at_rest_keep_their_size() {
    let still = Motion::still(2, 5);
    for part in [PartId(0), PartId(1)] {
        for axis in [Axis::Length, Axis::Width, Axis::Thickness] {
            assert_eq!(still.ratios(part, axis), [1.0; 5]);
            assert_eq!(still.ratio(part, axis, 4), 1.0);
        }
    }
}

/// No day, no answer.
#[test]
fn no_day_has_no_extremes() {
    let none = Days {
        cut: 0,
        judged: 1..1,
    };
    let fit = fit(vec![term(0, Size::Cut)], Vec::new(), 1.0, Greatest::Any);
    assert_eq!(fit.extremes(&Motion::still(1, 3), &none, 1.0), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// The interval is exactly the cuts that hold: just inside, every day keeps both limits; just outside, some day breaks one. The
    /// extremes are those of the single days.
    #[test]
    fn the_interval_is_the_cuts_that_hold(
        ratios in proptest::collection::vec(0.95..1.05_f64, 3 * 12),
        cut_day in 0..12_usize,
        share in prop_oneof![Just(0.5), Just(1.0)],
        holding in proptest::bool::ANY,
        cut_is_host in proptest::bool::ANY,
    ) {
        let mut motion = Motion::still(3, 12);
        for part in 0..3 {
            motion
                .ratios_mut(PartId(part), Axis::Width)
                .copy_from_slice(&ratios[part * 12..][..12]);
        }
        let days = Days { cut: cut_day, judged: 0..12 };
        let (host_size, guest_size) = if cut_is_host {
            (Size::Cut, Size::Known(mm(60.0)))
        } else {
            (Size::Known(mm(20.0)), Size::Cut)
        };
        let greatest = if holding {
            Greatest::Holding { reach: term(1, host_size), least: mm(2.0) }
        } else {
            Greatest::Gap(mm(6.0))
        };
        let fit = fit(
            vec![term(0, Size::Known(mm(40.0))), term(1, host_size)],
            vec![term(2, guest_size)],
            share,
            greatest,
        );
        let holds = |cut: f64| {
            (0..12).all(|day| {
                let gap = fit.gap_mm(&motion, day, cut_day, cut);
                let upper = fit.upper_mm(&motion, day, cut_day, cut).unwrap();
                gap >= 0.5 - 1e-12 && gap <= upper + 1e-12
            })
        };
        let interval = fit.cut_interval(&motion, &days);
        if interval.is_possible() && interval.least_mm.is_finite() && interval.greatest_mm.is_finite() {
            let room = interval.greatest_mm - interval.least_mm;
            prop_assert!(holds(interval.least_mm + 1e-9 + 1e-6 * room));
            prop_assert!(holds(interval.greatest_mm - 1e-9 - 1e-6 * room));
            prop_assert!(!holds(interval.least_mm - 1e-6));
            prop_assert!(!holds(interval.greatest_mm + 1e-6));
        } else if !interval.is_possible() {
            for step in 0..400 {
                prop_assert!(!holds(f64::from(step) * 0.25));
            }
        }
        // Gap and room on the loose side are lines in the cut.
        for day in 0..12 {
            let gap = |cut: f64| fit.gap_mm(&motion, day, cut_day, cut);
            let loose = |cut: f64| fit.upper_mm(&motion, day, cut_day, cut).unwrap() - gap(cut);
            for cut in [3.0, 19.0] {
                let per_cut = fit.gap_per_cut(&motion, day, cut_day);
                prop_assert!((gap(cut + 2.0) - gap(cut) - 2.0 * per_cut).abs() < 1e-9);
                let per_cut = fit.loose_per_cut(&motion, day, cut_day);
                prop_assert!((loose(cut + 2.0) - loose(cut) - 2.0 * per_cut).abs() < 1e-9);
            }
            let unlimited = Fit { greatest: Greatest::Any, ..fit.clone() };
            prop_assert_eq!(unlimited.loose_per_cut(&motion, day, cut_day), 0.0);
        }
        let found = fit.extremes(&motion, &days, 19.0).unwrap();
        let gaps: Vec<f64> = (0..12).map(|day| fit.gap_mm(&motion, day, cut_day, 19.0)).collect();
        let least = gaps.iter().copied().fold(f64::INFINITY, f64::min);
        let greatest = gaps.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        prop_assert!((found.least.gap_mm - least).abs() < 1e-9);
        prop_assert!((found.greatest.gap_mm - greatest).abs() < 1e-9);
        prop_assert!((gaps[found.least.day] - least).abs() < 1e-9);
        let spare = (0..12)
            .map(|day| fit.upper_mm(&motion, day, cut_day, 19.0).unwrap() - gaps[day])
            .fold(f64::INFINITY, f64::min);
        prop_assert!((found.spare_loose_mm - spare).abs() < 1e-9);
    }
}
