//! Tests of the room `panel`.
