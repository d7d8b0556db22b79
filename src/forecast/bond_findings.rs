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
        let driest_at = self.middle.bonds[index].driest_at;
        let driest_percent = [&bond.moves, &bond.holds]
            .map(|side| self.workspace.tracks[side.part.0].mean_percent[driest_at]);
        let asked = bonds::asked(prepared, bond, driest_percent);
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
                    self.inputs.spreads().shrinkage_cov,
                    home,
                )
            })
            .flatten();
        let split = bonds::split_chance(&asked.line, asked.glued(), &samples).percent();
        let better_wood = if split > SPLIT_HOLDS_PERCENT && bond.design != Design::Floating {
            bench.bond_remedies(joint, bond, split, driest_percent)
        } else {
            Vec::new()
        };
        bonds::finding(
            &asked,
            joint,
            bond,
            (&self.middle.bonds[index], &samples),
            better_wood,
            survives,
            &|day| self.date(day),
        )
    }
}
