//! What a face (a command line, a page) can ask for, and nothing else: one thing that all of them speak to.
//!
//! A [`studio::Studio`] holds what there is to choose from, read once and shared. A [`Session`] is one class of it, read from a text or made
//! by an edit. Whatever it is asked takes one budget ([`crate::search::budget::Limits`]): a deadline that is a moment, and a token that asks to
//! stop; every part of the work ends by them, and the answer ([`crate::answer`]) says how it ended. No file, no terminal, no clock beside that.

pub mod edit;
pub mod explain;
pub mod keep;
pub mod late;
pub mod open;
pub mod plan;
pub mod render;
pub mod studio;
pub mod try_out;
pub mod vary;

use std::sync::Arc;

use crate::answer::class::{Class, Text};
use studio::Studio;

/// One class of a studio. Cheap to clone, and shared between threads as it is.
#[derive(Debug, Clone)]
pub struct Session {
    /// What it was read against.
    pub studio: Studio,
    /// What it was read from.
    pub text: Arc<Text>,
    /// The class.
    pub class: Class,
}
