//! The built-in tables, row by row as they stand in `species_data/`.
//!
//! One function a file; each parses its text again and is meant for loading and
//! for tests. Units are in the column names; an empty cell is `None`.

use super::record::Group;
use super::sourced::Status;
use serde::Deserialize;
use serde::de::DeserializeOwned;

/// Total shrinkage from green to oven-dry.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct ShrinkageRow {
    /// Name as in the table.
    pub species: String,
    /// Latin name.
    pub latin: Option<String>,
    /// Hardwood or softwood.
    pub group: Group,
    /// Radial shrinkage, percent of the green size.
    pub radial_percent: f64,
    /// Tangential shrinkage, percent of the green size.
    pub tangential_percent: Option<f64>,
    /// Shrinkage of the volume, percent of the green volume.
    #[serde(default)]
    pub volumetric_percent: Option<f64>,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
    /// A remark on the row.
    #[serde(default)]
    pub note: Option<String>,
}

/// Strain per 1 % moisture between 6 and 14 %, based on the size at 10 %.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct CoefficientRow {
    /// Name as in the table.
    pub species: String,
    /// Latin name.
    pub latin: Option<String>,
    /// Hardwood or softwood.
    pub group: Group,
    /// Moisture content at which shrinking starts, inferred from the row; percent.
    pub fiber_saturation_percent: Option<f64>,
    /// Radial coefficient, per 1 %.
    pub radial_coefficient: f64,
    /// Tangential coefficient, per 1 %.
    pub tangential_coefficient: f64,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// Strength and stiffness of clear wood.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct MechanicalRow {
    /// Name as in the table.
    pub species: String,
    /// Latin name.
    pub latin: Option<String>,
    /// `12`, `15` or `green`; only the table of imported woods says it.
    #[serde(default)]
    pub moisture: Option<String>,
    /// Oven-dry mass on the volume at this moisture; in the table of imported woods always on green volume.
    pub specific_gravity: Option<f64>,
    /// Modulus of rupture in static bending, MPa.
    pub bending_strength_mpa: Option<f64>,
    /// Modulus of elasticity in static bending, MPa.
    pub modulus_mpa: Option<f64>,
    /// Strength in compression along the grain, MPa.
    pub compression_along_mpa: Option<f64>,
    /// Stress at the proportional limit in compression across the grain, MPa.
    #[serde(default)]
    pub compression_across_mpa: Option<f64>,
    /// Shear strength along the grain, MPa.
    pub shear_mpa: Option<f64>,
    /// Strength in tension across the grain, MPa.
    #[serde(default)]
    pub tension_across_mpa: Option<f64>,
    /// Side hardness, N.
    pub side_hardness_n: Option<f64>,
    /// The figures as printed, separated by `|`, where the row says them.
    #[serde(default)]
    pub printed: Option<String>,
    /// Unit system of the printed figures: `psi` or `kPa`.
    #[serde(default)]
    pub printed_units: Option<String>,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// Stiffness across the grain and in shear over the stiffness along the grain.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct ElasticRow {
    /// Name as in the table.
    pub species: String,
    /// `E_T / E_L`.
    pub tangential_ratio: Option<f64>,
    /// `E_R / E_L`.
    pub radial_ratio: Option<f64>,
    /// `G_LR / E_L`.
    pub shear_lr_ratio: Option<f64>,
    /// `G_LT / E_L`.
    pub shear_lt_ratio: Option<f64>,
    /// `G_RT / E_L`.
    pub shear_rt_ratio: Option<f64>,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// Poisson's ratios: the first letter is the direction of stress, the second that of the strain.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct PoissonRow {
    /// Name as in the table.
    pub species: String,
    /// Stress along the grain, strain radial.
    pub lr: Option<f64>,
    /// Stress along the grain, strain tangential.
    pub lt: Option<f64>,
    /// Stress radial, strain tangential.
    pub rt: Option<f64>,
    /// Stress tangential, strain radial.
    pub tr: Option<f64>,
    /// Stress radial, strain along the grain.
    pub rl: Option<f64>,
    /// Stress tangential, strain along the grain.
    pub tl: Option<f64>,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// How much a property varies between pieces of one wood.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct VariationRow {
    /// The property.
    pub property: String,
    /// Coefficient of variation, percent.
    pub variation_percent: f64,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// Moisture content of the living tree.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct GreenMoistureRow {
    /// Name as in the table.
    pub species: String,
    /// Heartwood, percent.
    pub heartwood_percent: Option<f64>,
    /// Sapwood, percent.
    pub sapwood_percent: Option<f64>,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// Moisture content above which strength no longer changes.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct IntersectionRow {
    /// Name as in the table.
    pub species: String,
    /// Intersection moisture content, percent.
    pub intersection_percent: f64,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// Loss of strength and stiffness per 1 % more moisture, percent.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct StrengthMoistureRow {
    /// Name as in the table.
    pub species: String,
    /// Modulus of rupture.
    pub bending_strength: Option<f64>,
    /// Modulus of elasticity.
    pub modulus: Option<f64>,
    /// Compression along the grain.
    pub compression_along: Option<f64>,
    /// Compression across the grain.
    pub compression_across: Option<f64>,
    /// Shear along the grain.
    pub shear: Option<f64>,
    /// Side hardness.
    pub side_hardness: Option<f64>,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// Another name of a wood, in the trade or in another table.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct NameRow {
    /// The other name.
    pub name: String,
    /// The name of the record it means.
    pub species: String,
    /// Who calls it so.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

fn rows<Row: DeserializeOwned>(text: &str) -> Result<Vec<Row>, csv::Error> {
    csv::Reader::from_reader(text.as_bytes())
        .into_deserialize()
        .collect()
}

macro_rules! files {
    ($($(#[$doc:meta])* $name:ident: $row:ty = $file:literal;)+) => {
        $($(#[$doc])*
        ///
        /// # Errors
        /// The first row that does not parse.
        pub fn $name() -> Result<Vec<$row>, csv::Error> {
            rows(include_str!(concat!("../../species_data/", $file)))
        })+
        /// Every built-in file with its text, in the order of the functions.
        pub const FILES: &[(&str, &str)] =
            &[$(($file, include_str!(concat!("../../species_data/", $file)))),+];
    };
}

files! {
    /// Shrinkage of woods grown in the United States (Wood Handbook Table 4-3).
    shrinkage_domestic: ShrinkageRow = "wood_handbook_4_3_shrinkage_domestic.csv";
    /// Shrinkage of woods imported into the United States (Wood Handbook Table 4-4).
    shrinkage_imported: ShrinkageRow = "wood_handbook_4_4_shrinkage_imported.csv";
    /// Shrinkage of European woods (*Panel Paintings*, 1998, Table 1).
    shrinkage_european: ShrinkageRow = "panel_paintings_1998_shrinkage_european.csv";
    /// Dimensional change coefficients (Wood Handbook Table 13-5).
    change_coefficients: CoefficientRow = "wood_handbook_13_5_change_coefficients.csv";
    /// Strength and stiffness at 12 % moisture (Wood Handbook Table 5-3a).
    mechanical_12_percent: MechanicalRow = "wood_handbook_5_3a_mechanical_12_percent.csv";
    /// Strength and stiffness of green wood (Wood Handbook Table 5-3).
    mechanical_green: MechanicalRow = "wood_handbook_5_3_mechanical_green.csv";
    /// Strength and stiffness of imported woods, green and dry (Wood Handbook Table 5-5).
    mechanical_imported: MechanicalRow = "wood_handbook_5_5_mechanical_imported.csv";
    /// Elastic ratios at 12 % (Wood Handbook Table 5-1).
    elastic_ratios: ElasticRow = "wood_handbook_5_1_elastic_ratios.csv";
    /// Poisson's ratios at 12 % (Wood Handbook Table 5-2).
    poisson_ratios: PoissonRow = "wood_handbook_5_2_poisson_ratios.csv";
    /// Variation of properties between pieces (Wood Handbook Table 5-6).
    property_variation: VariationRow = "wood_handbook_5_6_property_variation.csv";
    /// Green moisture content (Wood Handbook Table 4-1).
    green_moisture: GreenMoistureRow = "wood_handbook_4_1_green_moisture.csv";
    /// Intersection moisture content (Wood Handbook chapter 5).
    intersection_moisture: IntersectionRow = "wood_handbook_5_intersection_moisture.csv";
    /// Strength against moisture (ANC-18, 1951).
    strength_moisture: StrengthMoistureRow = "anc_18_strength_moisture.csv";
    /// Other names.
    names: NameRow = "names.csv";
}
