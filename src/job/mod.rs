//! Room `job`.
