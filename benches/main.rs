//! The one bench binary: a module a family of kernels. `cargo bench -- moisture` measures one of them.

use divan::AllocProfiler;

mod air;
mod batch;
mod carcass;
mod chance;
mod compare;
mod job;
mod joint;
mod log;
mod moisture;
mod page;
mod panel;
mod piece;
mod rings;
mod species;
mod stock;
mod whole;

#[global_allocator]
static ALLOC: AllocProfiler = AllocProfiler::system();

fn main() {
    let filters: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with('-'))
        .collect();
    let wanted =
        |module: &str| filters.is_empty() || filters.iter().any(|word| word.contains(module));
    if wanted("batch") {
        batch::memory();
    }
    if wanted("compare") {
        compare::table();
    }
    divan::main();
}
