//! What runs when: first plans, then bounds from below and plans from above, until they meet.
//!
//! 1. A plan at once: narrow beams with the plain bound; where there are many steps, [annealing](super::local) first.
//! 2. Exact tables of the problem without its clock, each of a larger scope than the one before (*climbing*): one facet more each time, with the
//!    demands on the order, or without them until all facets are in where the table would not fit. First below the incumbent. Where
//!    they grow large, [parts](super::parts) of the incumbent are searched again meanwhile: below a better plan they are smaller. Where they
//!    may come to be too large, [walks](super::walks) raise the bound meanwhile.
//! 3. *Guesses from below*: suppose that a plan below some figure exists. Tables and beams that look only below it are small if the figure is
//!    tight. Either they find such a plan, and a beam that cuts nothing proves the best; or there is none, and the figure is a lower bound. Then a
//!    larger figure is tried, at last the incumbent's score itself.
//! 4. Where the tables do not fit, annealing and parts, bounds that need none ([`super::from_below`]), then wide beams and parts in turn.
//!
//! With more threads than one, the others search parts of the incumbent all the time.
//!
//! Nothing that is cut short raises the bound: only a table that was finished, and a beam that cut nothing or says what it cut.

use std::sync::Arc;
use std::thread;

use super::aim::{Aim, Of};
use super::beam::{Guide, Swept};
use super::bound::all::Bounds;
use super::bound::backward;
use super::bound::forward::{Forward, Frame};
use super::bound::table::{Abandoned, Table};
use super::budget::{Limits, Meter};
use super::from_below::FromBelow;
use super::incumbent::{Better, Incumbent, strays};
use super::local::Annealing;
use super::outcome::{Ended, Outcome, Plan, Progress};
use super::parts::{PART_MEMORY, PART_NODES, Shared, Walker};
use super::rungs::{Climb, End, hierarchy, rungs_after};
use super::state::Layout;
use super::successor::{Scope, View};
use super::tables::Tables;
use super::track::clock_set::ClockSet;
use super::track::order::OrderTracker;
use crate::problem::Problem;

/// Widths of the beams before the first table: small ones, for a plan at once.
const FIRST_WIDTHS: [usize; 2] = [10, 100];
/// Width of the beam after each table.
const GUIDED_WIDTH: usize = 100;
/// The first width of the beams that are to prove; each is four times as wide as the one before.
const PROVING_WIDTH: usize = 1000;
/// Width of the last pass, which looks for an equal score nearer to the order as written.
const POLISH_WIDTH: usize = 500;
/// A table may take this part of the memory.
const TABLE_SHARE: usize = 2;
/// A beam.
const BEAM_SHARE: usize = 3;
/// After a table of more states than this, parts of the incumbent are searched for this part of all nodes so far.
const LARGE_TABLE: usize = 100_000;
const LARGE_SHARE: u64 = 12;
/// When a table takes this part of it, and again whenever it has doubled, parts of the incumbent are searched first: for the same part of
/// all nodes so far as the table takes of the memory.
const PAUSE_SHARE: usize = 16;
/// The first guess is above the bound by this part of it; each step is half as large again as the one before.
const FIRST_GUESS: i64 = 25;
/// With so many steps, tables may be long in coming: annealing comes first, with so many nodes, and with more where the beams find no plan either.
const MANY_STEPS: usize = 28;
const HURRY_NODES: u64 = 200_000;
const PATIENT_NODES: u64 = 1_500_000;
/// Beyond so many steps tables are of little hope without a plan: patience grows with the square of the steps.
const PATIENT_STEPS: u64 = 60;
/// With a plan, so many runs in vain are enough.
const HURRY_RUNS: usize = 3;
/// Of the nodes for parts, this share goes to annealing first.
const LOCAL_SHARE: u64 = 2;
/// So many turns of the incumbent in vain, and the table is gone on with; or, where the tables do not fit, something else is tried.
const FEW_TURNS: usize = 3;
const MANY_TURNS: usize = 16;
/// Where the tables do not fit, parts are searched for this part of all nodes so far.
const FULL_SHARE: u64 = 4;
/// After a turn that raises the bound without them, for this part of its nodes.
const BELOW_SHARE: u64 = 4;
/// When a table takes this part of the memory, walks raise the bound meanwhile.
const WALKS_FROM: usize = 8;

/// Searches for a plan of `problem`, whose states take at most `N` words.
pub fn search<const N: usize>(
    problem: &Problem,
    limits: &Limits,
    aim: &Aim,
    progress: &mut dyn FnMut(&Progress),
) -> Outcome {
    let tables = Tables::<N>::new(problem);
    let trackers = OrderTracker::all(&tables);
    let layout = Layout::of(&tables, &trackers);
    let clock = ClockSet::new(problem);
    let bounds = Bounds::new(&tables, &clock);
    let mut campaign = Campaign::new(
        &tables, &layout, &trackers, &clock, &bounds, limits, progress,
    );
    campaign.incumbent.ceiling = aim.ceiling;
    campaign.bound = aim.floor;
    if let Some(known) = aim.known.clone().filter(|k| k.score < aim.ceiling) {
        campaign.accept(known);
    }
    campaign.of = aim.of;
    let workers = limits.workers();
    if aim.of != Of::Whole || workers < 2 {
        return campaign.run();
    }
    // The other threads look for better plans, which make the tables of this one smaller.
    let shared = Shared::default();
    campaign.shared = Some(&shared);
    let share = campaign.meter.memory() / PART_MEMORY / u64::from(workers);
    thread::scope(|scope| {
        for helper in 1..workers {
            let limits = Limits {
                nodes: Some(PART_NODES),
                memory: Some(share),
                stop: shared.over.clone(),
                seed: limits.seed.wrapping_add(u64::from(helper)),
                ..Limits::default()
            };
            let shared = &shared;
            scope.spawn(move || shared.help(problem, &limits, quiet::<N>));
        }
        let _over = shared.over_when_dropped();
        campaign.run()
    })
}

/// Words that a state of a problem takes.
pub fn words<const N: usize>(problem: &Problem) -> usize {
    let tables = Tables::<N>::new(problem);
    let trackers = OrderTracker::all(&tables);
    Layout::of(&tables, &trackers).words
}

/// The same without a word.
fn quiet<const N: usize>(problem: &Problem, limits: &Limits, aim: &Aim) -> Outcome {
    search::<N>(problem, limits, aim, &mut |_| {})
}

/// A search under way.
pub struct Campaign<'a, 'p, const N: usize> {
    tables: &'a Tables<'a, N>,
    layout: &'a Layout,
    trackers: &'a [OrderTracker<N>],
    clock: &'a ClockSet<N>,
    whole: View<'a, N>,
    bounds: &'a Bounds<'a, N>,
    /// Facets in the order in which tables take them up.
    order: Vec<usize>,
    memory: usize,
    meter: Meter<'a>,
    incumbent: Incumbent,
    of: Of,
    walker: Option<Walker>,
    annealing: Option<Annealing<'a, N>>,
    from_below: Option<FromBelow<'a, N>>,
    shared: Option<&'a Shared>,
    bound: i64,
    proven: bool,
    /// Two of the search's own results that cannot both be so.
    contradiction: Option<String>,
    trace: Vec<(f64, i64)>,
    progress: &'p mut dyn FnMut(&Progress),
}

impl<'a, 'p, const N: usize> Campaign<'a, 'p, N> {
    /// Makes ready.
    pub fn new(
        tables: &'a Tables<'a, N>,
        layout: &'a Layout,
        trackers: &'a [OrderTracker<N>],
        clock: &'a ClockSet<N>,
        bounds: &'a Bounds<'a, N>,
        limits: &'a Limits,
        progress: &'p mut dyn FnMut(&Progress),
    ) -> Self {
        let meter = Meter::new(limits);
        let everything = Scope {
            facets: tables.all,
            order: true,
        };
        Self {
            tables,
            layout,
            trackers,
            clock,
            whole: View::new(tables, layout, trackers, everything, false),
            bounds,
            order: hierarchy(tables),
            memory: usize::try_from(meter.memory()).unwrap_or(usize::MAX),
            meter,
            incumbent: Incumbent::default(),
            of: Of::Whole,
            walker: None,
            annealing: None,
            from_below: None,
            shared: None,
            bound: 0,
            proven: false,
            contradiction: None,
            trace: Vec::new(),
            progress,
        }
    }

    /// Searches until the proof or a limit.
    pub fn run(mut self) -> Outcome {
        if self.of != Of::Part && self.incumbent.plan.is_none() {
            self.first_plans();
        }
        if self.tables.n >= MANY_STEPS && self.goes_on() {
            self.raise_from_below(true);
        }
        // Tables below the incumbent. Being made below the incumbent, the last of them serves every guess.
        let base = self.climb(i64::MAX / 4, &Climb::default(), self.memory / TABLE_SHARE);
        if base.end == Some(End::Full) {
            self.raise_from_below(true);
            self.search_parts(self.meter.nodes(), MANY_TURNS);
            self.raise_from_below(false);
        }
        let mut last = None;
        let mut step = self.bound / FIRST_GUESS + 1;
        while self.goes_on() {
            let below = self.guess(step);
            let (climb, complete) = self.attempt(below, &base);
            last = climb.table;
            step = step.saturating_mul(3) / 2 + 1;
            if !complete {
                break;
            }
        }
        // Where no limit ends the search, it goes on for as long again as it has taken.
        let more = if self.meter.ends() {
            u64::MAX
        } else {
            self.meter.nodes()
        };
        self.search_parts(more, usize::MAX);
        let there = self.proven && self.incumbent.plan.is_some();
        if there && self.of == Of::Whole && self.meter.stopped().is_none() {
            let table = last.as_ref().or(base.table.as_ref());
            self.sweep(table, POLISH_WIDTH, i64::MAX / 4, Better::ScoreThenOrder);
        }
        self.outcome()
    }

    fn goes_on(&self) -> bool {
        !self.proven && self.contradiction.is_none() && self.meter.stopped().is_none()
    }

    fn first_plans(&mut self) {
        let many = self.tables.n >= MANY_STEPS && self.of == Of::Whole;
        if many {
            self.anneal(HURRY_NODES, HURRY_RUNS);
            if self.incumbent.plan.is_some() {
                return;
            }
        }
        for width in FIRST_WIDTHS {
            let swept = self.sweep(None, width, i64::MAX / 4, Better::Score);
            self.proven = swept.complete;
            self.say("a first plan");
            if !self.goes_on() {
                return;
            }
        }
        if many && self.incumbent.plan.is_none() {
            let longer = (self.tables.n as u64).pow(2) / PATIENT_STEPS.pow(2);
            self.anneal(PATIENT_NODES * longer.max(1), HURRY_RUNS);
        }
    }

    /// [Anneals](super::local) until so many nodes are spent or, where there is a plan, so many runs came to no better one.
    fn anneal(&mut self, nodes: u64, runs: usize) {
        let spent = self.meter.nodes().saturating_add(nodes);
        let mut annealing = (self.annealing.take())
            .unwrap_or_else(|| Annealing::new(self.tables, self.meter.seed()));
        let mut vain = 0;
        while self.goes_on() && vain < runs {
            let best = self.incumbent.plan.as_ref();
            vain += usize::from(best.is_some());
            let before = self.meter.nodes();
            let left = spent.saturating_sub(before);
            let found = annealing.run(best, self.incumbent.below(), left, &mut self.meter);
            if let Some(plan) = found {
                vain = 0;
                self.accept(plan);
            }
            self.meet();
            // What is left is too little to try anything.
            if self.meter.nodes() == before {
                break;
            }
        }
        self.annealing = Some(annealing);
    }

    /// Makes tables below a figure (and the incumbent), each of a larger scope than the one before, from `from` on as far as the memory
    /// allows; a short beam after each.
    fn climb(&mut self, below: i64, from: &Climb<N>, memory: usize) -> Climb<N> {
        let mut climb = Climb {
            rung: from.rung,
            ..Climb::default()
        };
        let all = self.order.len();
        let mut coarse = false;
        while self.goes_on() {
            let mut rungs = rungs_after(climb.rung, all);
            // Where the demands on the order have not fit in once, they wait for all facets.
            rungs.retain(|rung| !coarse || !rung.order || rung.facets == all);
            if rungs.is_empty() {
                return climb;
            }
            climb.end = Some(End::Full);
            for rung in rungs {
                let limit = below.min(self.incumbent.below());
                let previous = climb.table.as_ref().or(from.table.as_ref());
                // The tables that stay take their part of it.
                let there = [&climb.table, &from.table].into_iter().flatten();
                let memory = memory.saturating_sub(there.map(Table::bytes).sum());
                match self.table(rung.scope(&self.order), limit, previous, memory) {
                    Ok(next) => {
                        self.raise(next.root.map_or(next.below, |r| r.cost));
                        let nothing = next.root.is_none();
                        climb = Climb {
                            table: Some(next),
                            rung: Some(rung),
                            end: nothing.then_some(End::Nothing),
                        };
                        if !nothing && self.of != Of::Part {
                            self.guided(climb.table.as_ref(), below);
                            // The next table is smaller below a better plan.
                            if climb.table.as_ref().is_some_and(|t| t.len() > LARGE_TABLE) {
                                self.search_parts(self.meter.nodes() / LARGE_SHARE, FEW_TURNS);
                            }
                        }
                        break;
                    }
                    Err(Abandoned::Stopped) => {
                        climb.end = Some(End::Stopped);
                        return climb;
                    }
                    Err(Abandoned::TooLarge) => coarse |= rung.order,
                }
            }
            self.say("how good it can get");
            if climb.end.is_some() {
                return climb;
            }
        }
        climb
    }

    /// The next figure to look below: the bound and a step, or the incumbent's score (everything, if there is none yet and the steps have
    /// outgrown the bound) where that is not far.
    fn guess(&self, step: i64) -> i64 {
        let guess = self.bound.saturating_add(step);
        let most = self.incumbent.below();
        match &self.incumbent.plan {
            // A part is small, and what it has to beat is good.
            _ if self.of == Of::Part => most,
            Some(_) if guess + step / 2 >= most => most,
            None if step > self.bound / 4 => most,
            _ => guess,
        }
    }

    /// Looks for plans below a figure. Whether that was decided, or the search had to stop; if not, memory leaves nothing more to try.
    fn attempt(&mut self, below: i64, base: &Climb<N>) -> (Climb<N>, bool) {
        let climb = self.climb(below, base, self.memory / TABLE_SHARE);
        if matches!(climb.end, Some(End::Nothing | End::Stopped)) {
            return (climb, true);
        }
        // A figure that a table cannot be made for is not looked below by beams either: they go for better plans, with tables that tell of
        // all that is better than the incumbent.
        let full = climb.end == Some(End::Full);
        let before = self.incumbent.below();
        if full {
            self.search_parts(self.meter.nodes() / FULL_SHARE, MANY_TURNS);
            if self.incumbent.below() < before {
                return (climb, true);
            }
        }
        let limit = if full { i64::MAX / 4 } else { below };
        let told = |table: &&Table<N>| !full || table.below >= self.incumbent.below();
        let guide = climb.table.as_ref().filter(told);
        let guide = guide.or(base.table.as_ref().filter(told));
        let mut width = PROVING_WIDTH;
        while self.goes_on() {
            let swept = self.sweep(guide, width, limit, Better::Score);
            let complete = swept.complete;
            if complete {
                self.raise(limit.min(self.incumbent.below()));
            }
            self.say("better plans");
            if complete {
                break;
            }
            if swept.narrow {
                return (climb, false);
            }
            width *= 4;
        }
        (climb, true)
    }

    /// Searches parts of the incumbent again, until so many nodes are spent, or so many turns of it were in vain.
    fn search_parts(&mut self, nodes: u64, turns: usize) {
        if self.of == Of::Part {
            return;
        }
        let spent = self.meter.nodes().saturating_add(nodes);
        // A pause of a table is short: it is for parts, unless there is no plan.
        let long = turns != FEW_TURNS;
        if self.incumbent.plan.is_none() {
            self.anneal(nodes, HURRY_RUNS);
        } else if long && self.of == Of::Whole {
            self.anneal(nodes / LOCAL_SHARE, HURRY_RUNS);
        }
        let mut walker = self.walker.take();
        if let Some(walker) = &mut walker {
            walker.vain = 0;
        }
        while self.goes_on() && self.meter.nodes() < spent {
            let Some(best) = &self.incumbent.plan else {
                break;
            };
            let seed = self.meter.seed();
            let walker =
                walker.get_or_insert_with(|| Walker::new(self.tables.problem, seed, quiet::<N>));
            if walker.vain > turns {
                break;
            }
            let most = PART_NODES.min(spent.saturating_sub(self.meter.nodes()));
            let limits = (self.meter).part(most, self.meter.memory() / PART_MEMORY);
            let found = walker.next(self.tables.problem, best, &limits);
            self.meter.count(found.nodes);
            if let Some(plan) = found.plan {
                self.accept(plan);
            }
            self.meet();
        }
        self.walker = walker;
    }

    /// Raises the bound without tables, with all there is or ([`FromBelow::aside`]) by walks alone, and searches parts of the incumbent in between.
    fn raise_from_below(&mut self, aside: bool) {
        if self.of != Of::Whole {
            return;
        }
        let mut from_below = (self.from_below.take()).unwrap_or_else(|| {
            let best = self.incumbent.plan.as_ref();
            FromBelow::new(self.tables, quiet::<N>, best, &mut self.meter)
        });
        self.raise(from_below.bound());
        while self.goes_on() {
            let before = self.meter.nodes();
            let (best, below) = (self.incumbent.plan.as_ref(), self.incumbent.below());
            let turn = if aside {
                from_below.aside(best, &mut self.meter)
            } else {
                from_below.turn(best, below, &mut self.meter)
            };
            if self.incumbent.plan.is_some() && turn.bound > self.incumbent.below() {
                self.contradicted(turn.bound);
                break;
            }
            self.raise(turn.bound);
            self.say("how good it can get");
            if let Some(plan) = turn.plan {
                self.accept(plan);
            }
            if turn.over {
                break;
            }
            if !aside {
                self.search_parts((self.meter.nodes() - before) / BELOW_SHARE, MANY_TURNS);
            }
        }
        self.from_below = Some(from_below);
    }

    /// A bound above a plan that is known is no bound, and nothing that rests on it is a proof.
    fn contradicted(&mut self, bound: i64) {
        let score = self.incumbent.below();
        self.contradiction = Some(format!(
            "a bound of {bound} above a plan that scores {score}"
        ));
        (self.bound, self.proven) = (0, false);
    }

    /// Takes a better plan over.
    fn accept(&mut self, plan: Plan) {
        self.incumbent.strays = strays(&plan.order, |s| self.tables.must.has(s));
        self.incumbent.plan = Some(plan);
        self.raise(0);
        self.say("better plans");
    }

    /// Tells the other threads of a better plan, and hears of theirs.
    fn meet(&mut self) {
        let plan = self.incumbent.plan.as_ref();
        if let Some(better) = self.shared.and_then(|shared| shared.exchange(plan)) {
            self.accept(better);
        }
    }

    fn table(
        &mut self,
        scope: Scope,
        below: i64,
        previous: Option<&Table<N>>,
        memory: usize,
    ) -> Result<Table<N>, Abandoned> {
        let view = View::new(self.tables, self.layout, self.trackers, scope, true);
        let bounds = self.bounds;
        let frame = Frame {
            below,
            previous,
            simple: &bounds.simple,
            leftout: &bounds.leftout,
            charges: &bounds.charges,
            memory,
        };
        let mut forward = Forward::new(&view, &frame);
        let mut share = PAUSE_SHARE;
        while !forward.run(&mut self.meter, self.memory / share)? {
            // Below a better plan the rest of it is smaller.
            self.search_parts(self.meter.nodes() / share as u64, FEW_TURNS);
            if share <= WALKS_FROM {
                self.raise_from_below(true);
            }
            self.meet();
            if self.proven {
                return Err(Abandoned::Stopped);
            }
            forward.lower(self.incumbent.below());
            share = (share / 2).max(1);
        }
        backward::sweep(&view, forward, &mut self.meter)
    }

    fn guided(&mut self, table: Option<&Table<N>>, limit: i64) {
        self.meet();
        if self.goes_on()
            && self
                .sweep(table, GUIDED_WIDTH, limit, Better::Score)
                .complete
        {
            self.raise(limit.min(self.incumbent.below()));
        }
    }

    /// A beam. Where it is complete, no plan is below both `limit` and the incumbent.
    fn sweep(
        &mut self,
        table: Option<&Table<N>>,
        width: usize,
        limit: i64,
        better: Better,
    ) -> Swept {
        let guide = Guide {
            view: &self.whole,
            clock: self.clock,
            table,
            simple: &self.bounds.simple,
            leftout: &self.bounds.leftout,
            memory: self.memory / BEAM_SHARE,
            limit,
        };
        let swept = guide.sweep(width, better, &mut self.incumbent, &mut self.meter);
        if let (Some(cut), Better::Score, false) = (swept.cut, better, swept.stopped) {
            self.raise(cut.min(limit).min(self.incumbent.below()));
        }
        swept
    }

    /// Nothing is below `bound`.
    fn raise(&mut self, bound: i64) {
        self.bound = self.bound.max(bound);
        self.proven |= self.bound >= self.incumbent.below();
    }

    fn say(&mut self, phase: &'static str) {
        let plan = self.incumbent.plan.as_ref();
        let better = plan.filter(|p| self.trace.last().is_none_or(|&(_, s)| s > p.score));
        if let Some(better) = better {
            self.trace.push((self.meter.seconds(), better.score));
        }
        (self.progress)(&Progress {
            better: better.cloned().map(Arc::new),
            score: plan.map(|p| p.score),
            bound: Some(self.bound),
            phase,
        });
    }

    fn outcome(self) -> Outcome {
        let proven = self.proven;
        let bound = match &self.incumbent.plan {
            Some(plan) if proven => Some(plan.score),
            Some(plan) => Some(self.bound.min(plan.score)),
            None => (!proven).then_some(self.bound),
        };
        Outcome {
            bound,
            plan: self.incumbent.plan,
            ended: if proven {
                Ended::Proof
            } else {
                self.meter.stopped().unwrap_or(Ended::Memory)
            },
            nodes: self.meter.nodes(),
            seconds: self.meter.seconds(),
            disagreement: self.contradiction,
            trace: self.trace,
        }
    }
}
