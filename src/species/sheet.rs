//! Sheet goods: plywood, MDF, particleboard and their kin, as records beside the woods.

use super::join::bare;
use super::record::{Group, Kind, Species, TotalShrinkage};
use super::sourced::Sourced;
use super::tables;
use super::witness::total_of_coefficient;
use std::sync::Arc;

/// What a sheet does that solid wood does not.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Movement in its plane, both ways, percent per 1 % of its own moisture.
    pub in_plane_percent_per_percent: f64,
    /// The range of that.
    pub in_plane_range: [f64; 2],
    /// Swelling of its thickness, percent per 1 % of its own moisture.
    pub thickness_percent_per_percent: f64,
    /// Its equilibrium moisture over that of solid wood in the same air, at 65 % humidity.
    pub equilibrium_share: f64,
}

/// Every sheet as a record, with its other names.
///
/// The plane moves by `a` percent per 1 % of the sheet's moisture along and across, the thickness by `b`: totals with
/// those slopes at 10 %, radial through the thickness, tangential and along the grain in the plane.
pub(super) fn records() -> Vec<(Species, Vec<String>)> {
    tables::sheets()
        .unwrap_or_default()
        .into_iter()
        .map(|row| {
            let source: Arc<str> = row.source.as_str().into();
            let sourced = |value| Sourced::new(value, &source, row.status);
            let total = |percent: f64| sourced(total_of_coefficient(percent / 100.0, 30.0));
            let shrinkage = TotalShrinkage {
                radial_percent: total(row.thickness_percent_per_percent),
                tangential_percent: total(row.in_plane_percent_per_percent),
                volumetric_percent: None,
                longitudinal_percent: Some(total(row.in_plane_percent_per_percent)),
            };
            let mut sheet = bare(row.sheet.clone(), None, Group::Hardwood, shrinkage);
            sheet.fiber_saturation_percent = Some(sourced(30.0));
            sheet.basic_specific_gravity = Some(sourced(row.specific_gravity));
            sheet.dry.modulus_mpa = Some(sourced(row.modulus_mpa));
            sheet.dry.bending_strength_mpa = Some(sourced(row.bending_strength_mpa));
            sheet.dry.shear_mpa = Some(sourced(row.shear_mpa));
            sheet.dry.tension_across_mpa = Some(sourced(row.tension_across_mpa));
            sheet.dry.compression_across_mpa = Some(sourced(row.shear_mpa * 2.0));
            sheet.across.tangential_mpa = Some(sourced(row.modulus_across_mpa));
            sheet.across.radial_mpa = Some(sourced(row.modulus_across_mpa));
            let shear = Some(sourced(row.shear_modulus_mpa / row.modulus_mpa));
            sheet.elastic_ratios.shear_lr.clone_from(&shear);
            sheet.elastic_ratios.shear_lt.clone_from(&shear);
            sheet.elastic_ratios.shear_rt = shear;
            sheet.remark = row.note;
            sheet.kind = Kind::Sheet(Sheet {
                in_plane_percent_per_percent: row.in_plane_percent_per_percent,
                in_plane_range: [row.in_plane_low, row.in_plane_high],
                thickness_percent_per_percent: row.thickness_percent_per_percent,
                equilibrium_share: row.equilibrium_share,
            });
            let spread = super::witness::beyond_usual(row.in_plane_low, row.in_plane_high);
            sheet.source_spread = [spread, spread];
            let names = row
                .other_names
                .split(';')
                .map(str::trim)
                .filter(|name| !name.is_empty())
                .map(str::to_owned)
                .collect();
            (sheet, names)
        })
        .collect()
}

impl Species {
    /// The sheet, where the record is of one.
    #[must_use]
    pub const fn sheet(&self) -> Option<&Sheet> {
        match &self.kind {
            Kind::Sheet(sheet) => Some(sheet),
            _ => None,
        }
    }

    /// Equilibrium moisture over that of solid wood in the same air: 1 for a wood, less for a sheet.
    #[must_use]
    pub fn equilibrium_share(&self) -> f64 {
        self.sheet().map_or(1.0, |sheet| sheet.equilibrium_share)
    }
}
