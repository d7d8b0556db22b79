//! The flags that say which table of woods is used and how names are meant, shared by every command that takes a wood.

use super::Failure;
use super::files::read_text;
use super::ring_flags::read_optional;
use crate::species::{Named, SpeciesTable};

/// The table of woods and the region of its names.
#[derive(Debug, Default, clap::Args)]
pub(super) struct WoodFlags {
    /// Your own table of woods (CSV), which goes before the built-in one; `-` is standard input.
    #[arg(long, value_name = "FILE")]
    pub species_table: Option<String>,
    /// Where the wood was bought, US, UK, EU or AU: decides what a yard's name such as `sycamore` means; US unless given.
    #[arg(long, value_name = "REGION")]
    pub region: Option<String>,
}

impl WoodFlags {
    /// The table of woods, with a maker's own in front when a file is named, its names as the region means them.
    ///
    /// # Errors
    /// [`Failure`] when the file cannot be read or holds a fault, or the region is none.
    pub(super) fn table(&self) -> Result<SpeciesTable, Failure> {
        let region = read_optional("region", self.region.as_ref())?;
        let table = match self.species_table.as_deref() {
            None => SpeciesTable::built_in().clone(),
            Some(path) => {
                let origin = if path == "-" { "standard input" } else { path };
                SpeciesTable::with_user_csv(&read_text(path)?, origin)
                    .map_err(|error| Failure::input(format!("error: {error}")))?
            }
        };
        Ok(table.in_region(region))
    }
}

/// The wood that a flag names.
///
/// # Errors
/// [`Failure`] that names the flag and the nearest woods.
pub(super) fn named<'a>(
    table: &'a SpeciesTable,
    flag: &str,
    name: &str,
) -> Result<Named<'a>, Failure> {
    table
        .look_up(name)
        .map_err(|error| Failure::input(format!("error: --{flag} {error}")))
}
