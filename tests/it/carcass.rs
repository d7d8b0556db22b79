//! Tests of the room `carcass`.
