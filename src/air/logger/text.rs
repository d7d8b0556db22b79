//! Bytes of a file made into text.

use super::error;
use crate::units::Refusal;

/// The text of a file and the encoding it was in. A byte-order mark decides; without one, zero
/// bytes in every other place mean UTF-16; what is no UTF-8 is read as windows-1252.
pub(in crate::air) fn decode(bytes: &[u8]) -> Result<(String, &'static str), Refusal> {
    if bytes.is_empty() {
        return Err(error::empty());
    }
    for (mark, seems) in [
        (&b"PK\x03\x04"[..], "a spreadsheet or zip file"),
        (b"\xD0\xCF\x11\xE0", "an old spreadsheet file"),
        (b"%PDF", "a PDF"),
        (b"\x1F\x8B", "a gzip file"),
    ] {
        if bytes.starts_with(mark) {
            return Err(error::not_text(seems));
        }
    }
    let encoding = encoding_rs::Encoding::for_bom(bytes)
        .map(|(encoding, _)| encoding)
        .or_else(|| utf16_without_mark(bytes))
        .unwrap_or_else(|| {
            if std::str::from_utf8(bytes).is_ok() {
                encoding_rs::UTF_8
            } else {
                encoding_rs::WINDOWS_1252
            }
        });
    let text = encoding.decode(bytes).0.into_owned();
    let strange = text
        .chars()
        .take(4000)
        .filter(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t' | '\u{c}' | '\u{1a}'))
        .count();
    if strange > 4 {
        return Err(error::not_text("a logger's own binary file"));
    }
    if text.trim().is_empty() {
        return Err(error::empty());
    }
    Ok((text, encoding.name()))
}

fn utf16_without_mark(bytes: &[u8]) -> Option<&'static encoding_rs::Encoding> {
    let sample = &bytes[..bytes.len().min(1000) & !1];
    let zeros = |odd: usize| {
        sample
            .iter()
            .skip(odd)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    let enough = (sample.len() / 2).max(4) * 7 / 10;
    if zeros(1) >= enough && zeros(0) * 10 < enough {
        Some(encoding_rs::UTF_16LE)
    } else if zeros(0) >= enough && zeros(1) * 10 < enough {
        Some(encoding_rs::UTF_16BE)
    } else {
        None
    }
}
