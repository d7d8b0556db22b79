//! The columns of a maker's own table.

use super::user::Faults;
use crate::units::Bounds;

const TEXT_COLUMNS: [&str; 6] = ["species", "latin", "group", "source", "status", "note"];

const RATIO: Bounds = Bounds {
    label: "ratio to the stiffness along the grain",
    unit: "",
    min: 0.001,
    max: 1.0,
};

const STRENGTH: Bounds = Bounds {
    label: "strength",
    unit: "MPa",
    min: 0.01,
    max: 1000.0,
};

pub(super) const NUMBER_COLUMNS: [(&str, Bounds); 18] = [
    ("radial_percent", Bounds::SHRINKAGE),
    ("tangential_percent", Bounds::SHRINKAGE),
    ("volumetric_percent", VOLUMETRIC),
    ("longitudinal_percent", LONGITUDINAL),
    ("fiber_saturation_percent", Bounds::FIBER_SATURATION),
    ("specific_gravity", Bounds::SPECIFIC_GRAVITY),
    ("modulus_mpa", Bounds::MODULUS),
    ("bending_strength_mpa", STRENGTH),
    ("shear_mpa", STRENGTH),
    ("tension_across_mpa", STRENGTH),
    ("compression_across_mpa", STRENGTH),
    ("tangential_ratio", RATIO),
    ("radial_ratio", RATIO),
    ("shear_lr_ratio", RATIO),
    ("shear_lt_ratio", RATIO),
    ("shear_rt_ratio", RATIO),
    ("tension_radial_mpa", STRENGTH),
    ("tension_tangential_mpa", STRENGTH),
];

const VOLUMETRIC: Bounds = Bounds {
    label: "shrinkage of the volume",
    unit: "%",
    min: 0.05,
    max: 50.0,
};

const LONGITUDINAL: Bounds = Bounds {
    label: "shrinkage along the grain",
    unit: "%",
    min: 0.0,
    max: 5.0,
};

/// Columns by their place, or the faults of the header.
pub(super) struct Header {
    pub places: Vec<Option<&'static str>>,
}

impl Header {
    pub(super) fn read(record: &csv::StringRecord, faults: &mut Faults<'_>) -> Self {
        let known = || {
            TEXT_COLUMNS
                .into_iter()
                .chain(NUMBER_COLUMNS.iter().map(|(name, _)| *name))
        };
        let mut places: Vec<Option<&'static str>> = Vec::new();
        let mut seen: Vec<Option<&'static str>> = Vec::new();
        for heading in record {
            let plain = heading.trim().to_lowercase();
            let found = known().find(|name| *name == plain);
            if found.is_none() && faults.is_full() {
                faults.push(1, None, String::new(), "");
            } else if found.is_none() {
                let extended = format!("{plain}_");
                let likely = known()
                    .find(|name| !plain.is_empty() && name.starts_with(&extended))
                    .or_else(|| known().find(|name| strsim::jaro_winkler(name, &plain) > 0.85));
                let remedy = likely.map_or_else(
                    || {
                        let columns = known().collect::<Vec<_>>().join(", ");
                        format!("leave the column out, or use one of these: {columns}")
                    },
                    |name| format!("did you mean `{name}`?"),
                );
                let reason = "no such column is understood".to_owned();
                faults.push(1, Some(heading), reason, remedy);
            } else if seen.contains(&found) {
                faults.push(
                    1,
                    Some(heading),
                    "the column appears twice".to_owned(),
                    "keep one of the two",
                );
            }
            // At most as long as the columns that are known.
            if found.is_some() && !seen.contains(&found) {
                seen.push(found);
            }
            places.push(found);
        }
        for needed in ["species", "radial_percent", "tangential_percent"] {
            if !seen.contains(&Some(needed)) {
                faults.push(
                    1,
                    Some(needed),
                    "the column is missing".to_owned(),
                    "the first line must name the columns, among them species, radial_percent and tangential_percent",
                );
            }
        }
        Self { places }
    }

    pub(super) fn cell<'a>(&self, record: &'a csv::StringRecord, column: &str) -> Option<&'a str> {
        let place = self.places.iter().position(|name| *name == Some(column))?;
        record
            .get(place)
            .map(str::trim)
            .filter(|text| !text.is_empty())
    }
}
