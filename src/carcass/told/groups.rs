//! Which sections hang together.

/// For each of `count` things the least one it is linked with.
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
