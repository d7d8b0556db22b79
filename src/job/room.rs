//! A room in outdoor air, as a job file tells it.

use crate::air::indoor::{Heating, HouseMoisture, Indoor};
use crate::units::notation::Flag;
use crate::units::spanned::{Problems, Spanned};
use crate::units::{RelativeHumidity, Temperature};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// A room in outdoor air.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct IndoorKeys {
    /// The temperature that heating keeps; unless given, 20 C rising with warm weather (EN 15026).
    heat_to: Option<Spanned<Temperature>>,
    /// The temperature that cooling keeps; no cooling unless given.
    cool_to: Option<Spanned<Temperature>>,
    /// False for a shop or shed with no heat; true unless given.
    heated: Option<Spanned<Flag>>,
    /// The house's own moisture; "normal" unless given, "none" where there is no heat.
    vapour: Option<Spanned<HouseMoisture>>,
    /// A humidifier keeps the humidity from falling below this.
    humidify_to: Option<Spanned<RelativeHumidity>>,
    /// A dehumidifier keeps the humidity from rising above this.
    dehumidify_to: Option<Spanned<RelativeHumidity>>,
}

impl IndoorKeys {
    pub(super) fn read(&self, span: Range<usize>, problems: &mut Problems) -> Option<Indoor> {
        let heat_to = problems.take_optional(self.heat_to.as_ref());
        let cool_to = problems.take_optional(self.cool_to.as_ref());
        let heated = problems.take_optional(self.heated.as_ref());
        let vapour = problems.take_optional(self.vapour.as_ref());
        let humidify = problems.take_optional(self.humidify_to.as_ref());
        let dehumidify = problems.take_optional(self.dehumidify_to.as_ref());
        let (heat_to, cool_to, heated) = (heat_to?, cool_to?, heated?);
        let heated = heated.is_none_or(|flag| flag.0);
        let heating = match (heated, heat_to, cool_to) {
            (false, None, None) => Heating::Unheated {
                warmer_by_kelvin: 0.0,
            },
            (false, _, _) => {
                problems.push(
                    span,
                    "a room that is not heated has no temperature to heat or cool to",
                    "take out `heated = false`, or `heat_to` and `cool_to`",
                );
                return None;
            }
            (true, Some(heat_to), cool_to) => {
                if cool_to.is_some_and(|cool_to| cool_to < heat_to) {
                    problems.push(
                        span,
                        "the room is cooled below the temperature it is heated to",
                        "give a `cool_to` that is not below `heat_to`",
                    );
                    return None;
                }
                Heating::HeatTo { heat_to, cool_to }
            }
            (true, None, Some(_)) => {
                problems.push(
                    span,
                    "`cool_to` needs `heat_to` beside it",
                    "give the temperature that heating keeps too",
                );
                return None;
            }
            (true, None, None) => Heating::En15026,
        };
        let usual = if heated {
            HouseMoisture::default()
        } else {
            HouseMoisture::None
        };
        let room = Indoor::new(heating, vapour?.unwrap_or(usual));
        match room.with_set_points(humidify?, dehumidify?) {
            Ok(room) => Some(room),
            Err(crossed) => {
                problems.push(
                    span,
                    format!(
                        "the air is humidified to {} % but dehumidified to {} %",
                        crossed.humidify_to.percent(),
                        crossed.dehumidify_to.percent()
                    ),
                    "set `humidify_to` below `dehumidify_to`",
                );
                None
            }
        }
    }
}
