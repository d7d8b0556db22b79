//! Room `chart`.
