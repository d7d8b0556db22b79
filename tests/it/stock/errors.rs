//! Every error of the room: what is wrong, by its own figures, and what to do about it.

use super::{mm, plank, walnut};
use heartside::air::AirState;
use heartside::stock::{
    BoardOrder, Leaves, Lying, MeasuredLeaf, ResawPlan, RestPlan, TestStrip, Wood, forecast_pack,
};
use heartside::units::Length;

fn order() -> BoardOrder {
    BoardOrder::plain(plank(), walnut(), ResawPlan::equal(2, mm(1.6)))
}

fn refused(order: BoardOrder) -> heartside::units::Refusal {
    forecast_pack(&[order]).unwrap_err()
}

fn strip() -> TestStrip {
    TestStrip::of_gap(mm(600.0), mm(50.8), mm(1.6), mm(1.0))
}

fn bad(strip: TestStrip) -> heartside::units::Refusal {
    refused(BoardOrder {
        strips: vec![strip],
        ..order()
    })
}

#[test]
fn every_error_says_what_is_wrong_and_what_to_do() {
    let resting = |wood: Wood| BoardOrder {
        wood,
        rest: Some(RestPlan {
            air: AirState::computed(20.0, 40.0),
            lying: Lying::Stickered,
            days: 1,
            weight: None,
        }),
        ..order()
    };
    let table: [(heartside::units::Refusal, &[&str], &str); 13] = [
        (
            refused(BoardOrder {
                plan: ResawPlan::equal(0, mm(1.6)),
                ..order()
            }),
            &["no leaf"],
            "say how many leaves",
        ),
        (
            refused(BoardOrder {
                plan: ResawPlan {
                    leaves: Leaves::Thicknesses(Vec::new()),
                    ..order().plan
                },
                ..order()
            }),
            &["no leaf"],
            "thicknesses from the bark face",
        ),
        (
            refused(BoardOrder {
                plan: ResawPlan {
                    leaves: Leaves::Thicknesses(vec![mm(30.0), mm(25.0)]),
                    plane_bark: mm(1.0),
                    plane_other: mm(0.5),
                    ..order().plan
                },
                ..order()
            }),
            &[
                "2 leaves",
                "50.8 mm",
                "1.5 mm of planing",
                "49.3 mm are left",
                "takes 1.6 mm",
            ],
            "fewer or thinner leaves, or use a thinner blade",
        ),
        (
            bad(TestStrip {
                gap: None,
                ..strip()
            }),
            &["no reading"],
            "give the gap, or give the bow",
        ),
        (
            bad(TestStrip {
                kerf: mm(50.2),
                ..strip()
            }),
            &["50.2 mm", "50.8 mm thick"],
            "check both",
        ),
        (
            bad(TestStrip {
                planed_from: Some(mm(40.0)),
                ..strip()
            }),
            &["50.8 mm thick", "from 40.0 mm"],
            "thickness it had when it was dried",
        ),
        (
            bad(TestStrip {
                length: mm(9.9),
                ..strip()
            }),
            &["9.9 mm"],
            "use one of some 600 mm",
        ),
        (
            refused(BoardOrder {
                measured: vec![MeasuredLeaf::of_bow(3, mm(1.0))],
                ..order()
            }),
            &["leaf 3", "plan has 2"],
            "numbered from 1",
        ),
        (
            refused(BoardOrder {
                measured: vec![MeasuredLeaf::of_bow(0, mm(1.0))],
                ..order()
            }),
            &["leaf 0", "plan has 2"],
            "numbered from 1",
        ),
        (
            bad(TestStrip {
                gap: Some(mm(151.0)),
                ..strip()
            }),
            &["151.0 mm over 600.0 mm"],
            "check both, and their units",
        ),
        (
            bad(TestStrip {
                bows: Some([mm(1.0), mm(-151.0)]),
                ..strip()
            }),
            &["-151.0 mm over 600.0 mm"],
            "check both, and their units",
        ),
        (
            refused(BoardOrder {
                measured: vec![MeasuredLeaf::of_bow(1, mm(-601.0))],
                ..order()
            }),
            &["-601.0 mm over 2400.0 mm"],
            "check both, and their units",
        ),
        (
            refused(resting(Wood {
                basic_gravity: 7.0,
                ..walnut()
            })),
            &["gravity", "7"],
            "check the size of the leaf and the wood",
        ),
    ];
    for (error, figures, remedy) in &table {
        let given = error.to_string();
        let (reason, rest) = given
            .split_once("; ")
            .unwrap_or_else(|| panic!("no remedy: {given}"));
        for figure in *figures {
            assert!(reason.contains(figure), "`{figure}` is not in: {reason}");
        }
        assert!(rest.contains(remedy), "`{remedy}` is not in: {rest}");
        assert!(std::error::Error::source(error).is_none());
    }
    // Readings of a quarter of the length are the last that are taken.
    for length in [mm(600.0), -mm(600.0)] {
        let most = TestStrip {
            gap: Some(length / 4.0),
            ..strip()
        };
        assert!(most.check().is_ok());
    }
    assert!(
        strip().check().is_ok()
            && TestStrip {
                length: mm(10.0),
                gap: Some(Length::ZERO),
                ..strip()
            }
            .check()
            .is_ok()
    );
}
