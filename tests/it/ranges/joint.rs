//! Bonds and fits over all stiffnesses, sizes and strains of the table.

use super::*;
use crate::joint::{TODAY, motion, part, plan};
use heartside::joint::shear_lag::modulus_across;
use heartside::joint::{Across, Axis, BondLine, Ply, ShearLag, Slot, SplitChance, SplitSpread};
use heartside::units::Stress;

fn any_ply() -> impl Strategy<Value = Ply> {
    (
        inside(Bounds::THICKNESS),
        inside(Bounds::MODULUS),
        inside(Bounds::MODULUS),
    )
        .prop_map(|(thickness, modulus, shear)| Ply {
            thickness: mm(thickness),
            modulus: Stress::computed_mpa(modulus),
            shear_modulus: Stress::computed_mpa(shear),
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    /// Any two plies: between nothing and everything is held, more over a longer line, and shear goes with the strain.
    #[test]
    fn a_bond_holds_between_nothing_and_all(
        a in any_ply(), b in any_ply(), glue in 0.0..1.0_f64, width in inside(Bounds::WIDTH), wants in inside(Bounds::STRAIN),
    ) {
        let lag = ShearLag::new(a, b, glue);
        let (one, other) = (lag.held_fraction(mm(width)), lag.held_fraction_b(mm(width)));
        prop_assert!((0.0..=1.0).contains(&one) && (0.0..=1.0).contains(&other) && one + other <= 1.0 + 1e-12);
        prop_assert!(lag.held_fraction(mm(2.0 * width)) >= one - 1e-15);
        for shear in [lag.end_shear(mm(width), strain(wants)), lag.end_shear_mean(mm(width), strain(wants))] {
            prop_assert!(shear.mpa().is_finite() && shear.mpa() >= 0.0);
        }
        prop_assert!(lag.end_shear_mean(mm(width), strain(wants)).mpa() <= lag.end_shear(mm(width), strain(wants)).mpa() * (1.0 + 1e-9) + 1e-12);
        let half = lag.end_shear(mm(width), strain(wants / 2.0)).mpa();
        prop_assert!(near(2.0 * half, lag.end_shear(mm(width), strain(wants)).mpa(), 1e-12));
        // The two change places.
        let turned = ShearLag::new(b, a, glue);
        prop_assert!((turned.held_fraction(mm(width)) - other).abs() < 1e-12);
        // Both twice as thick, twice as wide: the same share.
        let twice = |ply: Ply| Ply { thickness: ply.thickness * 2.0, ..ply };
        let large = ShearLag::new(twice(a), twice(b), 2.0 * glue);
        prop_assert!((large.held_fraction(mm(2.0 * width)) - one).abs() < 1e-9);
    }

    /// Stiffness across the grain lies between stiff and soft for any rings.
    #[test]
    fn stiffness_across_is_positive_for_any_rings(
        tangential in inside(Bounds::MODULUS), radial in inside(Bounds::MODULUS), rolling in inside(Bounds::MODULUS),
        degrees in inside(Bounds::ANGLE),
    ) {
        let mpa = Stress::computed_mpa;
        let found = modulus_across(mpa(tangential), mpa(radial), mpa(rolling), degrees).mpa();
        prop_assert!(found.is_finite() && found > 0.0);
        prop_assert!(found <= tangential.max(radial) * (1.0 + 1e-12));
        let turned = modulus_across(mpa(tangential), mpa(radial), mpa(rolling), -degrees).mpa();
        prop_assert!(near(turned, found, 1e-12));
    }

    /// The chance of a split: from 0 to 1 by either criterion, never less for more tension, never more for stronger wood.
    #[test]
    fn the_chance_of_a_split_grows_with_tension(
        tension in inside(Bounds::STRAIN), modulus in 100.0..5000.0_f64, strength in 0.5..20.0_f64, cov in 0.0..1.0_f64, more in 1.0..10.0_f64,
    ) {
        let mpa = Stress::computed_mpa;
        let spread = SplitSpread::new(cov, 0.22);
        let of = |tension: f64, strength: f64| {
            SplitChance::of(&Across { modulus: mpa(modulus), strength: mpa(strength) }, strain(tension), 1.0, &spread)
        };
        let chance = of(tension, strength);
        prop_assert!((0.0..=1.0 + 1e-12).contains(&chance.by_stress) && (0.0..=1.0).contains(&chance.by_strain));
        prop_assert!((0.0..=100.0 + 1e-9).contains(&chance.chance().percent()));
        if tension > 0.0 {
            let stretched = of(tension * more, strength);
            prop_assert!(stretched.by_stress >= chance.by_stress - 1e-12 && stretched.by_strain >= chance.by_strain);
        }
        prop_assert!(of(tension, strength * more).by_stress <= chance.by_stress + 1e-12);
    }

    /// A judged line is finite, and gluing less of it never splits it sooner or cups it more.
    #[test]
    fn any_line_is_judged(
        a in any_ply(), b in any_ply(), width in inside(Bounds::WIDTH), band in inside(Bounds::THICKNESS), both in any::<bool>(),
        dry in -0.3..0.3_f64, wetter in 0.0..0.3_f64, strength in 0.1..50.0_f64, reach in 1.0..5.0_f64,
    ) {
        let across = |ply: Ply| Across { modulus: ply.modulus, strength: Stress::computed_mpa(5.0) };
        let line = BondLine {
            lag: ShearLag::new(a, b, 0.0),
            width: mm(width),
            moving: Some(across(a)),
            holding: both.then(|| across(b)),
            stiffer: [1.0; 2],
            spread: SplitSpread::new(0.25, 0.22),
            free: None,
            band: mm(band),
            reach: mm(band * reach),
            shear_strength: Stress::computed_mpa(strength),
        };
        let (driest, wettest) = (strain(dry), strain(dry + wetter));
        let judged = line.judge(mm(width), driest, wettest);
        prop_assert!(judged.tension.ratio().is_finite() && judged.end_shear.mpa().is_finite() && judged.end_shear_share.is_finite());
        prop_assert!((0.0..=100.0 + 1e-9).contains(&judged.split_chance_percent()));
        prop_assert!(judged.stress.mpa().is_finite() && judged.cup.mm() >= 0.0);
    }

    /// A slot is as long as its travel, and its screw inside it.
    #[test]
    fn a_slot_is_as_long_as_its_travel(
        from in inside(Bounds::LENGTH), dry in -0.3..0.3_f64, wetter in -0.1..0.3_f64, screw in 1.0..12.0_f64, margin in 0.0..5.0_f64,
    ) {
        let slot = Slot::new(mm(from), strain(dry), strain(dry + wetter), mm(screw), mm(margin));
        prop_assert!(slot.travel.mm() >= 0.0 && near(slot.travel.mm(), from.abs() * wetter.max(0.0), 1e-9));
        let (min, most) = ((screw + margin) / 2.0, slot.length.mm() - (screw + margin) / 2.0);
        let at = slot.screw_from_dry_end.mm();
        prop_assert!(at >= min - 1e-9 && at <= most + 1e-9 * slot.length.mm().max(1.0), "{} in {} to {}", at, min, most);
        let far = Slot::new(mm(2.0 * from), strain(dry), strain(dry + wetter), mm(screw), mm(margin));
        prop_assert!(near(far.travel.mm(), 2.0 * slot.travel.mm(), 1e-12));
    }

    /// A front in its opening: twice as wide, twice the change of its gap.
    #[test]
    fn a_front_twice_as_wide_changes_its_gap_twice_as_much(
        width in 50.0..600.0_f64, dry in 0.9..1.0_f64, wet in 1.0..1.1_f64,
    ) {
        let change = |width: f64| {
            let parts = [part("front", 400.0, width, 20.0), part("side", 2.0 * width, 60.0, 20.0)];
            let joint = plan(
                &format!("[[joints.inset]]\npiece = \"front\"\npiece_axis = \"width\"\ninto = \"side\"\ninto_axis = \"length\"\nopening = \"{width} mm\"\n"),
                &parts,
            );
            let moves = motion(2, &[(0, Axis::Width, dry, wet)]);
            let fit = &joint.fits[0];
            let gap = |day| fit.gap_mm(&moves, day, TODAY, width - 4.0);
            (gap(1) - gap(2), width - 4.0)
        };
        let ((one, w1), (two, w2)) = (change(width), change(2.0 * width));
        prop_assert!(one >= -1e-9);
        prop_assert!((two / w2 - one / w1).abs() < 1e-9 * (1.0 + one.abs()), "{} and {}", one, two);
    }
}
