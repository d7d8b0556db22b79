//! Tests of the room `species`.

mod figures;
mod names;
mod own_table;
mod rows;
