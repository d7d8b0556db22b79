//! Tests of the room `species`.

use heartside::species::{SpeciesTable, tables};

/// Every file of `species_data/` parses, row by row, and says where each row comes from.
#[test]
fn every_row_of_every_file_parses() {
    assert_eq!(tables::shrinkage_domestic().unwrap().len(), 116);
    assert_eq!(tables::shrinkage_imported().unwrap().len(), 81);
    assert_eq!(tables::shrinkage_european().unwrap().len(), 12);
    assert_eq!(tables::change_coefficients().unwrap().len(), 126);
    assert_eq!(tables::mechanical_12_percent().unwrap().len(), 113);
    assert_eq!(tables::mechanical_green().unwrap().len(), 32);
    assert_eq!(tables::mechanical_imported().unwrap().len(), 34);
    assert_eq!(tables::elastic_ratios().unwrap().len(), 34);
    assert_eq!(tables::poisson_ratios().unwrap().len(), 35);
    assert_eq!(tables::property_variation().unwrap().len(), 12);
    assert_eq!(tables::green_moisture().unwrap().len(), 47);
    assert_eq!(tables::intersection_moisture().unwrap().len(), 13);
    assert_eq!(tables::strength_moisture().unwrap().len(), 9);
    assert!(tables::names().unwrap().len() > 40);
}

/// Wood Handbook Tables 4-3, 5-1, 5-3: white oak joined from four tables.
#[test]
fn white_oak_is_joined_from_its_tables() {
    let table = SpeciesTable::built_in();
    for name in [
        "white oak",
        "Oak, white",
        "OAK WHITE",
        "quercus alba",
        "oak-white",
    ] {
        let oak = table.find(name).unwrap();
        assert_eq!(oak.name, "Oak, white");
        assert_eq!(oak.radial_percent(), 5.6);
        assert_eq!(oak.tangential_percent(), 10.5);
        assert_eq!(oak.modulus_mpa().value, 12_300.0);
        assert_eq!(oak.modulus_mpa().rule, None);
        assert!((oak.modulus_across_mpa().value - 885.6).abs() < 1e-9);
        assert_eq!(oak.basic_gravity().value, 0.60);
        assert!(oak.shear_modulus_lt_mpa().rule.is_some());
    }
}
