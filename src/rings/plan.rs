//! Rings that a job keeps in a photo of an end: what is asked of the photo, and what it gave.

use super::error;
use super::find_corners::find_corners;
use super::photo::{Corners, EndSize, Photo};
use super::reading::{BarkFace, Caveat, read_rings};
use crate::movement::{PithSpread, Rings, RingsInPhoto};
use crate::units::spanned::{Name, Problems, ReadNotation, Spanned};
use crate::units::{Length, Refusal};
use std::ops::Range;

/// A photo of the end of a part, a board or a leaf, whose rings are read apart.
#[derive(Debug, Clone, PartialEq)]
pub struct RingsPhotoPlan {
    /// What its end belongs to.
    pub of: String,
    /// The path of its file as given.
    pub path: String,
    /// Where the job file names it.
    pub span: Range<usize>,
    /// The end's size.
    pub size: EndSize,
    /// The corners of the end in it; found by color where none are given.
    pub corners: Option<Corners>,
    /// Which face is toward the bark in it; as the rings curve where it is not given.
    pub bark: Option<BarkFace>,
    /// Where the pith may be; `None` until the photo is read.
    pub spread: Option<PithSpread>,
}

/// What a photo of an end gave for a job.
#[derive(Debug, Clone, PartialEq)]
pub struct RingsOfPhoto {
    /// The rings.
    pub rings: Rings,
    /// Where the pith may be.
    pub spread: PithSpread,
}

impl RingsPhotoPlan {
    /// The plan for the end of `of`, or `None` after its problems were noted.
    pub fn read(
        photo: &RingsInPhoto,
        of: &str,
        [width, thickness]: [Length; 2],
        problems: &mut Problems,
    ) -> Option<Self> {
        let Name(path) = problems.take(&photo.photo)?;
        let corners = read_text::<Corners>(photo.corners.as_ref(), problems);
        let bark = read_text::<BarkFace>(photo.bark.as_ref(), problems);
        let size = EndSize::new(width, thickness)
            .map_err(|refusal| problems.refuse(photo.photo.span(), &refusal))
            .ok();
        Some(Self {
            of: of.to_owned(),
            path,
            span: photo.photo.span(),
            size: size?,
            corners: corners?,
            bark: bark?,
            spread: None,
        })
    }

    /// What its reading depends on, with the digest of the photo's bytes: the same words, the same rings.
    #[must_use]
    pub fn key(&self, digest: &str) -> String {
        let corners = self.corners.map_or_else(
            || "found".to_owned(),
            |corners| {
                let numbers = corners.points().as_flattened().iter();
                numbers.map(f64::to_string).collect::<Vec<_>>().join(",")
            },
        );
        format!(
            "{digest} {} {} {corners} {}",
            self.size.width().mm(),
            self.size.thickness().mm(),
            self.bark.map_or("curved", BarkFace::word)
        )
    }

    /// Reads the rings of the photo.
    ///
    /// # Errors
    /// [`Refusal`] when no end is found, its rings cannot be read, or two readings are as likely.
    pub fn measured(&self, photo: &Photo) -> Result<RingsOfPhoto, Refusal> {
        let corners = self.corners.or_else(|| find_corners(photo));
        let corners = corners.ok_or_else(error::no_corners)?;
        let mut found = read_rings(photo, &corners, &self.size)?;
        if let Some(bark) = self.bark {
            found.prefer(bark);
        }
        if found.caveats.contains(&Caveat::Faint) {
            return Err(error::hardly_visible());
        }
        if found.caveats.contains(&Caveat::TwoReadings) && self.bark.is_none() {
            return Err(error::two_readings());
        }
        let first = &found.readings[0];
        let bark = self.bark.unwrap_or(first.bark_face().0);
        let spread = first.spread(bark).ok_or_else(error::no_pith)?;
        Ok(RingsOfPhoto {
            rings: first.rings(bark),
            spread,
        })
    }

    /// Notes that the photo was not read, where it was not.
    pub fn note_unread(&self, problems: &mut Problems) {
        if self.spread.is_none() {
            problems.push(
                self.span.clone(),
                format!("the photo `{}` has not been read", self.path),
                "read the photos of the job first, or give the rings by hand",
            );
        }
    }
}

/// Reads a text that a room above the photo's has no notation of.
fn read_text<T: ReadNotation>(
    given: Option<&Spanned<Name>>,
    problems: &mut Problems,
) -> Option<Option<T>> {
    let Some(given) = given else {
        return Some(None);
    };
    T::read(given.text())
        .map(Some)
        .map_err(|error| problems.push(given.span(), error.message(), error.remedy()))
        .ok()
}
