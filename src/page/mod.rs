//! Room `page`.
