//! `[[boards]]` of a job file.

use heartside::moisture::meter::Reading;
use heartside::stock::{
    Bend, BoardKeys, BoardPlan, Drying, Leaves, Lying, WhenRead, forecast_pack,
};
use heartside::units::spanned::Problems;

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
         rests_in = 'shop'\nlying = 'sawn face up'\nrest_days = 30\n"
    ));
    assert!(words.is_empty(), "{words:?}");
    let plan = plan.unwrap();
    assert_eq!(plan.drying, Drying::KilnUnconditioned);
    assert!((plan.board.thickness.mm() - 50.8).abs() < 1e-9);
    assert!((plan.board.core_minus_shell().percent() - 3.0).abs() < 1e-9);
    assert!(matches!(&plan.plan.leaves, Leaves::Thicknesses(list) if list.len() == 2));
    assert_eq!(plan.strips.len(), 2);
    assert_eq!(plan.strips[1].read, WhenRead::Rested);
    assert_eq!(
        (plan.strips[0].bend, plan.strips[1].bend),
        (Bend::Along, Bend::Across)
    );
    assert_eq!(plan.strips[0].thickness, plan.board.thickness);
    assert_eq!(plan.lying, Lying::SawnFaceUp);
    assert_eq!(plan.parts[0].count, 2);
    let forecast = forecast_pack(&[plan.order(super::walnut(), None)]).unwrap();
    // 50.8 - 20 - 25 mm and two kerfs leave a third leaf of 2.6 mm.
    assert_eq!(forecast[0].leaves.len(), 3);
}

#[test]
fn every_wrong_key_is_given_at_once() {
    let (plan, words) = read(&format!(
        "{PLANK}moisture = '9%'\nshell = '8%'\ndrying = 'kiln dried, unconditoned'\nleaves = 2\n\
         strips = [{{ length = '24in' }}, {{ length = '24in', bows = '1 mm' }}]\n\
         measured_leaves = [{{ leaf = 1 }}]\nlying = 'flat'\nbow = 3\n"
    ));
    assert!(plan.is_none());
    let all = words.join("\n");
    for word in [
        "given twice",
        "kiln dried unconditioned",
        "no reading",
        "two, the bark face's half first",
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

/// What a board does not tell is what the keys' own words say: a kerf of 1/16 in, a clean-up cut of 1/64 in, 60 days on stickers in
/// the shop, one part of each, a reading good to 0.25 mm straight off the saw.
#[test]
fn what_is_not_given_is_as_the_keys_say() {
    let (plan, words) = read(&format!(
        "{PLANK}moisture = '9%'\nleaves = 2\nstrips = [{{ length = '24in', gap = '1 mm' }}]\n\
         measured_leaves = [{{ leaf = 2, cup = '1 mm' }}]\n\
         parts = [{{ name = 'rail', length = '20in', width = '2in', thickness = '5/8in' }}]\n"
    ));
    assert!(words.is_empty(), "{words:?}");
    let plan = plan.unwrap();
    assert!((plan.plan.kerf.inches() - 0.0625).abs() < 1e-12);
    assert!((plan.clean_up.inches() - 1.0 / 64.0).abs() < 1e-12);
    for nothing in [
        plan.board.bow,
        plan.board.crook,
        plan.board.cup,
        plan.board.twist,
        plan.plan.plane_bark,
        plan.plan.plane_other,
    ] {
        assert_eq!(nothing.mm(), 0.0);
    }
    assert_eq!((plan.rest_days, plan.lying), (60, Lying::Stickered));
    assert_eq!(
        (plan.rests_in, plan.pack, plan.leaf_weight),
        (None, None, None)
    );
    assert_eq!(plan.drying, Drying::Unknown);
    assert_eq!(plan.board.rings, None);
    assert_eq!(plan.parts[0].count, 1);
    let (strip, leaf) = (&plan.strips[0], &plan.measured[0]);
    assert_eq!(strip.read, WhenRead::OffTheSaw);
    assert_eq!(leaf.read, WhenRead::OffTheSaw);
    assert!((strip.error.mm() - 0.25).abs() < 1e-12 && (leaf.error.mm() - 0.25).abs() < 1e-12);
    assert_eq!(
        (strip.thickness, strip.planed_from),
        (plan.board.thickness, None)
    );
    assert_eq!(strip.kerf, plan.plan.kerf);
}

/// All that may be given is kept as given.
#[test]
fn all_that_is_given_is_kept() {
    let (plan, words) = read(&format!(
        "{PLANK}moisture = '9%'\ncore = '11%'\ncup = '1 mm'\ncrook = '3 mm'\nleaves = 3\nkerf = '2 mm'\n\
         plane_bark = '1 mm'\nplane_other = '0.5 mm'\nclean_up = '0.3 mm'\nlocked_in = '300'\nlocked_in_across = '-900'\n\
         rests_in = 'loft'\nlying = 'sawn face down'\nrest_days = 12\nleaf_weight = '4 kg'\n\
         strips = [{{ length = '500 mm', thickness = '40 mm', planed_from = '45 mm', kerf = '1 mm', gap = '1 mm', reading_error = '0.1 mm' }}]\n\
         measured_leaves = [{{ leaf = 3, bow = '2 mm', cup = '-1 mm', read = 'rested', reading_error = '0.5 mm' }}]\n"
    ));
    assert!(words.is_empty(), "{words:?}");
    let plan = plan.unwrap();
    assert!(matches!(
        plan.board.moisture,
        Reading::MeanAndCore { mean, core }
            if (mean.percent() - 9.0).abs() < 1e-12 && (core.percent() - 11.0).abs() < 1e-12
    ));
    let mm = |length: heartside::units::Length| length.mm();
    assert_eq!(
        [mm(plan.board.cup), mm(plan.board.crook), mm(plan.plan.kerf)],
        [1.0, 3.0, 2.0]
    );
    assert_eq!(
        [
            mm(plan.plan.plane_bark),
            mm(plan.plan.plane_other),
            mm(plan.clean_up)
        ],
        [1.0, 0.5, 0.3]
    );
    let order = plan.order(
        super::walnut(),
        Some(heartside::air::AirState::computed(20.0, 40.0)),
    );
    assert!((order.locked_in.unwrap().ratio() - 300e-6).abs() < 1e-15);
    assert!((order.locked_in_across.unwrap().ratio() + 900e-6).abs() < 1e-15);
    let rest = order.rest.unwrap();
    assert_eq!((rest.lying, rest.days), (Lying::SawnFaceDown, 12));
    assert!((rest.weight.unwrap().grams() - 4000.0).abs() < 1e-9);
    assert_eq!(order.plan, plan.plan);
    assert_eq!(plan.rests_in.as_deref(), Some("loft"));
    let strip = &plan.strips[0];
    assert_eq!(
        [
            mm(strip.thickness),
            mm(strip.planed_from.unwrap()),
            mm(strip.kerf),
            mm(strip.error)
        ],
        [40.0, 45.0, 1.0, 0.1]
    );
    let leaf = plan.measured[0];
    assert_eq!(leaf.leaf, 3);
    assert_eq!(
        [mm(leaf.bow.unwrap()), mm(leaf.cup.unwrap()), mm(leaf.error)],
        [2.0, -1.0, 0.5]
    );
    assert_eq!(leaf.read, WhenRead::Rested);
}

/// Every limit of the section, from inside and from outside: what is wrong and what to do.
#[test]
fn every_limit_is_given_with_its_remedy() {
    let base = format!("{PLANK}moisture = '9%'\n");
    let refused = |rest: &str, words: &[&str]| {
        let (plan, given) = read(&format!("{base}{rest}"));
        assert!(plan.is_none(), "{rest}");
        assert_eq!(given.len(), 1, "{rest}: {given:?}");
        for word in words {
            assert!(given[0].contains(word), "`{word}` is not in: {}", given[0]);
        }
    };
    let taken = |rest: &str| {
        let (plan, given) = read(&format!("{base}{rest}"));
        assert!(plan.is_some() && given.is_empty(), "{rest}: {given:?}");
    };
    refused(
        "leaves = 0\n",
        &["0 is outside 1 to 50", "give a number in that range"],
    );
    refused(
        "",
        &["how the board is split is not given", "give `leaves`"],
    );
    refused(
        "leaves = 2\nleaf_thicknesses = '20 mm'\n",
        &["given twice", "give `leaves`"],
    );
    taken("leaves = 2\nrest_days = 1000\n");
    refused(
        "leaves = 2\nrest_days = 1001\n",
        &["1001 is outside 1 to 1000"],
    );
    let part = |count: u32| {
        format!(
            "leaves = 2\nparts = [{{ name = 'rail', length = '20in', width = '2in', thickness = '5/8in', count = {count} }}]\n"
        )
    };
    taken(&part(100));
    refused(&part(101), &["101 is outside 1 to 100"]);
    refused(&part(0), &["0 is outside 1 to 100"]);
    let strip = |error: &str| {
        format!(
            "leaves = 2\nstrips = [{{ length = '24in', gap = '1 mm', reading_error = '{error}' }}]\n"
        )
    };
    taken(&strip("0.001 mm"));
    refused(
        &strip("0.0009 mm"),
        &[
            "a reading without error does not exist",
            "the error of your gauge",
        ],
    );
    let leaf =
        |leaf: u32| format!("leaves = 2\nmeasured_leaves = [{{ leaf = {leaf}, bow = '1 mm' }}]\n");
    taken(&leaf(2));
    refused(&leaf(3), &["3 is outside 1 to 2"]);
    refused(
        "leaves = 2\nmeasured_leaves = [{ leaf = 1 }]\n",
        &["without a reading", "give its `bow`, its `cup` or both"],
    );
    refused(
        "leaves = 2\nkerf = '21 mm'\n",
        &["kerf", "give the kerf of the piece itself"],
    );
    refused(
        "leaves = 2\nrings = { rise = '-1 mm', chord = '50 mm' }\n",
        &["the ring rises -1.0 mm", "turn the section bark side up"],
    );
    refused(
        "leaves = 2\nstrips = [{ length = '24in', gap = '1 mm', planed_from = '1in' }]\n",
        &[
            "cannot have been planed from 25.4 mm",
            "thickness it had when it was dried",
        ],
    );
    let (plan, given) = read(
        "name = 'x'\nspecies = 'walnut, black'\nthickness = '600 mm'\nwidth = '9in'\nlength = '96in'\nmoisture = '9%'\nleaves = 2\n",
    );
    assert!(plan.is_none());
    assert!(
        given[0].contains("600 mm is outside") && given[0].contains("write quarters of an inch"),
        "{given:?}"
    );
}
