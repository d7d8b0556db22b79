//! Tests of the room `moisture`.
