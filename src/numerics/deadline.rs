//! Whether long work is still wanted.

use std::fmt;

/// Tells long work when to stop: its time is over, or nobody waits for its answer any more. The clock, or what else
/// decides, is that of the caller; work that is not stopped gives the same answer as without one.
#[derive(Clone, Copy)]
pub struct Deadline<'a>(Option<&'a (dyn Fn() -> bool + Sync)>);

/// Work was stopped before it was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stopped;

impl<'a> Deadline<'a> {
    /// Work that may take as long as it does.
    pub const NEVER: Self = Self(None);

    /// A deadline that is over once this says so.
    #[must_use]
    pub const fn new(over: &'a (dyn Fn() -> bool + Sync)) -> Self {
        Self(Some(over))
    }

    /// Whether it is over.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.0.is_some_and(|over| over())
    }

    /// Goes on, unless it is over.
    ///
    /// # Errors
    /// [`Stopped`] when it is.
    pub fn check(&self) -> Result<(), Stopped> {
        if self.is_over() { Err(Stopped) } else { Ok(()) }
    }
}

impl fmt::Debug for Deadline<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Deadline").field(&self.is_over()).finish()
    }
}

impl fmt::Display for Stopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the work was stopped before it was done")
    }
}

impl std::error::Error for Stopped {}
