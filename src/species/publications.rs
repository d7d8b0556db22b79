//! Joins the publications that stand beside the Wood Handbook: which figure of a wood is used, and what the
//! others say.
//!
//! The rules are those of `species_data/README.md`: a selected row first; for African woods the sheets of
//! CIRAD, whose totals come with their own fiber saturation; then the handbook; then what is left.

use super::join::{Join, bare};
use super::record::{Species, TotalShrinkage};
use super::sourced::{Sourced, Status};
use super::tables::{self, SelectedRow, ShrinkageRow, TropixRow, UnitShrinkageRow};
use super::witness::{Witness, beyond_usual, disagreement};
use std::sync::Arc;

/// Moisture of the density of the CIRAD sheets, as a factor on the oven-dry mass.
const WITH_ITS_WATER: f64 = 1.12;

/// What is to become of a witness's figures.
#[derive(Clone, Copy, PartialEq)]
enum Rank {
    /// They are used in any case.
    Wins,
    /// They are used where nothing else is there.
    Fills,
}

impl Join {
    /// Notes what the shrinkage tables that made the records say.
    pub(super) fn witness_themselves(&mut self) {
        for species in &mut self.species {
            let total = &species.shrinkage;
            species.witnesses.push(Witness {
                radial_percent: total.radial_percent.value,
                tangential_percent: total.tangential_percent.value,
                fiber_saturation_percent: species.fiber_saturation().value,
                source: Arc::clone(&total.tangential_percent.source),
                status: total.tangential_percent.status,
            });
        }
    }

    /// A witness for every record of a name; a new record where there is none.
    fn hear(&mut self, bare_wood: Species, witness: &Witness, saturation: Option<f64>, rank: Rank) {
        let own = saturation
            .map(|value| Sourced::new(value, &witness.source, saturation_status(witness, value)));
        let found = self.index.meant_by(&bare_wood.name);
        if found.is_empty() {
            let mut species = bare_wood;
            species.fiber_saturation_percent = own;
            species.witnesses.push(witness.clone());
            self.index.add(&species.name, species.latin.as_deref());
            self.species.push(species);
            return;
        }
        for record in found {
            let species = &mut self.species[record];
            let genus = |latin: Option<&str>| {
                latin
                    .and_then(|latin| latin.split(' ').next())
                    .map(str::to_lowercase)
            };
            let same_genus = match (
                genus(bare_wood.latin.as_deref()),
                genus(species.latin.as_deref()),
            ) {
                (Some(new), Some(known)) => new == known,
                _ => true,
            };
            if !same_genus && bare_wood.name != species.name {
                continue;
            }
            if rank == Rank::Wins {
                species.shrinkage = bare_wood.shrinkage.clone();
                species.fiber_saturation_percent.clone_from(&own);
                species.witnesses.insert(0, witness.clone());
            } else {
                species.witnesses.push(witness.clone());
            }
        }
    }

    /// Totals of a table of shrinkage.
    fn totals(&mut self, rows: Vec<ShrinkageRow>) {
        for row in rows {
            let source = self.sources.of(&row.source);
            let Some(tangential) = row.tangential_percent else {
                continue;
            };
            let witness = Witness {
                radial_percent: row.radial_percent,
                tangential_percent: tangential,
                fiber_saturation_percent: row.fiber_saturation_percent.unwrap_or(30.0),
                source: Arc::clone(&source),
                status: row.status,
            };
            let wood = bare(
                row.species,
                row.latin,
                row.group,
                shrinkage(&witness, row.volumetric_percent),
            );
            self.hear(wood, &witness, row.fiber_saturation_percent, Rank::Fills);
        }
    }

    /// Movement per 1 % moisture.
    fn units(&mut self, rows: Vec<UnitShrinkageRow>) {
        for row in rows {
            let (Some(radial), Some(tangential)) = (
                row.radial_percent_per_percent,
                row.tangential_percent_per_percent,
            ) else {
                continue;
            };
            let source = self.sources.of(&row.source);
            let witness = Witness::of_unit(radial, tangential, &source, row.status);
            let mut wood = bare(row.species, row.latin, row.group, shrinkage(&witness, None));
            for total in [
                &mut wood.shrinkage.radial_percent,
                &mut wood.shrinkage.tangential_percent,
            ] {
                if total.status == Status::Seen {
                    total.status = Status::Derived;
                }
            }
            self.hear(wood, &witness, None, Rank::Fills);
        }
    }

    fn tropix(&mut self, rows: &[TropixRow]) {
        for row in rows {
            let source = self.sources.of(&row.source);
            let witness = Witness {
                radial_percent: row.radial_percent,
                tangential_percent: row.tangential_percent,
                fiber_saturation_percent: row.fiber_saturation_percent.unwrap_or(30.0),
                source: Arc::clone(&source),
                status: row.status,
            };
            let volumetric = row
                .volumetric_coefficient_percent_per_percent
                .zip(row.fiber_saturation_percent)
                .map(|(coefficient, saturation)| coefficient * saturation);
            let mut totals = shrinkage(&witness, volumetric);
            if let Some(volume) = &mut totals.volumetric_percent {
                volume.status = Status::Derived;
            }
            let wood = bare(row.species.clone(), row.latin.clone(), row.group, totals);
            self.hear(wood, &witness, row.fiber_saturation_percent, Rank::Wins);
        }
    }

    /// Strength, stiffness and gravity of the CIRAD sheets, where no other table has them.
    fn tropix_strength(&mut self, rows: &[TropixRow]) {
        for row in rows {
            let source = self.sources.of(&row.source);
            let sourced = |value: f64| Sourced::new(value, &source, row.status);
            self.each(&row.species, row.latin.as_deref(), |species| {
                let fill = |field: &mut Option<Sourced>, value: Option<f64>| {
                    if field.is_none() {
                        *field = value.map(sourced);
                    }
                };
                fill(&mut species.dry.modulus_mpa, row.modulus_mpa);
                fill(
                    &mut species.dry.bending_strength_mpa,
                    row.bending_strength_mpa,
                );
                fill(
                    &mut species.dry.compression_along_mpa,
                    row.compression_along_mpa,
                );
                if species.dry_specific_gravity.is_none()
                    && species.basic_specific_gravity.is_none()
                    && let Some(density) = row.density_12_percent_g_per_cm3
                {
                    species.dry_specific_gravity = Some(Sourced::new(
                        density / WITH_ITS_WATER,
                        &source,
                        Status::Derived,
                    ));
                }
            });
        }
    }

    fn selected(&mut self, rows: &[SelectedRow]) {
        for row in rows {
            let source = self.sources.of(&row.source);
            let witness = Witness {
                radial_percent: row.radial_percent,
                tangential_percent: row.tangential_percent,
                fiber_saturation_percent: row.fiber_saturation_percent.unwrap_or(30.0),
                source: Arc::clone(&source),
                status: row.status,
            };
            let wood = || {
                bare(
                    row.species.clone(),
                    row.latin.clone(),
                    row.group,
                    shrinkage(&witness, row.volumetric_percent),
                )
            };
            let known = self.index.record_named(&row.species);
            let spoken = known.and_then(|record| {
                let same = |other: &Witness| {
                    other.radial_percent.to_bits() == row.radial_percent.to_bits()
                        && other.tangential_percent.to_bits() == row.tangential_percent.to_bits()
                        && other.fiber_saturation_percent.to_bits()
                            == witness.fiber_saturation_percent.to_bits()
                };
                let heard = &self.species[record].witnesses;
                heard
                    .iter()
                    .position(|other| same(other) && other.status == Status::Seen)
                    .or_else(|| heard.iter().position(same))
            });
            match (known, spoken) {
                (Some(record), Some(place)) => self.species[record].prefer(place),
                _ => self.hear(wood(), &witness, row.fiber_saturation_percent, Rank::Wins),
            }
            let Some(record) = self.index.record_named(&row.species) else {
                continue;
            };
            let species = &mut self.species[record];
            species.remark.clone_from(&row.note);
            species.source_spread = [
                beyond_usual(row.tangential_low, row.tangential_high),
                beyond_usual(row.radial_low, row.radial_high),
            ];
        }
    }

    /// Gravity of the selected rows, and of the Global Wood Density Database by Latin name, where no table of the handbook has one.
    fn gravities(&mut self, selected: &[SelectedRow]) {
        let database = tables::gravity().unwrap_or_default();
        let named: Arc<str> = self.sources.of(database
            .first()
            .map_or("Global Wood Density Database", |row| &row.source));
        for row in selected {
            let Some((gravity, record)) =
                row.basic_gravity.zip(self.index.record_named(&row.species))
            else {
                continue;
            };
            let species = &mut self.species[record];
            if species.basic_specific_gravity.is_none() && species.dry_specific_gravity.is_none() {
                let status = row.gravity_status.unwrap_or(row.status);
                species.basic_specific_gravity = Some(Sourced::new(gravity, &named, status));
            }
        }
        for row in &database {
            for species in &mut self.species {
                if species.basic_specific_gravity.is_none()
                    && species.dry_specific_gravity.is_none()
                    && species.latin.as_deref() == Some(row.latin.as_str())
                {
                    species.basic_specific_gravity =
                        Some(Sourced::new(row.mean, &named, row.status));
                }
            }
        }
    }

    /// Stiffness and tension across the grain, where no table of the handbook has them.
    fn across_the_grain(&mut self) {
        for row in tables::across().unwrap_or_default() {
            let source = self.sources.of(&row.source);
            let odd = row.note.as_deref().is_some_and(|note| note.contains("low"));
            let Some(record) = self.index.record_named(&row.species) else {
                continue;
            };
            let species = &mut self.species[record];
            let sourced = |value| Some(Sourced::new(value, &source, row.status));
            if species.across.radial_mpa.is_none() {
                species.across.radial_mpa = sourced(row.radial_mpa);
                species.across.tangential_mpa = sourced(row.tangential_mpa);
            }
            if species.dry.modulus_mpa.is_none() && !odd {
                species.dry.modulus_mpa = sourced(row.along_mpa);
            }
        }
        for row in tables::tension_across().unwrap_or_default() {
            let source = self.sources.of(&row.source);
            let Some((mean, record)) = row.mean_mpa.zip(self.index.record_named(&row.species))
            else {
                continue;
            };
            let species = &mut self.species[record];
            if species.dry.tension_across_mpa.is_none() {
                species.dry.tension_across_mpa = Some(Sourced::new(mean, &source, row.status));
            }
        }
    }

    /// Hears every publication beside the handbook.
    pub(super) fn publications(&mut self) {
        let tropix = tables::tropix().unwrap_or_default();
        let selected = tables::selected().unwrap_or_default();
        self.totals(tables::single_sheets().unwrap_or_default());
        self.totals(tables::din_68100().unwrap_or_default());
        self.units(tables::queensland().unwrap_or_default());
        self.units(tables::csiro().unwrap_or_default());
        self.units(tables::gd_holz().unwrap_or_default());
        self.tropix(&tropix);
        self.selected(&selected);
        for species in &mut self.species {
            let apart = disagreement(&species.witnesses);
            for (spread, apart) in species.source_spread.iter_mut().zip(apart) {
                *spread = spread.max(apart);
            }
        }
    }

    /// Fills what no table of the handbook has.
    pub(super) fn fill_gaps(&mut self) {
        self.gravities(&tables::selected().unwrap_or_default());
        self.tropix_strength(&tables::tropix().unwrap_or_default());
        self.across_the_grain();
    }
}

impl Species {
    /// Uses the figures of a witness that was heard already.
    fn prefer(&mut self, place: usize) {
        if place == 0 {
            return;
        }
        let witness = self.witnesses.remove(place);
        self.shrinkage = shrinkage(&witness, None);
        let saturation = witness.fiber_saturation_percent;
        self.fiber_saturation_percent = ((saturation - 30.0).abs() > 1e-9).then(|| {
            Sourced::new(
                saturation,
                &witness.source,
                saturation_status(&witness, saturation),
            )
        });
        self.witnesses.insert(0, witness);
    }
}

/// The 26 % of the German standard's woods is inferred; CIRAD prints its own.
fn saturation_status(witness: &Witness, saturation: f64) -> Status {
    if witness.source.starts_with("DIN") && (saturation - 26.0).abs() < 1e-9 {
        Status::Derived
    } else {
        witness.status
    }
}

fn shrinkage(witness: &Witness, volumetric: Option<f64>) -> TotalShrinkage {
    let sourced = |value| Sourced::new(value, &witness.source, witness.status);
    TotalShrinkage {
        radial_percent: sourced(witness.radial_percent),
        tangential_percent: sourced(witness.tangential_percent),
        volumetric_percent: volumetric.map(sourced),
        longitudinal_percent: None,
    }
}
