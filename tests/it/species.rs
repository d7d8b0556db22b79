//! Tests of the room `species`.
