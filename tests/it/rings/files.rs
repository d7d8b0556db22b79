//! Files of photos: what is read, and what is refused before it costs time or memory.

use super::known::{KNOWN, folder};
use heartside::job::MOST_PHOTO_BYTES;
use heartside::page::{read_photo, small_picture};
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder as _, RgbImage};

fn jpeg() -> Vec<u8> {
    std::fs::read(folder().join("t_syn_01.jpg")).unwrap()
}

fn two_tone(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, _| {
        image::Rgb(if x < width / 4 {
            [250, 10, 10]
        } else {
            [10, 10, 250]
        })
    })
}

fn png(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    PngEncoder::new(&mut bytes)
        .write_image(
            picture,
            picture.width(),
            picture.height(),
            ExtendedColorType::Rgb8,
        )
        .unwrap();
    bytes
}

#[test]
fn a_png_is_read_to_its_last_bit() {
    let picture = two_tone(40, 20);
    let photo = read_photo(&png(&picture)).unwrap();
    assert_eq!((photo.width(), photo.height()), (40, 20));
    assert_eq!(photo.rgb(), picture.as_raw());
}

/// The note on orientation of TIFF 6.0 (tag 274, kept by Exif): 6 is a quarter turn clockwise, 3 half a turn.
#[test]
fn a_photo_is_turned_as_its_note_says() {
    let mut plain = Vec::new();
    JpegEncoder::new_with_quality(&mut plain, 95)
        .encode_image(&two_tone(80, 40))
        .unwrap();
    let with_note = |orientation: u8| {
        let mut note = b"Exif\0\0II\x2a\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
        note.extend([orientation, 0, 0, 0, 0, 0, 0, 0]);
        let mut bytes = vec![0xff, 0xd8, 0xff, 0xe1, 0, note.len() as u8 + 2];
        bytes.extend(&note);
        bytes.extend(&plain[2..]);
        bytes
    };
    let red = |bytes: &[u8], x: usize, y: usize| {
        let photo = read_photo(bytes).unwrap();
        let at = 3 * (y * photo.width() + x);
        photo.rgb()[at] > 128
    };
    let size = |bytes: &[u8]| {
        let photo = read_photo(bytes).unwrap();
        (photo.width(), photo.height())
    };
    assert_eq!(size(&with_note(1)), (80, 40));
    assert!(red(&with_note(1), 5, 20) && !red(&with_note(1), 75, 20));
    assert!(!red(&with_note(3), 5, 20) && red(&with_note(3), 75, 20));
    // The left edge comes up.
    assert_eq!(size(&with_note(6)), (40, 80));
    assert!(red(&with_note(6), 20, 5) && !red(&with_note(6), 20, 75));
    assert!(!red(&with_note(8), 20, 5) && red(&with_note(8), 20, 75));
}

#[test]
fn a_file_that_is_cut_off_is_refused_wherever_it_was_cut() {
    for whole in [jpeg(), png(&two_tone(300, 200))] {
        for cut in (0..whole.len() - 2).step_by(whole.len() / 97 + 1) {
            let fault = read_photo(&whole[..cut]).unwrap_err();
            let words = fault.to_string();
            assert!(words.contains("; "), "{words}");
        }
        let fault = read_photo(&whole[..whole.len() / 2]).unwrap_err();
        assert!(fault.message().contains("ends before"), "{fault}");
    }
}

#[test]
fn a_size_beyond_the_limits_is_refused_by_the_first_lines_of_the_file() {
    // A PNG's size is in its first chunk, whose sum must be right for the size to be believed.
    let mut png = png(&two_tone(8, 8));
    let mut sized = |width: u32, height: u32| {
        png[16..20].copy_from_slice(&width.to_be_bytes());
        png[20..24].copy_from_slice(&height.to_be_bytes());
        let sum = crc(&png[12..29]);
        png[29..33].copy_from_slice(&sum.to_be_bytes());
        read_photo(&png).unwrap_err()
    };
    for (width, height) in [
        (100_000, 100_000),
        (12_001, 100),
        (10_000, 10_000),
        (u32::MAX / 2, 3),
    ] {
        let size = format!("is {width} by {height} pixels");
        assert!(sized(width, height).message().contains(&size), "{size}");
    }
    // The same size claimed within the limits is found out while it is unpacked.
    let words = sized(6000, 6000).message();
    assert!(
        words.contains("ends before") || words.contains("damaged"),
        "{words}"
    );
    // A JPEG's is in its frame header.
    let mut jpeg = jpeg();
    let frame = jpeg
        .windows(2)
        .position(|pair| pair == [0xff, 0xc0])
        .unwrap();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
    let words = read_photo(&jpeg).unwrap_err().message();
    assert!(words.contains("is 65535 by 65535 pixels"), "{words}");
}

/// The cyclic redundancy check of PNG (ISO 15948, annex D).
fn crc(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 {
                sum >> 1 ^ 0xedb8_8320
            } else {
                sum >> 1
            };
        }
    }
    !sum
}

#[test]
fn what_is_no_photo_is_refused_with_what_to_do() {
    let heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic".to_vec();
    for (bytes, word) in [
        (Vec::new(), "JPEG or PNG"),
        (b"species,width\nwalnut,7\n".to_vec(), "JPEG or PNG"),
        (heic, "HEIC"),
        (b"GIF89a\x01\0\x01\0\0\0\0".to_vec(), "GIF"),
        (b"RIFF\0\0\0\0WEBPVP8 ".to_vec(), "WebP"),
        (vec![0; MOST_PHOTO_BYTES + 1], "40 MB"),
    ] {
        let words = read_photo(&bytes).unwrap_err().to_string();
        assert!(words.contains(word) && words.contains("; "), "{words}");
    }
}

#[test]
fn damaged_bytes_are_read_or_refused_and_never_stop_the_program() {
    let whole = jpeg();
    for at in (20..whole.len()).step_by(whole.len() / 60) {
        let mut bytes = whole.clone();
        bytes[at] ^= 0x55;
        bytes[at + 1] = 0xff;
        if let Err(fault) = read_photo(&bytes) {
            assert!(!fault.to_string().contains('\n'));
        }
    }
}

#[test]
fn the_small_picture_is_a_jpeg_of_at_most_1200_pixels() {
    let address = small_picture(&KNOWN[0].photo).unwrap();
    assert!(address.starts_with("data:image/jpeg;base64,/9j/"));
    assert!(address.len() < 500_000, "{}", address.len());
}
