//! Writing a folder of results: every file is written beside its place and
//! put there whole, and only files that an earlier run wrote are replaced.
//!
//! The folder may come from anyone. Its list of written files is believed only
//! for bare names whose bytes are still those that were written; nothing is
//! opened through a link, and two runs never write at the same time.

use super::Failure;
use crate::report::digest;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File, TryLockError};
use std::io::{self, Read as _, Write as _};
use std::path::{Component, Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

/// The list of what was written, kept in the folder.
const LIST: &str = "written-files.txt";
const LIST_HEAD: &str = "Files that heartside wrote here and may replace:";
/// Held by the run that writes.
const LOCK: &str = ".heartside-lock";
/// More than a list of any report.
const LIST_LIMIT_BYTES: u64 = 1_000_000;
/// Files written beside each other: each waits for the disk, which puts several down in one go, and none needs a processor
/// (measured: more than this many are no faster).
const WRITERS: usize = 8;
/// A run writes for far less than this (judgement).
const LOCK_PATIENCE: Duration = Duration::from_secs(20);

/// A folder of results.
pub(super) struct Folder {
    path: PathBuf,
}

/// The digests of what earlier runs wrote, by name. A run that was ended midway leaves two for one name.
type Written = BTreeMap<String, BTreeSet<String>>;

impl Folder {
    /// Checks the folder before long work begins, so that one that cannot be written is refused at once; a folder that is
    /// not there yet is made only when there is something to write.
    ///
    /// # Errors
    /// [`Failure`] when it cannot be made or written, is a link, or its list is none of ours.
    pub(super) fn open(path: &Path) -> Result<Self, Failure> {
        let folder = Self {
            path: path.to_path_buf(),
        };
        folder.check_place()?;
        folder.written()?;
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
        probe(there).map_err(|error| Failure::writing(&path.to_string_lossy(), &error))?;
        Ok(folder)
    }

    /// A link may point into any folder: it is not written through.
    fn check_place(&self) -> Result<(), Failure> {
        if fs::symlink_metadata(&self.path).is_ok_and(|about| about.is_symlink()) {
            return Err(Failure::input(format!(
                "error: `{}` is a link; give the folder it points to with --out",
                self.path.display()
            )));
        }
        Ok(())
    }

    /// Checks before long work whether these files may be written.
    ///
    /// # Errors
    /// [`Failure`] when a file is in the way that heartside did not write, or that was changed since.
    pub(super) fn check(&self, files: &[(String, Vec<u8>)]) -> Result<(), Failure> {
        self.check_way(files, &self.written()?)
    }

    /// Whether what is in the folder under a name is a file that an earlier run wrote.
    fn is_ours(&self, name: &str, written: &Written) -> bool {
        written.get(name).is_some_and(|digests| {
            let place = self.path.join(name);
            // A digest begins with the length: what is of another length is not read.
            let of_length = |length: u64| {
                let length = format!("{length:x}-");
                digests.iter().any(|sum| sum.starts_with(&length))
            };
            fs::symlink_metadata(&place)
                .is_ok_and(|about| about.is_file() && of_length(about.len()))
                && fs::read(&place).is_ok_and(|bytes| digests.contains(&digest(&bytes)))
        })
    }

    /// The bytes of a file that an earlier run wrote into a folder and nobody changed since; `None` where there is none.
    #[must_use]
    pub(super) fn kept(path: &Path, name: &str) -> Option<Vec<u8>> {
        let folder = Self {
            path: path.to_path_buf(),
        };
        folder.check_place().ok()?;
        let written = folder.written().ok()?;
        let ours = folder.is_ours(name, &written);
        let bytes = ours.then(|| fs::read(path.join(name)).ok())??;
        written
            .get(name)?
            .contains(&digest(&bytes))
            .then_some(bytes)
    }

    /// Writes all files. Nothing is put in place before everything is written beside; files of an earlier run that
    /// are no longer made are removed.
    ///
    /// # Errors
    /// [`Failure`] when a file is in the way that heartside did not write, another run does not end, or nothing can be
    /// written.
    pub(super) fn write(&self, files: &[(String, Vec<u8>)]) -> Result<(), Failure> {
        self.check_place()?;
        // Before the folder is made, so that a refused run makes none.
        self.check(files)?;
        fs::create_dir_all(&self.path)
            .map_err(|error| Failure::writing(&self.path.to_string_lossy(), &error))?;
        let _held = self.lock()?;
        // Another run may have written until now.
        let earlier = self.written()?;
        self.check_way(files, &earlier)?;
        let new: Written = files
            .par_iter()
            .map(|(name, bytes)| (name.clone(), BTreeSet::from([digest(bytes)])))
            .collect();
        let mut both = earlier.clone();
        for (name, digests) in &new {
            both.entry(name.clone())
                .or_default()
                .extend(digests.iter().cloned());
        }
        self.tidy(&both);
        // The list goes first: a run that is killed leaves no file that the next one would not own.
        self.list(&both)?;
        let mut waiting = Vec::with_capacity(files.len());
        let put = self.put(files, &earlier, &mut waiting);
        for part in waiting {
            let _gone_already = fs::remove_file(part);
        }
        put?;
        for stale in earlier.keys().filter(|name| !new.contains_key(*name)) {
            if self.is_ours(stale, &earlier) {
                let _gone_is_fine = fs::remove_file(self.path.join(stale));
            }
        }
        self.list(&new)
    }

    /// Writes every file beside its place, then puts all in place; `parts` are the paths of what was written beside.
    fn put(
        &self,
        files: &[(String, Vec<u8>)],
        earlier: &Written,
        parts: &mut Vec<PathBuf>,
    ) -> Result<(), Failure> {
        let write = |(name, bytes): &(String, Vec<u8>)| beside(&self.path.join(name), bytes);
        let write_each = |some: &[(String, Vec<u8>)]| some.iter().map(write).collect::<Vec<_>>();
        let each = files.len().div_ceil(WRITERS).max(1);
        let written: Vec<Result<PathBuf, Failure>> = thread::scope(|writers| {
            let begin = |some| writers.spawn(move || write_each(some));
            let begun: Vec<_> = files.chunks(each).map(begin).collect();
            begun.into_iter().flat_map(joined).collect()
        });
        let mut failed = None;
        for part in written {
            match part {
                Ok(part) => parts.push(part),
                Err(failure) => failed = failed.or(Some(failure)),
            }
        }
        if let Some(failure) = failed {
            return Err(failure);
        }
        for ((name, _), part) in files.iter().zip(&*parts) {
            let place = self.path.join(name);
            if self.is_ours(name, earlier) {
                fs::rename(part, &place)
                    .map_err(|error| Failure::writing(&place.to_string_lossy(), &error))?;
            } else {
                put_new(part, &place)?;
            }
        }
        Ok(())
    }

    /// Refuses what stands in the way of the files and is none of ours.
    fn check_way(&self, files: &[(String, Vec<u8>)], written: &Written) -> Result<(), Failure> {
        let refused = |(name, _): &(String, Vec<u8>)| {
            let place = self.path.join(name);
            if fs::symlink_metadata(&place).is_err() || self.is_ours(name, written) {
                return None;
            }
            let why = if written.contains_key(name) {
                "was changed since heartside wrote it"
            } else {
                "was not written by heartside"
            };
            Some(Failure::input(format!(
                "error: `{}` is in the way and {why}; move it, or give another folder with --out",
                place.display()
            )))
        };
        let first = files.par_iter().find_map_first(refused);
        first.map_or(Ok(()), Err)
    }

    /// What earlier runs wrote, as the list has it: bare names only.
    fn written(&self) -> Result<Written, Failure> {
        let place = self.path.join(LIST);
        let not_ours = || {
            Failure::input(format!(
                "error: `{}` is in the way and is no list of heartside's; move it, or give another folder with --out",
                place.display()
            ))
        };
        let about = match fs::symlink_metadata(&place) {
            // Nothing was written yet, or the folder itself will say what is wrong with it.
            Err(_) => return Ok(Written::new()),
            Ok(about) => about,
        };
        if !about.is_file() || about.len() > LIST_LIMIT_BYTES {
            return Err(not_ours());
        }
        let mut text = String::new();
        File::open(&place)
            .and_then(|file| file.take(LIST_LIMIT_BYTES).read_to_string(&mut text))
            .map_err(|_| not_ours())?;
        let mut lines = text.lines();
        if lines.next() != Some(LIST_HEAD) {
            return Err(not_ours());
        }
        let mut written = Written::new();
        for (sum, name) in lines.filter_map(|line| line.split_once("  ")) {
            if is_bare(name) {
                written
                    .entry(name.to_owned())
                    .or_default()
                    .insert(sum.to_owned());
            }
        }
        Ok(written)
    }

    fn list(&self, written: &Written) -> Result<(), Failure> {
        let mut text = LIST_HEAD.to_owned() + "\n";
        for (name, digests) in written {
            for sum in digests {
                text.push_str(&format!("{sum}  {name}\n"));
            }
        }
        let place = self.path.join(LIST);
        let part = beside(&place, text.as_bytes())?;
        fs::rename(&part, &place)
            .map_err(|error| Failure::writing(&place.to_string_lossy(), &error))
    }

    /// Holds the folder for this run. Readers need no lock: every file is put in place whole.
    fn lock(&self) -> Result<File, Failure> {
        let place = self.path.join(LOCK);
        let failed = |error: io::Error| Failure::writing(&place.to_string_lossy(), &error);
        let begun = Instant::now();
        loop {
            let file = match File::create_new(&place) {
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
                    if !fs::symlink_metadata(&place).is_ok_and(|about| about.is_file()) {
                        return Err(Failure::input(format!(
                            "error: `{}` is in the way and was not written by heartside; move it, or give another folder with --out",
                            place.display()
                        )));
                    }
                    // To read: opened so, nothing is emptied.
                    File::open(&place).map_err(failed)?
                }
                made => made.map_err(failed)?,
            };
            match file.try_lock() {
                Ok(()) => return Ok(file),
                Err(TryLockError::Error(error)) => return Err(failed(error)),
                Err(TryLockError::WouldBlock) if begun.elapsed() > LOCK_PATIENCE => {
                    return Err(Failure::input(format!(
                        "error: another run writes into `{}`; wait until it has ended, or give another folder with --out",
                        self.path.display()
                    )));
                }
                Err(TryLockError::WouldBlock) => thread::sleep(Duration::from_millis(20)),
            }
        }
    }

    /// Removes what runs that were ended while they wrote have left beside the files of this folder.
    fn tidy(&self, written: &Written) {
        let Ok(entries) = fs::read_dir(&self.path) else {
            return;
        };
        for entry in entries.flatten() {
            let name = entry.file_name();
            let Some((file, process)) = name.to_str().and_then(part_of) else {
                continue;
            };
            let own = written.contains_key(file) || file == LIST;
            if own && !still_runs(process, &entry) {
                let _gone_is_fine = fs::remove_file(entry.path());
            }
        }
    }
}

/// Whether a name is that of a file in the folder itself, on every system, and none of the two kept for the folder.
fn is_bare(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    let one = matches!(parts.next(), Some(Component::Normal(part)) if part == name)
        && parts.next().is_none();
    let plain = !name.contains(|c: char| c.is_control() || matches!(c, '/' | '\\' | ':'));
    one && plain && name != LIST && name != LOCK
}

/// Makes a file in a folder and takes it away again: whether it can be written.
fn probe(folder: &Path) -> io::Result<()> {
    const TRIES: u32 = 100;
    let name = |try_| folder.join(format!(".heartside-probe-{}-{try_}", std::process::id()));
    let mut last = None;
    for try_ in 0..TRIES {
        let place = name(try_);
        match File::create_new(&place) {
            Ok(_) => return fs::remove_file(&place),
            // What is there already is somebody's: it is left alone.
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => last = Some(error),
            Err(error) => return Err(error),
        }
    }
    Err(last.unwrap_or_else(|| io::ErrorKind::AlreadyExists.into()))
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
    const HOUR: Duration = Duration::from_secs(3600);
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

/// Writes a new file beside a place; gives the path of what was written.
fn beside(place: &Path, bytes: &[u8]) -> Result<PathBuf, Failure> {
    let name = place
        .file_name()
        .map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let part = place.with_file_name(format!(".{name}.{}.part", std::process::id()));
    let made = File::create_new(&part).or_else(|error| {
        if error.kind() != io::ErrorKind::AlreadyExists {
            return Err(error);
        }
        // An ended run of the same number left it, or somebody else: the name goes, what a link points to stays.
        fs::remove_file(&part)?;
        File::create_new(&part)
    });
    let written = made.and_then(|mut file| {
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

/// What a thread answered; a panic in it goes on here.
fn joined<T>(thread: thread::ScopedJoinHandle<'_, T>) -> T {
    thread
        .join()
        .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
}

/// Puts a file in a place where there must be none. Where the system has no second names for a file, the place is
/// looked at just before.
fn put_new(part: &Path, place: &Path) -> Result<(), Failure> {
    let taken = || {
        Failure::input(format!(
            "error: `{}` is there already; give another name, or move it",
            place.display()
        ))
    };
    let put = match fs::hard_link(part, place) {
        Ok(()) => fs::remove_file(part),
        Err(_) if fs::symlink_metadata(place).is_ok() => return Err(taken()),
        Err(_) => fs::rename(part, place),
    };
    put.map_err(|error| Failure::writing(&place.to_string_lossy(), &error))
}

/// Puts new bytes in the place of a file that is there: written beside it and renamed, with its permissions; through a link the
/// file that it points to.
///
/// # Errors
/// [`Failure`] when it cannot be written; the file is then as it was.
pub(super) fn replace(place: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let failed = |error: io::Error| Failure::writing(&place.to_string_lossy(), &error);
    let real = fs::canonicalize(place).map_err(failed)?;
    let permissions = fs::metadata(&real).map_err(failed)?.permissions();
    let part = beside(&real, bytes)?;
    let put = fs::set_permissions(&part, permissions).and_then(|()| fs::rename(&part, &real));
    if put.is_err() {
        let _gone_already = fs::remove_file(&part);
    }
    put.map_err(failed)
}

/// Writes one file that must not exist yet.
///
/// # Errors
/// [`Failure`] when it exists or cannot be written.
pub(super) fn create(place: &Path, bytes: &[u8]) -> Result<(), Failure> {
    if fs::symlink_metadata(place).is_ok() {
        return Err(Failure::input(format!(
            "error: `{}` is there already; give another name, or move it",
            place.display()
        )));
    }
    let part = beside(place, bytes)?;
    put_new(&part, place).inspect_err(|_| {
        let _best_effort = fs::remove_file(&part);
    })
}
