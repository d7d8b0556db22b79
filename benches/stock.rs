//! Resawn stock: one board, a thousand leaves with strips and rest curves, and beside them a
//! general-purpose reference of the same run: sorting a million numbers.

use heartside::air::AirState;
use heartside::moisture::meter::Reading;
use heartside::movement::{RingStrains, Rings, Section, Shrinkage};
use heartside::stock::{
    Board, BoardOrder, Drying, Lying, ResawPlan, RestPlan, TestStrip, Wood, forecast_pack,
};
use heartside::units::{Length, MoistureContent, Strain};

fn mm(value: f64) -> Length {
    Length::from_mm_unchecked(value)
}

fn order(number: u32) -> BoardOrder {
    let percent = MoistureContent::computed_percent;
    let thickness = 40.0 + f64::from(number % 40);
    let board = Board {
        moisture: Reading::ShellAndCore {
            shell: percent(8.0),
            core: percent(9.0 + f64::from(number % 3)),
        },
        rings: Some(Rings::Pith {
            depth: mm(60.0 + f64::from(number % 100)),
            offset: mm(10.0),
        }),
        ..Board::plain(mm(2400.0), mm(200.0), mm(thickness), percent(9.0))
    };
    let wood = Wood {
        shrinkage: Shrinkage {
            radial_percent: 5.5,
            tangential_percent: 7.8,
            longitudinal_percent: 0.15,
            fiber_saturation_percent: 30.0,
        },
        basic_gravity: 0.51,
    };
    let mut order = BoardOrder::plain(board, wood, ResawPlan::equal(2, mm(1.6)));
    order.drying = Drying::Kiln;
    order.strips = vec![TestStrip::of_gap(
        mm(600.0),
        mm(thickness),
        mm(1.6),
        mm(1.0 + f64::from(number % 10) / 10.0),
    )];
    order.rest = Some(RestPlan {
        air: AirState::computed(20.0, 40.0),
        lying: Lying::Stickered,
        days: 60,
        weight: None,
    });
    order
}

#[divan::bench]
fn one_board_with_strip_and_rest(bencher: divan::Bencher<'_, '_>) {
    let order = order(7);
    bencher.bench(|| forecast_pack(std::slice::from_ref(divan::black_box(&order))));
}

#[divan::bench(sample_count = 5)]
fn a_thousand_leaves_with_strips_and_rest(bencher: divan::Bencher<'_, '_>) {
    let orders: Vec<BoardOrder> = (0..500).map(order).collect();
    bencher.bench(|| {
        orders
            .iter()
            .map(|order| {
                forecast_pack(std::slice::from_ref(order)).map_or(0, |f| f[0].leaves.len())
            })
            .sum::<usize>()
    });
}

#[divan::bench]
fn one_section_with_all_its_sizes(bencher: divan::Bencher<'_, '_>) {
    let section = Section {
        width: mm(200.0),
        thickness: mm(25.0),
        rings: Rings::Pith {
            depth: mm(80.0),
            offset: mm(35.0),
        },
    };
    let strains = RingStrains {
        radial: Strain::computed_ratio(-0.0072),
        tangential: Strain::computed_ratio(-0.0146),
    };
    bencher.bench(|| {
        divan::black_box(section)
            .moved(divan::black_box(strains))
            .map(|moved| moved.sizes())
    });
}

#[divan::bench(sample_count = 5)]
fn reference_sort_a_million_numbers(bencher: divan::Bencher<'_, '_>) {
    let numbers: Vec<f64> = (0..1_000_000_u32)
        .map(|i| f64::from(i.wrapping_mul(2_654_435_761)))
        .collect();
    bencher
        .with_inputs(|| numbers.clone())
        .bench_values(|mut numbers| {
            numbers.sort_by(f64::total_cmp);
            numbers
        });
}
