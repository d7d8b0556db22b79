//! A table of leaves; where it is read, the leaves are laid into a panel and its best layouts are looked for.
#![no_main]

use heartside::panel::{LeafMatch, MoistureChange, Panel, Weights, leaves_csv, settle_woods};
use heartside::species::SpeciesTable;
use heartside::units::MoistureContent;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let mut leaves = match leaves_csv::read(text) {
        Ok(leaves) => leaves,
        Err(error) => {
            assert!(!error.each().is_empty() && !error.to_string().is_empty());
            return;
        }
    };
    assert!(!leaves.is_empty());
    if leaves.len() > 6 {
        return;
    }
    if let Err(unknown) = settle_woods(&mut leaves, Some("maple, sugar"), SpeciesTable::built_in())
    {
        assert!(!unknown.to_string().is_empty());
        return;
    }
    let change = MoistureChange {
        from: MoistureContent::computed_percent(10.0),
        to: MoistureContent::computed_percent(6.0),
    };
    for figure in [
        LeafMatch::Bookmatch,
        LeafMatch::SlipMatch,
        LeafMatch::FourWay,
        LeafMatch::Random,
    ] {
        match Panel::new(leaves.clone(), figure, change, Weights::default()) {
            Err(error) => assert!(!error.to_string().is_empty()),
            Ok(panel) => {
                let best = panel.best(2);
                let _words = best.why_first(heartside::units::UnitSystem::Inch);
                for layout in &best.layouts {
                    for size in [layout.bow, layout.cup, layout.twist] {
                        assert!(size.mm().is_finite());
                    }
                }
                if let Some(flag) = panel.bookmatch_flag(&best) {
                    assert!(
                        !flag
                            .words(heartside::units::UnitSystem::Metric)
                            .contains("NaN")
                    );
                }
            }
        }
    }
});
