//! The kernels against exact solutions.

use heartside::numerics::{
    Homography, Raster, Rows, SquareTransform, add_times, best_fit_slope, best_fit_slope_of,
    bracketed_root, ends, factor_lu, interpolate, legendre_p2, legendre_p3, solve_banded,
    solve_complementarity, solve_exchange, solve_exchange_again, solve_lu, solve_tridiagonal,
    spline_at, spline_bends, symmetric_eigen,
};
use proptest::prelude::*;

fn close(found: f64, wanted: f64, tolerance: f64) {
    assert!(
        (found - wanted).abs() <= tolerance,
        "found {found}, wanted {wanted} within {tolerance}"
    );
}

/// `-x'' = 1` on a grid of unit spacing with zero ends has the exact grid
/// solution `x_i = i (n + 1 - i)/2`, since the second difference of a parabola is exact.
#[test]
fn tridiagonal_solves_the_parabola_exactly() {
    for n in 1..40 {
        let (below, above) = (vec![-1.0; n], vec![-1.0; n]);
        let diagonal = vec![2.0; n];
        let mut right = vec![1.0; n];
        let mut scratch = vec![0.0; n];
        assert!(solve_tridiagonal(
            &below,
            &diagonal,
            &above,
            &mut right,
            &mut scratch
        ));
        for (i, found) in right.iter().enumerate() {
            let exact = ((i + 1) * (n - i)) as f64 / 2.0;
            close(*found, exact, 1e-11 * exact.max(1.0) * n as f64);
        }
        exchange_solves_the_parabola::<1>(n);
        exchange_solves_the_parabola::<2>(n);
        exchange_solves_the_parabola::<5>(n);
    }
}

/// The same by chains side by side, each with so many times the ties, the stores and the right side.
fn exchange_solves_the_parabola<const LANES: usize>(n: usize) {
    let times: [f64; LANES] = std::array::from_fn(|lane| 1.0 + lane as f64);
    let mut found = vec![times; n];
    // The diagonal of 2 exceeds the neighbours only at the two ends.
    let mut stores = vec![[0.0; LANES]; n];
    for end in [0, n - 1] {
        for (store, times) in stores[end].iter_mut().zip(times) {
            *store += times;
        }
    }
    solve_exchange(&mut vec![times; n], &mut stores, &mut found);
    for (i, chains) in found.iter().enumerate() {
        let exact = ((i + 1) * (n - i)) as f64 / 2.0;
        for chain in chains {
            close(*chain, exact, 1e-11 * exact.max(1.0) * n as f64);
        }
    }
}

#[test]
fn tridiagonal_says_when_a_pivot_vanishes() {
    let mut right = [1.0, 1.0];
    assert!(!solve_tridiagonal(
        &[0.0, 1.0],
        &[1.0, 1.0],
        &[1.0, 0.0],
        &mut right,
        &mut [0.0; 2]
    ));
    solve_exchange::<1>(&mut [], &mut [], &mut []);
    solve_exchange_again::<1>(&[], &[], &mut []);
}

proptest! {
    /// Where the ends are is where the first of the smallest and of the largest is.
    #[test]
    fn ends_are_the_first_of_the_extremes(values in prop::collection::vec(-9..9_i32, 1..40)) {
        let values: Vec<f64> = values.into_iter().map(f64::from).collect();
        let first = |extreme: f64| values.iter().position(|value| *value == extreme).unwrap();
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        prop_assert_eq!(ends(&values), Some([first(low), first(high)]));
    }

    /// Wide vectors or not: product and sum are each rounded, at every place, and places beyond the shorter row stay.
    #[test]
    fn rows_are_added_as_one_number_after_another(
        rows in prop::collection::vec((-1e3..1e3, -1e3..1e3), 0..40),
        times in -9.0..9.0,
        more in prop::collection::vec(-1e3..1e3, 0..20),
    ) {
        let (mut numbers, values): (Vec<f64>, Vec<f64>) = rows.into_iter().unzip();
        let wanted = numbers.iter().zip(&values).map(|(number, value)| {
            let product: f64 = times * value;
            number + product
        });
        let wanted: Vec<f64> = wanted.chain(more.iter().copied()).collect();
        numbers.extend(more);
        add_times(&mut numbers, times, &values);
        prop_assert_eq!(numbers, wanted);
    }

    #[test]
    fn both_tridiagonal_solvers_meet_their_equations(
        ties in prop::collection::vec(0.0..100.0_f64, 1..50),
        extra in prop::collection::vec(0.01..10.0_f64, 50),
        wanted in prop::collection::vec(-50.0..50.0_f64, 50),
    ) {
        let n = ties.len();
        let diagonal: Vec<f64> = (0..n)
            .map(|i| extra[i] + if i > 0 { ties[i - 1] } else { 0.0 } + if i + 1 < n { ties[i] } else { 0.0 })
            .collect();
        let right: Vec<f64> = (0..n)
            .map(|i| {
                diagonal[i] * wanted[i]
                    - if i > 0 { ties[i - 1] * wanted[i - 1] } else { 0.0 }
                    - if i + 1 < n { ties[i] * wanted[i + 1] } else { 0.0 }
            })
            .collect();
        let mut found = right.clone();
        let mut inverses: Vec<[f64; 1]> = ties.as_chunks().0.to_vec();
        let mut weights: Vec<[f64; 1]> = extra.as_chunks().0[..n].to_vec();
        solve_exchange(&mut inverses, &mut weights, found.as_chunks_mut().0);
        let mut again = right.clone();
        solve_exchange_again(&inverses, &weights, again.as_chunks_mut().0);
        for (first, again) in found.iter().zip(&again) {
            prop_assert!((first - again).abs() < 1e-9 * first.abs().max(1.0), "{first} {again}");
        }
        let below: Vec<f64> = (0..n).map(|i| if i > 0 { -ties[i - 1] } else { 0.0 }).collect();
        let above: Vec<f64> = ties.iter().map(|tie| -tie).collect();
        let mut general = right;
        prop_assert!(solve_tridiagonal(&below, &diagonal, &above, &mut general, &mut vec![0.0; n]));
        for i in 0..n {
            prop_assert!((found[i] - wanted[i]).abs() < 1e-7, "{} {}", found[i], wanted[i]);
            prop_assert!((general[i] - wanted[i]).abs() < 1e-7);
        }
    }

    #[test]
    fn a_root_of_a_rising_cubic_is_found(root in -5.0..5.0_f64, lift in 0.0..10.0_f64) {
        let f = |x: f64| (x - root) * ((x - root).powi(2) + lift) ;
        let found = bracketed_root(f, -6.0, 7.0, 1e-12);
        prop_assert!((found.unwrap_or(f64::NAN) - root).abs() < 1e-4);
        prop_assert!(f(found.unwrap_or(f64::NAN)).abs() < 1e-9);
    }
}

#[test]
fn roots_to_the_tolerance_asked() {
    let found = bracketed_root(|x| x * x - 2.0, 0.0, 2.0, 1e-13).unwrap_or(f64::NAN);
    close(found, std::f64::consts::SQRT_2, 1e-12);
    let falling = bracketed_root(|x| (-x).exp() - 0.5, 0.0, 5.0, 1e-13).unwrap_or(f64::NAN);
    close(falling, std::f64::consts::LN_2, 1e-12);
    let steep = bracketed_root(|x| (x - 0.3).powi(9), -1.0, 2.0, 1e-6).unwrap_or(f64::NAN);
    close(steep, 0.3, 1e-3);
    assert_eq!(bracketed_root(|x| x * x + 1.0, -1.0, 1.0, 1e-9), None);
    assert_eq!(bracketed_root(|_| f64::NAN, -1.0, 1.0, 1e-9), None);
    assert_eq!(bracketed_root(|x| x, 0.0, 1.0, 1e-9), Some(0.0));
    let jump = bracketed_root(|x| if x < 0.7 { -1.0 } else { 1.0 }, 0.0, 1.0, 1e-9);
    close(jump.unwrap_or(f64::NAN), 0.7, 1e-8);
}

/// Legendre polynomials are orthogonal to 1 and to `u`, and 1 at the upper face.
#[test]
fn legendre_polynomials_have_no_mean_and_no_slope() {
    for p in [legendre_p2 as fn(f64) -> f64, legendre_p3] {
        close(p(1.0), 1.0, 0.0);
        close(best_fit_slope_of(p, -1.0, 1.0), 0.0, 1e-14);
        let n = 20_000;
        let mean: f64 = (0..n)
            .map(|i| p(-1.0 + (f64::from(i) + 0.5) * 2.0 / f64::from(n)))
            .sum::<f64>()
            / f64::from(n);
        close(mean, 0.0, 1e-8);
    }
    close(legendre_p2(0.0), -0.5, 0.0);
    close(legendre_p3(-1.0), -1.0, 0.0);
}

/// Equations from rows of coefficients and the right-hand side.
fn rows(matrix: &[&[f64]], right: &[f64]) -> Rows {
    let mut rows = Rows::new(right.len());
    for (i, (row, right)) in matrix.iter().zip(right).enumerate() {
        // From the right, so that rows grow on both sides.
        for (j, value) in row.iter().enumerate().rev() {
            rows.add(i, j, *value);
        }
        rows.add_right(i, *right);
    }
    rows
}

/// The Hilbert matrix of order 5 times ones: an ill-conditioned system with a known answer.
#[test]
fn elimination_solves_hilbert_and_refuses_singular() {
    let n = 5;
    let matrix: Vec<Vec<f64>> = (0..n)
        .map(|i| (0..n).map(|j| 1.0 / ((i + j + 1) as f64)).collect())
        .collect();
    let matrix: Vec<&[f64]> = matrix.iter().map(Vec::as_slice).collect();
    let right: Vec<f64> = matrix.iter().map(|row| row.iter().sum()).collect();
    for x in rows(&matrix, &right).solve().unwrap() {
        close(x, 1.0, 1e-9);
    }
    let pivoting = rows(&[&[0.0, 1.0], &[1.0, 0.0]], &[3.0, 4.0]);
    assert_eq!(pivoting.solve(), Some(vec![4.0, 3.0]));
    for singular in [
        [[1.0, 2.0], [2.0, 4.0]],
        [[f64::NAN, 2.0], [2.0, 4.0]],
        [[0.0, 0.0], [2.0, 4.0]],
        [[0.0, 2.0], [0.0, 4.0]],
    ] {
        let singular = rows(&[&singular[0], &singular[1]], &[1.0, 2.0]);
        assert_eq!(singular.solve(), None);
    }
}

/// `-x'' = 1` with its rows in any order, beside the solver that knows them to be tridiagonal; a long system costs no more
/// than its rows, which a dense one of ten thousand million coefficients would show.
#[test]
fn elimination_keeps_to_the_rows() {
    let n = 100_000;
    let mut parabola = Rows::new(n);
    for i in 0..n {
        let row = (i * 7_919) % n;
        for (column, value) in [(i.wrapping_sub(1), -1.0), (i, 2.0), (i + 1, -1.0)] {
            if column < n {
                parabola.add(row, column, value);
            }
        }
        parabola.add_right(row, 1.0);
    }
    let solved = parabola.solve().unwrap();
    for i in [0, 1, 777, n / 2, n - 1] {
        let exact = (i + 1) as f64 * (n - i) as f64 / 2.0;
        close(solved[i] / exact, 1.0, 1e-6);
    }
}

#[test]
fn interpolation_is_exact_on_lines_and_holds_the_ends() {
    let (xs, ys) = ([1.0, 2.0, 4.0], [3.0, 5.0, 9.0]);
    for x in [1.0, 1.25, 2.0, 3.9, 4.0] {
        close(interpolate(&xs, &ys, x), 2.0 * x + 1.0, 1e-14);
    }
    close(interpolate(&xs, &ys, -7.0), 3.0, 0.0);
    close(interpolate(&xs, &ys, 70.0), 9.0, 0.0);
    assert!(interpolate(&[], &[], 1.0).is_nan());
}

/// The operator takes the slope of a line exactly, nothing of a parabola about the middle,
/// and 3/5 h^2/4 of a cubic (integral of u^4).
#[test]
fn slopes_of_polynomials() {
    let (z1, z2) = (-3.0, 9.0);
    close(best_fit_slope_of(|z| 4.0 - 0.7 * z, z1, z2), -0.7, 1e-13);
    close(best_fit_slope_of(|z| (z - 3.0).powi(2), z1, z2), 0.0, 1e-12);
    close(
        best_fit_slope_of(|z| (z - 3.0).powi(3), z1, z2),
        36.0 * 3.0 / 5.0,
        1e-11,
    );
    // Degree 18 is the last that is exact: the slope of u^17 over -1..1 is 3/19.
    close(
        best_fit_slope_of(|u: f64| u.powi(17), -1.0, 1.0),
        3.0 / 19.0,
        1e-13,
    );
    // By integration: the part of a P2 from z1 to z2 of a board H thick has slope 12 a zm/H^2.
    let (a, thickness) = (400e-6, 50.8);
    let leaf = best_fit_slope_of(|z| a * legendre_p2(2.0 * z / thickness), 0.8, 25.4);
    close(leaf, 12.0 * a * 13.1 / (thickness * thickness), 1e-16);
}

/// Cell means of a line give its slope up to the share the cells cannot see: `1 - 1/n^2` for `n` equal cells.
#[test]
fn slopes_of_cells() {
    let n = 8_u32;
    let edges: Vec<f64> = (0..=n).map(|i| f64::from(i) * 2.5).collect();
    let values: Vec<f64> = edges
        .windows(2)
        .map(|e| 3.0 + 0.4 * (e[0] + e[1]) / 2.0)
        .collect();
    close(
        best_fit_slope(&edges, &values),
        0.4 * (1.0 - 1.0 / f64::from(n * n)),
        1e-14,
    );
    close(best_fit_slope(&edges, &[5.0; 8]), 0.0, 1e-14);
}

/// Ties that outweigh the stores by 1e14 lose nothing: all cells level out at the mean of what they held.
#[test]
fn exchange_keeps_its_digits_however_stiff() {
    for n in [2, 3, 32, 33] {
        let mut stores = vec![[1e-7]; n];
        let mut right: Vec<[f64; 1]> = (0..n).map(|i| [1e-7 * i as f64]).collect();
        solve_exchange(&mut vec![[1e7]; n], &mut stores, &mut right);
        for [x] in right {
            close(x, (n - 1) as f64 / 2.0, 1e-9);
        }
    }
}

/// The transform against its own definition, and Parseval's theorem.
#[test]
fn the_square_transform_is_the_sum_it_says() {
    const N: usize = 8;
    let mut square = [[0.0_f32; N]; N];
    for (y, row) in square.iter_mut().enumerate() {
        for (x, value) in row.iter_mut().enumerate() {
            *value = ((7 * x + 13 * y * y + 5) % 17) as f32 - 8.0;
        }
    }
    let sizes = SquareTransform::<N>::new().sizes(&square);
    let mut energy = 0.0;
    for v in 0..N {
        for u in 0..N {
            let (mut re, mut im) = (0.0, 0.0);
            for (y, row) in square.iter().enumerate() {
                for (x, value) in row.iter().enumerate() {
                    let turn = std::f64::consts::TAU * ((u * x + v * y) % N) as f64 / N as f64;
                    re += f64::from(*value) * turn.cos();
                    im -= f64::from(*value) * turn.sin();
                }
            }
            let size = re.hypot(im);
            energy += size * size;
            if v <= N / 2 {
                close(f64::from(sizes[v * N + u]), size, 1e-4 * size.max(10.0));
            }
        }
    }
    let own: f64 = square.iter().flatten().map(|v| f64::from(v * v)).sum();
    close(energy / (N * N) as f64, own, 1e-9 * own);
}

/// A point that is smoothed has the variance of the Gaussian to 3 % (weights at whole steps narrow the smallest), by weights and by running means, and nothing is lost.
#[test]
fn a_blur_has_its_variance_and_keeps_the_sum() {
    for sigma in [0.6, 1.0, 2.9, 3.1, 7.0, 20.0] {
        let n = 201_usize;
        let point = Raster::from_fn(n, n, |x, y| f32::from(u8::from(x == 100 && y == 100)));
        let smooth = point.blurred(sigma);
        let (mut sum, mut across, mut down) = (0.0, 0.0, 0.0);
        for y in 0..n {
            for (x, value) in smooth.row(y).iter().enumerate() {
                let value = f64::from(*value);
                sum += value;
                across += value * (x as f64 - 100.0).powi(2);
                down += value * (y as f64 - 100.0).powi(2);
            }
        }
        close(sum, 1.0, 1e-4);
        close(across, sigma * sigma, 0.03 * sigma * sigma);
        close(down, sigma * sigma, 0.03 * sigma * sigma);
    }
    // Mirrored edges keep an even field even, also where the kernel is wider than the grid.
    let even = Raster::from_fn(5, 3, |_, _| 2.5).blurred(9.0);
    assert!(even.values().iter().all(|value| (value - 2.5).abs() < 1e-5));
}

#[test]
fn a_raster_is_linear_between_its_points_and_halves_in_means() {
    let plane = Raster::from_fn(9, 7, |x, y| 3.0 * x as f32 - 2.0 * y as f32 + 1.0);
    close(f64::from(plane.at(2.25, 3.5)), 3.0 * 2.25 - 7.0 + 1.0, 1e-5);
    close(f64::from(plane.at(-5.0, 99.0)), -12.0 + 1.0, 1e-5);
    let half = plane.halved();
    assert_eq!((half.width(), half.height()), (4, 3));
    close(f64::from(half.row(1)[2]), 3.0 * 4.5 - 2.0 * 2.5 + 1.0, 1e-5);
    let turned = plane.transposed();
    assert_eq!((turned.width(), turned.height()), (7, 9));
    assert_eq!(turned.row(4)[6], plane.row(6)[4]);
    assert_eq!(turned.transposed(), plane);
}

#[test]
fn a_homography_takes_four_points_to_four_and_keeps_lines_straight() {
    let from = [[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [0.0, 2.0]];
    let to = [[10.0, 11.0], [90.0, 20.0], [80.0, 70.0], [5.0, 60.0]];
    let map = Homography::of_points(&from, &to).unwrap();
    for (from, to) in from.iter().zip(to) {
        let found = map.map(*from);
        close(found[0], to[0], 1e-9);
        close(found[1], to[1], 1e-9);
    }
    let [a, b, c] = [0.5, 1.7, 3.9].map(|x| map.map([x, 0.3 + 0.4 * x]));
    close(
        (b[0] - a[0]) * (c[1] - a[1]),
        (b[1] - a[1]) * (c[0] - a[0]),
        1e-9,
    );
    assert!(
        Homography::of_points(&[[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [3.0, 0.0]], &to).is_none()
    );
}

proptest! {
    #[test]
    fn principal_axes_rebuild_their_matrix(v in prop::array::uniform6(-10.0..10.0_f64)) {
        let matrix = [[v[0], v[1], v[2]], [v[1], v[3], v[4]], [v[2], v[4], v[5]]];
        let pairs = symmetric_eigen(matrix);
        prop_assert!(pairs[0].0 >= pairs[1].0 && pairs[1].0 >= pairs[2].0);
        for j in 0..3 {
            for k in 0..3 {
                let rebuilt: f64 = pairs.iter().map(|(value, axis)| value * axis[j] * axis[k]).sum();
                prop_assert!((rebuilt - matrix[j][k]).abs() < 1e-9);
            }
        }
    }
}

/// Fourth differences on a grid, clamped ends, a little stiffer from place to place: held to the factors of the same dense matrix, and those to its rows.
#[test]
fn a_band_is_its_dense_matrix() {
    let n = 17;
    let entry = |i: usize, j: usize| match i.abs_diff(j) {
        0 => 6.0 + 0.1 * i as f64,
        1 => -4.0,
        2 => 1.0,
        _ => 0.0,
    };
    let reach = 2;
    let mut band = vec![0.0; n * (reach + 1)];
    for i in 0..n {
        for j in i.saturating_sub(reach)..=i {
            band[i * (reach + 1) + reach + j - i] = entry(i, j);
        }
    }
    let dense: Vec<f64> = (0..n * n).map(|k| entry(k / n, k % n)).collect();
    let rights: Vec<Vec<f64>> = vec![vec![24.0; n], (0..n).map(|i| (i as f64).sin()).collect()];
    let mut together = rights.concat();
    assert!(solve_banded(&mut band, reach, &mut together));
    let mut factors = dense.clone();
    let mut pivots = vec![0; n];
    assert!(factor_lu(&mut factors, &mut pivots));
    for (k, right) in rights.into_iter().enumerate() {
        let mut factored = right.clone();
        solve_lu(&factors, &pivots, &mut factored);
        for i in 0..n {
            close(together[k * n + i], factored[i], 1e-9);
            let row = &dense[i * n..(i + 1) * n];
            let back: f64 = row.iter().zip(&factored).map(|(a, x)| a * x).sum();
            close(back, right[i], 1e-9);
        }
    }
    assert!(
        !solve_banded(&mut [0.0, 1.0, 2.0, 1.0], 1, &mut [1.0, 1.0]),
        "not positive"
    );
    assert!(
        !factor_lu(&mut [1.0, 2.0, 2.0, 4.0], &mut [0; 2]),
        "singular"
    );
}

/// A zero on the diagonal is passed by with its row exchanged: exact.
#[test]
fn factors_exchange_rows() {
    let mut matrix = [0.0, 2.0, 1.0, 3.0, 0.0, 1.0, 1.0, 1.0, 0.0];
    let mut pivots = [0; 3];
    assert!(factor_lu(&mut matrix, &mut pivots));
    // 2y + z = 7, 3x + z = 6, x + y = 3 at (1, 2, 3).
    let mut right = [7.0, 6.0, 3.0];
    solve_lu(&matrix, &pivots, &mut right);
    for (found, wanted) in right.into_iter().zip([1.0, 2.0, 3.0]) {
        close(found, wanted, 1e-14);
    }
}

/// A parabola is met exactly from three places on, and a straight line from two.
#[test]
fn a_spline_meets_parabolas_exactly() {
    let parabola = |x: f64| 3.0 - 2.0 * x + 0.5 * x * x;
    for xs in [vec![0.0, 1.0, 4.0], vec![-1.0, 0.0, 0.5, 2.0, 7.0]] {
        let ys: Vec<f64> = xs.iter().map(|&x| parabola(x)).collect();
        let bends = spline_bends(&xs, &ys).unwrap();
        for x in [-2.0, 0.3, 1.9, 8.0] {
            let (value, slope, bend) = spline_at(&xs, &ys, &bends, x);
            close(value, parabola(x), 1e-12);
            close(slope, -2.0 + x, 1e-12);
            close(bend, 1.0, 1e-12);
        }
    }
    let straight = spline_bends(&[0.0, 2.0], &[1.0, 5.0]).unwrap();
    close(
        spline_at(&[0.0, 2.0], &[1.0, 5.0], &straight, 0.5).0,
        2.0,
        1e-14,
    );
    assert_eq!(spline_bends(&[0.0], &[1.0]), None);
    assert_eq!(spline_bends(&[0.0, 0.0], &[1.0, 2.0]), None);
}

proptest! {
    /// Every place of the answer is zero on one side and not negative on the other: what tells it among all others.
    #[test]
    fn contacts_are_open_or_closed(
        roots in prop::collection::vec(-1.0..1.0_f64, 36),
        q in prop::collection::vec(-5.0..5.0_f64, 6),
    ) {
        let n = 6;
        let matrix: Vec<f64> = (0..n * n)
            .map(|k| {
                let (i, j) = (k / n, k % n);
                let shared: f64 = (0..n).map(|m| roots[i * n + m] * roots[j * n + m]).sum();
                shared + if i == j { 0.1 } else { 0.0 }
            })
            .collect();
        let w = solve_complementarity(&matrix, &q).unwrap();
        for i in 0..n {
            let other = q[i] + (0..n).map(|j| matrix[i * n + j] * w[j]).sum::<f64>();
            prop_assert!(w[i] >= 0.0 && other >= -1e-9);
            prop_assert!(w[i] * other < 1e-8);
        }
    }
}
