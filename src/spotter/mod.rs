//! An independent reader of change-overs: the acts of a list one by one against what is on the machine, where the person is and what hands
//! and feet hold.
//!
//! It knows the plain facts of positions and parts and nothing of how a list came about. From where a machine's file lets a part be
//! changed it does not read: whoever shows a sheet decides what a refusal means there ([`Rule::of_place`]).

mod rule;
mod scene;

pub use rule::Rule;
pub use scene::{Goal, Refusal, Scene, read};
