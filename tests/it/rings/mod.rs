//! Rings read from photos of board ends.

mod command;
mod corners;
mod files;
mod job;
mod kept;
mod known;
mod own;
