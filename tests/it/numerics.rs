//! Tests of the room `numerics`.
