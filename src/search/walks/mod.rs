//! A bound for lists of any length and however loose: the cheapest walk, with a toll on every step.
//!
//! A *walk* goes from the start to the end over as many steps as there are, with set-ups, ways, stops and penalties as a plan has them, but without the
//! clock. Unlike an order it may come to a step twice and leave another out, unless it [remembers](memory). For each step that it comes to it pays that
//! step's toll, and the tolls of all steps, once each, are taken off again.
//!
//! **Claim.** Whatever the tolls and the memories, no plan of less than [`grid::MOST_COST`] costs less than the cheapest walk.
//!
//! **Why.** A plan, its demands and some facets left out, is a walk that costs no more: every part of the score is a sum of terms that are not
//! negative, ways and stops are monotone in the facets. It comes to each step once, so its tolls cancel (Lagrangian relaxation: N. Christofides, A. Mingozzi,
//! P. Toth, *State-space relaxation procedures for the computation of bounds to routing problems*, Networks 11:145-164, 1981). Steps that may be
//! left out are no nodes of walks: if they end in the posture in which they start, a plan without them costs no more ([`super::fewer`]); where one does not,
//! there is no such bound. Of two steps that are alike in all that they ask for and must follow each other, such as the sides of a movement, the
//! second is left out and the first pays its penalties too: of the two set-ups the one of lesser penalty would do for both, since here whatever changes between them
//! may as well change before both or after both.
//!
//! **Relaxes** that each step is done exactly once (tolls push towards it), demands other than precedences and blocks, the clock, that a change that is
//! early is final, and facets that make the grid of set-ups too large.
//!
//! **Tested by** `walks` (`no_walk_costs_more_than_the_best_plan`, `walks_that_remember_everything_are_orders`).

pub mod ascent;
pub mod grid;
pub mod memory;
pub mod price;
