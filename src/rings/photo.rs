//! The photo as numbers, the four corners of the board's end in it, and the end laid flat.

use super::error;
use crate::numerics::{Homography, Raster};
use crate::units::{Bounds, Length, Refusal};

/// Most pixels along one side of a photo.
pub const MAX_SIDE_PX: usize = 12_000;
/// Most pixels of a photo.
pub const MAX_PIXELS: usize = 60_000_000;
/// Fewest pixels along the upper or lower edge of the board's end.
pub const MIN_BOARD_PX: f64 = 300.0;
/// Pixels of the end laid flat, whatever the photo's size.
const WORK_PIXELS: f64 = 300_000.0;
/// Width over thickness that the method was tried on.
const SLENDERNESS: (f64, f64) = (1.0, 20.0);

/// A picture: red, green and blue of each pixel, row by row from the top, 0 to 255 as the camera's file gives
/// them, the right way up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    width: usize,
    height: usize,
    rgb: Vec<u8>,
}

impl Photo {
    /// A picture of so many pixels.
    ///
    /// # Errors
    /// [`Refusal`] when it is empty or larger than [`MAX_SIDE_PX`] and [`MAX_PIXELS`] allow, or when
    /// `rgb` does not hold three numbers for each pixel.
    pub fn new(width: usize, height: usize, rgb: Vec<u8>) -> Result<Self, Refusal> {
        let pixels = width.saturating_mul(height);
        let fits = (1..=MAX_SIDE_PX).contains(&width)
            && (1..=MAX_SIDE_PX).contains(&height)
            && pixels <= MAX_PIXELS;
        if !fits || rgb.len() != 3 * pixels {
            return Err(error::size(width, height));
        }
        Ok(Self { width, height, rgb })
    }

    /// Pixels across.
    #[must_use]
    pub const fn width(&self) -> usize {
        self.width
    }

    /// Pixels from top to bottom.
    #[must_use]
    pub const fn height(&self) -> usize {
        self.height
    }

    /// The red, green and blue of every pixel.
    #[must_use]
    pub fn rgb(&self) -> &[u8] {
        &self.rgb
    }

    /// Red, green and blue of one pixel.
    pub(super) fn pixel(&self, x: usize, y: usize) -> [u8; 3] {
        let at = 3 * (y * self.width + x);
        [self.rgb[at], self.rgb[at + 1], self.rgb[at + 2]]
    }

    /// How light a pixel is (the luma of ITU-R BT.601, 0 to 255).
    pub(super) fn luma(&self, x: usize, y: usize) -> f32 {
        let [red, green, blue] = self.pixel(x, y).map(f32::from);
        0.299 * red + 0.587 * green + 0.114 * blue
    }
}

/// Width and thickness of the board whose end a photo shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndSize {
    pub(super) width: Length,
    pub(super) thickness: Length,
}

impl EndSize {
    /// The size of an end.
    ///
    /// # Errors
    /// [`Refusal`] outside [`Bounds::PHOTO_WIDTH`] and [`Bounds::PHOTO_THICKNESS`],
    /// and when the width is less than the thickness or more than 20 times as much.
    pub fn new(width: Length, thickness: Length) -> Result<Self, Refusal> {
        let width = width
            .within(Bounds::PHOTO_WIDTH)
            .map_err(error::out_of_range)?;
        let thickness = thickness
            .within(Bounds::PHOTO_THICKNESS)
            .map_err(error::out_of_range)?;
        let ratio = width / thickness;
        if ratio < SLENDERNESS.0 || ratio > SLENDERNESS.1 {
            return Err(error::slenderness(width, thickness));
        }
        Ok(Self { width, thickness })
    }

    /// The size of an end of this width whose thickness is taken from the photo: its mean height over its mean width there.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn seen(width: Length, corners: &Corners) -> Result<Self, Refusal> {
        let [tl, tr, br, bl] = corners.0;
        let across = distance(tl, tr) + distance(bl, br);
        let down = distance(tl, bl) + distance(tr, br);
        Self::new(width, width * (down / across))
    }

    /// Across the face.
    #[must_use]
    pub const fn width(&self) -> Length {
        self.width
    }

    /// Face to face.
    #[must_use]
    pub const fn thickness(&self) -> Length {
        self.thickness
    }
}

/// The corners of the board's end in the photo: top left, top right, bottom right, bottom left, each as pixels to the
/// right and down, a pixel's center at whole numbers. The lines from left to right are the two faces of the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corners([[f64; 2]; 4]);

impl Corners {
    /// Four corners, in their order.
    ///
    /// # Errors
    /// [`Refusal`] when a number is not finite, when the four are not a convex figure that goes
    /// clockwise, or when the faces are shorter than [`MIN_BOARD_PX`].
    pub fn new(points: [[f64; 2]; 4]) -> Result<Self, Refusal> {
        if points.iter().flatten().any(|value| !value.is_finite()) {
            return Err(error::not_finite());
        }
        let turn = |k: usize| {
            let [a, b, c] = [points[k], points[(k + 1) % 4], points[(k + 2) % 4]];
            (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
        };
        let corners = Self(points);
        let shortest = corners.face_px();
        let turns = [0, 1, 2, 3].map(turn);
        if turns.iter().all(|turn| *turn < 0.0) {
            return Err(error::counterclockwise());
        }
        // A turn is twice the area of three corners: at least a few pixels of height all along the board.
        if turns.iter().any(|turn| *turn <= 4.0 * shortest.max(1.0)) {
            return Err(error::not_convex());
        }
        if shortest < MIN_BOARD_PX {
            return Err(error::small(shortest));
        }
        Ok(corners)
    }

    /// The four points, in their order.
    #[must_use]
    pub const fn points(&self) -> &[[f64; 2]; 4] {
        &self.0
    }

    /// Whether all four are on the photo, up to half a pixel beyond its outermost pixels.
    pub(super) fn within(&self, photo: &Photo) -> bool {
        let (right, bottom) = (photo.width as f64 - 0.5, photo.height as f64 - 0.5);
        self.0
            .iter()
            .all(|&[x, y]| (-0.5..=right).contains(&x) && (-0.5..=bottom).contains(&y))
    }

    /// The shorter of the two faces, in pixels.
    fn face_px(&self) -> f64 {
        let [tl, tr, br, bl] = self.0;
        distance(tl, tr).min(distance(bl, br))
    }

    /// The map from the section (millimetres from the center line, and up from the lower face) to the photo.
    pub(super) fn section_to_photo(&self, size: &EndSize) -> Option<Homography> {
        let (half, t) = (size.width.mm() / 2.0, size.thickness.mm());
        let section = [[-half, t], [half, t], [half, 0.0], [-half, 0.0]];
        Homography::of_points(&section, &self.0)
    }
}

fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    libm::hypot(b[0] - a[0], b[1] - a[1])
}

/// The end laid flat: its lightness, upper face at the top.
#[derive(Debug, Clone)]
pub(super) struct FlatEnd {
    pub(super) raster: Raster,
    /// Pixels per millimetre.
    pub(super) px_per_mm: f64,
}

impl FlatEnd {
    /// Lays the end flat at about [`WORK_PIXELS`] pixels, or at the photo's own scale where that is coarser. The photo is
    /// smoothed before it is shrunk, so that nothing finer than a new pixel is left to fold over.
    pub(super) fn of(photo: &Photo, corners: &Corners, size: &EndSize) -> Option<Self> {
        let (width, thickness) = (size.width.mm(), size.thickness.mm());
        let map = corners.section_to_photo(size)?;
        let [tl, tr, br, bl] = corners.0;
        let own_px_per_mm = (distance(tl, tr) + distance(bl, br)) / (2.0 * width);
        let px_per_mm = (WORK_PIXELS / (width * thickness))
            .sqrt()
            .min(own_px_per_mm);
        let ratio = own_px_per_mm / px_per_mm;
        let sigma = 0.5 * (ratio * ratio - 1.0).max(0.0).sqrt();
        let (source, left, top) = around(photo, corners, (4.0 * sigma).ceil() as usize + 2);
        let source = if sigma > 0.05 {
            source.blurred(sigma)
        } else {
            source
        };
        let columns = (width * px_per_mm).round().max(1.0) as usize;
        let rows = (thickness * px_per_mm).round().max(1.0) as usize;
        let raster = Raster::from_fn(columns, rows, |column, row| {
            let x = ((column as f64 + 0.5) / columns as f64 - 0.5) * width;
            let z = (1.0 - (row as f64 + 0.5) / rows as f64) * thickness;
            let [u, v] = map.map([x, z]);
            source.at(u - left, v - top)
        });
        Some(Self { raster, px_per_mm })
    }
}

/// The lightness of the photo round the corners, and where that piece begins.
fn around(photo: &Photo, corners: &Corners, margin: usize) -> (Raster, f64, f64) {
    let span = |axis: usize, end: usize| {
        let values = corners.0.map(|point| point[axis]);
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let high = values.iter().copied().fold(0.0, f64::max);
        let low = (low.max(0.0) as usize).saturating_sub(margin).min(end - 1);
        let high = (high.max(0.0) as usize + 1 + margin).min(end - 1);
        (low, high.max(low))
    };
    let (left, right) = span(0, photo.width);
    let (top, bottom) = span(1, photo.height);
    let piece = Raster::from_fn(right - left + 1, bottom - top + 1, |x, y| {
        photo.luma(left + x, top + y)
    });
    (piece, left as f64, top as f64)
}
