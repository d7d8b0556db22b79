//! `[[boards]]` of a job file.

use heartside::stock::{BoardKeys, BoardPlan, Drying, Leaves, Lying, WhenRead, forecast_pack};
use heartside::units::told::Problems;

fn read(text: &str) -> (Option<BoardPlan>, Vec<String>) {
    let keys: BoardKeys = toml::from_str(text).unwrap();
    let mut problems = Problems::default();
    let plan = keys.read(0..text.len(), &mut problems);
    let words = problems
        .into_sorted()
        .into_iter()
        .map(|problem| format!("{}; {}", problem.message, problem.remedy))
        .collect();
    (plan, words)
}

const PLANK: &str = "name = 'plank'\nspecies = 'walnut, black'\nthickness = '8/4'\nwidth = '9in'\nlength = '96in'\n";

#[test]
fn a_board_is_read_with_everything_it_may_tell() {
    let (plan, words) = read(&format!(
        "{PLANK}shell = '8%'\ncore = '11%'\nbow = '1/8in'\ntwist = '-2 mm'\nrings = {{ pith_depth = '3in' }}\n\
         drying = 'kiln dried, unconditioned'\npack = 'A'\nleaf_thicknesses = '20 mm, 25 mm'\nkerf = '1/16in'\n\
         strips = [{{ length = '24in', gap = '-1/16in' }}, {{ length = '9in', across = true, bows = '0.5 mm, 0.4 mm', read = 'rested' }}]\n\
         measured_leaves = [{{ leaf = 1, bow = '4 mm' }}]\n\
         parts = [{{ name = 'door panel', length = '20in', width = '8in', thickness = '5/8in', count = 2 }}]\n\
         rests_in = 'shop'\nlying = 'marked face up'\nrest_days = 30\n"
    ));
    assert!(words.is_empty(), "{words:?}");
    let plan = plan.unwrap();
    assert_eq!(plan.drying, Drying::KilnUnconditioned);
    assert!((plan.board.thickness.mm() - 50.8).abs() < 1e-9);
    assert!((plan.board.core_minus_shell().percent() - 3.0).abs() < 1e-9);
    assert!(matches!(&plan.plan.leaves, Leaves::Thicknesses(list) if list.len() == 2));
    assert_eq!(plan.strips.len(), 2);
    assert_eq!(plan.strips[1].read, WhenRead::Rested);
    assert_eq!(plan.strips[0].thickness, plan.board.thickness);
    assert_eq!(plan.lying, Lying::MarkedFaceUp);
    assert_eq!(plan.parts[0].count, 2);
    let forecast = forecast_pack(&[plan.order(super::walnut(), None)]).unwrap();
    // 50.8 - 20 - 25 mm and two kerfs leave a third leaf of 2.6 mm.
    assert_eq!(forecast[0].leaves.len(), 3);
}

#[test]
fn every_wrong_key_is_told_at_once() {
    let (plan, words) = read(&format!(
        "{PLANK}moisture = '9%'\nshell = '8%'\ndrying = 'kiln dried, unconditoned'\nleaves = 2\n\
         strips = [{{ length = '24in' }}, {{ length = '24in', bows = '1 mm' }}]\n\
         measured_leaves = [{{ leaf = 1 }}]\nlying = 'flat'\nbow = 3\n"
    ));
    assert!(plan.is_none());
    let all = words.join("\n");
    for word in [
        "told twice",
        "kiln dried unconditioned",
        "no reading",
        "two, the marked face's half first",
        "measured leaf without a reading",
        "stickered",
        "unit",
    ] {
        assert!(all.contains(word), "{word} in {all}");
    }
    let (plan, words) = read(&format!("{PLANK}moisture = '9%'\nleaves = 60\n"));
    assert!(plan.is_none());
    assert!(words[0].contains("60 is outside 1 to 50"), "{words:?}");
    let (plan, words) = read(&format!(
        "{PLANK}moisture = '9%'\nleaves = 40\nkerf = '1/8in'\n"
    ));
    assert!(plan.is_none());
    assert!(
        words[0].contains("leaves do not come out of 50.8 mm"),
        "{words:?}"
    );
}
