//! The fit as such: limits, and agreement with a search that knows nothing of lines.

use super::*;
use heartside::joint::fit::FitWords;
use heartside::joint::{Aim, Fit, MaxGap, Size, Term, When};
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

fn fit(opening: Vec<Term>, part: Vec<Term>, share: f64, max: MaxGap) -> Fit {
    Fit {
        name: "fit".into(),
        opening,
        part,
        share,
        min: mm(0.5),
        max,
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
        MaxGap::Gap(mm(1.5)),
    );
    let interval = fit.cut_interval(&still, &DAYS);
    near(interval.min_mm, 97.0);
    near(interval.max_mm, 99.0);
    let found = fit.extremes(&still, &DAYS, 98.0).unwrap();
    assert_eq!((found.min.gap_mm, found.max.gap_mm), (1.0, 1.0));
    near(found.spare_tight_mm, 0.5);
    near(found.spare_loose_mm, 0.5);
}

/// Opening and part of one wood along one axis: a gap is a gap whatever the weather, in proportion.
#[test]
fn a_part_that_moves_with_its_opening_keeps_its_gap() {
    let motion = motion(
        2,
        &[(0, Axis::Width, 0.97, 1.02), (1, Axis::Width, 0.97, 1.02)],
    );
    let fit = fit(
        vec![term(0, Size::Known(mm(100.0)))],
        vec![term(1, Size::Cut)],
        1.0,
        MaxGap::Any,
    );
    near(fit.gap_mm(&motion, DRY, TODAY, 98.0), 2.0 * 0.97);
    near(fit.gap_mm(&motion, WET, TODAY, 98.0), 2.0 * 1.02);
}

/// Sizes that no cut changes hold or do not hold, whatever is cut: then no cut will do, but the limits that can be met are still given.
#[test]
fn what_no_cut_can_change_is_met_or_not() {
    let still = Motion::still(3, 3);
    let known = |part, size| term(part, Size::Known(mm(size)));
    let given = |part: f64| {
        fit(
            vec![known(0, 100.0)],
            vec![known(1, part)],
            1.0,
            MaxGap::Gap(mm(1.5)),
        )
        .cut_interval(&still, &DAYS)
    };
    for (part, possible) in [
        (99.5, true),
        (98.5, true),
        (99.6, false),
        (98.4, false),
        (90.0, false),
    ] {
        assert_eq!(given(part).is_possible(), possible, "{part}");
    }
    assert_eq!(given(99.0).choose(Aim::Middle), None);
    // The gap can be had, the hold of 12 mm in a reach of 10 mm cannot: the minimum cut that keeps the gap is still given.
    let held = fit(
        vec![term(0, Size::Cut)],
        vec![known(1, 40.0)],
        1.0,
        MaxGap::Any,
    );
    let never = Fit {
        opening: vec![known(2, 10.0), term(0, Size::Cut)],
        max: MaxGap::Holding {
            reach: term(0, Size::Cut),
            min: mm(-29.0),
        },
        ..held.clone()
    };
    // gap = 10 + cut - 40, at most cut + 29: 10 - 40 <= 29 always holds.
    assert!(never.cut_interval(&still, &DAYS).is_possible());
    let never = Fit {
        max: MaxGap::Holding {
            reach: term(0, Size::Cut),
            min: mm(31.0),
        },
        ..never
    };
    let found = never.cut_interval(&still, &DAYS);
    assert!(!found.is_possible());
    near(found.min_mm, 30.5);
    assert_eq!(found.choose(Aim::Middle), Some(found.min_mm));
    // The same with the part to cut: 40 - cut keeps 0.5 up to 39.5, and reaches 40 - cut + 1 where 5 more are wanted.
    let part = Fit {
        opening: vec![known(2, 40.0)],
        part: vec![term(0, Size::Cut)],
        ..held
    };
    near(part.cut_interval(&still, &DAYS).max_mm, 39.5);
    let unmet = Fit {
        opening: vec![known(2, 40.0), term(0, Size::Cut)],
        part: vec![term(0, Size::Cut), term(0, Size::Cut)],
        max: MaxGap::Holding {
            reach: known(1, 30.0),
            min: mm(5.0),
        },
        ..part.clone()
    };
    near(unmet.cut_interval(&still, &DAYS).min_mm, 15.0);
    near(unmet.cut_interval(&still, &DAYS).max_mm, 39.5);
}

/// Every part that a fit looks at is named: what makes room, what fills it, and what it reaches into.
#[test]
fn a_fit_names_its_parts() {
    let known = |part| term(part, Size::Known(mm(10.0)));
    let plain = fit(vec![known(3), known(1)], vec![known(0)], 1.0, MaxGap::Any);
    assert_eq!(
        plain.parts().collect::<Vec<_>>(),
        [PartId(3), PartId(1), PartId(0)]
    );
    let holding = Fit {
        max: MaxGap::Holding {
            reach: known(2),
            min: mm(5.0),
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
    let fit = fit(vec![term(0, Size::Cut)], Vec::new(), 1.0, MaxGap::Any);
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
        cut_is_opening in proptest::bool::ANY,
    ) {
        let mut motion = Motion::still(3, 12);
        for part in 0..3 {
            motion
                .ratios_mut(PartId(part), Axis::Width)
                .copy_from_slice(&ratios[part * 12..][..12]);
        }
        let days = Days { cut: cut_day, judged: 0..12 };
        let (opening_size, part_size) = if cut_is_opening {
            (Size::Cut, Size::Known(mm(60.0)))
        } else {
            (Size::Known(mm(20.0)), Size::Cut)
        };
        let max = if holding {
            MaxGap::Holding { reach: term(1, opening_size), min: mm(2.0) }
        } else {
            MaxGap::Gap(mm(6.0))
        };
        let fit = fit(
            vec![term(0, Size::Known(mm(40.0))), term(1, opening_size)],
            vec![term(2, part_size)],
            share,
            max,
        );
        let holds = |cut: f64| {
            (0..12).all(|day| {
                let gap = fit.gap_mm(&motion, day, cut_day, cut);
                let upper = fit.upper_mm(&motion, day, cut_day, cut).unwrap();
                gap >= 0.5 - 1e-12 && gap <= upper + 1e-12
            })
        };
        let interval = fit.cut_interval(&motion, &days);
        if interval.is_possible() && interval.min_mm.is_finite() && interval.max_mm.is_finite() {
            let room = interval.max_mm - interval.min_mm;
            prop_assert!(holds(interval.min_mm + 1e-9 + 1e-6 * room));
            prop_assert!(holds(interval.max_mm - 1e-9 - 1e-6 * room));
            prop_assert!(!holds(interval.min_mm - 1e-6));
            prop_assert!(!holds(interval.max_mm + 1e-6));
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
            let unlimited = Fit { max: MaxGap::Any, ..fit.clone() };
            prop_assert_eq!(unlimited.loose_per_cut(&motion, day, cut_day), 0.0);
        }
        let found = fit.extremes(&motion, &days, 19.0).unwrap();
        let gaps: Vec<f64> = (0..12).map(|day| fit.gap_mm(&motion, day, cut_day, 19.0)).collect();
        let min = gaps.iter().copied().fold(f64::INFINITY, f64::min);
        let max = gaps.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        prop_assert!((found.min.gap_mm - min).abs() < 1e-9);
        prop_assert!((found.max.gap_mm - max).abs() < 1e-9);
        prop_assert!((gaps[found.min.day] - min).abs() < 1e-9);
        let spare = (0..12)
            .map(|day| fit.upper_mm(&motion, day, cut_day, 19.0).unwrap() - gaps[day])
            .fold(f64::INFINITY, f64::min);
        prop_assert!((found.spare_loose_mm - spare).abs() < 1e-9);
    }
}
