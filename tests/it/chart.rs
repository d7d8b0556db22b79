//! Tests of the room `chart`.
