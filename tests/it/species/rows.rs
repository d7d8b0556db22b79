//! Every row of every file: that it parses, that its figures fit each other,
//! and that each row that does not is listed in `species_data/README.md`.

use heartside::movement::{Direction, Shrinkage};
use heartside::species::{SpeciesTable, Status, tables};
use std::collections::BTreeSet;

const README: &str = include_str!("../../../species_data/README.md");

/// Names in back quotes that open the list items under a heading of the README.
fn listed(heading: &str) -> BTreeSet<String> {
    let start = README
        .find(&format!("### {heading}\n"))
        .unwrap_or_else(|| panic!("no heading {heading}"));
    README[start + 4..]
        .lines()
        .skip(1)
        .take_while(|line| !line.starts_with('#'))
        .filter_map(|line| line.strip_prefix("- `"))
        .map(|rest| rest.split('`').next().unwrap().to_owned())
        .collect()
}

fn named(names: &[&str]) -> BTreeSet<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

/// The count of rows, `from memory` among them, as the README's table tells it for a file.
fn counted(file: &str) -> (usize, usize) {
    let line = README
        .lines()
        .find(|line| line.starts_with(&format!("| `{file}`")))
        .unwrap_or_else(|| panic!("the README does not tell of {file}"));
    let cells: Vec<&str> = line.split('|').map(str::trim).collect();
    (cells[3].parse().unwrap(), cells[4].parse().unwrap())
}

#[test]
fn every_row_of_every_file_parses() {
    let parsed = [
        tables::shrinkage_domestic().unwrap().len(),
        tables::shrinkage_imported().unwrap().len(),
        tables::shrinkage_european().unwrap().len(),
        tables::change_coefficients().unwrap().len(),
        tables::mechanical_12_percent().unwrap().len(),
        tables::mechanical_green().unwrap().len(),
        tables::mechanical_imported().unwrap().len(),
        tables::elastic_ratios().unwrap().len(),
        tables::poisson_ratios().unwrap().len(),
        tables::green_moisture().unwrap().len(),
        tables::intersection_moisture().unwrap().len(),
        tables::names().unwrap().len(),
        tables::tropix().unwrap().len(),
        tables::din_68100().unwrap().len(),
        tables::gd_holz().unwrap().len(),
        tables::queensland().unwrap().len(),
        tables::csiro().unwrap().len(),
        tables::green_to_12().unwrap().len(),
        tables::single_sheets().unwrap().len(),
        tables::selected().unwrap().len(),
        tables::gravity().unwrap().len(),
        tables::across().unwrap().len(),
        tables::tension_across().unwrap().len(),
        tables::trade_names().unwrap().len(),
        tables::sawing_words().unwrap().len(),
        tables::sheets().unwrap().len(),
        tables::sheet_movement().unwrap().len(),
        tables::sheet_moisture().unwrap().len(),
    ];
    assert_eq!(parsed.len(), tables::FILES.len());
    for (&(file, text), rows) in tables::FILES.iter().zip(parsed) {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let headings = reader.headers().unwrap().clone();
        let column = |name: &str| headings.iter().position(|heading| heading == name).unwrap();
        let (source, status) = (column("source"), column("status"));
        let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let recalled = records
            .iter()
            .filter(|row| &row[status] == "memory")
            .count();
        assert!(records.iter().all(|row| row[source].len() > 5), "{file}");
        assert!(
            records
                .iter()
                .all(|row| ["seen", "memory", "derived", "judgement"].contains(&&row[status])),
            "{file}"
        );
        assert_eq!(records.len(), rows, "{file}");
        assert_eq!(counted(file), (rows, recalled), "{file}");
    }
}

/// Wood Handbook chapter 4: tangential shrinkage exceeds radial in every wood.
#[test]
fn tangential_exceeds_radial_in_every_record() {
    for species in SpeciesTable::built_in().all() {
        if species.sheet().is_some() {
            continue;
        }
        assert!(
            species.tangential_percent() > species.radial_percent(),
            "{}",
            species.name
        );
        assert!(species.radial_percent() > 1.5, "{}", species.name);
        assert!(species.tangential_percent() < 13.0, "{}", species.name);
    }
    for row in tables::change_coefficients().unwrap() {
        assert!(
            row.tangential_coefficient > row.radial_coefficient,
            "{}",
            row.species
        );
    }
}

/// The volume shrinks by about the sum of the two directions, the grain's own 0.15 % being lost in
/// the rounding; rows more than 1.5 points away are anomalies.
#[test]
fn volumetric_is_near_the_sum_of_both_directions() {
    let mut far = BTreeSet::new();
    let mut without = BTreeSet::new();
    let rows = [
        tables::shrinkage_domestic().unwrap(),
        tables::shrinkage_imported().unwrap(),
    ];
    for row in rows.iter().flatten() {
        let (Some(tangential), Some(volumetric)) = (row.tangential_percent, row.volumetric_percent)
        else {
            without.insert(row.species.clone());
            continue;
        };
        if (volumetric - row.radial_percent - tangential).abs() > 1.5 {
            far.insert(row.species.clone());
        }
    }
    let expected = named(&[
        "Ash, black",
        "Ash, pumpkin",
        "Elm, rock",
        "Holly, American",
        "Locust, black",
        "Maple, silver",
        "Oak, laurel (red oak group)",
        "Oak, water (red oak group)",
        "Oak, willow (red oak group)",
        "Oak, overcup (white oak group)",
        "Willow, black",
        "Tamarack",
        "Angelin",
        "Azobe",
        "Ceiba",
        "Cuangare",
        "Goncalo alves",
        "Iroko",
        "Mahogany, African",
        "Marishballi",
        "Meranti, white",
        "Mersawa",
        "Mora",
        "Sapele",
    ]);
    assert_eq!(far, expected);
    assert_eq!(far, listed("Volume far from the sum of both directions"));
    assert_eq!(without, named(&["Birch, gray"]));
    assert_eq!(without, listed("Tangential shrinkage not printed"));
}

/// Wood Handbook Table 13-5 is the slope of Eq. 13-3 at 10 %: every record with both tables, to the
/// last printed digit (a step of 0.00001); the rest are anomalies.
#[test]
fn printed_coefficients_follow_from_the_shrinkage() {
    let mut off = BTreeSet::new();
    let mut compared = 0;
    for species in SpeciesTable::built_in().all() {
        let Some(printed) = &species.change_coefficients else {
            continue;
        };
        // The handbook's own totals, whatever is used for the wood.
        let Some(own) = species
            .witnesses
            .iter()
            .find(|witness| witness.source.starts_with("FPL-GTR-190 Table 4"))
        else {
            continue;
        };
        compared += 1;
        let shrinkage = Shrinkage {
            radial_percent: own.radial_percent,
            tangential_percent: own.tangential_percent,
            longitudinal_percent: species.longitudinal_percent().value,
            fiber_saturation_percent: own.fiber_saturation_percent,
        };
        let near = |direction, printed: f64| {
            (shrinkage.change_coefficient(direction) - printed).abs() < 1.1e-5
        };
        if !near(Direction::Radial, printed.radial.value)
            || !near(Direction::Tangential, printed.tangential.value)
        {
            off.insert(species.name.clone());
        }
    }
    let expected = named(&[
        "Ash, green",
        "Birch, sweet",
        "Elm, cedar",
        "Maple, black",
        "Pine, pond",
        "Oak, black (red oak group)",
        "Oak, laurel (red oak group)",
        "Oak, willow (red oak group)",
        "Afrormosia",
        "Andiroba",
        "Avodire",
        "Cativo",
        "Cuangare",
        "Greenheart",
        "Iroko",
        "Lauan, dark red",
        "Lauan, light red and red",
        "Limba",
        "Mahogany, African",
        "Mahogany, true",
        "Obeche",
        "Okoume",
        "Primavera",
        "Ramin",
        "Santa Maria",
        "Spanish-cedar",
        "Teak",
    ]);
    assert_eq!(off, expected);
    assert_eq!(
        off,
        listed("Coefficients that do not follow from the shrinkage")
    );
    assert!(compared > 100, "{compared}");
}

/// A wood that only Table 13-5 tells gets the shrinkage whose slope at 10 % is the printed coefficient.
#[test]
fn woods_given_by_coefficients_alone_give_them_back() {
    let mut solved = BTreeSet::new();
    for species in SpeciesTable::built_in().all() {
        if species.shrinkage.radial_percent.status != Status::Derived
            || !species
                .shrinkage
                .radial_percent
                .source
                .starts_with("solved from")
        {
            continue;
        }
        solved.insert(species.name.clone());
        let printed = species.change_coefficients.as_ref().unwrap();
        let slope = |total: f64| {
            let per = total / 100.0 / 30.0;
            per / (1.0 - per * 20.0)
        };
        assert!((slope(species.radial_percent()) - printed.radial.value).abs() < 1e-12);
        assert!((slope(species.tangential_percent()) - printed.tangential.value).abs() < 1e-12);
    }
    assert_eq!(solved, listed("Woods given by their coefficients alone"));
    assert_eq!(solved.len(), 9);
}

/// Rows of the mechanical tables whose wood has no shrinkage in these tables cannot become a record.
#[test]
fn rows_that_belong_to_no_record_are_listed() {
    let table = SpeciesTable::built_in();
    let lost = |name: &str| match table.find(name) {
        Ok(_) => false,
        Err(unknown) => !unknown.ambiguous,
    };
    let mut orphans = BTreeSet::new();
    let mechanical = [
        tables::mechanical_12_percent().unwrap(),
        tables::mechanical_green().unwrap(),
        tables::mechanical_imported().unwrap(),
    ];
    let names = mechanical.iter().flatten().map(|row| row.species.clone());
    let names = names
        .chain(
            tables::elastic_ratios()
                .unwrap()
                .into_iter()
                .map(|row| row.species),
        )
        .chain(
            tables::poisson_ratios()
                .unwrap()
                .into_iter()
                .map(|row| row.species),
        )
        .chain(
            tables::green_moisture()
                .unwrap()
                .into_iter()
                .map(|row| row.species),
        )
        .chain(
            tables::intersection_moisture()
                .unwrap()
                .into_iter()
                .map(|row| row.species),
        );
    for name in names {
        if lost(&name) {
            orphans.insert(name);
        }
    }
    assert_eq!(orphans.len(), 8);
    assert_eq!(orphans, listed("Rows without a shrinkage to join"));
}

/// The printed figures of Tables 5-3b and 5-5, in psi, million psi and pounds, or in kPa, MPa and N,
/// are the metric figures used: 1 psi = 6.894757 kPa, 1 lbf = 4.448222 N.
#[test]
fn printed_strengths_are_converted_rightly() {
    let mut checked = 0;
    for row in tables::mechanical_green()
        .unwrap()
        .iter()
        .chain(&tables::mechanical_imported().unwrap())
    {
        let printed: Vec<Option<f64>> = row
            .printed
            .as_deref()
            .unwrap()
            .split('|')
            .map(|text| text.parse().ok())
            .collect();
        let metric = if row.moisture.is_some() {
            vec![
                row.bending_strength_mpa,
                row.modulus_mpa,
                row.compression_along_mpa,
                row.shear_mpa,
                row.side_hardness_n,
            ]
        } else {
            vec![
                row.bending_strength_mpa,
                row.modulus_mpa,
                row.compression_along_mpa,
                row.compression_across_mpa,
                row.shear_mpa,
                row.tension_across_mpa,
                row.side_hardness_n,
            ]
        };
        assert_eq!(printed.len(), metric.len(), "{}", row.species);
        let psi = row.printed_units.as_deref() == Some("psi");
        for (place, (printed, metric)) in printed.iter().zip(&metric).enumerate() {
            assert_eq!(
                printed.is_some(),
                metric.is_some(),
                "{} {place}",
                row.species
            );
            let (Some(printed), Some(metric)) = (printed, metric) else {
                continue;
            };
            let factor = match (psi, place) {
                (true, 1) => 6_894.757,
                (true, last) if last == metric_count(row) - 1 => 4.448_222,
                (true, _) => 0.006_894_757,
                (false, 1) => 1.0,
                (false, last) if last == metric_count(row) - 1 => 1.0,
                (false, _) => 0.001,
            };
            assert!(
                (printed * factor / metric - 1.0).abs() < 0.01,
                "{} {place}: {printed} gives {} not {metric}",
                row.species,
                printed * factor
            );
            checked += 1;
        }
    }
    assert!(checked > 300, "{checked}");
}

fn metric_count(row: &tables::MechanicalRow) -> usize {
    if row.moisture.is_some() { 5 } else { 7 }
}

/// Wood Handbook chapter 5: dry wood is stiffer and stronger than green, save in tension across the
/// grain, where the tables themselves go both ways; the exceptions are listed.
#[test]
fn dry_wood_is_stiffer_and_stronger_than_green() {
    let mut weaker = BTreeSet::new();
    for species in SpeciesTable::built_in().all() {
        let pairs = [
            (&species.dry.modulus_mpa, &species.green.modulus_mpa),
            (
                &species.dry.bending_strength_mpa,
                &species.green.bending_strength_mpa,
            ),
            (
                &species.dry.compression_along_mpa,
                &species.green.compression_along_mpa,
            ),
            (
                &species.dry.compression_across_mpa,
                &species.green.compression_across_mpa,
            ),
            (&species.dry.shear_mpa, &species.green.shear_mpa),
        ];
        for (dry, green) in pairs {
            if let (Some(dry), Some(green)) = (dry, green)
                && dry.value <= green.value
            {
                weaker.insert(species.name.clone());
            }
        }
    }
    assert_eq!(weaker, listed("Dry no stronger than green"));
}

/// Wood Handbook Table 5-1 and theory: `E_L >> E_R > E_T`; and the reciprocity of an elastic body,
/// `nu_TR / E_T = nu_RT / E_R`, which measured ratios meet only roughly: rows more than 40 % off are listed.
#[test]
fn elastic_ratios_fit_each_other() {
    let mut turned = BTreeSet::new();
    let mut unequal = BTreeSet::new();
    let poisson = tables::poisson_ratios().unwrap();
    for row in tables::elastic_ratios().unwrap() {
        let (Some(tangential), Some(radial)) = (row.tangential_ratio, row.radial_ratio) else {
            continue;
        };
        if tangential >= radial {
            turned.insert(row.species.clone());
        }
        assert!(radial < 0.25, "{}", row.species);
        if let Some(rolling) = row.shear_rt_ratio {
            assert!(rolling < tangential, "{}", row.species);
        }
        let nu = poisson
            .iter()
            .find(|other| other.species == row.species)
            .unwrap();
        let share = nu.rt.unwrap() * tangential / radial / nu.tr.unwrap();
        if !(0.6..1.4).contains(&share) {
            unequal.insert(row.species.clone());
        }
    }
    assert_eq!(turned, named(&["Redwood"]));
    assert_eq!(turned, listed("Stiffer along the rings than across them"));
    let expected = named(&[
        "Baldcypress",
        "Cedar, northern white",
        "Cottonwood, eastern",
        "Fir, subalpine",
        "Pine, western white",
    ]);
    assert_eq!(unequal, expected);
    assert_eq!(unequal, listed("Ratios of Poisson that break reciprocity"));
}

/// Files whose rows are from memory throughout or nearly so, which the README says instead of naming them.
const COMMON_PRACTICE: [&str; 5] = [
    "names.csv",
    "trade_names.csv",
    "sawing_words.csv",
    "sheet_goods_movement.csv",
    "panel_equilibrium_moisture.csv",
];

/// The names of the rows from memory that the README gives are those of the files.
#[test]
fn rows_from_memory_are_named() {
    for (file, text) in tables::FILES {
        if COMMON_PRACTICE.contains(file) {
            continue;
        }
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let headings = reader.headers().unwrap().clone();
        let status = headings
            .iter()
            .position(|heading| heading == "status")
            .unwrap();
        let recalled: Vec<String> = reader
            .records()
            .map(Result::unwrap)
            .filter(|row| &row[status] == "memory")
            .map(|row| row[0].to_owned())
            .collect();
        let Some(start) = README.find(&format!("### `{file}`")) else {
            assert!(recalled.is_empty(), "{file}");
            continue;
        };
        let section: Vec<&str> = README[start..]
            .lines()
            .skip(1)
            .take_while(|line| !line.starts_with('#'))
            .collect();
        let section = section.join(" ");
        let given: Vec<&str> = section.split('`').skip(1).step_by(2).collect();
        assert_eq!(given, recalled, "{file}");
    }
}
