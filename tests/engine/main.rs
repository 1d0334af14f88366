//! What works on problems alone, which know integers and no word of the trade: the search, the referee, the mixed-integer model, and what is
//! explained and varied by asking them. Most of it stands beside the truth of small problems, found by trying everything (`oracle`).

mod oracle;

mod bounds;
mod brute_force;
mod claims;
mod conflicts;
mod counterexamples;
mod embedded;
mod late;
mod laws;
#[cfg(feature = "peers")]
mod library_search;
mod local_search;
mod mip;
mod own_order;
mod precedence;
mod prices;
mod published;
mod scored_plans;
mod sop;
mod trackers;
mod variants;
mod walks;
