//! Rings read from photos of board ends.

mod command;
mod corners;
mod files;
mod known;
