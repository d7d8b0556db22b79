//! Which wood a name means.

use heartside::species::SpeciesTable;
use proptest::prelude::*;

fn name_of(asked: &str) -> String {
    let table = SpeciesTable::built_in();
    table
        .find(asked)
        .map_or_else(|error| panic!("{error}"), |species| species.name.clone())
}

#[test]
fn names_are_found_in_either_order_in_any_case() {
    for asked in [
        "Oak, white",
        "OAK WHITE",
        "oak-white",
        " Quercus  alba ",
        "American white oak",
    ] {
        assert_eq!(name_of(asked), "Oak, white");
    }
    // What a yard calls white oak is six woods.
    for asked in ["white oak", "White Oak.", "WHITE-OAK"] {
        assert_eq!(name_of(asked), "white oak");
    }
    assert_eq!(name_of("Quercus petraea"), "Oak, European");
    assert_eq!(name_of("yellow poplar"), "Yellow-poplar");
    assert_eq!(name_of("pin oak"), "Oak, pin (red oak group)");
    assert_eq!(
        name_of("Pin oak (red oak group)"),
        "Oak, pin (red oak group)"
    );
    assert_eq!(name_of("basswood"), "Basswood, American");
    assert_eq!(name_of("okoumé"), "Okoume");
    assert_eq!(name_of("Juglans nigra"), "Walnut, black");
}

/// Common practice, no source: names of the trade.
#[test]
fn names_of_the_trade() {
    for (asked, name) in [
        ("hard maple", "hard maple"),
        ("rock maple", "Maple, sugar"),
        ("tulip poplar", "Yellow-poplar"),
        ("Honduras mahogany", "Mahogany, true"),
        ("khaya", "Mahogany, African"),
        ("western red cedar", "Cedar, western redcedar"),
        ("European redwood", "Pine, Scots"),
    ] {
        assert_eq!(name_of(asked), name);
    }
}

#[test]
fn a_name_of_several_woods_lists_them_all() {
    let table = SpeciesTable::built_in();
    let several = |asked: &str| {
        let unknown = table.find(asked).unwrap_err();
        assert!(unknown.ambiguous, "{asked}");
        unknown.suggestions
    };
    assert_eq!(several("maple, soft"), ["Maple, red", "Maple, silver"]);
    assert!(several("maple").len() >= 7);
    assert_eq!(several("oak, red")[0], "Oak, red, commercial");
    assert_eq!(several("Pseudotsuga menziesii").len(), 3);
    let words = table.find("maple, soft").unwrap_err().to_string();
    assert_eq!(
        words,
        "`maple, soft` fits more than one wood; say which one: \"Maple, red\"; \"Maple, silver\""
    );
}

#[test]
fn a_near_miss_is_suggested() {
    let table = SpeciesTable::built_in();
    for (asked, first) in [
        ("blak walnut", "Walnut, black"),
        ("wallnut, black", "Walnut, black"),
        ("qurcus alba", "Oak, white"),
        ("sugar mapel", "Maple, sugar"),
        ("chery, black", "Cherry, black"),
        ("teek", "Teak"),
        ("hard mapel", "Maple, sugar"),
    ] {
        let unknown = table.find(asked).unwrap_err();
        assert!(!unknown.ambiguous);
        assert_eq!(
            unknown.suggestions[0], first,
            "{asked}: {:?}",
            unknown.suggestions
        );
        assert!(unknown.to_string().contains("did you mean"));
    }
    let none = table.find("xyzzy").unwrap_err();
    assert!(none.suggestions.is_empty());
    assert!(none.to_string().contains("lists every wood"));
    assert!(table.find("  ").unwrap_err().to_string().contains("empty"));
}

/// Every record is found by its own name, and its bare name never leads to another wood.
#[test]
fn every_record_is_found_by_its_own_name() {
    for species in SpeciesTable::built_in().all() {
        assert_eq!(name_of(&species.name), species.name);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn any_text_gives_an_answer_or_words(text in "\\PC{0,40}") {
        if let Err(unknown) = SpeciesTable::built_in().find(&text) {
            prop_assert!(!unknown.to_string().contains("panicked"));
            prop_assert!(unknown.suggestions.len() <= SpeciesTable::built_in().all().len());
        }
    }
}
