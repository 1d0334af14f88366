//! What a walk remembers: for each step a few steps, of which it knows whether they are behind it.
//!
//! At step i a walk knows of the steps in `kept[i]` those that it has come to since it last passed a step that does not keep them (the ng-route
//! relaxation: R. Baldacci, A. Mingozzi, R. Roberti, *New route relaxation and pricing strategies for the vehicle routing problem*, Operations Research
//! 59:1269-1283, 2011). What has to come before a step that is behind, is behind as well. A block in one piece is remembered inside it.
//!
//! **Claim.** Every order is a walk that keeps to all that it remembers.
//!
//! **Why.** What is remembered as behind is behind. So an order never goes to a step that is remembered, nor to one that has to come before a
//! remembered one; its place is never below the number of steps known to be behind; and it does not leave a block before the last of its steps. Of
//! a block it knows all the steps while it is inside, since each step keeps the steps of every block that it is in, of those within one another too.
//!
//! **Tested by** `walks` (blocks within and across one another), `counterexamples` (`a_walk_through_a_block_within_a_block_knows_of_the_outer_one`).

use crate::search::done_set::Bits;
use crate::search::tables::Tables;

/// No memory.
pub const NONE: u16 = u16::MAX;
/// The most steps that a step keeps.
pub const MOST_KEPT: usize = 12;
/// Blocks of more steps than this are not remembered.
const MOST_BLOCK: usize = 6;

/// What walks over some steps remember.
#[derive(Debug, Clone)]
pub struct Memory<const N: usize> {
    /// The steps.
    pub steps: Vec<usize>,
    /// The places, from 0, at which each step may stand: first and last.
    pub places: Vec<(usize, usize)>,
    /// For each step its memories: all steps that each knows to be behind, the step itself included.
    pub known: Vec<Vec<Bits<N>>>,
    before: Vec<Bits<N>>,
    after: Vec<Bits<N>>,
    /// For each step the blocks that it is in.
    blocks: Vec<Vec<Bits<N>>>,
    kept: Vec<Vec<usize>>,
    /// `number[i][b]`: the memory in which the kept steps of the bits b are behind.
    number: Vec<Vec<u16>>,
    /// `leads[i][m * n + j]`: the memory after going on from i with memory m to j; [`NONE`] if that may not be.
    leads: Vec<Vec<u16>>,
    n: usize,
}

impl<const N: usize> Memory<N> {
    /// Remembers blocks and nothing else.
    pub fn new(t: &Tables<'_, N>, steps: Vec<usize>) -> Self {
        let all = Bits::of(&steps);
        let mut before: Vec<Bits<N>> = (0..t.n).map(|s| t.need[s].and(&all)).collect();
        // Closed: what follows over twins is not in the tables.
        for &middle in &steps {
            for s in 0..t.n {
                if before[s].has(middle) {
                    before[s] = before[s].or(&before[middle]);
                }
            }
        }
        let before = before;
        let comes_after = |s: usize| {
            let later = steps.iter().copied().filter(|&b| before[b].has(s));
            Bits::of(&later.collect::<Vec<_>>())
        };
        let after: Vec<Bits<N>> = (0..t.n).map(comes_after).collect();
        let mut sure: Vec<Bits<N>> = t.blocks.iter().map(|(_, sure)| sure.and(&all)).collect();
        sure.sort_by_key(Bits::len);
        let mut blocks: Vec<Vec<Bits<N>>> = vec![Vec::new(); t.n];
        let mut mates = vec![Bits::default(); t.n];
        for block in sure {
            // All of a block is remembered at each of its steps, or it is left out.
            let few = |s: usize| mates[s].or(&block).len() <= MOST_BLOCK;
            if block.len() > 1 && block.iter().all(few) {
                for s in block.iter() {
                    mates[s] = mates[s].or(&block);
                    blocks[s].push(block);
                }
            }
        }
        let unsure = |s: usize| {
            let mates = mates[s].minus(&before[s]).minus(&after[s]);
            mates.minus(&Bits::of(&[s]))
        };
        let last = steps.len().saturating_sub(1);
        let mut memory = Self {
            places: (0..t.n)
                .map(|s| (before[s].len(), last.saturating_sub(after[s].len())))
                .collect(),
            kept: (0..t.n).map(|s| unsure(s).iter().collect()).collect(),
            known: Vec::new(),
            number: Vec::new(),
            leads: Vec::new(),
            n: t.n,
            steps,
            before,
            after,
            blocks,
        };
        memory.refresh();
        memory
    }

    /// Whether a step may stand at a place.
    #[inline]
    pub fn stands(&self, step: usize, place: usize) -> bool {
        let (first, last) = self.places[step];
        first <= place && place <= last
    }

    /// Whether a step may stand at a place with its m-th memory.
    #[inline]
    pub fn fits(&self, step: usize, m: usize, place: usize) -> bool {
        self.stands(step, place) && self.known[step][m].len() <= place + 1
    }

    /// The memory after going on from a step with its m-th memory to another; [`NONE`] if that may not be.
    #[inline]
    pub fn lead(&self, from: usize, m: usize, to: usize) -> u16 {
        self.leads[from][m * self.n + to]
    }

    /// The memory of a step that is the first; [`NONE`] if it cannot be.
    pub fn begin(&self, step: usize) -> u16 {
        if self.before[step].is_empty() {
            self.number_of(step, &Bits::default())
        } else {
            NONE
        }
    }

    /// Whether a must come before b.
    pub fn is_before(&self, a: usize, b: usize) -> bool {
        self.before[b].has(a)
    }

    /// Lets a step keep another, if it keeps fewer than `most` and does not know anyway where that stands; whether it keeps it now.
    /// [`Memory::refresh`] must follow.
    pub fn keep(&mut self, step: usize, other: usize, most: usize) -> bool {
        if self.keeps(step, other) {
            return true;
        }
        let room = self.n_kept(step) < most.min(MOST_KEPT);
        if room {
            self.kept[step].push(other);
        }
        room
    }

    /// Whether a step knows of another whether that is behind.
    pub fn keeps(&self, step: usize, other: usize) -> bool {
        step == other
            || self.before[step].has(other)
            || self.after[step].has(other)
            || self.kept[step].contains(&other)
    }

    /// How many steps a step keeps.
    pub fn n_kept(&self, step: usize) -> usize {
        self.kept[step].len()
    }

    fn number_of(&self, step: usize, done: &Bits<N>) -> u16 {
        let kept = self.kept[step].iter().enumerate();
        let bits = kept.map(|(k, &s)| usize::from(done.has(s)) << k);
        self.number[step][bits.sum::<usize>()]
    }

    /// Works out again what there is to know.
    pub fn refresh(&mut self) {
        self.known = vec![Vec::new(); self.n];
        self.number = vec![Vec::new(); self.n];
        for &i in &self.steps {
            let kept = &self.kept[i];
            for bits in 0..1usize << kept.len() {
                let mut set = self.before[i].or(&Bits::of(&[i]));
                for (k, &s) in kept.iter().enumerate() {
                    if bits >> k & 1 == 1 {
                        set = set.or(&self.before[s]).or(&Bits::of(&[s]));
                    }
                }
                let closed =
                    (kept.iter().enumerate()).all(|(k, &s)| set.has(s) == (bits >> k & 1 == 1));
                let fits = closed && !set.meets(&self.after[i]);
                self.number[i].push(if fits {
                    self.known[i].push(set);
                    u16::try_from(self.known[i].len() - 1).expect("a step keeps few others")
                } else {
                    NONE
                });
            }
        }
        self.leads = vec![Vec::new(); self.n];
        for &i in &self.steps {
            let mut leads = vec![NONE; self.known[i].len() * self.n];
            for (known, leads) in self.known[i].iter().zip(leads.chunks_exact_mut(self.n)) {
                let open: Vec<Bits<N>> = (self.blocks[i].iter())
                    .map(|block| block.minus(known))
                    .filter(|open| !open.is_empty())
                    .collect();
                for &j in &self.steps {
                    let may = !known.has(j)
                        && !self.after[j].meets(known)
                        && open.iter().all(|open| open.has(j));
                    if may {
                        leads[j] = self.number_of(j, known);
                    }
                }
            }
            self.leads[i] = leads;
        }
    }
}
