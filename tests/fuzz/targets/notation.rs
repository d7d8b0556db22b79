//! Shop notation: every reader takes any text, gives a finite value inside its range or words with a remedy, and
//! what the printers write is read again as the same size.
#![no_main]

use heartside::units::notation::{self, NotationError};
use heartside::units::{Bounds, Length, UnitSystem};
use libfuzzer_sys::fuzz_target;

fn held<T>(read: Result<T, NotationError>, value: impl Fn(&T) -> f64, bounds: &[Bounds]) {
    match read {
        Ok(read) => {
            let value = value(&read);
            assert!(value.is_finite());
            for bounds in bounds {
                // A value given in one unit and kept in another is rounded once.
                let slack = 1e-12 * bounds.max.abs().max(bounds.min.abs());
                assert!(
                    value >= bounds.min - slack && value <= bounds.max + slack,
                    "{value} is outside {bounds:?}"
                );
            }
        }
        Err(error) => {
            assert!(!error.message().is_empty() && !error.remedy().is_empty());
            assert!(error.to_string().len() < 4_000);
        }
    }
}

fn printed(length: Length) {
    let mm = length.mm();
    let metric = notation::length(&notation::millimetres(length));
    let coarse = if mm.abs() < 10.0 {
        0.005
    } else if mm.abs() < 1000.0 {
        0.05
    } else {
        0.5
    };
    let again = metric.unwrap_or_else(|error| panic!("{}: {error}", notation::millimetres(length)));
    assert!((again.mm() - mm).abs() <= coarse + 1e-9, "{mm}: {again:?}");
    for text in [notation::inches(length)] {
        // The maximum length itself may be rounded past the end of the range.
        if mm.abs() < 99_999.0 {
            let again = notation::length(&text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert!(
                (again.mm() - mm).abs() <= 25.4 / 128.0 + 1e-9,
                "{text}: {again:?} for {mm}"
            );
        }
    }
    assert!(!notation::shown(length, UnitSystem::Inch).is_empty());
}

fuzz_target!(|text: &str| {
    let length = notation::length(text);
    if let Ok(length) = &length {
        printed(*length);
    }
    held(length, |value| value.mm(), &[Bounds::LENGTH]);
    held(notation::rough_thickness(text), |value| value.mm(), &[]);
    held(
        notation::moisture(text),
        |value| value.percent(),
        &[Bounds::MOISTURE],
    );
    held(
        notation::humidity(text),
        |value| value.percent(),
        &[Bounds::HUMIDITY],
    );
    held(
        notation::temperature(text),
        |value| value.celsius(),
        &[Bounds::TEMPERATURE],
    );
    held(notation::percent(text), |value| *value, &[]);
    held(
        notation::angle(text),
        |value| value.degrees(),
        &[Bounds::ANGLE],
    );
    held(
        notation::stress(text),
        |value| value.mpa(),
        &[Bounds::STRESS],
    );
    held(
        notation::force(text),
        |value| value.newtons(),
        &[Bounds::FORCE],
    );
    held(
        notation::line_load(text),
        |value| value.newtons_per_mm(),
        &[Bounds::LINE_LOAD],
    );
    held(notation::mass(text), |value| value.grams(), &[Bounds::MASS]);
    held(
        notation::duration(text),
        |value| value.seconds(),
        &[Bounds::DURATION],
    );
    held(
        notation::diffusivity(text),
        |value| *value,
        &[Bounds::DIFFUSIVITY],
    );
    held(
        notation::strain_microstrain(text),
        |value| value.ratio(),
        &[Bounds::STRAIN],
    );
    held(notation::number(text), |value| *value, &[]);
    held(notation::whole(text), |value| *value as f64, &[]);
    if let Ok(lengths) = notation::lengths(text) {
        assert!(!lengths.is_empty() && lengths.iter().all(|length| length.mm().is_finite()));
    }
    if let Ok(angles) = notation::ring_angles(text) {
        assert!(!angles.is_empty() && angles.iter().all(|(_, angle)| angle.degrees().is_finite()));
    }
    let _near = notation::nearest(text, ["width", "thickness", "length"]);
});
