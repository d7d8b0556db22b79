//! A piece lying in constant air: the kernel and the command.

use super::{SEALED, close, ideal, keeping, uniform, walnut};
use heartside::moisture::{Finish, rest};
use heartside::units::Duration;

fn days(days: f64) -> Duration {
    Duration::computed_days(days)
}

/// Crank, *The Mathematics of Diffusion*, series solution: half done at Fo 0.1967, 90 % at Fo 0.848.
#[test]
fn ninety_percent_are_done_at_the_time_of_cranks_series() {
    let slab = ideal(20.0, 3e-11);
    let unit = 0.01 * 0.01 / 3e-11;
    let found = rest(
        &slab,
        &uniform(12.0),
        &keeping(7.0),
        Duration::computed_seconds(0.1967 * unit),
    );
    close(found.fraction_done, 0.49996, 0.002);
    close(found.mean.percent(), 12.0 - 5.0 * 0.49996, 0.01);
    let ninety = found.to_ninety_percent.unwrap().seconds();
    close(ninety / unit, 0.848, 0.005);
    close(found.slope_percent_per_mm, 0.0, 1e-12);
    // Asked after the ninety per cent, the same moment is given.
    let later = rest(
        &slab,
        &uniform(12.0),
        &keeping(7.0),
        Duration::computed_seconds(3.0 * unit),
    );
    close(
        later.to_ninety_percent.unwrap().seconds() / ninety,
        1.0,
        1e-3,
    );
    // Gaining moisture takes as long as losing it where the diffusivity is constant.
    let gaining = rest(&slab, &uniform(7.0), &keeping(12.0), days(1.0));
    close(
        gaining.to_ninety_percent.unwrap().seconds() / ninety,
        1.0,
        1e-6,
    );
}

/// One sealed face makes a board of four times the time.
#[test]
fn one_sealed_face_takes_four_times_as_long() {
    let slab = ideal(20.0, 3e-11);
    let both = rest(&slab, &uniform(12.0), &keeping(7.0), days(10.0));
    let one = rest(
        &slab.with_faces(SEALED, slab.faces[1]),
        &uniform(12.0),
        &keeping(7.0),
        days(10.0),
    );
    let ratio = one.to_ninety_percent.unwrap() / both.to_ninety_percent.unwrap();
    close(ratio, 4.0, 0.02);
    assert!(one.slope_percent_per_mm < 0.0 && one.fraction_done < both.fraction_done);
}

#[test]
fn rests_without_an_end_or_without_a_change() {
    let sealed = walnut(20.0).with_faces(SEALED, SEALED);
    let still = rest(&sealed, &uniform(12.0), &keeping(7.0), days(10.0));
    close(still.mean.percent(), 12.0, 1e-12);
    assert_eq!(
        (still.fraction_done.abs() < 1e-12, still.to_ninety_percent),
        (true, None)
    );
    let done = rest(&walnut(20.0), &uniform(7.0), &keeping(7.0), days(10.0));
    assert_eq!(
        (done.fraction_done, done.to_ninety_percent),
        (1.0, Some(Duration::ZERO))
    );
    let no_time = rest(&walnut(20.0), &uniform(12.0), &keeping(7.0), days(0.0));
    close(no_time.fraction_done, 0.0, 1e-12);
    let slow = walnut(20.0).finished(Finish::of_permeance(1e-11));
    let slow = rest(&slow, &uniform(12.0), &keeping(7.0), days(10.0));
    assert!(slow.to_ninety_percent.unwrap().days() > 365.0);
}
