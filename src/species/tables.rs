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
    /// Fiber saturation that the totals belong to, percent; only some tables give it.
    #[serde(default)]
    pub fiber_saturation_percent: Option<f64>,
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

/// Total shrinkage of African woods with the fiber saturation it belongs to, and their strength.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct TropixRow {
    /// Name as in the table.
    pub species: String,
    /// Latin name.
    pub latin: Option<String>,
    /// Hardwood or softwood.
    pub group: Group,
    /// Total radial shrinkage, percent.
    pub radial_percent: f64,
    /// Total tangential shrinkage, percent.
    pub tangential_percent: f64,
    /// Shrinkage of the volume per 1 % moisture, percent.
    pub volumetric_coefficient_percent_per_percent: Option<f64>,
    /// Fiber saturation, percent moisture.
    pub fiber_saturation_percent: Option<f64>,
    /// Mass and volume at 12 % moisture, g/cm3.
    pub density_12_percent_g_per_cm3: Option<f64>,
    /// Modulus of elasticity, MPa.
    pub modulus_mpa: Option<f64>,
    /// Bending strength, MPa.
    pub bending_strength_mpa: Option<f64>,
    /// Compression along the grain, MPa.
    pub compression_along_mpa: Option<f64>,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// Movement per 1 % moisture, and shrinkage from green to 12 %.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct UnitShrinkageRow {
    /// Name as in the table.
    pub species: String,
    /// Latin name.
    pub latin: Option<String>,
    /// Hardwood or softwood.
    pub group: Group,
    /// Radial, percent per 1 % moisture.
    pub radial_percent_per_percent: Option<f64>,
    /// Tangential, percent per 1 % moisture.
    pub tangential_percent_per_percent: Option<f64>,
    /// Radial from green to 12 %, percent.
    pub radial_green_to_12_percent: Option<f64>,
    /// Tangential from green to 12 %, percent.
    pub tangential_green_to_12_percent: Option<f64>,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// The figures used for a wood that several publications give, and the range over all of them.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct SelectedRow {
    /// Name of the record.
    pub species: String,
    /// Latin name.
    pub latin: Option<String>,
    /// Hardwood or softwood.
    pub group: Group,
    /// Total radial shrinkage, percent.
    pub radial_percent: f64,
    /// Total tangential shrinkage, percent.
    pub tangential_percent: f64,
    /// Shrinkage of the volume, percent.
    pub volumetric_percent: Option<f64>,
    /// Lowest radial figure observed.
    pub radial_low: f64,
    /// Highest radial figure observed.
    pub radial_high: f64,
    /// Lowest tangential figure observed.
    pub tangential_low: f64,
    /// Highest tangential figure observed.
    pub tangential_high: f64,
    /// Fiber saturation that the totals belong to, percent.
    pub fiber_saturation_percent: Option<f64>,
    /// Oven-dry mass on green volume.
    pub basic_gravity: Option<f64>,
    /// Read or recalled, of the gravity.
    pub gravity_status: Option<Status>,
    /// Where the shrinkage comes from.
    pub source: String,
    /// Read, recalled or worked out.
    pub status: Status,
    /// Why this figure, or what else to know of it.
    pub note: Option<String>,
}

/// Basic specific gravity of one botanical species.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct GravityRow {
    /// Latin name.
    pub latin: String,
    /// Mean over the entries.
    pub mean: f64,
    /// Lowest entry.
    pub low: f64,
    /// Highest entry.
    pub high: f64,
    /// Number of entries.
    pub samples: u32,
    /// Where the row comes from.
    pub source: String,
    /// Read or recalled.
    pub status: Status,
}

/// Stiffness across the grain.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct AcrossRow {
    /// Name of the record.
    pub species: String,
    /// Latin name.
    pub latin: Option<String>,
    /// Mass and volume at 12 %, g/cm3.
    pub density_12_percent_g_per_cm3: f64,
    /// Stiffness along the grain, MPa.
    pub along_mpa: f64,
    /// Radial stiffness, MPa.
    pub radial_mpa: f64,
    /// Tangential stiffness, MPa.
    pub tangential_mpa: f64,
    /// Where the row comes from.
    pub source: String,
    /// Read, recalled or worked out.
    pub status: Status,
    /// A remark on the row.
    pub note: Option<String>,
}

/// Strength in tension across the grain.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct TensionAcrossRow {
    /// Name of the record.
    pub species: String,
    /// Mean, MPa; a standard gives its characteristic strength alone.
    pub mean_mpa: Option<f64>,
    /// Lowest, MPa.
    pub low_mpa: Option<f64>,
    /// Highest, MPa.
    pub high_mpa: Option<f64>,
    /// Where the row comes from.
    pub source: String,
    /// Read, recalled or worked out.
    pub status: Status,
}

/// How a trade name is handled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Treatment {
    /// It means one wood.
    Single,
    /// It means several; their weighted mean is used.
    Group,
    /// It does not decide; the weighted mean is used until the maker says which wood it is.
    Ask,
}

/// One wood that a yard means by a name.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct TradeNameRow {
    /// The yard's name.
    pub trade_name: String,
    /// Where it is used so: `US`, `US west`, `UK`, `EU`, `AU`.
    pub region: String,
    /// The record it means.
    pub member: String,
    /// Its share of the trade under that name.
    pub weight: f64,
    /// How the name is handled.
    pub treatment: Treatment,
    /// What else to know of it.
    pub note: Option<String>,
    /// Read or recalled.
    pub status: Status,
}

/// A word of sawing and what it means.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct SawingRow {
    /// The word.
    pub word: String,
    /// Where it is used.
    pub region: String,
    /// What runs across the width.
    pub what_runs_across_the_width: String,
    /// Read or recalled.
    pub status: Status,
}

/// One kind of sheet.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct SheetRow {
    /// Its name.
    pub sheet: String,
    /// Other names, parted by semicolons.
    pub other_names: String,
    /// Movement in the plane, percent per 1 % of its own moisture.
    pub in_plane_percent_per_percent: f64,
    /// The low end of that.
    pub in_plane_low: f64,
    /// The high end.
    pub in_plane_high: f64,
    /// Swelling of the thickness, percent per 1 % of its own moisture.
    pub thickness_percent_per_percent: f64,
    /// The material of the equilibrium table that it follows.
    pub equilibrium_material: String,
    /// Its equilibrium moisture over that of solid wood, at 65 % humidity.
    pub equilibrium_share: f64,
    /// Oven-dry mass on volume.
    pub specific_gravity: f64,
    /// Stiffness along the face grain, MPa.
    pub modulus_mpa: f64,
    /// Stiffness across it, MPa.
    pub modulus_across_mpa: f64,
    /// Shear stiffness through the thickness, MPa.
    pub shear_modulus_mpa: f64,
    /// Bending strength, MPa.
    pub bending_strength_mpa: f64,
    /// Shear strength in the plane, MPa.
    pub shear_mpa: f64,
    /// Tension in the plane across the face grain, MPa.
    pub tension_across_mpa: f64,
    /// Where the row comes from.
    pub source: String,
    /// Read, recalled or by judgement.
    pub status: Status,
    /// A remark on the row.
    pub note: Option<String>,
}

/// Published movement of a sheet, as found.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct SheetMovementRow {
    /// The sheet as its source names it.
    pub panel: String,
    /// What is given.
    pub quantity: String,
    /// The low end.
    pub low: Option<f64>,
    /// The typical figure.
    pub typical: Option<f64>,
    /// The high end or the limit.
    pub high: Option<f64>,
    /// Unit of the figures.
    pub unit: String,
    /// Conditions.
    pub conditions: String,
    /// Where the row comes from.
    pub source: String,
    /// Read, recalled, worked out or by judgement.
    pub status: Status,
}

/// Equilibrium moisture of a sheet beside solid wood.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct SheetMoistureRow {
    /// The material.
    pub material: String,
    /// Relative humidity, percent.
    pub relative_humidity_percent: f64,
    /// Equilibrium moisture, percent.
    pub moisture_percent: f64,
    /// Over that of solid wood.
    pub ratio_to_solid_wood: f64,
    /// Where the row comes from.
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
    /// Green moisture content (Wood Handbook Table 4-1).
    green_moisture: GreenMoistureRow = "wood_handbook_4_1_green_moisture.csv";
    /// Intersection moisture content (Wood Handbook chapter 5).
    intersection_moisture: IntersectionRow = "wood_handbook_5_intersection_moisture.csv";
    /// Other names.
    names: NameRow = "names.csv";
    /// Shrinkage, fiber saturation and strength of African woods (CIRAD Tropix 7).
    tropix: TropixRow = "cirad_tropix_7_african.csv";
    /// Total shrinkage (DIN 68100).
    din_68100: ShrinkageRow = "din_68100_total_shrinkage.csv";
    /// Movement per 1 % moisture (German timber trade federation).
    gd_holz: UnitShrinkageRow = "gd_holz_differential_shrinkage.csv";
    /// Movement per 1 % moisture of reconditioned wood (Queensland Department of Agriculture and Fisheries).
    queensland: UnitShrinkageRow = "queensland_daf_unit_shrinkage.csv";
    /// Movement per 1 % moisture (CSIRO).
    csiro: UnitShrinkageRow = "csiro_unit_shrinkage.csv";
    /// Shrinkage from green to 12 %, single pages.
    green_to_12: UnitShrinkageRow = "green_to_12_percent_shrinkage.csv";
    /// Total shrinkage, single sheets of Agriculture Handbook 607 and others.
    single_sheets: ShrinkageRow = "single_sheets_shrinkage.csv";
    /// The figures used where several publications give a wood.
    selected: SelectedRow = "selected_shrinkage.csv";
    /// Basic specific gravity (Global Wood Density Database).
    gravity: GravityRow = "global_wood_density_gravity.csv";
    /// Stiffness across the grain (Hearmon 1948 and a density rule).
    across: AcrossRow = "cross_grain_stiffness.csv";
    /// Tension across the grain.
    tension_across: TensionAcrossRow = "tension_across_grain.csv";
    /// Names of the yard.
    trade_names: TradeNameRow = "trade_names.csv";
    /// Words of sawing.
    sawing_words: SawingRow = "sawing_words.csv";
    /// Sheet goods as they are used.
    sheets: SheetRow = "sheet_goods.csv";
    /// Published movement of sheet goods.
    sheet_movement: SheetMovementRow = "sheet_goods_movement.csv";
    /// Equilibrium moisture of sheet goods.
    sheet_moisture: SheetMoistureRow = "panel_equilibrium_moisture.csv";
}
