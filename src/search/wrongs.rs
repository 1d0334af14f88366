//! Where a relaxed walk does what no order does.

/// A stretch of a walk that no order has: `node` is known to be behind at place `from` and comes at place `to`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wrong {
    /// First place.
    pub from: usize,
    /// Last place.
    pub to: usize,
    /// What comes there.
    pub node: usize,
}

/// The shortest wrong stretches of a walk, given what must come before what.
pub fn wrongs(walk: &[usize], is_before: impl Fn(usize, usize) -> bool) -> Vec<Wrong> {
    let mut found: Vec<Wrong> = Vec::new();
    for (to, &node) in walk.iter().enumerate() {
        let from = (0..to)
            .rev()
            .find(|&p| walk[p] == node || is_before(node, walk[p]));
        if let Some(from) = from
            && found.last().is_none_or(|last| last.from < from)
        {
            found.push(Wrong { from, to, node });
        }
    }
    found
}
