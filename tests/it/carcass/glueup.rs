//! Glue-up in stages: against brute force on small pieces, and known cases.

use heartside::carcass::{
    GlueJoint, GlueKind, GlueTerms, Piece, Shorten, Stages, Trap, plan_stages,
};
use heartside::units::{Duration, Refusal, Temperature};
use proptest::prelude::*;

fn seconds(value: f64) -> Duration {
    Duration::from_seconds(value).unwrap()
}

fn joint(between: [usize; 2], spread: f64, glued: bool, clamps: u32) -> GlueJoint {
    GlueJoint {
        name: format!("joint {}-{}", between[0], between[1]),
        between,
        glued,
        spread: seconds(spread),
        close: seconds(0.0),
        clamps,
    }
}

/// No reserve, no clamp time: a stage is the sum of its spreads.
fn plain(time: f64, clamps: Option<u32>) -> GlueTerms {
    GlueTerms {
        own_time: Some(seconds(time)),
        per_clamp: seconds(0.0),
        clamps,
        margin: 0.0,
        ..GlueTerms::default()
    }
}

fn piece(parts: usize, joints: Vec<GlueJoint>, traps: Vec<Trap>) -> Piece {
    Piece {
        parts: (0..parts).map(|part| format!("part {part}")).collect(),
        joints,
        traps,
    }
}

/// The stage of every joint, from the answer.
fn stage_of(piece: &Piece, answer: &Stages) -> Vec<usize> {
    let mut stages = vec![usize::MAX; piece.joints.len()];
    for (index, stage) in answer.stages.iter().enumerate() {
        for joint in stage.glued.iter().chain(&stage.put_in_dry) {
            assert_eq!(stages[*joint], usize::MAX, "joint {joint} in two stages");
            stages[*joint] = index;
        }
    }
    assert!(stages.iter().all(|stage| *stage != usize::MAX));
    stages
}

/// The rules, written out plainly and apart from the program's own.
fn allowed(piece: &Piece, terms: &GlueTerms, stages: &[usize]) -> bool {
    let last = stages.iter().copied().max().unwrap_or(0);
    for stage in 0..=last {
        let of_stage = |joint: usize| stages[joint] == stage;
        let time: f64 = (0..stages.len())
            .filter(|joint| of_stage(*joint))
            .map(|joint| terms.joint_time(&piece.joints[joint]).seconds())
            .sum();
        let clamps: u32 = (0..stages.len())
            .filter(|joint| of_stage(*joint) && piece.joints[*joint].glued)
            .map(|joint| piece.joints[joint].clamps)
            .sum();
        if time > terms.stage_time().seconds() + 1e-9
            || terms.clamps.is_some_and(|most| clamps > most)
        {
            return false;
        }
        // Bodies after this stage, by spreading labels until nothing changes.
        let mut label: Vec<usize> = (0..piece.parts.len()).collect();
        for _ in 0..piece.parts.len() {
            for (index, joint) in piece.joints.iter().enumerate() {
                if joint.glued && stages[index] <= stage {
                    let [a, b] = joint.between;
                    let min = label[a].min(label[b]);
                    (label[a], label[b]) = (min, min);
                }
            }
        }
        for (index, joint) in piece.joints.iter().enumerate() {
            if label[joint.between[0]] == label[joint.between[1]] && stages[index] > stage {
                return false;
            }
        }
        for trap in &piece.traps {
            let one_body = trap
                .between
                .iter()
                .all(|part| label[*part] == label[trap.between[0]]);
            for (index, joint) in piece.joints.iter().enumerate() {
                let [a, b] = joint.between;
                let holds = (a == trap.part && trap.between.contains(&b))
                    || (b == trap.part && trap.between.contains(&a));
                if one_body && holds && stages[index] > stage {
                    return false;
                }
            }
        }
    }
    true
}

/// Every way to deal the joints to stages.
fn fewest_by_brute_force(piece: &Piece, terms: &GlueTerms) -> Option<usize> {
    let joints = piece.joints.len();
    for stages in 1..=joints {
        let mut deal = vec![0; joints];
        loop {
            if allowed(piece, terms, &deal) {
                return Some(stages);
            }
            let mut at = 0;
            while at < joints && deal[at] == stages - 1 {
                deal[at] = 0;
                at += 1;
            }
            if at == joints {
                break;
            }
            deal[at] += 1;
        }
    }
    None
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    #[test]
    fn as_few_stages_as_brute_force(
        parts in 3_usize..6,
        raw in prop::collection::vec((0_usize..6, 0_usize..6, 1_u32..5, 0_u32..4, 0_u32..8), 2..7),
        raw_traps in prop::collection::vec((0_usize..6, 0_usize..6, 0_usize..6), 0..3),
        room in 4_u32..12,
        clamps in 2_u32..8,
    ) {
        let joints: Vec<GlueJoint> = raw
            .iter()
            .map(|(a, b, time, clamps, kind)| {
                let a = a % parts;
                let b = if b % parts == a { (a + 1) % parts } else { b % parts };
                // One in eight joints floats.
                joint([a, b], 30.0 * f64::from(*time), *kind != 0, *clamps)
            })
            .collect();
        let traps: Vec<Trap> = raw_traps
            .iter()
            .map(|(part, a, b)| Trap { part: part % parts, between: vec![a % parts, b % parts] })
            .filter(|trap| {
                trap.between[0] != trap.between[1] && !trap.between.contains(&trap.part)
            })
            .collect();
        // Parts that float wholly are trapped by rule; tell it so that brute force knows too.
        let mut one = piece(parts, joints, traps);
        for part in 0..parts {
            let own: Vec<&GlueJoint> =
                one.joints.iter().filter(|joint| joint.between.contains(&part)).collect();
            let mut hosts: Vec<usize> =
                own.iter().flat_map(|joint| joint.between).filter(|other| *other != part).collect();
            hosts.sort_unstable();
            hosts.dedup();
            if hosts.len() > 1
                && own.iter().all(|joint| !joint.glued)
                && one.traps.iter().all(|trap| trap.part != part)
            {
                one.traps.push(Trap { part, between: hosts });
            }
        }
        let terms = plain(30.0 * f64::from(room), Some(clamps));
        let want = fewest_by_brute_force(&one, &terms);
        match plan_stages(&one, &terms) {
            Ok(answer) => {
                prop_assert!(answer.proven);
                prop_assert!(allowed(&one, &terms, &stage_of(&one, &answer)));
                prop_assert_eq!(Some(answer.stages.len()), want);
                prop_assert!(answer.at_least <= answer.stages.len());
            }
            Err(refused) => {
                prop_assert!(refused.message().starts_with("no order works: "), "{}", refused);
                prop_assert_eq!(want, None);
            }
        }
    }
}

/// Stiles 0 and 1, rails 2 and 3, panel 4 floating in all four.
fn door() -> Piece {
    let mut joints: Vec<GlueJoint> = [[0, 2], [0, 3], [1, 2], [1, 3]]
        .map(|between| joint(between, 60.0, true, 1))
        .to_vec();
    joints.extend([0, 1, 2, 3].map(|host| joint([4, host], 0.0, false, 0)));
    piece(5, joints, Vec::new())
}

#[test]
fn a_frame_closes_two_joints_at_once_with_its_panel_in() {
    let all = plan_stages(&door(), &plain(240.0, None)).unwrap();
    assert_eq!(all.stages.len(), 1);
    assert_eq!(all.stages[0].put_in_dry.len(), 4);
    let answer = plan_stages(&door(), &plain(180.0, None)).unwrap();
    assert_eq!(answer.stages.len(), 2);
    assert!(answer.proven);
    // The ring can only be closed by two joints in one stage.
    assert!(answer.stages[1].glued.len() >= 2);
    // The panel is in before the frame is whole.
    let stage = stage_of(&door(), &answer);
    let whole = *stage[..4].iter().max().unwrap();
    assert!(stage[4..].iter().all(|at| *at <= whole));
    // The second rail keeps the first stage true.
    if answer.stages[0].glued.len() == 2 {
        assert!(!answer.stages[0].dry_fitted.is_empty());
    }
}

#[test]
fn a_frame_that_cannot_close_is_explained() {
    let error = plan_stages(&door(), &plain(100.0, None)).unwrap_err();
    let words = error.message();
    assert!(words.ends_with("takes longest"), "{words}");
    assert!(
        words.contains("must be glued together and take 2.0 min, but a stage may take 1.7 min"),
        "{words}"
    );
    // White PVA stays open for 8 min, two pairs of hands are 1.8 times as quick.
    assert!(error.remedy().contains("2 pairs of hands"), "{error}");
    let error = plan_stages(&door(), &plain(240.0, Some(1))).unwrap_err();
    assert!(refused_with(&error, "take 2 clamps, but 1 are at hand"));
}

/// Whether it was refused in such words.
fn refused_with(error: &Refusal, words: &str) -> bool {
    error.message().contains(words)
}

/// Sides 0 and 1, five shelves trapped between them.
fn bookcase(shelves: usize) -> Piece {
    let mut joints = Vec::new();
    let mut traps = Vec::new();
    for shelf in 2..2 + shelves {
        joints.push(joint([0, shelf], 40.0, true, 2));
        joints.push(joint([1, shelf], 40.0, true, 2));
        traps.push(Trap {
            part: shelf,
            between: vec![0, 1],
        });
    }
    piece(2 + shelves, joints, traps)
}

#[test]
fn trapped_shelves_go_in_before_the_second_side() {
    // Five joints a stage: all shelves on one side, then the other side at once.
    let answer = plan_stages(&bookcase(5), &plain(200.0, None)).unwrap();
    assert_eq!(answer.stages.len(), 2);
    assert!(answer.stages.iter().all(|stage| stage.glued.len() == 5));
    // Four joints a stage: the last stage needs five, whatever went before.
    let error = plan_stages(&bookcase(5), &plain(199.0, None)).unwrap_err();
    assert!(refused_with(&error, "must be glued together"), "{error}");
    assert_eq!(error.message().matches(", ").count(), 4 + 2, "{error}");
}

/// Fifteen shelves, 30 joints: still exact.
#[test]
fn thirty_joints_are_settled() {
    let answer = plan_stages(&bookcase(15), &plain(640.0, None)).unwrap();
    assert_eq!(answer.stages.len(), 2);
    assert!(answer.proven);
    let error = plan_stages(&bookcase(15), &plain(599.0, None)).unwrap_err();
    assert!(refused_with(&error, "must be glued together"), "{error}");
    assert_eq!(error.message().matches(", ").count(), 14 + 2, "{error}");
}

/// The same with every joint of its own length, so that no two shelves are alike.
#[test]
fn thirty_unlike_joints_are_settled() {
    let mut one = bookcase(15);
    for (index, joint) in one.joints.iter_mut().enumerate() {
        joint.spread = seconds(30.0 + ((index * 37) % 23) as f64);
    }
    let to_side = |side: usize| -> f64 {
        let joints = one.joints.iter().filter(|joint| joint.between[0] == side);
        joints.map(|joint| joint.spread.seconds()).sum()
    };
    // Each shelf leaves one of its joints to the last stage: the lesser ones at the minimum.
    let lesser: f64 = one
        .joints
        .chunks(2)
        .map(|pair| pair[0].spread.seconds().min(pair[1].spread.seconds()))
        .sum();
    let two = plan_stages(&one, &plain(to_side(0).max(to_side(1)), None)).unwrap();
    assert_eq!((two.stages.len(), two.proven), (2, true));
    let three = plan_stages(&one, &plain(lesser, None)).unwrap();
    assert!(three.stages.len() >= 3);
    assert!(allowed(&one, &plain(lesser, None), &stage_of(&one, &three)));
    let error = plan_stages(&one, &plain(lesser - 1.0, None)).unwrap_err();
    let takes = format!("and take {:.1} min, but", lesser / 60.0);
    assert!(refused_with(&error, &takes), "{error}");
}

/// A post with thirty pegs of unlike length: bin packing.
#[test]
fn loose_ends_are_packed() {
    let joints: Vec<GlueJoint> = (1..=30)
        .map(|peg| joint([0, peg], 20.0 + ((peg * 37) % 61) as f64, true, 1))
        .collect();
    let total: f64 = joints.iter().map(|joint| joint.spread.seconds()).sum();
    let one = piece(31, joints, Vec::new());
    let answer = plan_stages(&one, &plain(301.0, None)).unwrap();
    assert!(answer.proven);
    assert_eq!(answer.stages.len(), (total / 301.0).ceil() as usize);
    // Stages are evened out: none is much fuller than the mean.
    let mean = total / answer.stages.len() as f64;
    assert!(
        answer
            .stages
            .iter()
            .all(|stage| stage.takes.seconds() < 1.2 * mean)
    );
}

/// Thirty alike of which only two fit: pairs, though the sum would allow fewer.
#[test]
fn pairs_need_half_as_many_stages() {
    let joints: Vec<GlueJoint> = (1..=30)
        .map(|peg| joint([0, peg], 100.0, true, 1))
        .collect();
    let answer = plan_stages(&piece(31, joints, Vec::new()), &plain(290.0, None)).unwrap();
    assert_eq!(answer.at_least, 15);
    assert_eq!(answer.stages.len(), 15);
}

#[test]
fn a_tight_stage_names_its_longest_joint_and_what_helps() {
    let joints = vec![joint([0, 1], 150.0, true, 1), joint([0, 2], 45.0, true, 1)];
    let answer = plan_stages(&piece(3, joints, Vec::new()), &plain(200.0, None)).unwrap();
    let stage = &answer.stages[0];
    assert_eq!(stage.longest, 0);
    assert!(
        stage
            .shorten
            .contains(&Shorten::PreGlue("joint 0-1".to_owned()))
    );
    assert!(stage.shorten.contains(&Shorten::Helpers(2)));
}

#[test]
fn time_comes_from_the_maker_then_the_chemistry_and_the_warmth() {
    let cool = GlueTerms {
        kind: Some(GlueKind::YellowPva),
        temperature: Temperature::from_celsius(10.0).unwrap(),
        ..GlueTerms::default()
    };
    // Yellow PVA from memory 5 min at 20 C; doubled at 10 C (judgement).
    assert_eq!(cool.open_time().seconds(), 600.0);
    assert_eq!(cool.stage_time().seconds(), 480.0);
    let own = GlueTerms {
        own_time: Some(seconds(420.0)),
        ..cool.clone()
    };
    assert_eq!(own.open_time().seconds(), 420.0);
    let helped = GlueTerms { hands: 2, ..cool };
    let one = joint([0, 1], 40.0, true, 2);
    assert!((helped.joint_time(&one).seconds() - 80.0 / 1.8).abs() < 1e-9);
    let cold = GlueTerms {
        temperature: Temperature::from_celsius(5.0).unwrap(),
        ..helped
    };
    let answer = plan_stages(&piece(2, vec![one], Vec::new()), &cold).unwrap();
    assert!(answer.notes[0].contains("5 to 10 min at 20 C (memory)"));
    assert!(answer.notes[1].contains("may not set below 10 C"));
}

#[test]
fn a_malformed_piece_is_refused() {
    let bad = piece(2, vec![joint([0, 5], 10.0, true, 0)], Vec::new());
    let good = piece(2, vec![joint([0, 1], 10.0, true, 0)], Vec::new());
    let crowd = piece(200, Vec::new(), Vec::new());
    for (piece, seconds, words) in [
        (bad, 100.0, "does not join two different parts"),
        (good, 0.0, "no time is left to glue anything"),
        (crowd, 100.0, "more than the"),
    ] {
        let error = plan_stages(&piece, &plain(seconds, None)).unwrap_err();
        assert!(refused_with(&error, words), "{error}");
    }
}
