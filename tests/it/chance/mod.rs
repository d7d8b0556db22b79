//! Tests of the room `chance`.

mod beliefs;
mod normal;
mod readings;
mod sampling;
