//! Tests of the room `chance`.

mod beliefs;
mod readings;
mod sampling;
mod spreads;
