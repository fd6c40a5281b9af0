//! Many names aligned with a text at once.
//!
//! One name a lane, [`LANES`] lanes of a byte each, costs in tenths of a nat rounded down: what
//! comes out is at most the cost of the name, and the cost itself where all costs of the table
//! are whole tenths. The loops over lanes are plain; the compiler makes vectors of them. It is
//! the alignment of [`super::column`], with the costs of the places side by side for all names.

use super::closer::{Thousandths, thousandths};
use super::lexicon::Lexicon;
use super::outline::Around;
use super::query::Query;
use super::typed::LONGEST;

/// Names aligned at once. With fewer than four vectors of most processors, reading the
/// costs takes longer than adding them up.
pub(super) const LANES: usize = 64;

type Lane = [u8; LANES];

const NEVER: u8 = u8::MAX;

/// A text, priced for lanes.
#[derive(Debug)]
pub(super) struct Lanes {
    places: Vec<Place>,
    /// For each code, the cost of losing it.
    lost: Vec<u8>,
    swapped: u8,
    base: Thousandths,
    /// Costs by place, after this glyph and after the two before.
    rows: [Vec<Lane>; 3],
    /// The codes of all names by depth.
    text: Vec<Lane>,
    /// For each kind of place, what taking it costs with the codes at hand.
    taken: Vec<Lane>,
    lengths: [usize; LANES],
    filled: usize,
}

/// A place of the text.
#[derive(Debug)]
struct Place {
    start: u8,
    end: u8,
    swap_in: u8,
    swap_out: u8,
    /// Places where the same was seen are of one kind.
    kind: usize,
    /// The dearest finite cost of taking it, and for cheaper codes what they save.
    dearest: u8,
    savings: Vec<(u8, u8)>,
    /// Codes that stand here as they were meant.
    plain: Vec<u8>,
    /// Codes that fall apart over this place and the next.
    splits: Vec<(u8, u8)>,
    passed: u8,
    lost_for_nothing: bool,
}

fn tenths(cost: f64) -> u8 {
    /// Whole tenths may come out of a difference as a little less.
    const NOISE: f64 = 1e-9;
    ((cost + NOISE) * 10.0).min(f64::from(NEVER)) as u8
}

fn least(costs: &[f64]) -> f64 {
    costs.iter().copied().fold(f64::INFINITY, f64::min)
}

impl Lanes {
    /// Lanes for a text and what surrounds a name.
    pub fn new(lexicon: &Lexicon, query: &Query, around: &Around) -> Self {
        let base = [least(&around.start), least(&around.end)];
        let width = query.width();
        let mut places: Vec<Place> = Vec::with_capacity(width);
        for place in 0..width {
            let seen = query.seen.get(place);
            let same = (0..place).find(|&before| query.seen.get(before) == seen);
            let kinds = places.iter().map(|one| one.kind + 1).max().unwrap_or(0);
            let kind = same.map_or(kinds, |before| places[before].kind);
            places.push(Place::new(lexicon, query, around, base, (place, kind)));
        }
        // What is typed right loses no glyph at the ends, but separators between.
        let paid = || (0..width).filter(|&place| !places[place].lost_for_nothing);
        let lost = lexicon.symbols.iter().map(|&symbol| {
            let costs = paid().map(|place| query.lost(symbol)[place]);
            tenths(costs.fold(f64::INFINITY, f64::min))
        });
        Self {
            lost: lost.collect(),
            swapped: tenths(query.swapped),
            base: thousandths(base[0] + base[1]),
            rows: std::array::from_fn(|_| vec![[0; LANES]; width]),
            text: vec![[0; LANES]; LONGEST + 1],
            taken: vec![[0; LANES]; width],
            lengths: [0; LANES],
            filled: 0,
            places,
        }
    }

    /// Puts a name into the next lane; whether all are full now.
    pub fn fill(&mut self, name: &[u8]) -> bool {
        for (line, &code) in self.text.iter_mut().zip(name) {
            line[self.filled] = code;
        }
        self.lengths[self.filled] = name.len();
        self.filled += 1;
        self.filled == LANES
    }

    /// What the names cost at least, in the order in which they were filled in; then the
    /// lanes are empty.
    pub fn costs(&mut self) -> [Thousandths; LANES] {
        let longest = self.lengths[..self.filled].iter().copied().max();
        let mut costs = [NEVER; LANES];
        for (row, place) in self.rows[0].iter_mut().zip(&self.places) {
            *row = [place.start; LANES];
        }
        for depth in 0..longest.unwrap_or(0) {
            self.step(depth);
            if self.lengths[..self.filled].contains(&(depth + 1)) {
                let ends = self.ends(depth);
                for lane in 0..self.filled {
                    if self.lengths[lane] == depth + 1 {
                        costs[lane] = ends[lane];
                    }
                }
            }
        }
        self.filled = 0;
        costs.map(|cost| self.base + Thousandths::from(cost) * 100)
    }

    /// One glyph further.
    fn step(&mut self, depth: usize) {
        let codes = self.text[depth];
        let before = self.text[depth.saturating_sub(1)];
        let lost = codes.map(|code| self.lost[usize::from(code)]);
        let [one, two, three] = &mut self.rows;
        let (next, row, back) = match depth % 3 {
            0 => (two, &*one, &*three),
            1 => (three, &*two, &*one),
            _ => (one, &*three, &*two),
        };
        let mut ahead = [NEVER; LANES];
        let mut passed = [NEVER; LANES];
        let mut kinds = 0;
        for (at, place) in self.places.iter().enumerate() {
            let here = &row[at];
            let mut cost = if place.lost_for_nothing {
                *here
            } else {
                sum(here, &lost)
            };
            cost = less(&cost, &less(&ahead, &passed));
            if let Some(from) = at.checked_sub(2) {
                let (first, second) = (&self.places[from], &self.places[from + 1]);
                for &(code, split) in &first.splits {
                    cost = less(&cost, &sum(&row[from], &only(&is(&codes, &[code]), split)));
                }
                let is_first = is(&codes, &first.plain);
                if depth == 0 && first.swap_in < NEVER {
                    cost = less(&cost, &only(&is_first, first.swap_in));
                } else if depth > 0 && self.swapped < NEVER && can_swap(first, second) {
                    let swapped = both(&is_first, &is(&before, &second.plain));
                    cost = less(&cost, &sum(&back[from], &only(&swapped, self.swapped)));
                }
            }
            next[at] = cost;
            passed = plus(&cost, place.passed);
            if place.kind == kinds {
                self.taken[kinds] = place.taken(&codes);
                kinds += 1;
            }
            ahead = sum(here, &self.taken[place.kind]);
        }
    }

    /// The costs of the names that end after so many glyphs and one.
    fn ends(&self, depth: usize) -> Lane {
        let (row, next) = (&self.rows[depth % 3], &self.rows[(depth + 1) % 3]);
        let mut best = [NEVER; LANES];
        for (at, place) in self.places.iter().enumerate() {
            best = less(&best, &plus(&next[at], place.end));
            if place.swap_out < NEVER
                && let Some(second) = self.places.get(at + 1)
            {
                let last = only(&is(&self.text[depth], &second.plain), place.swap_out);
                best = less(&best, &sum(&row[at], &last));
            }
        }
        best
    }
}

/// Whether two places can have been meant the other way round.
fn can_swap(first: &Place, second: &Place) -> bool {
    !first.plain.is_empty() && !second.plain.is_empty() && first.kind != second.kind
}

impl Place {
    fn new(
        lexicon: &Lexicon,
        query: &Query,
        around: &Around,
        [start, end]: [f64; 2],
        (place, kind): (usize, usize),
    ) -> Self {
        let costs: Vec<f64> = lexicon
            .symbols
            .iter()
            .map(|&symbol| query.substitution(symbol)[place])
            .collect();
        let dearest = tenths(costs.iter().copied().fold(0.0, f64::max));
        let codes = || (0_u8..).zip(&lexicon.symbols);
        let splits = codes().flat_map(|(code, &symbol)| {
            let here = query.splits(symbol).iter();
            here.filter(|split| split.0 == place)
                .map(move |split| (code, tenths(split.1)))
        });
        Self {
            start: tenths(around.start[place] - start),
            end: tenths(around.end[place] - end),
            swap_in: tenths(around.swap_in[place] - start),
            swap_out: tenths(around.swap_out[place] - end),
            kind,
            dearest,
            savings: (0_u8..)
                .zip(&costs)
                .map(|(code, cost)| (code, dearest - tenths(*cost)))
                .filter(|saving| saving.1 > 0)
                .collect(),
            plain: codes()
                .filter(|(_, symbol)| query.plain(**symbol).contains(&place))
                .map(|(code, _)| code)
                .collect(),
            splits: splits.collect(),
            passed: query.passed.get(place).map_or(NEVER, |cost| tenths(*cost)),
            lost_for_nothing: lexicon
                .symbols
                .iter()
                .all(|&symbol| query.lost(symbol)[place] == 0.0),
        }
    }

    /// What taking this place for each code costs.
    #[inline]
    fn taken(&self, codes: &Lane) -> Lane {
        let mut saved = [0; LANES];
        for &(code, saving) in &self.savings {
            for lane in 0..LANES {
                let here = if codes[lane] == code { saving } else { 0 };
                saved[lane] = if saved[lane] > here {
                    saved[lane]
                } else {
                    here
                };
            }
        }
        let mut cost = [0; LANES];
        for lane in 0..LANES {
            cost[lane] = self.dearest - saved[lane];
        }
        cost
    }
}

/// All bits where a lane is one of the codes.
#[inline]
fn is(lane: &Lane, codes: &[u8]) -> Lane {
    let mut found = [0; LANES];
    for &code in codes {
        for at in 0..LANES {
            found[at] |= if lane[at] == code { NEVER } else { 0 };
        }
    }
    found
}

/// A cost where the bits are set, and no way elsewhere.
#[inline]
fn only(set: &Lane, cost: u8) -> Lane {
    let mut found = [0; LANES];
    for at in 0..LANES {
        found[at] = !set[at] | cost;
    }
    found
}

#[inline]
fn both(one: &Lane, other: &Lane) -> Lane {
    let mut found = [0; LANES];
    for at in 0..LANES {
        found[at] = one[at] & other[at];
    }
    found
}

#[inline]
fn sum(one: &Lane, other: &Lane) -> Lane {
    let mut found = [0; LANES];
    for at in 0..LANES {
        found[at] = one[at].saturating_add(other[at]);
    }
    found
}

#[inline]
fn plus(one: &Lane, cost: u8) -> Lane {
    let mut found = [0; LANES];
    for at in 0..LANES {
        found[at] = one[at].saturating_add(cost);
    }
    found
}

#[inline]
fn less(one: &Lane, other: &Lane) -> Lane {
    let mut found = [0; LANES];
    for at in 0..LANES {
        found[at] = if one[at] < other[at] {
            one[at]
        } else {
            other[at]
        };
    }
    found
}
