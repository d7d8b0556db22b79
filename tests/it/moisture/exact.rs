//! Exact solutions of the diffusion equation: Crank, *The Mathematics of Diffusion*
//! (2nd ed., sections 4.3.2 and 4.3.6), and the harmonic slab.

use super::{SEALED, close, ideal, keeping, mm, percent, run_until, uniform};
use heartside::air::{AirState, AirYear, humidity_for};
use heartside::moisture::{
    FaceExchange, MoistureTrack, Profile, SlabState, diffusivity_m2_per_s, settled_year, sorption,
};
use heartside::numerics::bracketed_root;
use heartside::units::Temperature;
use statrs::function::erf::erfc;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

const D: f64 = 5e-11;
const THICKNESS: f64 = 20.0;
/// Half the thickness, m.
const A: f64 = 0.010;

/// Share done, both faces held at the air's moisture.
fn crank(fourier: f64) -> f64 {
    1.0 - (0..200)
        .map(|n| {
            let odd = f64::from(2 * n + 1);
            8.0 / (PI * PI * odd * odd) * (-odd * odd * PI * PI * fourier / 4.0).exp()
        })
        .sum::<f64>()
}

/// Share done with a resistance at the faces, `biot = a S/D`.
fn crank_with_resistance(fourier: f64, biot: f64) -> f64 {
    1.0 - (0..60)
        .map(|n| {
            let (low, high) = (f64::from(n) * PI, f64::from(n) * PI + FRAC_PI_2);
            let beta =
                bracketed_root(|b| b * b.sin() - biot * b.cos(), low + 1e-12, high, 1e-13).unwrap();
            let b2 = beta * beta;
            2.0 * biot * biot * (-b2 * fourier).exp() / (b2 * (b2 + biot * biot + biot))
        })
        .sum::<f64>()
}

#[test]
fn step_without_resistance_is_cranks_series() {
    // Fo and the share done, summed from Crank's series (*The Mathematics of Diffusion*) outside this program.
    let table = [
        (0.05, 0.25231),
        (0.1, 0.35682),
        (0.1967, 0.49996),
        (0.5, 0.76395),
        (0.848, 0.89998),
        (1.0, 0.93126),
    ];
    for (fourier, printed) in table {
        close(crank(fourier), printed, 5e-5);
        let mut state = SlabState::new(&ideal(THICKNESS, D), 64, &uniform(12.0));
        run_until(&mut state, &keeping(7.0), 0.0, fourier * A * A / D, 0.002);
        let done = (12.0 - state.mean_percent()) / 5.0;
        close(done, printed, 0.001);
        close(state.slope_percent_per_mm(), 0.0, 1e-12);
    }
}

#[test]
fn the_profile_itself_is_cranks() {
    // Crank eq. 4.17: (M - M0)/(M1 - M0) = 1 - (4/pi) sum (-1)^n/(2n+1) exp(...) cos((2n+1) pi x/2a).
    let fourier = 0.3;
    let mut state = SlabState::new(&ideal(THICKNESS, D), 64, &uniform(12.0));
    run_until(&mut state, &keeping(7.0), 0.0, fourier * A * A / D, 0.002);
    let edges = state.edges_mm().to_vec();
    for (cell, found) in edges.windows(2).zip(state.cells_percent()) {
        let x = ((cell[0] + cell[1]) / 2.0 - THICKNESS / 2.0) / (THICKNESS / 2.0);
        let left: f64 = (0..50)
            .map(|n| {
                let odd = f64::from(2 * n + 1);
                let sign = if n % 2 == 0 { 1.0 } else { -1.0 };
                sign / odd
                    * (-odd * odd * PI * PI * fourier / 4.0).exp()
                    * (odd * PI * x / 2.0).cos()
            })
            .sum();
        close(*found, 7.0 + 5.0 * 4.0 / PI * left, 0.02);
    }
}

#[test]
fn step_with_surface_resistance_is_cranks_series() {
    for biot in [0.1, 1.0, 10.0] {
        let coefficient = biot * D / A;
        let slab = ideal(THICKNESS, D).with_faces(
            FaceExchange::Coefficient(coefficient),
            FaceExchange::Coefficient(coefficient),
        );
        for fourier in [0.05, 0.3, 1.0, 3.0] {
            let mut state = SlabState::new(&slab, 64, &uniform(6.0));
            run_until(&mut state, &keeping(14.0), 0.0, fourier * A * A / D, 0.002);
            let done = (state.mean_percent() - 6.0) / 8.0;
            close(done, crank_with_resistance(fourier, biot), 0.001);
        }
    }
}

/// A board sealed on one face is half of a board twice as thick.
#[test]
fn one_sealed_face_is_half_of_a_board_twice_as_thick() {
    let half = ideal(THICKNESS / 2.0, D).with_faces(SEALED, ideal(1.0, D).faces[1]);
    let mut state = SlabState::new(&half, 64, &uniform(12.0));
    run_until(&mut state, &keeping(7.0), 0.0, 0.1967 * A * A / D, 0.002);
    close((12.0 - state.mean_percent()) / 5.0, 0.49996, 0.001);
    assert!(
        state.slope_percent_per_mm() < -0.1,
        "the open upper face is the drier"
    );
}

/// Short times: a thick board does not know of its other face, `M = M1 + (M0 - M1) erf(x/(2 sqrt(D t)))`,
/// and has taken up `2 sqrt(D t/pi)` through each face.
#[test]
fn short_times_follow_the_error_function() {
    let slab = ideal(THICKNESS, D);
    let mut state = SlabState::new(&slab, 128, &uniform(12.0));
    let time = 0.01 * A * A / D;
    run_until(&mut state, &keeping(7.0), 0.0, time, 0.002);
    let reach_mm = 2000.0 * (D * time).sqrt();
    for (cell, found) in state.edges_mm().windows(2).zip(state.cells_percent()) {
        let x = (cell[0] + cell[1]) / 2.0;
        if x < THICKNESS / 2.0 {
            close(*found, 12.0 - 5.0 * erfc(x / reach_mm), 0.02);
        }
    }
    let done = (12.0 - state.mean_percent()) / 5.0;
    close(done, 2.0 * (0.01 / PI).sqrt(), 5e-4);
}

/// The first harmonic of a track: amplitude and the day of the year on which it peaks.
fn harmonic(track: &MoistureTrack) -> (f64, f64) {
    let (mut cosine, mut sine) = (0.0, 0.0);
    for (day, value) in track.mean_percent.iter().enumerate() {
        let angle = TAU * (day as f64 + 0.5) / 365.0;
        cosine += value * angle.cos() * 2.0 / 365.0;
        sine += value * angle.sin() * 2.0 / 365.0;
    }
    (
        cosine.hypot(sine),
        sine.atan2(cosine).rem_euclid(TAU) / TAU * 365.0,
    )
}

/// A year at 20 C whose equilibrium moisture is a sine, per day or per hour.
fn sine_year(per_day: usize) -> AirYear {
    let temperature = Temperature::from_celsius(20.0).unwrap();
    let states: Vec<AirState> = (0..365 * per_day)
        .map(|i| {
            let day = (i as f64 + 0.5) / per_day as f64;
            let moisture = percent(9.0 + 2.0 * (TAU * day / 365.0).sin());
            AirState::new(temperature, humidity_for(moisture, temperature).unwrap())
        })
        .collect();
    if per_day == 1 {
        AirYear::by_days(states).unwrap()
    } else {
        AirYear::hourly(states).unwrap()
    }
}

/// Annual sine: the mean's amplitude is `|tanh q/q|`, `q = (1+i) a sqrt(omega/2D)`; three boards worked out outside this program.
#[test]
fn annual_sine_has_the_exact_amplitude_and_lag() {
    for per_day in [1, 24] {
        let air = sine_year(per_day);
        for (thickness, ratio, lag) in
            [(19.0, 0.990, 6.9), (25.0, 0.971, 11.8), (50.0, 0.723, 35.8)]
        {
            let a = thickness / 2000.0;
            let x = a * (TAU / (365.0 * 86_400.0) / (2.0 * D)).sqrt();
            // tanh of (1+i) x, over (1+i) x, as a complex number.
            let below = (2.0 * x).cosh() + (2.0 * x).cos();
            let (re, im) = ((2.0 * x).sinh() / below, (2.0 * x).sin() / below);
            let (re, im) = ((re + im) / (2.0 * x), (im - re) / (2.0 * x));
            close(re.hypot(im), ratio, 1e-3);
            close(-im.atan2(re) / TAU * 365.0, lag, 0.06);
            let (amplitude, peak) = harmonic(&settled_year(&ideal(thickness, D), &air));
            close(amplitude / 2.0, re.hypot(im), 0.002);
            close(peak - 365.0 / 4.0, lag, 0.2);
            println!(
                "{thickness} mm, {per_day} a day: {:.4}, {:.2} days",
                amplitude / 2.0,
                peak - 91.25
            );
        }
    }
}

/// Siau's diffusivity at 20 C and 10 % for seven woods (worked out by hand from the formula, from memory of Siau 1984), 1e-11 m2/s.
#[test]
fn diffusivities_of_seven_woods() {
    let (_, slope) = sorption(20.0, 10.0);
    close(slope, 0.0587, 1e-4);
    for (gravity, wanted) in [
        (0.51, 3.7), // walnut
        (0.56, 3.0), // red oak
        (0.56, 3.0), // sugar maple
        (0.60, 2.6), // white oak
        (0.47, 4.4), // cherry
        (0.40, 6.1), // yellow-poplar
        (0.34, 8.6), // white pine
    ] {
        close(
            diffusivity_m2_per_s(20.0, 10.0, gravity) * 1e11,
            wanted,
            0.05,
        );
    }
}

#[test]
fn a_start_profile_keeps_its_mean_and_its_slope_in_the_cells() {
    let parabola = Profile::parabola(percent(10.0), percent(3.0));
    close(parabola.mean().percent(), 10.0, 1e-14);
    close(
        parabola.percent_at(0.0) - parabola.percent_at(1.0),
        3.0,
        1e-14,
    );
    let state = SlabState::new(&ideal(50.0, D), 32, &parabola);
    close(state.mean_percent(), 10.0, 1e-12);
    // The upper half of the board as a leaf of its own: mean 10, falling toward its upper face.
    let leaf = parabola.part(mm(50.0), mm(25.0), mm(50.0));
    close(leaf.mean().percent(), 10.0, 1e-12);
    close(leaf.percent_at(-1.0), parabola.percent_at(0.0), 1e-12);
    close(leaf.percent_at(1.0), parabola.percent_at(1.0), 1e-12);
    // Best-fit slope of -3 u^2 on 0..1 is -3 per unit u, u = z/25 mm.
    let state = SlabState::new(&ideal(25.0, D), 256, &leaf);
    close(state.slope_percent_per_mm(), -3.0 / 25.0, 2e-5);
}
