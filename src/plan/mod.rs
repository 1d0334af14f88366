//! The answer in the trade's words: steps, set-ups, clock, change-overs, how each rule fared.
