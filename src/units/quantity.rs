//! The quantities: one `f64` each, private, with the unit in every constructor
//! and getter.
//!
//! `from_…` checks a value that came from outside against its row in
//! [`Bounds`]. `computed_…` takes a value that the program computed from
//! checked ones and does not check it again; it is for formulas, never for
//! input.
//!
//! As text a quantity is its number and metric unit (`12.7 mm`; `{:.1}` rounds it). For `serde` it is its number in that unit, and
//! is read from such a number or from shop notation (`"1/2in"`), both checked.

use super::bounds::{Bounds, RangeError};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// Standard gravity, m/s2, which is also the newtons in a kilogram-force (3rd General Conference on Weights and Measures, 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $bounds:ident, $from:ident, $computed:ident, $get:ident, $unit:literal, $key:literal, $shown:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Zero of the quantity.
            pub const ZERO: $name = $name(0.0);

            /// What the key of such a value ends in where it is written as data.
            pub const KEY: &'static str = $key;

            #[doc = concat!("A value from outside, in ", $unit, ".")]
            ///
            /// # Errors
            #[doc = concat!("[`RangeError`] outside [`Bounds::", stringify!($bounds), "`] or not finite.")]
            pub fn $from(value: f64) -> Result<Self, RangeError> {
                Bounds::$bounds.check(value).map(Self)
            }

            #[doc = concat!("A value computed from checked ones, in ", $unit, ".")]
            #[must_use]
            pub const fn $computed(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("The value in ", $unit, ".")]
            #[must_use]
            pub const fn $get(self) -> f64 {
                self.0
            }

            /// Which of the two is the greater, by [`f64::total_cmp`].
            #[must_use]
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }

            /// The size without the sign.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The lesser of the two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The greater of the two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)?;
                f.write_str($shown)
            }
        }
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_newtype_struct($key, &self.0)
            }
        }
        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                super::serial::read(deserializer, Self::$from, Self::from_notation)
            }
        }
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name {
                $name(self * quantity.0)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
    };
}

quantity!(
    /// A length, signed: a size, an offset, a gap, the rise of a bow.
    Length, LENGTH, from_mm, from_mm_unchecked, mm, "millimetres",
    "mm", " mm"
);
quantity!(
    /// Moisture content of wood, percent of its oven-dry mass.
    MoistureContent, MOISTURE, from_percent, computed_percent, percent, "percent of oven-dry mass",
    "percent", "%"
);
quantity!(
    /// Relative humidity of air, over liquid water at every temperature.
    RelativeHumidity, HUMIDITY, from_percent, computed_percent, percent, "percent",
    "percent", "%"
);
quantity!(
    /// How often something happens, of all that may be.
    Chance, SHARE, from_percent, computed_percent, percent, "percent",
    "percent", "%"
);
quantity!(
    /// A part of a whole.
    Share, SHARE, from_percent, computed_percent, percent, "percent",
    "percent", "%"
);
quantity!(
    /// Temperature of air or wood.
    Temperature, TEMPERATURE, from_celsius, computed_celsius, celsius, "degrees Celsius",
    "c", " C"
);
quantity!(
    /// Change of length over length; swelling is positive.
    Strain, STRAIN, from_ratio, computed_ratio, ratio, "length over length",
    "strain", ""
);
quantity!(
    /// One over the radius of a bend; positive when the lower face is hollow.
    Curvature, CURVATURE, from_per_mm, computed_per_mm, per_mm, "one over millimetres",
    "per_mm", " 1/mm"
);
quantity!(
    /// An angle.
    Angle, ANGLE, from_degrees, computed_degrees, degrees, "degrees",
    "degrees", " deg"
);
quantity!(
    /// Stress in wood, or its stiffness or strength.
    Stress, STRESS, from_mpa, computed_mpa, mpa, "MPa (N/mm2)",
    "mpa", " MPa"
);
quantity!(
    /// A force.
    Force, FORCE, from_newtons, computed_newtons, newtons, "newtons",
    "n", " N"
);
quantity!(
    /// A load spread evenly along a length.
    LineLoad, LINE_LOAD, from_newtons_per_mm, computed_newtons_per_mm, newtons_per_mm, "newtons per millimetre",
    "n_per_mm", " N/mm"
);
quantity!(
    /// A mass, as read on a scale.
    Mass, MASS, from_grams, computed_grams, grams, "grams",
    "g", " g"
);
quantity!(
    /// A stretch of time.
    Duration, DURATION, from_seconds, computed_seconds, seconds, "seconds",
    "s", " s"
);

impl Length {
    /// The value in inches of 25.4 mm.
    #[must_use]
    pub fn inches(self) -> f64 {
        self.0 / 25.4
    }

    /// A value from outside checked against a narrower row of the table, such as [`Bounds::THICKNESS`].
    ///
    /// # Errors
    /// [`RangeError`] outside the row or not finite.
    pub fn within(self, bounds: Bounds) -> Result<Self, RangeError> {
        bounds.check(self.0).map(Self)
    }
}

impl Chance {
    /// It always happens.
    pub const CERTAIN: Self = Self(100.0);

    /// The chance that it does not happen.
    #[must_use]
    pub fn otherwise(self) -> Self {
        Self::CERTAIN - self
    }

    /// The chance of a fraction of all that may be, 0 to 1.
    #[must_use]
    pub const fn of_fraction(fraction: f64) -> Self {
        Self(100.0 * fraction)
    }
}

impl Share {
    /// All of it.
    pub const WHOLE: Self = Self(100.0);
}

impl RelativeHumidity {
    /// The value as a share of saturation, 0 to 1.
    #[must_use]
    pub fn fraction(self) -> f64 {
        self.0 / 100.0
    }
}

impl Temperature {
    /// The value in kelvin.
    #[must_use]
    pub fn kelvin(self) -> f64 {
        self.0 + 273.15
    }

    /// The value in degrees Fahrenheit.
    #[must_use]
    pub fn fahrenheit(self) -> f64 {
        self.0 * 1.8 + 32.0
    }
}

impl Strain {
    /// The value in millionths.
    #[must_use]
    pub fn microstrain(self) -> f64 {
        self.0 * 1e6
    }
}

impl Angle {
    /// The value in radians.
    #[must_use]
    pub fn radians(self) -> f64 {
        self.0.to_radians()
    }
}

impl Curvature {
    /// The rise of this bend's arc over a chord: `kappa L^2 / 8`, the parabola through a shallow arc: short by a share `(d/L)^2` or so of a rise `d`.
    #[must_use]
    pub fn rise_over(self, chord: Length) -> Length {
        Length::from_mm_unchecked(self.0 * chord.mm() * chord.mm() / 8.0)
    }

    /// The bend whose arc rises by `rise` over `chord`: `8 d / L^2`.
    #[must_use]
    pub fn of_rise(rise: Length, chord: Length) -> Self {
        Self(8.0 * rise.mm() / (chord.mm() * chord.mm()))
    }
}

impl Duration {
    /// The value in days of 86 400 s.
    #[must_use]
    pub fn days(self) -> f64 {
        self.0 / 86_400.0
    }

    /// A stretch of so many days.
    #[must_use]
    pub fn computed_days(days: f64) -> Self {
        Self(days * 86_400.0)
    }
}
