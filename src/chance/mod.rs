//! Room `chance`.
