//! Tests of the room `movement`.
