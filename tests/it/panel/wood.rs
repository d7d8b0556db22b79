//! The woods of leaves.

use super::leaf;
use heartside::movement::Shrinkage;
use heartside::panel::{Leaf, LeafWood, settle_woods};
use heartside::species::SpeciesTable;

fn of(species: &str) -> Leaf {
    Leaf {
        species: Some(species.to_owned()),
        ..leaf("own", 100.0, 0.0)
    }
}

/// A leaf has its own wood, else the one given for all, else the one nobody named; twist is resisted by the mean of the two shear
/// moduli along the grain.
#[test]
fn a_leaf_has_its_own_wood_or_the_one_of_all() {
    let table = SpeciesTable::built_in();
    let mut leaves = vec![of("oak, white"), leaf("common", 100.0, 0.0)];
    let rules = settle_woods(&mut leaves, Some("walnut, black"), table).unwrap();
    for (leaf, name) in leaves.iter().zip(["oak, white", "walnut, black"]) {
        let species = table.find(name).unwrap();
        assert_eq!(leaf.species.as_deref(), Some(species.name.as_str()));
        assert_eq!(leaf.wood.modulus.mpa(), species.modulus_mpa().value);
        let mean =
            (species.shear_modulus_lt_mpa().value + species.shear_modulus_lr_mpa().value) / 2.0;
        assert!((leaf.wood.shear_modulus.mpa() - mean).abs() < 1e-9);
        assert_eq!(leaf.wood.shrinkage, Some(Shrinkage::of(species)));
    }
    let stand_in = |name: &str| {
        let species = table.find(name).unwrap();
        [
            species.modulus_mpa().rule,
            species.shear_modulus_lt_mpa().rule,
            species.fiber_saturation().rule,
        ]
        .into_iter()
        .flatten()
        .map(|rule| format!("{}: {rule}", species.name))
        .collect::<Vec<_>>()
    };
    assert_eq!(
        rules,
        [stand_in("oak, white"), stand_in("walnut, black")].concat()
    );
    let mut nobody = vec![leaf("bare", 100.0, 0.0)];
    assert!(settle_woods(&mut nobody, None, table).unwrap().is_empty());
    assert_eq!(
        (nobody[0].wood, &nobody[0].species),
        (LeafWood::default(), &None)
    );
}

/// Rules that stand in for missing figures are given with their wood, each once however many leaves are of it.
#[test]
fn rules_are_given_once_with_their_wood() {
    let own = SpeciesTable::with_user_csv(
        "species,radial_percent,tangential_percent\nPear,4.6,9.1\n",
        "woods.csv",
    )
    .unwrap();
    let mut leaves = vec![of("pear"), of("pear"), of("pear")];
    let rules = settle_woods(&mut leaves, None, &own).unwrap();
    assert_eq!(rules.len(), 2, "{rules:?}");
    assert!(rules.iter().all(|rule| rule.starts_with("Pear: ")));
}

/// A wood that the table does not hold is given with its leaf, or without one where it was given for all, and with the nearest names.
#[test]
fn an_unknown_wood_is_given_with_its_leaf() {
    let table = SpeciesTable::built_in();
    let one = settle_woods(&mut [of("walnutt, black")], None, table).unwrap_err();
    assert_eq!(one.leaf.as_deref(), Some("own"));
    let words = one.to_string();
    assert!(words.starts_with("leaf `own`: "), "{words}");
    assert!(words.contains("walnutt, black") && words.to_lowercase().contains("walnut, black"));
    let all = settle_woods(&mut [of("oak, white")], Some("walnutt, black"), table).unwrap_err();
    assert_eq!(all.leaf, None);
    assert_eq!(all.to_string(), all.species.to_string());
}
