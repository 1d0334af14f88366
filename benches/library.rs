//! Our beam search beside the one of a search library (`rpid`) on the same states, transitions and bounds: what the search is worth, apart from the
//! model.
//!
//! `cargo bench --features peers --bench library [-- FOLDER]`: every problem file of the folder (default `tests/data/problems`), first with the
//! plain bound alone, then with the exact table of the problem without its clock, which both are given ready made, below the score of a first
//! plan. Seconds to the proof, the fastest of three runs; `-`: not in ten seconds; the ratio is the library's seconds to ours.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use segue::exchange::problem_file;
use segue::search::beam::Guide;
use segue::search::bound::backward;
use segue::search::bound::charges::Charges;
use segue::search::bound::forward::Frame;
use segue::search::bound::leftout::LeftOut;
use segue::search::bound::simple::Simple;
use segue::search::bound::table::Table;
use segue::search::budget::{DEFAULT_MEMORY, Limits, Meter};
use segue::search::incumbent::{Better, Incumbent};
use segue::search::library::{self, Parts};
use segue::search::state::Layout;
use segue::search::successor::{Scope, View};
use segue::search::tables::Tables;
use segue::search::track::clock_set::ClockSet;
use segue::search::track::order::OrderTracker;

/// Words of a state; problems that need more are left out, and said so.
const N: usize = 4;
const SECONDS: u64 = 10;
const RUNS: usize = 3;
/// States that a beam of ours may hold, and bytes of a table.
const MOST: usize = 4_000_000;
const MEMORY: usize = 1 << 30;
/// Widths of our beams: these, and from the last on four times as wide each time.
const WIDTHS: [usize; 3] = [10, 100, 1000];

fn main() {
    let folder = std::env::args().skip(1).find(|a| !a.starts_with("--"));
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/problems");
    let folder = folder.map_or(own, PathBuf::from);
    let files = std::fs::read_dir(&folder).expect("the folder can be listed");
    let mut files: Vec<PathBuf> = (files.map(|entry| entry.expect("listed").path()))
        .filter(|path| path.extension().is_some_and(|x| x == "json"))
        .collect();
    files.sort();
    println!("| problem | plain bound: ours | library | ratio | table: ours | library | ratio |");
    println!("| --- | --- | --- | --- | --- | --- | --- |");
    let mut ratios = [Vec::new(), Vec::new()];
    for file in files {
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        let text = std::fs::read_to_string(&file).expect("the file is text");
        let problem = problem_file::read(&text).expect("the problem is well formed");
        let tables = Tables::<N>::new(&problem);
        let trackers = OrderTracker::all(&tables);
        let layout = Layout::of(&tables, &trackers);
        if layout.words > N {
            println!("| {name} | a state takes more than {N} words |");
            continue;
        }
        let clock = ClockSet::new(&problem);
        let scope = Scope {
            facets: tables.all,
            order: true,
        };
        let whole = View::new(&tables, &layout, &trackers, scope, false);
        let duel = Duel {
            view: &whole,
            clock: &clock,
            simple: &Simple::new(&tables),
            table: None,
            leftout: &LeftOut::new(&tables),
        };
        let first = ours(&duel, i64::MAX / 4, &WIDTHS[..2], &limits());
        let below = first.0.map_or(i64::MAX / 4, |score| score + 1);
        let table = climb(&duel, &trackers, below);
        let with_table = Duel {
            table: table.as_ref(),
            ..duel
        };
        let mut line = format!("| {name} |");
        for (parts, ratios) in [Some(duel), table.is_some().then_some(with_table)]
            .into_iter()
            .zip(&mut ratios)
        {
            let Some(parts) = parts else {
                line += " the table does not fit | | |";
                continue;
            };
            let (mine, theirs) = measured(&parts, below, &name);
            let told = |s: Option<f64>| s.map_or("-".to_owned(), |s| format!("{s:.4}"));
            let ratio = mine.zip(theirs).map(|(m, t)| t / m);
            ratios.extend(ratio);
            let ratio = ratio.map_or(String::new(), |r| format!("{r:.1}"));
            line += &format!(" {} | {} | {ratio} |", told(mine), told(theirs));
        }
        println!("{line}");
    }
    for (ratios, what) in ratios.iter().zip(["plain bound", "table"]) {
        let mean = ratios.iter().map(|r| r.ln()).sum::<f64>() / ratios.len().max(1) as f64;
        println!(
            "{what}: the library takes {:.1} times as long (geometric mean of {} problems that both prove)",
            mean.exp(),
            ratios.len()
        );
    }
}

/// What both search with.
type Duel<'a> = Parts<'a, N>;

fn limits() -> Limits {
    Limits::of_time(Duration::from_secs(SECONDS))
}

/// Seconds of ours and of the library's to the proof. They must agree.
fn measured(parts: &Duel<'_>, below: i64, name: &str) -> (Option<f64>, Option<f64>) {
    let (mut mine, mut theirs) = (None::<f64>, None::<f64>);
    let (mut found, mut wanted) = (None, None);
    let faster = |old: Option<f64>, new: f64| Some(old.map_or(new, |old| old.min(new)));
    for run in 0..RUNS {
        if run == 0 || mine.is_some() {
            let begun = Instant::now();
            let (score, proven) = ours(parts, below, &WIDTHS, &limits());
            if proven {
                mine = faster(mine, begun.elapsed().as_secs_f64());
                found = Some(score);
            }
        }
        if run == 0 || theirs.is_some() {
            let begun = Instant::now();
            let answer = library::solve(*parts, &limits(), below);
            if answer.proven {
                theirs = faster(theirs, begun.elapsed().as_secs_f64());
                wanted = Some(answer.plan.map(|plan| plan.score));
            }
        }
    }
    if let (Some(found), Some(wanted)) = (found, wanted) {
        assert_eq!(found, wanted, "{name}: two proofs that differ");
    }
    (mine, theirs)
}

/// Our beams of these widths, and then wider ones if they end in one that may prove. The score of the best plan below `below`, and
/// whether it is proven.
fn ours(parts: &Duel<'_>, below: i64, widths: &[usize], limits: &Limits) -> (Option<i64>, bool) {
    let guide = Guide {
        view: parts.view,
        clock: parts.clock,
        table: parts.table,
        simple: parts.simple,
        leftout: parts.leftout,
        memory: usize::try_from(DEFAULT_MEMORY).expect("memory fits"),
        limit: below,
    };
    let mut incumbent = Incumbent {
        ceiling: below,
        ..Incumbent::default()
    };
    let mut meter = Meter::new(limits);
    let wider = (1..).map(|k| WIDTHS[2].saturating_mul(4usize.saturating_pow(k)));
    let wider = wider.take_while(|&w| w < MOST);
    let more = usize::from(widths.len() == WIDTHS.len()) * usize::MAX;
    let mut proven = false;
    for width in widths.iter().copied().chain(wider.take(more)) {
        let swept = guide.sweep(width, Better::Score, &mut incumbent, &mut meter);
        proven = swept.complete;
        if proven || swept.stopped {
            break;
        }
    }
    (incumbent.plan.map(|plan| plan.score), proven)
}

/// The table of all facets, by tables of one facet more each time; `None`: it does not fit.
fn climb(parts: &Duel<'_>, trackers: &[OrderTracker<N>], below: i64) -> Option<Table<N>> {
    let tables = parts.view.tables;
    let charges = Charges::new(tables, parts.clock.trackers());
    let no_limits = Limits::default();
    let mut meter = Meter::new(&no_limits);
    let mut previous: Option<Table<N>> = None;
    for facets in tables.n_facets.min(1)..=tables.n_facets {
        let scope = Scope {
            facets: tables.all & ((1u32 << facets) - 1),
            order: true,
        };
        let view = View::new(tables, parts.view.layout, trackers, scope, true);
        let frame = Frame {
            below,
            previous: previous.as_ref(),
            simple: parts.simple,
            leftout: parts.leftout,
            charges: &charges,
            memory: MEMORY,
        };
        previous = Some(backward::table(&view, &frame, &mut meter).ok()?);
    }
    previous
}
