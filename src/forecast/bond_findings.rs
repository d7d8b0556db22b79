//! The finding on one bond of a job.

use super::bonds;
use super::curve::Curve;
use super::findings::BondFinding;
use super::humidity;
use super::remedies::WhatIf;
use super::study::Study;
use crate::joint::bond::SPLIT_HOLDS_PERCENT;
use crate::joint::{BondPlan, Design, JointPlan};

impl Study<'_> {
    pub(super) fn bond(
        &self,
        joint: &JointPlan,
        bond: &BondPlan,
        index: usize,
        curves: &[Curve],
        bench: &WhatIf<'_>,
    ) -> BondFinding {
        let prepared = self.prepared;
        let asked = bonds::asked(prepared, bond);
        let samples = self.samples.bond(index);
        let glued_on = prepared.assembled.max(prepared.cut_day(joint));
        let ratio = |side: &crate::joint::BondSide| {
            self.workspace.motion.ratio(side.part, side.axis, glued_on)
        };
        let home = bench
            .airs
            .year(prepared.parts[bond.moves.part.0].home)
            .mean();
        let survives = (bond.design != Design::Floating)
            .then(|| {
                humidity::bond_survives(
                    curves,
                    bond,
                    &asked.line,
                    asked.glued(),
                    ratio(&bond.moves) / ratio(&bond.holds),
                    home,
                )
            })
            .flatten();
        let split = bonds::split_percent(&asked.line, asked.glued(), &samples);
        let better_wood = if split > SPLIT_HOLDS_PERCENT && bond.design != Design::Floating {
            bench.bond_remedies(joint, bond, split)
        } else {
            Vec::new()
        };
        bonds::finding(
            prepared,
            joint,
            bond,
            (&self.middle.bonds[index], &samples),
            better_wood,
            survives,
            &|day| self.date(day),
        )
    }
}
