//! Which seeds the tests look at: the usual ones, or those that are asked for by `SEGUE_SEEDS=FROM..TO`.

use std::ops::Range;

/// The usual seeds are those from 0 on, so many.
pub fn seeds(usual: u64) -> Range<u64> {
    let Some(text) = said() else {
        return 0..usual;
    };
    let ends = (text.split_once("..")).and_then(|(a, b)| Some(a.parse().ok()?..b.parse().ok()?));
    ends.expect("SEGUE_SEEDS is FROM..TO")
}

/// Whether others are asked for than the usual ones: these may be too few, or too much alike, for what is counted over all.
pub fn asked() -> bool {
    said().is_some()
}

fn said() -> Option<String> {
    std::env::var("SEGUE_SEEDS").ok()
}
