//! Spreads against published quantiles, and over their whole range.

use approx::assert_relative_eq;
use heartside::chance::{Spread, normal_chance, normal_chance_tabled, normal_quantile};
use proptest::prelude::*;

/// Against another method, the inverse of the error function of `statrs`.
#[test]
fn normal_quantiles_hold_far_into_both_tails() {
    use statrs::function::erf::erfc_inv;
    for k in 1..2_000_i32 {
        let middle = f64::from(k) / 2_000.0;
        let tail = 10_f64.powi(-(k % 290) - 1) * (0.1 + 0.8 * middle);
        for share in [middle, tail] {
            let other = -std::f64::consts::SQRT_2 * erfc_inv(2.0 * share);
            let z = normal_quantile(share);
            assert!(
                (z - other).abs() <= 4e-14 * other.abs().max(0.1),
                "{share}: {z} {other}"
            );
        }
    }
    assert_eq!(normal_quantile(0.0), f64::NEG_INFINITY);
    assert_eq!(normal_quantile(1.0), f64::INFINITY);
}

/// Abramowitz and Stegun, *Handbook of Mathematical Functions*, Tables 26.1 and 26.5.
#[test]
fn normal_quantiles_meet_the_printed_table() {
    for (share, z) in [
        (0.5, 0.0),
        (0.75, 0.674_490),
        (0.9, 1.281_552),
        (0.95, 1.644_854),
        (0.975, 1.959_964),
        (0.99, 2.326_348),
        (0.999, 3.090_232),
    ] {
        assert!((normal_quantile(share) - z).abs() < 6e-7, "{share}");
        assert!((normal_quantile(1.0 - share) + z).abs() < 6e-7, "{share}");
        assert!((normal_chance(z) - share).abs() < 2e-7, "{share}");
    }
}

/// Student's t, one-sided 95 and 99 % points (Abramowitz and Stegun, Table 26.10).
#[test]
fn student_quantiles_meet_the_printed_table() {
    for (freedom, p95, p99) in [
        (1.0, 6.314, 31.821),
        (2.0, 2.920, 6.965),
        (3.0, 2.353, 4.541),
        (4.0, 2.132, 3.747),
        (5.0, 2.015, 3.365),
        (10.0, 1.812, 2.764),
        (30.0, 1.697, 2.457),
        (120.0, 1.658, 2.358),
    ] {
        let student = Spread::student(0.0, 1.0, freedom).unwrap();
        assert!((student.quantile(0.95) - p95).abs() < 6e-4, "{freedom}");
        assert!((student.quantile(0.99) - p99).abs() < 6e-4, "{freedom}");
        assert_relative_eq!(
            student.quantile(0.05),
            -student.quantile(0.95),
            max_relative = 1e-9
        );
        assert!(student.quantile(0.5).abs() < 1e-9);
    }
}

/// The series for many degrees of freedom joins the incomplete beta function without a step.
#[test]
fn student_is_smooth_in_its_freedom() {
    for freedom in [99.0, 101.0, 150.0, 400.0] {
        let student = Spread::student(0.0, 1.0, freedom).unwrap();
        for share in [0.001, 0.05, 0.4, 0.7, 0.95, 0.999] {
            let value = student.quantile(share);
            assert!(
                (student.chance_below(value) - share).abs() < 1e-7,
                "{freedom} {share}"
            );
        }
    }
}

/// Limits: many degrees of freedom are the normal; a small log-normal is the normal; no deviation is exact.
#[test]
fn limits() {
    let student = Spread::student(2.0, 3.0, 1e7).unwrap();
    let normal = Spread::normal(2.0, 3.0).unwrap();
    let near = Spread::log_normal(100.0, 1e-4).unwrap();
    for share in [0.01, 0.05, 0.3, 0.5, 0.8, 0.99] {
        assert_relative_eq!(
            student.quantile(share),
            normal.quantile(share),
            epsilon = 1e-4
        );
        let expected = 100.0 + 0.01 * normal_quantile(share);
        assert_relative_eq!(near.quantile(share), expected, epsilon = 1e-5);
    }
    for exact in [
        Spread::exactly(4.0),
        Spread::normal(4.0, 0.0),
        Spread::log_normal(4.0, 0.0),
        Spread::uniform(4.0, 4.0),
        Spread::student(4.0, 0.0, 3.0),
    ] {
        let exact = exact.unwrap();
        assert!(exact.is_exact());
        assert_eq!(exact.quantile(0.03), 4.0);
        assert_eq!(exact.chance_below(3.9), 0.0);
        assert_eq!(exact.chance_below(4.0), 1.0);
    }
}

/// Moments in closed form: log-normal mean `m exp(s^2/2)`, uniform `(b - a)/sqrt(12)`, Student `sqrt(v/(v - 2))`.
#[test]
fn moments_are_those_of_the_quantiles() {
    for spread in [
        Spread::normal(-3.0, 2.0),
        Spread::log_normal(5.0, 0.4),
        Spread::uniform(-1.0, 4.0),
        Spread::student(1.0, 2.0, 8.0),
    ] {
        let spread = spread.unwrap();
        let steps = 200_000;
        let at = |i: i32| spread.quantile((f64::from(i) + 0.5) / f64::from(steps));
        let mean = (0..steps).map(at).sum::<f64>() / f64::from(steps);
        let square = (0..steps).map(|i| (at(i) - mean).powi(2)).sum::<f64>() / f64::from(steps);
        assert_relative_eq!(mean, spread.mean(), epsilon = 2e-3);
        assert_relative_eq!(square.sqrt(), spread.deviation(), max_relative = 2e-3);
    }
    let between = Spread::log_normal_between(1e-11, 3e-10).unwrap();
    assert_relative_eq!(between.quantile(0.05), 1e-11, max_relative = 1e-9);
    assert_relative_eq!(between.quantile(0.95), 3e-10, max_relative = 1e-9);
    let between = Spread::normal_between(-1.0, 3.0).unwrap();
    assert_relative_eq!(between.quantile(0.95), 3.0, epsilon = 1e-9);
    assert!(
        Spread::student(0.0, 1.0, 2.0)
            .unwrap()
            .deviation()
            .is_infinite()
    );
}

#[test]
fn what_cannot_be_is_refused_with_a_reason() {
    let words =
        |spread: Result<Spread, heartside::chance::SpreadError>| spread.unwrap_err().to_string();
    assert_eq!(
        words(Spread::normal(1.0, -0.1)),
        "a deviation must be zero or more, not -0.1"
    );
    assert_eq!(
        words(Spread::log_normal(0.0, 0.1)),
        "the number must be greater than zero, not 0"
    );
    assert_eq!(
        words(Spread::uniform(2.0, 1.0)),
        "the low end must not lie above the high end, not 2"
    );
    assert_eq!(
        words(Spread::student(0.0, 1.0, 0.5)),
        "Student's spread needs one degree of freedom or more, not 0.5"
    );
    assert_eq!(
        words(Spread::exactly(f64::NAN)),
        "a spread needs finite numbers, not NaN"
    );
    assert!(Spread::log_normal_between(-1.0, 2.0).is_err());
    assert!(Spread::normal_between(f64::INFINITY, 2.0).is_err());
}

fn any_spread() -> impl Strategy<Value = Spread> {
    prop_oneof![
        (-1e3..1e3, 1e-3..1e3).prop_map(|(m, s)| Spread::normal(m, s)),
        (1e-12..1e3, 1e-3..2.0).prop_map(|(m, s)| Spread::log_normal(m, s)),
        (-1e3..1e3, 1e-3..1e3).prop_map(|(a, w)| Spread::uniform(a, a + w)),
        (-1e3..1e3, 1e-3..1e3, 1.0..40.0).prop_map(|(m, s, v)| Spread::student(m, s, v)),
        (-1e3..1e3, 1e-3..1e3, 1_u8..5).prop_map(|(m, s, v)| Spread::student(m, s, f64::from(v))),
    ]
    .prop_map(Result::unwrap)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    #[test]
    fn quantile_and_chance_undo_each_other(spread in any_spread(), share in 1e-4..0.9999) {
        let value = spread.quantile(share);
        prop_assert!(value.is_finite());
        prop_assert!((spread.chance_below(value) - share).abs() < 1e-6, "{spread:?} {share}");
        prop_assert!(spread.quantile(share + 1e-5) >= value);
        let z = normal_quantile(share);
        let by_normal = spread.at_normal(z);
        prop_assert!((by_normal - value).abs() <= 1e-6 * (1.0 + value.abs()), "{spread:?} {share}");
    }

    #[test]
    fn the_middle_halves_the_draws(spread in any_spread()) {
        prop_assert!((spread.chance_below(spread.middle()) - 0.5).abs() < 1e-9);
    }
}

/// Between its nodes and beyond its ends the table is the function itself to within 4e-10.
#[test]
fn the_table_of_chances_is_the_function() {
    for step in -100_000..=100_000_i32 {
        let z = f64::from(step) * 1e-4;
        let off = normal_chance_tabled(z) - normal_chance(z);
        assert!(off.abs() < 4e-10, "{z}: {off}");
    }
    assert!(normal_chance_tabled(f64::NAN).is_nan());
    assert_eq!(
        [f64::NEG_INFINITY, f64::INFINITY].map(normal_chance_tabled),
        [0.0, 1.0]
    );
}
