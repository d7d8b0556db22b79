//! The phrases of a place.

use super::measure;
use heartside::piece::{CentrePlace, FrontPlace, Grain, Lies, Orientation, Place, SpaceAxis};
use heartside::units::spanned::ReadNotation;

#[test]
fn every_phrase_of_the_trade_is_read() {
    let name = || "left side".to_owned();
    let cases = [
        ("15in", Place::From(measure("15in"))),
        ("-3/8in", Place::From(measure("-3/8in"))),
        ("8' 6 1/2\"", Place::From(measure("8' 6 1/2\""))),
        ("against left side", Place::Against(name())),
        ("Against  left side ", Place::Against(name())),
        (
            "3/8in into left side",
            Place::Into(measure("3/8in"), name()),
        ),
        (
            "10 mm into 'left side'",
            Place::Into(measure("10mm"), name()),
        ),
        (
            "1/16in off left side",
            Place::Off(measure("1/16in"), name()),
        ),
        ("flush with left side", Place::Flush(name())),
        (
            "1/4in short of left side",
            Place::Short(measure("1/4in"), name()),
        ),
        (
            "3/8in past left side",
            Place::Past(measure("3/8in"), name()),
        ),
        // A name may hold a word that separates; the first one after the measure counts.
        (
            "1in into way into case",
            Place::Into(measure("1in"), "way into case".into()),
        ),
        ("1' into left side", Place::Into(measure("1ft"), name())),
        ("against side's rail", Place::Against("side's rail".into())),
    ];
    for (text, place) in cases {
        assert_eq!(Place::read(text), Ok(place), "{text}");
    }
}

#[test]
fn every_middle_is_read() {
    let cases = [
        ("30in", CentrePlace::From(measure("30in"))),
        ("on top", CentrePlace::On("top".into())),
        (
            "between 'left leg' and 'right leg'",
            CentrePlace::Between("left leg".into(), "right leg".into()),
        ),
        (
            "between left leg and right leg",
            CentrePlace::Between("left leg".into(), "right leg".into()),
        ),
        (
            "between 'top and back' and rail",
            CentrePlace::Between("top and back".into(), "rail".into()),
        ),
    ];
    for (text, place) in cases {
        assert_eq!(CentrePlace::read(text), Ok(place), "{text}");
    }
    let twice = CentrePlace::read("between top and back and rail").unwrap_err();
    assert!(twice.to_string().contains("single quotes"), "{twice}");
    assert!(CentrePlace::read("between top").is_err());
}

#[test]
fn what_is_misspelt_is_refused_with_the_word_that_was_meant() {
    for (text, meant) in [
        ("agianst left side", "against"),
        ("3/8in inot left side", "into"),
        ("1/4in short left side", "short of"),
        ("flsh with top", "flush"),
    ] {
        let error = Place::read(text).unwrap_err().to_string();
        assert!(
            error.contains(&format!("did you mean \"{meant}")),
            "{error}"
        );
    }
    for text in [
        "",
        "into left side",
        "against",
        "3/8in into",
        "somewhere",
        "3/8 into side",
        "-1in into side",
    ] {
        assert!(Place::read(text).is_err(), "{text}");
    }
}

#[test]
fn a_front_is_flush_short_or_overlay() {
    assert_eq!(FrontPlace::read("flush"), Ok(FrontPlace::Flush));
    assert_eq!(
        FrontPlace::read("1/8in short"),
        Ok(FrontPlace::Short(measure("1/8in")))
    );
    assert_eq!(FrontPlace::read("overlay"), Ok(FrontPlace::Overlay));
    assert!(FrontPlace::read("under").is_err());
}

#[test]
fn an_orientation_fills_the_three_axes_and_refuses_two_alike() {
    for grain in [Grain::Across, Grain::Up, Grain::Back] {
        for lies in [Lies::Flat, Lies::Facing, Lies::Sideways] {
            let turned = Orientation::new(grain.axis(), lies.axis());
            assert_eq!(turned.is_none(), grain.axis() == lies.axis());
            let Some(turned) = turned else { continue };
            let mut axes = [turned.length(), turned.width(), turned.thickness()];
            axes.sort_unstable();
            assert_eq!(axes, SpaceAxis::ALL);
            let back = turned.in_space("length", "width", "thickness");
            assert_eq!(back[turned.length() as usize], "length");
            assert_eq!(back[turned.width() as usize], "width");
            assert_eq!(back[turned.thickness() as usize], "thickness");
        }
    }
    assert_eq!(Lies::read("upright"), Ok(Lies::Sideways));
}
