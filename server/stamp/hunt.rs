//! The cheapest names of large catalogues for a text.
//!
//! Best first, by bounds that grow closer: of all groups of names the bound by their signs
//! ([`super::bound`]); of the cheapest groups a closer one ([`super::crowd`]), and of those
//! still among the cheapest each name's own ([`super::closer`]); of the cheapest names the alignment, many at once ([`super::lanes`]); and the exact cost of
//! those few that may be among the best. No name is dropped unless its bound is no less than
//! the cost of the last of the best. Names of all schemes wait together.
//!
//! The rest of the names is not looked at, but makes a stamp that is read so too: how probably
//! is reckoned from what those that were looked at cost.

use std::ops::Range;

use super::automaton::Automaton;
use super::bound::{Bound, MOST_UNITS, UNIT};
use super::closer::{Closer, NEVER, Thousandths, thousandths};
use super::column::{Before, Column};
use super::crowd::Crowd;
pub(super) use super::edges::Edge;
use super::lanes::{LANES, Lanes};
use super::lexicon::{GROUP, Lexicon};
use super::outline::Outline;
use super::query::Query;
use super::signs::{GROUPS, each};
use super::tally::Tally;

/// A name that is among the cheapest.
#[derive(Clone, Copy, Debug)]
pub(super) struct Caught {
    /// Place of the edge.
    pub edge: usize,
    /// Place of the name in its lexicon.
    pub name: usize,
    /// What the text costs with it and all that surrounds it.
    pub cost: f64,
}

/// What was found.
#[derive(Debug)]
pub(super) struct Catch {
    /// The cheapest names, the cheapest first.
    pub names: Vec<Caught>,
    /// Whether there are none cheaper.
    pub complete: bool,
    /// By edge, about how probable all names are that are not among these.
    pub others: Vec<f64>,
}

/// What a hunt may cost, in names looked at: as much as aligning 600,000 names. Few texts of a
/// catalogue of a million come near; a lower limit left the end of some answers open.
const MOST_WORK: usize = 3_000_000;

/// Aligning a name takes as long as looking at so many.
const ALIGNED: usize = 5;

/// Names dearer than the best by more nats are not sought.
const CUT: f64 = 18.0;

/// Names that cost so much more than what surrounds them are not sought: beyond, lanes cannot
/// tell a cost from none.
const FAR: Thousandths = 25_000;

/// Groups with bounds of fewer units are sorted first; few searches come to the others.
const NEAR_UNITS: usize = 18;

/// Buckets of [`UNIT`] nats that names and groups wait in.
pub(super) const BUCKETS: usize = MOST_UNITS;

const UNIT_THOUSANDTHS: Thousandths = (UNIT * 1000.0) as Thousandths;

/// How names are sought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Seeking {
    /// The most promising first, as far as is needed.
    ByBounds,
    /// All of them.
    ByScan,
}

/// The `wanted` cheapest names over all edges.
pub(super) fn hunt(
    automaton: &Automaton,
    query: &Query,
    edges: &[Edge],
    (wanted, way): (usize, Seeking),
) -> Catch {
    let grounds = edges.iter().enumerate().filter_map(|(place, edge)| {
        let lexicon = &automaton.lexicons[edge.lexicon];
        Ground::new(lexicon, query, edge, place)
    });
    let grounds: Vec<Ground> = grounds.collect();
    let base = grounds.iter().map(|ground| ground.base).min();
    let Some(base) = base else {
        return Catch {
            names: Vec::new(),
            complete: true,
            others: vec![0.0; edges.len()],
        };
    };
    // the legible hand changes separators alone, and no stamp has so many
    let far = if query.swapped.is_infinite() {
        NEAR_UNITS as Thousandths * UNIT_THOUSANDTHS
    } else {
        FAR
    };
    let hunt = Hunt {
        automaton,
        query,
        edges,
        wanted,
        base,
        limit: base + far,
        work: 0,
        best: Vec::new(),
        groups: vec![Vec::new(); BUCKETS],
        crowds: vec![Vec::new(); BUCKETS],
        names: vec![Vec::new(); BUCKETS],
        near: vec![Vec::new(); BUCKETS],
    };
    match way {
        Seeking::ByBounds => hunt.run(grounds),
        Seeking::ByScan => hunt.scan(grounds),
    }
}

/// One lexicon on one edge.
struct Ground<'a> {
    lexicon: &'a Lexicon,
    edge: usize,
    base: Thousandths,
    bound: Bound,
    crowd: Crowd,
    closer: Closer,
    lanes: Lanes,
    /// The names in the lanes, with the bounds by which they waited.
    filled: Vec<(u32, Thousandths)>,
    tally: Tally,
}

impl<'a> Ground<'a> {
    fn new(lexicon: &'a Lexicon, query: &Query, edge: &Edge, place: usize) -> Option<Self> {
        let outline = Outline::new(lexicon, query, &edge.around);
        let closer = Closer::new(lexicon, query, &outline);
        outline.base.is_finite().then(|| Self {
            base: thousandths(outline.base),
            bound: Bound::new(lexicon, query, &outline),
            crowd: Crowd::new(lexicon, &outline, &closer),
            closer,
            lanes: Lanes::new(lexicon, query, &edge.around),
            edge: place,
            filled: Vec::with_capacity(LANES),
            tally: Tally::new(),
            lexicon,
        })
    }
}

/// Something that waits: a group or a name of a ground.
#[derive(Clone, Copy)]
struct Waiting {
    ground: u32,
    place: u32,
}

struct Hunt<'a> {
    automaton: &'a Automaton,
    query: &'a Query,
    edges: &'a [Edge],
    wanted: usize,
    /// The least cost there can be.
    base: Thousandths,
    /// What costs as much or more is not sought.
    limit: Thousandths,
    work: usize,
    best: Vec<Caught>,
    /// Groups, groups with their closer bounds, names that were looked at, and names that were
    /// aligned, by their bounds.
    groups: Vec<Vec<Waiting>>,
    crowds: Vec<Vec<Waiting>>,
    names: Vec<Vec<(Waiting, Thousandths)>>,
    near: Vec<Vec<Waiting>>,
}

impl<'a> Hunt<'a> {
    fn run(mut self, mut grounds: Vec<Ground<'a>>) -> Catch {
        let far = self.limit;
        self.sort_groups(&mut grounds, 0..NEAR_UNITS);
        let mut complete = true;
        for bucket in 0..BUCKETS {
            if self.is_done(bucket) {
                break;
            }
            if self.work > MOST_WORK {
                complete = false;
                break;
            }
            if bucket == NEAR_UNITS {
                self.sort_groups(&mut grounds, NEAR_UNITS..MOST_UNITS);
            }
            self.empty(bucket, &mut grounds);
        }
        // with fewer than were wanted, some may lie beyond what bounds can tell apart
        let dearest = self
            .best
            .first()
            .map_or(f64::INFINITY, |best| best.cost + CUT);
        // the legible hand changes separators alone, and no stamp has so many
        let is_legible = self.query.swapped.is_infinite();
        complete &= is_legible || self.best.len() >= self.wanted || thousandths(dearest) <= far;
        complete &= self.work <= MOST_WORK;
        self.caught(&grounds, complete)
    }

    /// Aligns every name.
    fn scan(mut self, mut grounds: Vec<Ground<'a>>) -> Catch {
        for place in 0..grounds.len() {
            for name in 0..grounds[place].lexicon.count() {
                let waiting = Waiting {
                    ground: place as u32,
                    place: name as u32,
                };
                self.align(0, waiting, NEVER, &mut grounds);
            }
        }
        self.align_rest(&mut grounds);
        for bucket in 0..BUCKETS {
            self.judge(bucket, &grounds);
        }
        self.caught(&grounds, true)
    }

    fn caught(self, grounds: &[Ground<'a>], complete: bool) -> Catch {
        let mut others = vec![0.0; self.edges.len()];
        for ground in grounds {
            others[ground.edge] += ground.tally.others();
        }
        for caught in &self.best {
            others[caught.edge] = f64::max(others[caught.edge] - (-caught.cost).exp(), 0.0);
        }
        Catch {
            names: self.best,
            complete,
            others,
        }
    }

    fn bucket(&self, cost: Thousandths) -> usize {
        let units = (cost - self.base).max(0) / UNIT_THOUSANDTHS;
        (units as usize).min(BUCKETS - 1)
    }

    /// Whether nothing from this bucket on can be among the best.
    fn is_done(&self, bucket: usize) -> bool {
        self.base + bucket as Thousandths * UNIT_THOUSANDTHS >= self.limit
    }

    /// Lets the groups wait whose bounds are in a range of units.
    fn sort_groups(&mut self, grounds: &mut [Ground], units: Range<usize>) {
        let mut held = Vec::new();
        for (place, ground) in (0..).zip(grounds) {
            let count = ground.lexicon.count().div_ceil(GROUP);
            for block in 0..ground.lexicon.signs.blocks() {
                let sums = ground.bound.of(&ground.lexicon.signs, block, &mut held);
                each(&sums.within(&units), |at| {
                    let group = block * GROUPS + at;
                    if group < count {
                        let bound = ground.base + sums.of(at) as Thousandths * UNIT_THOUSANDTHS;
                        let bucket = self.bucket(bound);
                        ground.tally.groups[bucket] += 1;
                        self.groups[bucket].push(Waiting {
                            ground: place,
                            place: group as u32,
                        });
                    }
                });
            }
        }
    }

    /// Looks at all that waits in a bucket, the surest first, until nothing in it can be among
    /// the best.
    fn empty(&mut self, bucket: usize, grounds: &mut [Ground<'a>]) {
        self.judge(bucket, grounds);
        for (waiting, bound) in std::mem::take(&mut self.names[bucket]) {
            if self.has_to_stop(bucket) {
                break;
            }
            self.align(bucket, waiting, bound, grounds);
        }
        self.align_rest(grounds);
        self.judge(bucket, grounds);
        let mut here = Vec::new();
        for group in std::mem::take(&mut self.crowds[bucket]) {
            self.look(bucket, group, grounds, &mut here);
        }
        for group in std::mem::take(&mut self.groups[bucket]) {
            if self.has_to_stop(bucket) {
                break;
            }
            if self.belongs_here(bucket, group, grounds) {
                self.look(bucket, group, grounds, &mut here);
            }
        }
        self.align_rest(grounds);
        self.judge(bucket, grounds);
    }

    /// Whether a group belongs into this bucket by its closer bound too; else it waits on.
    fn belongs_here(&mut self, bucket: usize, group: Waiting, grounds: &mut [Ground]) -> bool {
        let ground = &mut grounds[group.ground as usize];
        self.work += 1;
        let bound = ground.crowd.of(
            &ground.closer,
            ground.lexicon,
            (group.place as usize, self.limit),
        );
        let later = self.bucket(bound).max(bucket);
        if later > bucket {
            ground.tally.put_off(bucket, later);
            if bound < self.limit {
                self.crowds[later].push(group);
            }
        }
        later == bucket
    }

    fn has_to_stop(&self, bucket: usize) -> bool {
        self.is_done(bucket) || self.work > MOST_WORK
    }

    /// Looks at the names of a group, and aligns those that belong into this bucket.
    fn look(
        &mut self,
        bucket: usize,
        group: Waiting,
        grounds: &mut [Ground<'a>],
        here: &mut Vec<(Waiting, Thousandths)>,
    ) {
        if self.has_to_stop(bucket) {
            return;
        }
        let ground = &mut grounds[group.ground as usize];
        ground.tally.looked[bucket] += 1;
        let first = group.place as usize * GROUP;
        let last = (first + GROUP).min(ground.lexicon.count());
        self.work += last - first;
        for name in first..last {
            let shared = if name == first {
                0
            } else {
                ground.lexicon.shared(name)
            };
            let text = ground.lexicon.name(name);
            let bound = ground.closer.of(ground.lexicon, text, shared);
            if bound < self.limit {
                let waiting = Waiting {
                    ground: group.ground,
                    place: name as u32,
                };
                let later = self.bucket(bound).max(bucket);
                ground.tally.saw(bucket, bound);
                if later == bucket {
                    here.push((waiting, bound));
                } else {
                    self.names[later].push((waiting, bound));
                }
            }
        }
        for (waiting, bound) in here.drain(..) {
            self.align(bucket, waiting, bound, grounds);
        }
    }

    fn align(
        &mut self,
        bucket: usize,
        waiting: Waiting,
        bound: Thousandths,
        grounds: &mut [Ground],
    ) {
        let ground = &mut grounds[waiting.ground as usize];
        self.work += ALIGNED;
        ground.filled.push((waiting.place, bound));
        if ground
            .lanes
            .fill(ground.lexicon.name(waiting.place as usize))
        {
            self.take_lanes(waiting.ground, ground);
            self.judge(bucket, grounds);
        }
    }

    fn align_rest(&mut self, grounds: &mut [Ground]) {
        for (place, ground) in (0..).zip(grounds) {
            if !ground.filled.is_empty() {
                self.take_lanes(place, ground);
            }
        }
    }

    fn take_lanes(&mut self, place: u32, ground: &mut Ground) {
        let costs = ground.lanes.costs();
        for (&cost, (name, bound)) in costs.iter().zip(ground.filled.drain(..)) {
            ground.tally.aligned(bound, cost);
            if cost < self.limit {
                let bucket = self.bucket(cost);
                self.near[bucket].push(Waiting {
                    ground: place,
                    place: name,
                });
            }
        }
    }

    /// Takes the names that were aligned into the best, up to this bucket.
    fn judge(&mut self, bucket: usize, grounds: &[Ground]) {
        for waiting in std::mem::take(&mut self.near[bucket]) {
            if self.is_done(bucket) {
                return;
            }
            let ground = &grounds[waiting.ground as usize];
            let edge = &self.edges[ground.edge];
            let name = waiting.place as usize;
            let own = edge.own(self.automaton, name);
            let cost = exact(ground.lexicon, self.query, edge, name) + own;
            if thousandths(cost) < self.limit {
                self.catch(Caught {
                    edge: ground.edge,
                    name,
                    cost,
                });
            }
        }
    }

    fn catch(&mut self, caught: Caught) {
        let place = self.best.partition_point(|one| one.cost <= caught.cost);
        self.best.insert(place, caught);
        self.best.truncate(self.wanted);
        self.limit = self.limit.min(thousandths(self.best[0].cost + CUT));
        if self.best.len() == self.wanted
            && let Some(last) = self.best.last()
        {
            self.limit = self.limit.min(thousandths(last.cost));
        }
    }
}

/// The least cost of the text with a name on an edge.
fn exact(lexicon: &Lexicon, query: &Query, edge: &Edge, name: usize) -> f64 {
    let around = &edge.around;
    let mut column = Column(around.start.clone());
    let mut before: Option<(Column, u32)> = None;
    for &code in lexicon.name(name) {
        let symbol = lexicon.symbols[usize::from(code)];
        let swap = before.as_ref().map(|(column, symbol)| Before {
            column,
            symbol: *symbol,
        });
        let mut next = column.next(query, symbol, swap.as_ref());
        if before.is_none() {
            for &place in query.plain(symbol) {
                next = next.reached(query, place + 2, around.swap_in[place]);
            }
        }
        before = Some((std::mem::replace(&mut column, next), symbol));
    }
    let ends = column
        .0
        .iter()
        .zip(&around.end)
        .map(|(here, end)| here + end);
    let swapped = before.iter().flat_map(|(column, symbol)| {
        let seconds = query.plain(*symbol).iter();
        seconds.map(|&second| column.0[second - 1] + around.swap_out[second - 1])
    });
    ends.chain(swapped).fold(f64::INFINITY, f64::min)
}
