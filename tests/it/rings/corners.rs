//! Corners and sizes that are no board's end.

use heartside::rings::{Corners, EndSize, Photo, find_corners, read_rings};
use heartside::units::Length;
use heartside::units::spanned::ReadNotation as _;

fn size(width: f64, thickness: f64) -> Result<EndSize, String> {
    let length = |mm| Length::from_mm(mm).unwrap();
    EndSize::new(length(width), length(thickness)).map_err(|error| error.to_string())
}

#[test]
fn corners_are_read_in_their_order_and_refused_with_the_reason() {
    let corners = Corners::read("10,20, 510.5,22, 508,140, 12,138").unwrap();
    assert_eq!(corners.points()[1], [510.5, 22.0]);
    assert_eq!(Corners::read(&corners.to_string()).unwrap(), corners);
    for (text, word) in [
        ("", "no plain number"),
        ("1,2,3", "fewer than eight"),
        ("10,20,510,22,508,140,12,138,9", "more than eight"),
        ("10,20,510,22,508,140,12,x", "no plain number"),
        ("10,20,510,22,508,140,12,nan", "no number"),
        ("10,20,510,22,508,140,12,1e999", "no number"),
        // The other way round, crossed, three on a line, too small.
        ("10,20,12,138,508,140,510,22", "counterclockwise"),
        ("10,20,510,22,12,138,508,140", "no board's end"),
        ("10,20,510,20,508,20,12,138", "no board's end"),
        ("10,20,110,22,108,60,12,58", "96 pixels wide"),
    ] {
        let error = Corners::read(text).unwrap_err().to_string();
        assert!(error.contains(word), "`{text}`: {error}");
    }
}

#[test]
fn sizes_outside_the_range_are_refused() {
    assert!(size(184.0, 50.0).is_ok());
    for (width, thickness, word) in [
        (19.0, 10.0, "width"),
        (1001.0, 60.0, "width"),
        (100.0, 7.9, "thickness"),
        (900.0, 201.0, "thickness"),
        (900.0, 40.0, "1 to 20 times"),
        (40.0, 50.0, "1 to 20 times"),
    ] {
        let error = size(width, thickness).unwrap_err();
        assert!(error.contains(word) && error.contains("; "), "{error}");
    }
}

#[test]
fn a_blank_photo_is_refused_and_has_no_corners() {
    let photo = Photo::new(600, 300, vec![128; 600 * 300 * 3]).unwrap();
    let corners = Corners::read("50,50,550,50,550,200,50,200").unwrap();
    let error = read_rings(&photo, &corners, &size(180.0, 54.0).unwrap()).unwrap_err();
    assert!(error.to_string().contains("one tone"), "{error}");
    assert_eq!(find_corners(&photo), None);
    let outside = Corners::read("50,50,650,50,650,200,50,200").unwrap();
    let error = read_rings(&photo, &outside, &size(180.0, 54.0).unwrap()).unwrap_err();
    assert!(error.to_string().contains("outside the photo"), "{error}");
    assert!(Photo::new(600, 300, vec![0; 5]).is_err());
    assert!(Photo::new(0, 0, Vec::new()).is_err());
}

#[test]
fn very_small_photos_have_no_corners() {
    for (width, height) in [(1, 1), (3, 2), (40, 1), (320, 2)] {
        let pixels = (0..width * height * 3)
            .map(|k| (k * 37 % 251) as u8)
            .collect();
        assert_eq!(
            find_corners(&Photo::new(width, height, pixels).unwrap()),
            None
        );
    }
}
