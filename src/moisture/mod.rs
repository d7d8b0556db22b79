//! Room `moisture`.
