//! Room `panel`.
