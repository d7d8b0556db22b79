//! Room `numerics`.
