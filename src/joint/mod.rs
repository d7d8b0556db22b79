//! Room `joint`.
