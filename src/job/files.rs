//! The files that a job names: how large each may be, and what is wrong with one that cannot be used.

use super::checked::{FileNeeded, FileUse, Job};
use super::climate::FilesError;
use crate::species::SpeciesTable;
use crate::units::spanned::Problem;
use crate::units::{Refusal, refusals};
use std::borrow::Cow;
use std::fmt;

/// Most bytes of a table of woods or of leaves: a few pages of text.
pub const MOST_TABLE_BYTES: usize = 1_000_000;
/// Most bytes of a logger's or a weather file: a century of readings by the minute has fewer.
pub const MOST_DATA_BYTES: usize = 256_000_000;

/// Most bytes of a photo of a board's end.
pub const MOST_PHOTO_BYTES: usize = 40_000_000;

refusals! {
    not_utf_8(name: &str) = "`{name}` is not UTF-8 text", "save it as plain text in UTF-8";
}

impl FileUse {
    /// Most bytes that a file of this use may have.
    #[must_use]
    pub const fn most_bytes(&self) -> usize {
        match self {
            Self::SpeciesTable | Self::Leaves(_) => MOST_TABLE_BYTES,
            Self::Rings(_) => MOST_PHOTO_BYTES,
            Self::Logger(_) | Self::Weather(_) => MOST_DATA_BYTES,
        }
    }
}

impl fmt::Display for FileUse {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SpeciesTable => f.write_str("your table of woods"),
            Self::Logger(place) => write!(f, "the logger's file of `{place}`"),
            Self::Weather(place) => write!(f, "the weather file of `{place}`"),
            Self::Leaves(panel) => write!(f, "the leaves of `{panel}`"),
            Self::Rings(part) => write!(f, "the photo of the end of `{part}`"),
        }
    }
}

impl FileNeeded {
    /// A problem at the key that names this file.
    #[must_use]
    pub fn problem(&self, message: impl Into<String>, remedy: impl Into<String>) -> Problem {
        Problem {
            span: self.span.clone(),
            message: message.into(),
            remedy: remedy.into(),
        }
    }

    /// The file has more bytes than one of its use may have.
    #[must_use]
    pub fn too_large(&self) -> Problem {
        self.problem(
            format!(
                "`{}` is larger than the {} bytes that {} may have",
                self.path,
                self.why.most_bytes(),
                self.why
            ),
            "check that it is the file you mean, or cut it into shorter ones",
        )
    }
}

impl Job {
    /// The woods: the maker's own table in front of the built-in one; `read` gives the bytes of the file.
    ///
    /// # Errors
    /// [`FilesError::File`] when `read` could not give it, else [`FilesError::Job`] with what is wrong in it.
    pub fn woods<B: AsRef<[u8]>, E>(
        &self,
        read: impl FnOnce(&FileNeeded) -> Result<B, E>,
    ) -> Result<Cow<'static, SpeciesTable>, FilesError<E>> {
        let Some(file) = &self.species_table else {
            return Ok(Cow::Borrowed(SpeciesTable::built_in()));
        };
        let bytes = read(file).map_err(|error| FilesError::File {
            file: file.clone(),
            error,
        })?;
        let refused = |refusal: Refusal| {
            FilesError::Job(self.error(vec![refusal.in_file(file.span.clone())]))
        };
        let text =
            std::str::from_utf8(bytes.as_ref()).map_err(|_| refused(not_utf_8(&file.path)))?;
        SpeciesTable::with_user_csv(text, &file.path)
            .map(Cow::Owned)
            .map_err(|errors| refused(errors.into_one()))
    }
}
