//! Levelling, fastening, walls, overhang and the days to wait.

use super::mm;
use crate::refused;
use approx::assert_relative_eq;
use heartside::carcass::{
    Caution, Corner, FixedLine, Fixing, FloorDrops, HeldSide, Hole, Overhang, PartMoves, Recess,
    SeasonStrains, Settling, SlotIn, fasten, fit_days, level, overhang, standing_cautions,
    wall_gaps,
};
use heartside::units::{Length, Strain};
use jiff::civil::date;
use proptest::prelude::*;

fn strains(driest: f64, today: f64, wettest: f64) -> SeasonStrains {
    let strain = |value| Strain::from_ratio(value).unwrap();
    SeasonStrains {
        driest: strain(driest),
        today: strain(today),
        wettest: strain(wettest),
    }
}

fn across(driest: f64, today: f64, wettest: f64) -> PartMoves {
    PartMoves {
        across: strains(driest, today, wettest),
        along: SeasonStrains::default(),
    }
}

fn floor(right: f64, back: f64) -> FloorDrops {
    FloorDrops {
        length: mm(1500.0),
        depth: mm(400.0),
        right: mm(right),
        back: mm(back),
        right_over: None,
        back_over: None,
        far: None,
    }
}

fn shims(floor: &FloorDrops) -> [f64; 4] {
    level(floor).unwrap().corners.map(|corner| corner.shim.mm())
}

/// A plane: the highest corner carries, the others are shimmed by their drop.
#[test]
fn shims_bring_every_corner_to_the_highest() {
    assert_eq!(shims(&floor(8.0, 3.0)), [0.0, 8.0, 3.0, 11.0]);
    assert_eq!(shims(&floor(-8.0, 3.0)), [8.0, 0.0, 11.0, 3.0]);
    let levelled = level(&floor(8.0, 3.0)).unwrap();
    let scribe = levelled.corners.map(|corner| corner.scribe.mm());
    assert_eq!(scribe, [11.0, 3.0, 8.0, 0.0]);
    assert_eq!(levelled.twist.mm(), 0.0);
    assert_eq!(levelled.corners[3].corner, Corner::BackRight);
    assert_eq!(Corner::BackRight.word(), "back right");
}

#[test]
fn a_drop_over_a_shorter_level_is_carried_on() {
    let short = FloorDrops {
        right_over: Some(mm(600.0)),
        ..floor(2.0, 0.0)
    };
    assert_eq!(shims(&short)[1], 5.0);
    let twisted = FloorDrops {
        far: Some(mm(9.0)),
        ..floor(8.0, 3.0)
    };
    let levelled = level(&twisted).unwrap();
    assert_eq!(levelled.corners[3].shim.mm(), 9.0);
    assert_eq!(levelled.twist.mm(), 2.0);
    let nowhere = FloorDrops {
        length: Length::ZERO,
        ..floor(1.0, 1.0)
    };
    assert!(refused(level(&nowhere), "give a size inside that range"));
}

fn screw(place: f64, slot_in: SlotIn) -> Fixing {
    Fixing {
        across: mm(place),
        along: Length::ZERO,
        screw: mm(5.0),
        slot_in,
    }
}

/// Worked by hand: 400 mm from the fixed edge, strains -0.8 %, 0, +0.4 %: 4.8 mm travel.
#[test]
fn a_slot_is_as_long_as_its_travel() {
    let moves = across(-0.008, 0.0, 0.004);
    let holes = fasten(
        mm(420.0),
        FixedLine::Back,
        &moves,
        &[
            screw(410.0, SlotIn::Support),
            screw(20.0, SlotIn::Support),
            screw(20.0, SlotIn::MovingPart),
        ],
        mm(2.0),
    )
    .unwrap();
    assert_eq!(holes[0], Hole::Round);
    let Hole::Slot {
        length,
        width,
        travel,
        screw,
        fixed_toward_front,
    } = holes[1]
    else {
        panic!("a slot");
    };
    assert_relative_eq!(travel.mm(), 4.8, epsilon = 1e-9);
    assert_relative_eq!(length.mm(), 4.8 + 5.0 + 2.0, epsilon = 1e-9);
    assert_relative_eq!(width.mm(), 5.0, epsilon = 1e-9);
    assert!(!fixed_toward_front);
    // Two thirds of the way from dry to wet; 3.5 mm is the screw's radius and its margin.
    assert_relative_eq!(screw.driest.mm(), 3.5, epsilon = 1e-9);
    assert_relative_eq!(screw.today.mm(), 3.5 + 3.2, epsilon = 1e-9);
    assert_relative_eq!(screw.wettest.mm(), 8.3, epsilon = 1e-9);
    // In the part itself the screw stays and the slot runs past it the other way.
    let Hole::Slot { screw, .. } = holes[2] else {
        panic!("a slot");
    };
    assert_relative_eq!(screw.driest.mm(), 8.3, epsilon = 1e-9);
    assert_relative_eq!(screw.today.mm(), 3.5 + 1.6, epsilon = 1e-9);
}

#[test]
fn fastenings_off_the_part_or_out_of_season_are_refused() {
    let moves = across(-0.008, 0.0, 0.004);
    let off = fasten(
        mm(420.0),
        FixedLine::Front,
        &moves,
        &[screw(421.0, SlotIn::Support)],
        mm(2.0),
    );
    assert!(refused(off, "a screw at 421.0 mm is off the part"));
    let odd = fasten(
        mm(420.0),
        FixedLine::Front,
        &across(0.0, 0.01, 0.004),
        &[],
        mm(2.0),
    );
    assert!(refused(odd, "than in any season given"));
}

#[test]
fn a_piece_grows_away_from_the_side_it_is_held_at() {
    let recess = Recess {
        widths: vec![mm(1512.0), mm(1510.0), mm(1515.0)],
        piece: mm(1500.0),
        growth: mm(2.0),
        held: HeldSide::Left,
        min: mm(3.0),
    };
    let gaps = wall_gaps(&recess).unwrap();
    assert_relative_eq!(gaps.spare.mm(), 2.0);
    assert_relative_eq!(gaps.left.mm(), 4.0);
    assert_relative_eq!(gaps.right.mm(), 6.0);
    assert_relative_eq!(gaps.out_of_parallel.mm(), 5.0);
    assert_relative_eq!(gaps.left.mm() + gaps.right.mm() + 1500.0, 1510.0);
    let tight = Recess {
        piece: mm(1504.0),
        ..recess.clone()
    };
    assert!(wall_gaps(&tight).unwrap().spare.mm() < 0.0);
    assert_eq!(
        wall_gaps(&Recess {
            widths: Vec::new(),
            ..recess
        }),
        None
    );
}

#[test]
fn the_overhang_never_falls_below_what_is_wanted() {
    let wanted = Overhang {
        case_depth: mm(400.0),
        fixed: mm(400.0),
        top: across(-0.01, 0.0, 0.005),
        case: across(0.0, 0.0, 0.0),
        front_min: mm(20.0),
        back_min: mm(0.0),
    };
    let sides = overhang(&wanted).unwrap();
    // Driest: (400 + o) x 0.99 - 400 = 20.
    assert_relative_eq!(sides.front.today.mm(), 420.0 / 0.99 - 400.0, epsilon = 1e-9);
    assert_relative_eq!(sides.front.driest.mm(), 20.0, epsilon = 1e-9);
    assert_relative_eq!(sides.back.today.mm(), 0.0, epsilon = 1e-9);
    assert_relative_eq!(sides.top_width.mm(), 420.0 / 0.99, epsilon = 1e-9);
    // A case that moves as its top keeps its overhang.
    let alike = overhang(&Overhang {
        case: wanted.top,
        ..wanted
    })
    .unwrap();
    assert!((alike.front.driest - alike.front.wettest).abs().mm() < 0.35);
}

#[test]
fn parts_are_fitted_when_they_have_settled() {
    let settling =
        [("top", 31.2), ("drawer side", 6.0), ("cleat", -1.0)].map(|(part, days)| Settling {
            part: part.to_owned(),
            days,
        });
    let days = fit_days(date(2026, 11, 20), &settling).unwrap();
    let given: Vec<_> = days.iter().map(|day| (day.part.as_str(), day.on)).collect();
    assert_eq!(
        given,
        [
            ("cleat", date(2026, 11, 20)),
            ("drawer side", date(2026, 11, 26)),
            ("top", date(2026, 12, 22)),
        ]
    );
    let never = [Settling {
        part: "top".to_owned(),
        days: f64::INFINITY,
    }];
    assert!(refused(
        fit_days(date(2026, 11, 20), &never),
        "past the end of the calendar"
    ));
}

/// ASTM F2057-23 (from memory): clothing storage units from 27 in of height.
#[test]
fn tall_pieces_are_anchored() {
    assert!(standing_cautions(mm(690.0), mm(400.0)).contains(&Caution::AntiTip));
    assert!(!standing_cautions(mm(500.0), mm(400.0)).contains(&Caution::AntiTip));
    assert!(standing_cautions(mm(500.0), mm(200.0)).contains(&Caution::AntiTip));
    assert!(standing_cautions(mm(500.0), mm(400.0)).contains(&Caution::NotStructural));
}

proptest! {
    /// The screw stays the margin clear of both ends all year.
    #[test]
    fn screws_stay_in_their_slots(
        place in 0.0..500.0_f64, dry in -0.03..0.0_f64, wet in 0.0..0.03_f64, moving in prop::bool::ANY,
        fixed in 0.0..500.0_f64,
    ) {
        let slot_in = if moving { SlotIn::MovingPart } else { SlotIn::Support };
        let holes = fasten(
            mm(500.0),
            FixedLine::At(mm(fixed)),
            &across(dry, 0.0, wet),
            &[screw(place, slot_in)],
            mm(2.0),
        )
        .unwrap();
        if let Hole::Slot { length, screw, travel, .. } = holes[0] {
            for at in [screw.driest, screw.today, screw.wettest] {
                prop_assert!(at.mm() >= 3.5 - 1e-9 && at.mm() <= length.mm() - 3.5 + 1e-9);
            }
            prop_assert!((travel.mm() - (place - fixed).abs() * (wet - dry)).abs() < 1e-9);
        } else {
            prop_assert!((place - fixed).abs() * (wet - dry) <= 0.3);
        }
    }
}
