//! Names of the yard: which woods a name means, where, and the weighted mean of a group.
//!
//! A group's figures are the weighted means of its members' figures, each over the members that have it; its
//! spread is that between boards of one wood and that between the members, which [`Species::source_spread`] holds.

use super::join::bare;
use super::names::NameIndex;
use super::record::{Group, Kind, Species, TotalShrinkage};
use super::sourced::{Sourced, Status};
use super::tables::{TradeNameRow, Treatment};
use crate::units::Region;
use std::sync::Arc;

/// One wood of a group.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// The name of its record.
    pub species: String,
    /// Its share, all shares together 1.
    pub share: f64,
}

/// What a yard's name means in one region.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TradeName {
    /// The name as written.
    pub name: String,
    /// Where it is used so.
    pub region: Region,
    /// Whether it is the usage of the region's west alone, second to the usage of the whole.
    pub western: bool,
    /// The name of its record: a wood or a group.
    pub record: String,
    /// What else to know of it.
    pub note: Option<String>,
}

fn region(text: &str) -> Option<(Region, bool)> {
    let word = text.split(' ').next()?;
    let region = Region::ALL
        .into_iter()
        .find(|region| region.word() == word)?;
    Some((region, text.ends_with("west")))
}

/// The rows of one name and region, in the order of the table.
pub(super) fn runs(rows: &[TradeNameRow]) -> Vec<Vec<&TradeNameRow>> {
    let mut runs: Vec<Vec<&TradeNameRow>> = Vec::new();
    for row in rows {
        let same = |run: &Vec<&TradeNameRow>| {
            run[0].trade_name == row.trade_name && run[0].region == row.region
        };
        match runs.iter_mut().find(|run| same(run)) {
            Some(run) => run.push(row),
            None => runs.push(vec![row]),
        }
    }
    runs
}

/// Adds a record for every group and returns what each name of the yard means. A name whose member has no
/// record is left out; that none is is tested.
pub(super) fn join(
    rows: &[TradeNameRow],
    species: &mut Vec<Species>,
    index: &mut NameIndex,
) -> Vec<TradeName> {
    let mut names: Vec<TradeName> = Vec::new();
    let runs = runs(rows);
    for run in &runs {
        let members: Vec<(usize, f64)> = run
            .iter()
            .filter_map(|row| Some((index.record_named(&row.member)?, row.weight)))
            .collect();
        let Some((region, western)) = region(&run[0].region) else {
            continue;
        };
        if members.len() < run.len() {
            continue;
        }
        let note = run[0].note.clone();
        let ask = run[0].treatment == Treatment::Ask;
        let record = match members[..] {
            [(record, _)] if !ask => species[record].name.clone(),
            _ => {
                let elsewhere = runs.iter().any(|other| {
                    other[0].trade_name == run[0].trade_name && other[0].region != run[0].region
                });
                let name = if elsewhere {
                    format!("{} ({})", run[0].trade_name, run[0].region)
                } else {
                    run[0].trade_name.clone()
                };
                let group = mean(name, &members, species, ask, note.clone());
                let name = group.name.clone();
                index.add_group(&name);
                species.push(group);
                name
            }
        };
        names.push(TradeName {
            name: run[0].trade_name.clone(),
            region,
            western,
            record,
            note,
        });
    }
    names
}

struct Weighted<'a> {
    members: Vec<(&'a Species, f64)>,
    source: Arc<str>,
}

impl Weighted<'_> {
    /// The weighted mean over the members that have a figure.
    fn of(&self, pick: impl Fn(&Species) -> Option<f64>) -> Option<Sourced> {
        let (sum, weight) = self
            .members
            .iter()
            .filter_map(|(member, weight)| Some((pick(member)? * weight, *weight)))
            .fold((0.0, 0.0), |(sum, all), (part, weight)| {
                (sum + part, all + weight)
            });
        (weight > 0.0).then(|| Sourced::new(sum / weight, &self.source, Status::Derived))
    }

    /// Weighted deviation of the members over their mean.
    fn variation(&self, pick: impl Fn(&Species) -> f64) -> f64 {
        let weight: f64 = self.members.iter().map(|(_, weight)| weight).sum();
        let mean: f64 = self.members.iter().map(|(m, w)| pick(m) * w).sum::<f64>() / weight;
        let square: f64 = self
            .members
            .iter()
            .map(|(m, w)| w * (pick(m) - mean).powi(2))
            .sum::<f64>()
            / weight;
        square.sqrt() / mean
    }
}

fn mean(
    name: String,
    members: &[(usize, f64)],
    all: &[Species],
    ask: bool,
    note: Option<String>,
) -> Species {
    let weight: f64 = members.iter().map(|(_, weight)| weight).sum();
    let shares: Vec<Member> = members
        .iter()
        .map(|(record, own)| Member {
            species: all[*record].name.clone(),
            share: own / weight,
        })
        .collect();
    let list: Vec<String> = shares
        .iter()
        .map(|member| format!("{} {:.0} %", member.species, 100.0 * member.share))
        .collect();
    let group = Weighted {
        members: members.iter().map(|(r, w)| (&all[*r], *w)).collect(),
        source: format!("weighted mean of {} (shares by judgement)", list.join("; ")).into(),
    };
    let none = || Sourced::new(0.0, &group.source, Status::Derived);
    let f = |pick: fn(&Species) -> Option<&Sourced>| {
        group.of(|species| pick(species).map(|sourced| sourced.value))
    };
    let shrinkage = TotalShrinkage {
        radial_percent: group
            .of(|species| Some(species.radial_percent()))
            .unwrap_or_else(none),
        tangential_percent: group
            .of(|species| Some(species.tangential_percent()))
            .unwrap_or_else(none),
        volumetric_percent: None,
        longitudinal_percent: None,
    };
    let kind = members
        .first()
        .map_or(Group::Hardwood, |(record, _)| all[*record].group);
    let mut species = bare(name, None, kind, shrinkage);
    if group
        .members
        .iter()
        .any(|(member, _)| member.fiber_saturation_percent.is_some())
    {
        species.fiber_saturation_percent = group.of(|member| Some(member.fiber_saturation().value));
    }
    species.basic_specific_gravity = group.of(|member| Some(member.basic_gravity().value));
    species.dry.modulus_mpa = f(|s| s.dry.modulus_mpa.as_ref());
    species.dry.bending_strength_mpa = f(|s| s.dry.bending_strength_mpa.as_ref());
    species.dry.compression_along_mpa = f(|s| s.dry.compression_along_mpa.as_ref());
    species.dry.compression_across_mpa = f(|s| s.dry.compression_across_mpa.as_ref());
    species.dry.shear_mpa = f(|s| s.dry.shear_mpa.as_ref());
    species.dry.tension_across_mpa = f(|s| s.dry.tension_across_mpa.as_ref());
    species.dry.side_hardness_n = f(|s| s.dry.side_hardness_n.as_ref());
    species.elastic_ratios.tangential = f(|s| s.elastic_ratios.tangential.as_ref());
    species.elastic_ratios.radial = f(|s| s.elastic_ratios.radial.as_ref());
    species.elastic_ratios.shear_lr = f(|s| s.elastic_ratios.shear_lr.as_ref());
    species.elastic_ratios.shear_lt = f(|s| s.elastic_ratios.shear_lt.as_ref());
    species.elastic_ratios.shear_rt = f(|s| s.elastic_ratios.shear_rt.as_ref());
    species.across.radial_mpa = f(|s| s.across.radial_mpa.as_ref());
    species.across.tangential_mpa = f(|s| s.across.tangential_mpa.as_ref());
    species.across.tension_radial_mpa = f(|s| s.across.tension_radial_mpa.as_ref());
    species.across.tension_tangential_mpa = f(|s| s.across.tension_tangential_mpa.as_ref());
    species.source_spread = [
        group.variation(|s| s.tangential_percent()),
        group.variation(|s| s.radial_percent()),
    ];
    species.remark = note;
    species.kind = Kind::Group {
        members: shares,
        ask,
    };
    species
}
