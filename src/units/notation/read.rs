//! What each kind of value tells a file's reader: how to read it and what to
//! write instead. Where two notations share a quantity, a newtype names the
//! notation.

use super::date::date;
use super::error::NotationError;
use super::length::{length, rough_thickness};
use super::{air, bare, list, load, scale};
use crate::units::spanned::ReadNotation;
use crate::units::{
    Angle, Chance, Curvature, Duration, Force, Length, LineLoad, Mass, MoistureContent,
    RelativeHumidity, Share, Strain, Stress, Temperature, UnitSystem,
};
use jiff::civil::Date;
use std::str::FromStr;

/// A thickness as sold, `8/4` or a length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoughThickness(pub Length);

/// A share or chance, in percent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Percent(pub f64);

/// A plain number, given in quotes or bare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number(pub f64);

/// A whole number of zero or more: a count, coats, a seed. Given bare or in quotes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Whole(pub u64);

/// Yes or no, given as `true` or `false`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Flag(pub bool);

/// A moisture diffusivity, m2/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diffusivity(pub f64);

/// A locked-in strain, given in millionths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LockedIn(pub Strain);

/// Lengths in one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Lengths(pub Vec<Length>);

/// Ring angles at places across the width, in one line.
#[derive(Debug, Clone, PartialEq)]
pub struct RingAngles(pub Vec<(Length, Angle)>);

macro_rules! reads {
    ($($kind:ty, $what:literal, $bare:literal, $read:expr $(, in $in_units:path)?;)+) => {
        $(impl ReadNotation for $kind {
            const WHAT: &'static str = $what;
            const TAKES_BARE: bool = $bare;
            fn read(text: &str) -> Result<Self, NotationError> {
                ($read)(text)
            }
            $(
                const TAKES_UNIT_OF_JOB: bool = true;
                fn read_in(text: &str, units: UnitSystem) -> Result<(Self, String), NotationError> {
                    let text = $in_units(text, units)?;
                    Ok((Self::read(&text)?, text))
                }
            )?
        })+
    };
}

reads! {
    Length, "a length with its unit, such as \"3/8in\" or \"10 mm\"", false, length, in bare::length_in;
    RoughThickness, "a rough thickness such as \"8/4\" or \"52 mm\"", false,
        |text: &str| rough_thickness(text).map(Self), in bare::length_in;
    MoistureContent, "a moisture content such as \"9.5%\"", false, air::moisture, in bare::percent_in;
    RelativeHumidity, "a relative humidity such as \"58%\"", false, air::humidity, in bare::percent_in;
    Temperature, "a temperature such as \"64F\" or \"20C\"", false, air::temperature, in bare::temperature_in;
    Percent, "a share in percent such as \"15%\"", false, |text: &str| air::percent(text).map(Self), in bare::percent_in;
    Angle, "an angle such as \"20deg\"", false, scale::angle, in bare::degrees_in;
    Stress, "a stiffness or stress such as \"11GPa\" or \"1.8Mpsi\"", false, load::stress;
    Force, "a force such as \"200N\" or \"45lbf\"", false, load::force;
    LineLoad, "a load along the length such as \"25lb/ft\" or \"0.4N/mm\"", false, load::line_load;
    Mass, "a mass such as \"1840g\" or \"4 lb 2 oz\"", false, scale::mass;
    Duration, "a time such as \"90s\", \"5 min\" or \"10 days\"", false, scale::duration;
    Diffusivity, "a diffusivity in m2/s such as \"3e-11\"", false,
        |text: &str| scale::diffusivity(text).map(Self);
    LockedIn, "a strain in millionths such as \"400 microstrain\"", false,
        |text: &str| scale::strain_microstrain(text).map(Self);
    Number, "a plain number such as 0.5", true, |text: &str| scale::number(text).map(Self);
    Whole, "a whole number such as 3", true, |text: &str| scale::whole(text).map(Self);
    Flag, "true or false", true, read_flag;
    Lengths, "lengths with commas between, such as \"0mm, 450mm, 900mm\"", false,
        |text: &str| list::lengths(text).map(Self), in bare::lengths_in;
    RingAngles, "places and ring angles such as \"-100mm:20deg, 100mm:-18deg\"", false,
        |text: &str| list::ring_angles(text).map(Self);
    Date, "a date such as 2026-10-05, without quotes", true, |text: &str| date(text, None);
}

macro_rules! from_text {
    ($($quantity:ty: $what:literal;)+) => {
        $(impl FromStr for $quantity {
            type Err = NotationError;
            #[doc = concat!("Reads ", $what, ".")]
            fn from_str(text: &str) -> Result<Self, NotationError> {
                ReadNotation::read(text)
            }
        }
        impl $quantity {
            pub(in crate::units) fn from_notation(text: &str) -> Option<Result<Self, NotationError>> {
                Some(ReadNotation::read(text))
            }
        })+
    };
}

from_text! {
    Length: "shop notation: `3/8in`, `8' 6 1/2in`, `10 mm`";
    MoistureContent: "`9.5%`";
    RelativeHumidity: "`58%`";
    Temperature: "`64F`, `20C`";
    Angle: "`20deg`";
    Stress: "`11GPa`, `1.8Mpsi`";
    Force: "`200N`, `45lbf`";
    LineLoad: "`25lb/ft`, `0.4N/mm`";
    Mass: "`1840g`, `4 lb 2 oz`";
    Duration: "`90s`, `10 days`";
}

macro_rules! number_only {
    ($($quantity:ty),+) => {
        $(impl $quantity {
            pub(in crate::units) const fn from_notation(_: &str) -> Option<Result<Self, NotationError>> {
                None
            }
        })+
    };
}

number_only!(Chance, Curvature, Share, Strain);

fn read_flag(text: &str) -> Result<Flag, NotationError> {
    match text.trim() {
        "true" | "yes" => Ok(Flag(true)),
        "false" | "no" => Ok(Flag(false)),
        _ => Err(NotationError::new(
            text,
            "this is neither true nor false",
            "write true or false",
        )),
    }
}
