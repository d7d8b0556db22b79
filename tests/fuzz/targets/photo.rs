//! Any bytes as a photo: read or refused, and when read, searched for a board's end and its rings.
#![no_main]

use heartside::page::read_photo;
use heartside::rings::{EndSize, find_corners, read_rings};
use heartside::units::Length;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Ok(photo) = read_photo(bytes) else { return };
    let Some(corners) = find_corners(&photo) else { return };
    let Ok(width) = Length::from_mm(180.0) else { return };
    if let Ok(size) = EndSize::seen(width, &corners) {
        let _read_or_refused = read_rings(&photo, &corners, &size);
    }
});
