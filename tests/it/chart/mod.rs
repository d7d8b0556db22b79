//! The figures: what is drawn is the data, the SVG is sound, the same input gives the same bytes.

mod drawn;
mod figures;
pub(crate) mod samples;
