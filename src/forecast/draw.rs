//! One draw: what a maker cannot know, as it might truly be. The middle draw
//! is every input at its middle.

/// Kinds of uncertain inputs and their spreads, each for a part, a place or the whole job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spreads {
    /// Coefficient of variation of shrinkage between boards of one wood (Wood Handbook ch. 4, from memory: 15 %).
    pub shrinkage_cov: f64,
    /// Correlation of radial with tangential shrinkage of one board: judgement.
    pub radial_with_tangential: f64,
    /// Standard deviation of the meter, percent moisture: a reading is right within 1 % nine times in ten.
    pub meter_percent: f64,
    /// Standard deviation of the logarithm of the diffusivity: published measurements span 1e-11 to 3e-10 m2/s.
    pub diffusivity_log: f64,
    /// Standard deviation of the logarithm of the exchange at the faces: judgement.
    pub surface_log: f64,
    /// Standard deviation of the equilibrium moisture, as a share: sorption history, within 7 % nine times in ten.
    pub equilibrium: f64,
    /// Standard deviation of the room's humidity against what was told, percent humidity: judgement.
    pub humidity_percent: f64,
    /// Standard deviation of the logarithm of the pith's depth: how well rings are read; judgement.
    pub rings_log: f64,
}

impl Default for Spreads {
    fn default() -> Self {
        Self {
            shrinkage_cov: 0.15,
            radial_with_tangential: 0.7,
            meter_percent: 1.0 / 1.645,
            diffusivity_log: 0.5,
            surface_log: 0.25,
            equilibrium: 0.07 / 1.645,
            humidity_percent: 3.0,
            rings_log: 0.15,
        }
    }
}

/// What one draw says of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartDraw {
    /// Multiplies the tangential shrinkage.
    pub tangential: f64,
    /// Multiplies the radial shrinkage.
    pub radial: f64,
    /// Added to the moisture read, percent.
    pub moisture_offset_percent: f64,
    /// Multiplies the diffusivity.
    pub diffusivity: f64,
    /// Multiplies the depth of the pith.
    pub pith_depth: f64,
}

/// What one draw says of a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceDraw {
    /// Multiplies the equilibrium moisture.
    pub equilibrium: f64,
    /// Multiplies the exchange at the faces.
    pub surface: f64,
}

/// One draw of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    /// By part.
    pub parts: Vec<PartDraw>,
    /// By place.
    pub places: Vec<PlaceDraw>,
}

impl Draw {
    /// The middle draw.
    #[must_use]
    pub fn middle(parts: usize, places: usize) -> Self {
        Self {
            parts: vec![
                PartDraw {
                    tangential: 1.0,
                    radial: 1.0,
                    moisture_offset_percent: 0.0,
                    diffusivity: 1.0,
                    pith_depth: 1.0,
                };
                parts
            ],
            places: vec![
                PlaceDraw {
                    equilibrium: 1.0,
                    surface: 1.0,
                };
                places
            ],
        }
    }
}
