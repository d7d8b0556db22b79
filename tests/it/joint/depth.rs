//! The depth budget.

use super::*;
use heartside::joint::depth::cuts;

fn case() -> [PartFacts; 3] {
    [
        part("divider", 700.0, 300.0, 20.0),
        part("left shelf", 500.0, 290.0, 18.0),
        part("right shelf", 500.0, 290.0, 18.0),
    ]
}

fn two_dados(left: (&str, &str), right: (&str, &str)) -> String {
    format!(
        "[[joints.dado]]\ninto = \"divider\"\npiece = \"left shelf\"\nface = \"inside\"\nat = \"{}\"\ndepth = \"{}\"\n\
         [[joints.dado]]\ninto = \"divider\"\npiece = \"right shelf\"\nface = \"outside\"\nat = \"{}\"\ndepth = \"{}\"\n",
        left.0, left.1, right.0, right.1
    )
}

/// 20 mm, 7 from one face and 6 from the other at nearly the same height: 7 are left. Apart: 13 and 14.
#[test]
fn cuts_from_both_faces_add_where_they_overlap() {
    let parts = case();
    let left_of = |right_at: &str| -> Vec<f64> {
        let plans = read(&two_dados(("300mm", "7mm"), (right_at, "6mm")), &parts).unwrap();
        let sizes: Vec<Vec<f64>> = plans.iter().map(|plan| plan.still_cuts_mm(3)).collect();
        let all = cuts(&plans, &sizes);
        all.iter()
            .map(|cut| cut.wood_left(&all, &parts[0]).unwrap().left.mm())
            .collect()
    };
    assert_eq!(left_of("310mm"), [7.0, 7.0]);
    // the first dado ends at 318.075
    assert_eq!(left_of("318mm"), [7.0, 7.0]);
    assert_eq!(left_of("319mm"), [13.0, 14.0]);
}

/// From both faces 12 and 8 mm deep into 20 mm: refused, at the second of the two, with both named.
#[test]
fn cuts_that_meet_are_refused() {
    let text = two_dados(("300mm", "12mm"), ("305mm", "8mm"));
    let problems = read(&text, &case()).unwrap_err();
    assert_eq!(problems.len(), 1);
    let problem = &problems[0];
    // the header of the second joint
    assert_eq!(problem.span.start, text.rfind("[[joints.dado]]").unwrap());
    for words in [
        "left shelf in divider",
        "right shelf in divider",
        "12.0 mm",
        "8.0 mm",
        "20.0 mm",
    ] {
        assert!(
            problem.message.contains(words),
            "{words}: {}",
            problem.message
        );
    }
    assert!(problem.remedy.contains("shallower"));
    // the same cuts apart are sound
    assert!(read(&two_dados(("300mm", "12mm"), ("400mm", "8mm")), &case()).is_ok());
}

/// A third of 20 mm is more than 5 mm, so that 5 mm is the limit; of 9 mm a third is 3.
#[test]
fn thin_wood_is_less_than_five_millimetres_or_a_third() {
    use heartside::joint::WoodLeft;
    let left = |left: f64, wood: f64| WoodLeft {
        left: mm(left),
        wood: mm(wood),
        opposite: mm(0.0),
        opposite_joint: None,
    };
    assert!(left(4.9, 20.0).is_thin() && !left(5.1, 20.0).is_thin());
    assert!(left(2.9, 9.0).is_thin() && !left(3.1, 9.0).is_thin());
    assert!(left(0.0, 9.0).is_through() && !left(0.1, 9.0).is_through());
}
