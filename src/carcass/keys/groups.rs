//! Which sections hang together, and their answers system by system.

use crate::units::Refusal;

/// For each of `count` things the minimum one it is linked with.
pub(super) fn groups(count: usize, links: impl Iterator<Item = (usize, usize)>) -> Vec<usize> {
    let mut group: Vec<usize> = (0..count).collect();
    for (a, b) in links {
        let (keep, lose) = (group[a].min(group[b]), group[a].max(group[b]));
        for member in &mut group {
            if *member == lose {
                *member = keep;
            }
        }
    }
    group
}

/// The answers of all things, solved system by system: a fault in one system is the answer of its members and does not hide the
/// others. `group` gives each thing the first of its system, `solve` the answers of a system's members in their order.
pub(super) fn each_system<T: Clone>(
    group: &[usize],
    solve: impl Fn(&[usize]) -> Result<Vec<T>, Refusal>,
) -> Vec<Result<T, Refusal>> {
    let mut answers = vec![Err(crate::carcass::error::not_held()); group.len()];
    for leader in 0..group.len() {
        let members: Vec<usize> = (0..group.len())
            .filter(|member| group[*member] == leader)
            .collect();
        if members.is_empty() {
            continue;
        }
        match solve(&members) {
            Ok(found) => {
                for (member, finding) in members.iter().zip(found) {
                    answers[*member] = Ok(finding);
                }
            }
            Err(error) => {
                for member in members {
                    answers[member] = Err(error.clone());
                }
            }
        }
    }
    answers
}
