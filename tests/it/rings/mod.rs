//! Rings read from photos of board ends.

mod command;
mod corners;
mod files;
mod job;
mod known;
mod own;
