//! Tests of the room `species`.

mod command;
mod figures;
mod names;
mod own_table;
mod publications;
mod rows;
