//! Makes the page as one file; the script `build` beside this file calls it.
//!
//! - `make_page lean MODULE.wasm LEAN.wasm` leaves out of a module what no worker calls or reads.
//! - `make_page page LEAN.wasm.gz heartside.html` writes the page, and beside it the script that keeps it on a device.

use heartside::page::{OFFLINE_SCRIPT, one_file};
use std::error::Error;
use std::path::Path;
use std::{env, fs};

/// What a worker calls.
const EXPORTS: [&[u8]; 4] = [b"memory", b"room", b"ask", b"length"];
const CUSTOM_SECTION: u8 = 0;
const EXPORT_SECTION: u8 = 7;
/// Magic number and version.
const HEADER: usize = 8;

fn main() -> Result<(), Box<dyn Error>> {
    let given: Vec<String> = env::args().skip(1).collect();
    let given: Vec<&str> = given.iter().map(String::as_str).collect();
    match given[..] {
        ["lean", module, lean_module] => {
            let lean_bytes = lean(&fs::read(module)?).ok_or("this is no wasm module")?;
            fs::write(lean_module, lean_bytes)?;
        }
        ["page", packed, page] => {
            fs::write(page, one_file(&fs::read(packed)?)?)?;
            fs::write(
                Path::new(page).with_file_name(OFFLINE_SCRIPT.0),
                OFFLINE_SCRIPT.1,
            )?;
        }
        _ => return Err("make_page lean MODULE LEAN, or make_page page PACKED PAGE".into()),
    }
    Ok(())
}

/// A module (WebAssembly core specification, binary format) without its custom sections and with no exports but those that are
/// called: libraries of figures and calendars bring thousands that describe themselves. `None` when it is none.
fn lean(module: &[u8]) -> Option<Vec<u8>> {
    let (header, mut rest) = module.split_at_checked(HEADER)?;
    let mut out = header.to_vec();
    while let Some((&id, after)) = rest.split_first() {
        let (size, after) = number(after)?;
        let (section, after) = after.split_at_checked(size)?;
        rest = after;
        let kept = match id {
            CUSTOM_SECTION => continue,
            EXPORT_SECTION => exports(section)?,
            _ => section.to_vec(),
        };
        out.push(id);
        put(kept.len(), &mut out);
        out.extend(kept);
    }
    Some(out)
}

/// The section of exports with those that are called.
fn exports(section: &[u8]) -> Option<Vec<u8>> {
    let (count, mut rest) = number(section)?;
    let mut kept = Vec::new();
    let mut entries = Vec::new();
    for _ in 0..count {
        let (length, after) = number(rest)?;
        let (name, after) = after.split_at_checked(length)?;
        let (_, after_index) = number(after.get(1..)?)?;
        let entry = &rest[..rest.len() - after_index.len()];
        if EXPORTS.contains(&name) {
            kept.push(name);
            entries.extend_from_slice(entry);
        }
        rest = after_index;
    }
    let mut out = Vec::new();
    put(kept.len(), &mut out);
    out.extend(entries);
    (kept.len() == EXPORTS.len()).then_some(out)
}

/// An unsigned number in LEB128, and what follows it.
fn number(bytes: &[u8]) -> Option<(usize, &[u8])> {
    let mut value = 0_usize;
    for (place, byte) in bytes.iter().enumerate().take(5) {
        value |= usize::from(byte & 0x7f) << (7 * place);
        if byte & 0x80 == 0 {
            return Some((value, &bytes[place + 1..]));
        }
    }
    None
}

fn put(mut value: usize, out: &mut Vec<u8>) {
    while value >= 0x80 {
        out.push((value & 0x7f) as u8 | 0x80);
        value >>= 7;
    }
    out.push(value as u8);
}
