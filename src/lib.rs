//! segue turns a loose list of movements into a class that flows.
//!
//! This is the library behind the program, for programs that embed it: a page, a bot, a studio's own planner. A [`Studio`] holds the movements
//! and machines to choose from, a [`Session`] is one class of it. Whatever a session is asked comes back as data with an [`Ending`] that says
//! how the work ended; [`sheet()`](fn@sheet) puts it into words, and [`render_answer`] writes them in the form of a file. Nothing here reads a file, prints or
//! exits, and every question ends by its [`Limits`].
//!
//! A list in, its order, one change judged at once, the run sheet out:
//!
//! ```
//! use std::time::Duration;
//!
//! use segue::{ClassFormat, Density, FileFormat, Limits, Session, Studio, Text};
//!
//! let list = "Swan x 4\nHundred\nScooter\nElephant\nMermaid\n";
//! let text = Text::new("monday.txt", list, ClassFormat::List);
//! let session = Session::open(&Studio::built_in(), text, None)
//!     .expect("every movement of the list is known");
//!
//! // The best order, or the best so far when ten seconds are over.
//! let answer = session.plan(&Limits::of_time(Duration::from_secs(10)), &mut |_news| {});
//! let best = answer.best.as_ref().expect("the list has an order");
//! for row in segue::sheet(&answer).rows {
//!     println!("{} {} on {}", row.clock, row.name, row.springs);
//! }
//!
//! // The last movement first: what the rules say of it, and what the best order saves against it.
//! let (mut order, mut setups) = (best.timeline.order.clone(), best.timeline.setups.clone());
//! order.rotate_right(1);
//! setups.rotate_right(1);
//! let edited = session.judge(&order, &setups);
//! let saved = session.compared(&edited.found, best);
//! println!("{} stops, {} s", saved.stops, saved.changeover as f64 / 100.0);
//! assert!(!edited.found.feasible() || edited.found.score >= best.score);
//!
//! let page = segue::render_answer(&answer, FileFormat::Markdown, Density::Full)?;
//! assert!(page.bytes.starts_with(b"# "));
//! # Ok::<(), String>(())
//! ```
//!
//! What this page names is the interface. The modules behind it are reachable, for the tests and benches of segue, but not promised: they may
//! change with any version, and so may a field whose type this page does not name. `cargo doc --features inner` shows them, `DEVELOPERS.md`
//! says how they stand upon one another.
//!
//! | feature | holds |
//! | --- | --- |
//! | `cli` (default) | the program, and all that it needs to talk to files and terminals |
//! | `pdf` (default) | run sheets as PDF |
//! | `peers`, `schemas`, `inner` | for those who work on segue: a second search to compare with, JSON Schemas of what is printed, and the inner modules in this documentation |
//!
//! What a class may say and what comes out of it stands in the [`guide`].

// A module that is always hidden is left out of the documentation with private items too, and nobody asks for its missing docs; so the feature
// `inner` brings them to light for `.ci/run` and for contributors.
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod diagnostic;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod harmless;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod sizes;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod source;

#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod exchange;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod mip;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod problem;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod score;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod search;

#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod brief;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod compile;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod model;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod read;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod rules;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod spotter;

#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod answer;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod explain;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod lesson;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod orders;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod page;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod report;
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod session;

pub mod guide;

#[cfg(feature = "cli")]
#[cfg_attr(not(feature = "inner"), doc(hidden))]
pub mod cli;

// What there is to choose from, and files of one's own.
pub use model::apparatus::Apparatus;
pub use model::catalogue::Catalogue;
pub use model::movement::Movement;
pub use read::brief::Known;
pub use read::built_in::{Group, Models, models};
pub use read::machine::apparatus as read_machine;
pub use session::studio::Studio;

// A class in, and what is wrong with it.
pub use answer::class::{Class, ClassFormat, Text};
pub use diagnostic::{Code, Diagnostic, Label, Read, Severity};
pub use session::Session;
pub use source::{Source, Span};

// How long a question may take, and news of it.
pub use search::budget::{DEFAULT_MEMORY, Limits};
pub use search::outcome::{Ended, Outcome, Plan, Progress};
pub use search::stop::Stop;

// Answers.
pub use answer::ending::Ending;
pub use answer::explained::Explained;
pub use answer::kept::{Kept, OwnOrder, Pairs};
pub use answer::machines::{Moved, Own};
pub use answer::planned::{Answer, AsGiven};
pub use answer::rest::{Remaining, RestOfClass};
pub use answer::tried::{Tried, Wanted};
pub use answer::varied::{Choice, Listed, Variants, Varied};
pub use explain::savings::{Link, Savings};
pub use lesson::rule_report::{Breach, RuleReport};
pub use orders::swaps::Swap;
pub use orders::vary::{Week, Wish};
pub use problem::timeline::Timeline;
pub use score::Evaluation;
pub use session::plan::{Judged, OWN_ORDER};

// In words.
pub use report::audit::{Audit, audit};
pub use report::compared::beside_its_own as moved_section;
pub use report::explained::sections as explained_sections;
pub use report::own_order::own_order as own_order_sheet;
pub use report::rest::rest as rest_sheet;
pub use report::section::{Line, Section, Tone};
pub use report::sheet::{OtherSprings, Sheet, SheetRow, SpringKey, Transition, sheet};
pub use report::tried::sections as tried_sections;
pub use report::varied::{of_class as variant_sheet, summary as variants_sheet};

// As files.
pub use page::format::{Density, FileFormat};
pub use report::timeline::{Timeline as Picture, timeline as picture};
pub use session::render::{Document, Rendered, render, render_answer};
