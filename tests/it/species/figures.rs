//! Figures of a record against their published tables, and the rules that stand in.

use approx::assert_relative_eq;
use heartside::species::{Group, SpeciesTable, Status, averages, tables};

/// Wood Handbook Tables 4-3, 5-1, 5-3a: white oak; the shear-lag check of a cross-grain bond uses the
/// same E_T 885, E_R 2000, G_RT 246, G_LR 1058 MPa.
#[test]
fn white_oak_is_joined_from_its_tables() {
    let oak = SpeciesTable::built_in().find("oak, white").unwrap();
    assert_eq!(oak.radial_percent(), 5.6);
    assert_eq!(oak.tangential_percent(), 10.5);
    assert_eq!(
        oak.shrinkage.volumetric_percent.as_ref().unwrap().value,
        16.3
    );
    assert_eq!(oak.modulus_mpa().value, 12_300.0);
    assert_relative_eq!(oak.modulus_across_mpa().value, 885.6, epsilon = 1e-9);
    assert_relative_eq!(oak.modulus_radial_mpa().value, 2004.9, epsilon = 1e-9);
    assert_relative_eq!(oak.shear_modulus_lr_mpa().value, 1057.8, epsilon = 1e-9);
    assert_relative_eq!(oak.shear_modulus_rt_mpa().value, 246.0, epsilon = 1e-9);
    assert_eq!(oak.shear_strength_mpa().value, 13.8);
    assert_eq!(oak.tension_across_mpa().value, 5.5);
    assert_eq!(oak.bending_strength_mpa().value, 105.0);
    assert_eq!(oak.compression_across_mpa().value, 7.4);
    assert_eq!(oak.basic_gravity().value, 0.60);
    let rules = [
        oak.modulus_mpa().rule,
        oak.modulus_across_mpa().rule,
        oak.modulus_radial_mpa().rule,
        oak.shear_modulus_lr_mpa().rule,
        oak.tension_across_mpa().rule,
        oak.basic_gravity().rule,
    ];
    assert_eq!(rules, [None; 6]);
    assert!(
        oak.shear_modulus_lt_mpa()
            .rule
            .unwrap()
            .contains("average of the hardwoods")
    );
    assert!(
        oak.shear_modulus_rt_mpa()
            .rule
            .unwrap()
            .contains("judgement")
    );
    assert_eq!(oak.longitudinal_percent().value, 0.15);
    assert!(oak.longitudinal_percent().rule.is_some());
}

/// Wood Handbook p. 4-9 (Figure 4-6, Table 4-6): white ash, basic gravity 0.55, has 0.605 at 12 %;
/// Eq. 4-11 turned round meets it within 0.5 %, the tolerance of the reading.
#[test]
fn basic_gravity_follows_from_the_gravity_at_12_percent() {
    let from_dry = |dry: f64| dry / (1.0 + 0.265 * dry * 0.6);
    assert_relative_eq!(from_dry(0.605), 0.55, max_relative = 0.005);
    // Every wood whose two gravities the tables tell (5-3a and 5-3b): within 5 %, save basswood.
    let mut compared = 0;
    for species in SpeciesTable::built_in().all() {
        let (Some(basic), Some(dry)) = (
            &species.basic_specific_gravity,
            &species.dry_specific_gravity,
        ) else {
            continue;
        };
        // CIRAD's density at 12 % is of other trees than the gravities of the database.
        if dry.status == Status::Derived || basic.status == Status::Derived {
            continue;
        }
        compared += 1;
        let tolerance = if species.name == "Basswood, American" {
            0.10
        } else {
            0.055
        };
        assert_relative_eq!(from_dry(dry.value), basic.value, max_relative = tolerance);
    }
    assert!(compared > 25, "{compared}");
    let ash = SpeciesTable::built_in().find("black ash").unwrap();
    assert_relative_eq!(ash.basic_gravity().value, from_dry(0.49), epsilon = 1e-12);
    assert!(ash.basic_gravity().rule.unwrap().contains("4-11"));
}

/// The averages that stand in are those of the tables, rounded to what is written (Tables 5-1, 5-3a;
/// balsa left out of the ratios).
#[test]
fn averages_are_those_of_the_tables() {
    let all = SpeciesTable::built_in();
    for group in [Group::Hardwood, Group::Softwood] {
        let mean = |values: Vec<f64>| values.iter().sum::<f64>() / values.len() as f64;
        let rows = tables::mechanical_12_percent().unwrap();
        let of = |pick: fn(&tables::MechanicalRow) -> Option<f64>| {
            let in_group = rows.iter().filter(|row| {
                let known = all.find(&row.species).map(|species| species.group);
                let needles = ["Pine", "Douglas-fir"]
                    .iter()
                    .any(|w| row.species.starts_with(w));
                let fallback = if needles {
                    Group::Softwood
                } else {
                    Group::Hardwood
                };
                known.unwrap_or(fallback) == group
            });
            mean(in_group.filter_map(pick).collect())
        };
        let known = averages(group);
        assert_relative_eq!(
            of(|r| r.modulus_mpa),
            known.modulus_mpa,
            max_relative = 0.005
        );
        assert_relative_eq!(
            of(|r| r.bending_strength_mpa),
            known.bending_strength_mpa,
            max_relative = 0.005
        );
        assert_relative_eq!(of(|r| r.shear_mpa), known.shear_mpa, max_relative = 0.01);
        // The rule for tension across the grain is that of the table's own figures, in the mean.
        let (mpa, middle, exponent) = known.tension_across;
        let over = of(match group {
            Group::Hardwood => {
                |r| Some(5.2 * (r.specific_gravity? / 0.6).powf(1.3) / r.tension_across_mpa?)
            }
            Group::Softwood => |r| Some(2.2 * r.specific_gravity? / 0.4 / r.tension_across_mpa?),
        });
        assert_relative_eq!(over, 1.0, max_relative = 0.04);
        assert_relative_eq!(
            mpa * (0.5_f64 / middle).powf(exponent),
            if group == Group::Hardwood {
                4.103
            } else {
                2.75
            },
            max_relative = 0.001
        );
        assert_relative_eq!(
            of(|r| r.compression_across_mpa),
            known.compression_across_mpa,
            max_relative = 0.02
        );
        let gravity = of(|r| r.specific_gravity.map(|dry| dry / (1.0 + 0.159 * dry)));
        assert_relative_eq!(gravity, known.basic_gravity, max_relative = 0.015);
        let ratios = tables::elastic_ratios().unwrap();
        let ratio = |pick: fn(&tables::ElasticRow) -> Option<f64>| {
            let in_group = ratios.iter().filter(|row| {
                let member = match all.find(&row.species) {
                    Ok(species) => species.group,
                    Err(several) => all.find(&several.suggestions[0]).unwrap().group,
                };
                member == group && row.species != "Balsa"
            });
            mean(in_group.filter_map(pick).collect())
        };
        assert_relative_eq!(
            ratio(|r| r.tangential_ratio),
            known.tangential_ratio,
            max_relative = 0.01
        );
        assert_relative_eq!(
            ratio(|r| r.radial_ratio),
            known.radial_ratio,
            max_relative = 0.01
        );
        assert_relative_eq!(
            ratio(|r| r.shear_lr_ratio),
            known.shear_lr_ratio,
            max_relative = 0.01
        );
        assert_relative_eq!(
            ratio(|r| r.shear_lt_ratio),
            known.shear_lt_ratio,
            max_relative = 0.01
        );
        assert_relative_eq!(
            ratio(|r| r.shear_rt_ratio),
            known.shear_rt_ratio,
            max_relative = 0.02
        );
    }
}

/// A wood no mechanical table tells: every getter answers, and says by which rule.
#[test]
fn missing_figures_are_none_and_the_rule_is_given() {
    let own = "species,radial_percent,tangential_percent\nService tree,5.0,9.0\n";
    let own = SpeciesTable::with_user_csv(own, "woods.csv").unwrap();
    let beech = own.find("service tree").unwrap();
    assert_eq!(beech.dry.modulus_mpa, None);
    assert_eq!(beech.basic_specific_gravity, None);
    for resolved in [
        beech.modulus_mpa(),
        beech.modulus_across_mpa(),
        beech.modulus_radial_mpa(),
        beech.shear_modulus_lr_mpa(),
        beech.shear_modulus_lt_mpa(),
        beech.shear_modulus_rt_mpa(),
        beech.basic_gravity(),
        beech.shear_strength_mpa(),
        beech.tension_across_mpa(),
        beech.bending_strength_mpa(),
        beech.longitudinal_percent(),
        beech.fiber_saturation(),
    ] {
        assert!(resolved.value > 0.0);
        assert!(resolved.rule.unwrap().len() > 20);
    }
    assert!(
        beech
            .modulus_across_mpa()
            .rule
            .unwrap()
            .starts_with("neither")
    );
    assert_relative_eq!(
        beech.modulus_across_mpa().value,
        0.060 * 11_100.0,
        epsilon = 1e-9
    );
}

/// Fiber saturation is 22 % for the few woods so marked in the coefficient table, 30 % else.
#[test]
fn fiber_saturation_is_22_only_where_marked() {
    let marked: Vec<&str> = SpeciesTable::built_in()
        .all()
        .iter()
        .filter(|species| {
            let sourced = species.fiber_saturation_percent.as_ref();
            species.fiber_saturation().value < 30.0
                && sourced.is_some_and(|sourced| sourced.source.starts_with("inferred"))
        })
        .map(|species| {
            assert_eq!(species.fiber_saturation().value, 22.0);
            let sourced = species.fiber_saturation_percent.as_ref().unwrap();
            assert_eq!(sourced.status, Status::Memory);
            species.name.as_str()
        })
        .collect();
    assert_eq!(
        marked,
        [
            "Cedar, northern white",
            "Cedar, western redcedar",
            "Redwood, old-growth",
            "Redwood, young-growth",
            "Apitong",
            "Keruing"
        ]
    );
}

/// Two trees of one trade name keep their own figures (Table 5-5b: two sucupiras).
#[test]
fn one_name_of_two_trees_takes_the_row_of_its_own() {
    let sucupira = SpeciesTable::built_in().find("sucupira").unwrap();
    assert_eq!(sucupira.latin.as_deref(), Some("Diplotropis purpurea"));
    assert_eq!(sucupira.modulus_mpa().value, 19_790.0);
    assert_eq!(sucupira.basic_gravity().value, 0.78);
}
