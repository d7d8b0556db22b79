//! A maker's own table of woods; every wood that is read has figures that can be reckoned with.
#![no_main]

use heartside::movement::{Direction, Shrinkage};
use heartside::species::SpeciesTable;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    match SpeciesTable::with_user_csv(text, "fuzz.csv") {
        Err(error) => assert!(!error.to_string().is_empty()),
        Ok(table) => {
            for wood in table.all().iter().take(table.own_count()) {
                let shrinkage = Shrinkage::of(wood);
                for direction in [
                    Direction::Radial,
                    Direction::Tangential,
                    Direction::Longitudinal,
                ] {
                    let total = shrinkage.total_percent(direction);
                    assert!(total.is_finite() && total > 0.0, "{}: {total}", wood.name);
                    assert!(shrinkage.change_coefficient(direction).is_finite());
                }
                for figure in [
                    wood.fiber_saturation(),
                    wood.basic_gravity(),
                    wood.modulus_mpa(),
                    wood.modulus_across_mpa(),
                    wood.modulus_radial_mpa(),
                    wood.shear_modulus_lr_mpa(),
                    wood.shear_modulus_lt_mpa(),
                    wood.shear_modulus_rt_mpa(),
                    wood.bending_strength_mpa(),
                    wood.shear_strength_mpa(),
                    wood.tension_across_mpa(),
                    wood.compression_across_mpa(),
                ] {
                    assert!(
                        figure.value.is_finite() && figure.value > 0.0,
                        "{}: {figure:?}",
                        wood.name
                    );
                }
                let _found_or_ambiguous = table.find(&wood.name);
            }
        }
    }
    // Any name at all may be asked for.
    let name: String = text.chars().take(60).collect();
    if let Err(unknown) = SpeciesTable::built_in().find(&name) {
        assert!(!unknown.message().is_empty() && !unknown.remedy().is_empty());
    }
});
