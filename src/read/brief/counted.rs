//! Whether a brief has more of something than any class, counted before it is read.

use crate::diagnostic::Diagnostic;
use crate::read::measured::beyond;
use crate::read::spanned::{Item, Table};
use crate::sizes::{BLOCKS, CONDITIONS, LINES, OWN_MOVEMENTS, RULES};

/// What there is too much of, each at the first that is too many.
pub fn too_many(root: &Table<'_>) -> Vec<Diagnostic> {
    let blocks: Vec<Item<'_>> = (root.values("block").into_iter())
        .chain(root.values("series"))
        .collect();
    let mut lines = root.values("list");
    lines.extend(tables(&blocks).flat_map(|block| block.values("list")));
    let rules = root.values("rules");
    let rules = tables(&rules).flat_map(|rules| {
        let lists = rules.keys().into_iter().map(|key| rules.values(key));
        // A rule that may be given once is no list of tables.
        let lists = lists.filter(|list| list.len() > 1);
        lists.flatten().collect::<Vec<_>>()
    });
    [
        (OWN_MOVEMENTS, root.values("movement")),
        (BLOCKS, blocks),
        (LINES, lines),
        (RULES, rules.collect()),
        (CONDITIONS, root.values("conditions")),
    ]
    .into_iter()
    .filter_map(|(most, all)| beyond(most, "the class", all.iter().map(Item::span).collect()))
    .collect()
}

fn tables<'a>(items: &[Item<'a>]) -> impl Iterator<Item = Table<'a>> {
    let read = |item: &Item<'a>| item.table("a table", &mut Vec::new());
    items.iter().filter_map(read)
}
