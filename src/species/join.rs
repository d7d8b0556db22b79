//! Joins the built-in tables into one record a wood.

use super::names::NameIndex;
use super::record::{
    AcrossGrain, ChangeCoefficients, ElasticRatios, GreenMoisture, Group, Kind, Mechanical,
    PoissonRatios, Species, TotalShrinkage,
};
use super::sourced::{Sourced, Status};
use super::tables::{self, CoefficientRow, MechanicalRow, NameRow, ShrinkageRow};
use super::witness::total_of_coefficient;
use super::{groups, sheet};
use std::collections::HashMap;
use std::sync::Arc;

pub(super) fn built_in_names() -> Vec<NameRow> {
    tables::names().unwrap_or_default()
}

/// A record with its shrinkage alone.
pub(super) fn bare(
    name: String,
    latin: Option<String>,
    group: Group,
    shrinkage: TotalShrinkage,
) -> Species {
    Species {
        name,
        latin,
        group,
        kind: Kind::Wood,
        shrinkage,
        fiber_saturation_percent: None,
        witnesses: Vec::new(),
        remark: None,
        source_spread: [0.0; 2],
        change_coefficients: None,
        basic_specific_gravity: None,
        dry_specific_gravity: None,
        dry: Mechanical::default(),
        green: Mechanical::default(),
        across: AcrossGrain::default(),
        elastic_ratios: ElasticRatios::default(),
        poisson_ratios: PoissonRatios::default(),
        green_moisture: GreenMoisture::default(),
        intersection_percent: None,
    }
}

fn from_shrinkage(row: ShrinkageRow, source: &Arc<str>) -> Option<Species> {
    let sourced = |value| Sourced::new(value, source, row.status);
    let tangential_percent = match (row.tangential_percent, row.volumetric_percent) {
        (Some(value), _) => sourced(value),
        (None, Some(volumetric)) => Sourced::new(
            volumetric - row.radial_percent,
            &format!("{source}: volumetric less radial").into(),
            Status::Derived,
        ),
        (None, None) => return None,
    };
    let shrinkage = TotalShrinkage {
        radial_percent: sourced(row.radial_percent),
        tangential_percent,
        volumetric_percent: row.volumetric_percent.map(sourced),
        longitudinal_percent: None,
    };
    Some(bare(row.species, row.latin, row.group, shrinkage))
}

fn from_coefficients(row: &CoefficientRow) -> Species {
    let saturation = row.fiber_saturation_percent.unwrap_or(30.0);
    let words = format!(
        "solved from the coefficients of {} ({})",
        row.source, row.status
    );
    let source: Arc<str> = words.into();
    let solved = |coefficient| {
        Sourced::new(
            total_of_coefficient(coefficient, saturation),
            &source,
            Status::Derived,
        )
    };
    let shrinkage = TotalShrinkage {
        radial_percent: solved(row.radial_coefficient),
        tangential_percent: solved(row.tangential_coefficient),
        volumetric_percent: None,
        longitudinal_percent: None,
    };
    bare(row.species.clone(), row.latin.clone(), row.group, shrinkage)
}

/// One shared text per source.
#[derive(Default)]
pub(super) struct Sources {
    known: HashMap<String, Arc<str>>,
}

impl Sources {
    pub(super) fn of(&mut self, text: &str) -> Arc<str> {
        if let Some(known) = self.known.get(text) {
            return Arc::clone(known);
        }
        let shared: Arc<str> = text.into();
        self.known.insert(text.to_owned(), Arc::clone(&shared));
        shared
    }
}

fn mechanical(row: &MechanicalRow, source: &Arc<str>) -> Mechanical {
    let sourced = |value: Option<f64>| value.map(|value| Sourced::new(value, source, row.status));
    Mechanical {
        modulus_mpa: sourced(row.modulus_mpa),
        bending_strength_mpa: sourced(row.bending_strength_mpa),
        compression_along_mpa: sourced(row.compression_along_mpa),
        compression_across_mpa: sourced(row.compression_across_mpa),
        shear_mpa: sourced(row.shear_mpa),
        tension_across_mpa: sourced(row.tension_across_mpa),
        side_hardness_n: sourced(row.side_hardness_n),
    }
}

/// The records on their way.
pub(super) struct Join {
    pub(super) species: Vec<Species>,
    pub(super) index: NameIndex,
    pub(super) sources: Sources,
}

impl Join {
    /// Records a row of another table belongs to: by name, and by Latin name where several woods share one name.
    pub(super) fn each(
        &mut self,
        name: &str,
        latin: Option<&str>,
        mut put: impl FnMut(&mut Species),
    ) {
        for record in self.index.meant_by(name) {
            let species = &mut self.species[record];
            let same = match (latin, species.latin.as_deref()) {
                (Some(latin), Some(own)) => latin.split(' ').next() == own.split(' ').next(),
                _ => true,
            };
            if same {
                put(species);
            }
        }
    }

    fn coefficients(&mut self, rows: &[CoefficientRow]) {
        for row in rows {
            let source = self.sources.of(&row.source);
            let inferred = self
                .sources
                .of(&format!("inferred from the coefficients of {}", row.source));
            self.each(&row.species, row.latin.as_deref(), |species| {
                let sourced = |value| Sourced::new(value, &source, row.status);
                species.change_coefficients = Some(ChangeCoefficients {
                    radial: sourced(row.radial_coefficient),
                    tangential: sourced(row.tangential_coefficient),
                });
                species.fiber_saturation_percent = row
                    .fiber_saturation_percent
                    .map(|value| Sourced::new(value, &inferred, Status::Memory));
            });
        }
    }

    fn dry(&mut self, rows: &[MechanicalRow]) {
        for row in rows {
            let source = self.sources.of(&row.source);
            self.each(&row.species, row.latin.as_deref(), |species| {
                species.dry = mechanical(row, &source);
                species.dry_specific_gravity = row
                    .specific_gravity
                    .map(|value| Sourced::new(value, &source, row.status));
            });
        }
    }

    fn green(&mut self, rows: &[MechanicalRow]) {
        for row in rows {
            let source = self.sources.of(&row.source);
            self.each(&row.species, row.latin.as_deref(), |species| {
                species.green = mechanical(row, &source);
                species.basic_specific_gravity = row
                    .specific_gravity
                    .map(|value| Sourced::new(value, &source, row.status));
            });
        }
    }

    fn imported(&mut self, rows: &[MechanicalRow]) {
        for row in rows {
            let moisture = row.moisture.as_deref().unwrap_or("12");
            let words = match moisture {
                "12" | "green" => row.source.clone(),
                other => format!("{}, at {other} % moisture", row.source),
            };
            let source = self.sources.of(&words);
            self.each(&row.species, row.latin.as_deref(), |species| {
                let side = if moisture == "green" {
                    &mut species.green
                } else {
                    &mut species.dry
                };
                *side = mechanical(row, &source);
                if let Some(value) = row.specific_gravity {
                    species.basic_specific_gravity = Some(Sourced::new(value, &source, row.status));
                }
            });
        }
    }

    fn elastic(&mut self) {
        for row in tables::elastic_ratios().unwrap_or_default() {
            let source = self.sources.of(&row.source);
            let sourced = |value: Option<f64>| value.map(|v| Sourced::new(v, &source, row.status));
            let ratios = ElasticRatios {
                tangential: sourced(row.tangential_ratio),
                radial: sourced(row.radial_ratio),
                shear_lr: sourced(row.shear_lr_ratio),
                shear_lt: sourced(row.shear_lt_ratio),
                shear_rt: sourced(row.shear_rt_ratio),
            };
            self.each(&row.species, None, |species| {
                species.elastic_ratios = ratios.clone();
            });
        }
        for row in tables::poisson_ratios().unwrap_or_default() {
            let source = self.sources.of(&row.source);
            let sourced = |value: Option<f64>| value.map(|v| Sourced::new(v, &source, row.status));
            let ratios = PoissonRatios {
                lr: sourced(row.lr),
                lt: sourced(row.lt),
                rt: sourced(row.rt),
                tr: sourced(row.tr),
                rl: sourced(row.rl),
                tl: sourced(row.tl),
            };
            self.each(&row.species, None, |species| {
                species.poisson_ratios = ratios.clone();
            });
        }
    }

    fn moistures(&mut self) {
        for row in tables::green_moisture().unwrap_or_default() {
            let source = self.sources.of(&row.source);
            let sourced = |value: Option<f64>| value.map(|v| Sourced::new(v, &source, row.status));
            let moisture = GreenMoisture {
                heartwood_percent: sourced(row.heartwood_percent),
                sapwood_percent: sourced(row.sapwood_percent),
            };
            self.each(&row.species, None, |species| {
                species.green_moisture = moisture.clone();
            });
        }
        for row in tables::intersection_moisture().unwrap_or_default() {
            let source = self.sources.of(&row.source);
            let value = Sourced::new(row.intersection_percent, &source, row.status);
            self.each(&row.species, None, |species| {
                species.intersection_percent = Some(value.clone());
            });
        }
    }
}

/// Joins the built-in tables. A row that did not parse would leave its table
/// out; that none does is tested file by file.
pub(super) fn join() -> (Vec<Species>, NameIndex) {
    let mut sources = Sources::default();
    let mut species = Vec::new();
    for rows in [
        tables::shrinkage_domestic(),
        tables::shrinkage_imported(),
        tables::shrinkage_european(),
    ] {
        for row in rows.unwrap_or_default() {
            let source = sources.of(&row.source);
            species.extend(from_shrinkage(row, &source));
        }
    }
    let names = built_in_names();
    let coefficients = tables::change_coefficients().unwrap_or_default();
    let shrinking = NameIndex::of(&species, &names);
    for row in &coefficients {
        if shrinking.meant_by(&row.species).is_empty() {
            species.push(from_coefficients(row));
        }
    }
    let index = NameIndex::of(&species, &names);
    let mut join = Join {
        species,
        index,
        sources,
    };
    join.coefficients(&coefficients);
    join.witness_themselves();
    join.publications();
    join.index = NameIndex::of(&join.species, &names);
    join.dry(&tables::mechanical_12_percent().unwrap_or_default());
    join.green(&tables::mechanical_green().unwrap_or_default());
    join.imported(&tables::mechanical_imported().unwrap_or_default());
    join.elastic();
    join.moistures();
    join.fill_gaps();
    let (mut species, mut index) = (join.species, join.index);
    let mut sheet_names = Vec::new();
    for (sheet, others) in sheet::records() {
        index.add(&sheet.name, None);
        sheet_names.push((sheet.name.clone(), sheet.name.clone()));
        sheet_names.extend(others.into_iter().map(|name| (name, sheet.name.clone())));
        species.push(sheet);
    }
    let mut rows = tables::trade_names().unwrap_or_default();
    rows.retain(|row| !sheet_names.iter().any(|(name, _)| *name == row.trade_name));
    let trade = groups::join(&rows, &mut species, &mut index);
    index.set_yard(trade, &sheet_names);
    (species, index)
}
