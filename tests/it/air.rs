//! Tests of the room `air`.
