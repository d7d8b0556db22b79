//! The limits: very thin, never exchanging, settled.

use super::{SEALED, close, mm, percent, walnut};
use heartside::air::{AirState, AirYear, DAYS_IN_YEAR, Hemisphere, equilibrium_percent};
use heartside::moisture::{
    FaceExchange, Finish, MoistureTrack, Slab, Stay, equilibrium_year, follow, settled_year,
};

/// A home from 28 % in winter to 52 % in summer at 21 C.
pub(super) fn home() -> AirYear {
    AirYear::seasons(
        AirState::computed(21.0, 28.0),
        AirState::computed(21.0, 52.0),
        Hemisphere::North,
    )
}

/// A damp workshop, cool in winter.
pub(super) fn shop() -> AirYear {
    AirYear::seasons(
        AirState::computed(12.0, 68.0),
        AirState::computed(20.0, 62.0),
        Hemisphere::North,
    )
}

/// The same home hour by hour, with a daily swing of 8 points and one dry and one damp spell.
pub(super) fn hourly_home() -> AirYear {
    let states = home()
        .states()
        .iter()
        .enumerate()
        .flat_map(|(day, state)| {
            let spell = match day {
                40..=49 => -8.0,
                200..=214 => 12.0,
                _ => 0.0,
            };
            (0..24).map(move |hour| {
                let swing = 8.0 * (f64::from(hour) / 24.0 * std::f64::consts::TAU).sin();
                AirState::computed(
                    state.temperature.celsius() + 1.5 * (f64::from(hour) / 4.0).cos(),
                    state.humidity.percent() + swing + spell,
                )
            })
        })
        .collect();
    AirYear::hourly(states).unwrap()
}

fn largest(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, |most, value| most.max(value.abs()))
}

fn apart(one: &MoistureTrack, other: &MoistureTrack) -> f64 {
    largest(
        one.mean_percent
            .iter()
            .zip(&other.mean_percent)
            .map(|(a, b)| a - b),
    )
}

fn swing(track: &MoistureTrack) -> f64 {
    let most = track.mean_percent.iter().copied().fold(f64::MIN, f64::max);
    most - track.mean_percent.iter().copied().fold(f64::MAX, f64::min)
}

#[test]
fn very_thin_bare_wood_follows_the_air() {
    for air in [home(), hourly_home()] {
        let veneer = Slab::bare(mm(0.2), 0.5).unwrap();
        let track = settled_year(&veneer, &air);
        assert_eq!(track.days(), DAYS_IN_YEAR);
        // A veneer lags by minutes; what is left is the day's own steps (days without hours jump at midnight).
        let off = apart(&track, &equilibrium_year(&air));
        assert!(off < 0.06, "{off}");
    }
}

#[test]
fn equilibrium_year_is_the_mean_of_the_days_equilibria() {
    let air = hourly_home();
    let track = equilibrium_year(&air);
    let day = &air.states()[24 * 100..24 * 101];
    let mean = day
        .iter()
        .map(|state| equilibrium_percent(state.temperature.celsius(), state.humidity.fraction()))
        .sum::<f64>()
        / 24.0;
    close(track.mean_percent[100], mean, 1e-12);
    assert!(track.slope_percent_per_mm.iter().all(|slope| *slope == 0.0));
}

#[test]
fn what_exchanges_nothing_never_moves() {
    let air = home();
    let stays = [Stay {
        air: &air,
        from_day_of_year: 300,
        days: 800,
        bare: false,
    }];
    for slab in [
        walnut(19.0).finished(Finish::of_permeance(0.0)),
        walnut(19.0).with_faces(SEALED, SEALED),
        Slab {
            surface_factor: 0.0,
            ..walnut(19.0).finished(Finish::of_permeance(1e-9))
        },
    ] {
        let track = follow(&slab, percent(9.5), &stays);
        assert_eq!((track.days(), track.first_day), (800, 300));
        assert!(largest(track.mean_percent.iter().map(|m| m - 9.5)) < 1e-10);
        assert!(swing(&settled_year(&slab, &air)) < 1e-10);
    }
    // A nearly infinite finish hardly moves, and settles at the year's mean.
    let slow = walnut(19.0).finished(Finish::of_permeance(1e-14));
    assert!(
        largest(
            follow(&slow, percent(9.5), &stays)
                .mean_percent
                .iter()
                .map(|m| m - 9.5)
        ) < 0.02
    );
    let settled = settled_year(&slow, &air);
    let mean = equilibrium_year(&air).mean_percent.iter().sum::<f64>() / 365.0;
    close(settled.mean_percent[0], mean, 0.25);
    assert!(swing(&settled) < 0.01);
}

/// The settled year is what any start comes to in the end.
#[test]
fn the_settled_year_is_where_every_start_ends() {
    let (days, hours) = (home(), hourly_home());
    let varnish = Finish::find("urethane varnish", 3).unwrap();
    let one_face = walnut(30.0).with_faces(SEALED, FaceExchange::Open(Finish::bare()));
    for (slab, air, years) in [
        (walnut(19.0), &hours, 3),
        (walnut(50.0).finished(varnish), &days, 12),
        (one_face, &days, 8),
    ] {
        let settled = settled_year(&slab, air);
        let stays = [Stay {
            air,
            from_day_of_year: 0,
            days: years * 365,
            bare: false,
        }];
        let followed = follow(&slab, percent(12.0), &stays);
        let last = (years - 1) * 365;
        for day in (0..365).step_by(7) {
            close(
                settled.mean_percent[day],
                followed.mean_percent[last + day],
                0.01,
            );
            close(
                settled.slope_percent_per_mm[day],
                followed.slope_percent_per_mm[last + day],
                0.001,
            );
        }
    }
}

/// Thicker lags and swings less; finished more so; equilibrium itself is not changed by either.
#[test]
fn thick_and_finished_boards_lag() {
    let air = home();
    let bare = settled_year(&walnut(19.0), &air);
    let thick = settled_year(&walnut(50.0), &air);
    let finished = settled_year(
        &walnut(19.0).finished(Finish::find("urethane varnish", 3).unwrap()),
        &air,
    );
    let driest = |track: &MoistureTrack| {
        let means = track.mean_percent.iter().enumerate();
        means.min_by(|a, b| a.1.total_cmp(b.1)).unwrap().0
    };
    println!(
        "swing: air {:.2}, 19 mm {:.2}, 50 mm {:.2}, 19 mm finished {:.2} %",
        swing(&equilibrium_year(&air)),
        swing(&bare),
        swing(&thick),
        swing(&finished)
    );
    assert!(swing(&equilibrium_year(&air)) > swing(&bare));
    assert!(swing(&bare) > swing(&thick) && swing(&bare) > swing(&finished));
    assert!(driest(&bare) < driest(&thick) && driest(&bare) < driest(&finished));
    let constant = AirYear::constant(AirState::computed(21.0, 40.0));
    let wanted = equilibrium_percent(21.0, 0.4);
    for slab in [
        walnut(19.0),
        walnut(19.0).finished(Finish::of_permeance(1e-10)),
    ] {
        close(
            settled_year(&slab, &constant).mean_percent[364],
            wanted,
            1e-6,
        );
        let long = [Stay {
            air: &constant,
            from_day_of_year: 0,
            days: 3650,
            bare: false,
        }];
        close(
            *follow(&slab, percent(14.0), &long)
                .mean_percent
                .last()
                .unwrap(),
            wanted,
            0.01,
        );
    }
}

/// Finished on the upper face only: it dries from below in autumn, so the upper face is the
/// moister then and the drier in spring, and the slope is nil over the whole year.
#[test]
fn finished_on_one_face_only() {
    let air = home();
    let one_face = walnut(19.0).with_faces(
        FaceExchange::Open(Finish::bare()),
        FaceExchange::Open(Finish::find("urethane varnish", 3).unwrap()),
    );
    let track = settled_year(&one_face, &air);
    let month = |first: usize| {
        track.slope_percent_per_mm[first..first + 30]
            .iter()
            .sum::<f64>()
            / 30.0
    };
    println!(
        "slope of one finished face: October {:+.4}, April {:+.4} %/mm",
        month(273),
        month(90)
    );
    assert!(month(273) > 0.004 && month(90) < -0.004);
    let both = settled_year(&walnut(19.0), &air);
    assert!(largest(both.slope_percent_per_mm.into_iter()) < 1e-10);
}

/// A stay may run over the end of the year, and the tracks of two stays are joined.
#[test]
fn stays_follow_each_other() {
    let (shop, home) = (shop(), home());
    let slab = walnut(22.0);
    let whole = follow(
        &slab,
        percent(11.0),
        &[Stay {
            air: &home,
            from_day_of_year: 340,
            days: 100,
            bare: false,
        }],
    );
    let parts = follow(
        &slab,
        percent(11.0),
        &[
            Stay {
                air: &home,
                from_day_of_year: 340,
                days: 40,
                bare: false,
            },
            Stay {
                air: &home,
                from_day_of_year: 15,
                days: 60,
                bare: false,
            },
        ],
    );
    assert_eq!(whole, parts);
    let moved = follow(
        &slab,
        percent(11.0),
        &[
            Stay {
                air: &shop,
                from_day_of_year: 278,
                days: 46,
                bare: false,
            },
            Stay {
                air: &home,
                from_day_of_year: 324,
                days: 365,
                bare: false,
            },
        ],
    );
    assert_eq!(moved.days(), 411);
    // The first winter starts from the shop's moisture and is drier than it at its end.
    assert!(moved.mean_percent[45] > 11.0 && moved.mean_percent[45 + 100] < 8.5);
}

/// Before its finish is on a board lives as a bare one; with a finish on from the first day as a finished one. Damper air in the shop
/// alone is answered by the grid as by a full solve, and forgotten at home.
#[test]
fn a_finish_counts_from_its_day_and_the_shop_has_its_own_air() {
    use heartside::moisture::{Finish, GridRange, MoistureTrack, TrackGrid, Variation};
    let (shop, home) = (shop(), hourly_home());
    let bare = walnut(22.0);
    let finished = bare.finished(Finish::find("urethane varnish", 3).unwrap());
    let stays = |finish_after: usize| {
        let stay = |air, from_day_of_year, days, bare| Stay {
            air,
            from_day_of_year,
            days,
            bare,
        };
        [
            stay(&shop, 270, finish_after, true),
            stay(&shop, 270 + finish_after, 40 - finish_after, false),
            stay(&home, 310, 365, false),
        ]
    };
    let start = percent(12.0);
    let late = follow(&finished, start, &stays(30)).mean_percent;
    let never = follow(&bare, start, &stays(40)).mean_percent;
    let early = follow(&finished, start, &stays(0)).mean_percent;
    assert_eq!(late[..30], never[..30]);
    assert!((late[39] - never[39]).abs() < (early[39] - never[39]).abs());
    let plain: Vec<Stay<'_>> = stays(0)
        .iter()
        .map(|stay| Stay {
            bare: false,
            ..*stay
        })
        .collect();
    assert_eq!(early, follow(&finished, start, &plain).mean_percent);
    // the grid: 10 % more in the shop
    let one = GridRange {
        min: 1.0,
        max: 1.0,
        nodes: 1,
    };
    let (mut plain, mut damper) = (MoistureTrack::default(), MoistureTrack::default());
    let grid = TrackGrid::follow(&finished, start, &stays(30), one, one);
    grid.at_variation(&Variation::NONE, &mut plain);
    let variation = Variation {
        earlier_equilibrium_factor: 1.1,
        ..Variation::NONE
    };
    grid.at_variation(&variation, &mut damper);
    let added: Vec<f64> = damper
        .mean_percent
        .iter()
        .zip(&plain.mean_percent)
        .map(|(damp, plain)| damp - plain)
        .collect();
    assert!(added[39] > 0.2 && added[39] < 1.5, "{}", added[39]);
    assert!(added[400].abs() < 0.05, "{}", added[400]);
}
