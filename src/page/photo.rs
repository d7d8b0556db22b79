//! The one reader of photos: JPEG and PNG to numbers, within limits that are checked before anything is unpacked.

use crate::job::MOST_PHOTO_BYTES;
use crate::rings::{MAX_PIXELS, MAX_SIDE_PX, Photo, RingsOfPhoto, RingsPhotoPlan};
use crate::units::{Refusal, refusals};
use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, RgbImage};
use std::io::Cursor;

/// Most memory that unpacking a photo may take, bytes.
const MAX_ALLOC: u64 = 512_000_000;
/// Pixels of the longer side of the small picture that goes into a figure.
const SMALL_PX: u32 = 1200;
/// Quality of that picture.
const SMALL_QUALITY: u8 = 80;

const COPY_AGAIN: &str = "copy it from the camera or phone again";

refusals! {
    /// More bytes than a photo may have.
    too_many_bytes(megabytes: usize, most: usize) =
        "the photo's file is {megabytes} MB, and at most {most} MB are read",
        "save it smaller or at a lower quality";
    /// Neither JPEG nor PNG.
    no_photo() = "this is no photo that can be read", "give a JPEG or PNG file";
    /// Another format.
    other_format(kind: &str) =
        "this is a {kind} file, and JPEG and PNG can be read", "save or export the photo as JPEG";
    /// The file ends before the picture does.
    cut_off() = "the photo's file ends before the picture does", "{COPY_AGAIN}";
    /// Damaged, in the words of the decoder.
    damaged(reason: &str) = "the photo's file is damaged ({reason})", "{COPY_AGAIN}";
}

/// More pixels than can be worked with.
fn too_many_pixels(width: u32, height: u32) -> Refusal {
    Refusal::new(
        format!(
            "the photo is {width} by {height} pixels, and at most {MAX_SIDE_PX} a side and {} million in all can be read",
            MAX_PIXELS / 1_000_000
        ),
        "save it smaller",
    )
}

/// Reads a photo the right way up, as its own note on orientation says; all its other notes are dropped.
///
/// # Errors
/// [`Refusal`] when it is too large in bytes or pixels, of another format, cut off or damaged.
pub fn read_photo(bytes: &[u8]) -> Result<Photo, Refusal> {
    if bytes.len() > MOST_PHOTO_BYTES {
        return Err(too_many_bytes(
            bytes.len() / 1_000_000,
            MOST_PHOTO_BYTES / 1_000_000,
        ));
    }
    let format = match image::guess_format(bytes) {
        Ok(format @ (ImageFormat::Jpeg | ImageFormat::Png)) => format,
        _ => return Err(other_kind(bytes).map_or_else(no_photo, other_format)),
    };
    if format == ImageFormat::Jpeg && !jpeg_ends(bytes) {
        return Err(cut_off());
    }
    let unreadable = |error: image::ImageError| {
        let ends_early = matches!(&error, image::ImageError::IoError(error)
            if error.kind() == std::io::ErrorKind::UnexpectedEof);
        if ends_early {
            return cut_off();
        }
        // The decoder's words, on one line and not at any length.
        let words: String = error.to_string().chars().take(120).collect();
        damaged(&words.replace(['\n', '\r'], " "))
    };
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    // The decoder's own limits are set again below, once the size is known.
    reader.no_limits();
    let mut decoder = reader.into_decoder().map_err(unreadable)?;
    let (width, height) = decoder.dimensions();
    let side = MAX_SIDE_PX as u32;
    if width == 0
        || height == 0
        || width > side
        || height > side
        || width as usize * height as usize > MAX_PIXELS
    {
        return Err(too_many_pixels(width, height));
    }
    let mut limits = Limits::no_limits();
    limits.max_image_width = Some(side);
    limits.max_image_height = Some(side);
    limits.max_alloc = Some(MAX_ALLOC);
    decoder.set_limits(limits).map_err(unreadable)?;
    // A photo without a readable note is taken as it is.
    let orientation = decoder.orientation().ok();
    let mut picture = DynamicImage::from_decoder(decoder).map_err(unreadable)?;
    if let Some(orientation) = orientation {
        picture.apply_orientation(orientation);
    }
    let rgb = picture.into_rgb8();
    let (width, height) = rgb.dimensions();
    Photo::new(width as usize, height as usize, rgb.into_raw())
        .map_err(|_| too_many_pixels(width, height))
}

/// The rings that a job keeps in the photo of these bytes.
///
/// # Errors
/// [`Refusal`] of the photo or of its rings.
pub fn rings_in_photo(plan: &RingsPhotoPlan, bytes: &[u8]) -> Result<RingsOfPhoto, Refusal> {
    plan.measured(&read_photo(bytes)?)
}

/// Whether bytes begin as a picture does, one that can be read or another.
pub(super) fn is_photo(bytes: &[u8]) -> bool {
    matches!(
        image::guess_format(bytes),
        Ok(ImageFormat::Jpeg | ImageFormat::Png)
    ) || other_kind(bytes).is_some()
}

/// What a file of pictures is that cannot be read, by its first bytes.
fn other_kind(bytes: &[u8]) -> Option<&'static str> {
    let at = |from: usize, word: &[u8]| bytes.get(from..from + word.len()) == Some(word);
    if at(4, b"ftyp") {
        return Some("HEIC, AVIF or video");
    }
    match image::guess_format(bytes).ok()? {
        ImageFormat::WebP => Some("WebP"),
        ImageFormat::Tiff => Some("TIFF"),
        ImageFormat::Gif => Some("GIF"),
        ImageFormat::Bmp => Some("BMP"),
        _ => None,
    }
}

/// Whether the picture of a JPEG file comes to its end mark: the decoder itself fills up what is missing with gray.
fn jpeg_ends(bytes: &[u8]) -> bool {
    // Over the segments before the picture, whose own contents may hold end marks of small previews.
    let mut at = 2;
    loop {
        let Some(&[mark, kind, high, low]) = bytes.get(at..at + 4).and_then(|s| s.first_chunk())
        else {
            return false;
        };
        if mark != 0xff {
            // Not in step: the decoder will say what is wrong.
            return true;
        }
        match kind {
            0xff => at += 1,
            0xda => break,
            0x01 | 0xd0..=0xd8 => at += 2,
            _ => at += 2 + usize::from(u16::from_be_bytes([high, low])),
        }
    }
    bytes[at..].windows(2).any(|pair| pair == [0xff, 0xd9])
}

/// A photo at screen size as an address that holds the picture itself (`data:image/jpeg;base64,...`), for figures that
/// must not depend on another file.
#[must_use]
pub fn small_picture(photo: &Photo) -> Option<String> {
    let (width, height) = (photo.width() as u32, photo.height() as u32);
    let whole = RgbImage::from_raw(width, height, photo.rgb().to_vec())?;
    let longer = width.max(height);
    let small = if longer > SMALL_PX {
        let scaled =
            |side: u32| (u64::from(side) * u64::from(SMALL_PX) / u64::from(longer)).max(1) as u32;
        image::imageops::resize(&whole, scaled(width), scaled(height), FilterType::Triangle)
    } else {
        whole
    };
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, SMALL_QUALITY)
        .encode_image(&small)
        .ok()?;
    Some(format!("data:image/jpeg;base64,{}", base64(&jpeg)))
}

/// The letters of RFC 4648, section 4.
pub(super) fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let word = three
            .iter()
            .chain([&0; 2])
            .take(3)
            .fold(0_usize, |word, byte| word << 8 | usize::from(*byte));
        for k in 0..4 {
            text.push(if k <= three.len() {
                char::from(LETTERS[word >> (18 - 6 * k) & 63])
            } else {
                '='
            });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::base64;

    /// RFC 4648, section 10.
    #[test]
    fn the_test_vectors_of_base64() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }
}
