//! The standard normal against published quantiles.

use heartside::chance::{normal_chance, normal_chance_tabled, normal_quantile};

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
