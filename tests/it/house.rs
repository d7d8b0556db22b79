//! Tests of the room `house`.
