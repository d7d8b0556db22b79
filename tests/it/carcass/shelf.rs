//! Shelves: handbook figures, closed forms, lippings, spans, dividers.

use super::mm;
use crate::refused;
use approx::assert_relative_eq;
use heartside::carcass::{
    AllowedSag, Bearing, Divider, Lipping, Shelf, ShelfBoard, ShelfLoad, ShelfSupport, Turning,
    keeps_to, load_shelf, load_together, max_span, min_thickness,
};
use heartside::units::{Force, Length, LineLoad, Stress};
use proptest::prelude::*;

/// N per mm of one pound-force per foot.
const POUND_PER_FOOT: f64 = 4.448_221_615_260_5 / 304.8;
/// MPa of a million pounds per square inch.
const MPSI: f64 = 6_894.757_293_168;

fn inch(value: f64) -> Length {
    mm(value * 25.4)
}

fn load(newtons_per_mm: f64) -> LineLoad {
    LineLoad::from_newtons_per_mm(newtons_per_mm).unwrap()
}

fn board(depth: Length, thickness: Length, modulus: f64) -> ShelfBoard {
    ShelfBoard::new(depth, thickness, Stress::from_mpa(modulus).unwrap()).unwrap()
}

fn on_ends(board: ShelfBoard, length: Length, turning: Turning, loads: Vec<ShelfLoad>) -> Shelf {
    let end = |at| ShelfSupport {
        turning,
        ..ShelfSupport::at(at)
    };
    Shelf {
        board,
        length,
        supports: vec![end(Length::ZERO), end(length)],
        loads,
        lasts: heartside::carcass::LoadLasts::Permanent,
    }
}

fn book_shelf(thickness: f64) -> Shelf {
    on_ends(
        board(inch(10.0), inch(thickness), 1.8 * MPSI),
        inch(36.0),
        Turning::Free,
        vec![ShelfLoad::Even(load(25.0 * POUND_PER_FOOT))],
    )
}

/// 5 w L^4 / (384 E I) with books at 25 lb per foot: 0.0720 in at 3/4 in, 0.0304 in at 1 in (derived).
#[test]
fn books_on_ten_inch_boards() {
    assert_relative_eq!(
        load_shelf(&book_shelf(0.75)).unwrap().sag.inches(),
        0.0720,
        epsilon = 5e-5
    );
    assert_relative_eq!(
        load_shelf(&book_shelf(1.0)).unwrap().sag.inches(),
        0.0304,
        epsilon = 5e-5
    );
}

/// Wood Handbook: doubling after years.
#[test]
fn creep_multiplies_the_first_sag() {
    let loaded = load_shelf(&book_shelf(0.75)).unwrap();
    assert_relative_eq!(loaded.sag_long_term / loaded.sag, 2.0);
}

/// Closed forms of the beam tables: fixed ends a fifth of the sag; a point load
/// in the middle P L^3 / 48 E I; housed ends in between.
#[test]
fn closed_forms_of_the_beam_tables() {
    let plain = board(mm(250.0), mm(20.0), 11_000.0);
    let ei = 11_000.0 * 250.0 * 20.0_f64.powi(3) / 12.0;
    let even = vec![ShelfLoad::Even(load(0.4))];
    let free = load_shelf(&on_ends(
        plain.clone(),
        mm(800.0),
        Turning::Free,
        even.clone(),
    ))
    .unwrap();
    let fixed = load_shelf(&on_ends(
        plain.clone(),
        mm(800.0),
        Turning::Fixed,
        even.clone(),
    ))
    .unwrap();
    let housed = load_shelf(&on_ends(
        plain.clone(),
        mm(800.0),
        Turning::Housed(0.25),
        even.clone(),
    ))
    .unwrap();
    assert_relative_eq!(
        free.sag.mm(),
        5.0 * 0.4 * 800.0_f64.powi(4) / (384.0 * ei),
        max_relative = 1e-9
    );
    assert_relative_eq!(fixed.sag.mm() * 5.0, free.sag.mm(), max_relative = 1e-9);
    // A quarter of the fixed ends' moment takes away a quarter of their help.
    assert_relative_eq!(
        housed.sag.mm(),
        free.sag.mm() - 0.25 * (free.sag.mm() - fixed.sag.mm()),
        max_relative = 1e-9
    );
    assert_relative_eq!(
        free.stress.mpa(),
        0.4 * 800.0 * 800.0 / 8.0 * 6.0 / (250.0 * 400.0),
        max_relative = 1e-9
    );
    let none = load_shelf(&on_ends(
        plain.clone(),
        mm(800.0),
        Turning::Housed(0.0),
        even,
    ))
    .unwrap();
    assert_relative_eq!(none.sag.mm(), free.sag.mm(), max_relative = 1e-12);
    let point = vec![ShelfLoad::Point {
        at: mm(400.0),
        force: Force::from_newtons(90.0).unwrap(),
    }];
    let loaded = load_shelf(&on_ends(plain, mm(800.0), Turning::Free, point)).unwrap();
    assert_relative_eq!(
        loaded.sag.mm(),
        90.0 * 800.0_f64.powi(3) / (48.0 * ei),
        max_relative = 1e-9
    );
    assert_relative_eq!(loaded.reactions[0].up.newtons(), 45.0, max_relative = 1e-9);
}

/// Parallel axes: a flush lipping of the same wood turns the board into a tee.
#[test]
fn a_lipping_is_part_of_the_section() {
    let plain = board(mm(250.0), mm(20.0), 11_000.0);
    let strip = Lipping {
        width: mm(20.0),
        height: mm(40.0),
        below_top: Length::ZERO,
        modulus: Stress::from_mpa(11_000.0).unwrap(),
    };
    let lipped = plain.clone().with_lipping(strip).unwrap();
    let (a1, a2) = (250.0 * 20.0, 20.0 * 40.0);
    let neutral = (a1 * 10.0 + a2 * 20.0) / (a1 + a2);
    let second = 250.0 * 20.0_f64.powi(3) / 12.0
        + a1 * (neutral - 10.0_f64).powi(2)
        + 20.0 * 40.0_f64.powi(3) / 12.0
        + a2 * (20.0 - neutral).powi(2);
    assert_relative_eq!(
        lipped.stiffness_n_mm2(),
        11_000.0 * second,
        max_relative = 1e-12
    );
    // Lipping as high as the board only widens it.
    let flush = Lipping {
        height: mm(20.0),
        ..strip
    };
    assert_relative_eq!(
        plain.with_lipping(flush).unwrap().stiffness_n_mm2(),
        board(mm(270.0), mm(20.0), 11_000.0).stiffness_n_mm2(),
        max_relative = 1e-12
    );
}

#[test]
fn own_weight_is_a_load() {
    let heavy = board(mm(250.0), mm(20.0), 11_000.0)
        .with_own_weight(0.6)
        .unwrap();
    let loaded = load_shelf(&on_ends(heavy, mm(1000.0), Turning::Free, Vec::new())).unwrap();
    // 250 x 20 x 1000 mm at 0.6 weigh 3 kg.
    assert_relative_eq!(loaded.load.newtons(), 3.0 * 9.80665, max_relative = 1e-9);
    assert!(loaded.sag.mm() > 0.0);
}

#[test]
fn span_and_thickness_stand_at_the_limit() {
    let allowed = AllowedSag::SpanOver(240.0);
    let plain = board(mm(250.0), mm(19.0), 11_000.0);
    let span = max_span(
        &plain,
        (load(0.4), heartside::carcass::LoadLasts::Permanent),
        Turning::Free,
        allowed,
    )
    .unwrap();
    // 2 x 5 w L^4 / 384 E I = L / 240
    let ei = 11_000.0 * 250.0 * 19.0_f64.powi(3) / 12.0;
    let want = (384.0 * ei / (2.0 * 5.0 * 0.4 * 240.0)).cbrt();
    assert_relative_eq!(span.mm(), want, max_relative = 1e-7);
    let at_limit = |length: f64| {
        let loads = vec![ShelfLoad::Even(load(0.4))];
        load_shelf(&on_ends(plain.clone(), mm(length), Turning::Free, loads)).unwrap()
    };
    assert!(keeps_to(&at_limit(span.mm() * 0.999), allowed));
    assert!(!keeps_to(&at_limit(span.mm() * 1.001), allowed));
    let shelf = on_ends(
        plain.clone(),
        mm(900.0),
        Turning::Free,
        vec![ShelfLoad::Even(load(0.4))],
    );
    let thickness = min_thickness(&shelf, AllowedSag::Size(mm(2.0))).unwrap();
    let board = plain.with_thickness(thickness).unwrap();
    let loaded = load_shelf(&Shelf {
        board,
        ..shelf.clone()
    })
    .unwrap();
    assert_relative_eq!(loaded.sag_long_term.mm(), 2.0, max_relative = 1e-7);
    let weightless = Shelf {
        loads: Vec::new(),
        ..shelf
    };
    assert!(refused(
        min_thickness(&weightless, allowed),
        "no thickness within"
    ));
}

#[test]
fn an_overhang_counts_twice_its_length() {
    let plain = board(mm(250.0), mm(20.0), 11_000.0);
    let shelf = Shelf {
        board: plain,
        length: mm(900.0),
        supports: vec![ShelfSupport::at(mm(0.0)), ShelfSupport::at(mm(500.0))],
        loads: vec![ShelfLoad::Point {
            at: mm(900.0),
            force: Force::from_newtons(50.0).unwrap(),
        }],
        lasts: heartside::carcass::LoadLasts::Permanent,
    };
    let loaded = load_shelf(&shelf).unwrap();
    assert_relative_eq!(loaded.span.mm(), 800.0);
    assert!(loaded.reactions[0].up.newtons() < 0.0);
    // Lying loose it tips.
    let loose = Shelf {
        supports: shelf
            .supports
            .iter()
            .map(|s| ShelfSupport {
                bearing: Bearing::CarriesOnly,
                ..s.clone()
            })
            .collect(),
        ..shelf
    };
    assert!(refused(load_shelf(&loose), "nothing holds the part"));
}

/// Two like shelves, one loaded: a divider hands half of the middle's load on.
#[test]
fn a_divider_shares_a_load_between_like_shelves() {
    let plain = board(mm(250.0), mm(20.0), 11_000.0);
    let point = vec![ShelfLoad::Point {
        at: mm(400.0),
        force: Force::from_newtons(90.0).unwrap(),
    }];
    let loaded = on_ends(plain.clone(), mm(800.0), Turning::Free, point);
    let idle = on_ends(plain, mm(800.0), Turning::Free, Vec::new());
    let standing = Divider {
        push_only: true,
        ..Divider::between(0, 1, mm(400.0))
    };
    let stack = load_together(
        &[idle.clone(), loaded.clone()],
        std::slice::from_ref(&standing),
    )
    .unwrap();
    assert_relative_eq!(stack.dividers[0].push.newtons(), 45.0, max_relative = 1e-9);
    // Loaded below instead, the loose divider hangs in the air; a glued one pulls.
    let stack = load_together(&[loaded.clone(), idle.clone()], &[standing]).unwrap();
    assert!(stack.dividers[0].lost_by.unwrap().mm() > 0.0);
    let stack = load_together(&[loaded, idle], &[Divider::between(0, 1, mm(400.0))]).unwrap();
    assert_relative_eq!(stack.dividers[0].push.newtons(), -45.0, max_relative = 1e-9);
}

#[test]
fn loads_off_the_shelf_are_named() {
    let mut shelf = book_shelf(0.75);
    shelf.loads.push(ShelfLoad::Partial {
        from: inch(30.0),
        to: inch(37.0),
        load: load(0.1),
    });
    assert!(refused(load_shelf(&shelf), "the load at"));
    shelf.loads.pop();
    shelf.loads.push(ShelfLoad::Partial {
        from: inch(30.0),
        to: inch(20.0),
        load: load(0.1),
    });
    assert!(refused(load_shelf(&shelf), "covers nothing"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Supports carry the whole load, even with load edges a hair from a support.
    #[test]
    fn supports_carry_the_load(
        from in 0.0..1.0_f64, length in 0.001..1.0_f64, size in 0.01..2.0_f64,
        middle in 0.1..0.9_f64, hair in 1e-6..1.0_f64, point in 0.0..500.0_f64,
    ) {
        let plain = board(mm(250.0), mm(20.0), 11_000.0);
        let to = (from + length).min(1.0);
        prop_assume!(to > from);
        let shelf = Shelf {
            board: plain,
            length: mm(1000.0),
            supports: [0.0, middle * 1000.0, 1000.0].map(|x| ShelfSupport::at(mm(x))).to_vec(),
            loads: vec![
                ShelfLoad::Partial { from: mm(from * 1000.0), to: mm(to * 1000.0), load: load(size) },
                ShelfLoad::Point { at: mm(middle * 1000.0 + hair), force: Force::from_newtons(point).unwrap() },
            ], lasts: heartside::carcass::LoadLasts::Permanent };
        let loaded = load_shelf(&shelf).unwrap();
        let carried: f64 = loaded.reactions.iter().map(|r| r.up.newtons()).sum();
        prop_assert!((carried - loaded.load.newtons()).abs() < 1e-6 * (1.0 + carried));
    }
}

/// A load that comes and goes creeps half as much as one that rests for years (NDS 3.5.2: 1.5, seen; Wood Handbook: creep about
/// equals the first deflection, seen); the board's own weight always rests. Loads of one class only multiply the sag; of
/// unlike ones each counts by its own, and the verdict takes their sum.
#[test]
fn the_long_run_counts_each_load_by_its_class() {
    use heartside::carcass::LoadLasts;
    let plain = board(mm(250.0), mm(20.0), 11_000.0);
    let heavy = plain.clone().with_own_weight(0.7).unwrap();
    let of = |board: &ShelfBoard, loads: Vec<ShelfLoad>, lasts| {
        let shelf = on_ends(board.clone(), mm(900.0), Turning::Free, loads);
        load_shelf(&Shelf { lasts, ..shelf }).unwrap()
    };
    let books = || vec![ShelfLoad::Even(load(0.4))];
    let rests = of(&plain, books(), LoadLasts::Permanent);
    let comes = of(&plain, books(), LoadLasts::ComesAndGoes);
    assert_relative_eq!(rests.sag_long_term / rests.sag, 2.0, max_relative = 1e-12);
    assert_relative_eq!(comes.sag_long_term / comes.sag, 1.5, max_relative = 1e-9);
    assert_eq!((rests.creep_factor, comes.creep_factor), (2.0, 1.5));
    let alone = of(&heavy, Vec::new(), LoadLasts::ComesAndGoes);
    assert_relative_eq!(alone.sag_long_term / alone.sag, 2.0, max_relative = 1e-9);
    let both = of(&heavy, books(), LoadLasts::ComesAndGoes);
    assert_relative_eq!(
        both.sag_long_term.mm(),
        2.0 * alone.sag.mm() + 1.5 * comes.sag.mm(),
        max_relative = 1e-9
    );
    // The verdict is that of the long run: allowed between the two.
    let allowed = AllowedSag::Size(comes.sag * 1.75);
    assert!(keeps_to(&comes, allowed) && !keeps_to(&rests, allowed));
}
