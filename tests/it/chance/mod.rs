//! Tests of the room `chance`.

mod beliefs;
mod sampling;
mod spreads;
