//! Tests of the room `chance`.
