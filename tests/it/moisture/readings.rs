//! Meter readings, weights and board ends.

use super::{close, mm, percent};
use heartside::moisture::{Profile, ends, meter, meter::Reading, weight};
use heartside::units::{Duration, Mass};

/// A parabola equals its mean at 0.2113 of the thickness, whatever its height (pins at 0.21 t: derived).
#[test]
fn pins_at_a_fifth_read_the_mean() {
    close(meter::mean_depth(mm(25.0)).mm() / 25.0, 0.21, 0.002);
    for (shell, core) in [(12.0, 10.0), (9.0, 9.5), (5.0, 11.0)] {
        let (shell, core) = (percent(shell), percent(core));
        let profile = Profile::parabola(percent(11.0), core - shell);
        close(
            profile.percent_at(2.0 * meter::MEAN_DEPTH_SHARE - 1.0),
            11.0,
            1e-12,
        );
    }
}

#[test]
fn readings_tell_mean_and_difference() {
    let shell = Reading::ShellAndCore {
        shell: percent(8.0),
        core: percent(11.0),
    };
    close(shell.mean().percent(), 10.0, 1e-12);
    close(shell.core_minus_shell().unwrap().percent(), 3.0, 1e-12);
    // M_core - M_shell = 3 (M_core - M_mean).
    let pins = Reading::MeanAndCore {
        mean: percent(10.0),
        core: percent(11.0),
    };
    close(pins.core_minus_shell().unwrap().percent(), 3.0, 1e-12);
    assert_eq!(
        pins.profile(),
        Profile::parabola(percent(10.0), percent(3.0))
    );
    close(pins.profile().percent_at(1.0), 8.0, 1e-12);
    let single = Reading::Single(percent(9.0));
    assert_eq!(
        (single.mean(), single.core_minus_shell()),
        (percent(9.0), None)
    );
    assert!(single.caution().unwrap().contains("unknown"));
    assert_eq!(pins.caution(), None);
}

/// By hand: 1840 g at 15 % hold 1600 g of wood; at 7 % it weighs 1712 g, so 128 g are still to lose.
#[test]
fn grams_still_to_lose() {
    let now = Mass::from_grams(1840.0).unwrap();
    close(weight::oven_dry(now, percent(15.0)).grams(), 1600.0, 1e-9);
    close(
        weight::still_to_lose(now, percent(15.0), percent(7.0)).grams(),
        128.0,
        1e-9,
    );
    let end = weight::at_moisture(weight::oven_dry(now, percent(15.0)), percent(7.0));
    close(end.grams(), 1712.0, 1e-9);
    close(
        weight::moisture_of(end, weight::oven_dry(now, percent(15.0))).percent(),
        7.0,
        1e-9,
    );
}

/// Worked out outside this program: 1.25, 1.64 and 1.97 thicknesses when the far wood is 36, 50 and 76 % done (derived
/// there from a two-dimensional model).
#[test]
fn board_ends() {
    for (done, thicknesses) in [(0.357, 1.25), (0.50, 1.64), (0.764, 1.97)] {
        let beyond = ends::one_dimensional_beyond(mm(25.0), done).mm() / 25.0;
        close(beyond, thicknesses, 0.015);
        // The same given by the time, a = 12.5 mm, D = 3e-11 m2/s: done at Fo 0.1, 0.1967, 0.5.
        let fourier = [0.1, 0.1967, 0.5][usize::from(done > 0.4) + usize::from(done > 0.6)];
        let time = Duration::computed_seconds(fourier * 0.0125 * 0.0125 / 3e-11);
        close(
            ends::reach(3e-11, time, done).mm() / 25.0,
            thicknesses,
            0.015,
        );
    }
    let far = ends::one_dimensional_always_beyond(mm(1.0)).mm();
    let mut most = 0.0_f64;
    for i in 1..1000 {
        most = most.max(ends::one_dimensional_beyond(mm(1.0), f64::from(i) / 1000.0).mm());
    }
    println!("a bare end reaches {most:.3} thicknesses at most");
    assert!(most <= far && most > far - 0.1, "{most} {far}");
    for done in [0.0, 0.97, 1.0, f64::NAN] {
        close(ends::one_dimensional_beyond(mm(25.0), done).mm(), 0.0, 0.0);
    }
}
