//! The slope operator and the two-layer piece.

use super::mm;
use approx::{assert_abs_diff_eq, assert_relative_eq};
use heartside::movement::{
    Layer, curvature_of_layers, curvature_of_moisture_slope, curvature_of_strain,
    parabola_slope_percent_per_mm, two_layer_curvature,
};
use heartside::units::{Strain, Stress};
use proptest::prelude::*;

// Exact: a straight slope of strain is that curvature, whatever its mean.
#[test]
fn a_linear_strain_bends_by_its_slope() {
    let kappa = curvature_of_strain(mm(3.0), mm(28.0), |z| 4e-4 + 2.5e-5 * z);
    assert_relative_eq!(kappa.per_mm(), 2.5e-5, max_relative = 1e-12);
}

// Exact: upper half longer by e: kappa = (12/h^3) e h^2/8 = 1.5 e/h.
#[test]
fn a_step_of_strain_bends_by_one_and_a_half_over_the_thickness() {
    let kappa = curvature_of_layers(&[0.0, 10.0, 20.0], &[0.0, 1e-3]);
    assert_relative_eq!(kappa.per_mm(), 1.5e-3 / 20.0, max_relative = 1e-12);
    let unequal = curvature_of_layers(&[-10.0, 5.0, 7.0, 10.0], &[0.0, 0.0, 0.0]);
    assert_eq!(unequal.per_mm(), 0.0);
}

#[test]
fn even_strains_do_not_bend() {
    for even in [|u: f64| u * u, |u: f64| 1.0 + u.powi(4)] {
        let kappa = curvature_of_strain(mm(-12.0), mm(12.0), |z| even(z / 12.0));
        assert_abs_diff_eq!(kappa.per_mm(), 0.0, epsilon = 1e-15);
    }
}

// Core wetter than shell by dM, evening out: two leaves of a 50.8 mm board without kerf cup by
// 2 C dM/H; derived figure 1.181 mm over 200 mm for C 0.003, 2 %.
#[test]
fn a_parabola_of_moisture_cups_its_halves() {
    let board = mm(50.8);
    let slope = parabola_slope_percent_per_mm(board, mm(0.0), mm(25.4), 2.0);
    // The lower leaf's upper face was core: moister. Evening out takes that away.
    assert!(slope > 0.0);
    let kappa = curvature_of_moisture_slope(0.003, -slope);
    assert_relative_eq!(
        kappa.per_mm(),
        -2.0 * 0.003 * 2.0 / 50.8,
        max_relative = 1e-12
    );
    assert_abs_diff_eq!(kappa.rise_over(mm(200.0)).mm().abs(), 1.181, epsilon = 5e-4);
    let by_profile = curvature_of_strain(mm(0.0), mm(25.4), |z| {
        let u = (2.0 * z - 50.8) / 50.8;
        0.003 * 2.0 * u * u
    });
    assert_relative_eq!(kappa.per_mm(), by_profile.per_mm(), max_relative = 1e-12);
}

fn layer(thickness: f64, modulus: f64) -> Layer {
    Layer {
        thickness: mm(thickness),
        modulus: Stress::computed_mpa(modulus),
    }
}

// Timoshenko 1925: equal thickness and stiffness bend by 1.5 de/h, the step of strain above.
#[test]
fn two_equal_layers_are_a_step_of_strain() {
    let kappa = two_layer_curvature(
        layer(6.0, 900.0),
        layer(6.0, 900.0),
        Strain::computed_ratio(2e-3),
    );
    assert_relative_eq!(kappa.per_mm(), 1.5 * 2e-3 / 12.0, max_relative = 1e-12);
}

#[test]
fn a_thin_layer_hardly_bends_a_thick_one_and_follows_stoney() {
    let de = Strain::computed_ratio(1e-3);
    let kappa = two_layer_curvature(layer(0.01, 900.0), layer(20.0, 900.0), de);
    // Stoney 1909: a thin film bends by 6 E_f t_f de/(E_s t_s^2).
    assert_relative_eq!(
        kappa.per_mm(),
        6.0 * 0.01 * 1e-3 / 400.0,
        max_relative = 5e-3
    );
    let limp = two_layer_curvature(layer(6.0, 1e-6), layer(6.0, 900.0), de);
    assert_abs_diff_eq!(limp.per_mm(), 0.0, epsilon = 1e-10);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    // Any polynomial to the sixth degree against 20 000 thin layers summed one by one.
    #[test]
    fn quadrature_and_layers_agree_with_a_brute_sum(
        from in -30.0..10.0_f64, thickness in 2.0..40.0_f64,
        c in proptest::array::uniform7(-1.0..1.0_f64),
    ) {
        let strain = |z: f64| c.iter().rev().fold(0.0, |sum, c| sum * z / 20.0 + c);
        let n = 20_000_usize;
        let (mut moment, step) = (0.0, thickness / n as f64);
        for i in 0..n {
            let z = from + (i as f64 + 0.5) * step;
            moment += strain(z) * (z - from - thickness / 2.0) * step;
        }
        let brute = 12.0 * moment / thickness.powi(3);
        let exact = curvature_of_strain(mm(from), mm(from + thickness), strain).per_mm();
        prop_assert!((exact - brute).abs() < 1e-6 * (1.0 + exact.abs()), "{exact} against {brute}");
        let edges: Vec<f64> = (0..=200).map(|i| from + thickness * f64::from(i) / 200.0).collect();
        let cells: Vec<f64> = edges.windows(2).map(|e| strain((e[0] + e[1]) / 2.0)).collect();
        let layered = curvature_of_layers(&edges, &cells).per_mm();
        prop_assert!((exact - layered).abs() < 2e-3 * (1.0 + exact.abs()), "{exact} against {layered}");
    }

    // Minimum elastic energy: no other mean and slope leaves less squared strain in the layers.
    #[test]
    fn the_slope_is_the_one_of_min_energy(
        cells in proptest::collection::vec(-1.0..1.0_f64, 8), nudge in -0.2..0.2_f64,
    ) {
        let edges: Vec<f64> = (0..=8).map(f64::from).collect();
        let kappa = curvature_of_layers(&edges, &cells).per_mm();
        let mean = cells.iter().sum::<f64>() / 8.0;
        // Fine layers stand for the integral.
        let energy = |slope: f64| (0..800).map(|i| {
            let z = (f64::from(i) + 0.5) / 100.0;
            (cells[i as usize / 100] - mean - slope * (z - 4.0)).powi(2)
        }).sum::<f64>();
        prop_assert!(energy(kappa) <= energy(kappa + nudge) + 1e-9);
    }

    // Layers swapped and strain reversed is the same piece seen from below.
    #[test]
    fn two_layers_turned_over_bend_the_other_way(
        a in 0.5..40.0_f64, b in 0.5..40.0_f64, e_a in 100.0..15_000.0_f64, e_b in 100.0..15_000.0_f64,
    ) {
        let de = Strain::computed_ratio(1e-3);
        let one = two_layer_curvature(layer(a, e_a), layer(b, e_b), de).per_mm();
        let other = two_layer_curvature(layer(b, e_b), layer(a, e_a), -de).per_mm();
        prop_assert!((one + other).abs() < 1e-12);
        // Never more than the freest case, 1.5 de/h.
        prop_assert!(one > 0.0 && one <= 1.5e-3 / (a + b) * 1.34);
    }
}
