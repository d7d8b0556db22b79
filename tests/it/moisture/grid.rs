//! Moisture years interpolated over a grid of draws, against full solves.

use super::limits::{hourly_home, shop};
use super::{percent, walnut};
use heartside::air::AirYear;
use heartside::moisture::{
    FaceExchange, Finish, GridRange, MoistureTrack, Slab, Stay, TrackGrid, Variation, follow,
    settled_year,
};

/// Numbers spread evenly over 0..1, seeded by nothing: the golden ratio's multiples.
fn spread(index: usize, step: f64) -> f64 {
    (0.5 + index as f64 * step).fract()
}

fn draw(index: usize) -> Variation {
    Variation {
        diffusivity_log: 4_f64.ln() * (1.9 * spread(index, 0.618_033_988_7) - 0.95),
        surface_log: 2.5_f64.ln() * (1.9 * spread(index, 0.754_877_666_2) - 0.95),
        equilibrium_factor: 1.0 + 0.14 * (2.0 * spread(index, 0.569_840_291_0) - 1.0),
        earlier_equilibrium_factor: 1.0 + 0.14 * (2.0 * spread(index, 0.569_840_291_0) - 1.0),
        start_offset_percent: 2.0 * spread(index, 0.819_172_513_4) - 1.0,
    }
}

fn with(slab: &Slab, draw: &Variation) -> Slab {
    Slab {
        diffusivity_factor: draw.diffusivity_log.exp(),
        surface_factor: draw.surface_log.exp(),
        equilibrium_factor: draw.equilibrium_factor,
        ..*slab
    }
}

/// Root mean square and largest difference of two lists.
fn misfit(found: &[f64], wanted: &[f64]) -> (f64, f64) {
    assert_eq!(found.len(), wanted.len());
    let off = || found.iter().zip(wanted).map(|(f, w)| (f - w).abs());
    (
        (off().map(|o| o * o).sum::<f64>() / found.len() as f64).sqrt(),
        off().fold(0.0, f64::max),
    )
}

/// 100 draws, each solved in full (32 cells, every fifth of them hour by hour) and read from the grid
/// (16 cells, daily air, 5 by 3 nodes).
#[test]
fn a_hundred_full_solves() {
    let (home, shop) = (hourly_home(), shop());
    let slab = walnut(22.0).with_faces(
        FaceExchange::Open(Finish::bare()),
        FaceExchange::Open(Finish::find("urethane varnish", 2).unwrap()),
    );
    let stays = [
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
    ];
    let (over_d, over_s) = (GridRange::DIFFUSIVITY, GridRange::SURFACE);
    let settled = TrackGrid::settled(&slab, &home, over_d, over_s);
    let first = TrackGrid::follow(&slab, percent(9.5), &stays, over_d, over_s);
    assert_eq!((settled.days(), first.days()), (365, 411));
    let days = AirYear::by_days(home.daily()).unwrap();
    let mut out = MoistureTrack::default();
    let mut worst = [0.0_f64; 4];
    let mut squares = [0.0; 4];
    // Settled years for half of the draws, first years for the other half.
    for index in 0..100 {
        let draw = draw(index);
        let home = if index % 5 == 0 { &home } else { &days };
        let (full, kind) = if index % 2 == 0 {
            settled.at_variation(&draw, &mut out);
            (settled_year(&with(&slab, &draw), home), 0)
        } else {
            first.at_variation(&draw, &mut out);
            let start = percent(9.5 + draw.start_offset_percent);
            let stays = [
                stays[0],
                Stay {
                    air: home,
                    ..stays[1]
                },
            ];
            (follow(&with(&slab, &draw), start, &stays), 2)
        };
        assert_eq!(out.first_day, full.first_day);
        for (slot, (found, wanted)) in [
            (&out.mean_percent, &full.mean_percent),
            (&out.slope_percent_per_mm, &full.slope_percent_per_mm),
        ]
        .into_iter()
        .enumerate()
        {
            let (rms, most) = misfit(found, wanted);
            squares[kind + slot] += rms * rms / 50.0;
            worst[kind + slot] = worst[kind + slot].max(most);
        }
    }
    let rms = squares.map(f64::sqrt);
    println!(
        "grid against 100 full solves, rms: settled mean {:.4} %, slope {:.5} %/mm; first mean {:.4} %, slope {:.5} %/mm",
        rms[0], rms[1], rms[2], rms[3]
    );
    println!("worst day of all: {worst:.4?}");
    assert!(rms[0] < 0.02 && rms[2] < 0.02, "{rms:?}");
    assert!(rms[1] < 0.0015 && rms[3] < 0.0015, "{rms:?}");
    assert!(worst[0] < 0.15 && worst[2] < 0.15, "{worst:?}");
}

/// A day of one air is lived through in four steps with the diffusivities and coefficients of its first: beside steps of an hour that
/// take them anew, of the same air. Daily means over 411 days and the settled year, thin and bare to thick and finished.
#[test]
fn four_steps_of_a_day_are_enough() {
    let days = AirYear::by_days(hourly_home().daily()).unwrap();
    let by_hours = days
        .states()
        .iter()
        .flat_map(|state| [*state; 24])
        .collect();
    let hours = AirYear::hourly(by_hours).unwrap();
    let varnish = FaceExchange::Open(Finish::find("urethane varnish", 2).unwrap());
    let bare = FaceExchange::Open(Finish::bare());
    for (thickness, faces, most) in [
        (6.0, [bare, bare], 0.02),
        (22.0, [bare, bare], 0.01),
        (22.0, [bare, varnish], 0.007),
        (40.0, [varnish, varnish], 0.002),
    ] {
        let slab = walnut(thickness).with_faces(faces[0], faces[1]);
        let stays = |air| {
            [Stay {
                air,
                from_day_of_year: 278,
                days: 411,
                bare: false,
            }]
        };
        let lived = [&days, &hours].map(|air| follow(&slab, percent(9.5), &stays(air)));
        let year = [&days, &hours].map(|air| settled_year(&slab, air));
        for [daily, hourly] in [lived, year] {
            let (rms, worst) = misfit(&daily.mean_percent, &hourly.mean_percent);
            println!("{thickness} mm: {rms:.4} % root mean square, {worst:.4} % at worst");
            assert!(
                rms < most && worst < 10.0 * most,
                "{thickness} mm: {rms} {worst}"
            );
        }
    }
}

/// On its own nodes and for the neutral draw the grid is the solve it was made of.
#[test]
fn the_grid_is_exact_on_its_nodes() {
    let air = shop();
    let slab = walnut(20.0);
    let (over_d, over_s) = (GridRange::DIFFUSIVITY, GridRange::SURFACE);
    let grid = TrackGrid::settled(&slab, &air, over_d, over_s);
    let mut node = MoistureTrack::default();
    let mut out = MoistureTrack::default();
    grid.at(1.0, 1.0, &mut node);
    let one = GridRange {
        min: 1.0,
        max: 1.0,
        nodes: 1,
    };
    TrackGrid::settled(&slab, &air, one, one).at(3.0, 0.1, &mut out);
    let (_, most) = misfit(&node.mean_percent, &out.mean_percent);
    assert!(most < 1e-12, "{most}");
    // Beyond the range the nearer end answers.
    grid.at(4.0, 5.0, &mut node);
    grid.at(40.0, 250.0, &mut out);
    assert_eq!(node, out);
}
