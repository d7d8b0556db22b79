//! Room `forecast`.
