//! Writing a folder of results: every file is written beside its place and
//! renamed, and only files that an earlier run wrote are replaced.

use super::Failure;
use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// The list of what was written, kept in the folder.
const LIST: &str = "written-files.txt";
const LIST_HEAD: &str = "Files that heartside wrote here and may replace:";

/// A folder of results.
pub struct Folder {
    path: PathBuf,
    own: BTreeSet<String>,
}

impl Folder {
    /// Opens the folder before long work begins, so that one that cannot be written is given at once; a folder that is not
    /// there yet is made only when there is something to write.
    ///
    /// # Errors
    /// [`Failure`] when it cannot be made or written.
    pub fn open(path: &Path) -> Result<Self, Failure> {
        let fail = |error: io::Error| Failure::writing(&path.to_string_lossy(), &error);
        let there = path
            .ancestors()
            .map(|place| {
                if place.as_os_str().is_empty() {
                    Path::new(".")
                } else {
                    place
                }
            })
            .find(|place| place.exists())
            .unwrap_or(Path::new("."));
        let probe = there.join(format!(".heartside-probe-{}", std::process::id()));
        fs::write(&probe, b"").map_err(fail)?;
        fs::remove_file(&probe).map_err(fail)?;
        let own = fs::read_to_string(path.join(LIST))
            .map(|text| text.lines().skip(1).map(str::to_owned).collect())
            .unwrap_or_default();
        Ok(Self {
            path: path.to_path_buf(),
            own,
        })
    }

    /// Whether an earlier run wrote a file of this name.
    #[must_use]
    pub fn owns(&self, name: &str) -> bool {
        self.own.contains(name)
    }

    /// Writes all files. Nothing is put in place before everything is written beside; files of an earlier run that
    /// are no longer made are removed.
    ///
    /// # Errors
    /// [`Failure`] when a file is in the way that heartside did not write, or nothing can be written.
    pub fn write(mut self, files: &[(String, Vec<u8>)]) -> Result<(), Failure> {
        for (name, _) in files {
            let place = self.path.join(name);
            if place.exists() && !self.own.contains(name) {
                return Err(Failure::input(format!(
                    "error: `{}` is in the way and was not written by heartside; move it, or give another folder with --out",
                    place.display()
                )));
            }
        }
        fs::create_dir_all(&self.path)
            .map_err(|error| Failure::writing(&self.path.to_string_lossy(), &error))?;
        let names: BTreeSet<String> = files.iter().map(|(name, _)| name.clone()).collect();
        let list: String = std::iter::once(LIST_HEAD.to_owned())
            .chain(self.own.union(&names).cloned())
            .fold(String::new(), |text, line| text + &line + "\n");
        self.tidy(&names);
        // The list goes first: a run that is killed leaves no file that the next one would not own.
        replace(&self.path.join(LIST), list.as_bytes())?;
        let mut waiting = Vec::with_capacity(files.len());
        for (name, bytes) in files {
            let place = self.path.join(name);
            match beside(&place, bytes) {
                Ok(part) => waiting.push((part, place)),
                Err(failure) => {
                    for (part, _) in waiting {
                        let _best_effort = fs::remove_file(part);
                    }
                    return Err(failure);
                }
            }
        }
        for (part, place) in waiting {
            fs::rename(&part, &place)
                .map_err(|error| Failure::writing(&place.to_string_lossy(), &error))?;
        }
        for stale in self.own.difference(&names) {
            let _gone_is_fine = fs::remove_file(self.path.join(stale));
        }
        let list = std::iter::once(LIST_HEAD.to_owned())
            .chain(names.iter().cloned())
            .fold(String::new(), |text, line| text + &line + "\n");
        replace(&self.path.join(LIST), list.as_bytes())?;
        self.own = names;
        Ok(())
    }
}

impl Folder {
    /// Removes what runs that were ended while they wrote have left beside the files of this folder.
    fn tidy(&self, names: &BTreeSet<String>) {
        let Ok(entries) = fs::read_dir(&self.path) else {
            return;
        };
        for entry in entries.flatten() {
            let name = entry.file_name();
            let Some((file, process)) = name.to_str().and_then(part_of) else {
                continue;
            };
            let own = names.contains(file) || self.own.contains(file) || file == LIST;
            if own && !still_runs(process, &entry) {
                let _gone_is_fine = fs::remove_file(entry.path());
            }
        }
    }
}

/// The file and the process of a name that [`beside`] gave.
fn part_of(name: &str) -> Option<(&str, u32)> {
    let (file, process) = name
        .strip_prefix('.')?
        .strip_suffix(".part")?
        .rsplit_once('.')?;
    Some((file, process.parse().ok()?))
}

/// Whether the process that began a part may still be at it: where the system does not tell, for an hour.
fn still_runs(process: u32, part: &fs::DirEntry) -> bool {
    const HOUR: std::time::Duration = std::time::Duration::from_secs(3600);
    let processes = Path::new("/proc");
    if processes.join("self").exists() {
        return process != std::process::id() && processes.join(process.to_string()).exists();
    }
    let age = part
        .metadata()
        .and_then(|about| about.modified())
        .ok()
        .and_then(|written| written.elapsed().ok());
    age.is_none_or(|age| age < HOUR)
}

/// Writes beside a place; gives the path of what was written.
fn beside(place: &Path, bytes: &[u8]) -> Result<PathBuf, Failure> {
    let name = place
        .file_name()
        .map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let part = place.with_file_name(format!(".{name}.{}.part", std::process::id()));
    let written = fs::File::create(&part).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()
    });
    match written {
        Ok(()) => Ok(part),
        Err(error) => {
            let _best_effort = fs::remove_file(&part);
            Err(Failure::writing(&place.to_string_lossy(), &error))
        }
    }
}

/// Writes one file beside its place and renames it.
///
/// # Errors
/// [`Failure`] when it cannot be written; an older file stays whole.
pub fn replace(place: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let part = beside(place, bytes)?;
    fs::rename(&part, place).map_err(|error| Failure::writing(&place.to_string_lossy(), &error))
}

/// Writes one file that must not exist yet.
///
/// # Errors
/// [`Failure`] when it exists or cannot be written.
pub fn create(place: &Path, bytes: &[u8]) -> Result<(), Failure> {
    if place.exists() {
        return Err(Failure::input(format!(
            "error: `{}` is there already; give another name, or move it",
            place.display()
        )));
    }
    replace(place, bytes)
}
