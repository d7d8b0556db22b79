//! Moisture through the thickness: cost of a step, of ten years of hours, of a grid and of a
//! draw. The allocation columns show that a step and a draw allocate nothing.

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use heartside::air::{AirState, AirYear, Hemisphere};
use heartside::moisture::{
    FaceExchange, Finish, GridRange, MoistureTrack, Profile, Slab, SlabState, Stay, SurfaceAir,
    TrackGrid, diffusivity_m2_per_s, follow, rest, settled_year,
};
use heartside::numerics::solve_tridiagonal;
use heartside::units::{Duration, Length, MoistureContent, Temperature};

const HOURS_OF_TEN_YEARS: usize = 87_600;

fn percent(value: f64) -> MoistureContent {
    MoistureContent::computed_percent(value)
}

/// A board 22 mm thick, bare below, finished above.
fn board() -> Slab {
    Slab::bare(Length::from_mm_unchecked(22.0), 0.51)
        .expect("inside the table of ranges")
        .with_faces(
            FaceExchange::Open(Finish::bare()),
            FaceExchange::Open(Finish::find("urethane varnish", 2).expect("in the table")),
        )
}

fn daily() -> AirYear {
    AirYear::seasons(
        AirState::computed(20.0, 28.0),
        AirState::computed(23.0, 54.0),
        Hemisphere::North,
    )
}

fn hourly() -> AirYear {
    let states = daily()
        .states()
        .iter()
        .flat_map(|day| {
            (0..24).map(|hour| {
                let swing = (f64::from(hour) / 24.0 * std::f64::consts::TAU).sin();
                AirState::computed(
                    day.temperature.celsius() + 1.5 * swing,
                    day.humidity.percent() - 6.0 * swing,
                )
            })
        })
        .collect();
    AirYear::hourly(states).expect("a year of hours")
}

fn airs() -> Vec<SurfaceAir> {
    hourly()
        .states()
        .iter()
        .map(|air| SurfaceAir::of(*air))
        .collect()
}

/// One step; items are cell-steps.
#[divan::bench(args = [16, 32, 64, 128])]
fn step(bencher: Bencher, cells: usize) {
    let airs = airs();
    let mut state = SlabState::new(&board(), cells, &Profile::uniform(percent(9.0)));
    let mut hour = 0;
    bencher
        .counter(ItemsCount::new(cells))
        .bench_local(move || {
            hour = (hour + 1) % airs.len();
            black_box(state.step(&airs[hour], 3600.0))
        });
}

/// Hours of one board in 32 cells; items are cell-steps. The last is ten years, to stay under 30 ms.
#[divan::bench(args = [8_760, 17_520, 43_800, HOURS_OF_TEN_YEARS], sample_count = 30)]
fn hours(bencher: Bencher, hours: usize) {
    let (slab, air) = (board(), hourly());
    let stays = [Stay {
        air: &air,
        from_day_of_year: 0,
        days: hours / 24,
        bare: false,
    }];
    bencher
        .counter(ItemsCount::new(hours * 32))
        .bench_local(|| follow(black_box(&slab), percent(9.0), &stays));
}

/// Ten years of hours in so many cells; items are cell-steps.
#[divan::bench(args = [16, 32, 64, 128], sample_count = 10)]
fn cells_over_ten_years(bencher: Bencher, cells: usize) {
    let airs = airs();
    let slab = board();
    bencher
        .counter(ItemsCount::new(cells * HOURS_OF_TEN_YEARS))
        .bench_local(|| {
            let mut state = SlabState::new(&slab, cells, &Profile::uniform(percent(9.0)));
            for _ in 0..10 {
                for air in &airs {
                    state.step(air, 3600.0);
                }
            }
            state.mean_percent()
        });
}

/// The general-purpose reference: ten years of hours in 32 cells, the diffusivity by its formula
/// at every cell, a general tridiagonal solver, fresh vectors at every step.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn ten_years_plain_reference(bencher: Bencher) {
    let hours = hourly();
    bencher
        .counter(ItemsCount::new(32 * HOURS_OF_TEN_YEARS))
        .bench_local(|| {
            let width = 0.022 / 32.0;
            let mut moisture = vec![9.0; 32];
            for state in hours.states().iter().cycle().take(HOURS_OF_TEN_YEARS) {
                let celsius = state.temperature.celsius();
                let target = SurfaceAir::of(*state).equilibrium().percent();
                let d: Vec<f64> = moisture
                    .iter()
                    .map(|m| diffusivity_m2_per_s(celsius, *m, 0.51))
                    .collect();
                let ties: Vec<f64> = d
                    .windows(2)
                    .map(|pair| (pair[0] + pair[1]) / (2.0 * width))
                    .collect();
                let gate = |d: f64| 1.0 / (width / (2.0 * d) + 1.0 / 6e-7);
                let below: Vec<f64> = (0..32)
                    .map(|i| if i > 0 { -ties[i - 1] } else { 0.0 })
                    .collect();
                let above: Vec<f64> = (0..32)
                    .map(|i| if i < 31 { -ties[i] } else { 0.0 })
                    .collect();
                let store = width / 3600.0;
                let mut diagonal: Vec<f64> = (0..32).map(|i| store - below[i] - above[i]).collect();
                let mut right: Vec<f64> = moisture.iter().map(|m| m * store).collect();
                for cell in [0, 31] {
                    diagonal[cell] += gate(d[cell]);
                    right[cell] += gate(d[cell]) * target;
                }
                let solved =
                    solve_tridiagonal(&below, &diagonal, &above, &mut right, &mut vec![0.0; 32]);
                assert!(solved, "the diagonal dominates");
                moisture = right;
            }
            moisture
        });
}

/// The settled year of a board: days, then hours.
#[divan::bench(args = [1, 24], sample_count = 20)]
fn settled(bencher: Bencher, states_a_day: usize) {
    let (slab, air) = (board(), if states_a_day == 1 { daily() } else { hourly() });
    bencher.bench_local(|| settled_year(black_box(&slab), &air));
}

/// The grid of a settled year and of a first year for a group of parts.
#[divan::bench(sample_count = 10)]
fn grid_of_a_group(bencher: Bencher) {
    let (slab, air) = (board(), daily());
    let stays = [Stay {
        air: &air,
        from_day_of_year: 280,
        days: 411,
        bare: false,
    }];
    bencher.bench_local(|| {
        let (over_d, over_s) = (GridRange::DIFFUSIVITY, GridRange::SURFACE);
        (
            TrackGrid::settled(black_box(&slab), &air, over_d, over_s),
            TrackGrid::follow(black_box(&slab), percent(9.0), &stays, over_d, over_s),
        )
    });
}

/// One draw read from the grid of a settled year: 365 days of mean and slope.
#[divan::bench]
fn draw_from_a_grid(bencher: Bencher) {
    let grid = TrackGrid::settled(
        &board(),
        &daily(),
        GridRange::DIFFUSIVITY,
        GridRange::SURFACE,
    );
    let mut out = MoistureTrack::default();
    grid.at(1.0, 1.0, &mut out);
    bencher.bench_local(move || grid.at(black_box(1.3), black_box(0.8), &mut out));
}

/// A rest with its 90 %.
#[divan::bench]
fn rest_of_a_leaf(bencher: Bencher) {
    let slab = board();
    let air = SurfaceAir::keeping(percent(7.0), Temperature::computed_celsius(20.0));
    let start = Profile::uniform(percent(12.0));
    bencher.bench_local(|| {
        rest(
            black_box(&slab),
            &start,
            &air,
            Duration::computed_days(10.0),
        )
    });
}
