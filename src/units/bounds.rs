//! The one table of allowed ranges.
//!
//! A row drives three things: the check of a value, the text of the error, and
//! the generators of the property tests. Nothing else in the crate states the
//! range of a quantity.

use std::fmt;

/// The allowed range of one kind of value, in the unit named by `unit`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// What a maker calls the value: `thickness`, `moisture content`.
    pub label: &'static str,
    /// The unit of `min` and `max`, as printed: `mm`, `%`, `C`.
    pub unit: &'static str,
    /// Minimum allowed value, included.
    pub min: f64,
    /// Maximum allowed value, included.
    pub max: f64,
}

macro_rules! table {
    ($($(#[$doc:meta])* $name:ident = $label:literal, $unit:literal, $min:expr, $max:expr;)+) => {
        impl Bounds {
            $($(#[$doc])* pub const $name: Bounds =
                Bounds { label: $label, unit: $unit, min: $min, max: $max };)+
            /// Every row of the table, in the order it is written.
            pub const ALL: &'static [Bounds] = &[$(Bounds::$name),+];
        }
    };
}

table! {
    /// Any signed length: an offset, a gap, a bow, a place.
    LENGTH = "length", "mm", -100_000.0, 100_000.0;
    /// Size of a part along the grain.
    BOARD_LENGTH = "board length", "mm", 1.0, 30_000.0;
    /// Size of a part across its face.
    WIDTH = "width", "mm", 0.1, 5_000.0;
    /// Size of a part from face to face.
    THICKNESS = "thickness", "mm", 0.1, 500.0;
    /// Depth of a cut below the face.
    DEPTH = "depth", "mm", 0.0, 500.0;
    /// Depth of a cut that holds something.
    CUT_DEPTH = "depth of a cut", "mm", 0.5, 500.0;
    /// Wood lost to a saw cut.
    KERF = "kerf", "mm", 0.0, 20.0;
    /// Square distance from the heart-side face to the pith; negative when the pith lies inside the board.
    PITH_DEPTH = "pith depth", "mm", -500.0, 20_000.0;
    /// Radius of a growth ring.
    RING_RADIUS = "ring radius", "mm", 1.0, 20_000.0;
    /// Width of a board whose rings a photo shows.
    PHOTO_WIDTH = "width", "mm", 20.0, 1_000.0;
    /// Thickness of a board whose rings a photo shows.
    PHOTO_THICKNESS = "thickness", "mm", 8.0, 200.0;
    /// Mass of water in percent of the oven-dry mass.
    MOISTURE = "moisture content", "%", 0.0, 200.0;
    /// Relative humidity of air over liquid water.
    HUMIDITY = "relative humidity", "%", 0.0, 100.0;
    /// Temperature of air or wood.
    TEMPERATURE = "temperature", "C", -60.0, 130.0;
    /// Change of length over length.
    STRAIN = "strain", "", -0.5, 0.5;
    /// One over a bend's radius.
    CURVATURE = "curvature", "1/mm", -0.1, 0.1;
    /// Angle in the plane of a section.
    ANGLE = "angle", "degrees", -360.0, 360.0;
    /// Stiffness of wood or any stress in it.
    STRESS = "stress or stiffness", "MPa", -1.0e6, 1.0e6;
    /// Stiffness along or across the grain.
    MODULUS = "stiffness", "MPa", 0.1, 1.0e6;
    /// Force at a support or a clamp.
    FORCE = "force", "N", -1.0e7, 1.0e7;
    /// Load spread along a shelf.
    LINE_LOAD = "load along the length", "N/mm", 0.0, 1000.0;
    /// Mass on a scale.
    MASS = "mass", "g", 0.01, 1.0e6;
    /// Total shrinkage from green to oven-dry.
    SHRINKAGE = "total shrinkage", "%", 0.05, 30.0;
    /// Basic specific gravity: oven-dry mass on green volume.
    SPECIFIC_GRAVITY = "specific gravity", "", 0.05, 1.4;
    /// Moisture content below which wood shrinks.
    FIBER_SATURATION = "fiber saturation point", "%", 15.0, 40.0;
    /// Moisture diffusivity of wood.
    DIFFUSIVITY = "diffusivity", "m2/s", 1.0e-14, 1.0e-7;
    /// Locked-in strain of a surface layer.
    LOCKED_IN = "locked-in strain", "microstrain", -20_000.0, 20_000.0;
    /// A stretch of time.
    DURATION = "time", "s", 0.0, 1.0e10;
    /// A share or a chance.
    SHARE = "share", "%", 0.0, 100.0;
}

/// A value outside its row of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RangeError {
    /// The row that was broken.
    pub bounds: Bounds,
    /// The value offered, in the row's unit.
    pub value: f64,
}

impl fmt::Display for RangeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Bounds {
            label,
            unit,
            min,
            max,
        } = self.bounds;
        let unit = if unit.is_empty() || unit == "%" {
            unit.to_owned()
        } else {
            format!(" {unit}")
        };
        let (min, max) = (written(min), written(max));
        if self.value.is_finite() {
            // Six digits, unless they would make a value look as if it were inside.
            let short: f64 = format!("{:.5e}", self.value).parse().unwrap_or(self.value);
            let outside = self.bounds.check(short).is_err();
            let value = written(if outside { short } else { self.value });
            write!(
                f,
                "{label} {value}{unit} is outside {min}{unit} to {max}{unit}"
            )
        } else {
            write!(
                f,
                "{label} must be a finite number from {min}{unit} to {max}{unit}"
            )
        }
    }
}

/// A number as a maker writes it; a power of ten where the zeros would be hard to count.
fn written(value: f64) -> String {
    let size = value.abs();
    if size > 0.0 && !(1e-4..1e9).contains(&size) {
        format!("{value:e}")
    } else {
        value.to_string()
    }
}

impl std::error::Error for RangeError {}

impl Bounds {
    /// Gives `value` back when it is finite and inside the row.
    ///
    /// # Errors
    /// [`RangeError`] with the row and the value.
    pub fn check(self, value: f64) -> Result<f64, RangeError> {
        if value.is_finite() && value >= self.min && value <= self.max {
            Ok(value)
        } else {
            Err(RangeError {
                bounds: self,
                value,
            })
        }
    }
}
