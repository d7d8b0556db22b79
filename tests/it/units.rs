//! Tests of the room `units`.
