//! Rings from a photo of 12 megapixels: unpacking it, finding the corners, reading the rings.

use divan::{Bencher, black_box};
use heartside::page::read_photo;
use heartside::rings::{Corners, EndSize, Photo, find_corners, read_rings};
use heartside::units::Length;
use image::codecs::jpeg::JpegEncoder;

const SIZE: (u32, u32) = (4000, 3000);

/// A board's end before a blue wall: rings about a pith below it.
fn picture() -> image::RgbImage {
    image::RgbImage::from_fn(SIZE.0, SIZE.1, |x, y| {
        let on_end = (200..3800).contains(&x) && (1000..1900).contains(&y);
        let ring = (f64::from(x) - 1700.0).hypot(f64::from(y) - 3600.0) / 45.0;
        let light = 150.0 + 50.0 * (ring.fract() - 0.5);
        image::Rgb(if on_end {
            [light as u8, (0.8 * light) as u8, (0.5 * light) as u8]
        } else {
            [30, 60, 140]
        })
    })
}

fn photo() -> Photo {
    let (width, height) = SIZE;
    Photo::new(width as usize, height as usize, picture().into_raw())
        .expect("a photo of 12 megapixels")
}

#[divan::bench(sample_count = 10)]
fn unpack_12_megapixels(bencher: Bencher) {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 90)
        .encode_image(&picture())
        .expect("a picture that can be packed");
    bencher.bench(|| read_photo(black_box(&bytes)));
}

/// What a maker waits for: all three, from the file's bytes to the rings.
#[divan::bench(sample_count = 10)]
fn bytes_to_rings_of_12_megapixels(bencher: Bencher) {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 90)
        .encode_image(&picture())
        .expect("a picture that can be packed");
    let width = Length::from_mm(180.0).expect("a length");
    bencher.bench(|| {
        let photo = read_photo(black_box(&bytes)).ok()?;
        let corners = find_corners(&photo)?;
        let size = EndSize::seen(width, &corners).ok()?;
        read_rings(&photo, &corners, &size).ok()
    });
}

#[divan::bench(sample_count = 10)]
fn find_corners_in_12_megapixels(bencher: Bencher) {
    let photo = photo();
    bencher.bench(|| find_corners(black_box(&photo)));
}

#[divan::bench(sample_count = 10)]
fn read_rings_in_12_megapixels(bencher: Bencher) {
    let photo = photo();
    let corners = Corners::new([
        [200.0, 1000.0],
        [3799.0, 1000.0],
        [3799.0, 1899.0],
        [200.0, 1899.0],
    ])
    .expect("corners of an end");
    let mm = |value| Length::from_mm(value).expect("a length");
    let size = EndSize::new(mm(180.0), mm(45.0)).expect("the size of an end");
    bencher.bench(|| read_rings(black_box(&photo), &corners, &size));
}
