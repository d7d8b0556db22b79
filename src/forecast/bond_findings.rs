//! The finding on one bond of a job.

use super::bonds;
use super::curve::Curve;
use super::findings::BondFinding;
use super::humidity;
use super::remedies::WhatIf;
use super::study::Study;
use crate::joint::bond::SPLIT_HOLDS;
use crate::joint::{Axis, BondPlan, Design, JointPlan};
use crate::units::Curvature;

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
        let glued_on = prepared.assembled.max(prepared.cut_day(joint));
        let wettest_at = self.middle.bonds[index].wettest_at;
        let own_cup = [&bond.moves, &bond.holds].map(|side| {
            let part = &prepared.parts[side.part.0];
            if side.axis != Axis::Width || !part.cup_known {
                return Curvature::ZERO;
            }
            let percent = &self.workspace.tracks[side.part.0].mean_percent;
            bonds::own_cup(
                &curves[side.part.0],
                part.section.width,
                percent[glued_on],
                [driest_at, wettest_at].map(|at| percent[at]),
            )
        });
        let asked = bonds::asked(prepared, bond, driest_percent, own_cup);
        let samples = self.samples.bond(index);
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
        let split = bonds::split_chance(&asked.line, asked.glued(), &samples).chance();
        let better_wood = if split > SPLIT_HOLDS && bond.design != Design::Floating {
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
