//! Room `carcass`.
