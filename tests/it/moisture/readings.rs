//! Meter readings, weights and board ends.

use super::{close, percent};
use heartside::moisture::{Profile, ends, meter::Reading, weight};
use heartside::units::{Duration, Mass};

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

/// By hand: 1840 g at 15 % hold 1600 g of wood; at 7 % it weighs 1712 g.
#[test]
fn weights_wet_and_dry() {
    let now = Mass::from_grams(1840.0).unwrap();
    close(weight::oven_dry(now, percent(15.0)).grams(), 1600.0, 1e-9);
    let end = weight::at_moisture(weight::oven_dry(now, percent(15.0)), percent(7.0));
    close(end.grams(), 1712.0, 1e-9);
}

/// Worked out outside this program: 1.25, 1.64 and 1.97 thicknesses when the far wood is 36, 50 and 76 % done (derived
/// there from a two-dimensional model).
#[test]
fn board_ends() {
    for (done, thicknesses) in [(0.357, 1.25), (0.50, 1.64), (0.764, 1.97)] {
        // By the time, a = 12.5 mm, D = 3e-11 m2/s: done at Fo 0.1, 0.1967, 0.5.
        let fourier = [0.1, 0.1967, 0.5][usize::from(done > 0.4) + usize::from(done > 0.6)];
        let time = Duration::computed_seconds(fourier * 0.0125 * 0.0125 / 3e-11);
        close(
            ends::reach(3e-11, time, done).mm() / 25.0,
            thicknesses,
            0.015,
        );
    }
}
