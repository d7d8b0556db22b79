//! The air as a face meets it, and how readily a face exchanges with it.

use super::diffusivity::{GAS_CONSTANT, RowPlace, WATER_KG_PER_MOL, tabled_humidity, tabled_slope};
use super::slab::{FaceExchange, Film, Slab};
use crate::air::{
    AirState, Hysteresis, equilibrium_percent, humidity_for, saturation_pressure_pa_at,
};
use crate::units::{MoistureContent, Temperature};

/// Mass-transfer coefficient of still room air, m/s.
const FILM_M_PER_S: f64 = 0.003;
/// Moisture content at which the isotherm's slope is taken for a finish, percent: midway
/// between the two airs of the exclusion test.
const FINISH_PERCENT: f64 = 12.5;

/// The air at a face: what a time step needs of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurfaceAir {
    pub(super) equilibrium_percent: f64,
    pub(super) celsius: f64,
    /// Humidity in balance with the equilibrium moisture, by the table that a step reads.
    humidity: f64,
    /// `W p_sat/10` of the film, m/s per unit of `(dh/dM)/G`.
    film_drive: f64,
    /// `p_sat (dh/dM)/10` of a finish, to be multiplied by its permeance.
    finish_drive: f64,
}

impl SurfaceAir {
    /// Of a state of air.
    #[must_use]
    pub fn of(air: AirState) -> Self {
        let celsius = air.temperature.celsius();
        Self::ready(
            equilibrium_percent(celsius, air.humidity.fraction()),
            celsius,
        )
    }

    /// Of air that stays as it is, for wood that comes to it from a moisture: wood that loses settles on the losing curve, wood
    /// that gains on the gaining one, and wood between the two stays where it is ([`Hysteresis`]).
    #[must_use]
    pub fn met_from(air: AirState, moisture: MoistureContent) -> Self {
        let of_table = Self::of(air);
        let table_percent = of_table.equilibrium_percent;
        let met = Hysteresis::at(Hysteresis::SLOPE, table_percent, moisture.percent());
        of_table.settling_at(met.settles_percent())
    }

    /// Of air that keeps wood at `moisture`; whether there is such air [`SurfaceAir::can_exist`] tells.
    #[must_use]
    pub fn keeping(moisture: MoistureContent, temperature: Temperature) -> Self {
        Self::ready(moisture.percent(), temperature.celsius())
    }

    fn ready(equilibrium_percent: f64, celsius: f64) -> Self {
        let place = RowPlace::of(celsius);
        let saturation_pa = saturation_pressure_pa_at(celsius);
        let slope = tabled_slope(place, FINISH_PERCENT);
        Self {
            equilibrium_percent,
            celsius,
            humidity: tabled_humidity(place, equilibrium_percent),
            film_drive: film_permeance(celsius) * saturation_pa / 10.0,
            finish_drive: saturation_pa * slope / 10.0,
        }
    }

    /// The same air for a surface that settles at another moisture in it: by its history, or in drier air by the same share.
    pub(super) fn settling_at(&self, percent: f64) -> Self {
        Self {
            equilibrium_percent: percent,
            humidity: tabled_humidity(RowPlace::of(self.celsius), percent),
            ..*self
        }
    }

    /// Slope of the isotherm from a moisture content to that of the air, per 1 %: its chord.
    #[inline]
    fn chord(&self, place: RowPlace, from_percent: f64) -> f64 {
        let run = self.equilibrium_percent - from_percent;
        if run.abs() < 1e-6 {
            tabled_slope(place, from_percent)
        } else {
            ((self.humidity - tabled_humidity(place, from_percent)) / run).max(0.0)
        }
    }

    /// Moisture content that wood comes to in it.
    #[must_use]
    pub const fn equilibrium(&self) -> MoistureContent {
        MoistureContent::computed_percent(self.equilibrium_percent)
    }

    /// Whether some air can keep wood at this moisture.
    #[must_use]
    pub fn can_exist(&self) -> bool {
        humidity_for(
            self.equilibrium(),
            Temperature::computed_celsius(self.celsius),
        )
        .is_some()
    }
}

/// Permeance of the room's film of air, kg/(m2 s Pa): `beta M_w/(R T)`.
fn film_permeance(celsius: f64) -> f64 {
    FILM_M_PER_S * WATER_KG_PER_MOL / (GAS_CONSTANT * (celsius + 273.15))
}

/// How one face exchanges, made ready for time steps.
#[derive(Debug, Clone, Copy)]
pub(super) enum Surface {
    /// Film and finish in series: kg/(m2 s Pa) without the film.
    Permeance { finish: f64, film: bool },
    /// Known coefficient, m/s; infinite where the face is at once at the air's moisture.
    Coefficient(f64),
}

impl Surface {
    pub(super) fn of(face: FaceExchange, film: Film) -> Self {
        match (face, film) {
            (FaceExchange::Sealed, _) => Self::Coefficient(0.0),
            (FaceExchange::Coefficient(value), _) => Self::Coefficient(value),
            (FaceExchange::Open(finish), Film::Off) if finish.is_bare() => {
                Self::Coefficient(f64::INFINITY)
            }
            (FaceExchange::Open(finish), film) => Self::Permeance {
                finish: finish.permeance_kg_per_m2_s_pa(),
                film: film == Film::Room,
            },
        }
    }

    /// Exchange coefficient of film and finish in series, m/s.
    ///
    /// Each is `S = W p_sat (dh/dM)/(10 G)`. For the film `dh/dM` is the chord of the
    /// isotherm between the face and the air: vapour pressure drives it. For the finish
    /// it is the slope at one moisture, so that it passes the same per percent of moisture
    /// in dry and in damp air: coatings grow more permeable with humidity. The exclusion
    /// table bears this out: for a specimen of 16 mm and 1.5e-10 m2/s the best fit of two coats of
    /// urethane varnish errs by 6.3 points if vapour pressure drives it, by 3.7 this way.
    #[inline]
    pub(super) fn coefficient(
        self,
        slab: &Slab,
        air: &SurfaceAir,
        place: RowPlace,
        face_percent: f64,
    ) -> f64 {
        match self {
            Self::Coefficient(value) => {
                if value > 0.0 {
                    value * slab.surface_factor
                } else {
                    0.0
                }
            }
            Self::Permeance { finish, film } => {
                // Of bare wood infinite: no resistance.
                let finish = finish * air.finish_drive;
                let both = if film {
                    let scale = slab.equilibrium_factor;
                    let slope = air.chord(place, face_percent / scale) / scale;
                    let film = air.film_drive * slope;
                    if finish.is_infinite() {
                        film
                    } else if film > 0.0 {
                        film * finish / (film + finish)
                    } else {
                        0.0
                    }
                } else {
                    finish
                };
                slab.surface_factor * both / slab.basic_gravity
            }
        }
    }
}
