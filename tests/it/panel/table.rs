//! Leaves read from a table.

use super::mm;
use approx::assert_relative_eq;
use heartside::movement::{Face, Rings};
use heartside::panel::{FaceUp, leaves_csv};
use proptest::prelude::*;

fn faults(text: &str) -> String {
    leaves_csv::read(text).unwrap_err().to_string()
}

#[test]
fn units_stand_in_the_header_or_in_the_cells() {
    let header =
        leaves_csv::read("leaf,width_in,thickness (mm),Length [ft],bow_mm\nA1,6 1/2,9.5,6,-3\n")
            .unwrap();
    let cells =
        leaves_csv::read("leaf,width,thickness,length,bow\nA1,6 1/2\",9.5mm,6 ft,-3 mm\n").unwrap();
    assert_eq!(header, cells);
    assert_relative_eq!(cells[0].width.mm(), 165.1);
    assert_relative_eq!(cells[0].length.mm(), 1828.8);
    assert_relative_eq!(cells[0].bow.mm(), -3.0);
}

#[test]
fn every_optional_column_is_read() {
    let text = "\u{feff}leaf;width_mm;thickness_mm;length_mm;bow_mm;crook_mm;twist_mm;cup_mm;pith_depth_mm;pith_offset_mm;species;pair;show_face;sawn_side\n\
                # a word about the pile\n\
                A1;150;9,5;900;3;1;-2;0,2;80;-15;\"walnut, black\";a;back;heart\n\
                \n\
                A2;150;9,5;900;2;;;;;;;;either;\n";
    let leaves = leaves_csv::read(text).unwrap();
    let first = &leaves[0];
    assert_relative_eq!(first.thickness.mm(), 9.5);
    assert_eq!(
        (first.crook, first.twist, first.cup),
        (mm(1.0), mm(-2.0), mm(0.2))
    );
    assert_eq!(
        first.rings,
        Some(Rings::Pith {
            depth: mm(80.0),
            offset: mm(-15.0)
        })
    );
    assert_eq!(first.species.as_deref(), Some("walnut, black"));
    assert_eq!(first.pair.as_deref(), Some("a"));
    assert_eq!(first.show_face, Some(FaceUp::Back));
    assert_eq!(first.sawn_side, Some(Face::Heart));
    let second = &leaves[1];
    assert_eq!(
        (second.crook, second.rings, second.show_face),
        (mm(0.0), None, None)
    );
    assert_eq!((&second.species, &second.pair), (&None, &None));
}

#[test]
fn a_unit_in_both_places_or_in_neither_is_an_error() {
    let both = faults("leaf,width_mm,thickness_mm,length_mm,bow_mm\nA1,150,9,900,3 mm\n");
    assert_eq!(
        both,
        "row 2, leaf `A1`: `3 mm` has a unit and so does its header `bow_mm`; keep the unit in one of the two places"
    );
    let neither = faults("leaf,width_mm,thickness_mm,length_mm,bow\nA1,150,9,900,0\n");
    assert_eq!(
        neither,
        "row 2, leaf `A1`, column `bow`: `0` has no unit; write it in the cell (`0 mm`) or for all rows in the header (`bow_mm`, `bow_in`)"
    );
}

#[test]
fn every_fault_is_given_at_once_with_row_column_leaf_and_remedy() {
    let text = "leaf,width_mm,thickness_mm,length_mm,bow_mm\n\
                A1,150,9,900,\n\
                A2,fifteen,9,900,1\n\
                A2,150,900,900,1\n\
                ,150,9,900,1\n\
                A3,150,9,900,1,spare\n\
                A3,150,9,900,1\n\
                A3,150,9,900,1\n";
    let said = faults(text);
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(lines.len(), 6, "{said}");
    assert!(
        lines[0]
            .starts_with("row 2, leaf `A1`, column `bow`: the bow is missing; lay a straightedge")
    );
    assert!(lines[1].starts_with("row 3, leaf `A2`"), "{}", lines[1]);
    assert!(lines[2].contains("row 4, leaf `A2`, column `thickness`: thickness 900 mm is outside"));
    assert!(lines[3].starts_with("row 5, column `leaf`: the leaf has no name"));
    assert!(lines[4].starts_with("row 6: leaf `A3` has more cells"));
    assert!(lines[5].starts_with("row 8: the leaf `A3` appears a second time"));
}

#[test]
fn headers_are_checked() {
    assert!(faults("").contains("the table is empty"));
    assert!(faults("leaf,width_mm,thickness_mm,length_mm,bow_mm\n").contains("no leaf"));
    let said = faults(
        "leaf,width_mm,thickness_mm,length_mm,bew_mm,bow_mm,bow_in,pair_mm\nA,1,1,1,1,1,1,1\n",
    );
    assert!(
        said.contains("`bew_mm` is no column known here; did you mean"),
        "{said}"
    );
    assert!(said.contains("the column `bow` appears twice"), "{said}");
    assert!(said.contains("`pair_mm` holds words, no lengths"), "{said}");
    let said = faults("leaf,width_mm\nA,1\n");
    assert_eq!(said.lines().count(), 3, "{said}");
    let alone =
        faults("leaf,width_mm,thickness_mm,length_mm,bow_mm,pith_offset_mm\nA,100,9,900,1,5\n");
    assert!(alone.contains("given without the pith's depth"), "{alone}");
}

#[test]
fn an_ambiguous_number_is_refused() {
    let error =
        leaves_csv::read("leaf,width_mm,thickness_mm,length_mm,bow_mm\nA1,150,9,\"1,250\",3\n")
            .unwrap_err();
    assert!(
        error.each()[0].message().contains("column `length`"),
        "{error}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// No text makes the reader fall over.
    #[test]
    fn any_text_is_leaves_or_words(text in "[ -~\u{e9}\n\t\"']{0,200}") {
        if let Err(error) = leaves_csv::read(&text) {
            prop_assert!(!error.to_string().is_empty());
        }
        let _ = leaves_csv::read(&format!("leaf,width_mm,thickness_mm,length_mm,bow_mm\n{text}"));
    }
}
