//! Writes the page as one file: `make MODULE.wasm.gz heartside.html`. The script `build` beside this file calls it.

use heartside::page::one_file;
use std::error::Error;
use std::{env, fs};

fn main() -> Result<(), Box<dyn Error>> {
    let mut names = env::args().skip(1);
    let (Some(module), Some(page)) = (names.next(), names.next()) else {
        return Err("give the packed module and the file to write".into());
    };
    fs::write(page, one_file(&fs::read(module)?)?)?;
    Ok(())
}
