//! Room `air`.
