//! Every error of the room: what is wrong, by its own figures, and what to do about it.

use super::{mm, panel, supports};
use heartside::carcass::{
    AllowedSag, Divider, FixedLine, Fixing, FloorDrops, GlueJoint, GlueTerms, PartMoves, Piece,
    SeasonStrains, Settling, Shelf, ShelfBoard, ShelfLoad, ShelfSupport, SlotIn, SupportedPanel,
    Turning, best_places, fasten, fit_days, level, load_shelf, load_together, max_span,
    min_thickness, plan_stages, straighten, straighten_together,
};
use heartside::units::{Duration, Length, LineLoad, Strain, Stress};
use jiff::civil::date;
use std::error::Error;

/// An error, the words its reason must hold, and the words of its remedy.
type Row = (Box<dyn Error>, &'static [&'static str], &'static str);

fn given(rows: Vec<Row>) {
    for (error, figures, remedy) in rows {
        let given = error.to_string();
        let (reason, rest) = given
            .split_once("; ")
            .unwrap_or_else(|| panic!("no remedy: {given}"));
        for figure in figures {
            assert!(reason.contains(figure), "`{figure}` is not in: {reason}");
        }
        assert!(rest.contains(remedy), "`{remedy}` is not in: {rest}");
    }
}

fn error<T: std::fmt::Debug, E: Error + 'static>(found: Result<T, E>) -> Box<dyn Error> {
    Box::new(found.unwrap_err())
}

fn board() -> ShelfBoard {
    ShelfBoard::new(mm(250.0), mm(18.0), Stress::from_mpa(11_000.0).unwrap()).unwrap()
}

fn shelf(places: &[f64], loads: Vec<ShelfLoad>) -> Shelf {
    Shelf {
        board: board(),
        length: mm(900.0),
        supports: places
            .iter()
            .map(|place| ShelfSupport::at(mm(*place)))
            .collect(),
        loads,
        lasts: heartside::carcass::LoadLasts::Permanent,
    }
}

fn load(newtons_per_mm: f64) -> LineLoad {
    LineLoad::from_newtons_per_mm(newtons_per_mm).unwrap()
}

#[test]
fn every_error_of_panels_and_shelves_is_given_in_full() {
    let worked = panel(900.0, 300.0, 12.0, 11_000.0, 6.0);
    let pair = |length: f64, thickness: f64, modulus: f64| SupportedPanel {
        panel: panel(length, 300.0, thickness, modulus, 1.0),
        start: Length::ZERO,
        supports: supports(&[0.0, length]),
    };
    let both = [pair(900.0, 12.0, 11_000.0), pair(600.0, 12.0, 11_000.0)];
    let books = ShelfLoad::Even(load(0.4));
    let part = |from: f64, to: f64| ShelfLoad::Partial {
        from: mm(from),
        to: mm(to),
        load: load(0.4),
    };
    let two_shelves = [shelf(&[0.0, 900.0], vec![]), shelf(&[0.0, 900.0], vec![])];
    given(vec![
        (
            error(heartside::carcass::BowedPanel::new(
                mm(900.0),
                mm(300.0),
                mm(700.0),
                Stress::from_mpa(11_000.0).unwrap(),
                mm(6.0),
            )),
            &["thickness 700 mm is outside"],
            "give a size inside that range",
        ),
        (
            error(straighten(&worked, &supports(&[0.0, 450.0, 450.5, 900.0]))),
            &["450.0 mm", "450.5 mm", "one place"],
            "at least 1 mm apart",
        ),
        (
            error(straighten(&worked, &supports(&[0.0, 950.0]))),
            &["the support at 950.0 mm", "from 0 to 900.0 mm"],
            "measure from its reference end",
        ),
        (
            error(straighten_together(
                &both,
                &[Divider::between(0, 1, mm(700.0))],
            )),
            &["the divider at 700.0 mm is off"],
            "measure from its reference end",
        ),
        (
            error(straighten(&worked, &supports(&[450.0]))),
            &["nothing holds the part"],
            "add a support or let one hold both ways",
        ),
        (
            error(straighten_together(
                &both,
                &[Divider::between(0, 2, mm(300.0))],
            )),
            &["part number 2", "the 2 given"],
            "count from 0",
        ),
        (
            error(load_together(
                &two_shelves,
                &[Divider::between(1, 1, mm(300.0))],
            )),
            &["part number 1", "two different ones of the 2"],
            "count from 0",
        ),
        (
            error(best_places(&worked, &supports(&[0.0, 900.0]), 9, mm(95.0))),
            &["9 dividers", "95.0 mm between them"],
            "fewer or for a smaller spacing",
        ),
        (
            error(load_shelf(&shelf(&[0.0, 900.0], vec![part(300.0, 300.0)]))),
            &["from 300.0 mm to 300.0 mm covers nothing"],
            "let it end after it begins",
        ),
        (
            error(load_shelf(&shelf(&[0.0, 900.0], vec![part(300.0, 901.0)]))),
            &["the load at 901.0 mm", "900.0 mm"],
            "measure from its reference end",
        ),
        (
            error(load_shelf(&shelf(&[0.0, 900.0, 900.5], vec![books]))),
            &["the support at 900.5 mm"],
            "measure from its reference end",
        ),
        (
            error(load_shelf(&shelf(&[0.0, 899.5, 900.0], vec![books]))),
            &["899.5 mm", "900.0 mm", "one place"],
            "at least 1 mm apart",
        ),
        (
            error(load_together(
                &two_shelves,
                &[Divider::between(0, 1, mm(1200.0))],
            )),
            &["the divider at 1200.0 mm"],
            "measure from its reference end",
        ),
        (
            error(load_shelf(&shelf(&[400.0], vec![books]))),
            &["nothing holds the part"],
            "add a support",
        ),
        (
            error(min_thickness(
                &shelf(&[0.0, 900.0], vec![ShelfLoad::Even(load(1000.0))]),
                AllowedSag::SpanOver(1e9),
            )),
            &["no thickness within the allowed range"],
            "lighten the load or add a support",
        ),
        (
            error(max_span(
                &board(),
                (load(1000.0), heartside::carcass::LoadLasts::Permanent),
                Turning::Free,
                AllowedSag::SpanOver(1e12),
            )),
            &["no span within the allowed range"],
            "lighten the load or add a support",
        ),
        (
            // A veneer of a tenth of a millimetre beside half a metre of steel: stiffness apart by 10^17.
            error(straighten_together(
                &[pair(900.0, 0.1, 0.1), pair(900.0, 500.0, 1e6)],
                &[Divider::between(0, 1, mm(300.0))],
            )),
            &["the forces could not be settled"],
            "differ by many orders of magnitude",
        ),
    ]);
}

#[test]
fn every_error_of_an_installation_is_given_in_full() {
    let strains = |driest: f64, today: f64, wettest: f64| {
        let strain = |value| Strain::from_ratio(value).unwrap();
        PartMoves {
            across: SeasonStrains {
                driest: strain(driest),
                today: strain(today),
                wettest: strain(wettest),
            },
            along: SeasonStrains::default(),
        }
    };
    let screw = |across: f64| Fixing {
        across: mm(across),
        along: Length::ZERO,
        screw: mm(5.0),
        slot_in: SlotIn::Support,
    };
    let fastened = |moves: PartMoves, at: f64| {
        fasten(mm(420.0), FixedLine::Middle, &moves, &[screw(at)], mm(2.0))
    };
    given(vec![
        (
            error(level(&FloorDrops {
                length: mm(0.5),
                depth: mm(400.0),
                right: Length::ZERO,
                back: Length::ZERO,
                right_over: None,
                back_over: None,
                far: None,
            })),
            &["board length 0.5 mm is outside"],
            "give a size inside that range",
        ),
        (
            error(fastened(strains(-0.004, 0.003, 0.002), 100.0)),
            &["wetter or drier today than in any season"],
            "take today into the year",
        ),
        (
            error(fastened(strains(-0.004, 0.0, 0.002), 421.0)),
            &["a screw at 421.0 mm", "420.0 mm wide"],
            "measure from its front edge",
        ),
        (
            error(fit_days(
                date(9999, 12, 20),
                &[Settling {
                    part: "top".to_owned(),
                    days: 40.0,
                }],
            )),
            &["past the end of the calendar"],
            "check the date of delivery",
        ),
    ]);
}

#[test]
fn every_error_of_a_glue_up_is_given_in_full() {
    let seconds = |value| Duration::from_seconds(value).unwrap();
    let joint = |a: usize, b: usize, clamps: u32| GlueJoint {
        name: format!("joint {a}-{b}"),
        between: [a, b],
        glued: true,
        spread: seconds(60.0),
        close: seconds(0.0),
        clamps,
    };
    let piece = |parts: usize, joints: Vec<GlueJoint>| Piece {
        parts: (0..parts).map(|part| format!("part {part}")).collect(),
        joints,
        traps: Vec::new(),
    };
    let terms = |time: f64, clamps: Option<u32>| GlueTerms {
        own_time: Some(seconds(time)),
        per_clamp: seconds(0.0),
        clamps,
        margin: 0.0,
        ..GlueTerms::default()
    };
    let one = piece(2, vec![joint(0, 1, 3)]);
    given(vec![
        (
            error(plan_stages(&piece(300, Vec::new()), &terms(600.0, None))),
            &["300 parts or joints", "more than the"],
            "sub-assemblies one by one",
        ),
        (
            error(plan_stages(
                &piece(2, vec![joint(1, 1, 0)]),
                &terms(600.0, None),
            )),
            &["joint 1-1 does not join two different parts"],
            "name two of its parts",
        ),
        (
            error(plan_stages(&one, &terms(0.5, None))),
            &["no time is left"],
            "a longer open time, a smaller margin or at least one pair of hands",
        ),
        (
            error(plan_stages(&one, &terms(40.0, None))),
            &[
                "joint 0-1 must be glued together",
                "take 1.0 min",
                "may take 40 s, and joint 0-1 takes longest",
            ],
            "hot hide, or work with 2 pairs of hands",
        ),
        (
            error(plan_stages(&one, &terms(600.0, Some(2)))),
            &["joint 0-1", "take 3 clamps", "2 are at hand"],
            "borrow clamps",
        ),
    ]);
    // The remedies are those that help: more hands bring a minute below 40 s, a glue that stays open longer one below 5 s, and
    // nothing a day.
    let words = |takes: f64, open: f64| {
        let mut one = one.clone();
        one.joints[0].spread = seconds(takes);
        plan_stages(&one, &terms(open, None))
            .unwrap_err()
            .to_string()
    };
    assert!(words(60.0, 40.0).contains("work with 2 pairs of hands"));
    assert!(words(60.0, 5.0).contains("use a slower glue such as"));
    assert!(words(86_400.0, 5.0).ends_with("; leave a joint dry and fasten it later"));
}
