//! Room `species`.
