//! Rings that were read from photos, kept in the folder of a report: a second run does not read them again, a changed photo does.

use super::output::Folder;
use crate::movement::{PithSpread, Rings};
use crate::report::digest;
use crate::rings::{RingsOfPhoto, RingsPhotoPlan};
use crate::units::Refusal;
use crate::units::{Angle, Length};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

/// The file in the folder. As every file of a report it is believed only while its bytes are those in the folder's list.
const NAME: &str = "rings-of-photos.txt";
/// Its first line. Another version of the program may read the same photo otherwise.
const HEAD: &str = concat!(
    "Rings that heartside ",
    env!("CARGO_PKG_VERSION"),
    " read from photos:"
);

/// Rings by what their reading depends on: the photo's bytes, the size of the end, its corners and the way up.
#[derive(Debug, Default)]
pub(super) struct KeptRings {
    known: BTreeMap<String, RingsOfPhoto>,
    /// Those that this job asked for.
    asked: BTreeMap<String, RingsOfPhoto>,
}

impl KeptRings {
    /// Those of an earlier run into this folder; none where there are none that can be believed.
    #[must_use]
    pub(super) fn in_folder(folder: &Path) -> Self {
        let known = Folder::kept(folder, NAME)
            .and_then(|bytes| read(&String::from_utf8(bytes).ok()?))
            .unwrap_or_default();
        Self {
            known,
            asked: BTreeMap::new(),
        }
    }

    /// The rings of a photo: those kept, else as `read` gives them.
    ///
    /// # Errors
    /// What `read` says.
    pub(super) fn rings(
        &mut self,
        plan: &RingsPhotoPlan,
        bytes: &[u8],
        read: impl FnOnce() -> Result<RingsOfPhoto, Refusal>,
    ) -> Result<RingsOfPhoto, Refusal> {
        let key = plan.key(&digest(bytes));
        let found = match self.known.get(&key) {
            Some(kept) => kept.clone(),
            None => read()?,
        };
        self.asked.insert(key, found.clone());
        Ok(found)
    }

    /// What this job asked for, as a file for its folder; none for a job without photos.
    #[must_use]
    pub(super) fn file(&self) -> Option<(String, Vec<u8>)> {
        if self.asked.is_empty() {
            return None;
        }
        let mut text = HEAD.to_owned() + "\n";
        for (key, found) in &self.asked {
            let _never_fails = writeln!(text, "photo {key}\n{}", line(&found.rings, None));
            for (rings, share) in found.spread.shares() {
                text.push_str(&line(rings, Some(*share)));
                text.push('\n');
            }
        }
        Some((NAME.to_owned(), text.into_bytes()))
    }
}

/// Rings in a line. Numbers are written in the fewest digits that give the same bits again.
fn line(rings: &Rings, share: Option<f64>) -> String {
    let mut line = match rings {
        Rings::Pith { depth, offset } => format!("pith {} {}", depth.mm(), offset.mm()),
        Rings::Straight { angle } => format!("straight {}", angle.degrees()),
    };
    if let Some(share) = share {
        let _never_fails = write!(line, " {share}");
    }
    line
}

/// The file's text; `None` when it is of another version or damaged.
fn read(text: &str) -> Option<BTreeMap<String, RingsOfPhoto>> {
    let mut lines = text.lines().peekable();
    if lines.next()? != HEAD {
        return None;
    }
    let mut known = BTreeMap::new();
    while let Some(line) = lines.next() {
        let key = line.strip_prefix("photo ")?;
        let (rings, rest) = rings_of(lines.next()?)?;
        if !rest.is_empty() {
            return None;
        }
        let mut shares = Vec::new();
        while let Some(line) = lines.next_if(|line| !line.starts_with("photo ")) {
            let (rings, rest) = rings_of(line)?;
            let [share] = rest[..] else { return None };
            shares.push((rings, share));
        }
        let spread = PithSpread::of_shares(shares)?;
        known.insert(key.to_owned(), RingsOfPhoto { rings, spread });
    }
    Some(known)
}

/// Rings of a line, and the numbers after them.
fn rings_of(line: &str) -> Option<(Rings, Vec<f64>)> {
    let (kind, numbers) = line.split_once(' ')?;
    let numbers: Vec<f64> = numbers
        .split(' ')
        .map(|number| number.parse().ok().filter(|value: &f64| value.is_finite()))
        .collect::<Option<_>>()?;
    match (kind, &numbers[..]) {
        ("pith", [depth, offset, rest @ ..]) => {
            let mm = Length::from_mm_unchecked;
            let (depth, offset) = (mm(*depth), mm(*offset));
            Some((Rings::Pith { depth, offset }, rest.to_vec()))
        }
        ("straight", [degrees, rest @ ..]) => {
            let angle = Angle::computed_degrees(*degrees);
            Some((Rings::Straight { angle }, rest.to_vec()))
        }
        _ => None,
    }
}
