//! Where the pith is, read from a photo of a board's end.
//!
//! The room answers, for a picture given as numbers, the four corners of the board's end in it and its size: where the
//! apparent pith is, which face is toward the bark, the rings' angles along the width and the cup that
//! follows, each with a band that holds the truth nine times in ten. It knows no file format: `cli` and `page`
//! decode.
//!
//! How: the end is laid flat ([`Corners`], a plane seen by a camera) and its light evened out; at four scales, window by
//! window, a Fourier transform tells how strongly it is lined in every direction; of all piths, also infinitely far
//! ones, the one is taken whose rings (or the rays square to them) explain those lines best; the scatter of the windows
//! and what real rings are known to do beside circles spread it into a band.
//! The constants were chosen on photographs of sawn discs and on drawn ends, and the bands measured on others:
//! directions of rings come out within 4 degrees or so, half of that being rings that are no circles.
//!
//! What it cannot do: strong saw marks, very fine rays and rings under 3 pixels can be taken for rings. The rings found are
//! therefore drawn over the photo, and who knows the board says whether they follow.

mod arcs;
mod doubt;
mod error;
mod find_corners;
mod notation;
mod photo;
mod pith;
mod plan;
mod reading;
mod refine;
mod texture;

pub use arcs::{PhotoLines, PithByHand};
pub use find_corners::find_corners;
pub use photo::{Corners, EndSize, MAX_PIXELS, MAX_SIDE_PX, MIN_BOARD_PX, Photo};
pub use plan::{RingsOfPhoto, RingsPhotoPlan};
pub use reading::{BarkFace, Caveat, RingsPhoto, RingsReading, read_rings};
