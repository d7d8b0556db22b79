//! Tests of the room `joint`.
