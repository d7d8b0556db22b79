//! A maker's own table in front of the built-in one.

use heartside::species::{Group, SpeciesTable, Status};

const OWN: &str = "\
species,latin,radial_percent,tangential_percent,volumetric_percent,fiber_saturation_percent,specific_gravity,modulus_mpa,source,status
\"Walnut, orchard\",Juglans regia,4.1,6.6,,28,0.55,10500,off-cuts of one tree,measured
\"oak, white\",,5.0,9.0,,,,,,
";

#[test]
fn own_rows_stand_in_front_and_keep_built_in_figures_they_leave_out() {
    let table = SpeciesTable::with_user_csv(OWN, "woods.csv").unwrap();
    let walnut = table.find("orchard walnut").unwrap();
    assert_eq!(walnut.radial_percent(), 4.1);
    assert_eq!(walnut.fiber_saturation().value, 28.0);
    assert_eq!(walnut.fiber_saturation().rule, None);
    assert_eq!(walnut.basic_gravity().value, 0.55);
    assert_eq!(walnut.modulus_mpa().value, 10_500.0);
    assert_eq!(walnut.group, Group::Hardwood);
    let tangential = &walnut.shrinkage.tangential_percent;
    assert_eq!(&*tangential.source, "off-cuts of one tree");
    assert_eq!(tangential.status, Status::Measured);

    let oak = table.find("white oak").unwrap();
    assert_eq!(oak.tangential_percent(), 9.0);
    assert_eq!(&*oak.shrinkage.tangential_percent.source, "woods.csv");
    assert_eq!(oak.shrinkage.tangential_percent.status, Status::Given);
    assert_eq!(oak.modulus_mpa().value, 12_300.0);
    assert_eq!(
        &*oak.dry.modulus_mpa.as_ref().unwrap().source,
        "FPL-GTR-190 Table 5-3a, from a transcription of the printed rows"
    );
    assert_eq!(oak.shrinkage.volumetric_percent, None);
    assert_eq!(oak.change_coefficients, None);

    // The Latin name is the maker's own tree first; the count is one more than built in, since the oak replaces.
    assert_eq!(table.find("Juglans regia").unwrap().name, "Walnut, orchard");
    assert_eq!(table.all().len(), SpeciesTable::built_in().all().len() + 1);
    assert_eq!(table.own_count(), 2);
    assert_eq!(
        SpeciesTable::built_in()
            .find("oak, white")
            .unwrap()
            .tangential_percent(),
        10.5
    );
    assert_eq!(table.find("walnut").unwrap().name, "Walnut, black");
}

#[test]
fn other_marks_between_cells_and_decimal_commas_are_read() {
    let text = "\u{feff}species;radial_percent;tangential_percent\r\nPear;4,6;9,1\r\n\r\n";
    let table = SpeciesTable::with_user_csv(text, "woods.csv").unwrap();
    assert_eq!(table.find("pear").unwrap().tangential_percent(), 9.1);
    let text = "Species\tRadial_percent\tTangential_percent\nPear\t4.6\t9.1\n";
    let table = SpeciesTable::with_user_csv(text, "woods.csv").unwrap();
    assert_eq!(table.find("pear").unwrap().radial_percent(), 4.6);
}

fn faults(text: &str) -> String {
    SpeciesTable::with_user_csv(text, "woods.csv")
        .unwrap_err()
        .to_string()
}

#[test]
fn every_fault_is_given_with_its_place_reason_and_remedy() {
    let words = faults(
        "species,radial_percent,tangential_percent,status\n\
         Pear,4.6,9.1,seen\n\
         Plum,four,9.1,\n\
         ,4,8,\n\
         Quince,4,,guess\n\
         Medlar,45,9,\n\
         pear,4,8,\n\
         Sorb,4,8\n",
    );
    insta::assert_snapshot!(words, @r"
    woods.csv, line 3, column `radial_percent`: `four`: a number is missing; write a plain number such as 5.6, without a unit: the heading says it
    woods.csv, line 4, column `species`: the wood has no name; write the name you will use for it in a job
    woods.csv, line 5, column `status`: `guess` does not say how the figures were found; write seen, memory, derived, judgement, measured or given, or leave the cell empty
    woods.csv, line 5, column `tangential_percent`: the cell is empty; every wood needs its radial and its tangential shrinkage from green to oven-dry, in percent
    woods.csv, line 6, column `radial_percent`: total shrinkage 45% is outside 0.05% to 30%; check the figure and the unit of the heading
    woods.csv, line 7, column `species`: `Pear` is already on line 2; keep one row a wood
    woods.csv, line 8: the row has 3 cells, the first line has 4; give every row as many cells as there are columns; put a name with a comma in double quotes
    ");
}

#[test]
fn a_wrong_first_line_is_given() {
    insta::assert_snapshot!(faults("speceis,radial,tangential_percent\nPear,4,8\n"), @r"
    woods.csv, line 1, column `speceis`: no such column is understood; did you mean `species`?
    woods.csv, line 1, column `radial`: no such column is understood; did you mean `radial_percent`?
    woods.csv, line 1, column `species`: the column is missing; the first line must name the columns, among them species, radial_percent and tangential_percent
    woods.csv, line 1, column `radial_percent`: the column is missing; the first line must name the columns, among them species, radial_percent and tangential_percent
    ");
    insta::assert_snapshot!(faults("species,radial_percent,tangential_percent,tangential_percent,colour\n"), @r"
    woods.csv, line 1, column `tangential_percent`: the column appears twice; keep one of the two
    woods.csv, line 1, column `colour`: no such column is understood; leave the column out, or use one of these: species, latin, group, source, status, note, radial_percent, tangential_percent, volumetric_percent, longitudinal_percent, fiber_saturation_percent, specific_gravity, modulus_mpa, bending_strength_mpa, shear_mpa, tension_across_mpa, compression_across_mpa, tangential_ratio, radial_ratio, shear_lr_ratio, shear_lt_ratio, shear_rt_ratio, tension_radial_mpa, tension_tangential_mpa
    ");
    let no_wood = "woods.csv, line 1: the table holds no wood; write a first line with the columns species, radial_percent, tangential_percent and a line for each wood";
    assert_eq!(faults(""), no_wood);
    assert_eq!(
        faults("species,radial_percent,tangential_percent\n"),
        no_wood
    );
}
